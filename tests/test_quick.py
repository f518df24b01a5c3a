"""Selection of tests by `make quick` for a change."""

from __future__ import annotations

import pytest

from tests import quick
from tests.recorded_times import ROOT


@pytest.mark.parametrize(
    ("path", "file"),
    [
        ("webapp/sync/merge.py", "tests/sync/test_service.py"),
        ("static/rules/label/alcohol_range.js", "tests/rules/test_vectors.py"),
        ("static/words/fr/pour.json", "tests/words/test_translations.py"),
        ("tests/palate/fit/test_jar.py", "tests/palate/fit/test_jar.py"),
        ("tests/sync/conftest.py", "tests/sync/test_service.py"),
    ],
)
def test_quick_takes_tests_of_the_changed_folder(path, file):
    assert file in quick.touched_by([path])


def test_quick_takes_no_browser_test():
    files = quick.touched_by(["tests/browser/conftest.py", "static/features/pour/screen.js"])
    assert files
    assert [file for file in files if file.startswith("tests/browser/")] == []


def test_quick_leaves_out_what_does_not_fit(monkeypatch):
    monkeypatch.setattr(quick, "recorded", lambda: {"a": 5.0, "b": 50.0, "c": 10.0})
    assert quick.within_budget(["a", "c", "b"], 20.0) == (["a", "c"], ["b"])


def test_quick_counts_the_scene_as_part_of_its_minute(monkeypatch):
    monkeypatch.setattr(quick, "recorded", lambda: {"short": 5.0, "long": 130.0})
    assert quick.budget_after("short") == quick.BUDGET_S - quick.START_S - 5.0
    assert quick.budget_after("long") == 0.0


def test_quick_always_runs_the_checks_of_the_layout():
    files = [*quick.ALWAYS, "tests/palate/fit/test_jar.py"]
    assert quick.within_budget(files, 0.0) == (list(quick.ALWAYS), files[-1:])


@pytest.mark.parametrize(
    ("path", "scene"),
    [
        ("static/features/shelf/screen.js", "shop"),
        ("static/features/pour/screen.js", "cellar"),
        ("webapp/auth/login.py", "new_phone"),
        ("static/features/guest/screen.js", "table"),
        ("README.md", "cellar"),
    ],
)
def test_quick_plays_the_nearest_scene(path, scene):
    assert quick.scene_of([path]) == f"tests/browser/test_scene_{scene}.py"


def test_quick_names_only_scenes_and_folders_that_exist():
    places = [place for each in quick.ALSO.values() for place in each]
    scenes = [quick.scene_of([f"{start}/x"]) for start in quick.SCENES]
    named = [*places, *scenes, *quick.SCENES]
    assert [place for place in named if not (ROOT / place).exists()] == []
