"""Aromas noted step by step in nose and mouth: what appeared, faded and stayed.

Entries are as in the record: an aroma id, an id with a strength (``vanilla:2``), or free text
(``~...``).
"""

from collections.abc import Iterator, Mapping
from functools import cache
from itertools import pairwise
from typing import TypedDict

from webapp import spec
from webapp.rules.errors import RuleError

STEPS = ("first_nose_words", "second_nose_words", "sip_words", "sip_2_words", "sip_3_words")


class Change(TypedDict):
    """Changes between two noted steps; ``stronger`` and ``weaker`` are subsets of ``stayed``."""

    before: str
    after: str
    appeared: list[str]
    faded: list[str]
    stayed: list[str]
    stronger: list[str]
    weaker: list[str]


class Evolution(TypedDict):
    """``noted``: the steps with entries; ``words``: all ids in the order first noted."""

    noted: list[str]
    words: list[str]
    changes: list[Change]


class Complexity(TypedDict):
    """Counts, and ``reading``: plain, some, layered, manifold; None if nothing was noted."""

    steps: int
    words: int
    families: int
    changes: int
    reading: str | None


def evolution(tasting: Mapping[str, object]) -> Evolution:
    """Compare each noted step with the next; a step without entries is skipped.

    Only a step that repeats an earlier aroma answers which are still there; else none faded.
    """
    steps = list(_noted_steps(tasting))
    there: set[str] = set()  # noted so far, and not faded
    changes = []
    for before, after in pairwise(steps):
        there.update(before[1])
        change = _change(*before, *after, there)
        there.difference_update(change["faded"])
        changes.append(change)
    return {
        "noted": [step for step, _ in steps],
        "words": list(noted_aromas(tasting)),
        "changes": changes,
    }


def complexity_evidence(tasting: Mapping[str, object]) -> Complexity:
    """Count the evidence for complexity: aroma families, and changes between steps."""
    found = evolution(tasting)
    # Free text has no known family, so each counts as a family of its own.
    families = {aroma_family(word) or word for word in found["words"]}
    moved = sum(len(change["appeared"]) + len(change["faded"]) for change in found["changes"])
    return {
        "steps": len(found["noted"]),
        "words": len(found["words"]),
        "families": len(families),
        "changes": moved,
        "reading": _reading(len(families), moved) if found["words"] else None,
    }


def noted_aromas(tasting: Mapping[str, object]) -> dict[str, int | None]:
    """Return the ids of a tasting in the order first noted, with the greatest strength (1-3)."""
    found: dict[str, int | None] = {}
    for _, words in _noted_steps(tasting):
        for word, strength in words.items():
            found[word] = max(found.get(word) or 0, strength or 0) or None
    return found


def aroma_family(word: str) -> str | None:
    """Return the family of an aroma id (a family is its own); None for free text."""
    return _families().get(word)


@cache
def _families() -> dict[str, str]:
    found = {}
    for family in spec.load("aromas")["families"]:
        found[family["id"]] = family["id"]
        found.update(dict.fromkeys(family["words"], family["id"]))
    found.update((old, found[word]) for old, word in spec.load("aromas")["same_as"].items())
    return found


def _noted_steps(tasting: Mapping[str, object]) -> Iterator[tuple[str, dict[str, int | None]]]:
    for step in STEPS:
        entries = tasting.get(step)
        if entries is None:
            continue
        if not isinstance(entries, list) or not all(isinstance(each, str) for each in entries):
            raise RuleError("not_words", step)
        if entries:
            yield step, dict(map(_split, entries))


def _split(entry: str) -> tuple[str, int | None]:
    """Split ``vanilla:2`` into vanilla and 2; free text may contain colons."""
    word, colon, strength = entry.rpartition(":")
    if entry.startswith("~") or not colon or strength not in ("1", "2", "3"):
        return entry, None
    return word, int(strength)


def _change(
    before: str,
    first: Mapping[str, int | None],
    after: str,
    second: Mapping[str, int | None],
    there: set[str],
) -> Change:
    stayed = [word for word in second if word in first]
    moves = {w: (second[w] or 0) - (first[w] or 0) for w in stayed if first[w] and second[w]}
    return {
        "before": before,
        "after": after,
        "appeared": [word for word in second if word not in there],
        "faded": [word for word in first if stayed and word not in second],
        "stayed": stayed,
        "stronger": [word for word, move in moves.items() if move > 0],
        "weaker": [word for word, move in moves.items() if move < 0],
    }


def _reading(families: int, moved: int) -> str:
    rules = spec.load("evidence")["complexity"]
    points = families * rules["per_family"]
    points += min(moved, rules["changes_counted"]) * rules["per_change"]
    if points >= rules["manifold_from"]:
        return "manifold"
    if points >= rules["layered_from"]:
        return "layered"
    return "some" if points >= rules["some_from"] else "plain"
