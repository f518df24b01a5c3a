"""Finds the rule of ``static/spec/label_rules.json`` for a bottle's printed alcohol."""

import re
from collections.abc import Mapping
from typing import Any, TypedDict

from webapp import spec
from webapp.rules.not_wine import is_not_wine
from webapp.rules.numbers import number
from webapp.rules.plain_text import plain_text


class LabelRange(TypedDict):
    """``low`` and ``high`` in hundredths of a percent; ``rule`` and ``status`` from the rules file.

    ``assumed`` names the missing facts for which the widest case was assumed; ``errors`` names what
    that law does not allow on a label. Without a known range, ``known`` is false and both ends are
    None.
    """

    known: bool
    low: int | None
    high: int | None
    low_exclusive: bool
    rule: str
    market: str | None
    status: str
    assumed: list[str]
    errors: list[str]


def legal_market(code: object) -> str | None:
    """Return the market whose rules apply to a country: EU for members, AU for New Zealand."""
    rules = spec.load("label_rules")
    if not isinstance(code, str):
        return None
    if code in rules["eu_members"]:
        return "EU"
    same: str = rules["same_law"].get(code, code)
    return same


def rule_for(
    bottle: Mapping[str, object], market: str | None, stated: int, today: str
) -> tuple[Mapping[str, Any], list[str]]:
    """Return the market's first rule whose conditions the bottle meets, with the assumptions.

    A condition on a missing fact counts as met and is listed as assumed.
    """
    rules = spec.load("label_rules")
    kind = bottle.get("kind")
    assumed = ["kind"] if kind is None and market in rules["markets_with_kinds"] else []
    for rule in rules["rules"]:
        if rule["market"] not in (market, None) or stated > rule.get("upto", stated):
            continue
        if rule["id"] == "not_wine":
            if market == "US" or not is_not_wine(bottle.get("name")):
                continue
            return rule, []
        if "kinds" in rule and kind not in rule["kinds"]:
            continue
        if "overripe_from" in rule and "overripe" not in _words(bottle):
            # A sweet wine that is too weak for the category, such as a Beerenauslese, is none.
            if kind != "sweet" or stated < rule["overripe_from"]:
                continue
            assumed.append("overripe")
        if "long_kept" in rule:
            guesses = _long_kept(bottle, today, rule["market"] == "OIV")
            if guesses is None:
                continue
            assumed.extend(guesses)
        return rule, assumed
    raise AssertionError("the last rule takes every bottle")


def _long_kept(bottle: Mapping[str, object], today: str, any_origin: bool) -> list[str] | None:
    """Return what must be assumed for the bottle to count as long kept; None if it cannot."""
    origin = bottle.get("protected_origin")
    if origin is False and not any_origin:
        return None
    guesses = ["protected_origin"] if origin is None and not any_origin else []
    over: int = spec.load("label_rules")["long_kept_over_years"]
    years = number(bottle.get("bottle_years"), "bottle_years")
    if years is not None:
        return guesses if years > over else None
    vintage = number(bottle.get("vintage"), "vintage")
    # Labels have no bottling date; the earliest possible is 1 January after the harvest.
    if vintage is None or today <= f"{int(vintage) + 1 + over:04d}-01-01":
        return None
    return [*guesses, "bottle_years"]


def rule_by_id(rule_id: str) -> Mapping[str, Any]:
    found: Mapping[str, Any] = next(
        s for s in spec.load("label_rules")["statements"] if s["id"] == rule_id
    )
    return found


def product_type_of(bottle: Mapping[str, object]) -> bool:
    return any(word in spec.load("label_rules")["us"]["type_words"] for word in _words(bottle))


def _words(bottle: Mapping[str, object]) -> list[object]:
    words = bottle.get("label_words")
    return words if isinstance(words, list) else []


def _says(bottle: Mapping[str, object], word: str) -> bool:
    """Return whether a label has the word, printed beside the name or within it."""
    words = _words(bottle)
    if word in words or "dealcoholised" not in word:
        return word in words
    name, forms = bottle.get("name"), spec.load("label_rules")["dealcoholised_names"]
    if not isinstance(name, str) or any("dealcoholised" in str(each) for each in words):
        return False
    plain = re.sub("[^a-z]", "", plain_text(name))
    in_part = any(part in plain for part in forms["part"])
    is_asked = in_part == (word == "partially_dealcoholised")
    return is_asked and any(whole in plain for whole in forms["whole"])


def to_range(
    rule: Mapping[str, Any], market: str | None, low: int | None, high: int | None
) -> LabelRange:
    return {
        "known": low is not None,
        "low": low,
        "high": high,
        "low_exclusive": False,
        "rule": rule["id"],
        "market": market,
        "status": rule["status"],
        "assumed": [],
        "errors": [],
    }


def clamp_to_class(
    found: LabelRange, stated: int, typed: bool, kind: object, reading: str | None
) -> None:
    """Limit the range to the class of the printed number (27 CFR 4.36(c))."""
    us = spec.load("label_rules")["us"]
    if typed and stated < us["type_low"]:
        found["errors"].append("below_type")
    if typed and stated > us["type_high"]:
        found["errors"].append("above_type")
    strict = reading == "strict14" or (reading is None and typed)
    edges = [edge["at"] for edge in us["tax_class_edges"]]
    # The tax class of sparkling wine depends on carbonation, not on strength.
    edges = [] if kind in ("sparkling", "semi_sparkling") else edges
    low, high = found["low"], found["high"]
    assert low is not None
    assert high is not None
    for edge in [us["type_class_edge"], *edges] if strict else edges:
        if low <= edge < stated:
            low, found["low_exclusive"] = edge, True
        if stated <= edge:
            high = min(high, edge)
    if typed and us["type_low"] <= stated:
        low = max(low, us["type_low"])
    found["low"], found["high"] = low, high


def clamp_to_words(found: LabelRange, stated: int, bottle: Mapping[str, object]) -> None:
    """Limit the range to what a word on the label means, and name the law that says so.

    A number that contradicts the word is left with its tolerance.
    """
    low, high = found["low"], found["high"]
    assert low is not None
    assert high is not None
    for rule in spec.load("label_rules")["statements"]:
        if "word" not in rule or rule["market"] not in (found["market"], None):
            continue
        if not _says(bottle, rule["word"]):
            continue
        if stated <= rule.get("most", -1) < high:
            found["high"] = high = rule["most"]
        elif low <= rule.get("above", -1) < stated:
            found["low"], found["low_exclusive"] = rule["above"], True
        else:
            continue
        found["rule"], found["status"] = rule["id"], rule["status"]


def hold_printed_range(
    found: LabelRange, printed: tuple[int, int], typed: bool, kind: object, reading: str | None
) -> None:
    """Report a printed range that overlaps a class limit, and limit it to the printed type.

    27 CFR 4.36(c): a statement of maximum and minimum may not overlap a limit of any class, type
    or taxable grade. If table or light wine is printed, the wine is within that type.
    """
    us = spec.load("label_rules")["us"]
    low, high = printed
    if typed and low < us["type_low"]:
        found["errors"].append("below_type")
    if typed and high > us["type_high"]:
        found["errors"].append("above_type")
    strict = reading == "strict14" or (reading is None and typed)
    edges = [edge["at"] for edge in us["tax_class_edges"]]
    edges = [] if kind in ("sparkling", "semi_sparkling") else edges
    if any(low <= edge < high for edge in ([us["type_class_edge"], *edges] if strict else edges)):
        found["errors"].append("range_over_class")
    if not typed or low > us["type_high"] or high < us["type_low"]:
        return
    if found["low"] is not None and found["high"] is not None:
        found["low"] = max(found["low"], us["type_low"])
        found["high"] = min(found["high"], us["type_high"])
