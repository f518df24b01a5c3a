"""Answers: what counts when a step was closed, when they come late, twice, or are invalid."""

from __future__ import annotations

import pytest

from tests.group_tasting.evening import Guest, Leader, moment, now_ms
from webapp.group_tasting.answers import judge
from webapp.group_tasting.closing import grace_ms, last_ms
from webapp.group_tasting.table import Table, step_of

HOUR_MS = 3600 * 1000
GLASS, GUEST = "1" * 8, "2" * 8


def only_sheet(leader: Leader) -> dict[str, object]:
    (sheet,) = leader.records("sheet").values()
    return {name: value for name, value in sheet.items() if name in step_of()}


def test_closed_step_keeps_what_was_noted_before(leader: Leader, guest: Guest) -> None:
    glass, noted = leader.glasses[0], now_ms() - 60_000
    leader.change_glass(0, closed_verdict_at=moment(noted + 10))
    kept = guest.put(glass, noted, liking=8, acidity=3).json
    assert (kept["stored"], kept["closed"]) == (["acidity", "liking"], {})
    later = guest.put(glass, noted + grace_ms() + 20, liking=2, acidity=4).json
    closed = noted + 10 + grace_ms()
    assert (later["stored"], later["closed"]) == (["acidity"], {"liking": closed})
    assert only_sheet(leader) == {"liking": 8, "acidity": 4}
    assert guest.table()["glasses"][0]["closed"] == {"verdict": closed}


def test_step_can_be_finished_after_the_leader_went_on(leader: Leader, guest: Guest) -> None:
    glass, noted = leader.glasses[0], now_ms() - grace_ms()
    leader.change_glass(0, closed_verdict_at=moment(noted))
    assert guest.put(glass, noted + grace_ms() - 1_000, liking=7).json["stored"] == ["liking"]
    # Answers that are shown may change a mind.
    leader.change_glass(0, discussed_at=moment(noted + 5_000))
    assert "liking" in guest.put(glass, noted + 6_001, liking=3).json["closed"]
    assert only_sheet(leader) == {"liking": 7}


def test_steps_close_when_a_glass_is_discussed(leader: Leader, guest: Guest) -> None:
    glass, noted = leader.glasses[0], now_ms()
    gone_on = moment(noted + 40_000 - grace_ms())
    leader.change_glass(0, closed_look_at=gone_on, discussed_at=moment(noted + 60_000))
    leader.change_glass(1, uncovered_at=moment(noted + 60_000))
    closed = guest.table()["glasses"][0]["closed"]
    assert closed["look"] == noted + 40_000
    assert {closed[step] for step in closed if step != "look"} == {noted + 60_000}
    assert set(guest.table()["glasses"][1]["closed"]) == set(closed)
    assert guest.put(glass, noted, liking=5).json["stored"] == ["liking"]


def test_answer_put_twice_stands_once(leader: Leader, guest: Guest) -> None:
    noted = now_ms() - 1000
    for _ in range(2):
        assert guest.put(leader.glasses[0], noted, liking=8, words="plum").status_code == 200
    (id_,) = leader.records("sheet")
    found = leader.client.get(f"/api/records/sheet/{id_}/revisions").json["revisions"]
    assert found == []
    before = leader.last_seq()
    guest.put(leader.glasses[0], noted, liking=8, words="plum")
    assert leader.last_seq() == before
    guest.put(leader.glasses[0], noted + 10, liking=4)
    # An older answer that arrives later does not win.
    guest.put(leader.glasses[0], noted + 5, liking=5)
    assert only_sheet(leader)["liking"] == 4


def test_sheet_of_two_ways_is_one_record(leader: Leader, guest: Guest) -> None:
    guest.put(leader.glasses[0], liking=8)
    (id_,) = leader.records("sheet")
    # The leader's phone read the same sheet as QR codes.
    leader.put("sheet", id_, guest=guest.id, glass=leader.glasses[0], acidity=5)
    assert only_sheet(leader) == {"liking": 8, "acidity": 5}
    assert guest.table()["sheets"][leader.glasses[0]] == {"liking": 8, "acidity": 5}


def test_moment_to_the_second_lasts_until_its_end(leader: Leader, guest: Guest) -> None:
    # Phones write the moment at which a step is closed to the second.
    second = now_ms() // 1000 * 1000 - 5_000
    leader.change_glass(0, discussed_at=moment(second).replace(".000", ""))
    guest.put(leader.glasses[0], second + 999, liking=6)
    late = guest.put(leader.glasses[0], second + 1_000, liking=2).json
    assert "liking" in late["closed"]
    assert only_sheet(leader)["liking"] == 6


def test_open_label_is_not_guessed(leader: Leader, guest: Guest) -> None:
    leader.change(ask_guesses=True, labels_hidden=False)
    assert guest.table()["table"]["ask_guesses"] is False
    done = guest.put(leader.glasses[0], liking=4, guess_abv=12).json
    assert (done["stored"], [*done["errors"]]) == (["liking"], ["guess_abv"])
    leader.change(labels_hidden=True)
    assert guest.table()["table"]["ask_guesses"] is True
    assert guest.put(leader.glasses[0], guess_abv=12).json["stored"] == ["guess_abv"]


def test_invalid_answers_are_refused_alone(leader: Leader, guest: Guest) -> None:
    leader.change(steps=["verdict", "sip_1"], ask_guesses=False)
    given = {"liking": 12, "acidity": 5, "look_depth": "pale", "guess_abv": 12, "guest": guest.id}
    given["left_out"] = True
    done = guest.put(leader.glasses[0], **given).json
    assert done["stored"] == ["acidity"]
    assert done["errors"] == {
        "liking": [{"code": "too_high", "bound": 9}],
        **{
            name: [{"code": "not_asked"}]
            for name in ("look_depth", "guess_abv", "guest", "left_out")
        },
    }
    assert only_sheet(leader) == {"acidity": 5}
    assert guest.table()["table"]["steps"] == ["sip_1", "verdict"]
    cleared = guest.put(leader.glasses[0], acidity=None).json
    assert cleared["stored"] == ["acidity"]
    assert guest.table()["sheets"] == {}


@pytest.mark.parametrize(
    ("noted", "outcome"),
    [
        (-25 * HOUR_MS, "too_late"),
        (-23 * HOUR_MS, "stored"),
        # A clock that is ahead counts as now.
        (HOUR_MS, "stored"),
    ],
)
def test_noted_time_is_bounded(noted: int, outcome: str) -> None:
    now = 1_800_000_000_000
    table = Table({"id": "t"}, {GLASS: {"id": GLASS}})
    judged = judge(table, GUEST, GLASS, {"liking": 5}, {"liking": now + noted}, now)
    if outcome == "too_late":
        assert judged.errors == {"liking": [{"code": "too_late"}]}
        assert judged.fields == {}
    else:
        assert judged.clocks["liking"].startswith(str(min(now, now + noted)))


def test_earliest_closing_of_a_step_counts() -> None:
    glass = {"closed_look_at": "2026-01-01T10:00:00+02:00", "discussed_at": "2026-01-01T09:30:00Z"}
    head = {"id": "t", "steps": ["look", "whole"], "ended_at": "2026-01-01T10:15:00+01:00"}
    closings = Table(head, {GLASS: glass}).closings(GLASS, 1)
    after_grace = last_ms(glass["closed_look_at"]) + grace_ms()
    assert closings == {"look": after_grace, "whole": last_ms(head["ended_at"])}
    # The moment of an uncovered label closes only if labels were hidden.
    glass = {"uncovered_at": "2026-01-01T09:00:00Z"}
    labels_shown = Table({"id": "t", "labels_hidden": False}, {GLASS: glass})
    assert labels_shown.closings(GLASS, 1) == {}
    closings = Table({"id": "t"}, {GLASS: glass}).closings(GLASS, 1)
    assert closings["verdict"] == last_ms("2026-01-01T09:00:00Z")
