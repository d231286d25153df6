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


PINNED = {
    "checkout": ("3d3c42e5aac5ba805825da76410c181273ba90b1", "7.0.1"),
    "setup-python": ("5fda3b95a4ea91299a34e894583c3862153e4b97", "7.0.0"),
    "upload-artifact": ("bbbca2ddaa5d8feaa63e36b76fdaad77386f024f", "7.0.0"),
    "cache": ("27d5ce7f107fe9357f9df03efb73ab90386fccae", "5.0.5"),
    "upload-pages-artifact": ("fc324d3547104276b827a68afc52ff2a11cc49c9", "5.0.0"),
    "deploy-pages": ("cd2ce8fcbc39b97be8ca5fce6e763baed58fa128", "5.0.0"),
}
"""The commit of each action that may be used, and its version; a newer one is set here and in the workflows at once."""


@pytest.mark.parametrize("path", WORKFLOWS, ids=lambda path: path.stem)
def test_an_action_is_used_at_the_commit_that_was_looked_at_and_says_its_version(path):
    used = re.findall(r"uses: actions/([a-z-]+)@(\w+) # v(\S+)", path.read_text())
    assert len(used) == path.read_text().count("uses: ")
    assert all(PINNED[name] == (commit, version) for name, commit, version in used)


def test_a_pull_request_is_checked_built_kept_for_a_look_and_summed_up():
    """In this order, and from the pull request's own code alone, which gets no secret and may only read."""
    workflow = read(GITHUB / "workflows" / "pull-request.yml")
    assert list(workflow[True]) == ["pull_request"]  # YAML 1.1 reads the key `on` as true
    [job] = workflow["jobs"].values()
    steps = [f"{step.get('uses', '')} {step.get('run', '')}" for step in job["steps"]]
    wanted = ("understave check --format github", ".ci/run", "actions/upload-artifact", "understave compare")
    places = [next(index for index, step in enumerate(steps) if word in step) for word in wanted]
    assert places == sorted(places)
    assert "GITHUB_STEP_SUMMARY" in steps[places[-1]]


def test_only_main_is_published():
    triggers = read(GITHUB / "workflows" / "publish.yml")[True]  # YAML 1.1 reads the key `on` as true
    assert triggers == {"push": {"branches": ["main"]}}
