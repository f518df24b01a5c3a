"""A learned palate and what can be asked of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from webapp.palate.data.attribute_space import Floats, Ints, World
from webapp.palate.data.tastings import Tastings, check_scale, known_values, matrix
from webapp.palate.fit.posterior import Posterior
from webapp.palate.fit.scale_use import Perception, prior_of, read_values
from webapp.palate.use.compact import make_compact
from webapp.palate.use.ideal_points import PrintedRange, Target, find_targets, printed_range
from webapp.palate.use.prediction import Prediction, score
from webapp.palate.use.reasons import Reason, explain
from webapp.palate.use.repeatability import Repeatability, repeatability
from webapp.palate.use.suggestions import NextStyles, next_styles


@dataclass(frozen=True)
class Palate:
    """What `learn` found: see the methods. All liking is in points of the 1..9 scale."""

    world: World
    perception: Perception
    posterior: Posterior
    liked_line: float
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
        return score(self.posterior, z_mean, z_var, where, self.group_of(where), self.liked_line)

    def read(
        self, X: ArrayLike | None, style: Any, spread: ArrayLike | None = None
    ) -> tuple[Floats, Floats, Ints]:
        """What is thought to be in m bottles: mean and variance (m, K) in z, and style
        positions."""
        k = len(self.world.attributes)
        if X is None:
            m = 0 if style is None else len(list(style))
            X = np.full((m, k), np.nan)
        x = np.asarray(X, dtype=float)
        x = matrix("X", x, len(x), k)
        check_scale("X", x, self.world)
        where = self.world.style_index(style, len(x))
        around = matrix(
            "spread", None if spread is None else np.broadcast_to(spread, x.shape), *x.shape
        )
        told = ~np.isnan(around)
        known, known_sd = known_values(np.where(told, x, np.nan), around, len(x), self.world)
        judged = np.where(told, np.nan, self.world.to_z(x))
        before, before_var = prior_of(self.world, where, known, known_sd)
        z_mean, z_var = read_values(judged, before, before_var, self.perception)
        return z_mean, z_var, where

    def group_of(self, style: Ints) -> Ints:
        """Positions in world.groups, -1 for no style."""
        return np.append(self.world.group_of, -1)[style]

    def targets(self) -> list[Target]:
        """For each attribute the best point, its 80 % interval, its weight and shape."""
        return find_targets(self.world, self.perception, self.posterior)

    def alcohol_range(self) -> PrintedRange | None:
        """Printed numbers within half a point of the best liking; None if the world prints none."""
        return printed_range(self.world, self.posterior)

    def reasons(
        self, X: ArrayLike | None = None, style: Any = None, spread: ArrayLike | None = None
    ) -> list[list[Reason]]:
        """Two or three reasons for each of m bottles; arguments as in `predict`."""
        z_mean, z_var, where = self.read(X, style, spread)
        told = np.zeros(z_mean.shape, dtype=bool)
        if spread is not None and X is not None and self.world.printed is not None:
            column = list(self.world.attributes).index(self.world.printed.attribute)
            around = np.broadcast_to(np.asarray(spread, dtype=float), z_mean.shape)
            told[:, column] = ~np.isnan(around[:, column])
        return explain(self.world, self.posterior, z_mean, z_var, where, self.group_of(where), told)

    def recommend(self) -> NextStyles:
        """Three lists of styles to try: close, stretch, teaches; none of them shares an entry."""
        return next_styles(self.world, self.posterior, self.liked_line)

    @property
    def repeatability(self) -> Repeatability:
        """From bottles tasted more than once (needs `bottle` in the tastings)."""
        return repeatability(self.tastings.liking, self.tastings.bottle)

    def compact(self) -> dict[str, Any]:
        """A few kilobytes of JSON from which `score_bottle` gives the same answers."""
        return make_compact(self.world, self.perception, self.posterior, self.liked_line)
