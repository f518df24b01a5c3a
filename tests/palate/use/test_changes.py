from dataclasses import replace
from datetime import date
from types import SimpleNamespace

import numpy as np
import pytest

from tests.palate.examples import STYLES
from tests.palate.use.test_report import TODAY, book
from webapp.palate.data.from_records import read_tastings, to_arrays
from webapp.palate.data.wine_styles import wine_space
from webapp.palate.use.changes import _attributes, changes
from webapp.palate.use.ideal_points import IdealPoint


def compared(tastings, bottles, today=TODAY):
    records, space = read_tastings(tastings, bottles), wine_space(STYLES)
    return changes(records, to_arrays(records, space), space, today)


def with_liking(tastings, since, liking):
    """Set the liking of all tastings since a timestamp."""
    for record in tastings:
        if record["fields"]["tasted_at"] >= since:
            record["fields"]["liking"] = liking
    return tastings


def test_one_year_of_tastings_has_no_comparison():
    found = compared(*book(20, days=300, repeat_every=21))
    assert (found["level"], found["n_before"], found["n_now"]) == ("too_few", 0, 20)
    assert found["since"] == "2025-06-02"


def test_tastings_count_to_their_year():
    found = compared(*book(40, days=730, repeat_every=41))
    assert found["n_before"] == found["n_now"] == 20
    assert found["tastings"][0] == "t39"
    assert len(found["attributes"]) == 7


def test_only_the_newest_tastings_are_listed(monkeypatch):
    monkeypatch.setattr("webapp.palate.use.changes.LISTED", 2)
    found = compared(*book(20, days=300, repeat_every=21))
    assert (found["n_now"], found["tastings"]) == (20, ["t19", "t18"])


def test_comparison_counts_wines_not_notes():
    days = [f"{year}-0{month}-01T12:00:00Z" for year in (2025, 2026) for month in range(1, 6)]
    tastings = [
        {"id": f"t{i}", "bottle": "b" if i < 5 else f"b{i}", "liking": 5, "tasted_at": day}
        for i, day in enumerate(days)
    ]
    found = compared(tastings, [])
    assert (found["n_before"], found["n_now"], found["level"]) == (1, 5, "too_few")


def test_rising_likings_are_reported():
    tastings, bottles = book(60, days=730)
    happier = with_liking(tastings, "2025-06-02", 9)
    liking = compared(happier, bottles)["liking"]
    assert liking["now"] == 9
    assert liking["shift"] == pytest.approx(9 - liking["before"])
    assert liking["level"] == "clear"


def test_each_mean_has_the_error_of_its_own_wines():
    tastings, bottles = book(60, days=730)
    liking = compared(tastings[:30] + tastings[52:], bottles)["liking"]
    # Standard errors of two means with one pooled variance, of 30 wines and of 8.
    assert liking["now_sd"] / liking["before_sd"] == pytest.approx((30 / 8) ** 0.5)
    assert liking["sd"] == pytest.approx(np.hypot(liking["before_sd"], liking["now_sd"]))


def test_tasting_of_tomorrow_east_of_here_is_counted():
    tastings, bottles = book(20, days=300, repeat_every=21)
    tastings[-1]["fields"]["tasted_at"] = "2026-06-02T08:00:00+13:00"
    assert compared(tastings, bottles, today=date(2026, 6, 1))["n_now"] == 20


def test_equal_years_report_no_change():
    tastings, bottles = book(40, days=730)
    for old, new in zip(tastings[:20], tastings[20:], strict=True):
        new["fields"] = {**old["fields"], "tasted_at": new["fields"]["tasted_at"]}
    found = compared(tastings, bottles)
    assert found["liking"]["shift"] == 0
    assert {entry["level"] for entry in found["attributes"]} == {"unclear"}
    for entry in found["attributes"]:
        assert entry["before"] == entry["now"]


def test_future_and_undated_tastings_are_ignored():
    tastings, bottles = book(20, days=300, repeat_every=21)
    del tastings[0]["fields"]["tasted_at"]
    found = compared(tastings, bottles, today=date(2026, 5, 1))
    late = [t for t in tastings[1:] if t["fields"]["tasted_at"] >= "2026-05-03"]
    assert found["n_now"] == 19 - len(late)


@pytest.mark.parametrize(
    ("rise", "level"), [(0, "unclear"), (0.8, "unclear"), (1, "clear"), (-1, "clear")]
)
def test_change_of_liking_is_clear_from_two_errors(rise, level):
    before, now = [5, 5, 6, 4, 5, 5], [5 + rise, 6 + rise, 4 + rise, 5 + rise, 5 + rise]
    records = [
        {"id": f"t{i}", "liking": liking, "tasted_at": f"{year}-03-0{1 + i}T12:00:00Z"}
        for year, likings in ((2025, before), (2026, now))
        for i, liking in enumerate(likings)
    ]
    found = compared(records, [])["liking"]
    # Both years have a sum of squares of 2; one is added, over 11 answers.
    assert found["sd"] == pytest.approx((5 / 11 * (1 / 6 + 1 / 5)) ** 0.5)
    assert (found["before"], found["now"]) == (5, pytest.approx(5 + rise))
    assert found["shift"] == pytest.approx(rise)
    assert found["level"] == level


def test_separate_intervals_are_a_clear_change():
    old = IdealPoint("a", 3.0, 2.0, 4.0, 0.5, "peak")
    cases = [
        (replace(old, low=4.5, high=6.0), "clear"),
        (replace(old, low=0.0, high=1.5, shape="less"), "clear"),
        (replace(old, low=4.0, high=6.0), "unclear"),
        (replace(old, low=0.0, high=2.0), "unclear"),
        (replace(old, low=4.5, high=6.0, target=None, shape="unknown"), "unclear"),
    ]
    for new, level in cases:
        was, is_now = (SimpleNamespace(ideal_points=lambda one=one: [one]) for one in (old, new))
        (found,) = _attributes(was, is_now)  # type: ignore[arg-type]
        assert found["level"] == level
        assert found["attribute"] == "a"
        assert found["before"] == {"target": 3.0, "low": 2.0, "high": 4.0, "shape": "peak"}
        assert found["now"]["shape"] == new.shape
        assert (found["now"]["target"], found["now"]["high"]) == (new.target, new.high)
