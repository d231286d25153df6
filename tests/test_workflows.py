"""Audits the workflows: least permissions, pinned actions, no secrets near others' code; and the forms' shapes."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import yaml

GITHUB = Path(".github")
WORKFLOWS = sorted(GITHUB.glob("workflows/*.yml"))
FORMS = sorted(path for path in GITHUB.glob("ISSUE_TEMPLATE/*.yml") if path.stem != "config")

BIN = Path(sys.executable).parent


def read(path: Path) -> dict[Any, Any]:
    return dict(yaml.safe_load(path.read_text(encoding="utf-8")))


def test_zizmor_finds_nothing():
    """zizmor, an auditor of workflows (PyPI), run offline."""
    found = subprocess.run([BIN / "zizmor", "--offline", "-q", *WORKFLOWS], capture_output=True, text=True, check=False)
    assert found.returncode == 0, found.stdout + found.stderr


@pytest.mark.parametrize(
    ("schema", "paths"), [("vendor.github-workflows", WORKFLOWS), ("vendor.github-issue-forms", FORMS)]
)
def test_the_files_keep_to_their_schemas(schema, paths):
    """The schemas that check-jsonschema carries (PyPI, from SchemaStore)."""
    assert paths
    command = [BIN / "check-jsonschema", "--builtin-schema", schema, *paths]
    found = subprocess.run(command, capture_output=True, text=True, check=False)
    assert found.returncode == 0, found.stdout + found.stderr


@pytest.mark.parametrize("path", WORKFLOWS, ids=lambda path: path.stem)
def test_a_workflow_reads_only_and_ends_in_time(path):
    workflow = read(path)
    assert workflow["permissions"] == {"contents": "read"}
    assert "concurrency" in workflow
    assert all("timeout-minutes" in job for job in workflow["jobs"].values())
    assert "pull_request_target" not in path.read_text()
    assert "secrets." not in path.read_text()
    wider = {name: job["permissions"] for name, job in workflow["jobs"].items() if "permissions" in job}
    assert wider in ({}, {"deploy": {"pages": "write", "id-token": "write"}})


@pytest.mark.parametrize("path", WORKFLOWS, ids=lambda path: path.stem)
def test_actions_are_pinned_by_commit(path):
    used = re.findall(r"uses: (\S+)", path.read_text())
    assert used
    assert all(re.fullmatch(r"actions/[a-z-]+@[0-9a-f]{40}", name) for name in used)


def test_only_main_is_published():
    triggers = read(GITHUB / "workflows" / "publish.yml")[True]  # YAML 1.1 reads the key `on` as true
    assert triggers == {"push": {"branches": ["main"]}}
