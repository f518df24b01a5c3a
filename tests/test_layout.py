"""Layout rules: sizes, import arrows, names of mirrored rules, message keys that exist."""

from __future__ import annotations

import ast
import json
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PYTHON = [p for folder in ("webapp", "tests") for p in (ROOT / folder).rglob("*.py")]
SCRIPT = [p for p in (ROOT / "static").rglob("*.js") if not {"vendor", "packed"} & set(p.parts)]
SHEETS = list((ROOT / "static" / "styles").glob("*.css"))
FILE_LINES = 300
IMPORT = re.compile(r"""(?:from|import|(import\s*\())\s*['"](\.[^'"]+)['"]""")
COLOUR = re.compile(r"(?<![\w-])#[0-9a-fA-F]{3,8}\b|\brgba?\(|\bhsla?\(")
FUNCTION_LINES = 60
SCRIPT_FUNCTION = re.compile(
    r"\s*(?:(?:export |default |async )*function\b|(?:async |static |get |set )*[\w#$]+\(.*\) \{$"
    r"|.*=> [{(]$|.*\bfunction\b.*\{$)"
)
NO_FUNCTION = re.compile(r"\s*(?:\} )?(?:else )?(?:if|for|while|switch|catch|with)\b|.*\}[;,)]*$")

# What the files of a package may import of webapp; every package has a row.
PYTHON_ARROWS = {
    "api": {"api.http", "archive", "auth", "client", "db", "group_tasting", "migrations"}
    | {"metrics", "palate.use", "photos", "records", "retention", "spec", "sync"},
    "api/http": {"api.http", "auth", "db"},
    "archive": {"archive", "photos", "records", "rules", "spec", "sync"},
    "auth": {"auth", "db"},
    "client": {"client", "spec"},
    "commands": {"archive", "auth", "commands", "config", "create_app", "db", "errors", "logs"}
    | {"DATABASE_STATE_MESSAGES", "migrations", "require_database"}
    | {"photos", "records", "retention", "server", "spec", "start"},
    "db": {"config", "db", "errors"},
    "group_tasting": {"auth", "db", "group_tasting", "records", "spec", "sync"},
    "migrations": {"auth.names", "db", "migrations"},
    "palate": {"palate"},
    "palate/data": {"palate.data", "palate.errors"},
    "palate/fit": {"palate.data", "palate.errors", "palate.fit"},
    "palate/use": {"palate.data", "palate.errors", "palate.fit", "palate.fit_model", "palate.use"},
    "photos": {"db", "errors", "photos", "records"},
    "records": {"db", "records", "spec"},
    "retention": {"auth", "db", "group_tasting", "photos", "records", "retention", "spec", "sync"},
    "rules": {"rules", "spec"},
    "server": {"api.http", "auth", "server"},
    "sync": {"db", "records", "sync"},
}
# Registers the resources, which do not import each other.
JOINTS = {"webapp/api/__init__.py"}
FORBIDDEN_LIBRARIES = {
    "api": {"sqlalchemy", "flask_sqlalchemy"},
    "palate": {"flask", "sqlalchemy", "sklearn"},
    "rules": {"flask", "flask_sqlalchemy", "sqlalchemy"},
}
# What a file of each folder under static/ may import: folders, and modules at the top.
DOMAIN = {"domain", "components", "rules", "store", "lib", "vendor", "spec"}
DOMAIN |= {"label_photo", "i18n.js", "router.js"}
SCRIPT_ARROWS = {
    "lib": {"lib", "vendor", "i18n.js"},
    "rules": {"rules", "lib", "spec"},
    "components": {"components", "lib", "vendor", "spec", "i18n.js", "router.js"},
    "store": {"store", "lib", "vendor", "spec", "config.js"},
    "photos": {"photos", "store", "lib", "vendor", "config.js"},
    "archive": {"archive", "photos", "store", "rules", "lib", "vendor", "spec"},
    "label_photo": {"label_photo", "rules", "lib", "vendor"},
    "sync": {"sync", "photos", "store", "lib", "vendor", "config.js"},
    "account": {"account", "sync", "store", "lib", "vendor", "config.js"},
    "pwa": {"pwa", "store", "lib", "vendor"},
    "domain": DOMAIN | {"label_photo"},
    "features": DOMAIN
    | {"features", "archive", "sync", "photos", "account", "pwa", "first_paint.js"},
}


def relative(path: Path) -> str:
    return str(path.relative_to(ROOT))


def lines_of(path: Path) -> list[str]:
    return path.read_text(encoding="utf-8").splitlines()


def test_files_keep_to_the_line_limit() -> None:
    sizes = {relative(path): len(lines_of(path)) for path in [*PYTHON, *SCRIPT, *SHEETS]}
    assert {name: size for name, size in sizes.items() if size > FILE_LINES} == {}


def python_functions(path: Path) -> list[tuple[str, int]]:
    """Return (name, number of lines) of each function."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    functions = [n for n in ast.walk(tree) if isinstance(n, ast.FunctionDef | ast.AsyncFunctionDef)]
    return [(f.name, f.end_lineno - f.lineno + 1) for f in functions]


def script_functions(lines: list[str]) -> list[tuple[str, int]]:
    """Return (first line, number of lines) of each function with more than one line.

    The end is found by indentation: it is the first closing bracket in the column of the first
    line, unless that bracket ends the arguments and opens the body.
    """
    found = []
    for start, line in enumerate(lines):
        if not SCRIPT_FUNCTION.match(line) or NO_FUNCTION.match(line):
            continue
        margin = re.match(r"\s*", line)[0]
        end = next(
            at
            for at, later in enumerate([*lines[start + 1 :], margin + "}"], start + 1)
            if re.match(margin + r"[})\]]", later) and not later.endswith("{")
        )
        found.append((line.strip(), end - start + 1))
    return found


def test_functions_keep_to_the_line_limit() -> None:
    sizes = [(relative(path), *one) for path in PYTHON for one in python_functions(path)]
    sizes += [(relative(path), *one) for path in SCRIPT for one in script_functions(lines_of(path))]
    assert [one for one in sizes if one[2] > FUNCTION_LINES] == []


@pytest.mark.parametrize(
    ("first", "last"),
    [
        ("export function answer(a) {", "}"),
        ("export async function answer({", "}"),
        ("const answer = async (a) => {", "};"),
        ("  answer(a) {", "  }"),
        ("  static async #answer(a) {", "  }"),
        ("effect(() => {", "});"),
    ],
)
def test_script_function_length_is_measured(first: str, last: str) -> None:
    margin = first[: -len(first.lstrip())]
    arguments = ["    a,", margin + "}) {"] if first.endswith("({") else []
    body = ["    if (a) {", "        b();", "    }"]
    lines = [first, *arguments, *(margin + line for line in body), last, "", "b();"]
    assert script_functions(lines)[0] == (first.strip(), len(lines) - 2)


def imported(path: Path) -> set[str]:
    """Return full names of modules that a Python file imports, with relative ones resolved."""
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


def test_imports_point_down_in_the_server() -> None:
    wrong = []
    for folder, allowed in PYTHON_ARROWS.items():
        inner = [ROOT / "webapp" / row for row in PYTHON_ARROWS if row.startswith(f"{folder}/")]
        found = list((ROOT / "webapp" / folder).rglob("*.py"))
        assert found, folder
        files = [f for f in found if not set(inner) & set(f.parents) and relative(f) not in JOINTS]
        for path, name in [(file, name) for file in files for name in imported(file)]:
            head, _, rest = name.partition(".")
            is_allowed = any(f"{rest}.".startswith(f"{one}.") for one in allowed)
            if head == "webapp" and rest and not is_allowed:
                wrong.append((relative(path), name))
            if head in FORBIDDEN_LIBRARIES.get(folder.partition("/")[0], set()):
                wrong.append((relative(path), name))
    assert wrong == []


def test_every_server_package_has_a_row_of_imports() -> None:
    packages = {path.parent.name for path in (ROOT / "webapp").glob("*/*.py")}
    assert packages <= PYTHON_ARROWS.keys()


def script_imports(path: Path) -> list[tuple[Path, bool]]:
    """Return the imports of a module as (path under static/, whether the import is dynamic)."""
    text = path.read_text(encoding="utf-8")
    code = re.sub(r"/\*.*?\*/|(?m:^\s*//[^\n]*$)", "", text, flags=re.DOTALL)
    return [
        ((path.parent / match[2]).resolve().relative_to(ROOT / "static"), bool(match[1]))
        for match in IMPORT.finditer(code)
    ]


def test_imports_point_down_in_the_client() -> None:
    wrong = []
    for folder, allowed in SCRIPT_ARROWS.items():
        files = [p for p in SCRIPT if p.relative_to(ROOT / "static").parts[0] == folder]
        assert files, folder
        for path in files:
            targets = [target for target, _ in script_imports(path)]
            wrong += [(relative(path), str(t)) for t in targets if t.parts[0] not in allowed]
    assert wrong == []


def test_features_do_not_import_each_other() -> None:
    """A feature may only load the page of another one dynamically."""
    wrong = []
    for path in SCRIPT:
        here = path.relative_to(ROOT / "static").parts
        for target, is_lazy in script_imports(path) if here[0] == "features" else []:
            if target.parts[0] == "features" and target.parts[1] not in {here[1], "shell"}:
                wrong += [] if is_lazy else [(relative(path), str(target))]
    assert wrong == []


def test_every_client_module_is_imported() -> None:
    """The bundle contains every module, so an unused one would be downloaded in vain."""
    names = {path.relative_to(ROOT / "static") for path in SCRIPT}
    imported = {target for path in SCRIPT for target, _ in script_imports(path)}
    # The page loads the first two; the third has only types; the last one is a worker.
    entries = {"bootstrap.js", "service_worker.js", "domain/palate/document.js"}
    entries |= {"label_photo/worker.js"}
    assert {str(name) for name in names - imported} == entries


def test_imports_below_a_line_comment_are_found() -> None:
    page = ROOT / "static" / "features" / "compare" / "compare_page.js"
    assert lines_of(page)[0].startswith("//")
    assert Path("lib/ui.js") in {target for target, _ in script_imports(page)}


def test_mirrored_rules_have_matching_names() -> None:
    """`tolerance_range` in Python is `toleranceRange` in the client; a vector file names both."""
    wrong = {}
    for path in sorted((ROOT / "tests" / "vectors").glob("*.json")):
        doc = json.loads(path.read_text(encoding="utf-8"))
        if not doc.get("js"):
            continue
        python, script = doc["python"].split(":")[1], doc["js"].split("#")[1]
        if script != re.sub(r"_(\w)", lambda m: m.group(1).upper(), python):
            wrong[relative(path)] = (python, script)
    assert wrong == {}


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


def test_every_message_key_in_use_exists():
    english = words("en")
    missing = set()
    for path in SCRIPT:
        for key in re.findall(r"""\bt\(\s*['"]([\w.]+)['"]""", path.read_text(encoding="utf-8")):
            if key not in english and f"{key}.other" not in english:
                missing.add((relative(path), key))
    assert missing == set()
