"""Standard methods as fit(F, y) -> predict(F), which returns mean and sd; most use scikit-learn.

F holds the standardised attributes and, if there are styles, their one-hot columns.
"""

from __future__ import annotations

import warnings
from collections.abc import Callable

import numpy as np
from sklearn.ensemble import RandomForestRegressor
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import RBF, ConstantKernel, DotProduct, WhiteKernel
from sklearn.linear_model import BayesianRidge, RidgeCV
from sklearn.neighbors import KNeighborsRegressor
from sklearn.svm import SVR

from .ordinal import OrdinalRidge

Answer = tuple[np.ndarray, np.ndarray]
Method = Callable[[np.ndarray, np.ndarray, np.ndarray, np.ndarray, np.ndarray], Answer]


def mean(f, y, style, g, g_style) -> Answer:
    return np.full(len(g), y.mean()), np.full(len(g), _sd(y - y.mean(), 1))


def style_mean(f, y, style, g, g_style) -> Answer:
    """Predict the style's mean, shrunk to the overall mean by the weight of one answer."""

    def of(s):
        return (y[style == s].sum() + y.mean()) / (1 + (style == s).sum())

    own = np.array([of(s) for s in style])
    return np.array([of(s) for s in g_style]), np.full(len(g), _sd(y - own, 1))


def _sd(residual: np.ndarray, used: float) -> float:
    return float(max(np.sqrt((residual**2).sum() / max(len(residual) - used, 1)), 0.3))


def _plain(make: Callable[[int], object]) -> Method:
    """Wrap a method without its own sd; use the sd of its cross-validation residuals."""

    def run(f, y, style, g, g_style) -> Answer:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            folds = np.arange(len(y)) % min(len(y), 5)
            out = np.empty(len(y))
            for fold in np.unique(folds):
                rest = folds != fold
                out[~rest] = make(rest.sum()).fit(f[rest], y[rest]).predict(f[~rest])
            return make(len(y)).fit(f, y).predict(g), np.full(len(g), _sd(y - out, 0))

    return run


def _with_sd(make: Callable[[], object]) -> Method:
    def run(f, y, style, g, g_style) -> Answer:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            centre = y.mean()
            predicted, sd = make().fit(f, y - centre).predict(g, return_std=True)
        return predicted + centre, np.maximum(sd, 0.3)

    return run


METHODS: dict[str, Method] = {
    "mean": mean,
    "style mean": style_mean,
    "kNN": _plain(lambda n: KNeighborsRegressor(min(5, max(1, n // 2)), weights="distance")),
    "ridge": _plain(lambda n: RidgeCV(np.logspace(-1, 3, 13))),
    "BayesianRidge": _with_sd(BayesianRidge),
    "GP RBF": _with_sd(
        lambda: GaussianProcessRegressor(
            ConstantKernel(1.0) * RBF(3.0, (0.5, 30)) + WhiteKernel(1.0, (0.05, 10))
        )
    ),
    "GP linear": _with_sd(
        lambda: GaussianProcessRegressor(
            ConstantKernel(0.3) * DotProduct(1.0) + WhiteKernel(1.0, (0.05, 10))
        )
    ),
    "SVR": _plain(lambda n: SVR(C=1.0, epsilon=0.3)),
    "forest": _plain(lambda n: RandomForestRegressor(60, min_samples_leaf=2, random_state=0)),
    "ordinal ridge": _with_sd(OrdinalRidge),
}
