"""Palates of the invented guests of the led tastings: what each likes, and how each answers."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from tests.example_data.persona import Profile, stream

ANSWER_NOISE_SD = 0.6


@dataclass(frozen=True, slots=True)
class Taster:
    """A guest; liking is a quadratic around the ideal, on the guest's own 0-10 scales."""

    key: str
    name: str
    entry: str
    ideal: Profile
    weight: Profile
    best: float = 8.2
    bias: Profile = field(default_factory=dict)
    agreed_at: str | None = None
    """When the guest agreed to be remembered as a person."""

    def in_the_mouth(self, bottle: Profile) -> Profile:
        """Return the bottle on this guest's scales, without the noise of a glass."""
        moved = {scale: value + self.bias.get(scale, 0.0) for scale, value in bottle.items()}
        return {scale: min(10.0, max(0.0, value)) for scale, value in moved.items()}

    def true_liking(self, mouth: Profile) -> float:
        """Return the liking without noise, which may be outside 1-9."""
        return self.best - sum(
            weight * (mouth[scale] - self.ideal[scale]) ** 2
            for scale, weight in self.weight.items()
        )

    def answered_liking(self, mouth: Profile, occasion: str) -> int:
        spoken = self.true_liking(mouth) + stream("answer", occasion).gauss(0, ANSWER_NOISE_SD)
        return min(9, max(1, math.floor(spoken + 0.5)))


TASTERS = {
    one.key: one
    for one in (
        Taster(
            *("jorun", "Jorun", "phone"),
            ideal={"acidity": 5.0, "oak": 5.0, "sweetness": 1.5, "body": 6.0, "tannin": 3.0},
            weight={"acidity": 0.22, "oak": 0.09, "sweetness": 0.06, "body": 0.12, "tannin": 0.05},
            bias={"acidity": 0.3, "oak": -0.2},
            agreed_at="2026-09-12 21:40",
        ),
        Taster(
            *("bastiaan", "Bastiaan", "phone"),
            ideal={"body": 8.0, "tannin": 6.0, "warmth": 7.0, "oak": 6.0, "sweetness": 1.0},
            weight={"body": 0.14, "tannin": 0.05, "warmth": 0.06, "oak": 0.04, "sweetness": 0.08},
            bias={"warmth": -0.4, "body": 0.2},
            agreed_at="2026-10-17 21:30",
        ),
        Taster(
            *("imke", "Imke", "phone"),
            ideal={"sweetness": 3.0, "body": 4.0, "warmth": 3.5, "acidity": 5.5, "tannin": 1.5},
            weight={"sweetness": 0.06, "body": 0.1, "warmth": 0.1, "acidity": 0.1, "tannin": 0.07},
            bias={"sweetness": 0.3},
        ),
        Taster(
            *("nele", "Nele", "passed"),
            ideal={"acidity": 7.5, "body": 4.0, "oak": 1.0, "warmth": 4.5},
            weight={"acidity": 0.15, "body": 0.1, "oak": 0.07, "warmth": 0.08},
            bias={"oak": 0.3},
        ),
        Taster(
            *("tiago", "Tiago", "qr"),
            ideal={"acidity": 6.0, "tannin": 4.5, "body": 6.0, "intensity": 7.0, "oak": 3.0},
            weight={"acidity": 0.1, "tannin": 0.1, "body": 0.1, "intensity": 0.15, "oak": 0.05},
        ),
    )
}
