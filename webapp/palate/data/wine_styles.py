"""The attribute space of wine: scales, styles, and warmth expected from the printed alcohol."""

from __future__ import annotations

from collections.abc import Container, Hashable, Mapping, Sequence
from typing import Any

import numpy as np

from webapp.palate.data.attribute_space import AttributeSpace, Floats, Printed
from webapp.palate.data.label_values import analysis_record

Style = Mapping[str, Any]

ATTRIBUTES = ("sweetness", "acidity", "tannin", "body", "warmth", "oak", "intensity")
SCALE_LOW, SCALE_HIGH = 0.0, 10.0

# Warmth on the 0-10 scale from printed alcohol in % vol: 5 % is hardly warm, 20 % is near the end.
# The mapping is our own (common practice, no source); a person's deviation from it is learned.
WARMTH_AT_ZERO, WARMTH_PER_PERCENT, WARMTH_SPREAD = -3.25, 0.65, 0.4
ABV_LOW, ABV_HIGH = 5.0, 20.0


def wine_space(styles: Sequence[Style]) -> AttributeSpace:
    """Build the attribute space of wine from the parsed static/spec/styles.json.

    Each style has style_id, colour, kind, abv_low, abv_typ, abv_high, and for each scale except
    warmth its usual value and sd. Warmth follows from the alcohol. Styles of one colour and kind
    form a group.
    """
    profile = np.array([[_usual(style, name) for name in ATTRIBUTES] for style in styles])
    around = np.array([[_around(style, name) for name in ATTRIBUTES] for style in styles])
    return AttributeSpace(
        attributes=ATTRIBUTES,
        mean=profile.mean(0),
        spread=np.sqrt(profile.var(0) + (around**2).mean(0)),
        styles=tuple(str(style["style_id"]) for style in styles),
        profile=profile,
        profile_spread=around,
        group=[_group(style) for style in styles],
        families=_families(styles),
        analysis=analysis_record(ATTRIBUTES),
        low=SCALE_LOW,
        high=SCALE_HIGH,
        printed=Printed(
            "warmth", WARMTH_AT_ZERO, WARMTH_PER_PERCENT, WARMTH_SPREAD, ABV_LOW, ABV_HIGH
        ),
    )


def _families(styles: Sequence[Style]) -> dict[Hashable, list[int]]:
    """Return the styles of each colour and kind, of each colour, and of each kind."""
    found: dict[Hashable, list[int]] = {}
    for i, style in enumerate(styles):
        colour, kind = str(style["colour"]), str(style["kind"])
        for name in (_family(colour, kind), _family(colour, ""), _family("", kind)):
            found.setdefault(name, []).append(i)
    return found


def _family(colour: str, kind: str) -> str:
    return f"{colour}|{kind}"


def family_of(colour: Any, kind: Any, known: Container[Hashable]) -> str | None:
    """Return the name of the narrowest known family with this colour and kind, each may be None."""
    colour, kind = colour or "", kind or ""
    names = (_family(colour, kind), _family(colour, ""), _family("", kind))
    return next((name for name in names if name in known), None)


def _group(style: Style) -> str:
    return str(style.get("group") or f"{style['colour']}_{style['kind']}")


def warmth_of(abv: Any) -> Floats:
    """Return the warmth expected at a printed alcohol (% vol), limited to the scale 0..10."""
    return np.clip(
        WARMTH_AT_ZERO + WARMTH_PER_PERCENT * np.asarray(abv, dtype=float), SCALE_LOW, SCALE_HIGH
    )


def _usual(style: Style, name: str) -> float:
    return float(warmth_of(style["abv_typ"])) if name == "warmth" else float(style[name])


def _around(style: Style, name: str) -> float:
    if name != "warmth":
        return float(style[name + "_sd"])
    # The alcohol range of a style is taken as two sd on each side.
    range_sd = WARMTH_PER_PERCENT * (float(style["abv_high"]) - float(style["abv_low"])) / 4
    return float(np.hypot(range_sd, WARMTH_SPREAD))
