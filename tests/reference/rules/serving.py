"""Times to cool or warm a bottle to its serving temperature.

The bottle is modelled as one lump: T(t) = Ta + (T0 - Ta) exp(-t / tau), with tau = C / (U A), where
C is the heat capacity of wine and glass, A the outer surface, and U the heat transfer from the air
(free convection and radiation, about half each in still air). The model is valid while U is small
compared with the exchange inside the bottle, which fails in an unstirred ice bucket (the neck stays
warm). Kitchens differ by a factor of two, so every time has an interval, which two thermometer
readings narrow. Time constants, intervals and sources are in ``static/spec/serving.json``.
"""

import math
from collections.abc import Mapping
from typing import Any, TypedDict

from tests.reference.rules.alcoholometry import freezing_point_c
from webapp import spec
from webapp.rules.errors import RuleError
from webapp.rules.numbers import in_range, number, required_in_range

COLDEST_C = -50
HOTTEST_C = 60
LONGEST_MIN = 100_000


class Lump(TypedDict):
    """Heat capacity in J/K and time constant in minutes."""

    capacity_j_per_k: float
    tau_min: float


class Band(TypedDict):
    """Serving temperatures in degrees C."""

    low_c: float
    high_c: float


class Plan(TypedDict):
    """``direction`` is cool, warm, ready or never; minutes to the band's middle with interval.

    ``leaves_min`` is the earliest time at which the bottle leaves the band on the other side,
    ``freezes_min`` the earliest time at which it is close to freezing; None if it never does.
    """

    direction: str
    target_c: float
    minutes: float | None
    minutes_low: float | None
    minutes_high: float | None
    leaves_min: float | None
    freezes_min: float | None


def temperature_after(start_c: object, air_c: object, tau_min: object, minutes: object) -> float:
    """Return degrees C after some minutes in a place."""
    start, air = _celsius(start_c, "start_c"), _celsius(air_c, "air_c")
    passed = required_in_range(minutes, "minutes", 0, LONGEST_MIN)
    return air + (start - air) * math.exp(-passed / _tau(tau_min))


def cooling_minutes(
    start_c: object, target_c: object, air_c: object, tau_min: object
) -> float | None:
    """Return minutes until the bottle passes ``target_c``; None if it never does."""
    start, air = _celsius(start_c, "start_c"), _celsius(air_c, "air_c")
    target, tau = _celsius(target_c, "target_c"), _tau(tau_min)
    if start == target:
        return 0.0
    if start == air:
        return None
    left = (target - air) / (start - air)
    return -tau * math.log(left) if 0 < left < 1 else None


def fit_time_constant(start_c: object, end_c: object, air_c: object, minutes: object) -> float:
    """Compute the time constant in minutes from two thermometer readings.

    Raises RuleError: no_change if the temperature stayed the same or started at the place's,
    wrong_way if it moved away from the place's temperature or past it.
    """
    start, end = _celsius(start_c, "start_c"), _celsius(end_c, "end_c")
    air = _celsius(air_c, "air_c")
    passed = required_in_range(minutes, "minutes", 0.1, LONGEST_MIN)
    if end == start or start == air:
        raise RuleError("no_change", "end_c")
    left = (end - air) / (start - air)
    if not 0 < left < 1:
        raise RuleError("wrong_way", "end_c")
    return -passed / math.log(left)


def lumped_tau(
    wine_kg: object,
    wine_j_per_kg_k: object,
    glass_kg: object,
    glass_j_per_kg_k: object,
    transfer_w_per_m2_k: object,
    area_m2: object,
) -> Lump:
    """Compute the time constant of a bottle from its parts: C = sum m c, tau = C / (U A)."""
    wine = required_in_range(wine_kg, "wine_kg", 0, 100)
    glass = required_in_range(glass_kg, "glass_kg", 0, 100)
    capacity = wine * required_in_range(wine_j_per_kg_k, "wine_j_per_kg_k", 0, 10_000)
    capacity += glass * required_in_range(glass_j_per_kg_k, "glass_j_per_kg_k", 0, 10_000)
    transfer = required_in_range(transfer_w_per_m2_k, "transfer_w_per_m2_k", 0.01, 10_000)
    area = required_in_range(area_m2, "area_m2", 0.0001, 100)
    return {"capacity_j_per_k": capacity, "tau_min": capacity / (transfer * area) / 60}


def scale_time_constant(tau_min: object, volume_ml: object) -> float:
    """Scale the time constant of 750 ml to another volume.

    Heat capacity is proportional to the volume, surface to its power of 2/3.
    """
    volume = required_in_range(volume_ml, "volume_ml", 20, 30_000)
    usual: float = spec.load("serving")["model"]["volume_ml"]
    return float(_tau(tau_min) * (volume / usual) ** (1 / 3))


def serving_band(bottle: Mapping[str, object], style: Mapping[str, Any] | None = None) -> Band:
    """Return the style's serving band, or that of the bottle's kind and colour."""
    if style is not None:
        return {"low_c": style["serve_c_low"], "high_c": style["serve_c_high"]}
    for group in spec.load("serving")["bands"]["by_group"]:
        if all(group[key] in (None, bottle.get(key)) for key in ("kind", "colour")):
            return {"low_c": group["low_c"], "high_c": group["high_c"]}
    raise AssertionError("the last group takes every bottle")


def trade_band(bottle: Mapping[str, object], style: Mapping[str, Any] | None = None) -> Band | None:
    """Return the trade's serving band for a still red or white.

    None if the trade has none, or if ``serving_band`` is within it in whole degrees.
    """
    row = style or {}
    kind, colour = (row.get(key, bottle.get(key)) for key in ("kind", "colour"))
    found = [
        each
        for each in spec.load("serving")["bands"]["trade"]["by_colour"]
        if kind in (None, "still") and each["colour"] == colour
    ]
    if not found:
        return None
    own, trade = serving_band(bottle, style), found[0]
    low, high = _whole(trade["low_c"]), _whole(trade["high_c"])
    if low <= _whole(own["low_c"]) and _whole(own["high_c"]) <= high:
        return None
    return {"low_c": trade["low_c"], "high_c": trade["high_c"]}


def serving_plan(
    place: str, start_c: object, band: Mapping[str, object], conditions: Mapping[str, object]
) -> Plan:
    """Compute the time to the band's middle in a place.

    ``place``: table, fridge, freezer, ice, ice_unstirred or glass. ``conditions`` may have
    ``air_c`` (measured), ``tau_min`` (calibrated, for 750 ml), ``volume_ml`` and ``abv``. Raises
    RuleError: unknown_place, band_reversed and the errors of numbers.
    """
    usual = _place(place)
    low, high = _celsius(band.get("low_c"), "low_c"), _celsius(band.get("high_c"), "high_c")
    if low > high:
        raise RuleError("band_reversed", "low_c")
    start, target = _celsius(start_c, "start_c"), (low + high) / 2
    measured = number(conditions.get("air_c"), "air_c")
    air = _celsius(usual["air_c"] if measured is None else measured, "air_c")
    fast, typical, slow = _taus(usual, conditions)
    minutes = cooling_minutes(start, target, air, typical)
    far = low if start > target else high
    freezing = freezing_point_c(_strength(conditions))
    margin: float = spec.load("serving")["freezing"]["alarm_above_c"]
    # In a place above its freezing point the bottle cannot freeze, even within the margin.
    freezes = cooling_minutes(start, freezing + margin, air, fast) if air < freezing else None
    return {
        "direction": _direction(start, low, high, target, minutes),
        "target_c": target,
        "minutes": minutes,
        "minutes_low": cooling_minutes(start, target, air, fast),
        "minutes_high": cooling_minutes(start, target, air, slow),
        "leaves_min": cooling_minutes(start, far, air, fast),
        "freezes_min": freezes,
    }


def _direction(start: float, low: float, high: float, target: float, minutes: float | None) -> str:
    if low <= start <= high:
        return "ready"
    if minutes is None:
        return "never"
    return "cool" if start > target else "warm"


def _taus(usual: Mapping[str, Any], conditions: Mapping[str, object]) -> tuple[float, float, float]:
    """Return fast, typical and slow time constants in minutes for the bottle's size."""
    own = number(conditions.get("tau_min"), "tau_min")
    spread = spec.load("serving")["calibrated_spread"]
    volume = number(conditions.get("volume_ml"), "volume_ml")
    volume = spec.load("serving")["model"]["volume_ml"] if volume is None else volume
    taus = (usual["tau_low_min"], usual["tau_min"], usual["tau_high_min"])
    if own is not None:
        taus = (own * (1 - spread), own, own * (1 + spread))
    # The bottle's volume does not apply to wine in a glass.
    size = spec.load("serving")["model"]["volume_ml"] if usual["id"] == "glass" else volume
    fast, typical, slow = (scale_time_constant(tau, size) for tau in taus)
    return fast, typical, slow


def _strength(conditions: Mapping[str, object]) -> float:
    """Return percent by volume.

    The default is that of a light wine, which freezes earlier than most.
    """
    result = in_range(conditions.get("abv"), "abv", 0, 100)
    return 11.0 if result is None else result


def _whole(celsius: float) -> int:
    return math.floor(celsius + 0.5)


def _celsius(value: object, field: str) -> float:
    return required_in_range(value, field, COLDEST_C, HOTTEST_C)


def _tau(value: object) -> float:
    return required_in_range(value, "tau_min", 0.1, LONGEST_MIN)


def _place(place: str) -> Mapping[str, Any]:
    for usual in spec.load("serving")["places"]:
        if usual["id"] == place:
            found: Mapping[str, Any] = usual
            return found
    raise RuleError("unknown_place", "place")
