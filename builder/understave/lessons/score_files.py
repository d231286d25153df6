"""Score files: the MusicXML that a file holds, unpacked within a bound, or why it may not be read."""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from pathlib import Path

LARGEST_SCORE = 20_000_000
"""The size in bytes, unpacked, above which a score is refused."""

_FULL_PATH = re.compile(rb"<rootfile\b[^>]*?\bfull-path\s*=\s*[\"']([^\"']+)[\"']")
_FOREIGN = re.compile(rb"<\?xml-stylesheet|http://www\.w3\.org/(?:1999/xhtml|2000/svg)|<(?:\w+:)?script\b", re.I)
"""What could run or restyle when the file is opened in a browser, which it is handed out to."""

_CONTAINER = "META-INF/container.xml"


class ScoreError(ValueError):
    """A score can't be read; the message says why, in a few words."""


def musicxml_of(path: Path) -> bytes:
    """Return the MusicXML of a plain or a compressed file. Raises ScoreError for what can't or mustn't be read.

    A compressed file is known by its first bytes, as its ending may say anything. Its container names the score (the
    MusicXML 4.0 tutorial on compressed files); without one the first MusicXML in it is taken.
    """
    if "\0" in str(path):
        raise ScoreError("it can't be opened: no file can have this name")
    try:
        if not (path.is_file() or path.is_dir()) and path.exists():  # a device may never end
            raise ScoreError("it can't be opened: it is no regular file")
        with path.open("rb") as file:
            raw = file.read(LARGEST_SCORE + 1)
    except OSError as error:
        raise ScoreError(f"it can't be opened: {error.strerror}") from None
    if len(raw) > LARGEST_SCORE:
        raise ScoreError(f"it is larger than {LARGEST_SCORE} bytes")
    is_packed = raw.startswith(b"PK") or path.suffix.lower() == ".mxl"
    files = _unpacked(raw) if is_packed else {path.name: raw}
    if any(b"<!ENTITY" in content.replace(b"\0", b"") for content in files.values()):  # UTF-16 is read as well
        raise ScoreError("it declares entities")
    if any(_FOREIGN.search(content.replace(b"\0", b"")) for content in files.values()):
        raise ScoreError("it holds markup that is no MusicXML")
    music = files.get(_named_by_container(files)) if is_packed else raw
    if music is None:
        music = next((files[name] for name in sorted(files) if _is_music(name)), b"")
    if not music.replace(b"\0", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \r\n\t").startswith(b"<"):
        raise ScoreError("it is no MusicXML")
    return music


def _named_by_container(files: dict[str, bytes]) -> str:
    match = _FULL_PATH.search(files.get(_CONTAINER, b""))
    return match[1].decode("utf-8", "replace") if match else ""


def _is_music(name: str) -> bool:
    return name.lower().endswith((".xml", ".musicxml")) and not name.startswith(("META-INF/", "__MACOSX/"))


def _unpacked(raw: bytes) -> dict[str, bytes]:
    """Return the files of an archive by name. The bound is on what really comes out."""
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as archive:
            contents: dict[str, bytes] = {}
            size = 0
            for item in archive.infolist():
                with archive.open(item) as file:
                    content = file.read(LARGEST_SCORE - size + 1)
                size += len(content)
                if size > LARGEST_SCORE:
                    raise ScoreError(f"it unpacks to more than {LARGEST_SCORE} bytes")
                contents[item.filename] = content
            return contents
    except (zipfile.BadZipFile, zlib.error, RuntimeError, NotImplementedError, EOFError, OSError, ValueError) as error:
        if isinstance(error, ScoreError):
            raise
        raise ScoreError("it is no compressed MusicXML") from None
