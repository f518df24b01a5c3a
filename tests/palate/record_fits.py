"""Generator of recorded_fits.json: `python -m tests.palate.record_fits`.

It contains the numbers of small fits, each of which takes another way through the model.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from tests.palate.examples import plain_tastings, plain_world
from webapp.palate import AttributeSpace, Palate, fit_palate

FILE = Path(__file__).parent / "recorded_fits.json"
Example = tuple[dict[str, Any], AttributeSpace]


def buying() -> Example:
    """Return tastings of which half have an answer to buying only."""
    table = plain_tastings(24, marks=False)
    buy = np.where(table["liking"] >= 7, 1.0, np.where(table["liking"] >= 5, 0.0, -1.0))
    liking = np.where(np.arange(24) % 2, np.nan, table["liking"])
    return {**table, "liking": liking, "would_buy": buy}, plain_world()


def repeats() -> Example:
    """Return bottles tasted up to three times, some of them of no known style."""
    table = plain_tastings(30, seed=1, marks=False)
    style = [None if i % 10 == 0 else table["style"][i // 3] for i in range(30)]
    names = [None if i >= 27 else i // 3 for i in range(30)]
    x = np.repeat(table["X"][:10], 3, axis=0)
    return {**table, "X": x, "style": style, "bottle": names}, plain_world()


def overlapping() -> Example:
    """Return bottles without styles, whose attributes tell the same thing."""
    table = plain_tastings(40, k=6, seed=2)
    x = np.clip(np.round(table["X"][:, :1] + 0.1 * table["X"] - 0.5, 1), 0, 10)
    return {"X": x, "liking": table["liking"], "just_right": table["just_right"]}, plain_world(6)


def at_the_ends() -> Example:
    """Return a taster who uses the ends of the scales often, and leaves some values out."""
    table = plain_tastings(40, seed=3)
    x = np.clip(5 + 2.5 * (table["X"] - 5), 0, 10)
    x[::7, 1] = np.nan
    return {**table, "X": x}, plain_world()


def labels() -> Example:
    """Return bottles of which a label tells one attribute."""
    table = plain_tastings(30, seed=4)
    known, spread = np.full((2, 30, 3), np.nan)
    known[::2, 0] = np.clip(table["X"][::2, 0] + 0.5, 0, 10)
    spread[::2, 0] = 0.6
    x = table["X"].copy()
    x[::4, 0] = np.nan
    return {**table, "X": x, "known": known, "known_spread": spread}, plain_world()


def varied() -> Example:
    """Return bottles that differ from their styles far more than usual."""
    table = plain_tastings(40, seed=6)
    world = plain_world()
    profile, spread = np.array(world.profile), np.full((4, 3), 0.4)
    return table, AttributeSpace(
        world.attributes, world.mean, world.spread, world.styles, profile, spread, world.group
    )


EXAMPLES: dict[str, Callable[[], Example]] = {
    "nobody": lambda: ({"X": np.empty((0, 3)), "liking": []}, plain_world()),
    "three tastings": lambda: (plain_tastings(3), plain_world()),
    "twelve tastings": lambda: (plain_tastings(12, seed=7), plain_world()),
    "sixty tastings": lambda: (plain_tastings(60), plain_world()),
    "many tastings": lambda: (plain_tastings(260, k=2, seed=8), plain_world(2)),
    "fifteen hundred tastings": lambda: (plain_tastings(1500, k=2, seed=9), plain_world(2)),
    "one style": lambda: ({**plain_tastings(20, seed=10), "style": ["s1"] * 20}, plain_world()),
    "many attributes": lambda: (plain_tastings(8, k=12, seed=5), plain_world(12)),
    "buying": buying,
    "repeats": repeats,
    "overlapping attributes": overlapping,
    "ends of scales": at_the_ends,
    "labels": labels,
    "varied bottles": varied,
}


def numbers(palate: Palate) -> dict[str, list[float]]:
    """Return the numbers of a fit: use of the scales, posterior, effects and predictions."""
    use, posterior = palate.scale_use, palate.posterior
    space = palate.space
    scored = palate.predict(style=[*space.styles, None])
    effects = [
        number
        for each in (posterior.styles, posterior.groups)
        for at in sorted(each)
        for number in (float(at), each[at].mean, each[at].var, *each[at].with_beta.tolist())
    ]
    points = [
        (-1.0 if one.target is None else one.target, one.low, one.high, one.weight)
        for one in palate.ideal_points()
    ]
    k = len(space.attributes)
    return {
        "scale use": np.concatenate(
            [use.bias, use.gain, use.bias_var, use.cross, use.gain_var, [use.noise]]
        ).tolist(),
        "style sd": space.style_sd.mean(0).tolist(),
        "beta": posterior.beta.tolist(),
        "cov": posterior.cov[np.tril_indices(1 + 2 * k)].tolist(),
        "variances": [posterior.noise_var, posterior.unknown_style_var],
        "effects": effects,
        "scored": np.concatenate(
            [scored.mean, scored.sd, scored.p_like, scored.sd_of_mean]
        ).tolist(),
        "ideal points": [float(value) for point in points for value in point],
    }


def found(name: str) -> dict[str, list[float]]:
    """Fit the example of this name."""
    return numbers(fit_palate(*EXAMPLES[name]()))


if __name__ == "__main__":
    kept = {
        name: {what: [round(v, 6) for v in values] for what, values in found(name).items()}
        for name in EXAMPLES
    }
    lines = [f"{json.dumps(name)}: {json.dumps(values)}" for name, values in kept.items()]
    FILE.write_text("{\n" + ",\n".join(lines) + "\n}\n", encoding="utf-8")
