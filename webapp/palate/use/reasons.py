"""Explains a prediction: the parts of expected liking, largest first."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from webapp.palate.data.attribute_space import AttributeSpace, Floats, Ints
from webapp.palate.data.features import expected
from webapp.palate.fit.posterior import Posterior
from webapp.palate.fit.scale_use import ScaleUse, own_scale

Flags = NDArray[np.bool_]

MOST_REASONS = 3
LEAST_EFFECT = 0.05


@dataclass(frozen=True)
class Reason:
    """One part of expected liking relative to a usual bottle; effect is in points of liking.

    what: "attribute", "alcohol" (the attribute is only known from the label) or "style"; direction:
    "raises" or "lowers"; level: "high", "usual" or "low", compared with all styles; value: what the
    person would enter for the bottle, on the scale of the ideal points; None for a style.
    """

    what: str
    name: Hashable
    direction: str
    level: str
    value: float | None
    effect: float


def explain(
    space: AttributeSpace,
    scale_use: ScaleUse,
    posterior: Posterior,
    z_mean: Floats,
    z_var: Floats,
    style: Ints,
    group: Ints,
    from_label: Flags,
) -> list[list[Reason]]:
    """Return up to three reasons for each of m bottles.

    from_label (m, K) is true where an attribute is known only from a label.
    """
    answer = []
    values = own_scale(space, scale_use, z_mean)
    for i, where in enumerate(style):
        effect = posterior.effect(int(where), int(group[i])).mean
        own = None if where < 0 else (space.styles[where], effect)
        answer.append(
            explain_parts(
                space.attributes, posterior, z_mean[i], z_var[i], values[i], from_label[i], own
            )
        )
    return answer


def explain_parts(
    attributes: Sequence[Hashable],
    posterior: Posterior,
    z_mean: Floats,
    z_var: Floats,
    values: Floats,
    from_label: Flags,
    style: tuple[Hashable, float] | None,
) -> list[Reason]:
    """Return the reasons for one bottle, from (K,) arrays; style is (name, effect) or None."""
    k = len(attributes)
    parts = expected(z_mean[None], z_var[None])[0] * posterior.beta
    by_attribute = parts[1 : 1 + k] + parts[1 + k :]
    found = [
        Reason(
            "alcohol" if from_label[j] else "attribute",
            attributes[j],
            _direction(effect),
            _level(z_mean[j]),
            float(values[j]),
            float(effect),
        )
        for j, effect in enumerate(by_attribute)
    ]
    if style is not None:
        found.append(Reason("style", style[0], _direction(style[1]), "usual", None, style[1]))
    found.sort(key=lambda reason: -abs(reason.effect))
    return [reason for reason in found[:MOST_REASONS] if abs(reason.effect) >= LEAST_EFFECT]


def _direction(effect: float) -> str:
    return "raises" if effect > 0 else "lowers"


def _level(z: float) -> str:
    return "usual" if np.abs(z) < 0.5 else "high" if z > 0 else "low"
