"""Where made things are kept between builds: texts by key in one file, each read when it is asked for."""

from __future__ import annotations

import logging
import sqlite3
from collections.abc import Iterator, MutableMapping
from contextlib import contextmanager
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

    A file that is damaged or can't be used costs time only: it is begun anew, or left alone. What was put in stays
    after `commit`; `close` lets the next build have the file.
    """

    def __init__(self, file: Path | None) -> None:
        self.file = file

    @cached_property
    def _database(self) -> sqlite3.Connection:
        for _ in range(2):
            try:
                return _opened(self.file)
            except (sqlite3.OperationalError, OSError) as error:
                why = error.strerror if isinstance(error, OSError) else error
                log.warning("%s: can't be kept: %s; it is worked out each time", self.file, why)
                break
            except sqlite3.DatabaseError:
                if self.file is None:
                    break
                tell_damaged(self.file)
                self.file.unlink(missing_ok=True)
        return _opened(None)

    def __getitem__(self, key: str) -> str:
        found = self._database.execute("SELECT text FROM shelf WHERE key = ?", (key,)).fetchone()
        if found is None:
            raise KeyError(key)
        return str(found[0])

    def __setitem__(self, key: str, text: str) -> None:
        """Put a text in. Raises OSError where the disk takes no more."""
        with self._told():
            self._database.execute("INSERT OR REPLACE INTO shelf VALUES (?, ?)", (key, text))

    def __delitem__(self, key: str) -> None:
        if self._database.execute("DELETE FROM shelf WHERE key = ?", (key,)).rowcount == 0:
            raise KeyError(key)

    def __contains__(self, key: object) -> bool:
        return self._database.execute("SELECT 1 FROM shelf WHERE key = ?", (key,)).fetchone() is not None

    def __iter__(self) -> Iterator[str]:
        yield from (key for (key,) in self._database.execute("SELECT key FROM shelf ORDER BY key").fetchall())

    def __len__(self) -> int:
        return int(self._database.execute("SELECT count(*) FROM shelf").fetchone()[0])

    def commit(self) -> None:
        """Keep what was put in and taken out. Raises OSError where the disk takes no more."""
        with self._told():
            self._database.commit()

    @contextmanager
    def _told(self) -> Iterator[None]:
        try:
            yield
        except sqlite3.Error as error:
            raise OSError(0, str(error), str(self.file or "")) from None

    def close(self) -> None:
        """Let go of the file; what wasn't committed is lost. The next use opens it again."""
        if "_database" in vars(self):
            self._database.close()
            del self._database

    def __del__(self) -> None:
        self.close()


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
