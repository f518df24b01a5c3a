"""Edge cases of the palate document and of its input records."""

from __future__ import annotations

from datetime import UTC, datetime
from types import SimpleNamespace

import numpy as np
import pytest

from tests.palate.examples import STYLES, plain_tastings, plain_world
from tests.palate.use.test_changes import compared
from tests.palate.use.test_report import TODAY, book, document
from tests.reference.palate_scoring import score_bottle
from webapp.palate import fit_palate
from webapp.palate.data.from_records import parse_time, read_tastings
from webapp.palate.use.ideal_points import PrintedRange
from webapp.palate.use.report import _alcohol, palate_report, select_inputs


def test_a_tasting_without_a_bottle_has_none() -> None:
    (found,) = read_tastings([{"id": "t", "fields": {"liking": 5}}], [])
    assert (found.bottle_id, found.bottle) == (None, {})


@pytest.mark.parametrize("text", ["2026-03-01T10:00:00Z", "2026-03-01T12:00:00+02:00"])
def test_timestamp_accepts_both_utc_suffixes(text: str) -> None:
    assert parse_time(text) == datetime(2026, 3, 1, 10, tzinfo=UTC)


def test_alcohol_points_are_the_latest_200() -> None:
    found = document(230)["alcohol"]
    assert (found["n"], len(found["dots"])) == (230, 200)
    assert [dot["tasting"] for dot in found["dots"][:2]] == ["t229", "t228"]


@pytest.mark.parametrize(
    ("n", "sure", "known"), [(5, True, True), (5, False, False), (4, True, False)]
)
def test_alcohol_range_needs_certainty_and_five_wines(n: int, sure: bool, known: bool) -> None:
    found = PrintedRange(11.0, 14.0, 12.5, (10.0, 12.0), (13.0, 15.0), sure)
    palate = SimpleNamespace(alcohol_range=lambda: found)
    result = _alcohol(palate, read_tastings(*book(n)))  # type: ignore[arg-type]
    assert result is not None
    assert result["known"] is known
    assert (result["low_abv"], result["high_abv"], result["best_abv"]) == (11.0, 14.0, 12.5)
    assert result["low_between_abv"] + result["high_between_abv"] == [10.0, 12.0, 13.0, 15.0]


@pytest.mark.parametrize(("n", "level"), [(10, "compared"), (9, "too_few"), (8, "too_few")])
def test_comparison_needs_five_wines_per_side(n: int, level: str) -> None:
    tastings, bottles = book(n, days=730, repeat_every=n + 1)
    found = compared(tastings, bottles)
    assert (found["level"], min(found["n_before"], found["n_now"])) == (level, n // 2)


def test_tasting_exactly_a_year_ago_counts_as_before() -> None:
    fields = {"liking": 5, "tasted_at": "2025-06-01T23:00:00Z"}
    later = {"liking": 5, "tasted_at": "2025-06-02T00:00:00Z"}
    found = compared([{"id": "a", "fields": fields}, {"id": "b", "fields": later}], [])
    assert (found["n_before"], found["n_now"], found["tastings"]) == (1, 1, ["b"])


def test_attribute_space_without_print_scores_without_label() -> None:
    palate = fit_palate(plain_tastings(20), plain_world())
    compact = palate.compact()
    assert compact["printed"] is None
    bottle = {"style": "s1", "a0": 6.0}
    plain = score_bottle(compact, bottle)
    assert score_bottle(compact, {**bottle, "label_abv": 13.0}) == plain
    x = np.full((1, 3), np.nan)
    x[0, 0] = 6.0
    assert plain["mean"] == pytest.approx(palate.predict(x, ["s1"]).mean[0], abs=1e-9)


def test_rated_tasting_of_an_unknown_style_has_no_style() -> None:
    tastings, bottles = book(12)
    for one in bottles[6:]:
        one["fields"]["style"] = "from elsewhere"
    found = palate_report(tastings, bottles, STYLES, TODAY)
    counted = [name for style in found["styles"] for name in style["tastings"]]
    assert sorted(counted) == [f"t{i}" for i in range(6)]


def test_selected_inputs_are_all_that_the_report_reads() -> None:
    tastings, bottles = book(30)
    for i, one in enumerate(tastings):
        one["fields"] |= {"words": "fine", "faults": ["corked"] if i % 9 == 0 else []}
        one["fields"] |= {"fault_counts": i % 2 == 0, "look_colour": "red"}
        if i % 5 == 0:
            one["fields"]["would_buy"] = "yes"
            del one["fields"]["liking"]
    for i, one in enumerate(bottles):
        one["fields"] |= {"residual_sugar_gl": 4.0, "total_acidity_gl": 6.5, "note": "x"}
        one["fields"] |= {"colour": "white", "kind": "still"} if i % 3 else {}
        if i % 4 == 0:
            one["fields"].pop("label_abv")
            one["fields"] |= {"label_abv_low": 12.0, "label_abv_high": 13.0}
        if i % 7 == 6:
            one["fields"]["merged_into"] = "b1"
        if i % 5 == 4:
            one["fields"].pop("style")
        if i % 10 == 4:
            one["fields"].pop("colour", None)
    flat = [[{"id": one["id"], **one["fields"]} for one in each] for each in (tastings, bottles)]
    selected = select_inputs(*flat)
    assert palate_report(*selected, STYLES, TODAY) == palate_report(*flat, STYLES, TODAY)
    assert not any(one.keys() & {"words", "note"} for each in selected for one in each)
    assert select_inputs(*(each[::-1] for each in flat)) == selected


def test_points_need_a_number_on_the_scale() -> None:
    tastings, bottles = book(8)
    for one, value in zip(tastings, [True, 10, 0, 10.5, -0.5, "5", None], strict=False):
        one["fields"]["body"] = value
    found = palate_report(tastings, bottles, STYLES, TODAY)["targets"][3]
    assert found["attribute"] == "body"
    assert [dot["tasting"] for dot in found["dots"]] == ["t7", "t2", "t1"]


def test_tasted_style_lists_its_latest_tastings() -> None:
    bottle = {"id": "b", "style": STYLES[0]["style_id"], "label_abv": 12.0}
    times = [f"2026-01-01T{i // 60:02}:{i % 60:02}:00Z" for i in range(203)]
    tastings = [
        {"id": f"t{i:03}", "bottle": "b", "liking": 5 + i % 2, "tasted_at": at}
        for i, at in enumerate(times)
    ]
    (found,) = palate_report(tastings, [bottle], STYLES, TODAY)["styles"]
    assert (found["n"], len(found["tastings"])) == (203, 200)
    assert found["tastings"][:2] == ["t202", "t201"]
    assert found["liking_sd"] == pytest.approx(0.5, abs=0.002)


@pytest.mark.parametrize(("n", "level"), [(2, "few"), (5, "few"), (6, "known")])
def test_repeatability_is_known_from_five_repeats(n: int, level: str) -> None:
    tastings = [{"id": f"t{i}", "bottle": "b", "liking": 5 + i % 2} for i in range(n)]
    found = palate_report(tastings, [{"id": "b"}], STYLES, TODAY)["repeatability"]
    assert (found["n"], found["level"]) == (n - 1, level)
    assert found["bottles"][0]["bottle"] == "b"
    assert len(found["bottles"][0]["likings"]) == n
