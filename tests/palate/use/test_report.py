"""The palate document for notebooks of all sizes: numbers are finite or null and cite tastings."""

import json
import math
from datetime import UTC, date, datetime, timedelta

import pytest

from tests.bench.palate.simulated_tasters import Taster
from tests.palate.examples import STYLES
from webapp.palate.data.wine_styles import ATTRIBUTES
from webapp.palate.use.report import palate_report

TODAY = date(2026, 6, 1)


def book(n, seed=11, repeat_every=7, days=1000):
    """Return n tastings of a simulated taster and their bottles; the last tasting is today.

    Every `repeat_every`-th tasting repeats the previous bottle.
    """
    taster = Taster(STYLES, seed)
    found = taster.taste(max(n, 1))
    start = datetime(2026, 6, 1, 12, tzinfo=UTC) - timedelta(days=days)
    tastings, bottles = [], []
    for i in range(n):
        j = i - 1 if i and i % repeat_every == 0 else i
        style, abv = STYLES[found.style[j]]["style_id"], float(found.abv[j])
        label = {"style": style, "label_abv": abv, "vintage": 2018}
        bottles.append({"id": f"b{i}", "kind": "bottle", "fields": label})
        fields = {
            "bottle": f"b{j}",
            "liking": int(found.liking[i]),
            "tasted_at": (start + timedelta(days=days * (i + 1) / n)).isoformat(),
            "guess_abv": abv + 0.5,
            "guess_age_years": 5,
        }
        for k, name in enumerate(ATTRIBUTES):
            fields[name] = float(found.X[i, k])
            fields["just_right_" + name] = int(found.marks[i, k])
        tastings.append({"id": f"t{i}", "kind": "tasting", "fields": fields})
    return tastings, bottles


def document(n, **more):
    return palate_report(*book(n, **more), STYLES, TODAY)


def numbers(value):
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        for inner in value:
            yield from numbers(inner)
    elif isinstance(value, float):
        yield value


@pytest.mark.parametrize("n", [0, 1, 3, 10, 60])
def test_report_at_every_size_is_finite_json(n):
    found = document(n)
    assert json.loads(json.dumps(found, allow_nan=False)) == found
    assert all(math.isfinite(number) for number in numbers(found))
    assert found["n_rated"] == n
    assert (n > 0) <= len(found["next"]["stretch"]) <= 5
    assert len(found["next"]["close"]) == (5 if n else 0)
    assert len(found["next"]["teaches"]) == 5
    assert [target["attribute"] for target in found["targets"]] == list(ATTRIBUTES)


@pytest.mark.parametrize(
    ("n", "levels"),
    [
        (0, ["nothing_rated", "prior_only"]),
        (3, ["under_five", "mostly_prior"]),
        (7, ["under_ten"]),
        (10, []),
    ],
)
def test_young_palate_is_marked(n, levels):
    assert document(n, repeat_every=n + 1)["levels"] == levels


def test_notes_of_one_wine_count_as_one_wine():
    bottle, twin = {"id": "b", "label_abv": 13.0}, {"id": "twin", "merged_into": "b"}
    tastings = [
        {"id": f"t{i}", "bottle": "b" if i % 2 else "twin", "liking": 8, "warmth": 5}
        for i in range(6)
    ]
    unrated = {"id": "u", "bottle": "other"}
    found = palate_report([*tastings, unrated], [bottle, twin], STYLES, TODAY)
    assert (found["n_tastings"], found["n_rated"], found["n_wines"]) == (7, 6, 1)
    assert found["levels"] == ["under_five", "mostly_prior"]
    assert (found["alcohol"]["n"], found["alcohol"]["known"]) == (6, False)
    assert found["repeatability"]["n"] == 5


def test_tasting_without_a_bottle_is_a_wine_of_its_own():
    tastings = [{"id": f"t{i}", "liking": 8} for i in range(5)]
    found = palate_report(tastings, [], STYLES, TODAY)
    assert (found["n_rated"], found["n_wines"], found["levels"]) == (5, 5, ["under_ten"])


def test_empty_report_has_no_ideal_point_and_no_range():
    found = document(0)
    assert {target["shape"] for target in found["targets"]} == {"unknown"}
    assert not found["alcohol"]["known"]
    assert found["styles"] == []
    assert found["changes"]["level"] == "too_few"
    assert found["repeatability"]["level"] == "none"


def test_report_numbers_list_their_tastings():
    tastings, bottles = book(60)
    found = palate_report(tastings, bottles, STYLES, TODAY)
    ids = {record["id"] for record in tastings}
    for target in found["targets"]:
        assert len(target["dots"]) == target["n"] == 60
        assert {dot["tasting"] for dot in target["dots"]} <= ids
        assert sum(target["marks"].values()) == 60
    counted = [name for style in found["styles"] for name in style["tastings"]]
    assert sorted(counted) == sorted(ids)
    assert sum(style["n"] for style in found["styles"]) == 60
    for bottle in found["repeatability"]["bottles"]:
        assert len(bottle["tastings"]) == len(bottle["likings"]) >= 2
    assert set(found["calibration"]["guess_abv"]["tastings"]) <= ids
    assert set(found["changes"]["tastings"]) <= ids


def test_styles_are_sorted_and_show_their_plain_mean():
    tastings, bottles = book(60)
    styles = palate_report(tastings, bottles, STYLES, TODAY)["styles"]
    means = [style["mean"] for style in styles]
    assert means == sorted(means, reverse=True)
    liking = {record["id"]: record["fields"]["liking"] for record in tastings}
    for style in styles:
        answers = [liking[name] for name in style["tastings"]]
        assert style["liking"] == pytest.approx(sum(answers) / len(answers))


def test_latest_tastings_are_listed_and_the_rest_counted():
    found = document(450)
    for target in found["targets"]:
        assert target["n"] == 450
        assert len(target["dots"]) == 200
        assert target["dots"][0]["tasting"] == "t449"


def test_record_order_does_not_change_the_report():
    tastings, bottles = book(30)
    found = palate_report(tastings, bottles, STYLES, TODAY)
    turned = palate_report(tastings[::-1], bottles[::-1], STYLES, TODAY)
    assert turned == found


def test_strength_guess_bias_is_reported():
    guess = document(30)["calibration"]["guess_abv"]
    assert guess["mean"] == pytest.approx(0.5)
    assert guess["n"] == 30
    assert guess["level"] == "known"
