"""Building aside: the new site is built in a folder beside the old one and takes its place in one step."""

from __future__ import annotations

import ctypes
import os
import shutil
from pathlib import Path

_AT_CWD = -100
_EXCHANGE = 2
_PREFIX = ".understave-building-"


def folder_aside(final: Path) -> Path:
    """Return the folder in which the site for ``final`` is built; what dead builds left there is removed."""
    for left in final.parent.glob(f"{_PREFIX}*"):
        owner = left.name.removeprefix(_PREFIX).partition("-")[0]
        if not owner.isdigit() or not _alive(int(owner)):
            shutil.rmtree(left, ignore_errors=True)
    return final.parent / f"{_PREFIX}{os.getpid()}-{final.name}"


def _alive(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True


def swap_in(aside: Path, final: Path) -> None:
    """Put the site in ``aside`` in the place of ``final``, by exchange where the system can; drop the old one."""
    if not final.exists():
        aside.rename(final)
        return
    if not _exchanged(aside, final):
        old = aside.with_name(aside.name + "-old")
        final.rename(old)
        aside.rename(final)
        aside = old
    shutil.rmtree(aside)


def _exchanged(one: Path, other: Path) -> bool:
    """Exchange two folders in one step. Returns False where the system has no such call."""
    try:
        renameat2 = ctypes.CDLL(None, use_errno=True).renameat2
    except (OSError, AttributeError):
        return False
    return int(renameat2(_AT_CWD, os.fsencode(one), _AT_CWD, os.fsencode(other), _EXCHANGE)) == 0
