"""Scoring of a bottle from the compact palate, as the client does it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from webapp.palate.data.attribute_space import FARTHEST_Z, Floats
from webapp.palate.data.features import expected
from webapp.palate.data.label_values import acidity_of, combined, sweetness_of
from webapp.palate.data.wine_styles import family_of
from webapp.palate.fit.posterior import Effect, Posterior
from webapp.palate.fit.scale_use import ScaleUse, read_values
from webapp.palate.use.compact import PROFILE_UNIT, UNIT, reason_record
from webapp.palate.use.information import Candidates, expected_variance_reduction
from webapp.palate.use.prediction import score
from webapp.palate.use.reasons import explain_parts


def score_bottle(compact: Mapping[str, Any], bottle: Mapping[str, Any]) -> dict[str, Any]:
    """Score one bottle from the compact palate: {mean, sd, p_like, reasons} as `Palate.predict`.

    bottle: {style, colour, kind: id or null, label_abv: % vol or null, residual_sugar_gl,
    total_acidity_gl: g/l or null, <attribute>: judged 0-10 or null ...}.
    Judged values outside the scale are accepted; an unknown style counts as no style.
    """
    k = len(compact["attributes"])
    profile = compact["profiles"].get(bottle.get("style"))
    group = _group(compact, bottle)
    z_mean, z_var = bottle_in_z(compact, bottle)
    posterior, style = _posterior(compact, bottle.get("style"))
    found = score(
        posterior, z_mean, z_var, np.array([style]), np.array([group]), compact["liked_line"]
    )
    is_known = np.zeros((1, k), dtype=bool)
    if compact["printed"] and bottle.get("label_abv") is not None:
        index = compact["printed"]["index"]
        is_known[0, index] = bottle.get(compact["attributes"][index]) is None
    reasons = explain_parts(
        compact["attributes"],
        posterior,
        z_mean[0],
        z_var[0],
        _own_scale(compact, z_mean[0]),
        is_known[0],
        None if profile is None else (bottle["style"], posterior.effect(style, group).mean),
    )
    return {
        "mean": float(found.mean[0]),
        "sd": float(found.sd[0]),
        "p_like": float(found.p_like[0]),
        "reasons": [reason_record(reason) for reason in reasons],
    }


def bottle_in_z(compact: Mapping[str, Any], bottle: Mapping[str, Any]) -> tuple[Floats, Floats]:
    """Return mean and variance, both (1, K), of the bottle's attributes in z.

    The profile of the style, or of colour and kind, is updated with sugar and acidity, with the
    label, and then with the judged values.
    """
    k = len(compact["attributes"])
    profile = _usual(compact, bottle)
    usual = np.array([0.0] * k + [100.0] * k if profile is None else profile[1:]) / PROFILE_UNIT
    mean, var = usual[None, :k], usual[None, k:] ** 2
    mean, var = _after_analysis(compact, bottle, mean, var)
    mean, var = _after_label(compact, bottle.get("label_abv"), mean, var)
    judged = np.array([[_number(bottle.get(name)) for name in compact["attributes"]]])
    z = (judged - np.array(compact["centre"])) / np.array(compact["scale"])
    z = np.clip(z, -FARTHEST_Z, FARTHEST_Z)
    return read_values(z, mean, var, _perception(compact))


def _own_scale(compact: Mapping[str, Any], z: Floats) -> Floats:
    """Return what the person would enter for true values z, on the scale 0 to 10."""
    p = _perception(compact)
    values = np.array(compact["centre"]) + np.array(compact["scale"]) * (p.bias + p.gain * z)
    return np.clip(values, 0.0, 10.0)


def _usual(compact: Mapping[str, Any], bottle: Mapping[str, Any]) -> list[int] | None:
    """Return [group, K z, K sd] of the style; if unknown, of the colour and kind; or None."""
    found = compact["profiles"].get(bottle.get("style"))
    families = compact.get("families", {})
    name = family_of(bottle.get("colour"), bottle.get("kind"), families)
    known: list[int] | None = found or families.get(name)
    return known


def _group(compact: Mapping[str, Any], bottle: Mapping[str, Any]) -> int:
    profile = _usual(compact, bottle)
    return -1 if profile is None else int(profile[0])


# Alias for callers; `score_bottle` is the name of the client's port.
score_compact = score_bottle


def _number(value: Any) -> float:
    return float("nan") if value is None else float(value)


def _after_analysis(
    compact: Mapping[str, Any], bottle: Mapping[str, Any], mean: Floats, var: Floats
) -> tuple[Floats, Floats]:
    curves = compact.get("analysis")
    if not curves:
        return mean, var
    sugar, acidity = (
        np.array([_number(bottle.get(name))]) for name in ("residual_sugar_gl", "total_acidity_gl")
    )
    mean, var = mean.copy(), var.copy()
    for name, stated in (
        ("sweetness", sweetness_of(sugar, acidity)),
        ("acidity", acidity_of(acidity)),
    ):
        k, scale = curves[name], compact["scale"][curves[name]]
        z = (stated - compact["centre"][k]) / scale
        spread = curves[name + "_spread"] / scale
        mean[:, k], sd = combined(mean[:, k], np.sqrt(var[:, k]), z, spread)
        var[:, k] = sd**2
    return mean, var


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


def _perception(compact: Mapping[str, Any]) -> ScaleUse:
    p = compact["perception"]
    names = ("bias", "gain", "bias_var", "cross", "gain_var")
    return ScaleUse(**{name: np.array(p[name]) for name in names}, noise=p["noise"])


def read_posterior(compact: Mapping[str, Any], styles: Sequence[Any]) -> Posterior:
    """Read the posterior, with style effects indexed as in `styles`."""
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
    """Read the posterior for one bottle; return it and the style's index in it (0, or -1: none)."""
    posterior = read_posterior(compact, [style])
    return posterior, 0 if posterior.styles else -1


def _read_effect(numbers: list[int]) -> Effect:
    values = np.array(numbers) / UNIT
    return Effect(float(values[0]), float(values[1]), values[2:])


def information_gain(compact: Mapping[str, Any], bottle: Mapping[str, Any]) -> float:
    """Return `expected_variance_reduction` over a typical bottle of each style, from compact form.

    bottle: as for `score_bottle`. The result is in squared points of liking.
    """
    styles = list(compact["profiles"])
    posterior = read_posterior(compact, styles)
    k = len(compact["attributes"])
    usual = np.array([compact["profiles"][name][1:] for name in styles]) / PROFILE_UNIT
    group = np.array([compact["profiles"][name][0] for name in styles], dtype=int)
    others = Candidates(expected(usual[:, :k], usual[:, k:] ** 2), np.arange(len(styles)), group)
    z_mean, z_var = bottle_in_z(compact, bottle)
    at = styles.index(bottle["style"]) if bottle.get("style") in compact["profiles"] else -1
    asked = Candidates(expected(z_mean, z_var), np.array([at]), np.array([_group(compact, bottle)]))
    sd = np.array([score_bottle(compact, bottle)["sd"]])
    return float(expected_variance_reduction(posterior, asked, sd, others)[0])
