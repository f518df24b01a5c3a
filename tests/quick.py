"""Runner of `make quick`: the tests of the changed folders, and one browser scene.

Without changes in the working tree, the last commit is used. Only the scene uses a browser. Test
files are added until they and the scene fill a minute by their recorded times; those left out are
printed.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

from tests.recorded_times import ROOT, recorded, seconds_of

BUDGET_S = 60.0
# Two workers, the browser and the server start for it, too.
START_S = 10.0
ALWAYS = ("tests/test_layout.py", "tests/test_guides.py")
# Tests of a part that are outside the folder of the same name.
ALSO: dict[str, tuple[str, ...]] = {
    "tests/reference/rules": ("tests/rules",),
    "webapp/rules": ("tests/rules", "tests/archive"),
    "static/rules": ("tests/rules", "tests/node"),
    "static/store": ("tests/node",),
    "static/sync": ("tests/node",),
    "static/spec": ("tests/test_spec.py", "tests/records", "tests/rules"),
    "static/words": ("tests/words",),
    "static": ("tests/client/test_bundle.py", "tests/words"),
    "webapp": ("tests/test_config.py", "tests/test_cli.py"),
    "demo_data": ("tests/example_data",),
    "pyproject.toml": ("tests/test_locks.py",),
    ".ci": ("tests/test_locks.py",),
}
SCENES: dict[str, str] = {
    "static/features/shelf": "shop",
    "static/features/palate": "review",
    "static/features/book": "review",
    "static/domain/evidence": "kitchen",
    "static/features/settings": "new_phone",
    "static/features/guest": "table",
    "static/features/table": "table",
    "static/features": "cellar",
    "static/rules": "shop",
    "webapp/group_tasting": "table",
    "webapp/palate": "shop",
    "webapp/auth": "new_phone",
    "webapp/sync": "new_phone",
    "webapp/archive": "new_phone",
}
USUAL_SCENE = "cellar"


def changed() -> list[str]:
    """Return uncommitted paths, including new ones, or else those of the last commit."""
    now = _git("diff", "--name-only", "HEAD") + _git("ls-files", "-o", "--exclude-standard")
    return now or _git("diff", "--name-only", "HEAD~1", "HEAD")


def _git(*arguments: str) -> list[str]:
    done = subprocess.run(
        ["git", *arguments], cwd=ROOT, capture_output=True, text=True, check=False
    )
    return done.stdout.split()


def touched_by(paths: Iterable[str]) -> list[str]:
    """Return the test files of these paths, without browser tests, fastest first."""
    found: dict[str, None] = dict.fromkeys(ALWAYS)
    for path in paths:
        for place in _places(path):
            found.update(dict.fromkeys(_test_files(place)))
    times = recorded()
    return sorted(found, key=lambda file: (file not in ALWAYS, seconds_of(file, times)))


def _places(path: str) -> list[str]:
    parts = Path(path).parts
    if parts[0] == "tests" and not path.startswith("tests/reference/"):
        return [path if Path(path).name.startswith("test_") else str(Path(path).parent)]
    mirrored = ["/".join(("tests", *parts[1:2]))] if parts[0] == "webapp" else []
    also = [each for start, each in ALSO.items() if path == start or path.startswith(f"{start}/")]
    return [*mirrored, *(place for each in also for place in each)]


def _test_files(place: str) -> list[str]:
    whole = ROOT / place
    files = [whole] if whole.is_file() else sorted(whole.glob("**/test_*.py"))
    named = [str(file.relative_to(ROOT)) for file in files]
    return [name for name in named if not name.startswith("tests/browser/")]


def budget_after(scene: str) -> float:
    """Return the seconds that this scene leaves to other tests."""
    return max(BUDGET_S - START_S - seconds_of(scene, recorded()), 0.0)


def within_budget(files: Iterable[str], budget_s: float) -> tuple[list[str], list[str]]:
    """Divide files into those that fit into the budget or always run, and the others."""
    times, left = recorded(), budget_s
    taken: list[str] = []
    skipped: list[str] = []
    for file in files:
        left -= seconds_of(file, times)
        (taken if left >= 0 or file in ALWAYS else skipped).append(file)
    return taken, skipped


def scene_of(paths: Iterable[str]) -> str:
    """Return the scene of the first path that has one, or the default."""
    names = [
        name for path in paths for start, name in SCENES.items() if path.startswith(f"{start}/")
    ]
    return f"tests/browser/test_scene_{(names or [USUAL_SCENE])[0]}.py"


def main() -> int:
    """Run both parts; return the exit code of the first that fails."""
    paths = changed()
    scene = scene_of(paths)
    taken, skipped = within_budget(touched_by(paths), budget_after(scene))
    if skipped:
        print("Left to `make test`, for they would take too long:", *skipped, sep="\n  ")
    print("The scene:", scene)
    selected = "not browser and not extended"
    first = _pytest("-n", "2", "--dist", "loadfile", "-m", selected, *taken)
    return first or _pytest("-m", "not extended", "-k", "not firefox", "-x", scene)


def _pytest(*arguments: str) -> int:
    command = [sys.executable, "-m", "pytest", "-q", *arguments]
    return subprocess.run(command, cwd=ROOT, check=False).returncode


if __name__ == "__main__":
    raise SystemExit(main())
