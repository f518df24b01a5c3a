"""The ASVS table has a row for each requirement, and every test that it names exists."""

from __future__ import annotations

import re
from pathlib import Path

from tests.named_tests import functions_of

ROOT = Path(__file__).resolve().parents[2]
GUIDE = ROOT / "webapp" / "auth" / "README.md"
VERDICTS = {"holds", "does not apply", "open"}
# Requirements in each section of OWASP ASVS 4.0.3, and those that its own table marks as
# removed or as required at level 3 only.
SECTIONS = {
    **{"1.1": 7, "1.2": 4, "1.4": 5, "1.5": 4, "1.6": 4, "1.7": 2, "1.8": 2, "1.9": 2, "1.10": 1},
    **{"1.11": 3, "1.12": 2, "1.14": 6, "2.1": 12, "2.2": 7, "2.3": 3, "2.4": 5, "2.5": 7},
    **{"2.6": 3, "2.7": 6, "2.8": 7, "2.9": 3, "2.10": 4, "3.1": 1, "3.2": 4, "3.3": 4, "3.4": 5},
    **{"3.5": 3, "3.7": 1, "4.1": 5, "4.2": 2, "4.3": 3, "5.1": 5, "5.2": 8, "5.3": 10, "5.4": 3},
    **{"5.5": 4, "6.1": 3, "6.2": 8, "6.3": 3, "6.4": 2, "7.1": 4, "7.2": 2, "7.3": 4, "7.4": 3},
    **{"8.1": 6, "8.2": 3, "8.3": 8, "9.1": 3, "9.2": 5, "10.2": 6, "10.3": 3, "11.1": 8},
    **{"12.1": 3, "12.2": 1, "12.3": 6, "12.4": 2, "12.5": 2, "12.6": 1, "13.1": 5, "13.2": 6},
    **{"13.3": 2, "13.4": 2, "14.1": 5, "14.2": 6, "14.3": 3, "14.4": 7, "14.5": 4},
}
NOT_ASKED = set(
    """
    1.4.2 1.4.3 1.11.3 1.12.1 2.2.4 2.2.5 2.2.6 2.2.7 4.1.4 6.2.7 6.2.8 6.3.3 7.3.2 8.1.5 8.1.6
    9.2.5 10.2.3 10.2.4 10.2.5 10.2.6 13.1.2 13.2.4 14.1.5 14.3.1
    """.split()  # noqa: SIM905
)
_NUMBER = r"\d+\.\d+\.\d+"
_ROW = re.compile(rf"^\| ({_NUMBER})(?: to ({_NUMBER}))? \| (.+) \| (.+) \| (.+) \|$", re.MULTILINE)
_NAMED = re.compile(r"(tests/[\w/]+\.py)::(\w+)")


def rows() -> list[tuple[list[str], str, str]]:
    """Return ([number], verdict, test or reason) for each row."""
    text = GUIDE.read_text(encoding="utf-8")
    section = text.split("\n## ASVS table", 1)[1].split("\n## ", 1)[0]
    return [
        (numbers(first, last), verdict, entry)
        for first, last, _, verdict, entry in _ROW.findall(section)
    ]


def numbers(first: str, last: str) -> list[str]:
    section, _, start = first.rpartition(".")
    end = (last or first).rpartition(".")[2]
    return [f"{section}.{number}" for number in range(int(start), int(end) + 1)]


def exists(file: str, test: str) -> bool:
    return test in functions_of(file)


def test_every_requirement_has_one_row() -> None:
    asked = [f"{name}.{n}" for name, count in SECTIONS.items() for n in range(1, count + 1)]
    listed = [number for row in rows() for number in row[0]]
    assert listed == [one for one in asked if one not in NOT_ASKED]


def errors_of(verdict: str, text: str) -> list[str]:
    """Return the errors in a row's verdict and in the tests that it names."""
    named = _NAMED.findall(text)
    wrong = [f"{file}::{test} does not exist" for file, test in named if not exists(file, test)]
    if verdict not in VERDICTS:
        wrong.append(f"unknown verdict {verdict!r}")
    if not text.strip():
        wrong.append("neither a test nor a reason")
    if text.count("tests/") != len(named):
        wrong.append(f"a test is not written as file::test in {text!r}")
    return wrong


def test_rows_have_a_verdict_and_existing_tests() -> None:
    wrong = {row[0][0]: errors_of(*row[1:]) for row in rows()}
    assert {number: errors for number, errors in wrong.items() if errors} == {}


def test_row_errors_are_found() -> None:
    here = "tests/auth/test_security_table.py"
    assert errors_of("holds", f"{here}::test_row_errors_are_found") == []
    assert len(errors_of("holds", f"{here}::test_of_no_name")) == 1
    assert len(errors_of("holds", "tests/auth/test_of_no_name.py::test_it")) == 1
    assert len(errors_of("perhaps", f"tested in {here}")) == 2
    assert len(errors_of("open", " ")) == 1


def test_most_met_requirements_name_a_test() -> None:
    holds = [entry for _, verdict, entry in rows() if verdict == "holds"]
    assert sum(1 for entry in holds if _NAMED.search(entry)) >= 0.85 * len(holds)
