"""Checks that the names in a guide exist: paths, functions, routes, settings and commands.

`Guides(app).problems(text, folder)` lists those that do not. The form of a name decides the check:
`make x` is a target, `GET /x` a route, `x()` a function, `tests/x.py::test_y` a test. A code span
of no such form is split into words, each of which must occur in the sources.
"""

from __future__ import annotations

import re
import shlex
from collections.abc import Callable
from pathlib import Path

import click
from flask import Flask

from tests.guide_facts import (
    ROOT,
    SETTING,
    SUFFIXES,
    WORD,
    files,
    functions,
    names_in,
    settings,
    sources,
    targets,
    text_of,
    words,
)
from webapp.cli import main

TREE = re.compile(r"(?<![\w/.*-])(?:webapp|static|tests|demo_data)/[\w./<>*-]*[\w/>*]")
SPAN = re.compile(r"(?<!`)`([^`\n]+)`(?!`)")
CALL = re.compile(r"([A-Za-z_]\w*)\(.*\)")
TEST_ID = re.compile(r"(tests/\S+)::(\w+)")
PATH = re.compile(r"[\w.@*<>/-]+")
LOCATED = re.compile(r"`([A-Za-z_]\w*)(\([^`]*\))?` (?:\(|in )`([^`]+\.(?:py|js))`")
ROW = re.compile(r"^\| `([^`]+\.(?:py|js))` \| (.*)$", re.MULTILINE)
LINK = re.compile(r"(?<!!)\[[^\]]+\]\(([^)\s]+)\)")
ROUTE = re.compile(r"(?<![\w.-])/(?:api|healthz|readyz)\b[\w/<>.-]*")
MODULE = re.compile(r"(?<![\w./])webapp(?:\.[a-zA-Z_]\w*)+")
METHOD = re.compile(r"(GET|POST|PUT|PATCH|DELETE) (/\S+)")
PROGRAM = re.compile(r"(?:SECONDNOSE_\S+ )*(?:\.venv/bin/)?(make|secondnose|python|node) (.+)")
# Words of other programs.
EXTERNAL = {
    *("BYPASSRLS", "EnvironmentFile", "full", "internal", "peer", "proxy_request_buffering"),
    *("sslmode", "sudo", "tls", "verify"),
}

Problem = str | None


def make_problem(arguments: str) -> Problem:
    for word in shlex.split(arguments, comments=True):
        name, is_variable, _ = word.partition("=")
        if is_variable and f"$({name})" not in text_of("Makefile"):
            return f"the Makefile has no variable {name}"
        if not is_variable and name not in targets():
            return f"the Makefile has no target {name}"
    return None


def secondnose_problem(arguments: str) -> Problem:
    command: click.Command = main
    given = 0
    for word in shlex.split(arguments, comments=True):
        if isinstance(command, click.Group) and not word.startswith("-"):
            if word not in command.commands:
                return f"secondnose has no command {word}"
            command = command.commands[word]
        elif word.startswith("-") and word != "--help":
            if not any(word in option.opts for option in command.params):
                return f"secondnose {command.name} has no option {word}"
        else:
            given += word != "--help"
    wanted = [one for one in command.params if isinstance(one, click.Argument)]
    return "too many arguments" if given > len(wanted) else None


def python_problem(arguments: str) -> Problem:
    if not arguments.startswith("-m "):
        return None
    module = arguments.split()[1].replace(".", "/")
    found = module == "pytest" or {f"{module}.py", f"{module}/__main__.py"} & set(files())
    return None if found else f"there is no module {module}"


def node_problem(arguments: str) -> Problem:
    return path_problem(arguments.split()[0])


PROGRAMS: dict[str, Callable[[str], Problem]] = {
    "make": make_problem,
    "secondnose": secondnose_problem,
    "python": python_problem,
    "node": node_problem,
}


def path_problem(path: str) -> Problem:
    """Check a path from the root; `*` and `<x>` match any name."""
    if any(mark in path for mark in "*<"):
        return None if any(ROOT.glob(re.sub(r"<\w+>", "*", path).rstrip("/"))) else f"no {path}"
    return None if (ROOT / path).exists() else f"there is no {path}"


def function_problem(name: str, file: str | None = None) -> Problem:
    if file is not None and (ROOT / file).is_file():
        return None if name in names_in(file) else f"{file} has no {name}"
    return None if name in functions() else f"nothing is called {name}"


def test_id_problem(file: str, test: str) -> Problem:
    if file not in files():
        return f"there is no {file}"
    return None if test in names_in(file) else f"{file} has no {test}"


def word_problem(span: str) -> Problem:
    for word in WORD.findall(span):
        if word not in words() and word not in EXTERNAL:
            return f"no source has {word}"
    return None


class Guides:
    """All checks; the routes are taken from the app."""

    def __init__(self, app: Flask) -> None:
        self.routes = [
            (re.sub(r"<[\w:]+>", "<>", rule.rule), rule.methods or set())
            for rule in app.url_map.iter_rules()
        ]

    def problems(self, text: str, folder: Path = ROOT) -> list[str]:
        """List the names in a guide in `folder` that do not exist."""
        prose = "\n".join(line for line in text.splitlines() if not line.startswith("    "))
        found = [(span, self.span_problem(span)) for span in SPAN.findall(prose)]
        found += [(m[0], located_problem(*m.groups())) for m in LOCATED.finditer(prose)]
        found += [one for row in ROW.findall(prose) for one in row_problems(*row)]
        found += [(target, link_problem(target, folder)) for target in LINK.findall(prose)]
        found += [(route, self.route_problem(route)) for route in ROUTE.findall(text)]
        found += [(name, setting_problem(name)) for name in SETTING.findall(text)]
        found += [(path, path_problem(path)) for path in TREE.findall(text)]
        found += [(name, module_problem(name)) for name in MODULE.findall(text)]
        for line in text.splitlines():
            program = PROGRAM.fullmatch(line.strip()) if line.startswith("    ") else None
            if program:
                found.append((line.strip(), PROGRAMS[program[1]](program[2])))
        return [f"{named}: {problem}" for named, problem in found if problem]

    def span_problem(self, span: str) -> Problem:
        """Check one code span."""
        if program := PROGRAM.fullmatch(span):
            return PROGRAMS[program[1]](program[2])
        if route := METHOD.fullmatch(span):
            return self.route_problem(route[2], route[1])
        if span.startswith("/"):
            served = (ROOT / "static" / span.lstrip("/")).is_file()
            return None if served else self.route_problem(span)
        if test_id := TEST_ID.fullmatch(span):
            return test_id_problem(test_id[1], test_id[2])
        if call := CALL.fullmatch(span):
            return word_problem(span) if call[1] == "import" else function_problem(call[1])
        if re.fullmatch(r"[A-Z]+_[A-Z_]+=?.*", span) and span.startswith(("SECONDN", "DATABASE_")):
            return setting_problem(span.partition("=")[0])
        if MODULE.fullmatch(span):
            return None
        if PATH.fullmatch(span) and ("/" in span or span.endswith(SUFFIXES)):
            return self.path_like_problem(span)
        if span.startswith("--"):
            name = span.split()[0]
            return None if any(name in text for text in sources()) else f"no option {name}"
        return word_problem(span)

    def path_like_problem(self, span: str) -> Problem:
        if "/" in span and any(name.startswith(span.split("/")[0] + "/") for name in files()):
            return path_problem(span)
        if span.endswith(SUFFIXES):
            known = any(f"/{name}".endswith(f"/{span}") for name in files())
            return None if known else f"there is no {span}"
        return word_problem(span)

    def route_problem(self, route: str, method: str | None = None) -> Problem:
        wanted = re.sub(r"<\w+>", "<>", route)
        for rule, methods in self.routes:
            under = wanted.endswith("/") and rule.startswith(wanted)
            if (rule == wanted or under) and (method is None or method in methods):
                return None
        return f"there is no route {method or ''} {route}"


def located_problem(name: str, call: str | None, file: str) -> Problem:
    """Check a name followed by its file, such as `merge()` (`webapp/sync/merge.py`)."""
    if path_problem(file):
        return None
    if call is not None:
        return function_problem(name, file)
    return None if name in WORD.findall(text_of(file)) else f"{file} has no {name}"


def row_problems(file: str, cells: str) -> list[tuple[str, Problem]]:
    """Check that functions in a table row that starts with a module are in that module."""
    calls = [call for call in map(CALL.fullmatch, SPAN.findall(cells)) if call]
    return [(call[0], function_problem(call[1], file)) for call in calls]


def setting_problem(name: str) -> Problem:
    return None if name in settings() else f"there is no setting {name}"


def module_problem(dotted: str) -> Problem:
    path = dotted.replace(".", "/")
    if f"{path}.py" in files() or (ROOT / path).is_dir():
        return None
    parent, _, name = path.rpartition("/")
    module = next((m for m in (f"{parent}.py", f"{parent}/__init__.py") if m in files()), None)
    return f"there is no {dotted}" if module is None else function_problem(name, module)


def link_problem(target: str, folder: Path) -> Problem:
    """Check that a link leads to a file, and to one of its headings."""
    if "://" in target:
        return None
    name, _, anchor = target.partition("#")
    path = (folder / name).resolve() if name else None
    if path is not None and not path.exists():
        return "the link leads nowhere"
    if not anchor or path is None:
        return None
    slugs = [slug(line) for line in path.read_text("utf-8").splitlines() if line.startswith("#")]
    return None if anchor in slugs else "there is no such heading"


def slug(heading: str) -> str:
    """Return the anchor of a heading."""
    return re.sub(r"[^\w -]", "", heading.lstrip("# ").lower()).replace(" ", "-")
