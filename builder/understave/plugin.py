"""The MkDocs plugin: events only. Everything they do lives in the rooms."""

from __future__ import annotations

import gzip
import json
import shutil
import sys
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Literal

import click
from jinja2 import Environment
from markupsafe import escape
from mkdocs.config import config_options
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page as MkDocsPage
from mkdocs.utils.templates import TemplateContext

from understave.answers.comparing import SITE_DATA
from understave.answers.configuration import DEFAULT_SYSTEM, NOTATION, NoProjectError, project_of
from understave.answers.project import Loaded, load_project
from understave.answers.schemas import schema_files
from understave.engraving.drawing import EngravingError
from understave.engraving.studio import Studio
from understave.entries.faults import Fault, Faulty
from understave.entries.values import KINDS
from understave.framing import Frames, GlossaryPage
from understave.pages.assets import ACCIDENTALS, START, STYLE, browser_assets, tables
from understave.pages.batches import site_batches, site_key, tables_key
from understave.pages.corrections import FEED, corrections_feed
from understave.pages.guides import GuidePages
from understave.pages.head import shows_accidentals
from understave.pages.lesson_pages import downloads
from understave.pages.made import Listed, PageShelf
from understave.pages.page import Fact, source_of
from understave.pages.policy import with_policy
from understave.pages.site import content_hash, redirect_html, site_data
from understave.phrases.catalogue import ENGLISH, phrase
from understave.phrases.note_names import NAMINGS, scale_name
from understave.serving import FaultsInPlace, watched_paths
from understave.swap import folder_aside, swap_in

log = get_plugin_logger(__name__)

THEME = Path(__file__).parent / "pages" / "theme"

NAVIGATION = (
    "chord-symbols",
    "slash-chords",
    "added-tones",
    "counting-systems",
    "rhythm-figures",
    "terms",
    "guides",
    "roots",
    "lessons",
    "handouts",
    "what-are-these-notes",
    "count-this-measure",
)


SOURCE_FOLDERS = frozenset(("handouts", "phrases", "replies", *(kind.folder for kind in KINDS)))
"""The folders of the content that hold sources and are not copied into the site."""

PAGES_BETWEEN_NEWS = 100


class UnderstaveConfig(Config):
    """The plugin's options; paths count from mkdocs.yml."""

    lessons = config_options.Optional(config_options.Type(str))
    """The folder of lessons."""
    permalinks = config_options.Optional(config_options.Type(str))
    """The ledger of published permalinks."""
    counting_system = config_options.Type(str, default=DEFAULT_SYSTEM)
    """The counting system that pictures are counted with."""
    notation = config_options.Choice(NOTATION, default=NOTATION[0])
    """How much of a lesson's score its page shows."""


class FaultyContent(PluginError):
    """The content has faults; nothing was built."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        self.faults = faults
        super().__init__("\n".join(["the content has faults; the last site stays as it is:", *map(str, faults)]))


class UnderstavePlugin(BasePlugin[UnderstaveConfig]):
    """Turns a folder of entries into the pages of a glossary."""

    def __init__(self) -> None:
        self.command = "build"
        self.final: Path | None = None
        self.built = False
        self.failure: tuple[str, ...] = ()
        self.pages: PageShelf | None = None
        self.listed: list[Listed] = []
        self.written: list[tuple[str, Fact, str]] = []
        self.assets: dict[str, str | bytes] = {}
        self.studio: Studio | None = None
        self.loaded: Loaded | None = None
        self.guides: GuidePages | None = None

    def on_startup(self, *, command: Literal["build", "gh-deploy", "serve"], dirty: bool) -> None:
        """Note which command runs."""
        self.command = command

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Load and check the content; build aside; add the theme's parts."""
        if self.command != "serve":
            self.final = Path(config.site_dir).resolve()
            config.site_dir = str(folder_aside(self.final))
        path = Path(config.config_file_path) if config.config_file_path else Path.cwd() / "mkdocs.yml"
        try:
            language = str(config.theme["language"]) if "language" in config.theme else ENGLISH
            project = project_of(Path(config.docs_dir), dict(self.config), path, config.site_url or "", language)
            self.loaded = load_project(project)
        except NoProjectError as error:
            raise PluginError(str(error)) from None
        except Faulty as faulty:
            raise FaultyContent(faulty.faults) from None
        self.studio = Studio(project.cache)
        self.guides = GuidePages(self.loaded.guides, self.loaded.glossary, project.counting_system)
        self.pages = PageShelf(project.cache, self.studio)
        self.written, self.failure = [], ()
        made = self.pages.text(tables_key(self.loaded), partial(_tables, self.loaded))
        own = browser_assets(json.loads(made))
        self.assets = {**own, **downloads(self.loaded), **schema_files(project.site_url)}
        self.listed = self._made(config.site_name)
        if feed := corrections_feed(self.loaded, config.site_name):
            self.assets[FEED] = feed
        config.theme.dirs.insert(0, str(THEME))
        config.extra_javascript = [*self._scripts(), *config.extra_javascript]
        config.extra_css = [self._asset(STYLE), *config.extra_css]
        config.nav = config.nav or self._navigation(Path(config.docs_dir))
        return config

    def _scripts(self) -> list[config_options.ExtraScriptValue]:
        """Return the script that every page loads, as a module."""
        start = config_options.ExtraScriptValue(self._asset(START))
        start.type = "module"
        return [start]

    def _asset(self, name: str) -> str:
        """Return where a script or a style of ours lies in the site."""
        return next(path for path in self.assets if path.endswith(f"/{name}"))

    def _navigation(self, content: Path) -> list[str | dict[str, str]]:
        """Return the home page and the indexes that there are."""
        indexes = (f"{name}/index.md" for name in NAVIGATION)
        made = {source_of(page.address) for page in self.listed}
        there = [name for name in indexes if name in made or (content / name).exists()]
        return [{phrase("home"): "index.md"}, *there]

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Take the entries' YAML out and put the pages in."""
        for file in list(files):
            if file.src_uri.split("/")[0] in SOURCE_FOLDERS:
                files.remove(file)
        names = dict(_named(config.nav))
        for listed in self.listed:
            source = source_of(listed.address)
            file = File.generated(config, source, content="")
            GlossaryPage(listed, names.get(source), file, config)
            files.append(file)
        for path, content in self.assets.items():
            files.append(File.generated(config, path, content=content))
        return files

    def _made(self, title: str) -> list[Listed]:
        """Return all pages, each of them made, and have the guides' pictures drawn."""
        assert self.loaded is not None
        assert self.studio is not None
        assert self.guides is not None
        assert self.pages is not None
        guides = [figure.picture for name in self.guides.guides for figure in self.guides.figures(name)]
        try:
            self.studio.order(guides)
            site = site_key(self.loaded, title)
            batches = partial(site_batches, self.loaded, title)
            listed = list(self.pages.listed(site, batches, partial(_progress, "making")))
            self.pages.keep({picture.key for picture in guides})
        except EngravingError as error:
            raise PluginError(f"drawing failed: {error}") from None
        return listed

    def on_env(self, env: Environment, *, config: MkDocsConfig, files: Files) -> Environment:
        """Let the theme's parts say sentences of the catalogue, and put pages into frames."""
        env.globals.update(phrase=phrase, namings={language: scale_name(language) for language in NAMINGS})
        env.globals.update(shows_accidentals=shows_accidentals, accidentals=self._asset(ACCIDENTALS))
        env.globals["framed"] = Frames(env, config).html
        return env

    def on_page_markdown(self, markdown: str, *, page: MkDocsPage, config: MkDocsConfig, files: Files) -> str:
        """Make room for the pictures of a guide."""
        return self.guides.markdown(markdown) if self.guides and _guide_of(page) in self.guides.guides else markdown

    def on_page_content(self, html: str, *, page: MkDocsPage, config: MkDocsConfig, files: Files) -> str:
        """Put pictures into guides."""
        assert self.studio is not None
        assert self.guides is not None
        guide = _guide_of(page)
        if guide not in self.guides.guides:
            return html
        page.meta["reply"] = self.guides.reply(guide)
        page.meta["description"] = str(escape(self.guides.guides[guide].description))
        return self.guides.html(guide, html, self.studio)

    @event_priority(100)
    def on_page_context(
        self, context: TemplateContext, *, page: MkDocsPage, config: MkDocsConfig, nav: Navigation
    ) -> TemplateContext:
        """Take a page of ours from the shelf, before the search reads it."""
        if isinstance(page, GlossaryPage):
            assert self.pages is not None
            made = self.pages[page.listed]
            page.show(made, made.searched if page.listed.searchable else "")
            self.written.append((made.address, made.fact, content_hash(made.html)))
            if len(self.written) % PAGES_BETWEEN_NEWS == 0 or len(self.written) == len(self.listed):
                _progress("pages", len(self.written), len(self.listed))
        return context

    def on_post_page(self, output: str, *, page: MkDocsPage, config: MkDocsConfig) -> str:
        """Let a page run and load nothing but the site's own; where it is served, a script of the server reloads it."""
        if isinstance(page, GlossaryPage):
            page.let_go()
        return output if self.command == "serve" else with_policy(output)

    def on_post_template(self, output_content: str, *, template_name: str, config: MkDocsConfig) -> str:
        """Do the same for the page that tells of a missing one."""
        return with_policy(output_content) if template_name.endswith(".html") else output_content

    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Write the site's data and its redirects."""
        site = Path(config.site_dir)
        site.joinpath(SITE_DATA).write_text(site_data(self.written), encoding="utf-8")
        assert self.loaded is not None
        for old, new in self.loaded.ledger.redirected(self.loaded.glossary).items():
            folder = site / old.strip("/")
            folder.mkdir(parents=True, exist_ok=True)
            folder.joinpath("index.html").write_text(
                redirect_html("../" * old.strip("/").count("/") + "../" + new.lstrip("/")), encoding="utf-8"
            )
        _date_free(site / "sitemap.xml.gz")
        self._close()
        self.built = True

    def on_build_error(self, *, error: Exception) -> None:
        """Note that the new site must not take the old one's place, and why; a full disk is told in a line."""
        self._close()
        self.built = False
        self.failure = tuple(map(str, error.faults)) if isinstance(error, FaultyContent) else (str(error),)
        if isinstance(error, OSError) and self.final is not None:
            raise PluginError(_not_written(error, self.final)) from error

    def _close(self) -> None:
        """Let go of the cache and the workers, which another build may want."""
        if self.pages is not None:
            self.pages.close()
        if self.studio is not None:
            self.studio.close()

    def on_shutdown(self) -> None:
        """Swap the new site in, or drop what was built of it."""
        if self.final is None:
            return
        aside, final, self.final = folder_aside(self.final), self.final, None
        try:
            if self.built:
                swap_in(aside, final)
        except OSError as error:
            raise PluginError(_not_written(error, final)) from error
        finally:
            shutil.rmtree(aside, ignore_errors=True)

    def on_serve(self, server: LiveReloadServer, *, config: MkDocsConfig, builder: object) -> LiveReloadServer:
        """Watch the lessons, their scores and the ledger too, and show faults in the place of pages."""
        assert self.loaded is not None
        for path in watched_paths(self.loaded):
            server.watch(str(path))
        FaultsInPlace(server, lambda: self.failure)
        return server


def _not_written(error: OSError, final: Path) -> str:
    """Return the line for a disk that took no more, with the place that it was about."""
    place = error.filename or final
    return f"{place}: {error.strerror}; expected a folder and room for a new site beside the old; that stays as it is"


def _tables(loaded: Loaded) -> str:
    return json.dumps(tables(loaded))


def _named(nav: object) -> Iterator[tuple[str, str]]:
    """Yield the path and the name of each page that a navigation names."""
    for item in nav if isinstance(nav, list) else []:
        for name, inside in item.items() if isinstance(item, dict) else []:
            if isinstance(inside, str):
                yield inside, name
            else:
                yield from _named(inside)


def _guide_of(page: MkDocsPage) -> str:
    """Return the id of the guide that a page is made of, or an empty text."""
    folder, _, name = page.file.src_uri.partition("/")
    return name.removesuffix(".md") if folder == "guides" else ""


def _date_free(packed: Path) -> None:
    """Pack a gzip file again without the time of its making, so that the same input gives the same bytes."""
    if packed.exists():
        content = gzip.decompress(packed.read_bytes())
        packed.write_bytes(gzip.compress(content, mtime=0))


def _progress(what: str, done: int, total: int) -> None:
    """Show how far the work is, on a terminal only."""
    if sys.stderr.isatty():
        click.echo(f"\r{what}: {done} of {total}" + ("\n" if done == total else ""), err=True, nl=False)
