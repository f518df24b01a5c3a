"""Checked input: what one person tasted, judged and liked."""

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


@dataclass(frozen=True)
class Tastings:
    """n tastings after checking; z-scaled arrays where the name says so.

    x_z (n, K) judged by the taster, NaN unjudged; known_z, known_sd (n, K) told by others (a
    label), NaN not told; liking (n,) 1..9, NaN not given; marks (n, K) in -1, 0, 1, NaN not given;
    style (n,) position in world.styles or -1; bottle: n names, or empty.
    """

    x_z: Floats
    known_z: Floats
    known_sd: Floats
    liking: Floats
    marks: Floats
    style: Ints
    bottle: tuple[Hashable, ...]

    def __len__(self) -> int:
        return len(self.liking)


def check_tastings(tastings: Any, space: AttributeSpace) -> Tastings:
    """Check a mapping (or an object with the same names) of arrays against the world.

    X (n, K) judged attributes in scale units, NaN unjudged; liking (n,) in 1..9, NaN not given;
    just_right (n, K) in -1 (too little), 0, 1 (too much), NaN not given, may be missing; style n
    ids or None; known, known_spread (n, K) attributes told by a label in scale units, may be
    missing; bottle n names, so that repeats are known, may be missing.
    Raises PalateError naming the field, the row, the value and the bound.
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
        ~np.isnan(marks) & ~np.isin(marks, (-1.0, 0.0, 1.0)),
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
        marks,
        space.style_index(_get(tastings, "style"), n),
        _bottles(_get(tastings, "bottle"), n),
    )


def _bottles(given: Any, n: int) -> tuple[Hashable, ...]:
    names = () if given is None else tuple(given)
    if names and len(names) != n:
        raise PalateError(f"bottle has {len(names)} entries for {n} rows")
    return names


def known_values(known: Any, spread: Any, n: int, space: AttributeSpace) -> tuple[Floats, Floats]:
    """Values told from outside and their sd, both (n, K) in z; NaN where nothing was told."""
    k = len(space.attributes)
    value, sd = matrix("known", known, n, k), matrix("known_spread", spread, n, k)
    check_scale("known", value, space)
    _refuse("known_spread", sd, sd < 0, "must not be below 0")
    sd = np.where(np.isnan(sd), 0.0, sd)
    return space.to_z(value), np.maximum(sd / space.scale, 1e-6)


def matrix(name: str, values: Any, n: int, k: int) -> Floats:
    """An (n, k) float array; None becomes all NaN."""
    if values is None:
        return np.full((n, k), np.nan)
    array = _floats(name, values, 2) if n else np.asarray(values, dtype=float).reshape(0, k)
    if array.shape != (n, k):
        raise PalateError(f"{name} has shape {array.shape}, expected ({n}, {k})")
    return array


def check_scale(name: str, x: Floats, space: AttributeSpace) -> None:
    """Refuse attributes outside their scale, naming the attribute and its bounds."""
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
