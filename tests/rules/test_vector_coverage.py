"""Every label rule, error code and public function of the rules is covered by some vector."""

import ast
import json
import re
from pathlib import Path

from webapp import spec

ROOT = Path(__file__).parent.parent.parent
FOLDERS = (ROOT / "tests" / "reference" / "rules", ROOT / "webapp" / "rules")
FILES = sorted(path for folder in FOLDERS for path in folder.glob("*.py"))
VECTORS = [
    json.loads(path.read_text("utf-8"))
    for path in sorted((ROOT / "tests" / "vectors").glob("*.json"))
]
TRADE = [
    content
    for content in VECTORS
    if content.get("python", "").startswith(("tests.reference.rules.", "webapp.rules."))
]
# Number checks are covered through the functions that take numbers.
INNER = {"number", "required", "in_range", "required_in_range", "to_hundredths"}
# Steps of a rule, which only its own package calls.
STEPS = {
    "legal_market",
    "rule_for",
    "rule_by_id",
    "product_type_of",
    "to_range",
    "clamp_to_class",
    "clamp_to_words",
    "hold_printed_range",
    "grams_of",
    "wine_colour",
    "informative_cues",
    "ignored_cues",
    "likelihoods",
    "noted_aromas",
    "aroma_family",
}


def expectations(name):
    content = next(each for each in TRADE if each["python"].endswith(f":{name}"))
    return [test["expected"] for group in content["groups"] for test in group["tests"]]


def public_functions():
    for path in FILES:
        module = ".".join(path.relative_to(ROOT).with_suffix("").parts)
        for node in ast.parse(path.read_text("utf-8")).body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                yield f"{module}:{node.name}"


def test_vectors_cover_every_label_rule():
    rules = spec.load("label_rules")
    found = {each["rule"] for each in expectations("tolerance_range") if "rule" in each}
    ids = {rule["id"] for rule in [*rules["rules"], *rules["statements"]]}
    assert found == ids | {"no_number"}


def test_vectors_cover_every_printing_error():
    found = {error for each in expectations("tolerance_range") for error in each.get("errors", [])}
    steps = {step["error"] for step in spec.load("label_rules")["steps"].values()}
    files = [path for path in FILES if path.name in ("alcohol_range.py", "alcohol_rule.py")]
    source = "".join(path.read_text("utf-8") for path in files)
    appended = set(re.findall(r'\["errors"\](?:\.append\(| \+= \[)"(\w+)"', source))
    assert found == steps | appended


def test_vectors_cover_every_rejection():
    raised = set()
    for path in FILES:
        raised |= set(re.findall(r'RuleError\("(\w+)"', path.read_text("utf-8")))
    found = {
        test["expected"]["error"]
        for content in TRADE
        for group in content["groups"]
        for test in group["tests"]
        if isinstance(test["expected"], dict) and test["expected"].keys() == {"error"}
    }
    assert raised == found


def test_vectors_cover_every_public_function():
    names = set(public_functions())
    assert names
    exempt = {name for name in names if name.split(":")[1] in INNER | STEPS}
    assert names - exempt - {content["python"] for content in TRADE} == set()


def test_vectors_name_exported_javascript_functions():
    ported = [content for content in TRADE if "js" in content]
    assert ported
    wrong = []
    for content in ported:
        path, function = content["js"].split("#")
        file = ROOT / "static" / path
        source = file.read_text("utf-8") if file.exists() else ""
        if f"export function {function}(" not in source:
            wrong.append((content["python"], content["js"]))
    assert wrong == []


def test_vectors_cover_every_sweetness_scale_and_drink_size():
    def first_arguments(name, place):
        content = next(each for each in TRADE if each["python"].endswith(f":{name}"))
        return {test["args"][place] for group in content["groups"] for test in group["tests"]}

    scales = {scale["id"] for scale in spec.load("sweetness")["scales"]}
    assert scales <= first_arguments("sweetness_terms", 0)
    sizes = {place["id"] for place in spec.load("drinks")["places"]}
    assert sizes <= first_arguments("standard_drinks", 2)
