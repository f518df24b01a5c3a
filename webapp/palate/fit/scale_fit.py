"""True attributes of the bottles, estimated from judged values and the person's use of the scales.

Within-style spread differs between people. Fit each multiple in STYLE_SPREAD_FACTORS and keep the
one with the highest evidence.
"""

from __future__ import annotations

from dataclasses import dataclass

from webapp.palate.data.attribute_space import AttributeSpace, Floats
from webapp.palate.data.tastings import Tastings
from webapp.palate.fit.scale_use import (
    JudgedValues,
    ScaleUse,
    fit_scale_use,
    judged_values,
    prior_of,
    read_values,
)

# Factor on the stated sd of the styles, with its prior log odds.
STYLE_SPREAD_FACTORS = ((1.0, 0.0), (2.0, -1.5), (4.0, -3.0))


@dataclass(frozen=True)
class ScaleFit:
    """A candidate fit: the space with its style sds, the use of the scales, and true attributes.

    z_mean and z_var (n, K) are the posterior of the true attributes in z; log_weight is up to a
    constant.
    """

    space: AttributeSpace
    scale_use: ScaleUse
    z_mean: Floats
    z_var: Floats
    log_weight: float


def candidate_fits(tastings: Tastings, space: AttributeSpace) -> list[ScaleFit]:
    """Fit every factor of STYLE_SPREAD_FACTORS, or only the first if no tasting has a style."""
    factors = STYLE_SPREAD_FACTORS if (tastings.style >= 0).any() else STYLE_SPREAD_FACTORS[:1]
    mean, _ = _prior(tastings, space)
    judged = judged_values(tastings.x_z, mean, space)
    return [_fit(tastings, judged, space.widened(factor), odds) for factor, odds in factors]


def _prior(tastings: Tastings, space: AttributeSpace) -> tuple[Floats, Floats]:
    return prior_of(space, tastings.style, tastings.known_z, tastings.known_sd)


def _fit(
    tastings: Tastings, judged: JudgedValues, space: AttributeSpace, log_odds: float
) -> ScaleFit:
    before, spread = _prior(tastings, space)
    scale_use, log_evidence = fit_scale_use(judged, spread)
    z_mean, z_var = read_values(tastings.x_z, before, spread, scale_use)
    return ScaleFit(space, scale_use, z_mean, z_var, log_odds + log_evidence)
