"""Finds the point of each scale, and the printed alcohol, where a person's liking is highest."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

import numpy as np

from webapp.palate.data.attribute_space import AttributeSpace, Floats
from webapp.palate.fit.posterior import Posterior
from webapp.palate.fit.scale_use import ScaleUse, own_scale
from webapp.palate.use.quasi_random import linear_quadratic_draws

INTERVAL = (0.1, 0.9)
# An ideal point is known if its 80 % interval is shorter than this share of the scale.
KNOWN_SHARE = 0.55
OPEN_SCALE_SD = 2.5
# Probability that the best point is an end of the scale, above which the shape is "more" or "less".
END_SHARE = 0.65
WITHIN_LIKING = 0.5
PRINTED_STEP = 0.1


@dataclass(frozen=True)
class IdealPoint:
    """Best point of one attribute on the person's own scale, with its 80 % interval.

    shape: "peak", "more" or "less" (the maximum is an end of the scale) or "unknown"; target is
    None if unknown. weight: effect of the attribute on liking, in points per sd over all styles.
    """

    attribute: Hashable
    target: float | None
    low: float
    high: float
    weight: float
    shape: str


@dataclass(frozen=True)
class PrintedRange:
    """Printed numbers where liking is within half a point of its maximum.

    low_between and high_between are the 80 % intervals of the ends.
    """

    low: float
    high: float
    best: float
    low_between: tuple[float, float]
    high_between: tuple[float, float]
    known: bool


def scale_ends(space: AttributeSpace) -> tuple[Floats, Floats]:
    """Return the ends of each scale in z; an infinite end becomes OPEN_SCALE_SD from the mean."""
    low, high = (
        (space.lowest - space.centre) / space.scale,
        (space.highest - space.centre) / space.scale,
    )
    return np.where(np.isfinite(low), low, -OPEN_SCALE_SD), np.where(
        np.isfinite(high), high, OPEN_SCALE_SD
    )


def find_ideal_points(
    space: AttributeSpace, scale_use: ScaleUse, posterior: Posterior
) -> list[IdealPoint]:
    """Find the ideal point of each attribute, in the order of the space."""
    lows, highs = scale_ends(space)
    return [
        _ideal_point(space, scale_use, posterior, k, (float(lows[k]), float(highs[k])))
        for k in range(len(space.attributes))
    ]


def _ideal_point(
    space: AttributeSpace,
    scale_use: ScaleUse,
    posterior: Posterior,
    k: int,
    ends: tuple[float, float],
) -> IdealPoint:
    count = len(space.attributes)
    line, bend = linear_quadratic_draws(posterior.beta, posterior.cov, k, count)
    best = maximum(line, bend, ends)
    low, middle, high = np.quantile(best, [INTERVAL[0], 0.5, INTERVAL[1]])
    shape = _shape(best, ends, high - low)
    own = own_scale(space, scale_use, np.repeat([[low], [middle], [high]], count, axis=1))[:, k]
    at_line, at_bend = posterior.beta[1 + k], posterior.beta[1 + count + k]
    weight = float(np.hypot(at_line, at_bend) / np.sqrt(count))
    target = None if shape == "unknown" else float(own[1])
    return IdealPoint(space.attributes[k], target, float(own[0]), float(own[2]), weight, shape)


def maximum(line: Floats, bend: Floats, ends: tuple[float, float]) -> Floats:
    """Find z between the two ends where line z + bend z^2 / sqrt(2) is highest."""
    hollow = bend >= 0
    peak = -line / (np.sqrt(2) * np.where(hollow, -1.0, bend))
    rise = line * (ends[1] - ends[0]) + bend * (ends[1] ** 2 - ends[0] ** 2) / np.sqrt(2)
    return np.where(hollow, np.where(rise > 0, ends[1], ends[0]), np.clip(peak, *ends))


def _shape(best: Floats, ends: tuple[float, float], width: float) -> str:
    if np.mean(best >= ends[1]) > END_SHARE:
        return "more"
    if np.mean(best <= ends[0]) > END_SHARE:
        return "less"
    return "peak" if width < KNOWN_SHARE * (ends[1] - ends[0]) else "unknown"


def printed_range(space: AttributeSpace, posterior: Posterior) -> PrintedRange | None:
    """Return the liked range of the printed number; None if the space has no printed number."""
    printed = space.printed
    if printed is None:
        return None
    k, count = list(space.attributes).index(printed.attribute), len(space.attributes)
    steps = round((printed.high - printed.low) / PRINTED_STEP)
    numbers = np.round(printed.low + PRINTED_STEP * np.arange(steps + 1), 6)
    z = (printed.attribute_of(numbers) - space.centre[k]) / space.scale[k]
    line, bend = linear_quadratic_draws(posterior.beta, posterior.cov, k, count)
    curves = (line[:, None] * z + bend[:, None] * z**2 / np.sqrt(2)) / np.sqrt(count)
    usual = (
        posterior.beta[1 + k] * z + posterior.beta[1 + count + k] * z**2 / np.sqrt(2)
    ) / np.sqrt(count)
    low, high = _within(curves, numbers)
    own_low, own_high = _within(usual[None, :], numbers)
    return PrintedRange(
        float(own_low[0]),
        float(own_high[0]),
        float(numbers[np.argmax(usual)]),
        _between(low),
        _between(high),
        bool(own_low[0] > numbers[0] or own_high[0] < numbers[-1]),
    )


def _within(curves: Floats, numbers: Floats) -> tuple[Floats, Floats]:
    """Return, for each curve, first and last number within WITHIN_LIKING of its maximum."""
    good = curves >= curves.max(1, keepdims=True) - WITHIN_LIKING
    return numbers[good.argmax(1)], numbers[good.shape[1] - 1 - good[:, ::-1].argmax(1)]


def _between(values: Floats) -> tuple[float, float]:
    low, high = np.quantile(values, INTERVAL)
    return float(low), float(high)
