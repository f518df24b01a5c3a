"""Comparison of a label's strengths with a wanted range; label rules are in webapp.rules."""

from collections.abc import Mapping

from webapp.rules.alcohol_rule import LabelRange, to_range
from webapp.rules.numbers import to_hundredths


def range_position(found: LabelRange, wanted: Mapping[str, object]) -> str:
    """Compare a label's possible strengths with a wanted range: inside, may_stray or outside.

    ``wanted`` is ``{"low": percent or None, "high": percent or None}``, both ends included, in
    either order. A label without a range gives may_stray, so that a filter never drops a bottle for
    missing data. Raises RuleError: the errors of numbers.
    """
    low = to_hundredths(wanted.get("low"), "low")
    high = to_hundredths(wanted.get("high"), "high")
    if low is not None and high is not None:
        low, high = min(low, high), max(low, high)
    if found["low"] is None or found["high"] is None:
        return "may_stray"
    too_weak = low is not None and found["high"] < low
    too_strong = high is not None and (
        found["low"] > high or (found["low_exclusive"] and found["low"] == high)
    )
    if too_weak or too_strong:
        return "outside"
    from_low = low is None or found["low"] >= low
    to_high = high is None or found["high"] <= high
    return "inside" if from_low and to_high else "may_stray"


def printed_position(
    bottle: Mapping[str, object], found: LabelRange, wanted: Mapping[str, object]
) -> str:
    """Compare the printed number with a wanted range: inside, may_stray or outside.

    A printed number outside gives ``outside`` even if the real strength may legally be inside. A
    printed number inside gives ``may_stray`` if the label's legal range (``found``, of
    :func:`tolerance_range`) extends beyond an end. Without a printed number the legal range is
    compared. Raises RuleError: the errors of numbers.
    """
    lawful = range_position(found, wanted)
    low = to_hundredths(bottle.get("label_abv_low"), "label_abv_low")
    high = to_hundredths(bottle.get("label_abv_high"), "label_abv_high")
    stated = to_hundredths(bottle.get("label_abv"), "label_abv")
    if stated is not None:
        low = high = stated
    if low is None or high is None:
        return lawful
    printed = to_range(
        {"id": "printed", "status": "seen"}, found["market"], min(low, high), max(low, high)
    )
    position = range_position(printed, wanted)
    return "may_stray" if position == "inside" and lawful != "inside" else position
