"""Component lists contain every locked package, and audit results are parsed correctly."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parent.parent
SPEC = importlib.util.spec_from_file_location("sbom", ROOT / ".ci" / "sbom.py")
assert SPEC is not None
assert SPEC.loader is not None
sbom = importlib.util.module_from_spec(SPEC)
SPEC.loader.exec_module(sbom)

VALID = {"name": "flask", "version": "3.1.0", "vulns": []}
INVALID = {"name": "pillow", "version": "9.0", "vulns": [{"id": "PYSEC-1"}, {"id": "PYSEC-2"}]}
SKIPPED = {"name": "numpy", "skip_reason": "Dependency not found on PyPI"}


def test_the_client_list_names_every_locked_package(tmp_path: Path) -> None:
    document = sbom.client_list(tmp_path)
    assert document["bomFormat"] == "CycloneDX"
    assert sbom.listed(document) == sbom.locked_packages()
    assert len(sbom.locked_packages()) > 20


def test_the_server_lock_is_read_whole() -> None:
    lock = (ROOT / ".ci" / "locks" / "run.txt").read_text("utf-8")
    assert len(sbom.locked_parts()) == sum("==" in line.split("#")[0] for line in lock.splitlines())


@pytest.mark.parametrize(
    ("parts", "flaws"),
    [
        ([VALID, SKIPPED], []),
        ([VALID, INVALID], ["pillow 9.0: PYSEC-1", "pillow 9.0: PYSEC-2"]),
        ([SKIPPED], None),
        ([], None),
    ],
)
def test_an_audit_of_python_parts_is_read(
    parts: list[dict[str, Any]], flaws: list[str] | None
) -> None:
    assert sbom.python_flaws({"dependencies": parts}) == flaws


@pytest.mark.parametrize(
    ("report", "flaws"),
    [
        ({"vulnerabilities": {}}, []),
        ({"vulnerabilities": {"dexie": {"severity": "high"}}}, ["dexie: high"]),
        ({"message": "405 Method Not Allowed"}, None),
        ({}, None),
    ],
)
def test_an_audit_of_npm_packages_is_read(report: dict[str, Any], flaws: list[str] | None) -> None:
    assert sbom.npm_flaws(report) == flaws


@pytest.mark.parametrize(
    ("flaws", "good", "line"),
    [
        (None, True, "server: not checked: no network\n"),
        ([], True, "server: no known flaw\n"),
        (["pillow 9.0: PYSEC-1"], False, "server: pillow 9.0: PYSEC-1\n"),
    ],
)
def test_a_known_flaw_alone_is_a_failure(
    flaws: list[str] | None, good: bool, line: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert sbom.say("server", flaws) is good
    assert capsys.readouterr().out == line


def test_invalid_audit_report_is_detected() -> None:
    assert [sbom.read(text) for text in ("", "no JSON", "[]", '{"a": 1}')] == [{}, {}, {}, {"a": 1}]
