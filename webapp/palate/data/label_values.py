"""Attributes that sugar and acidity on a bottle's record tell, together with its style.

The curves are those of `perceived` in static/spec/sweetness.json (common practice). A wine's acids
hide part of its sugar: for the term "dry", Regulation (EU) 2019/33, Annex III part B, allows one
gram more of sugar for one more of total acidity. So does the curve of sweetness, from the usual
acidity on, and up to half of the sugar.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from webapp.palate.data.attribute_space import AttributeSpace, Floats

SUGAR_FACTOR, HALF_SUGAR_GL = 1.9, 3.0
ACIDITY_GL = (2.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0)
ACIDITY_POINTS = (0.0, 3.0, 4.5, 5.5, 7.0, 8.0, 9.0, 10.0)
USUAL_ACIDITY_GL = 6.0
MOST_HIDDEN = 0.5
# How far a bottle's true sweetness and acidity are from these curves (sd, points of the scale).
SWEETNESS_SPREAD, ACIDITY_SPREAD = 0.8, 1.2
SCALE_HIGH = 10.0


def sweetness_of(sugar_gl: ArrayLike, acidity_gl: ArrayLike) -> Floats:
    """Return sweetness (0..10) from residual sugar and total acidity (NaN: usual), in g/l."""
    sugar, acidity = np.asarray(sugar_gl, dtype=float), np.asarray(acidity_gl, dtype=float)
    above = np.where(np.isnan(acidity), 0.0, acidity - USUAL_ACIDITY_GL)
    tasted = sugar - np.clip(above, -MOST_HIDDEN * sugar, MOST_HIDDEN * sugar)
    points = SUGAR_FACTOR * np.log1p(tasted / HALF_SUGAR_GL)
    return np.asarray(np.minimum(points, SCALE_HIGH), dtype=float)


def acidity_of(acidity_gl: ArrayLike) -> Floats:
    """Return acidity (0..10) from total acidity in g/l as tartaric acid."""
    acidity = np.asarray(acidity_gl, dtype=float)
    return np.asarray(np.interp(acidity, ACIDITY_GL, ACIDITY_POINTS), dtype=float)


def analysis_record(attributes: Sequence[str]) -> dict[str, Any]:
    """Return the constants for the phone, with the positions of both attributes."""
    return {
        "sweetness": attributes.index("sweetness"),
        "acidity": attributes.index("acidity"),
        "sugar_factor": SUGAR_FACTOR,
        "half_sugar_gl": HALF_SUGAR_GL,
        "usual_acidity_gl": USUAL_ACIDITY_GL,
        "most_hidden": MOST_HIDDEN,
        "acidity_gl": list(ACIDITY_GL),
        "acidity_points": list(ACIDITY_POINTS),
        "sweetness_spread": SWEETNESS_SPREAD,
        "acidity_spread": ACIDITY_SPREAD,
        "high": SCALE_HIGH,
    }


def with_analysis(
    space: AttributeSpace, mean: Floats, sd: Floats, sugar_gl: Floats, acidity_gl: Floats
) -> tuple[Floats, Floats]:
    """Update the usual mean and sd (n, K), in z, with sugar and acidity (n,), NaN if unknown."""
    mean, sd = mean.copy(), sd.copy()
    for name, stated, spread in (
        ("sweetness", sweetness_of(sugar_gl, acidity_gl), SWEETNESS_SPREAD),
        ("acidity", acidity_of(acidity_gl), ACIDITY_SPREAD),
    ):
        k = list(space.attributes).index(name)
        z, z_sd = (stated - space.centre[k]) / space.scale[k], spread / space.scale[k]
        mean[:, k], sd[:, k] = combined(mean[:, k], sd[:, k], z, z_sd)
    return mean, sd


def combined(mean: Floats, sd: Floats, stated: Floats, stated_sd: float) -> tuple[Floats, Floats]:
    """Combine the usual value with a stated one (NaN: none): the product of two normals."""
    share = np.where(np.isnan(stated), 0.0, sd**2 / (sd**2 + stated_sd**2))
    value = mean + share * (np.nan_to_num(stated) - mean)
    return value, sd * np.sqrt(1 - share)
