"""How a company will like a bottle, as the client computes it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from scipy.special import ndtr

DOUBTFUL_BELOW = 0.5
LOW, HIGH, STEPS = 1, 9, 32


def company_score(members: Sequence[Mapping[str, Any]]) -> dict[str, Any] | None:
    """Combine {id, score} of each person; answers are independent given the palates."""
    if not members:
        return None
    scores = [one["score"] for one in members]
    least = min(members, key=lambda one: one["score"]["mean"])
    doubtful = [
        {
            "id": one["id"],
            "mean": one["score"]["mean"],
            "p_like": one["score"]["p_like"],
            "because": next(
                (each for each in one["score"]["reasons"] if each["direction"] == "lowers"), None
            ),
        }
        for one in members
        if one["score"]["p_like"] < DOUBTFUL_BELOW
    ]
    return {
        "mean": sum(score["mean"] for score in scores) / len(scores),
        "least": {"id": least["id"], "mean": least["score"]["mean"]},
        "expected_least": expected_least(scores),
        "all_like": math.prod(score["p_like"] for score in scores),
        "doubtful": sorted(doubtful, key=lambda one: one["p_like"]),
    }


def expected_least(scores: Sequence[Mapping[str, Any]]) -> float:
    """Return the expected minimum of the likings, by the midpoint rule over the scale."""
    points = LOW + (np.arange(STEPS) + 0.5) * (HIGH - LOW) / STEPS
    above = [ndtr((score["mean"] - points) / score["sd"]) for score in scores]
    return float(LOW + np.prod(above, axis=0).sum() * (HIGH - LOW) / STEPS)
