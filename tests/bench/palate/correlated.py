"""Synthetic panels whose products have many correlated attributes, and tasters of several kinds.

A world has 20 to 45 attributes that follow from two to four factors, as in a trained panel's
profile: half of the attributes are skewed (near zero in most products, strong in a few). A taster
of the kind `ideal` likes products near an ideal point of the factors; `linear` has no ideal point;
`saturating` likes more up to a limit; `threshold` dislikes products above a limit of one attribute.
Each product also has an effect that no attribute tells, and each answer has noise.
"""

from __future__ import annotations

import numpy as np

from webapp.palate import AttributeSpace

from .panels import Panel

KINDS = ("ideal", "linear", "saturating", "threshold")
SIGNAL_SD, PRODUCT_SD, ANSWER_SD, LEVEL, LEVEL_SD = 1.1, 0.5, 1.2, 5.6, 1.0
LEAST, MOST = 1.0, 9.0
# A person to whom all products are equal is drawn again.
LEAST_SD = 1e-6


def correlated_panel(kind: str, seed: int, people: int) -> Panel:
    """Return a panel of one kind of tasters over one world, determined by the seed."""
    rng = np.random.default_rng([seed, KINDS.index(kind)])
    profile, factors = _products(rng)
    count, k = profile.shape
    rows = {}
    for person in range(people):
        bent = _standardized_taste(kind, factors, profile, rng) * SIGNAL_SD
        truth = bent + rng.normal(LEVEL, LEVEL_SD) + rng.normal(0, PRODUCT_SD, count)
        answers = np.clip(np.round(truth + rng.normal(0, ANSWER_SD, count)), LEAST, MOST)
        none = [float("nan")] * k
        rows[str(person)] = [(i, float(answer), none) for i, answer in enumerate(answers)]
    spread = np.where(profile.std(0) > 0, profile.std(0), 1.0)
    space = AttributeSpace([f"a{i}" for i in range(k)], profile.mean(0), spread, ["0"])
    return Panel(f"{kind} {k}x{count}", space, profile, ["0"] * count, rows, False)


def _products(rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
    """Return the attributes (products, K) of a world and its factors (products, F)."""
    k, count, dimensions = rng.integers(20, 46), rng.integers(7, 12), rng.integers(2, 5)
    factors = rng.normal(size=(count, dimensions)) * 0.75 ** np.arange(dimensions)
    loadings = rng.normal(size=(dimensions, k))
    common = factors @ loadings
    own = rng.uniform(0.2, 0.7, k) * rng.normal(size=(count, k))
    z = common / common.std(0) + own
    return np.where(np.arange(k) % 2, np.exp(0.8 * z), z), factors


def _standardized_taste(
    kind: str, factors: np.ndarray, profile: np.ndarray, rng: np.random.Generator
) -> np.ndarray:
    """Return the liking (products,) of one person, with mean 0 and sd 1 over the products."""
    found = _taste(kind, factors, profile, rng)
    while found.std() < LEAST_SD:
        found = _taste(kind, factors, profile, rng)
    return (found - found.mean()) / found.std()


def _taste(
    kind: str, factors: np.ndarray, profile: np.ndarray, rng: np.random.Generator
) -> np.ndarray:
    along = factors @ rng.normal(size=factors.shape[1])
    if kind == "ideal":
        ideal = rng.normal(0, 0.8, factors.shape[1])
        along = -((factors - ideal) ** 2) @ rng.gamma(1.0, 1.0, factors.shape[1])
    elif kind == "saturating":
        along = np.minimum((along - along.mean()) / along.std(), rng.normal(0, 0.5))
    elif kind == "threshold":
        z = profile[:, rng.integers(profile.shape[1])] * rng.choice([-1, 1])
        along = -1.0 * (z > np.quantile(z, rng.uniform(0.4, 0.8))) + 0.3 * along / along.std()
    return np.asarray(along)
