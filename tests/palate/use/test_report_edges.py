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
from webapp.palate.use.report import _alcohol, palate_report


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
def test_alcohol_range_needs_certainty_and_five_tastings(n: int, sure: bool, known: bool) -> None:
    found = PrintedRange(11.0, 14.0, 12.5, (10.0, 12.0), (13.0, 15.0), sure)
    palate = SimpleNamespace(alcohol_range=lambda: found)
    result = _alcohol(palate, read_tastings(*book(n)))  # type: ignore[arg-type]
    assert result is not None
    assert result["known"] is known
    assert (result["low_abv"], result["high_abv"], result["best_abv"]) == (11.0, 14.0, 12.5)
    assert result["low_between_abv"] + result["high_between_abv"] == [10.0, 12.0, 13.0, 15.0]


@pytest.mark.parametrize(("n", "level"), [(10, "compared"), (9, "too_few"), (8, "too_few")])
def test_comparison_needs_five_tastings_per_side(n: int, level: str) -> None:
    tastings, bottles = book(n, days=730)
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
