"""The `understave` command: argument reading only."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, ParamSpec, TextIO, TypeVar

import click

if TYPE_CHECKING:
    from understave.entries.glossary import Glossary
    from understave.lessons.score_stretches import Every

P = ParamSpec("P")
R = TypeVar("R")

BAD_INPUT = 2
"""The exit status of bad input; `check` exits with FAULTS instead when it finds any."""

FAULTS = 1


def fail(message: str) -> NoReturn:
    """Print one line on stderr and exit with BAD_INPUT."""
    click.echo(" ".join(message.split()), err=True)
    sys.exit(BAD_INPUT)


def with_project(command: Callable[P, R]) -> Callable[P, R]:
    """Add the option that names the site's configuration, and tell faults of the content in lines on stderr."""

    @click.option("-f", "--config-file", "config", type=click.Path(path_type=Path), help="The site's mkdocs.yml.")
    @wraps(command)
    def wrapped(*args: P.args, **kwargs: P.kwargs) -> R:
        from understave.answers.configuration import NoProjectError
        from understave.entries.faults import Faulty

        try:
            return command(*args, **kwargs)
        except NoProjectError as error:
            fail(str(error))
        except Faulty as faulty:
            click.echo(str(faulty), err=True)
            sys.exit(BAD_INPUT)

    return wrapped


class OneLineErrors(click.Group):
    """A group of commands that tells usage errors in one line."""

    def main(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Run a command and exit."""
        try:
            status = super().main(*args, **{**kwargs, "standalone_mode": False})
        except click.UsageError as error:
            usage = error.ctx.command_path if error.ctx else "understave"
            fail(f"{usage}: {error.format_message()} Try '{usage} --help'.")
        except click.ClickException as error:
            fail(error.format_message())
        except click.Abort:
            sys.exit(BAD_INPUT)
        sys.exit(status if isinstance(status, int) else 0)


@click.group(cls=OneLineErrors, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="understave")
def main() -> None:
    """A theory glossary for piano lessons: chord symbols, slash chords, added tones and counting."""


@main.command()
@with_project
def build(config: Path | None) -> None:
    """Build the site. With faults in the content, the last good site stays as it is."""
    from understave.building import build_site

    sys.exit(build_site(config))


@main.command()
@with_project
@click.option("--address", default="127.0.0.1:8000", show_default=True, help="Where to serve, as HOST:PORT.")
def serve(config: Path | None, address: str) -> None:
    """Serve the site while it is edited."""
    from understave.building import serve_site

    sys.exit(serve_site(config, address))


@main.command()
@with_project
@click.argument("paths", nargs=-1, type=click.Path(exists=True, path_type=Path))
@click.option(
    "--fix", is_flag=True, help="Add new pages to the ledger of permalinks, and redirects for those that moved."
)
@click.option(
    "--format",
    "shape",
    type=click.Choice(["text", "github", "json"]),
    default="text",
    show_default=True,
    help="Lines for people, annotations of a pull request, or JSON.",
)
def check(config: Path | None, paths: tuple[Path, ...], fix: bool, shape: str) -> None:
    """Check every entry, lesson and permalink, or those below PATHS."""
    from understave.answers.checking import annotation, check_paths, fault_value, fix_ledger, propose_redirects
    from understave.answers.configuration import find_project

    project = find_project(config)
    proposed = propose_redirects(project) if fix else []
    faults = check_paths(project, paths)
    if shape == "json":
        _print_json([fault_value(fault) for fault in faults])
    else:
        for fault in faults:
            click.echo(annotation(fault) if shape == "github" else str(fault))
    for line in (*proposed, *(fix_ledger(project) if fix and not faults else ())):
        click.echo(line)
    sys.exit(FAULTS if faults else 0)


@main.command()
@with_project
@click.argument("symbols", nargs=-1, required=True, metavar="SYMBOL...")
@click.option("--language", type=click.Choice(["de", "es", "fr", "it", "pt"]), help="Read its note names.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def spell(config: Path | None, symbols: tuple[str, ...], language: str | None, as_json: bool) -> None:
    """Tell the tones of chord symbols, in every sense they have."""
    from understave.answers.spelling import spell as spell_one
    from understave.answers.spelling import spell_text

    glossary = _glossary(config)
    items = [spell_one(symbol, glossary, language or "") for symbol in symbols]
    if as_json:
        _print_json(items)
    for item in items:
        if item["error"]:
            click.echo(item["error"]["message"], err=True)
        elif not as_json:
            click.echo(spell_text(item, language or ""))
    sys.exit(BAD_INPUT if any(item["error"] for item in items) else 0)


@main.command()
@with_project
@click.argument("notes", required=False, metavar="NOTES|SCORE")
@click.option("--every", type=click.Choice(["measure", "beat", "symbol"]), help="Name a score, stretch by stretch.")
@click.option("--spans", type=click.File(encoding="utf-8"), help="Name many spans: one JSON object a line.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def name(config: Path | None, notes: str | None, every: Every | None, spans: TextIO | None, as_json: bool) -> None:
    """Name what two hands play: NOTES is "F3 A3 | C4", left hand | right hand, low to high; SCORE a MusicXML file."""
    from understave.answers.naming import NotesError, name_text, parse_hands
    from understave.answers.naming import name as name_value
    from understave.answers.score_naming import is_score

    if (notes is None) == (spans is None):
        raise click.UsageError("expected NOTES, or a SCORE with --every, or --spans with a file.")
    if spans is not None:
        sys.exit(_name_spans(config, spans))
    if every or is_score(notes or ""):
        return _name_score(config, notes or "", every, as_json)
    try:
        left, right = parse_hands(notes or "")
    except NotesError as error:
        fail(str(error))
    glossary = _glossary(config)
    if as_json:
        return _print_json(name_value(left, right, glossary))
    return click.echo(name_text(left, right, glossary))


@main.command()
@with_project
@click.argument("rhythm", required=False)
@click.option("--meter", help="The meter, such as 6/8 or 2+3/8; 4/4 if none is given.")
@click.option("--system", help="The id of the counting system; the site's own if none is given.")
@click.option("--beat", help="Another beat: quarter, dotted-quarter, eighth, measure…")
@click.option("--each-beat", is_flag=True, help="Divide each beat by its own notes only.")
@click.option("--find", "line", help="Find the rhythms that a count such as '1 & 2 e & a' says.")
@click.option("--out", type=click.Path(dir_okay=False, path_type=Path), help="Write the notation too, an HTML file.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def count(
    config: Path | None,
    rhythm: str | None,
    meter: str | None,
    system: str | None,
    beat: str | None,
    each_beat: bool,
    line: str | None,
    out: Path | None,
    as_json: bool,
) -> None:
    """Count a rhythm: RHYTHM is "8 8 12 12 12 4 4", in recip tokens; - reads it from the input."""
    from understave.answers import counting
    from understave.answers.configuration import find_project
    from understave.entries.kept import load_glossary
    from understave.entries.values import CountingSystem

    if (rhythm is None) == (line is None):
        raise click.UsageError("expected RHYTHM, or --find with a count.")
    if line is not None and (beat or each_beat):
        raise click.UsageError("expected no --beat and no --each-beat with --find.")
    project = find_project(config)
    systems = load_glossary(project.content, project.cache).of(CountingSystem)
    try:
        if line is not None:
            name, found = counting.find_rhythms(line, systems, project.counting_system, system, meter)
            value, text = counting.find_value(name, found), counting.find_text(systems[name].name, found)
            title, shown = line, counting.recounted(found, systems[name].system)
        else:
            name, written = system or project.counting_system, sys.stdin.read() if rhythm == "-" else rhythm or ""
            read, counted = counting.count_rhythm(
                written, systems, name, meter or counting.USUAL_METER, beat, each_beat
            )
            value, text = (
                counting.count_value(read, counted, name),
                counting.count_text(read, counted, systems[name].name),
            )
            title, shown = counting.count_title(read, systems[name].name), [(read, counted)]
        if out:
            from understave.answers.rhythm_sheet import rhythm_sheet

            _write(out, rhythm_sheet(title, shown))
    except counting.CountError as error:
        fail(str(error))
    if as_json:
        _print_json(value)
    else:
        click.echo(text)


@main.command()
@with_project
@click.argument("lesson", metavar="LESSON", required=False)
@click.option("--pinned", is_flag=True, help="The pinned comment instead: three common questions, answered.")
@click.option("--check", "published", type=click.Path(path_type=Path), help="Compare with a text as published.")
@click.option("--all", "every", is_flag=True, help="All lessons; needs --out.")
@click.option("--out", type=click.Path(path_type=Path), help="The folder for --all: a file a lesson.")
def describe(
    config: Path | None, lesson: str | None, pinned: bool, published: Path | None, every: bool, out: Path | None
) -> None:
    """Print the text block for a lesson's video: chapters, symbols with links, how the rhythm is counted.

    LESSON is the path of a lesson's file, or its id.
    """
    from understave.answers.configuration import find_project
    from understave.answers.description_run import compared, text_of, write_all
    from understave.answers.project import find_lesson, load_project

    if every != (lesson is None) or every != (out is not None) or (every and published):
        raise click.UsageError("expected LESSON, or --all with --out DIR.")
    project = find_project(config)
    if out is not None:
        sys.exit(BAD_INPUT if write_all(project, out, pinned, _told, _write) else 0)
    loaded = load_project(project)
    text = text_of(find_lesson(loaded, lesson or ""), loaded, pinned)
    if published is None:
        return click.echo(text, nl=False)
    changes = compared(published, text)
    click.echo(changes, nl=False)
    sys.exit(FAULTS if changes else 0)


@main.command()
@with_project
@click.argument("lesson", metavar="LESSON")
@click.option("--measure", type=int, help="Only this measure, as the score numbers it.")
@click.option("--at", "time", metavar="TIME", help="Only what is heard at this time of the video, such as 1:05.")
@click.option("--key", help="In another key, such as Eb.")
@click.option("--instrument", help="The symbols as an instrument in Bb, Eb or F reads them.")
@click.option("--capo", type=int, metavar="FRET", help="The symbols for a guitar with a capo at this fret.")
@click.option("--new", is_flag=True, help="What the lesson is the first to use at its level, and what is missing.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def explain(
    config: Path | None,
    lesson: str,
    measure: int | None,
    time: str | None,
    key: str | None,
    instrument: str | None,
    capo: int | None,
    new: bool,
    as_json: bool,
) -> None:
    """Hold each symbol of a lesson against what both hands play.

    LESSON is the path of a lesson's file, or its id.
    """
    from understave.answers.configuration import find_project
    from understave.answers.explaining import ExplainError, Wanted, asked_of, explained_text, explained_value
    from understave.answers.other_keys import Other, moved, symbol_lines
    from understave.answers.planning import plan_of, plan_text, plan_value
    from understave.answers.project import find_lesson, load_project

    loaded = load_project(find_project(config))
    found = find_lesson(loaded, lesson)
    if new:
        if (measure, time, key, instrument, capo) != (None,) * 5:
            raise click.UsageError("expected --new alone, or with --json.")
        plan = plan_of(found, loaded)
        return _print_json(plan_value(plan, loaded)) if as_json else click.echo(plan_text(plan, loaded))
    try:
        wanted, other = Wanted.of(measure, time), Other(key, instrument, capo)
        found, sentences = moved(found, other)
        if as_json:
            return _print_json(explained_value(found, wanted, loaded))
        symbols = (one.met for one in asked_of(found, wanted)) if other.is_for_reading else None
        shown = [explained_text(found, wanted, loaded)] if symbols is None else symbol_lines(symbols, loaded.glossary)
        for line in (*sentences, *shown):
            click.echo(line)
    except ExplainError as error:
        fail(str(error))


@main.command()
@with_project
@click.option("--published", type=click.Path(exists=True, file_okay=False, path_type=Path), help="Texts as published.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def corrections(config: Path | None, published: Path | None, as_json: bool) -> None:
    """List mended mistakes, and the published texts and replies that still have them, with a draft for each."""
    from understave.answers.configuration import find_project
    from understave.answers.corrections import corrections_text, corrections_value, still_said
    from understave.answers.project import load_project

    loaded = load_project(find_project(config))
    left = list(still_said(loaded, published))
    if as_json:
        _print_json(corrections_value(loaded, left))
    else:
        click.echo(corrections_text(loaded, left))


@main.command()
@with_project
@click.argument("old", metavar="OLD_SITE", type=click.Path(path_type=Path))
@click.argument("new", metavar="[NEW_SITE]", required=False, type=click.Path(path_type=Path))
def compare(config: Path | None, old: Path, new: Path | None) -> None:
    """Tell what changed for readers from one built site to another, or to the one that was built last."""
    from understave.answers.comparing import NoSiteError, comparison_text, read_site
    from understave.answers.comparing import compare as compare_sites
    from understave.answers.configuration import find_project

    try:
        click.echo(comparison_text(compare_sites(read_site(old), read_site(new or find_project(config).site))))
    except NoSiteError as error:
        fail(str(error))


@main.command()
@with_project
@click.argument("kind", metavar="KIND")
@click.argument("name", metavar="ID")
def new(config: Path | None, kind: str, name: str) -> None:
    """Write a new file of a kind, filled in as far as its id tells, with comments that guide.

    KIND is chord-symbol, added-tone, slash-chord, counting-system, rhythm-figure, term, guide, lesson or reply.
    """
    from understave.answers.configuration import find_project
    from understave.answers.new_files import new_file, news_of

    path, text = new_file(find_project(config), kind, name)
    _write(path, text, "x")
    click.echo(news_of(path, text))


@main.command()
@with_project
@click.argument("kind", metavar="[KIND]", required=False)
def schema(config: Path | None, kind: str | None) -> None:
    """Print the JSON Schema of a kind of file, or of all kinds by name."""
    from understave.answers.configuration import find_project
    from understave.answers.schemas import all_schemas, find_kind, schema_of

    site_url = find_project(config).site_url
    _print_json(schema_of(find_kind(kind), site_url) if kind else all_schemas(site_url))


@main.command()
@with_project
@click.argument("comments", metavar="COMMENTS.csv", type=click.Path(dir_okay=False, path_type=Path))
@click.option("--lessons", type=click.Path(file_okay=False, path_type=Path), help="The folder of lessons.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.option("--out", type=click.Path(dir_okay=False, path_type=Path), help="Write a report, an HTML file of its own.")
@click.option("--sheet", type=click.Path(dir_okay=False, path_type=Path), help="Write a sheet for a question round.")
@click.option("--questions", type=click.IntRange(1, 100), default=6, show_default=True, help="How many on the sheet.")
def triage(
    config: Path | None,
    comments: Path,
    lessons: Path | None,
    as_json: bool,
    out: Path | None,
    sheet: Path | None,
    questions: int,
) -> None:
    """Sort viewers' comments: what each asks, the entries that answer it, and a draft reply."""
    from understave.answers.configuration import find_project
    from understave.answers.triage_run import Wanted, run_triage
    from understave.comments.reading import CommentsError

    try:
        faults = run_triage(
            find_project(config), comments, lessons, Wanted(as_json, out, sheet, questions), sys.stdout.write, _told
        )
    except CommentsError as error:
        fail(str(error))
    sys.exit(BAD_INPUT if faults else 0)


def _glossary(config: Path | None) -> Glossary:
    from understave.answers.configuration import find_project
    from understave.entries.kept import load_glossary

    project = find_project(config)
    return load_glossary(project.content, project.cache)


def _write(path: Path, text: str, mode: str = "w") -> None:
    """Write a file that was asked for, or fail in one line; with the mode ``x`` both it and its folder may be new."""
    try:
        if mode == "x":
            path.parent.mkdir(parents=True, exist_ok=True)
        with path.open(mode, encoding="utf-8", newline="\n") as file:
            file.write(text)
    except OSError as error:
        fail(f"{path}: can't be written: {error.strerror}; expected a file in a folder that exists")


def _told(fault: object) -> None:
    click.echo(str(fault), err=True)


def _name_score(config: Path | None, score: str, every: Every | None, as_json: bool) -> None:
    from understave.answers.configuration import find_project
    from understave.answers.score_naming import ScoreNamingError, name_score, name_score_text, read_score
    from understave.entries.kept import load_glossary

    project = find_project(config)
    try:
        read, chosen = read_score(score, every, project.cache)
    except ScoreNamingError as error:
        fail(str(error))
    glossary = load_glossary(project.content, project.cache)
    if as_json:
        _print_json(name_score(read, chosen, glossary))
    else:
        click.echo(name_score_text(read, chosen, glossary))


def _name_spans(config: Path | None, spans: TextIO) -> int:
    """Print a line for each span. Returns the exit status: BAD_INPUT if a line didn't read."""
    from understave.answers.span_naming import name_spans

    status = 0
    for item in name_spans(spans, _glossary(config)):
        click.echo(json.dumps(item))
        if "error" in item:
            click.echo(item["error"], err=True)
            status = BAD_INPUT
    return status


def _print_json(value: Any) -> None:
    text = json.dumps(value, ensure_ascii=False, indent=2)
    click.echo(text.encode("utf-8", "backslashreplace").decode())
