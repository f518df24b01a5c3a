"""The house's plan, held by machine: sizes, import arrows, twins by name, words that exist."""

from __future__ import annotations

import ast
import json
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PYTHON = [p for folder in ("webapp", "tests") for p in (ROOT / folder).rglob("*.py")]
SCRIPT = [
    p for p in (ROOT / "static").rglob("*.js") if not {"vendor", "packed"} & set(p.parts)
]
SHEETS = list((ROOT / "static" / "style").glob("*.css"))
FILE_LINES = 300
IMPORT = re.compile(r"""(?:from|import)\s*\(?['"](\.[^'"]+)['"]""")
COLOUR = re.compile(r"(?<![\w-])#[0-9a-fA-F]{3,8}\b|\brgba?\(|\bhsla?\(")
FUNCTION_LINES = 60

PYTHON_ARROWS = {
    "palate": {"palate"},
    "trade": {"trade", "spec"},
    "records": {"records", "db", "spec", "config"},
    "sync": {"sync", "records", "accounts", "db", "spec", "config"},
    "accounts": {"accounts", "records", "db", "spec", "config"},
    "export": {"export", "sync", "records", "accounts", "db", "spec", "config"},
}
FORBIDDEN_LIBRARIES = {
    "palate": {"flask", "sqlalchemy", "sklearn"},
    "trade": {"flask", "sqlalchemy"},
}
SCRIPT_ARROWS = {
    "parts": {"rooms", "book"},
    "book": {"rooms", "parts"},
    "trade": {"rooms", "parts", "book"},
}


def relative(path: Path) -> str:
    return str(path.relative_to(ROOT))


@pytest.mark.parametrize("path", [*PYTHON, *SCRIPT, *SHEETS], ids=relative)
def test_no_file_is_longer_than_a_reader_can_hold(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= FILE_LINES


@pytest.mark.parametrize("path", PYTHON, ids=relative)
def test_no_function_is_longer_than_a_screen(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    functions = [n for n in ast.walk(tree) if isinstance(n, ast.FunctionDef | ast.AsyncFunctionDef)]
    long = {f.name: f.end_lineno - f.lineno + 1 for f in functions}
    assert {name: lines for name, lines in long.items() if lines > FUNCTION_LINES} == {}


def imported(path: Path) -> set[str]:
    """Full names of modules that a Python file imports; relative ones are resolved."""
    package = list(path.relative_to(ROOT).with_suffix("").parts)
    base = package if path.name == "__init__.py" else package[:-1]
    names = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            parent = base[: len(base) - node.level + 1] if node.level else []
            stem = ".".join([*parent, *([node.module] if node.module else [])])
            names |= {f"{stem}.{alias.name}" for alias in node.names}
    return names


@pytest.mark.parametrize("folder", sorted(PYTHON_ARROWS))
def test_imports_point_down_in_the_server(folder):
    wrong = []
    for path in (ROOT / "webapp" / folder).rglob("*.py"):
        for name in imported(path):
            head, *rest = name.split(".")
            if head == "webapp" and rest and rest[0] not in PYTHON_ARROWS[folder]:
                wrong.append((relative(path), name))
            if head in FORBIDDEN_LIBRARIES.get(folder, set()):
                wrong.append((relative(path), name))
    assert wrong == []


@pytest.mark.parametrize("folder", sorted(SCRIPT_ARROWS))
def test_imports_point_down_in_the_client(folder):
    wrong = []
    for path in (ROOT / "static" / folder).rglob("*.js"):
        for target in IMPORT.findall(path.read_text(encoding="utf-8")):
            where = (path.parent / target).resolve().relative_to(ROOT / "static")
            if where.parts[0] in SCRIPT_ARROWS[folder]:
                wrong.append((relative(path), target))
    assert wrong == []


def vector_files() -> list[Path]:
    return sorted((ROOT / "tests" / "vectors").glob("*.json"))


@pytest.mark.parametrize("path", vector_files(), ids=relative)
def test_twins_are_twins_by_name(path):
    """`label_range` in Python is `labelRange` in the client; a vector file names both."""
    doc = json.loads(path.read_text(encoding="utf-8"))
    if not doc.get("js"):
        return
    python = doc["python"].split(":")[1]
    camel = re.sub(r"_(\w)", lambda m: m.group(1).upper(), python)
    assert doc["js"].split("#")[1] == camel


def test_no_raw_colour_outside_the_tokens():
    wrong = []
    for path in SHEETS:
        if path.name == "tokens.css":
            continue
        found = COLOUR.findall(path.read_text(encoding="utf-8"))
        wrong += [(path.name, colour) for colour in found]
    assert wrong == []


def words(language: str) -> dict[str, str]:
    files = sorted((ROOT / "static" / "words" / language).glob("*.json"))
    return {
        key: text
        for file in files
        for key, text in json.loads(file.read_text(encoding="utf-8")).items()
    }


def test_every_word_asked_for_in_full_is_in_the_message_files():
    english = words("en")
    missing = set()
    for path in SCRIPT:
        for key in re.findall(r"""\bt\(\s*['"]([\w.]+)['"]""", path.read_text(encoding="utf-8")):
            if key not in english and f"{key}.other" not in english:
                missing.add((relative(path), key))
    assert missing == set()
