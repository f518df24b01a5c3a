"""Fields of one tasting: quick (a few fields) or full."""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

from tests.example_data.appearance import look
from tests.example_data.aromas import fruit_state, smells
from tests.example_data.persona import (
    Marks,
    Profile,
    answered_liking,
    in_bottle,
    in_the_mouth,
    just_right,
    noted,
    own_liking,
    stream,
)
from tests.example_data.source_tables import age_years, styles

Fields = dict[str, Any]

SHARE_WITH_MARKS = 0.68
LEAST_BALANCE = {9: 7.0, 8: 6.2}
"""Least harmony of a wine of this liking."""
GUESS_BIAS_ABV = 0.5
GUESS_NOISE_ABV = 0.55


def tasting_fields(plan: dict[str, str], bottle: dict[str, str], at: datetime) -> Fields:
    """Return the fields of one tasting; `at` is the time of the pour."""
    occasion = f"{plan['bottle']} {plan['when']}"
    mouth = in_the_mouth(in_bottle(bottle["key"], bottle["style"], float(bottle["abv"])))
    liking = answered_liking(mouth, bottle["style"], occasion)
    fields: Fields = {
        "tasted_at": at.isoformat(),
        "place": plan["place"],
        "with_whom": plan["whom"] or None,
        "with_food": plan["food"] or None,
        "liking": liking,
        "words": plan["words"] or None,
    }
    if plan["mode"] == "quick":
        return fields | {"closed_at": (at + timedelta(seconds=50)).isoformat()}
    minutes = 7 if plan["visit"] else stream("minutes", occasion).randint(14, 38)
    fields |= look(bottle, at.year, occasion) | smells(bottle, mouth, at.year, occasion)
    result = said_marks(plan["says"])
    fields |= mouth_fields(mouth, occasion, liking, result) | whole(mouth, occasion, liking)
    fields |= _serving(plan, bottle, occasion) | _own_words(plan, fields)
    fields["fruit_state"] = fruit_state(bottle, mouth, at.year)
    fields["would_buy"] = would_buy(liking, occasion)
    fields["label_hidden"] = plan["hidden"] == "y"
    if fields["label_hidden"]:
        fields |= guesses(bottle, at, occasion, minutes)
    return fields | {"closed_at": (at + timedelta(minutes=minutes)).isoformat()}


def said_marks(says: str) -> Marks:
    """Return what the words of a tasting say of the scales: `oak+ body0` is {oak: 1, body: 0}."""
    return {one[:-1]: {"+": 1, "0": 0, "-": -1}[one[-1]] for one in says.split()}


def mouth_fields(
    mouth: Profile,
    occasion: str,
    liking: int,
    value: Marks,
    liking_of: Callable[[Profile], float] = own_liking,
) -> Fields:
    beads = noted(mouth, occasion)
    fields: Fields = dict(beads)
    if stream("has marks", occasion).random() < SHARE_WITH_MARKS:
        marks = just_right(mouth, occasion, liking, value, liking_of)
        fields |= {f"just_right_{s}": mark for s, mark in marks.items()}
    warmth = beads["warmth"]
    fields["warmth_where"] = (
        "none" if warmth < 4.5
        else "back_of_palate" if warmth < 6.2
        else "throat" if warmth < 7.6
        else "chest"
    )  # fmt: skip
    loud = [s for s in beads if s != "intensity" and beads[s] >= 7.5]
    return fields | ({"standout": sorted(loud, key=lambda s: -beads[s])[:2]} if loud else {})


def whole(mouth: Profile, occasion: str, liking: int) -> Fields:
    """Draw quality from intensity and structure; only a harmonious wine is liked very much."""
    rng = stream("whole", occasion)
    made = stream("quality", occasion.split()[0]).gauss(0, 1)
    structure = 0.25 * (mouth["acidity"] + 0.5 * mouth["tannin"] + mouth["intensity"] - 14)
    lopsided = max(0.0, max(mouth["warmth"], mouth["oak"], mouth["sweetness"]) - 6.5)
    return {
        "finish_s": round(max(3.0, 15 + 7 * made + 7 * structure + rng.gauss(0, 2)), 1),
        "complexity": _bead(5.2 + 1.3 * made + 0.6 * structure + rng.gauss(0, 0.5)),
        "balance": max(
            _bead(6.6 + 0.9 * made - 0.6 * lopsided + rng.gauss(0, 0.5)),
            LEAST_BALANCE.get(liking, 0.0),
        ),
    }


def _serving(plan: dict[str, str], bottle: dict[str, str], occasion: str) -> Fields:
    rng, style = stream("serving", occasion), styles()[bottle["style"]]
    middle = (style["serve_c_low"] + style["serve_c_high"]) / 2
    pour_ml = 30 if plan["visit"] else rng.choice((60, 75, 90, 100, 120))
    return {
        "serving_c": round(middle + rng.gauss(0.4, 1.1), 1),
        "pour_ml": pour_ml,
        "swallowed_ml": rng.choice((3, 5, 8)) if plan["visit"] else pour_ml - rng.choice((0, 0, 5)),
    }


def _own_words(plan: dict[str, str], fields: Fields) -> Fields:
    if not plan["own"]:
        return {}
    return {"second_nose_words": [*fields.get("second_nose_words", []), f"~{plan['own']}"]}


def would_buy(liking: int, occasion: str) -> str:
    if liking >= 8 or (liking == 7 and stream("buy", occasion).random() < 0.6):
        return "yes"
    return "maybe" if liking >= 6 else "no"


def guesses(bottle: dict[str, str], at: datetime, occasion: str, minutes: int) -> Fields:
    """Draw guesses of a blind tasting; strength is overestimated and the style often right."""
    rng, style = stream("guesses", occasion), styles()[bottle["style"]]
    strength = float(bottle["abv"]) + GUESS_BIAS_ABV + rng.gauss(0, GUESS_NOISE_ABV)
    kin = [
        other for other in styles().values()
        if other["group"] == style["group"] and other["core_set"]
    ]  # fmt: skip
    near = sorted(kin, key=lambda other: _apart(other, style))[:4]
    guess = style if rng.random() < 0.4 else rng.choice(near)
    years = age_years(bottle, at.year) * rng.uniform(0.7, 1.35)
    return {
        "guess_abv": round(2 * strength) / 2,
        "guess_age_years": max(1, round(years)) if bottle["vintage"] else None,
        "guess_style": guess["style_id"],
        "guess_grape": guess["grapes"][0] if rng.random() < 0.8 else None,
        "guesses_locked_at": (at + timedelta(minutes=minutes - 4)).isoformat(),
        "uncovered_at": (at + timedelta(minutes=minutes - 3)).isoformat(),
    }


def _apart(one: dict[str, Any], other: dict[str, Any]) -> float:
    scales = ("sweetness", "acidity", "tannin", "body", "oak", "intensity")
    return float(sum((one[scale] - other[scale]) ** 2 for scale in scales))


def _bead(value: float) -> float:
    return round(min(10.0, max(0.0, value)), 1)
