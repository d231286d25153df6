"""Checks that builds have not become grossly slower beside their floor: one round of `site_build.py`, twice its aims.

It builds for a minute and a half, so that the weekly run does it, with ``--hypothesis-profile=thorough``. The aims:
cold 1.25 times MkDocs and Verovio, warm 1.25 and with one entry edited 1.3 times MkDocs alone. The ratios are printed.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import settings

from .site_build import Bench, measured, print_table, ratios

AIMS = {"demo, cold": 1.25, "demo, warm": 1.25, "demo, one entry edited": 1.3}


WEEKLY = settings().max_examples >= settings.get_profile("thorough").max_examples


@pytest.mark.skipif(not WEEKLY, reason="it takes a minute and a half: the weekly run does it")
def test_builds_beside_their_floor(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bench = Bench(tmp_path)
    costs = measured(bench, 1)
    with capsys.disabled():
        print()
        print_table(bench.pages, costs)
    found = {name: taken[0] for name, taken in ratios(costs).items()}
    assert {name for name, ratio in found.items() if ratio > 2 * AIMS[name]} == set(), found
