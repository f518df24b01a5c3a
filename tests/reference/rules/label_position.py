"""Where a label's strengths lie against a wanted range; what a label allows is in webapp.rules."""

from collections.abc import Mapping

from webapp.rules.label_rule import LabelRange, to_range
from webapp.rules.numbers import to_hundredths


def range_position(found: LabelRange, wanted: Mapping[str, object]) -> str:
    """Where a label's strengths lie against a wanted range: inside, may_stray or outside.

    ``wanted`` is ``{"low": percent or None, "high": percent or None}``, both ends wanted, in
    either order. A label without a meaning may stray: a bottle is never dropped for what it does
    not say. Raises RuleError: what a number may raise.
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
    """Where the printed number lies against a wanted range: inside, may_stray or outside.

    The wish is about the number on the label: printed outside is ``outside`` even where the law
    would let the wine lie inside. Printed inside is ``may_stray`` where the range that the label
    allows (``found``, of :func:`tolerance_range`) reaches over an end. A bottle without a printed
    number is placed by what its label allows. Raises RuleError: what a number may raise.
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
