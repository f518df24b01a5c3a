"""Classifies single judgements: dryness and length of the finish."""

from typing import TypedDict

from webapp import spec
from webapp.rules.numbers import in_range


class Dryness(TypedDict):
    """The class of dryness.

    ``code``: bone_dry, dry, off_dry, medium, sweet, very_sweet or None; ``because``: the scales
    that make a wine bone dry.
    """

    code: str | None
    because: list[str]


def classify_dryness(sweetness: object, acidity: object, tannin: object) -> Dryness:
    """Classify dryness from 0-10 scales; bone dry is dry with high tannin or acidity."""
    rules = spec.load("evidence")["dryness"]
    sweet = in_range(sweetness, "sweetness", 0, 10)
    marks = {
        "acidity": in_range(acidity, "acidity", 0, 10),
        "tannin": in_range(tannin, "tannin", 0, 10),
    }
    if sweet is None:
        return {"code": None, "because": []}
    if sweet > rules["dry_to"]:
        steps = (("off_dry", "off_dry_to"), ("medium", "medium_to"), ("sweet", "sweet_to"))
        code = next((name for name, top in steps if sweet <= rules[top]), "very_sweet")
        return {"code": code, "because": []}
    because = [n for n, mark in marks.items() if mark is not None and mark >= rules["marked_from"]]
    return {"code": "bone_dry" if because else "dry", "because": because}


def classify_finish(finish_s: object) -> str | None:
    """Classify the finish: ``fleeting`` under 5 s, ``short`` to 10, ``middle``, ``long`` from 30.

    One second is a caudalie.
    """
    rules = spec.load("evidence")["finish_s"]
    seconds = in_range(finish_s, "finish_s", 0, 3600)
    if seconds is None:
        return None
    if seconds < rules["short_from"]:
        return "fleeting"
    if seconds <= rules["short_to"]:
        return "short"
    return "long" if seconds >= rules["long_from"] else "middle"
