"""What each recorded input adds on simulated tasters: paired differences with standard errors.

`sugar and acidity`: residual sugar and total acidity of every bottle, drawn so that the true values
differ from the curves by the stated sd; also by half and by twice of it, and with a curve that is
off by a point. `colour and kind`: bottles without a style. `would buy`: two fifths of the tastings
have no liking. `temperature`: glasses up to some degrees too warm or too cold change what is
perceived; how much better it would be without is the most that any correction could add.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from webapp.palate import Palate, fit_palate
from webapp.palate.data import label_values
from webapp.palate.data.tastings import check_tastings
from webapp.palate.data.wine_styles import ATTRIBUTES, family_of
from webapp.palate.fit.scale_use import prior_of, read_values
from webapp.palate.use.prediction import score

from .measures import rank_share
from .simulated import FRESH, label_only
from .simulated_tasters import Bottles, Taster
from .tables import print_table

SIZES = (10, 20, 40, 80)
SWEETNESS, ACIDITY = ATTRIBUTES.index("sweetness"), ATTRIBUTES.index("acidity")
CURVES = {
    "as assumed": (1.0, 0.0),
    "twice as exact": (0.5, 0.0),
    "half as exact": (2.0, 0.0),
    "a point too sweet": (1.0, 1.0),
}
BUY_SD, FIRST, FIRST_SD, GAP, WITHOUT_LIKING, WITHOUT_STYLE = 1.3, 5.2, 0.8, 1.6, 0.4, 0.3
DEGREES_SD, SHIFT_PER_DEGREE = 2.5, 0.05
Shares = dict[tuple[str, int], list[tuple[float, float, float, float]]]


def run(styles: Sequence[Mapping[str, Any]], tasters: int, seed: int) -> None:
    """Print, for each input, rank share and error against the true liking without and with it."""
    found: Shares = defaultdict(list)
    for number in range(tasters):
        for n in SIZES:
            _analysis(found, styles, seed + number, n)
            _families(found, styles, seed + number, n)
            _buying(found, styles, seed + number, n)
            _temperature(found, styles, seed + number, n)
    for name in dict.fromkeys(name for name, _ in found):
        columns = [np.array(found[name, n]) for n in SIZES]
        for title, without, with_it in (("rank share", 0, 1), ("error", 2, 3)):
            apart = [column[:, with_it] - column[:, without] for column in columns]
            rows = {
                "without": [column[:, without].mean() for column in columns],
                "with": [column[:, with_it].mean() for column in columns],
                "difference": [each.mean() for each in apart],
                "standard error": [each.std() / np.sqrt(len(each)) for each in apart],
            }
            print_table(f"{name}: {title} ({tasters} tasters)", SIZES, rows)


def _add(found: Shares, name: str, n: int, truth: np.ndarray, pair: Sequence[np.ndarray]) -> None:
    shares = [rank_share(truth, mean) for mean in pair]
    errors = [float(np.sqrt(np.mean((mean - truth) ** 2))) for mean in pair]
    found[name, n].append((shares[0], shares[1], errors[0], errors[1]))


def _table(taster: Taster, bottles: Bottles) -> dict[str, Any]:
    style = [taster.space.styles[i] for i in bottles.style]
    known, spread = label_only(bottles)
    return {
        "X": bottles.X,
        "liking": bottles.liking,
        "style": style,
        "known": known,
        "known_spread": spread,
    }


def _analysis(found: Shares, styles: Sequence[Mapping[str, Any]], seed: int, n: int) -> None:
    for name, (scale, off) in CURVES.items():
        taster = Taster(styles, seed)
        rng = np.random.default_rng([seed, n])
        (z, style, abv), (z_fresh, fresh_style, fresh_abv) = taster.draw(n), taster.draw(FRESH)
        bottles = taster.judge(z, style, abv)
        fresh = taster.judge(z_fresh, fresh_style, fresh_abv)
        plain, more = _table(taster, bottles), _table(taster, bottles)
        asked, asked_more = _table(taster, fresh), _table(taster, fresh)
        _state(more, taster, z, style, analysed(taster, z, rng, scale, off))
        _state(asked_more, taster, z_fresh, fresh_style, analysed(taster, z_fresh, rng, scale, off))
        for how in ("label", "judged"):
            means = []
            for table, ask in ((plain, asked), (more, asked_more)):
                palate = fit_palate(table, taster.space)
                x, sd = ask["known"], ask["known_spread"]
                if how == "judged":
                    means.append(_judged(palate, ask))
                else:
                    means.append(palate.predict(x, ask["style"], sd).mean)
            _add(found, f"sugar and acidity, {name}; new bottles: {how}", n, fresh.truth, means)


def _judged(palate: Palate, ask: Mapping[str, Any]) -> np.ndarray:
    """Return the predictions for judged bottles with known values, as learning reads them."""
    checked = check_tastings(ask, palate.space)
    before = prior_of(palate.space, checked.style, checked.known_z, checked.known_sd)
    z_mean, z_var = read_values(checked.x_z, *before, palate.scale_use)
    where = checked.style
    return score(
        palate.posterior, z_mean, z_var, where, palate.group_of(where), palate.like_threshold
    ).mean


def analysed(
    taster: Taster, z: np.ndarray, rng: np.random.Generator, scale: float, off: float
) -> tuple[np.ndarray, np.ndarray]:
    """Draw sugar and acidity (g/l) of bottles whose true values are z."""
    there = taster.space.centre + taster.space.scale * z
    sour = there[:, ACIDITY] + rng.normal(0, scale * label_values.ACIDITY_SPREAD, len(z))
    acidity = np.interp(sour, label_values.ACIDITY_POINTS, label_values.ACIDITY_GL)
    sweet = there[:, SWEETNESS] + rng.normal(0, scale * label_values.SWEETNESS_SPREAD, len(z)) + off
    tasted = label_values.HALF_SUGAR_GL * np.expm1(
        np.clip(sweet, 0, 10) / label_values.SUGAR_FACTOR
    )
    grid = np.linspace(0, 700, 14001)
    steps = [np.interp(t, _tasted(grid, a), grid) for t, a in zip(tasted, acidity, strict=True)]
    return np.array(steps), acidity


def _tasted(sugar: np.ndarray, acidity: float) -> np.ndarray:
    points = label_values.sweetness_of(sugar, acidity)
    return label_values.HALF_SUGAR_GL * np.expm1(points / label_values.SUGAR_FACTOR)


def _state(
    table: dict[str, Any],
    taster: Taster,
    z: np.ndarray,
    style: np.ndarray,
    stated: tuple[np.ndarray, np.ndarray],
) -> None:
    space = taster.space
    mean, sd = label_values.with_analysis(space, *space.usual(style), *stated)
    for k in (SWEETNESS, ACIDITY):
        table["known"][:, k] = np.clip(space.centre[k] + space.scale[k] * mean[:, k], 0, 10)
        table["known_spread"][:, k] = space.scale[k] * sd[:, k]


def _families(found: Shares, styles: Sequence[Mapping[str, Any]], seed: int, n: int) -> None:
    taster = Taster(styles, seed)
    rng = np.random.default_rng([seed, n])
    bottles, fresh = taster.taste(n), taster.taste(FRESH)
    space = taster.space

    def names(of: Bottles, keep: np.ndarray, known: bool) -> list[Any]:
        return [
            space.styles[i]
            if kept
            else family_of(styles[i]["colour"], styles[i]["kind"], space.families)
            if known
            else None
            for i, kept in zip(of.style, keep, strict=True)
        ]

    kept, never = rng.random(n) > WITHOUT_STYLE, np.zeros(FRESH, dtype=bool)
    label, judged = [], []
    for known in (False, True):
        palate = fit_palate(
            {**_table(taster, bottles), "style": names(bottles, kept, known)}, space
        )
        ask = {**_table(taster, fresh), "style": names(fresh, never, known)}
        label.append(palate.predict(ask["known"], ask["style"], ask["known_spread"]).mean)
        judged.append(_judged(palate, ask))
    _add(found, "colour and kind; new bottles: label", n, fresh.truth, label)
    _add(found, "colour and kind; new bottles: judged", n, fresh.truth, judged)


def _buying(found: Shares, styles: Sequence[Mapping[str, Any]], seed: int, n: int) -> None:
    taster = Taster(styles, seed)
    rng = np.random.default_rng([seed, n, 1])
    bottles, fresh = taster.taste(n), taster.taste(FRESH)
    first = rng.normal(FIRST, FIRST_SD)
    wish = bottles.truth + rng.normal(0, BUY_SD, n)
    buy = np.where(wish < first, -1.0, np.where(wish > first + GAP, 1.0, 0.0))
    empty = rng.random(n) < WITHOUT_LIKING
    table = {**_table(taster, bottles), "liking": np.where(empty, np.nan, bottles.liking)}
    ask = _table(taster, fresh)
    few, with_buy, all_rated = (
        _judged(fit_palate(each, taster.space), ask)
        for each in (table, {**table, "would_buy": buy}, _table(taster, bottles))
    )
    _add(found, "would buy", n, fresh.truth, (few, with_buy))
    _add(found, "would buy, against liking everywhere", n, fresh.truth, (few, all_rated))
    half = np.where(empty & (rng.random(n) < 0.5), np.nan, buy)
    none = {**table, "liking": np.full(n, np.nan)}
    pair = [
        _judged(fit_palate({**none, "would_buy": each}, taster.space), ask) for each in (half, buy)
    ]
    _add(found, "would buy only, four fifths against all", n, fresh.truth, pair)


def _temperature(found: Shares, styles: Sequence[Mapping[str, Any]], seed: int, n: int) -> None:
    pair = []
    for degree in (SHIFT_PER_DEGREE, 0.0):
        taster = Taster(styles, seed)
        rng = np.random.default_rng([seed, n, 2])
        along = rng.normal(0, 1, len(ATTRIBUTES)) * degree * taster.space.scale
        bottles, fresh = taster.taste(n), taster.taste(FRESH)
        tables = [_table(taster, bottles), _table(taster, fresh)]
        for each in tables:
            shift = rng.normal(0, DEGREES_SD, (len(each["X"]), 1)) * along
            each["X"] = np.clip(each["X"] + shift, 0, 10)
        pair.append(_judged(fit_palate(tables[0], taster.space), tables[1]))
    _add(found, "temperature, against none of its effect", n, fresh.truth, pair)
