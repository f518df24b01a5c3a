"""Colour conversion against the colour-science library, and swatches against their Lab values."""

import warnings
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.reference.rules.colour import (
    ciede2000,
    hex_to_lab,
    hue_angle_deg,
    hue_proposals,
    lab_on_white,
    srgb_to_lab,
)
from webapp import spec

with warnings.catch_warnings():
    # The library warns about optional plotting packages on its first import.
    warnings.simplefilter("ignore")
    import colour as colour_science

SWATCHES = spec.load("swatches")["swatches"]
BYTES = st.tuples(*[st.integers(0, 255)] * 3)
LABS = st.tuples(st.floats(0, 100), st.floats(-90, 90), st.floats(-90, 90))


@given(BYTES)
def test_srgb_conversion_matches_colour_science(rgb):
    # colour-science 0.4.7 uses the standard's four-digit matrix, which differs by up to 0.03.
    xyz = colour_science.sRGB_to_XYZ(np.array(rgb) / 255)
    reference = colour_science.XYZ_to_Lab(
        xyz, colour_science.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    )
    assert srgb_to_lab(rgb) == pytest.approx(reference, abs=0.05)


@given(LABS, LABS)
def test_colour_difference_matches_colour_science(first, second):
    turn = abs(hue_angle_deg(first) - hue_angle_deg(second))
    # At opposite hues the mean hue depends on rounding, which differs between platforms.
    assume(abs(turn - 180) > 1e-3)
    assume(min(np.hypot(*lab[1:]) for lab in (first, second)) > 1e-6)
    reference = colour_science.delta_E(np.array(first), np.array(second), method="CIE 2000")
    assert ciede2000(first, second) == pytest.approx(float(reference), abs=1e-6)


@given(LABS, LABS)
def test_colour_difference_is_symmetric_and_not_negative(first, second):
    assert ciede2000(first, second) == pytest.approx(ciede2000(second, first), abs=1e-9)
    assert ciede2000(first, second) >= 0
    assert ciede2000(first, first) == 0


@pytest.mark.parametrize("hue", spec.load("hues")["hues"], ids=lambda hue: hue["id"])
def test_swatches_state_their_lab_and_match_themselves(hue):
    swatch = SWATCHES[hue["id"]]
    assert hex_to_lab(swatch["srgb"]) == pytest.approx(swatch["lab"], abs=0.002)
    nearest = hue_proposals(swatch["lab"], hue["colour"])[0]
    assert nearest["id"] == hue["id"]


def test_neighbouring_swatches_are_distinguishable():
    for colour in spec.vocabulary("colour"):
        hues = [hue["id"] for hue in spec.load("hues")["hues"] if hue["colour"] == colour]
        labs = [SWATCHES[hue]["lab"] for hue in hues]
        steps = [ciede2000(a, b) for a, b in pairwise(labs)]
        assert steps
        assert min(steps) > 3, colour


@given(BYTES, st.floats(0.5, 1.0))
def test_dimmer_light_does_not_change_the_relative_colour(rgb, light):
    dimmed = [255 * _encoded(light * _opened(value / 255)) for value in rgb]
    ground = [255 * _encoded(light)] * 3
    assert lab_on_white(dimmed, ground) == pytest.approx(srgb_to_lab(rgb), abs=0.01)


def _opened(share):
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4


def _encoded(light):
    return 12.92 * light if light <= 0.0031308 else 1.055 * light ** (1 / 2.4) - 0.055
