"""Names that guides may use: files, words, functions, settings, targets and commands."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from fnmatch import fnmatch
from functools import cache
from pathlib import Path

import click

from webapp import config, logs
from webapp.cli import main

ROOT = Path(__file__).resolve().parents[1]
# Excluded, because the tests of the guides contain names that do not exist.
OWN = ("tests/guides.py", "tests/guide_facts.py", "tests/test_guides.py")
SUFFIXES = (".py", ".js", ".mjs", ".json", ".css", ".html", ".toml", ".webmanifest")
SOURCES = (*SUFFIXES, "Makefile", ".ci/run", ".ci/venv", "LICENCES.md", ".txt")
# Folders of tools, and folders at the top that commands create.
SKIPPED = {"node_modules", "__pycache__"}
CREATED = {ROOT / name for name in ("book", "dist", "build")}
WORD = re.compile(r"[A-Za-z_][A-Za-z0-9_]{2,}")
SETTING = re.compile(r"\bSECONDNOSE_[A-Z_]+\b")
SCRIPT_NAME = re.compile(
    r"\b(?:function\*?|class|const|let)\s+(\w+)|^\s+(?:static |async |get )*(\w+)\(.*\) \{$",
    re.MULTILINE,
)


@cache
def files() -> tuple[str, ...]:
    """Return the files of the project, without installed tools."""
    return tuple(sorted(str(path.relative_to(ROOT)) for path in _walk(ROOT)))


def _walk(folder: Path) -> Iterator[Path]:
    for path in folder.iterdir():
        hidden = path.name.startswith(".") and path.name != ".ci"
        if path.is_file():
            yield path
        elif (
            not hidden
            and not path.is_symlink()
            and path.name not in SKIPPED
            and path not in CREATED
        ):
            yield from _walk(path)


@cache
def guides() -> tuple[str, ...]:
    return tuple(name for name in files() if Path(name).name in ("README.md", "DEVELOPERS.md"))


@cache
def text_of(file: str) -> str:
    return (ROOT / file).read_text(encoding="utf-8")


@cache
def sources() -> tuple[str, ...]:
    """Return the texts in which the words of guides must occur."""
    skipped = ("static/packed/", ".ci/locks/")
    return tuple(
        text_of(name)
        for name in files()
        if name.endswith(SOURCES)
        and name not in OWN
        and not name.startswith(skipped)
        and not fnmatch(name, "static/vendor/*.js")
    )


@cache
def words() -> frozenset[str]:
    return frozenset(word for text in sources() for word in WORD.findall(text))


@cache
def names_in(file: str) -> frozenset[str]:
    """Return names that a module defines or exports, or that a test module imports."""
    if not file.endswith(".py"):
        defined = {one or other for one, other in SCRIPT_NAME.findall(text_of(file))}
        lists = re.findall(r"^export \{([^}]*)\}", text_of(file), re.MULTILINE)
        return frozenset(defined | {name for names in lists for name in re.findall(r"\w+", names)})
    found: set[str] = set()
    for node in ast.walk(ast.parse(text_of(file))):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            found.add(node.name)
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
            found.add(node.id)
        elif isinstance(node, ast.ImportFrom) and file.startswith("tests/"):
            found |= {alias.asname or alias.name for alias in node.names}
    return frozenset(found)


@cache
def functions() -> frozenset[str]:
    parts = ("webapp/", "static/", "tests/")
    modules = [name for name in files() if name.endswith((".py", ".js")) and name.startswith(parts)]
    ours = [name for name in modules if not name.startswith(("static/packed", "static/vendor"))]
    return frozenset(name for file in ours if file not in OWN for name in names_in(file))


@cache
def settings() -> frozenset[str]:
    """Return the environment variables that the server, the tests or the Makefile read."""
    named = {word for text in sources() for word in SETTING.findall(text)}
    return frozenset(named | set(config.ENVIRONMENT.values()) | {logs.VARIABLE})


@cache
def targets() -> frozenset[str]:
    listed = re.search(r"^\.PHONY: (.*)$", text_of("Makefile"), re.MULTILINE)
    return frozenset(listed[1].split() if listed else ())


def commands(command: click.Command = main, name: str = "") -> Iterator[str]:
    """Yield the names of all commands, such as `serve` and `user add`."""
    if isinstance(command, click.Group):
        for part, sub in command.commands.items():
            yield from commands(sub, f"{name} {part}".strip())
    else:
        yield name
