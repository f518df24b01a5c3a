"""Validated input: the bottles, judged attributes and liking of one person."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from webapp.palate.data.attribute_space import AttributeSpace, Floats, Ints
from webapp.palate.errors import PalateError

# The 9-point hedonic scale (Peryam & Pilgrim 1957); status: seen.
LIKING_LOW, LIKING_HIGH = 1.0, 9.0
LIKED_FROM = 7.0
SIGNS = (-1.0, 0.0, 1.0)


@dataclass(frozen=True)
class Tastings:
    """n valid tastings.

    x_z (n, K): judged attributes in z; known_z, known_sd (n, K): attributes known from a label, in
    z; liking (n,): 1..9; would_buy (n,): -1 no, 0 maybe, 1 yes; marks (n, K): JAR ratings -1, 0 or
    1; NaN: not entered. style (n,): as from `style_index`; bottle: n names, or empty.
    """

    x_z: Floats
    known_z: Floats
    known_sd: Floats
    liking: Floats
    would_buy: Floats
    marks: Floats
    style: Ints
    bottle: tuple[Hashable, ...]

    def __len__(self) -> int:
        return len(self.liking)


def check_tastings(tastings: Any, space: AttributeSpace) -> Tastings:
    """Validate a mapping (or an object with the same names) of arrays.

    X (n, K): judged attributes in scale units; liking (n,): 1..9; just_right (n, K), optional: -1
    (too little), 0, 1 (too much); style: n ids or None; known, known_spread (n, K), optional:
    attributes known from a label, in scale units; would_buy (n,), optional: -1 (no), 0 (maybe) or
    1 (yes); bottle, optional: n names, equal for repeated tastings of one bottle. NaN means "not
    entered" everywhere.
    Raises PalateError, which names the field, the row, the value and the bound.
    """
    liking = _floats("liking", _get(tastings, "liking"), 1)
    n, k = len(liking), len(space.attributes)
    x = matrix("X", _get(tastings, "X"), n, k)
    check_scale("X", x, space)
    _refuse(
        "liking",
        liking,
        ~np.isnan(liking) & ~((liking >= LIKING_LOW) & (liking <= LIKING_HIGH)),
        "must lie within 1..9",
    )
    marks = matrix("just_right", _get(tastings, "just_right"), n, k)
    _refuse(
        "just_right",
        marks,
        ~np.isnan(marks) & ~np.isin(marks, SIGNS),
        "must be -1, 0 or 1",
    )
    known, known_spread = known_values(
        _get(tastings, "known"), _get(tastings, "known_spread"), n, space
    )
    return Tastings(
        space.to_z(x),
        known,
        known_spread,
        liking,
        _signs("would_buy", _get(tastings, "would_buy"), n),
        marks,
        space.style_index(_get(tastings, "style"), n),
        _bottles(_get(tastings, "bottle"), n),
    )


def _signs(name: str, given: Any, n: int) -> Floats:
    values = np.full(n, np.nan) if given is None else _floats(name, given, 1)
    if len(values) != n:
        raise PalateError(f"{name} has {len(values)} entries for {n} rows")
    _refuse(name, values, ~np.isnan(values) & ~np.isin(values, SIGNS), "must be -1, 0 or 1")
    return values


def _bottles(given: Any, n: int) -> tuple[Hashable, ...]:
    names = () if given is None else tuple(given)
    if names and len(names) != n:
        raise PalateError(f"bottle has {len(names)} entries for {n} rows")
    return names


def known_values(known: Any, spread: Any, n: int, space: AttributeSpace) -> tuple[Floats, Floats]:
    """Convert values known from a label, and their sd, to z, both (n, K); NaN: not known."""
    k = len(space.attributes)
    value, sd = matrix("known", known, n, k), matrix("known_spread", spread, n, k)
    check_scale("known", value, space)
    _refuse("known_spread", sd, sd < 0, "must not be below 0")
    sd = np.where(np.isnan(sd), 0.0, sd)
    return space.to_z(value), np.maximum(sd / space.scale, 1e-6)


def matrix(name: str, values: Any, n: int, k: int) -> Floats:
    """Convert to an (n, k) float array; None becomes all NaN."""
    if values is None:
        return np.full((n, k), np.nan)
    array = _floats(name, values, 2) if n else np.asarray(values, dtype=float).reshape(0, k)
    if array.shape != (n, k):
        raise PalateError(f"{name} has shape {array.shape}, expected ({n}, {k})")
    return array


def check_scale(name: str, x: Floats, space: AttributeSpace) -> None:
    """Raise PalateError for an attribute outside its scale; it names attribute and bounds."""
    wrong = ~np.isnan(x) & ~((x >= space.lowest) & (x <= space.highest))
    if np.any(wrong):
        row, k = (int(i) for i in np.argwhere(wrong)[0])
        raise PalateError(
            f"{name}[{row}], {space.attributes[k]}: {x[row, k]:g} lies outside its scale "
            f"{space.lowest[k]:g}..{space.highest[k]:g}; leave it empty (NaN) if unjudged"
        )


def _get(tastings: Any, name: str) -> Any:
    if isinstance(tastings, Mapping):
        return tastings.get(name)
    return getattr(tastings, name, None)


def _floats(name: str, values: ArrayLike | None, dimensions: int) -> Floats:
    if values is None:
        raise PalateError(f"tastings need '{name}'")
    try:
        array = np.asarray(values, dtype=float)
    except (TypeError, ValueError):
        raise PalateError(f"{name} must be numbers (NaN where empty)") from None
    if array.ndim != dimensions:
        raise PalateError(f"{name} must have {dimensions} dimension(s), not {array.ndim}")
    if np.any(np.isinf(array)):
        raise PalateError(f"{name} holds a number that is not finite")
    return array


def _refuse(name: str, values: Floats, wrong: Any, rule: str) -> None:
    if np.any(wrong):
        place = tuple(int(i) for i in np.argwhere(wrong)[0])
        raise PalateError(f"{name}{list(place)}: {values[place]:g} {rule}")
