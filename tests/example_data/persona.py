"""Palate of the invented taster: preferences, use of the scales and noise of the answers.

Liking is a quadratic around an ideal on the taster's own 0-10 scales, plus effects of a few
styles, plus noise for each tasting. Every draw has its own named generator, so that a new kind of
draw does not change the existing ones.
"""

import math
from collections.abc import Callable
from random import Random

from tests.example_data.source_tables import styles

Profile = dict[str, float]
Marks = dict[str, int]

SEED = "second nose example 1"
SCALES = ("sweetness", "acidity", "tannin", "body", "warmth", "oak", "intensity")

IDEAL: Profile = {"acidity": 7.2, "tannin": 3.2, "body": 4.2, "warmth": 4.0, "oak": 0.8}
WEIGHT: Profile = {"acidity": 0.24, "tannin": 0.05, "body": 0.11, "warmth": 0.15, "oak": 0.055}
BEST_LIKING = 8.0
INTENSITY_SLOPE = 0.15
SWEETNESS_COST = 0.09
ACIDITY_THAT_CARRIES_SWEETNESS = 8.6

STYLE_EFFECT: Profile = {
    "red_barolo": 3.8,
    "red_barbaresco": 3.3,
    "wht_riesling_dry": 1.0,
    "wht_riesling_aus": 0.6,
    "wht_riesling_kabinett": 0.5,
    "wht_chenin_loire": 0.4,
    "red_etna": 0.4,
    "spk_prosecco": -0.7,
    "wht_sauv_nz": -0.9,
    "red_dolcetto": -0.4,
    "wht_pinot_grigio": -1.0,
    "ros_provence": -0.6,
}
GAIN: Profile = {"acidity": 1.05, "tannin": 0.98, "warmth": 1.05, "oak": 1.1, "body": 0.92}
BIAS: Profile = {"sweetness": -0.2, "tannin": 0.1, "body": -0.2, "warmth": 0.2, "oak": 0.4}
SENSE_NOISE_SD = 0.55
ANSWER_NOISE_SD = 0.9
MARK_NOISE_SD = 0.15
MARK_DEAD_BAND = 0.3
MOST_FLAWS = {9: 0, 8: 1, 7: 2, 6: 2}
"""Most scales that are too little or too much in a wine of this liking."""
MOST_DISLIKED, FEWEST_FLAWS = 3, 2
"""A wine of this liking or less has at least so many."""


def stream(*names: object) -> Random:
    """Return a random generator that is seeded by the names."""
    return Random("/".join((SEED, *map(str, names))))


def warmth_of(abv_percent: float) -> float:
    """Convert strength to warmth 0-10 by a logistic curve with its middle at 13.2 %."""
    return 10 / (1 + math.exp(-(abv_percent - 13.2) / 1.9))


def in_bottle(key: str, style_id: str, abv_percent: float) -> Profile:
    """Draw the true attributes of a bottle around its style; warmth follows from strength."""
    rng, style = stream("bottle", key), styles()[style_id]
    drawn = {
        scale: rng.gauss(style[scale], 0.8 * style[f"{scale}_sd"])
        for scale in SCALES
        if scale != "warmth"
    }
    drawn["warmth"] = warmth_of(abv_percent + rng.gauss(0.1, 0.2))
    return {scale: _within(value) for scale, value in drawn.items()}


def in_the_mouth(bottle: Profile) -> Profile:
    """Return the bottle on this taster's scales, without the noise of a tasting."""
    return {
        scale: _within(5 + GAIN.get(scale, 1.0) * (value - 5) + BIAS.get(scale, 0.0))
        for scale, value in bottle.items()
    }


def noted(mouth: Profile, occasion: object) -> Profile:
    """Return the scale values noted on one occasion, rounded to a tenth."""
    rng = stream("noted", occasion)
    return {
        scale: round(_within(value + rng.gauss(0, SENSE_NOISE_SD)), 1)
        for scale, value in mouth.items()
    }


def true_liking(mouth: Profile, style_id: str) -> float:
    """Return the liking without noise, which may be outside 1-9."""
    spent = sum(weight * (mouth[s] - IDEAL[s]) ** 2 for s, weight in WEIGHT.items())
    lift = INTENSITY_SLOPE * (mouth["intensity"] - 6)
    return BEST_LIKING - spent - _sweet_cost(mouth) + lift + STYLE_EFFECT.get(style_id, 0.0)


def answered_liking(mouth: Profile, style_id: str, occasion: object) -> int:
    spoken = true_liking(mouth, style_id) + stream("answer", occasion).gauss(0, ANSWER_NOISE_SD)
    return min(9, max(1, math.floor(spoken + 0.5)))


def own_liking(mouth: Profile) -> float:
    """Return this taster's true liking, without the effect of a style."""
    return true_liking(mouth, "")


def just_right(
    mouth: Profile,
    occasion: object,
    liking: int,
    values: dict[str, int],
    liking_of: Callable[[Profile], float] = own_liking,
) -> Marks:
    """Return JAR ratings (-1 too little, 0, 1 too much) from the noisy sign of the slope.

    They agree with the words and the liking: what the words say (`values`) is always marked, a
    liked wine has at most MOST_FLAWS[liking] other ratings than 0, the rest being passed over, and
    a disliked one has at least two.
    Barely perceptible tannin and oak are not rated, as people do.
    """
    rng = stream("marks", occasion)
    slopes, marks = {}, {}
    for scale in SCALES:
        slopes[scale] = _slope(liking_of, mouth, scale) + rng.gauss(0, MARK_NOISE_SD)
        passed_over = rng.random() < 0.15 or (scale in ("tannin", "oak") and mouth[scale] < 1.2)
        if not passed_over:
            marks[scale] = 0 if abs(slopes[scale]) < MARK_DEAD_BAND else _sign(slopes[scale])
    marks |= values
    steepest = sorted(marks, key=lambda scale: (scale not in values, -abs(slopes[scale])))
    flaws = [scale for scale in steepest if marks[scale]]
    for scale in flaws[MOST_FLAWS.get(liking, len(SCALES)) :]:
        del marks[scale]
    lacking = FEWEST_FLAWS - len(flaws) if liking <= MOST_DISLIKED else 0
    for scale in [scale for scale in steepest if marks.get(scale) == 0 and scale not in values]:
        if lacking > 0:
            marks[scale] = _sign(slopes[scale])
            lacking -= 1
    return {scale: marks[scale] for scale in SCALES if scale in marks}


def _sign(slope: float) -> int:
    return -1 if slope > 0 else 1


def _sweet_cost(mouth: Profile) -> float:
    uncarried = max(0.0, ACIDITY_THAT_CARRIES_SWEETNESS - mouth["acidity"])
    return SWEETNESS_COST * mouth["sweetness"] * (0.35 + uncarried / 1.6)


def _slope(liking_of: Callable[[Profile], float], mouth: Profile, scale: str) -> float:
    step = 0.01
    more, less = mouth | {scale: mouth[scale] + step}, mouth | {scale: mouth[scale] - step}
    return (liking_of(more) - liking_of(less)) / (2 * step)


def _within(value: float) -> float:
    return min(10.0, max(0.0, value))
