"""Measures of predictions: ranking, log-loss and coverage."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


def rank_accuracy(truth: np.ndarray, predicted: np.ndarray) -> float:
    """Return the share of pairs with different truth in the right order; a tie counts half."""
    right, pairs = pairs_right(truth, predicted)
    return right / pairs if pairs else 0.5


def pairs_right(truth: np.ndarray, predicted: np.ndarray) -> tuple[float, int]:
    """Count the pairs in the right order and the pairs with different truth."""
    i, j = np.triu_indices(len(truth), 1)
    true, guess = np.sign(truth[i] - truth[j]), np.sign(predicted[i] - predicted[j])
    differ = true != 0
    right = np.where(guess[differ] == 0, 0.5, guess[differ] == true[differ])
    return float(right.sum()), int(differ.sum())


def rank_share(truth: np.ndarray, predicted: np.ndarray, oracle: float = 1.0) -> float:
    """Return (accuracy - 0.5) / (oracle's - 0.5): chance is 0, the oracle 1."""
    return (rank_accuracy(truth, predicted) - 0.5) / (oracle - 0.5)


def log_loss(liked: np.ndarray, chance: np.ndarray) -> float:
    """Return the mean log-loss of "7 or more", with probabilities clipped to 1..99 %."""
    chance = np.clip(chance, 0.01, 0.99)
    return float(-np.where(liked, np.log(chance), np.log(1 - chance)).mean())


def covered(answers: np.ndarray, mean: np.ndarray, sd: np.ndarray) -> float:
    """Return the share of answers within the central 80 % interval."""
    return float(np.mean(np.abs(answers - mean) <= 1.2816 * sd))


@dataclass(frozen=True)
class Tally:
    """One person's results with one method."""

    person: str
    squared: float
    log_loss: float
    right: float
    pairs: int
    covered: float

    @property
    def share_right(self) -> float:
        """Return the share of pairs in the right order; NaN without pairs."""
        return self.right / self.pairs if self.pairs else float("nan")
