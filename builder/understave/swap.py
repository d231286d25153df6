"""Building aside: the new site is built in a folder beside the old one and takes its place in one step."""

from __future__ import annotations

import ctypes
import errno
import os
import shutil
from contextlib import suppress
from pathlib import Path

_AT_CWD = -100
_EXCHANGE = 2
_PREFIX = ".understave-building-"


_OLD = "-old"


def folder_aside(final: Path) -> Path:
    """Return the folder in which the site for ``final`` is built; what dead builds left there is removed.

    A build that died between its two renames left the old site aside: that goes back to its place.
    """
    for left in sorted(final.parent.glob(f"{_PREFIX}*")):
        owner, _, site = left.name.removeprefix(_PREFIX).partition("-")
        if owner.isdigit() and _alive(int(owner)):
            continue
        if site == final.name + _OLD and not final.exists():
            with suppress(OSError):
                left.rename(final)
        else:
            shutil.rmtree(left, ignore_errors=True)
    return final.parent / f"{_PREFIX}{os.getpid()}-{final.name}"


def _alive(process: int) -> bool:
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return True


def swap_in(aside: Path, final: Path) -> None:
    """Put the site in ``aside`` in the place of ``final``, by exchange where the system can; drop the old one.

    Raises OSError where that can't be done; the old site is in its place then.
    """
    if not final.exists():
        try:
            aside.rename(final)
            return
        except OSError as error:
            if error.errno not in (errno.ENOTEMPTY, errno.EEXIST):  # another build was there first
                raise
    if not final.is_dir():
        raise NotADirectoryError(errno.ENOTDIR, os.strerror(errno.ENOTDIR), str(final))
    if not _exchanged(aside, final):
        old = aside.with_name(aside.name + _OLD)
        final.rename(old)
        try:
            aside.rename(final)
        except OSError:
            old.rename(final)
            raise
        aside = old
    shutil.rmtree(aside, ignore_errors=True)  # what is left of it the next build removes


def _exchanged(one: Path, other: Path) -> bool:
    """Exchange two folders in one step. Returns False where the system has no such call."""
    try:
        renameat2 = ctypes.CDLL(None, use_errno=True).renameat2
    except (OSError, AttributeError):
        return False
    return int(renameat2(_AT_CWD, os.fsencode(one), _AT_CWD, os.fsencode(other), _EXCHANGE)) == 0
