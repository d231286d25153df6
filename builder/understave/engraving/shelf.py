"""Where made things are kept between builds: texts by key in one file, each read when it is asked for."""

from __future__ import annotations

import logging
import sqlite3
from collections.abc import Iterator, MutableMapping
from contextlib import suppress
from functools import cached_property
from pathlib import Path

from understave.entries.shelves import tell_damaged

log = logging.getLogger(__name__)

WAIT = 10
"""Seconds that a build waits for another one that uses the same file; then it works without what is kept."""

_SETTINGS = (
    "PRAGMA auto_vacuum = FULL",
    "PRAGMA synchronous = OFF",  # what is lost with the power is made again
    "PRAGMA locking_mode = EXCLUSIVE",
    "BEGIN EXCLUSIVE",
    "CREATE TABLE IF NOT EXISTS shelf (key TEXT PRIMARY KEY, text TEXT NOT NULL) WITHOUT ROWID",
    "COMMIT",
)


class Shelf(MutableMapping[str, str]):
    """Texts by key in ``file``, which is made when it is first used; without a file they are kept until the end.

    What was put in stays after `commit`; `close` lets the next build have the file. A file that is damaged is begun
    anew; where it can't be used, or the disk takes no more, that is told, and what isn't kept stays in memory.
    """

    def __init__(self, file: Path | None) -> None:
        self.file = file
        self._fresh: dict[str, str] = {}

    @cached_property
    def _database(self) -> sqlite3.Connection:
        try:
            return _opened(self.file)
        except (sqlite3.OperationalError, OSError) as error:
            self._tell(error)
        except sqlite3.DatabaseError:
            assert self.file is not None
            tell_damaged(self.file)
            with suppress(sqlite3.Error, OSError):
                self.file.unlink()
                return _opened(self.file)
        return _opened(None)

    def __getitem__(self, key: str) -> str:
        if key in self._fresh:
            return self._fresh[key]
        found = self._database.execute("SELECT text FROM shelf WHERE key = ?", (key,)).fetchone()
        if found is None:
            raise KeyError(key)
        return str(found[0])

    def __setitem__(self, key: str, text: str) -> None:
        self._fresh[key] = text

    def __delitem__(self, key: str) -> None:
        if self._fresh.pop(key, None) is None and key not in self:
            raise KeyError(key)
        try:
            self._database.execute("DELETE FROM shelf WHERE key = ?", (key,))
        except sqlite3.Error as error:
            self._tell(error)

    def __contains__(self, key: object) -> bool:
        kept = "SELECT 1 FROM shelf WHERE key = ?"
        return key in self._fresh or self._database.execute(kept, (key,)).fetchone() is not None

    def __iter__(self) -> Iterator[str]:
        kept = (key for (key,) in self._database.execute("SELECT key FROM shelf").fetchall())
        yield from sorted({*kept, *self._fresh})

    def __len__(self) -> int:
        return sum(1 for _ in self)

    def commit(self) -> None:
        """Keep what was put in and taken out."""
        try:
            self._database.executemany("INSERT OR REPLACE INTO shelf VALUES (?, ?)", self._fresh.items())
            self._database.commit()
        except sqlite3.Error as error:
            self._database.rollback()
            self._tell(error)
        else:
            self._fresh.clear()

    def close(self) -> None:
        """Let go of the file; what wasn't committed is lost. The next use opens it again."""
        self._fresh.clear()
        if "_database" in vars(self):
            self._database.close()
            del self._database

    def __del__(self) -> None:
        self.close()

    def _tell(self, error: Exception) -> None:
        why = error.strerror if isinstance(error, OSError) else error
        log.warning("%s: can't be kept: %s; it is worked out each time", self.file, why)


def _opened(file: Path | None) -> sqlite3.Connection:
    if file is not None:
        file.parent.mkdir(parents=True, exist_ok=True)
    database = sqlite3.connect(file or "", timeout=WAIT, check_same_thread=False)
    try:
        for setting in _SETTINGS:
            database.execute(setting)
        if file is not None and database.execute("PRAGMA quick_check").fetchone() != ("ok",):
            raise sqlite3.DatabaseError("damaged")
    except sqlite3.Error:
        database.close()
        raise
    return database
