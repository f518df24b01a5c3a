"""Guides contain only existing names, all settings and commands, and stay short."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask

from tests.guide_facts import ROOT, commands, guides, targets, text_of
from tests.guides import Guides
from webapp import config, create_app, logs
from webapp.db.engine import db

OPERATIONS = "webapp/commands/README.md"
DEVELOPERS_BYTES = 12_000
README_BYTES = 5_000


@pytest.fixture(scope="module")
def app(empty_sqlite: Path) -> Iterator[Flask]:
    """Return one app for all of these tests, which only read its routes."""
    made = create_app({"DATABASE_URL": f"sqlite:///{empty_sqlite}"})
    yield made
    with made.app_context():
        db.engine.dispose()


@pytest.fixture(scope="module")
def checked(app: Flask) -> Guides:
    return Guides(app)


def test_every_part_has_its_guide() -> None:
    parts = ("webapp/sync", "webapp/auth", "webapp/palate", "webapp/commands", "static")
    parts += ("webapp/group_tasting", "static/words")
    wanted = {"README.md", "DEVELOPERS.md", "tests/README.md", *(f"{p}/README.md" for p in parts)}
    assert wanted - set(guides()) == set()


def test_guides_name_only_what_exists(checked: Guides) -> None:
    wrong = {name: checked.problems(text_of(name), (ROOT / name).parent) for name in guides()}
    assert {name: problems for name, problems in wrong.items() if problems} == {}


@pytest.mark.parametrize(
    "text",
    [
        "`make nothing`",
        "`make quick NOTHING=1`",
        "    make nothing",
        "`secondnose nothing`",
        "`secondnose user nothing`",
        "`secondnose serve --nothing`",
        "`secondnose db check ONE`",
        "    secondnose serve --nothing   # a comment",
        "`python -m tests.nothing`",
        "    .venv/bin/python -m tests.nothing",
        "`node tests/nothing.mjs`",
        "`static/nothing.js`",
        "    static/nothing   screens",
        "| 1.1.1 | tests/sync/test_of_nothing.py |",
        "`static/nothing/`",
        "`webapp/*/nothing.py`",
        "`nothing.js`",
        "`webapp.sync.nothing`",
        "`webapp.sync.merge.nothing`",
        "    gunicorn webapp.nothing:app --workers 4",
        "`nothing_at_all()`",
        "`merge()` (`webapp/sync/hlc.py`)",
        "`DRAFT_MS` in `webapp/sync/merge.py`",
        "| `static/store/write.js` | `mergeInto()`, `save()` |",
        "| `static/store/write.js` | `checkFields()` |",
        "`tests/sync/test_fault_table.py::test_of_nothing`",
        "`tests/sync/test_of_nothing.py::test_it`",
        "`GET /api/nothing`",
        "`GET /api/sync`",
        "`/api/photos/<id>/nothing`",
        "`/nothing.js`",
        "see /api/nothing",
        "`SECONDNOSE_NOTHING`",
        "    SECONDNOSE_NOTHING=1 make test",
        "`DATABASE_NOTHING`",
        "`--nothing-at-all`",
        "`nothing_of_the_sort`",
        '`{"nothing_of_the_sort": 1}`',
        "[a guide](nothing.md)",
        "[a heading](webapp/sync/README.md#nothing)",
    ],
)
def test_missing_names_are_reported(checked: Guides, text: str) -> None:
    assert len(checked.problems(text)) >= 1


@pytest.mark.parametrize(
    "text",
    [
        "`make quick`",
        '`make stress FILES="tests/sync"`',
        "    make test   # a comment",
        "`secondnose user add NAME`",
        "    secondnose serve --lan   # a comment",
        "`python -m tests.bench.sync`",
        "`static/store/write.js`",
        "`tests/browser/test_scene_*.py`",
        "`webapp.sync.merge`",
        "`webapp.sync.merge.merge`",
        "`merge()` (`webapp/sync/merge.py`)",
        "`DRAFT_MS` in `webapp/sync/apply.py`",
        "| `static/store/write.js` | `save()`, `saveMany()` |",
        "    gunicorn webapp.wsgi:app --workers 4",
        "`GET /api/photos/<id>`",
        "`/store/write.js`",
        "location /api/photos/",
        "`SECONDNOSE_LOG=requests`",
        "`--lan`",
        "[a heading](webapp/sync/README.md#fault-table)",
    ],
)
def test_existing_names_are_accepted(checked: Guides, text: str) -> None:
    assert checked.problems(text) == []


def test_operations_guide_names_every_setting() -> None:
    named = text_of(OPERATIONS)
    settings = {*config.ENVIRONMENT.values(), logs.VARIABLE}
    assert [name for name in sorted(settings) if f"`{name}`" not in named] == []


def test_operations_guide_names_every_command() -> None:
    named = text_of(OPERATIONS)
    assert [name for name in commands() if f"`secondnose {name}" not in named] == []


def test_guides_name_every_route_of_the_api(app: Flask) -> None:
    named = {re.sub(r"<\w+>", "<>", text) for guide in guides() for text in spans(guide)}
    missing = [
        f"{method} {rule.rule}"
        for rule in app.url_map.iter_rules()
        for method in sorted((rule.methods or set()) - {"HEAD", "OPTIONS"})
        if rule.rule.startswith("/api/")
        and f"{method} {re.sub(r'<[^>]+>', '<>', rule.rule)}" not in named
    ]
    assert missing == []


def spans(guide: str) -> list[str]:
    return re.findall(r"`([^`\n]+)`", text_of(guide))


def test_developer_guide_names_every_target() -> None:
    named = text_of("DEVELOPERS.md")
    assert [name for name in sorted(targets()) if f"`make {name}`" not in named] == []


def test_developer_guide_gives_a_reason_for_every_dependency() -> None:
    project = tomllib.loads(text_of("pyproject.toml"))["project"]
    extras = project["optional-dependencies"].values()
    required = [*project["dependencies"], *(one for extra in extras for one in extra)]
    vendored = json.loads(text_of("static/vendor/package.json"))
    packages = {re.split(r"[\[><=]", one)[0] for one in required}
    packages |= {*vendored["dependencies"], *vendored["devDependencies"]}
    table = text_of("DEVELOPERS.md").split("\n## Dependencies", 1)[1]
    first = " ".join(re.findall(r"^\| ([^|]+) \|", table, re.MULTILINE))
    named = re.findall(r"[\w@/-]+", first)
    assert [one for one in sorted(packages) if not any(name in one for name in named)] == []


def test_guides_keep_to_their_length() -> None:
    assert len(text_of("DEVELOPERS.md").encode()) <= DEVELOPERS_BYTES
    assert len(text_of("README.md").encode()) <= README_BYTES


def test_readme_states_the_purpose_in_three_short_sentences() -> None:
    title, purpose = text_of("README.md").split("\n\n")[:2]
    sentences = re.split(r"(?<=[.!?])\s+", purpose)
    assert title == "# Second Nose"
    assert 2 <= len(sentences) <= 3
    assert max(len(sentence.split()) for sentence in sentences) <= 25
    assert "`" not in purpose
