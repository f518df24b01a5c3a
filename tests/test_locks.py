"""Every dependency is locked with its hash, installed as locked, and has an accepted licence."""

from __future__ import annotations

import json
import re
import tomllib
from importlib import metadata
from pathlib import Path

ROOT = Path(__file__).parent.parent
LOCKS = ("run", "test", "audit")
PINNED = re.compile(r"^([A-Za-z0-9._-]+)(?:\[[\w,-]+\])?==([^\s;\\]+)", re.MULTILINE)
# Free licences that only require their text to be included or, as LGPL and MPL, that changes to
# the library itself are published.
FREE = re.compile(
    r"\b(MIT|BSD|Apache|ISC|PSF|Python Software Foundation|LGPL|Lesser|MPL|Mozilla|HPND|CMU"
    r"|Unlicense|Public Domain|Zope|ZPL|0BSD|CC0)",
    re.IGNORECASE,
)
LICENCE_FILE = re.compile(r"(LICEN[CS]E|COPYING)", re.IGNORECASE)


def lock(name: str) -> str:
    return (ROOT / ".ci" / "locks" / f"{name}.txt").read_text(encoding="utf-8")


def normal(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def pinned(name: str) -> dict[str, set[str]]:
    """Return the locked versions by name; some packages have several, by Python version."""
    found: dict[str, set[str]] = {}
    for one, version in PINNED.findall(lock(name)):
        found.setdefault(normal(one), set()).add(version)
    return found


def test_every_requirement_is_pinned_with_its_hashes() -> None:
    entries = [
        (name, entry)
        for name in LOCKS
        for entry in re.split(r"\n(?=\S)", lock(name).strip())
        if not entry.startswith("#")
    ]
    assert [
        (name, entry[:80])
        for name, entry in entries
        if not PINNED.match(entry) or "--hash=sha256:" not in entry
    ] == []


def test_lock_names_no_registry() -> None:
    lines = [(name, line) for name in LOCKS for line in lock(name).splitlines()]
    assert [
        (name, line) for name, line in lines if "://" in line and not line.lstrip().startswith("#")
    ] == []


def test_runtime_and_test_locks_agree() -> None:
    run, test = pinned("run"), pinned("test")
    assert {name: test.get(name) for name in run} == run


def names(requirements: list[str]) -> set[str]:
    return {normal(re.split(r"[\[>=<~!; ]", one)[0]) for one in requirements}


def test_every_requirement_of_the_project_is_locked() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project["optional-dependencies"]
    to_run = names(project["dependencies"]) | names(extras["workers"])
    assert to_run - set(pinned("run")) == set()
    assert (to_run | names(extras["test"])) - set(pinned("test")) == set()


def test_vendored_packages_are_locked_with_hash_and_licence() -> None:
    vendor = ROOT / "static" / "vendor"
    packages = json.loads((vendor / "package-lock.json").read_text("utf-8"))["packages"]
    files = json.loads((vendor / "vendored.json").read_text("utf-8"))["files"]
    assert files
    for file in files:
        locked = packages[f"node_modules/{file['package']}"]
        assert (file["version"], file["license"]) == (locked["version"], locked["license"])
    for name, locked in packages.items():
        assert name == "" or locked["integrity"].startswith("sha512-"), name


def installed() -> list[metadata.Distribution]:
    """Return the locked distributions that are installed; others are for other systems."""
    wanted = pinned("test")
    return [one for one in metadata.distributions() if normal(one.metadata["Name"]) in wanted]


def licence_of(one: metadata.Distribution) -> str:
    """Return the licence metadata of a distribution, or the start of its licence files."""
    items = [one.metadata.get("License-Expression") or "", one.metadata.get("License") or ""]
    items += [line for line in one.metadata.get_all("Classifier") or [] if "License" in line]
    if not any(items):
        files = [file for file in one.files or [] if LICENCE_FILE.match(file.name)]
        items = [file.read_text()[:200] for file in files]
    return " ".join(items)


def test_dependency_is_the_locked_one_with_a_free_licence() -> None:
    locked = pinned("test")
    assert installed()
    wrong: dict[str, str] = {}
    for one in installed():
        name, licence = one.metadata["Name"], licence_of(one)
        if one.version not in locked[normal(name)]:
            wrong[name] = f"{one.version} is installed, {locked[normal(name)]} are locked"
        elif not FREE.search(licence):
            wrong[name] = f"licence {licence!r}"
    assert wrong == {}
