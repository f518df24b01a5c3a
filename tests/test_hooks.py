"""Pre-commit hooks: local commands from the Makefile, which `make check` runs too."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import yaml

ROOT = Path(__file__).parent.parent
MAKEFILE = (ROOT / "Makefile").read_text(encoding="utf-8")


def hooks() -> list[dict[str, Any]]:
    text = (ROOT / ".pre-commit-config.yaml").read_text(encoding="utf-8")
    repos = yaml.safe_load(text)["repos"]
    assert [one["repo"] for one in repos] == ["local"]
    return list(repos[0]["hooks"])


def recipe(target: str) -> str:
    found = re.search(rf"^{target}:.*\n((?:\t.*\n)+)", MAKEFILE, re.MULTILINE)
    assert found, target
    return found[1]


def test_each_hook_is_a_make_target_of_its_name() -> None:
    assert [one["id"] for one in hooks()] == ["format", "lint", "pack"]
    for hook in hooks():
        assert hook["entry"] == f"make --no-print-directory {hook['id']}"
        assert hook["language"] == "system"
        assert recipe(hook["id"])


def test_make_check_runs_every_hook() -> None:
    assert "-m pre_commit run --all-files" in recipe("check")


def test_hooks_look_at_the_files_they_change() -> None:
    wanted = {hook["id"]: re.compile(hook["files"]) for hook in hooks()}
    for file in ("webapp/config.py", "static/app.js", "static/styles/base.css"):
        assert wanted["format"].search(file), file
    assert wanted["lint"].search("tests/node/merge.test.mjs")
    assert wanted["pack"].search("static/styles/base.css")
    assert not wanted["pack"].search("static/packed/first.js")
    assert not wanted["format"].search("README.md")
