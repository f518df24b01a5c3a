"""The palate as a few kilobytes of JSON, and the scoring of one bottle from it.

`score_bottle` and `scoreBottle` in static/rules/palate/score.js are twins over
tests/vectors/score.json. The style profiles travel in the compact form (hundredths of z), so that
the phone needs no other file and the two cannot drift apart. Names in the compact form:

    attributes, centre, scale (K); printed {index, at_zero, per_unit, spread} or null;
    perception {bias, gain, bias_var, cross, gain_var (K each), noise};
    beta (C); cov: lower triangle by rows, C (C + 1) / 2; noise_var, stranger_var, liked_line;
    groups [name]; profiles {style: [group, K z, K sd]} with z and sd in hundredths;
    style_effects, group_effects {style or group number: [mean, var, C covariances with beta]}.
    beta, cov and effects are whole numbers: hundred-thousandths of a point of liking.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from .perception import Perception, read_values
from .posterior import DECIMALS, Effect, Posterior
from .reasons import Reason, explain_parts
from .scoring import score
from .world import FARTHEST_Z, PROFILE_DECIMALS, Floats, World

FORMAT = 1
UNIT = 10**DECIMALS
PROFILE_UNIT = 10**PROFILE_DECIMALS


def make_compact(
    world: World, perception: Perception, posterior: Posterior, liked_line: float
) -> dict[str, Any]:
    """The compact form of a palate, ready for json.dumps."""
    p = perception
    k = len(world.attributes)
    profiles = np.hstack([world.style_z, world.style_sd]) * PROFILE_UNIT
    return {
        "format": FORMAT,
        "attributes": [str(name) for name in world.attributes],
        "centre": world.centre.tolist(),
        "scale": world.scale.tolist(),
        "printed": _printed(world),
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
        "stranger_var": posterior.stranger_var,
        "liked_line": liked_line,
        "groups": [str(name) for name in world.groups],
        "profiles": {
            str(name): [int(group), *np.rint(row).astype(int).tolist()]
            for name, group, row in zip(world.styles, world.group_of, profiles, strict=True)
        },
        "style_effects": {str(world.styles[i]): _effect(e) for i, e in posterior.styles.items()},
        "group_effects": {str(i): _effect(e) for i, e in posterior.groups.items()},
    }


def _printed(world: World) -> dict[str, float] | None:
    printed = world.printed
    if printed is None:
        return None
    index = list(world.attributes).index(printed.attribute)
    return {
        "index": index,
        "at_zero": printed.at_zero,
        "per_unit": printed.per_unit,
        "spread": printed.spread,
        "low": float(world.lowest[index]),
        "high": float(world.highest[index]),
    }


def _whole(values: Floats) -> list[int]:
    return [int(v) for v in np.rint(np.asarray(values) * UNIT)]


def _effect(effect: Effect) -> list[int]:
    return _whole(np.array([effect.mean, effect.var, *effect.with_beta]))


def score_bottle(compact: Mapping[str, Any], bottle: Mapping[str, Any]) -> dict[str, Any]:
    """Score one bottle: {mean, sd, p_like, reasons} as in `Palate.predict`, from the compact form
    alone.

    bottle: {style: id or null, label_abv: % vol or null, <attribute>: judged 0-10 or null ...}. A
    judged value outside the scale is taken as it is; a style that the palate does not know counts
    as no style.
    """
    k = len(compact["attributes"])
    profile = compact["profiles"].get(bottle.get("style"))
    group = -1 if profile is None else int(profile[0])
    z_mean, z_var = bottle_in_z(compact, bottle)
    posterior, style = _posterior(compact, bottle.get("style"))
    found = score(
        posterior, z_mean, z_var, np.array([style]), np.array([group]), compact["liked_line"]
    )
    told = np.zeros((1, k), dtype=bool)
    if compact["printed"] and bottle.get("label_abv") is not None:
        index = compact["printed"]["index"]
        told[0, index] = bottle.get(compact["attributes"][index]) is None
    reasons = explain_parts(
        compact["attributes"],
        posterior,
        z_mean[0],
        z_var[0],
        told[0],
        None if profile is None else (bottle["style"], posterior.effect(style, group).mean),
    )
    return {
        "mean": float(found.mean[0]),
        "sd": float(found.sd[0]),
        "p_like": float(found.p_like[0]),
        "reasons": [reason_record(reason) for reason in reasons],
    }


def bottle_in_z(compact: Mapping[str, Any], bottle: Mapping[str, Any]) -> tuple[Floats, Floats]:
    """Mean and variance, both (1, K), of what is thought to be in the bottle: its style's usual,
    then the label, then what was judged.
    """
    k = len(compact["attributes"])
    profile = compact["profiles"].get(bottle.get("style"))
    usual = np.array([0.0] * k + [100.0] * k if profile is None else profile[1:]) / PROFILE_UNIT
    mean, var = usual[None, :k], usual[None, k:] ** 2
    mean, var = _after_label(compact, bottle.get("label_abv"), mean, var)
    judged = np.array([[_number(bottle.get(name)) for name in compact["attributes"]]])
    z = (judged - np.array(compact["centre"])) / np.array(compact["scale"])
    z = np.clip(z, -FARTHEST_Z, FARTHEST_Z)
    return read_values(z, mean, var, _perception(compact))


# The name under which scoring from the compact form is known to callers beside its twin's name.
score_compact = score_bottle


def reason_record(reason: Reason) -> dict[str, Any]:
    """A reason as JSON."""
    return {
        "what": reason.what,
        "name": reason.name,
        "direction": reason.direction,
        "level": reason.level,
        "effect": reason.effect,
    }


def _number(value: Any) -> float:
    return float("nan") if value is None else float(value)


def _after_label(
    compact: Mapping[str, Any], abv: float | None, mean: Floats, var: Floats
) -> tuple[Floats, Floats]:
    printed = compact["printed"]
    if printed is None or abv is None:
        return mean, var
    i = printed["index"]
    value = min(
        max(printed["at_zero"] + printed["per_unit"] * abv, printed["low"]), printed["high"]
    )
    mean, var = mean.copy(), var.copy()
    z = (value - compact["centre"][i]) / compact["scale"][i]
    mean[0, i] = min(max(z, -FARTHEST_Z), FARTHEST_Z)
    var[0, i] = (printed["spread"] / compact["scale"][i]) ** 2
    return mean, var


def _perception(compact: Mapping[str, Any]) -> Perception:
    p = compact["perception"]
    names = ("bias", "gain", "bias_var", "cross", "gain_var")
    return Perception(**{name: np.array(p[name]) for name in names}, noise=p["noise"])


def read_posterior(compact: Mapping[str, Any], styles: Sequence[Any]) -> Posterior:
    """The posterior, with the styles at their places in `styles`."""
    c = len(compact["beta"])
    cov = np.zeros((c, c))
    cov[np.tril_indices(c)] = np.array(compact["cov"]) / UNIT
    cov = cov + np.tril(cov, -1).T
    effects = compact["style_effects"]
    return Posterior(
        np.array(compact["beta"]) / UNIT,
        cov,
        {i: _read_effect(effects[name]) for i, name in enumerate(styles) if name in effects},
        {int(i): _read_effect(numbers) for i, numbers in compact["group_effects"].items()},
        compact["stranger_var"],
        compact["noise_var"],
    )


def _posterior(compact: Mapping[str, Any], style: Any) -> tuple[Posterior, int]:
    """The posterior as far as one bottle needs it, and the style's position in it (0, or -1:
    none)."""
    posterior = read_posterior(compact, [style])
    return posterior, 0 if posterior.styles else -1


def _read_effect(numbers: list[int]) -> Effect:
    values = np.array(numbers) / UNIT
    return Effect(float(values[0]), float(values[1]), values[2:])
