"""Each class and property of the style sheets, each message and each export has a user."""

from __future__ import annotations

import functools
import json
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from webapp import spec

ROOT = spec.static_root()
OTHERS = ("packed", "vendor", "words")
PLURAL = re.compile(r"\.(?:zero|one|two|few|many|other)$")
STRING = re.compile(r"""'([\w.-]+)'|"([\w.-]+)"|`([\w.-]+)`""")
# A template literal without spaces, whose expressions may have one pair of braces within.
TEMPLATE = re.compile(r"`((?:[\w.-]|\$\{(?:[^`{}]|\{[^`{}]*\})*\})+)`")
EXPRESSION = re.compile(r"\$\{(?:[^`{}]|\{[^`{}]*\})*\}")
EXPORT = re.compile(r"^export (?:async )?(?:function\*?|const|let|class) ([\w$]+)", re.MULTILINE)
WORD = re.compile(r"[\w$]+")
TESTS = Path(__file__).parent.parent
# How often a part of a template may be a template itself.
MOST_LEVELS = 3


def files(folder: Path, *endings: str) -> Iterator[str]:
    for path in folder.rglob("*"):
        if path.suffix in endings and path.relative_to(folder).parts[0] not in OTHERS:
            yield path.read_text(encoding="utf-8")


SCRIPTS = "\n".join(files(ROOT, ".js", ".html"))
CODE = "\n".join([SCRIPTS, *files(ROOT / "spec", ".json"), *files(ROOT.parent / "webapp", ".py")])
STRINGS = {text for groups in STRING.findall(CODE) for text in groups if text}
STRINGS |= set(re.findall(r"[{,\s](\w+):", SCRIPTS))
TEMPLATES = [
    EXPRESSION.split(text)
    for text in set(TEMPLATE.findall(SCRIPTS))
    if "${" in text and re.search(r"[a-z]", EXPRESSION.sub("", text))
]
STYLES = re.sub(r"/\*.*?\*/", "", "\n".join(files(ROOT, ".css")), flags=re.DOTALL)


def test_each_class_of_the_style_sheets_is_used() -> None:
    selectors = " ".join(re.findall(r"[^{};]+(?=\{)", STYLES))
    classes = set(re.findall(r"\.(-?[a-zA-Z_][\w-]*)", selectors))
    assert len(classes) > 100
    assert classes - set(re.findall(r"[\w-]+", SCRIPTS)) == set()


def test_each_custom_property_is_used() -> None:
    defined = set(re.findall(r"(--[\w-]+)\s*:", STYLES))
    assert len(defined) > 20
    read = set(re.findall(r"var\(\s*(--[\w-]+)", STYLES)) | set(re.findall(r"--[\w-]+", SCRIPTS))
    assert defined - read == set()


def test_each_export_is_used() -> None:
    """Look for its name in another module, a test or a file of vectors."""
    modules = [*files(ROOT, ".js")]
    count = Counter(word for text in modules for word in set(WORD.findall(text)))
    tests = [text for ending in (".mjs", ".py") for text in files(TESTS, ending)]
    tests += re.findall(r'"js": ?"(.+?)"', "".join(files(TESTS / "vectors", ".json")))
    tested = set(WORD.findall(" ".join(tests)))
    exported = [name for text in modules for name in EXPORT.findall(text)]
    assert len(exported) > 1_000
    assert [name for name in exported if count[name] == 1 and name not in tested] == []


def test_each_message_is_used() -> None:
    """Accept a key that the code has, or builds by a template from strings that it has."""
    for path in sorted((ROOT / "words" / "en").glob("*.json")):
        # The names of choices begin with the name of their vocabulary.
        has = is_named if path.name == "spec.json" else is_built
        unused = [
            key
            for key in json.loads(path.read_text(encoding="utf-8"))
            if not has(key) and not has(PLURAL.sub("", key))
        ]
        assert unused == [], path.name


def is_named(key: str) -> bool:
    return all(part in STRINGS for part in key.split(".")) or is_built(key)


@functools.cache
def is_built(text: str, levels: int = MOST_LEVELS) -> bool:
    """Tell whether a text is a string of the code, or a template filled with such."""
    if text in STRINGS:
        return True
    return levels > 0 and any(fills(parts, text, levels) for parts in TEMPLATES)


def fills(parts: list[str], text: str, levels: int) -> bool:
    """Tell whether a text is these parts with something that the code has between them."""
    if not text.startswith(parts[0]):
        return False
    rest = text[len(parts[0]) :]
    if len(parts) == 1:
        return not rest
    return any(
        fills(parts[1:], rest[cut:], levels) and (cut == 0 or is_built(rest[:cut], levels - 1))
        for cut in range(len(rest) + 1)
    )
