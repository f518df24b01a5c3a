"""Prior knowledge: the attributes, and the styles with their usual profiles."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from webapp.palate.errors import PalateError

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

# Bottles of one style differ at least this much (z units), even if the spec gives a smaller sd.
LEAST_STYLE_SPREAD = 0.15
# Profiles are rounded to the precision of the compact form (z units).
PROFILE_DECIMALS = 2
FARTHEST_Z = 10.0


@dataclass(frozen=True)
class Printed:
    """Relation of a printed number to an attribute: attribute = at_zero + per_unit * printed."""

    attribute: Hashable
    at_zero: float
    per_unit: float
    spread: float
    low: float
    high: float

    def attribute_of(self, printed: ArrayLike) -> Floats:
        """Convert printed numbers to the attribute, in its own scale units."""
        return np.asarray(self.at_zero + self.per_unit * np.asarray(printed, dtype=float))


@dataclass(frozen=True)
class AttributeSpace:
    """K attributes and S styles, in the attributes' own scale units.

    Parameters
    ----------
    attributes : K names.
    mean, spread : (K,) usual value and standard deviation over all styles; spread > 0.
    styles : S ids (any hashable, no repeats); may be empty.
    profile, profile_spread : (S, K) usual value and standard deviation within a style. NaN, or
        None for the whole table: not known; `mean` and `spread` are used instead.
    group : S labels; styles with the same label share information. None: one group.
    low, high : (K,) or scalar ends of each scale; judged values outside are rejected.
    printed : relation of a printed number to one attribute, or None.
    analysis : constants for the phone, how a bottle's analysis tells attributes; or None.
    families : named sets of styles (positions). A bottle whose style is not known, but of which set
        it is, has the usual values of the set; its name is given in place of a style.

    Raises
    ------
    PalateError
        for wrong shapes, repeated names, a spread that is not positive, or numbers not finite.
    """

    attributes: Sequence[Hashable]
    mean: ArrayLike
    spread: ArrayLike
    styles: Sequence[Hashable] = ()
    profile: ArrayLike | None = None
    profile_spread: ArrayLike | None = None
    group: Sequence[Hashable] | None = None
    low: ArrayLike = -np.inf
    high: ArrayLike = np.inf
    printed: Printed | None = None
    analysis: Mapping[str, Any] | None = None
    families: Mapping[Hashable, Sequence[int]] = field(default_factory=dict)
    centre: Floats = field(init=False, repr=False)
    scale: Floats = field(init=False, repr=False)
    style_z: Floats = field(init=False, repr=False)
    style_sd: Floats = field(init=False, repr=False)
    groups: tuple[Hashable, ...] = field(init=False, repr=False)
    group_of: Ints = field(init=False, repr=False)
    family_group: Ints = field(init=False, repr=False)
    family_share: Floats = field(init=False, repr=False)
    lowest: Floats = field(init=False, repr=False)
    highest: Floats = field(init=False, repr=False)

    def __post_init__(self) -> None:
        k, s = len(self.attributes), len(self.styles)
        if k == 0 or len(set(self.attributes)) != k:
            raise PalateError("world.attributes needs at least one name, none of them twice")
        if len(set(self.styles)) != s:
            raise PalateError("world.styles holds a style twice")
        self._keep("centre", _vector("mean", self.mean, k))
        self._keep("scale", _vector("spread", self.spread, k))
        if not np.all(self.scale > 0):
            raise PalateError("world.spread must be above 0 for every attribute")
        self._keep("lowest", np.broadcast_to(np.asarray(self.low, dtype=float), (k,)))
        self._keep("highest", np.broadcast_to(np.asarray(self.high, dtype=float), (k,)))
        self._keep_profiles(s, k)
        self._keep_groups(s)
        self._keep_families()

    def _keep(self, name: str, value: Any) -> None:
        object.__setattr__(self, name, value)

    def _keep_profiles(self, s: int, k: int) -> None:
        usual = _table("profile", self.profile, s, k)
        around = _table("profile_spread", self.profile_spread, s, k)
        known = np.isfinite(usual)
        if np.any(around[np.isfinite(around)] < 0):
            raise PalateError("world.profile_spread must not be below 0")
        z = np.where(known, (usual - self.centre) / self.scale, 0.0)
        sd = np.where(known & np.isfinite(around), around / self.scale, np.where(known, 0.5, 1.0))
        self._keep("style_z", np.round(z, PROFILE_DECIMALS) + 0.0)
        self._keep("style_sd", np.round(np.maximum(sd, LEAST_STYLE_SPREAD), PROFILE_DECIMALS))

    def _keep_groups(self, s: int) -> None:
        labels = list(self.group) if self.group is not None else [None] * s
        if len(labels) != s:
            raise PalateError(f"world.group has {len(labels)} labels for {s} styles")
        groups = tuple(dict.fromkeys(labels))
        self._keep("groups", groups)
        self._keep("group_of", np.array([groups.index(label) for label in labels], dtype=np.int64))

    def _keep_families(self) -> None:
        if not self.families.keys().isdisjoint(self.styles):
            raise PalateError("world.families has the name of a style")
        share = np.zeros((len(self.families), len(self.styles)))
        for i, members in enumerate(self.families.values()):
            share[i, list(members)] = 1 / len(members)
        self._keep("family_share", share)
        groups = [np.unique(self.group_of[each > 0]) for each in share]
        only = [int(found[0]) if len(found) == 1 else -1 for found in groups]
        self._keep("family_group", np.array(only, dtype=np.int64))

    def style_index(self, style: Any, n: int) -> Ints:
        """Return the positions of n styles in `styles`; -1 for None (not known).

        The first family is -2, the next -3, and so on.

        Raises PalateError for an unknown style.
        """
        if style is None:
            return np.full(n, -1, dtype=np.int64)
        given = style_ids(style)
        if len(given) != n:
            raise PalateError(f"style has {len(given)} entries for {n} rows")
        where: dict[Hashable, int] = {name: i for i, name in enumerate(self.styles)}
        where |= {name: -2 - i for i, name in enumerate(self.families)}
        where[None] = -1
        try:
            found = [where[name] for name in given]
        except (KeyError, TypeError):
            found = [_position(name, where) for name in given]
        return np.array(found, dtype=np.int64)

    def to_z(self, values: Floats) -> Floats:
        """Convert scale units to z, limited to FARTHEST_Z so that an outlier does little harm."""
        z = np.clip((values - self.centre) / self.scale, -FARTHEST_Z, FARTHEST_Z)
        return np.asarray(z, dtype=float)

    def widened(self, width: float) -> AttributeSpace:
        """Return a copy with every style sd multiplied by `width`, up to the sd over all styles."""
        if width == 1.0:
            return self
        other = copy(self)
        sd = np.maximum(np.minimum(self.style_sd * width, 1.0), self.style_sd)
        other._keep("style_sd", np.round(sd, PROFILE_DECIMALS))
        return other

    def usual(self, style: Ints) -> tuple[Floats, Floats]:
        """Return mean and sd (m, K), in z, of bottles known by style only; -1: over all styles."""
        k = len(self.attributes)
        family_z, family_sd = self.usual_of_families()
        z = np.vstack([self.style_z, family_z[::-1], np.zeros(k)])[style]
        return z, np.vstack([self.style_sd, family_sd[::-1], np.ones(k)])[style]

    def usual_of_families(self) -> tuple[Floats, Floats]:
        """Return mean and sd (F, K), in z, over the bottles of the styles of each family."""
        z = self.family_share @ self.style_z
        squares = self.family_share @ (self.style_sd**2 + self.style_z**2)
        sd = np.sqrt(squares - z**2)
        rounded_sd: Floats = np.round(sd, PROFILE_DECIMALS).astype(float)
        return np.round(z, PROFILE_DECIMALS) + 0.0, rounded_sd

    def group_at(self, style: Ints) -> Ints:
        """Return positions in `groups` of the styles and families; -1 for none, or several."""
        return np.concatenate([self.group_of, self.family_group[::-1], [-1]])[style]


def style_ids(style: Any) -> list[Any]:
    """Return the style ids as a list; raise PalateError if `style` is not a sequence of ids."""
    if isinstance(style, str | bytes | Mapping) or not isinstance(style, Iterable):
        raise PalateError(f"style must be a list with one id (or None) for each row, not {style!r}")
    return list(style)


def _position(name: Any, where: dict[Hashable, int]) -> int:
    if isinstance(name, float) and np.isnan(name):
        return -1
    try:
        return where[name]
    except (KeyError, TypeError):
        raise PalateError(f"unknown style {name!r}: not in world.styles") from None


def _vector(name: str, values: ArrayLike, k: int) -> Floats:
    array = np.asarray(values, dtype=float)
    if array.shape != (k,):
        raise PalateError(f"world.{name} has shape {array.shape}, expected ({k},)")
    if not np.all(np.isfinite(array)):
        raise PalateError(f"world.{name} holds a number that is not finite")
    return array


def _table(name: str, values: ArrayLike | None, s: int, k: int) -> Floats:
    if values is None:
        return np.full((s, k), np.nan)
    array = np.asarray(values, dtype=float).reshape(-1, k) if s == 0 else np.asarray(values, float)
    if array.shape != (s, k):
        raise PalateError(f"world.{name} has shape {array.shape}, expected ({s}, {k})")
    if np.any(np.isinf(array)):
        raise PalateError(f"world.{name} holds a number that is not finite")
    return array
