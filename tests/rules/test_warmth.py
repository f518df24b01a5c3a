"""Warmth felt against the label agrees with the warmth that the palate expects from the label."""

from __future__ import annotations

from tests.reference.rules.warmth import compare_warmth
from webapp.palate.data.wine_styles import WARMTH_AT_ZERO, WARMTH_PER_PERCENT


def test_expected_warmth_agrees_with_the_label() -> None:
    """A taster who feels just what the palate expects is not told that the label is wrong."""
    codes = {}
    for tenth in range(101):
        percent = (tenth / 10 - WARMTH_AT_ZERO) / WARMTH_PER_PERCENT
        label = {"low": percent * 100, "high": percent * 100}
        codes[tenth] = compare_warmth({"warmth": tenth / 10}, label, percent)["code"]
    assert set(codes.values()) == {"agrees"}, codes


def test_felt_strength_rises_with_the_warmth() -> None:
    ends = [compare_warmth({"warmth": n / 10}, {}) for n in range(101)]
    for end in ("felt_low", "felt_high"):
        values = [each[end] for each in ends]
        assert values == sorted(values)
