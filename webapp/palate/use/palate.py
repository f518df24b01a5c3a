"""A learned palate and what can be asked of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from webapp.palate.data.attribute_space import AttributeSpace, Floats, Ints
from webapp.palate.data.tastings import Tastings, check_scale, known_values, matrix
from webapp.palate.fit.posterior import Posterior
from webapp.palate.fit.scale_use import ScaleUse, prior_of, read_values
from webapp.palate.use.compact import make_compact
from webapp.palate.use.ideal_points import (
    IdealPoint,
    PrintedRange,
    find_ideal_points,
    printed_range,
)
from webapp.palate.use.prediction import Prediction, score
from webapp.palate.use.reasons import Reason, explain
from webapp.palate.use.repeatability import Repeatability, repeatability
from webapp.palate.use.suggestions import NextStyles, next_styles


@dataclass(frozen=True)
class Palate:
    """What `learn` found: see the methods. All liking is in points of the 1..9 scale."""

    space: AttributeSpace
    scale_use: ScaleUse
    posterior: Posterior
    like_threshold: float
    tastings: Tastings

    def predict(
        self, X: ArrayLike | None = None, style: Any = None, spread: ArrayLike | None = None
    ) -> Prediction:
        """Expected liking of m bottles.

        Parameters
        ----------
        X : (m, K) attributes in scale units, NaN where not known (the style's usual value with its
            spread stands in); None: nothing but the style is known.
        style : m style ids, None entries where not known; or None.
        spread : None when X was judged by this taster (their way with the scales is undone), else
            the (m, K) sd with which X is known from elsewhere, such as a label; NaN there: that
            one was judged.

        Returns
        -------
        Prediction with mean (1..9), sd of a new answer, p_like (7 or more), sd_of_mean; each (m,).
        """
        z_mean, z_var, where = self.read(X, style, spread)
        return score(
            self.posterior, z_mean, z_var, where, self.group_of(where), self.like_threshold
        )

    def read(
        self, X: ArrayLike | None, style: Any, spread: ArrayLike | None = None
    ) -> tuple[Floats, Floats, Ints]:
        """What is thought to be in m bottles: mean and variance (m, K) in z, and style
        positions."""
        k = len(self.space.attributes)
        if X is None:
            m = 0 if style is None else len(list(style))
            X = np.full((m, k), np.nan)
        x = np.asarray(X, dtype=float)
        x = matrix("X", x, len(x), k)
        check_scale("X", x, self.space)
        where = self.space.style_index(style, len(x))
        around = matrix(
            "spread", None if spread is None else np.broadcast_to(spread, x.shape), *x.shape
        )
        is_known = ~np.isnan(around)
        known, known_sd = known_values(np.where(is_known, x, np.nan), around, len(x), self.space)
        judged = np.where(is_known, np.nan, self.space.to_z(x))
        before, before_var = prior_of(self.space, where, known, known_sd)
        z_mean, z_var = read_values(judged, before, before_var, self.scale_use)
        return z_mean, z_var, where

    def group_of(self, style: Ints) -> Ints:
        """Positions in world.groups, -1 for no style."""
        return np.append(self.space.group_of, -1)[style]

    def ideal_points(self) -> list[IdealPoint]:
        """For each attribute the best point, its 80 % interval, its weight and shape."""
        return find_ideal_points(self.space, self.scale_use, self.posterior)

    def alcohol_range(self) -> PrintedRange | None:
        """Printed numbers within half a point of the best liking; None if the world prints none."""
        return printed_range(self.space, self.posterior)

    def reasons(
        self, X: ArrayLike | None = None, style: Any = None, spread: ArrayLike | None = None
    ) -> list[list[Reason]]:
        """Two or three reasons for each of m bottles; arguments as in `predict`."""
        z_mean, z_var, where = self.read(X, style, spread)
        is_known = np.zeros(z_mean.shape, dtype=bool)
        if spread is not None and X is not None and self.space.printed is not None:
            column = list(self.space.attributes).index(self.space.printed.attribute)
            around = np.broadcast_to(np.asarray(spread, dtype=float), z_mean.shape)
            is_known[:, column] = ~np.isnan(around[:, column])
        return explain(
            self.space, self.posterior, z_mean, z_var, where, self.group_of(where), is_known
        )

    def recommend(self) -> NextStyles:
        """Three lists of styles to try: close, stretch, teaches; none of them shares an entry."""
        return next_styles(self.space, self.posterior, self.like_threshold)

    @property
    def repeatability(self) -> Repeatability:
        """From bottles tasted more than once (needs `bottle` in the tastings)."""
        return repeatability(self.tastings.liking, self.tastings.bottle)

    def compact(self) -> dict[str, Any]:
        """A few kilobytes of JSON from which `score_bottle` gives the same answers."""
        return make_compact(self.space, self.scale_use, self.posterior, self.like_threshold)
