"""The palate as a few kilobytes of JSON, from which the phone scores bottles offline.

`scoreBottle` in static/rules/palate/score.js reads it; tests/vectors/score.json are the shared test
cases. The style profiles are part of the compact form (hundredths of z), so that they always match
the coefficients. Names in the compact form:

    attributes, centre, scale (K); printed {index, at_zero, per_unit, spread} or null;
    perception {bias, gain, bias_var, cross, gain_var (K each), noise};
    beta (C); cov: lower triangle by rows, C (C + 1) / 2; noise_var, stranger_var, liked_line;
    groups [name]; profiles {style: [group, K z, K sd]} with z and sd in hundredths; families {name:
    the same}, of bottles known by colour and kind only, group -1 for several;
    analysis {constants of webapp/palate/data/label_values.py} or null;
    style_effects, group_effects {style or group number: [mean, var, C covariances with beta]}.
    beta, cov and effects are whole numbers: hundred-thousandths of a point of liking.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from webapp.palate.data.attribute_space import PROFILE_DECIMALS, AttributeSpace, Floats
from webapp.palate.fit.posterior import DECIMALS, Effect, Posterior
from webapp.palate.fit.scale_use import ScaleUse
from webapp.palate.use.reasons import Reason

FORMAT = 1
UNIT = 10**DECIMALS
PROFILE_UNIT = 10**PROFILE_DECIMALS


def make_compact(
    space: AttributeSpace, scale_use: ScaleUse, posterior: Posterior, like_threshold: float
) -> dict[str, Any]:
    """Return the compact form of a palate, ready for json.dumps."""
    p = scale_use
    k = len(space.attributes)
    profiles = np.hstack([space.style_z, space.style_sd]) * PROFILE_UNIT
    return {
        "format": FORMAT,
        "attributes": [str(name) for name in space.attributes],
        "centre": space.centre.tolist(),
        "scale": space.scale.tolist(),
        "printed": _printed(space),
        "analysis": space.analysis and dict(space.analysis),
        "perception": {
            "bias": p.bias.tolist(),
            "gain": p.gain.tolist(),
            "bias_var": p.bias_var.tolist(),
            "cross": p.cross.tolist(),
            "gain_var": p.gain_var.tolist(),
            "noise": p.noise,
        },
        "beta": _whole(posterior.beta),
        "cov": _whole(posterior.cov[np.tril_indices(1 + 2 * k)]),
        "noise_var": posterior.noise_var,
        "stranger_var": posterior.unknown_style_var,
        "liked_line": like_threshold,
        "groups": [str(name) for name in space.groups],
        "profiles": {
            str(name): [int(group), *np.rint(row).astype(int).tolist()]
            for name, group, row in zip(space.styles, space.group_of, profiles, strict=True)
        },
        "families": _families(space),
        "style_effects": {str(space.styles[i]): _effect(e) for i, e in posterior.styles.items()},
        "group_effects": {str(i): _effect(e) for i, e in posterior.groups.items()},
    }


def _printed(space: AttributeSpace) -> dict[str, float] | None:
    printed = space.printed
    if printed is None:
        return None
    index = list(space.attributes).index(printed.attribute)
    return {
        "index": index,
        "at_zero": printed.at_zero,
        "per_unit": printed.per_unit,
        "spread": printed.spread,
        "low": float(space.lowest[index]),
        "high": float(space.highest[index]),
    }


def _families(space: AttributeSpace) -> dict[str, list[int]]:
    rows = np.hstack(space.usual_of_families()) * PROFILE_UNIT
    return {
        str(name): [int(group), *np.rint(row).astype(int).tolist()]
        for name, group, row in zip(space.families, space.family_group, rows, strict=True)
    }


def _whole(values: Floats) -> list[int]:
    return [int(v) for v in np.rint(np.asarray(values) * UNIT)]


def _effect(effect: Effect) -> list[int]:
    return _whole(np.array([effect.mean, effect.var, *effect.with_beta]))


def reason_record(reason: Reason) -> dict[str, Any]:
    """Return a reason as JSON."""
    return {
        "what": reason.what,
        "name": reason.name,
        "direction": reason.direction,
        "level": reason.level,
        "value": reason.value,
        "effect": reason.effect,
    }
