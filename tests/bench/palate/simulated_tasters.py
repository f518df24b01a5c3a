"""Simulated tasters with an ideal point, weights, style effects and their own use of scales.

All parameters are in z units of the attribute space (mean and spread over its styles), including
bias and noise on the scales; for a `keen` taster these two are in points of the 0..10 scale, which
is less than half as much. A bottle's attributes scatter around its style; warmth follows from its
alcohol. Liking is quadratic around an ideal, plus a linear part, plus effects of style and group,
rescaled to mean 6 and sd 1.3 and clipped to 1..9; an answer adds noise of sd 1.0 and is rounded.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from webapp.palate.data.attribute_space import AttributeSpace
from webapp.palate.data.wine_styles import ATTRIBUTES, WARMTH_SPREAD, warmth_of, wine_space

IDEAL_SD, WEIGHT_SHAPE, LINEAR_SD = 0.9, 1.0, 0.35
STYLE_SD, GROUP_SD = 0.45, 0.35
LIKING_MEAN, LIKING_SD, ANSWER_SD = 6.0, 1.3, 1.0
GAIN_LOG_SD, BIAS_SD, PERCEPTION_SD = 0.15, 0.7, 0.7
SLOPE_NOISE, DEAD_BAND = 0.15, 0.25
WARMTH = ATTRIBUTES.index("warmth")


@dataclass(frozen=True)
class Bottles:
    """m bottles of a taster: true liking, answers (m,), perceived X, JAR (m, K), style and abv."""

    truth: np.ndarray
    liking: np.ndarray
    X: np.ndarray
    marks: np.ndarray
    style: np.ndarray
    abv: np.ndarray

    def first(self, n: int) -> Bottles:
        return Bottles(
            self.truth[:n],
            self.liking[:n],
            self.X[:n],
            self.marks[:n],
            self.style[:n],
            self.abv[:n],
        )

    def after(self, n: int) -> Bottles:
        return Bottles(
            self.truth[n:],
            self.liking[n:],
            self.X[n:],
            self.marks[n:],
            self.style[n:],
            self.abv[n:],
        )


class Taster:
    """One simulated person over a list of styles, determined by the seed."""

    def __init__(self, styles: Sequence[Mapping[str, Any]], seed: int, keen: bool = False) -> None:
        self.styles, self.space = styles, wine_space(styles)
        self.rng = np.random.default_rng(seed)
        k = len(ATTRIBUTES)
        self.ideal = self.rng.normal(0, IDEAL_SD, k)
        self.weight = self.rng.gamma(WEIGHT_SHAPE, 1 / WEIGHT_SHAPE, k) / k
        self.linear = self.rng.normal(0, LINEAR_SD, k) / np.sqrt(k)
        self.style_effect = self.rng.normal(0, STYLE_SD, len(styles))
        self.style_effect += self.rng.normal(0, GROUP_SD, len(self.space.groups))[
            self.space.group_of
        ]
        self.gain = np.exp(self.rng.normal(0, GAIN_LOG_SD, k))
        unit = 1 / self.space.scale if keen else np.ones(k)
        self.bias, self.noise = unit * self.rng.normal(0, BIAS_SD, k), unit * PERCEPTION_SD
        z, style, _ = self.draw(4000)
        bent = self._bent(z)
        part = np.sqrt(LIKING_SD**2 - STYLE_SD**2 - GROUP_SD**2)
        self.scale = part / bent.std()
        self.shift = LIKING_MEAN - (self.scale * bent + self.style_effect[style]).mean()

    def draw(self, m: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Draw m bottles of random styles: attributes in z, style and abv."""
        world: AttributeSpace = self.space
        style = self.rng.integers(0, len(self.styles), m)
        low, typ, high = (
            np.array([float(s[name]) for s in self.styles])[style]
            for name in ("abv_low", "abv_typ", "abv_high")
        )
        abv = np.clip(self.rng.normal(typ, np.maximum(high - low, 0.2) / 4), low - 0.5, high + 0.5)
        raw = (
            np.array(world.profile)[style]
            + self.rng.normal(size=(m, len(ATTRIBUTES))) * np.array(world.profile_spread)[style]
        )
        raw[:, WARMTH] = warmth_of(abv) + self.rng.normal(0, WARMTH_SPREAD / 2, m)
        return (np.clip(raw, 0, 10) - world.centre) / world.scale, style, np.round(abv, 1)

    def _bent(self, z: np.ndarray) -> np.ndarray:
        return -((z - self.ideal) ** 2) @ self.weight + z @ self.linear

    def taste(self, m: int) -> Bottles:
        """Draw m new bottles of random styles and judge them."""
        return self.judge(*self.draw(m))

    def judge(self, z: np.ndarray, style: np.ndarray, abv: np.ndarray) -> Bottles:
        """Judge given bottles, which may be the same for several tasters."""
        m = len(z)
        truth = np.clip(self.scale * self._bent(z) + self.style_effect[style] + self.shift, 1, 9)
        liking = np.clip(np.round(truth + self.rng.normal(0, ANSWER_SD, m)), 1, 9)
        seen = self.gain * z + self.bias + self.noise * self.rng.normal(size=z.shape)
        seen = np.clip(self.space.centre + self.space.scale * seen, 0, 10)
        slope = self.scale * (self.linear - 2 * self.weight * (z - self.ideal))
        slope = slope + self.rng.normal(0, SLOPE_NOISE, z.shape)
        marks = np.where(np.abs(slope) < DEAD_BAND, 0.0, -np.sign(slope))
        return Bottles(truth, liking, np.round(seen, 1), marks, style, abv)

    def ideal_points(self) -> np.ndarray:
        """Return the ideal point of each scale (0-10), with this person's use of the scale."""
        best = self.ideal + self.linear / (2 * self.weight)
        middle = self.space.centre + self.space.scale * self.bias
        seen = middle + self.space.scale * self.gain * best
        low, high = (middle + self.gain * (end - self.space.centre) for end in (0.0, 10.0))
        return np.clip(np.clip(seen, low, high), 0, 10)
