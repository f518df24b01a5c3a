"""The client's modules under Node: unit tests, and the vectors shared with Python."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
NODE = ("node", "--import", "./tests/node/environment.mjs")
FILES = sorted(str(path.relative_to(ROOT)) for path in (ROOT / "tests" / "node").glob("*.test.mjs"))
# What a test file must not mention to share a process with others: state that outlives it.
SHARED_STATE = re.compile(
    r"store|\bdb\b|indexeddb|globalThis|defineProperty|mock\.timers|env\.TZ", re.I
)
PURE = [name for name in FILES if not SHARED_STATE.search((ROOT / name).read_text("utf-8"))]
OTHERS = [name for name in FILES if name not in PURE]
# Long enough for a busy machine. A file that does not end is stopped first, and named.
PATIENCE_S = 900
FILE_LIMIT = "--test-timeout=300000"


@pytest.mark.timeout(PATIENCE_S + 60)
@pytest.mark.parametrize(
    "words",
    [
        ("--test", "--test-concurrency=2", FILE_LIMIT, *OTHERS),
        ("tests/node/one_process.mjs", *PURE),
        ("tests/vectors/run.mjs",),
    ],
    ids=["tests", "tests of pure functions", "vectors"],
)
def test_client_passes_under_node(words: tuple[str, ...]) -> None:
    done = subprocess.run(
        [*NODE, *words], cwd=ROOT, capture_output=True, text=True, timeout=PATIENCE_S
    )
    assert done.returncode == 0, failures(done.stdout) + done.stderr[-2_000:]


def failures(text: str) -> str:
    """Return the part of Node's output about failed tests."""
    if "\nnot ok" not in text:
        return text[-4_000:]
    return "\n".join(f"not ok{part[:1_500]}" for part in text.split("\nnot ok")[1:])
