"""Repeatability of a taster, and accuracy of their guesses."""

import math
from collections.abc import Mapping, Sequence
from typing import TypedDict

import numpy as np

from webapp.palate.use.repeatability import repeatability as from_answers
from webapp.rules.numbers import required

FEWEST_GUESSES = 5
SURE = 1.5


class Repeatability(TypedDict):
    """``limit`` is the difference that two tastings of one wine exceed in 5 % of cases."""

    bottles: int
    repeats: int
    within_sd: float | None
    limit: float | None


class GuessSheet(TypedDict):
    """Errors are guess minus truth.

    ``verdict``: too_few, beats_average, about_average, behind_average.
    """

    count: int
    bias: float | None
    spread: float | None
    error: float | None
    average_error: float | None
    verdict: str


def repeatability(groups: Sequence[Sequence[object]]) -> Repeatability:
    """Compute within-person sd and 95 % limit in scale units, with the server's code."""
    values = [[required(value, "value") for value in group] for group in groups]
    answers = np.array([value for group in values for value in group], dtype=float)
    bottles = [bottle for bottle, group in enumerate(values) for _ in group]
    found = from_answers(answers, bottles)
    return {
        "bottles": len(found.bottles),
        "repeats": sum(map(len, found.bottles)),
        "within_sd": found.within_sd,
        "limit": found.limit,
    }


def guess_sheet(guesses: Sequence[Mapping[str, object]]) -> GuessSheet:
    """Compute bias, spread and accuracy of guesses ``{"guess", "truth"}`` in one unit.

    Guesses are compared with always guessing the mean of these truths, which is not known in
    advance and is about the best constant guess. The verdict requires a mean gain above 1.5
    standard errors.
    """
    pairs = [
        (required(each.get("guess"), "guess"), required(each.get("truth"), "truth"))
        for each in guesses
    ]
    n = len(pairs)
    if n == 0:
        return _blank_sheet(0)
    errors = [guess - truth for guess, truth in pairs]
    bias = math.fsum(errors) / n
    if n == 1:
        return {**_blank_sheet(1), "bias": bias, "error": abs(errors[0])}
    average = math.fsum(truth for _, truth in pairs) / n
    rival = [abs(average - truth) for _, truth in pairs]
    gains = [other - abs(error) for other, error in zip(rival, errors, strict=True)]
    return {
        "count": n,
        "bias": bias,
        "spread": _sd(errors),
        "error": math.fsum(abs(error) for error in errors) / n,
        "average_error": math.fsum(rival) / n,
        "verdict": _verdict(gains),
    }


def _verdict(gains: Sequence[float]) -> str:
    if len(gains) < FEWEST_GUESSES:
        return "too_few"
    gain = math.fsum(gains) / len(gains)
    doubt = SURE * _sd(gains) / math.sqrt(len(gains))
    if gain > doubt:
        return "beats_average"
    return "behind_average" if gain < -doubt else "about_average"


def _blank_sheet(count: int) -> GuessSheet:
    return {
        "count": count,
        "bias": None,
        "spread": None,
        "error": None,
        "average_error": None,
        "verdict": "too_few",
    }


def _sd(values: Sequence[float]) -> float:
    mean = math.fsum(values) / len(values)
    return math.sqrt(math.fsum((value - mean) ** 2 for value in values) / (len(values) - 1))
