"""The vendored modules: hashes, versions, licences, and no bare imports or source maps."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from pathlib import Path

import pytest

VENDOR = Path(__file__).parents[3] / "static" / "vendor"
LISTED = json.loads((VENDOR / "vendored.json").read_text(encoding="utf-8"))["files"]
LOCKED = json.loads((VENDOR / "package-lock.json").read_text(encoding="utf-8"))["packages"]


@pytest.mark.parametrize("entry", LISTED, ids=lambda entry: entry["file"])
def test_vendored_file_matches_the_lock_and_licence(entry):
    content = (VENDOR / entry["file"]).read_bytes()
    digest = base64.b64encode(hashlib.sha384(content).digest()).decode()
    licences = (VENDOR / "LICENCES.md").read_text(encoding="utf-8")
    assert entry["integrity"] == f"sha384-{digest}"
    assert LOCKED[f"node_modules/{entry['package']}"]["version"] == entry["version"]
    assert f"## {entry['package']} {entry['version']} ({entry['license']})" in licences


def test_vendor_folder_has_no_unlisted_file():
    found = {
        str(path.relative_to(VENDOR))
        for path in VENDOR.rglob("*")
        if path.suffix in {".js", ".woff2", ".wasm", ".gz"} and "node_modules" not in path.parts
    }
    assert found == {entry["file"] for entry in LISTED}


@pytest.mark.parametrize("path", sorted(VENDOR.glob("*.js")), ids=lambda path: path.name)
def test_vendored_module_has_no_bare_import_or_source_map(path):
    text = path.read_text(encoding="utf-8")
    imports = re.findall(r'\b(?:from|import)\s*"([^"]*)"', text)
    assert [name for name in imports if re.fullmatch(r"[@\w][\w/-]*", name)] == []
    assert "sourceMappingURL" not in text
