"""What was in the glasses: the judged values read with this taster's use of the scales.

Within-style spread differs between people. Fit each multiple in STYLE_SPREAD_FACTORS and keep the
one with the highest evidence.
"""

from __future__ import annotations

from dataclasses import dataclass

from webapp.palate.data.attribute_space import Floats, World
from webapp.palate.data.tastings import Tastings
from webapp.palate.fit.scale_use import Perception, learn_perception, prior_of, read_values

# How many times wider than said the styles are, with the log odds given to it beforehand.
WIDTHS = ((1.0, 0.0), (2.0, -1.5), (4.0, -3.0))


@dataclass(frozen=True)
class Reading:
    """One way to read the tastings: the world with its widths, the taster's use of the scales, and
    what is thought to have been there: mean and variance (n, K) in z. log_weight is up to a
    constant."""

    world: World
    perception: Perception
    z_mean: Floats
    z_var: Floats
    log_weight: float


def readings(tastings: Tastings, world: World) -> list[Reading]:
    """Every way to read them; only one where no style speaks."""
    widths = WIDTHS if (tastings.style >= 0).any() else WIDTHS[:1]
    return [_read(tastings, world.widened(width), log_odds) for width, log_odds in widths]


def _read(tastings: Tastings, world: World, log_odds: float) -> Reading:
    perception, log_evidence = learn_perception(tastings, world)
    before, spread = prior_of(world, tastings.style, tastings.known_z, tastings.known_sd)
    z_mean, z_var = read_values(tastings.x_z, before, spread, perception)
    return Reading(world, perception, z_mean, z_var, log_odds + log_evidence)
