"""Computes the actual alcohol that a printed number lawfully allows, by the label's market.

The rules, their sources and dates are in ``static/spec/label_rules.json``. Strengths are whole
hundredths of a percent by volume, so that comparisons are exact.
"""

from collections.abc import Mapping

from webapp import spec
from webapp.rules.alcohol_rule import (
    LabelRange,
    clamp_to_class,
    clamp_to_words,
    hold_printed_range,
    legal_market,
    product_type_of,
    rule_by_id,
    rule_for,
    to_range,
)
from webapp.rules.errors import RuleError
from webapp.rules.numbers import to_hundredths


def tolerance_range(
    bottle: Mapping[str, object], today: str, reading: str | None = None
) -> LabelRange:
    """Compute the range of strengths that the label allows.

    ``bottle`` is a bottle's fields (``label_abv`` or ``label_abv_low`` and ``label_abv_high`` in
    percent, ``label_market``, ``label_words``, ``kind``, ``vintage``, ``protected_origin``), and
    may have ``bottle_years``; ``today`` is YYYY-MM-DD. ``reading`` (``strict14`` or ``wide``)
    overrides the default interpretation of the United States' rule. Accepts every valid record,
    else raises RuleError: not_number, too_low, too_high, unknown_reading.
    """
    if reading not in (None, "strict14", "wide"):
        raise RuleError("unknown_reading", "reading")
    stated = to_hundredths(bottle.get("label_abv"), "label_abv")
    low = to_hundredths(bottle.get("label_abv_low"), "label_abv_low")
    high = to_hundredths(bottle.get("label_abv_high"), "label_abv_high")
    market = legal_market(bottle.get("label_market"))
    if stated is not None:
        return _direct(bottle, market, stated, today, reading)
    if low is not None and high is not None:
        ends = (min(low, high), max(low, high))
        found = _printed_range(bottle, market, *ends, today)
        if market == "US":
            hold_printed_range(found, ends, product_type_of(bottle), bottle.get("kind"), reading)
        # Two phones may each have changed one end, so a reversed range is reported, not raised.
        found["errors"] += ["range_reversed"] if low > high else []
        return found
    found = _without_number(bottle, market)
    if low is not None or high is not None:
        found["errors"].append("range_incomplete")
    return found


def _direct(
    bottle: Mapping[str, object], market: str | None, stated: int, today: str, reading: str | None
) -> LabelRange:
    rule, assumed = rule_for(bottle, market, stated, today)
    tolerance: int = rule["tolerance"]
    found = to_range(rule, market, max(0, stated - tolerance), stated + tolerance)
    found["assumed"] = assumed
    step = spec.load("label_rules")["steps"].get(market)
    if step and rule["market"] and stated % step["step"]:
        found["errors"].append(step["error"])
    if market == "US":
        clamp_to_class(found, stated, product_type_of(bottle), bottle.get("kind"), reading)
    clamp_to_words(found, stated, bottle)
    return found


def _printed_range(
    bottle: Mapping[str, object], market: str | None, low: int, high: int, today: str
) -> LabelRange:
    rules = spec.load("label_rules")
    if market == "US":
        widths = rules["us"]["printed_range_width"]
        width = next(w["width"] for w in widths if w["upto"] is None or high <= w["upto"])
        if high - low <= width:
            return to_range(rule_by_id("us_printed_range"), market, low, high)
    rule, assumed = rule_for(bottle, market, high, today)
    below, _ = rule_for(bottle, market, low, today)
    found = to_range(rule, market, max(0, low - below["tolerance"]), high + rule["tolerance"])
    found["assumed"] = [*assumed, "printed_range"]
    if market == "US":
        found["errors"].append("range_too_wide")
    return found


def _without_number(bottle: Mapping[str, object], market: str | None) -> LabelRange:
    us = spec.load("label_rules")["us"]
    if market == "US" and product_type_of(bottle):
        return to_range(rule_by_id("us_type_word"), market, us["type_low"], us["type_high"])
    return to_range({"id": "no_number", "status": "unknown"}, market, None, None)
