"""A fitted palate, with a method for each result."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from webapp.palate.data.attribute_space import AttributeSpace, Floats, Ints, style_ids
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
    """The result of `fit_palate`. All liking is in points of the 1..9 scale."""

    space: AttributeSpace
    scale_use: ScaleUse
    posterior: Posterior
    like_threshold: float
    tastings: Tastings

    def predict(
        self, X: ArrayLike | None = None, style: Any = None, spread: ArrayLike | None = None
    ) -> Prediction:
        """Predict the liking of m bottles.

        Parameters
        ----------
        X : (m, K) attributes in scale units, NaN where not known (the style's usual value and sd
            are used instead); None: only the style is known.
        style : m style ids, None where not known; or None.
        spread : None if this person judged X (their use of the scales is corrected), else the
            (m, K) sd of values known from elsewhere, such as a label; NaN: judged.

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
        """Estimate the true attributes of m bottles, with arguments as in `predict`.

        Returns mean and variance (m, K) in z, and the positions of the styles (m,).
        """
        k = len(self.space.attributes)
        if X is None:
            m = 0 if style is None else len(style_ids(style))
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
        """Return positions in space.groups, -1 for no style."""
        return self.space.group_at(style)

    def ideal_points(self) -> list[IdealPoint]:
        """Return the ideal point of each attribute, with its 80 % interval, weight and shape."""
        return find_ideal_points(self.space, self.scale_use, self.posterior)

    def alcohol_range(self) -> PrintedRange | None:
        """Return the printed numbers within half a point of the best liking, or None."""
        return printed_range(self.space, self.posterior)

    def reasons(
        self, X: ArrayLike | None = None, style: Any = None, spread: ArrayLike | None = None
    ) -> list[list[Reason]]:
        """Return up to three reasons for each of m bottles; arguments as in `predict`."""
        z_mean, z_var, where = self.read(X, style, spread)
        is_known = np.zeros(z_mean.shape, dtype=bool)
        if spread is not None and X is not None and self.space.printed is not None:
            column = list(self.space.attributes).index(self.space.printed.attribute)
            around = np.broadcast_to(np.asarray(spread, dtype=float), z_mean.shape)
            is_known[:, column] = ~np.isnan(around[:, column])
        return explain(
            self.space,
            self.scale_use,
            self.posterior,
            z_mean,
            z_var,
            where,
            self.group_of(where),
            is_known,
        )

    def recommend(self) -> NextStyles:
        """Return three lists of styles to try, close, stretch and teaches, without duplicates."""
        answers = (self.tastings.liking, self.tastings.would_buy, self.tastings.marks)
        answered = any(not np.all(np.isnan(each)) for each in answers)
        return next_styles(self.space, self.posterior, self.like_threshold, answered)

    @property
    def repeatability(self) -> Repeatability:
        """Compute repeatability from bottles tasted more than once (needs `bottle`)."""
        return repeatability(self.tastings.liking, self.tastings.bottle)

    def compact(self) -> dict[str, Any]:
        """Return a few kilobytes of JSON from which the phone computes the same predictions."""
        return make_compact(self.space, self.scale_use, self.posterior, self.like_threshold)
