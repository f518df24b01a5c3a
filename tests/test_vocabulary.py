"""Names use standard terms: replaced words must not come back.

The names of files, functions, classes, constants and tests are checked; in the server's code also
parameters, variables, attributes and events of the log. Stored names and names in the protocol
keep their old words, because records, tables and migrations cannot be renamed.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parent.parent
# Each replaced word and its standard term.
BANNED = {
    "begun": "created, started",
    "door": "loader",
    "doors": "loaders",
    "doubt": "variance, margin",
    "fate": "change",
    "fates": "changes",
    "handed": "given",
    "heaviest": "max",
    "keeper": "setter",
    "kin": "related",
    "knots": "steps",
    "lay": "place, select",
    "leaning": "direction, ratio",
    "ledger": "list",
    "looked_back": "max count",
    "mend": "correct",
    "pace": "intake",
    "rooms": "screens",
    "sameness": "identity",
    "sayable": "with a message",
    "standing": "status, current",
    "stays": "survivor",
    "strand": "row",
    "strands": "rows",
    "stranger": "distinct, unknown",
    "strangers": "distinct, unknown",
    "surest": "most likely",
    "take_out": "remove",
    "tallied": "counted",
    "tallies": "counts",
    "trouble": "error",
    "uncover": "reveal",
    "under_way": "in flight",
    "widest": "max",
    "beside": "compare, during",
    "brake": "throttle",
    "brakes": "throttles",
    "catalogue": "search index",
    "edition": "release",
    "editions": "releases",
    "faulty": "invalid",
    "forgive": "reset",
    "gate": "request checks",
    "gist": "summary",
    "hearers": "listeners",
    "hindrance": "auth issue",
    "house": "server, app",
    "houses": "servers",
    "insist": "assert, require",
    "leaflet": "dialog",
    "mended": "corrected",
    "overtaken": "stale",
    "overruled": "superseded",
    "stood": "was",
    "twin": "duplicate, mirrored",
    "twins": "duplicates, mirrored",
    "unsaid": "cleared, unknown",
    "unwritten": "journal",
    "woken": "interrupted",
    "in_hand": "current pour",
    "take_up": "load",
    "lay_aside": "close",
    "open_wall": "row-level security",
    "second_wall": "row-level security",
    "word_for_word": "unchanged",
}
# Names that must keep an old word, with the reason.
ALLOWED = {
    "overruled_at": "a column and a key of the archive",
    "standing": "a key of the API",
}
SKIPPED = (
    "static/packed/",  # generated
    "static/vendor/",  # third-party
    "static/words/",  # message keys are stored names
    "tests/releases/",  # recorded from published releases
    "webapp/migrations/",  # published migrations
)
SUFFIXES = {".py", ".js", ".mjs", ".css", ".json", ".txt", ".md"}
FOLDERS = ("webapp", "static", "tests", ".ci")
DECLARED = re.compile(
    r"^(?:export )?(?:default )?(?:async )?(?:function\*?|const|let|class) (\w+)", re.MULTILINE
)
WORD = re.compile(r"[A-Z]+(?![a-z])|[A-Z]?[a-z]+")


def banned_in(name: str) -> list[str]:
    words = "_".join(word.lower() for word in WORD.findall(name))
    return [word for word in BANNED if f"_{word}_" in f"_{words}_"]


def python_names(source: str) -> Iterator[str]:
    tree = ast.parse(source)
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            yield node.name
    for statement in tree.body:
        if isinstance(statement, ast.Assign):
            yield from (one.id for one in statement.targets if isinstance(one, ast.Name))
        elif isinstance(statement, ast.AnnAssign) and isinstance(statement.target, ast.Name):
            yield statement.target.id


def inner_names(source: str) -> Iterator[str]:
    """Yield parameters, variables and attributes that are set, and events of the log."""
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.arg(arg=name):
                yield name
            case ast.Name(id=name, ctx=ast.Store()) | ast.Attribute(attr=name, ctx=ast.Store()):
                yield name
            case ast.Call(
                func=ast.Attribute(value=ast.Name(id="_log")), args=[ast.Constant(value=name), *_]
            ):
                yield str(name)


def files() -> Iterator[tuple[str, Path]]:
    for folder in FOLDERS:
        for path in (ROOT / folder).rglob("*"):
            name = path.relative_to(ROOT).as_posix()
            if path.suffix in SUFFIXES and not name.startswith(SKIPPED):
                yield name, path


def names_of(name: str, path: Path) -> Iterator[str]:
    yield name.rpartition(".")[0]
    if path.suffix == ".py":
        yield from python_names(path.read_text("utf-8"))
        if name.startswith("webapp/"):
            yield from inner_names(path.read_text("utf-8"))
    elif path.suffix in (".js", ".mjs"):
        yield from DECLARED.findall(path.read_text("utf-8"))


def test_names_use_no_replaced_word() -> None:
    wrong = {
        f"{file}: {name}": {word: BANNED[word] for word in words}
        for file, path in files()
        for name in names_of(file, path)
        if name not in ALLOWED and (words := banned_in(name))
    }
    assert wrong == {}


def test_replaced_words_are_found_in_any_case() -> None:
    assert banned_in("inHand") == banned_in("IN_HAND") == ["in_hand"]
    assert banned_in("screens/TwinsList") == ["twins"]
    assert banned_in("warehouse") == banned_in("propagate") == []
    source = "FAULTY = 1\nclass House:\n    def insist(self): ...\n"
    assert [banned_in(name) for name in python_names(source)] == [["house"], ["insist"], ["faulty"]]
    source = "def f(gist):\n    trouble = 1\n    _log.info('sign_in_brake', extra={})\n"
    assert [*inner_names(source)] == ["gist", "trouble", "sign_in_brake"]
