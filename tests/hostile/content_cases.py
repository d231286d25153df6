"""Named cases of hostile content: what a stranger's files may try, and the line that each gets, if it needs one."""

from __future__ import annotations

from dataclasses import dataclass

from understave.entries.guides import LONGEST_GUIDE
from understave.entries.reading import LARGEST_ENTRY


@dataclass(frozen=True)
class Link:
    """A symbolic link in a file's place, and where it leads."""

    to: str


@dataclass(frozen=True)
class Pipe:
    """A named pipe in a file's place, which never ends."""


Files = dict[str, "str | bytes | Link | Pipe"]
"""What stands where, by path below the project's folder."""

Case = tuple[Files, str]
"""Files that are added to a project without faults, and how the first line of `understave check` begins."""

HOST = "https://other.example"


def term(text: str = "Words.", **fields: str) -> str:
    """Return the file of a term with a text, or with other fields as they would be typed."""
    values = {"name": "odd", "summary": "A word.", "sources": "[common practice]", **fields}
    lines = [f"{name}: {value}" for name, value in values.items()]
    return "\n".join([*lines, "text: |", *(f"  {line}" for line in text.split("\n")), ""])


def yaml(content: str | bytes, told: str) -> Case:
    """Return the case of a term's whole file."""
    return {"content/terms/odd.yaml": content}, f"content/terms/odd.yaml:{told}"


def prose(text: str, told: str) -> Case:
    """Return the case of a term's text, which starts at 5:3."""
    return yaml(term(text), told)


def field(value: str, told: str, name: str = "name") -> Case:
    """Return the case of a term's field."""
    return yaml(term(**{name: value}), told)


def named(name: str | bytes, told: str) -> Case:
    """Return the case of a term's file name; ``told`` follows the folder."""
    path = name if isinstance(name, str) else name.decode(errors="surrogateescape")
    return {f"content/terms/{path}": term()}, f"content/terms/{told}"


def guide(text: str, told: str, head: str = "---\ntitle: Odd\ndescription: Words.\n---\n") -> Case:
    """Return the case of a guide's Markdown, which starts at line 5."""
    return {"content/guides/odd.md": head + text}, f"content/guides/odd.md:{told}"


def phrases(text: str, told: str, key: str = "home") -> Case:
    """Return the case of a sentence in the site's own catalogue."""
    head = 'msgid ""\nmsgstr "Content-Type: text/plain; charset=UTF-8\\n"\n\n'
    return {"content/phrases/en.po": f'{head}msgid "{key}"\nmsgstr "{text}"\n'}, f"content/phrases/en.po:{told}"


def reply(text: str, told: str) -> Case:
    """Return the case of a draft's template."""
    return {"content/replies/symbol.yaml": f"text: {text}\n"}, f"content/replies/symbol.yaml:{told}"


LAUGHS = "\n".join(f"{b}: &{b} [{', '.join([f'*{a}'] * 10)}]" for a, b in zip("abcdefgh", "bcdefghi", strict=True))

YAML: dict[str, Case] = {
    "a billion words": yaml(f"a: &a [ha]\n{LAUGHS}\n", "1:4: an anchor &a"),
    "one anchor, many aliases": yaml("name: &a odd\nsources: [" + "*a, " * 10_000 + "]\n", "1:7: an anchor &a"),
    "an anchor that holds itself": yaml("name: &a [*a]\n", "1:7: an anchor &a"),
    "an order to the system": yaml(
        'name: !!python/object/apply:os.system ["touch gone"]\n',
        "1:7: a tag 'tag:yaml.org,2002:python/object/apply:os.system'",
    ),
    "a Python name": yaml("name: !!python/name:os.system\n", "1:7: a tag 'tag:yaml.org,2002:python/name:os.system'"),
    "a tag of its own": yaml("name: !odd x\n", "1:7: a tag '!odd'"),
    "bytes": yaml("name: !!binary aGE=\n", "1:7: a tag 'tag:yaml.org,2002:binary'"),
    "a set": yaml("name: !!set {a, b}\n", "1:7: a tag 'tag:yaml.org,2002:set'"),
    "a directive for tags": yaml(
        "%TAG ! tag:other.example,2000:\n---\nname: !x odd\n", "3:7: a tag 'tag:other.example,2000:x'"
    ),
    "a version that doesn't exist": yaml("%YAML 9.9\n---\nname: odd\n", "1:1: found incompatible YAML document"),
    "a merge key": yaml(term() + "<<: {name: other}\n", "6:1: the key '<<'"),
    "merge keys to depth": yaml("<<: {" * 60 + "a: b" + "}" * 60 + "\n", "1:60: nesting too deep"),
    "a merge of anchors": yaml("a: &a {b: c}\n<<: *a\n", "1:4: an anchor &a"),
    "lists to depth": yaml("name: " + "[" * 40_000 + "\n", "1:1006: exceeded maximum nesting depth"),
    "mappings to depth": yaml("\n".join(f"{' ' * n}a:" for n in range(200)) + "\n", "13:13: nesting too deep"),
    "dashes to depth": yaml("name:\n  " + "- " * 5_000 + "a\n", "2:25: nesting too deep"),
    "a list as a key": yaml("? [a, b]\n: c\n", "1:3: a key that is no text"),
    "a mapping as a key": yaml("{a: b}: c\n", "1:1: a key that is no text"),
    "two documents": yaml("name: odd\n---\nname: other\n", "2:1: a second document"),
    "a key ten thousand times": yaml("a: b\n" * 10_000, "2:1: the key 'a' a second time"),
    "four thousand keys": yaml("".join(f"key{n}: a\n" for n in range(4_000)), "1:1: 3904 more faults"),
    "ten million bytes": yaml("# " + "x" * 9_999_998, "1:1: 10000000 bytes"),
    "ten million bytes of brackets": yaml("[" * 10_000_000, "1:1: 10000000 bytes"),
    "one byte too many": yaml(b"#" * (LARGEST_ENTRY + 1), "1:1: 50001 bytes"),
    "many signs for comments": yaml("- #a\n" * 9_000, "1:3: an unquoted #a"),
    "a NUL": yaml(b"name: o\0dd\n", "1:8: a character that YAML doesn't allow"),
    "UTF-16": yaml(term().encode("utf-16"), "1:1: bytes that are no UTF-8"),
    "bytes that are no UTF-8": yaml(b"name: od\xff\n", "1:9: bytes that are no UTF-8"),
    "a surrogate in bytes": yaml(b"name: od\xed\xa0\x80\n", "1:9: bytes that are no UTF-8"),
    "half a sign, escaped": field(r'"od\ud800d"', "1:12: found invalid Unicode character escape code"),
    "a NUL, escaped": field(r'"od\0d"', "1:7: the sign U+0000"),
    "orders to a terminal, escaped": field(r'"\e]0;gone\a"', "1:7: the sign U+001B"),
    "a line that reads backwards, escaped": field(r'"odd \u202Eddo"', "1:7: the sign U+202E"),
    "a line that reads backwards": field('"odd \u202eddo"', "1:7: the sign U+202E"),
    "a tab for a space": yaml("name:\n\todd\n", "2:1: a tab"),
    "a name without end": field("x" * 40_000, "1:7: 40000 characters"),
    "a text without end": prose("x" * 40_000, "4:7: 40001 characters"),
    "a hundred thousand sources": field("[" + "x, " * 100_000 + "x]", "1:1: 300057 bytes", "sources"),
    "a number with forty thousand digits": field(
        "9" * 40_000, "1:7: a number, '99999999999999999999999999999999999999999999999999999999999\u2026'"
    ),
    "no number": field(".nan", "1:7: a number, '.nan'"),
}

NAMES: dict[str, Case] = {
    "two dots within": named("a..b.yaml", "a..b.yaml:1:1: the id 'a..b'"),
    "a way up, escaped": named("a..%2f..%2fgone.yaml", "a..%2f..%2fgone.yaml:1:1: the id 'a..%2f..%2fgone'"),
    "a way up with backslashes": named(
        "a\\..\\..\\gone.yaml", "a\\..\\..\\gone.yaml:1:1: the id 'a\\\\..\\\\..\\\\gone'"
    ),
    "a drive": named("c:gone.yaml", "c:gone.yaml:1:1: the id 'c:gone'"),
    "a stream of a file": named("odd.yaml:gone.yaml", "odd.yaml:gone.yaml:1:1: the id 'odd.yaml:gone'"),
    "the console": named("con.yaml", "con.yaml:1:1: the id 'con', which is a device's name on Windows"),
    "nothing at all": named("nul.yaml", "nul.yaml:1:1: the id 'nul', which is a device's name on Windows"),
    "a printer": named("prn.yaml", "prn.yaml:1:1: the id 'prn', which is a device's name on Windows"),
    "an old port": named("aux.yaml", "aux.yaml:1:1: the id 'aux', which is a device's name on Windows"),
    "the first port": named("com1.yaml", "com1.yaml:1:1: the id 'com1', which is a device's name on Windows"),
    "the last printer port": named("lpt9.yaml", "lpt9.yaml:1:1: the id 'lpt9', which is a device's name on Windows"),
    "a line end": named("a\nb.yaml", "a\\nb.yaml:1:1: the id 'a\\nb'"),
    "a space": named("a b.yaml", "a b.yaml:1:1: the id 'a b'"),
    "a dot at the end": named("odd..yaml", "odd..yaml:1:1: the id 'odd.'"),
    "a dash first": named("-rf.yaml", "-rf.yaml:1:1: the id '-rf'"),
    "capitals": named("Odd.yaml", "Odd.yaml:1:1: the id 'Odd'"),
    "an id without end": named("x" * 200 + ".yaml", f"{'x' * 200}.yaml:1:1: an id of 200 characters"),
    "a Cyrillic letter": named("mіnor.yaml", "mіnor.yaml:1:1: the id 'mіnor', in which one letter is U+0456"),
    "a Greek letter": named("οdd.yaml", "οdd.yaml:1:1: the id 'οdd', in which one letter is U+03BF"),
    "wide letters": named("ｏｄｄ.yaml", "ｏｄｄ.yaml:1:1: the id 'ｏｄｄ', in which one letter is U+FF4F"),
    "a letter and its accent apart": named(
        "me\u0301lodie.yaml", "mélodie.yaml:1:1: the id 'mélodie', in which one letter is U+0301"
    ),
    "an i without its dot": named("mınor.yaml", "mınor.yaml:1:1: the id 'mınor', in which one letter is U+0131"),
    "a Kelvin": named("\u212aey.yaml", "Key.yaml:1:1: the id 'Key', in which one letter is U+212A"),
    "a sign that turns the direction": named(
        "odd\u202elmay.yaml", "odd\\u202elmay.yaml:1:1: the id 'odd\\u202elmay', in which one letter is U+202E"
    ),
    "a mark of direction": named(
        "od\u200fd.yaml", "od\\u200fd.yaml:1:1: the id 'od\\u200fd', in which one letter is U+200F"
    ),
    "a sign of no width": named(
        "od\u200dd.yaml", "od\\u200dd.yaml:1:1: the id 'od\\u200dd', in which one letter is U+200D"
    ),
    "a soft hyphen": named("od\u00add.yaml", "od\\xadd.yaml:1:1: the id 'od\\xadd', in which one letter is U+00AD"),
    "a picture": named("🎹.yaml", "🎹.yaml:1:1: the id '🎹', in which one letter is U+1F3B9"),
    "bytes that are no text": named(
        b"od\xff.yaml", "od\\udcff.yaml:1:1: the id 'od\\udcff', in which one letter is U+DCFF"
    ),
    "orders to a terminal": named("od\x1b[31md.yaml", "od\\x1b[31md.yaml:1:1: the id 'od\\x1b[31md'"),
    "a lone note": named("c.yaml", "c.yaml:1:1: the id 'c'"),
    "a root's beginning": named("flat-odd.yaml", "flat-odd.yaml:1:1: the id 'flat-odd'"),
    "another entry's id": (
        {"content/chord-symbols/measure.yaml": term()},
        "content/chord-symbols/measure.yaml:1:1: no 'degrees'",
    ),
    "a picture with a script": (
        {"content/terms/odd.svg": "<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>"},
        "content/terms/odd.svg:1:1: the ending '.svg'",
    ),
    "a page": named("odd.html", "odd.html:1:1: the ending '.html'"),
    "a script": named("odd.js", "odd.js:1:1: the ending '.js'"),
    "the other ending": named("odd.yml", "odd.yml:1:1: the ending '.yml'"),
    "two endings": named("odd.yaml.exe", "odd.yaml.exe:1:1: the ending '.exe'"),
    "no ending": named("odd", "odd:1:1: the ending ''"),
    "a folder": ({"content/terms/odd/odd.yaml": term()}, "content/terms/odd:1:1: a folder 'odd'"),
    "a folder called like an entry": (
        {"content/terms/odd.yaml/odd.yaml": term()},
        "content/terms/odd.yaml:1:1: a folder 'odd.yaml'",
    ),
    "a folder of its own": ({"content/assets/odd.js": "alert(1)"}, "content/assets:1:1: an unknown folder 'assets'"),
    "a page in front of all": (
        {"content/index.html": "<script>alert(1)</script>"},
        "content/index.html:1:1: an unknown file 'index.html'",
    ),
    "a Markdown page in front of all": (
        {"content/index.md": "<script>alert(1)</script>"},
        "content/index.md:1:1: an unknown file 'index.md'",
    ),
    "a page for robots": (
        {"content/robots.txt": "Disallow: /"},
        "content/robots.txt:1:1: an unknown file 'robots.txt'",
    ),
}

PLACES: dict[str, Case] = {
    "an entry that links out of the tree": (
        {"content/terms/odd.yaml": Link("/etc/passwd")},
        "content/terms/odd.yaml:1:1: a link to another file",
    ),
    "an entry that links to another": (
        {"content/terms/odd.yaml": Link("measure.yaml")},
        "content/terms/odd.yaml:1:1: a link to another file",
    ),
    "an entry that links to nothing": (
        {"content/terms/odd.yaml": Link("gone.yaml")},
        "content/terms/odd.yaml:1:1: a link to another file",
    ),
    "an entry that links to itself": (
        {"content/terms/odd.yaml": Link("odd.yaml")},
        "content/terms/odd.yaml:1:1: a link to another file",
    ),
    "a hidden link among entries": (
        {"content/terms/.odd": Link("/")},
        "content/terms/.odd:1:1: a link to another file",
    ),
    "a folder of entries that is a link": ({"content/odd": Link("/")}, "content/odd:1:1: a link to another file"),
    "a hidden link in front of all": ({"content/.odd": Link("/")}, "content/.odd:1:1: a link to another file"),
    "guides that are a link": ({"content/guides": Link("/")}, "content/guides:1:1: a link to another file"),
    "a guide that links out of the tree": (
        {"content/guides/odd.md": Link("/etc/passwd")},
        "content/guides/odd.md:1:1: a link to another file",
    ),
    "a folder of guides that links out of the tree": (
        {"content/guides/odd": Link("/")},
        "content/guides/odd:1:1: a link to another file",
    ),
    "a hidden link among guides": (
        {"content/guides/.odd": Link("/")},
        "content/guides/.odd:1:1: a link to another file",
    ),
    "a guide that links in a circle": (
        {"content/guides/odd": Link("..")},
        "content/guides/odd:1:1: a link to another file",
    ),
    "a reply that links out of the tree": (
        {"content/replies/odd.yaml": Link("/etc/passwd")},
        "content/replies/odd.yaml:1:1: a link to another file",
    ),
    "a language of replies that links out of the tree": (
        {"content/replies/pt": Link("/etc")},
        "content/replies/pt:1:1: a link to another file",
    ),
    "sentences that link out of the tree": (
        {"content/phrases/de.po": Link("/etc/passwd")},
        "content/phrases/de.po:1:1: a link to another file",
    ),
    "an entry that never ends": ({"content/terms/odd.yaml": Pipe()}, "content/terms/odd.yaml:1:1: no regular file"),
    "a guide that never ends": ({"content/guides/odd.md": Pipe()}, "content/guides/odd.md:1:1: no regular file"),
    "a reply that never ends": ({"content/replies/odd.yaml": Pipe()}, "content/replies/odd.yaml:1:1: no regular file"),
    "sentences that never end": ({"content/phrases/de.po": Pipe()}, "content/phrases/de.po:1:1: no regular file"),
    "a ledger that links out of the tree": (
        {"permalinks.yaml": Link("/etc/passwd")},
        "permalinks.yaml:1:1: a link to another file",
    ),
    "a ledger that never ends": ({"permalinks.yaml": Pipe()}, "permalinks.yaml:1:1: no regular file"),
    "a redirect out of the site": (
        {"permalinks.yaml": "redirects:\n  /../../gone/: /terms/measure/\n"},
        "permalinks.yaml:2:3: a redirect from '/../../gone/'",
    ),
    "a redirect to another host": (
        {"permalinks.yaml": f"redirects:\n  /terms/bar/: {HOST}/\n"},
        "permalinks.yaml:2:16: a redirect to 'https://other.example/'",
    ),
    "a redirect to a script": (
        {"permalinks.yaml": "redirects:\n  /terms/bar/: 'javascript:alert(1)'\n"},
        "permalinks.yaml:2:16: a redirect to 'javascript:alert(1)'",
    ),
    "a guide with a script beside it": (
        {"content/guides/odd.js": "alert(1)"},
        "content/guides/odd.js:1:1: the file 'odd.js'",
    ),
    "a guide that is HTML": (
        {"content/guides/odd.html": "<script>alert(1)</script>"},
        "content/guides/odd.html:1:1: the file 'odd.html'",
    ),
    "a guide with a picture that runs": (
        {"content/guides/odd.svg": "<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>"},
        "content/guides/odd.svg:1:1: the file 'odd.svg'",
    ),
    "guides in folders": ({"content/guides/odd/odd.md": "# Odd\n"}, "content/guides/odd:1:1: the file 'odd'"),
    "a guide called like a device": (
        {"content/guides/nul.md": "# Odd\n"},
        "content/guides/nul.md:1:1: the id 'nul', which is a device's name on Windows",
    ),
}

PROSE: dict[str, Case] = {
    "a script": prose("<script>alert(1)</script>", "5:3: raw HTML"),
    "a script in capitals": prose("<SCRIPT SRC=//other.example/x.js></SCRIPT>", "5:3: raw HTML"),
    "a script within a word": prose("a<script>alert(1)</script>", "5:4: raw HTML"),
    "an event handler": prose("<img src=x onerror=alert(1)>", "5:3: raw HTML"),
    "a drawing that runs": prose("<svg/onload=alert(1)>", "5:3: raw HTML"),
    "a frame": prose(f'<iframe src="{HOST}/"></iframe>', "5:3: raw HTML"),
    "a style": prose("<style>body{display:none}</style>", "5:3: raw HTML"),
    "a style of one element": prose('<p style="position:fixed">Words.</p>', "5:3: raw HTML"),
    "an object": prose('<object data="x.swf"></object>', "5:3: raw HTML"),
    "a form": prose(f'<form action="{HOST}/"><input name=a></form>', "5:3: raw HTML"),
    "another base": prose(f'<base href="{HOST}/">', "5:3: raw HTML"),
    "a leap away": prose(f'<meta http-equiv="refresh" content="0;url={HOST}/">', "5:3: raw HTML"),
    "a comment": prose("<!-- words -->", "5:3: raw HTML"),
    "raw data": prose("<![CDATA[<script>]]>", "5:3: raw HTML"),
    "an instruction": prose("<?php echo 1 ?>", "5:3: raw HTML"),
    "an end tag": prose("</p></article><h1>Gone</h1>", "5:3: raw HTML"),
    "HTML in code": prose("`<script>`", "5:4: raw HTML"),
    "a link that runs": prose("[words](javascript:alert(1))", "5:11: a link to 'javascript:alert(1)'"),
    "a link that runs, in mixed letters": prose(
        "[words](JaVaScRiPt:alert(1))", "5:11: a link to 'JaVaScRiPt:alert(1)'"
    ),
    "a link that runs, in entities": prose("[words](&#106;avascript:alert(1))", "5:9: a link to 'javascript:alert(1)'"),
    "a link that runs, with a sign between": prose(
        "[words](java\x01script:alert)", "5:15: a character that YAML doesn't allow"
    ),
    "a link that runs, in brackets": prose("[words](<javascript:alert(1)>)", "5:11: raw HTML"),
    "a link of data": prose(
        "[words](data:text/html;base64,PHNjcmlwdD4=)", "5:11: a link to 'data:text/html;base64,PHNjcmlwdD4='"
    ),
    "a link of an old script": prose("[words](vbscript:x)", "5:11: a link to 'vbscript:x'"),
    "a link to a file": prose("[words](file:///etc/passwd)", "5:11: a link to 'file:///etc/passwd'"),
    "a link to a host": prose("[words](//other.example/)", "5:11: a link to '//other.example/'"),
    "a link to a host with backslashes": prose(
        r"[words](\\\\other.example/)", "5:13: a link to '\\\\\\\\other.example/'"
    ),
    "a link without a lock": prose("[words](http://other.example/)", "5:11: a link to 'http://other.example/'"),
    "a link by itself that runs": prose("<javascript:alert(1)>", "5:3: raw HTML"),
    "a link out of the site": prose("[words](../../../etc/passwd)", "5:11: a link to '../../../etc/passwd'"),
    "a reference": prose(f"[words][a]\n\n[a]: {HOST}/", "7:3: a link reference"),
    "references without end": prose("\n".join(f"[a{n}]: #x" for n in range(250)), "5:3: 250 opening brackets"),
    "a reference that runs": prose("[words][a]\n\n[a]: javascript:alert(1)", "7:3: a link reference"),
    "a picture of another host": prose(f"![words]({HOST}/x.png)", "5:3: a picture"),
    "a picture of data": prose("![words](data:image/svg+xml;base64,PHN2Zz4=)", "5:3: a picture"),
    "brackets without end": prose("[" * 2_900, "5:3: 2900 opening brackets"),
    "pictures without end": prose("![" * 1_400, "5:3: a picture"),
    "links without end": prose("[a](" * 700, "5:3: 700 opening brackets"),
    "lists within lists": prose("- " * 1_400, "5:3: lists within lists on one line"),
    "numbers within numbers": prose("1. " * 900, "5:3: lists within lists on one line"),
    "quotations within quotations": prose("> " * 1_400, "5:3: lists within lists on one line"),
    "a heading": prose("# Gone", "5:3: a heading"),
    "a rule that makes a heading": prose("Gone\n====", "6:3: a heading or rule"),
    "a sign that turns the direction": prose("odd \u202eddo", "5:7: a direction mark"),
    "orders to an attribute": prose("words {: onclick=alert(1) }", "5:9: {: onclick=alert(1) }"),
    "a template's statement": prose("{% include '/etc/passwd' %}", "5:3: {% include '/etc/passwd' %}"),
    "a template's comment": prose("{# words #}", "5:3: {# words #}"),
    "a shell's variable": prose("${HOME}", "5:4: {HOME}"),
    "a brace that reaches into the program": prose("{name.__class__.__mro__}", "5:3: {name.__class__.__mro__}"),
    "a brace without end": prose(
        "{" + "1" * 2_900 + "}", "5:3: {1111111111111111111111111111111111111111111111111111111111\u2026}"
    ),
}

GUIDES: dict[str, Case] = {
    "a script": guide("<script>alert(1)</script>\n", "5:1: raw HTML"),
    "an event handler": guide("Words <img src=x onerror=alert(1)>\n", "5:7: raw HTML"),
    "a frame": guide(f'<iframe src="{HOST}/"></iframe>\n', "5:1: raw HTML"),
    "a style": guide('<div style="position:fixed">Words.</div>\n', "5:1: raw HTML"),
    "a place for a picture": guide('<figure data-example="5"></figure>\n', "5:1: raw HTML"),
    "a link that runs": guide("[words](javascript:alert(1))\n", "5:9: a link to 'javascript:alert(1)'"),
    "a link that runs, in entities": guide(
        "[words](&#106;avascript:alert(1))\n", "5:7: a link to 'javascript:alert(1)'"
    ),
    "a link that runs, with a tab in it": guide(
        "[words](java&#9;script:alert(1))\n", "5:7: a link to 'java\\tscript:alert(1)'"
    ),
    "a link of data": guide("[words](data:text/html,x)\n", "5:9: a link to 'data:text/html,x'"),
    "a link to a host": guide("[words](//other.example/)\n", "5:9: a link to '//other.example/'"),
    "a link to a host with one backslash": guide(
        r"[words](/\\other.example/)" + "\n", "5:7: a link to '/\\\\other.example/'"
    ),
    "a picture of another host": guide(f"![words]({HOST}/x.png)\n", "5:1: a picture"),
    "a reference that runs": guide("[words][a]\n\n[a]: javascript:alert(1)\n", "7:1: a link reference"),
    "brackets without end": guide("[" * 10_000 + "\n", "5:1: 10000 opening brackets"),
    "lists within lists": guide("- " * 5_000 + "\n", "5:1: lists within lists on one line"),
    "a guide without end": guide("x" * LONGEST_GUIDE, "1:1: 20039 characters"),
    "ten million bytes": guide("x" * 10_000_000, "1:1: 10000039 bytes"),
    "rhythms without end": guide("```count\nrhythm: 4\nmeter: 1/4\n```\n" * 61, "1:1: 61 counted rhythms"),
    "a rhythm that is no YAML": guide("```count\nrhythm: &a [*a]\n```\n", "6:9: an anchor &a"),
    "a rhythm without end": guide(f"```count\nrhythm: {'4 ' * 2_000}\nmeter: 4/4\n```\n", "6:9: 3999 characters"),
    "a head that another program reads": guide(
        "template: gone.html\n\nWords.\n", "1:1: a head that isn't between two lines of ---", ""
    ),
    "a head that ends otherwise": guide(
        "---\ntitle: Odd\n...\nWords.\n", "1:1: a head that isn't between two lines of ---", ""
    ),
    "a head with a template": guide(
        "", "4:1: the key 'template'", "---\ntitle: Odd\ndescription: Words.\ntemplate: gone.html\n---\n"
    ),
    "a head that runs": guide(
        "", "2:8: a tag 'tag:yaml.org,2002:python/name:os.system'", "---\ntitle: !!python/name:os.system\n---\n"
    ),
    "a title with a script": guide(
        "", "2:8: raw HTML", '---\ntitle: "</title><script>x</script>"\ndescription: Words.\n---\n'
    ),
    "a heading with a script": guide("# </title><script>x</script>\n", "1:3: raw HTML", ""),
    "a title that reads backwards": guide(
        "", "2:8: the sign U+202E", '---\ntitle: "odd \u202e"\ndescription: Words.\n---\n'
    ),
}

SENTENCES: dict[str, Case] = {
    "a sentence with a script": phrases("<script>alert(1)</script>", "4:1: raw HTML in 'home'"),
    "a sentence with an event handler": phrases("<img src=x onerror=alert(1)>", "4:1: raw HTML in 'home'"),
    "a sentence that reaches into the program": phrases(
        "{link.__class__}", "4:1: the placeholder 'link.__class__' in 'reply-page'", "reply-page"
    ),
    "a sentence as wide as memory": phrases(
        "{link:>999999999}", "4:1: the placeholder 'link:>999999999' in 'reply-page'", "reply-page"
    ),
    "a sentence with an unknown value": phrases("{secret}", "4:1: the placeholder 'secret' in 'home'"),
    "a sentence that isn't closed": phrases("{link", "4:1: a brace that isn't closed in 'reply-page'", "reply-page"),
    "a catalogue that is none": (
        {"content/phrases/de.po": b"\x89PNG\r\n"},
        "content/phrases/de.po:1:1: bytes that are no UTF-8",
    ),
    "a catalogue of ten million bytes": (
        {"content/phrases/de.po": "#" * 10_000_000},
        "content/phrases/de.po:1:1: 10000000 bytes",
    ),
    "a reply that reaches into the program": reply('"{symbol.__class__}"', "1:7: {symbol.__class__} in the text"),
    "a reply as wide as memory": reply('"{symbol:>999999999}"', "1:7: {symbol:>999999999} in the text"),
    "a reply with half a sign": reply(r'"\ud800"', "1:10: found invalid Unicode character escape code"),
    "a reply of a million signs": reply("x" * 900_000, "1:7: 900000 characters"),
}

HARMLESS: dict[str, str] = {
    "a template's value": "{{ 3711 * 2 }}",
    "a template's value that reaches into the program": "{{ config.__class__ }}",
    "a server's tag": "<% include %>",
    "a sum": "=1+1",
    "a macro of formulas": "@SUM(A1:A9)",
    "a formula of TeX": r"$\input{/etc/passwd}$".replace("{", "").replace("}", ""),
    "an address in words": "javascript:alert(1)",
    "quotation marks": "\"'`",
    "an end of a script without its sign": "/script>",
    "a snippet": '--8<-- "mkdocs.yml"',
    "an admonition": "!!! danger onclick",
    "a task": "- [x] words",
    "a footnote": "words[^1]",
    "a shortcode": ":material-alert:",
    "emphasis without end": "*_" * 1_400,
    "code without end": "`" * 2_900,
    "entities without end": "&" * 2_900,
    "backslashes without end": "\\" * 2_900,
    "pipes without end": "|" * 2_900,
    "closing brackets without end": "]" * 2_900,
    "signs below signs": "o" + "\u0300" * 2_000,
    "a word that reads from the right": "\u05d0\u05d1",
}
"""Texts that get no line: what they would do elsewhere they don't do here, and on the page they are text."""

KINDS = {
    "YAML": YAML,
    "names": NAMES,
    "places": PLACES,
    "prose": PROSE,
    "guides": GUIDES,
    "sentences": SENTENCES,
}
"""All that gets a line, by what is tried."""
