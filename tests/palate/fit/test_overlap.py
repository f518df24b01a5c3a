"""The overlap of attributes, and the prior curvature that follows from it."""

from __future__ import annotations

import numpy as np
import pytest

from webapp.palate.fit.overlap import USUAL_OVERLAP, overlap
from webapp.palate.fit.prior import BEND, curvature_prior

NO_STYLES = np.zeros((0, 30))


def test_independent_attributes_do_not_overlap() -> None:
    z = np.random.default_rng(1).normal(size=(4000, 30))
    assert overlap(NO_STYLES, z) == pytest.approx(1.0, abs=0.02)


def test_copies_of_one_attribute_overlap_by_the_square_root() -> None:
    z = np.repeat(np.random.default_rng(1).normal(size=(4000, 1)), 30, axis=1)
    assert overlap(NO_STYLES, z) == pytest.approx(np.sqrt(30), rel=0.05)


def test_overlap_is_the_sd_of_the_common_curvature() -> None:
    rng = np.random.default_rng(2)
    z = rng.normal(size=(6000, 3)) @ rng.normal(size=(3, 30))
    z = z / z.std(0)
    common = (z**2 - 1).sum(1) / np.sqrt(2 * 30)
    assert overlap(NO_STYLES, z) == pytest.approx(common.std(), rel=0.05)


def test_overlap_of_few_bottles_is_the_usual_one() -> None:
    assert overlap(NO_STYLES, NO_STYLES) == USUAL_OVERLAP
    assert overlap(NO_STYLES, np.zeros((5, 30))) == USUAL_OVERLAP
    assert overlap(NO_STYLES, np.ones((1, 30))) == pytest.approx(USUAL_OVERLAP)


def test_more_styles_than_attributes_tell_the_overlap() -> None:
    z = np.random.default_rng(3).normal(size=(500, 4))
    assert overlap(z, np.ones((300, 4))) == overlap(z, np.zeros((0, 4)))


def test_curvature_is_divided_by_the_overlap() -> None:
    usual, wide = curvature_prior(1.0, 5), curvature_prior(2 * USUAL_OVERLAP, 9)
    assert usual.bend == (BEND,)
    assert wide.bend == (0.0, BEND / 2)
    assert np.exp(wide.log_odds) == pytest.approx([0.75, 0.25])


def test_curvature_grows_with_the_first_answers() -> None:
    assert curvature_prior(1.0, 0).bend == curvature_prior(9.0, 0).bend == (0.0,)
    assert curvature_prior(1.0, 2).bend == pytest.approx((0.4 * BEND,))
