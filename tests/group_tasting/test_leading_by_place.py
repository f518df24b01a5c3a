"""Leading by place: guests with orders of their own have each another glass at the same place."""

from __future__ import annotations

import pytest
from flask import Flask

from tests.auth.conftest import signed_in_client
from tests.group_tasting.evening import Guest, Leader, moment, now_ms
from webapp.group_tasting.closing import grace_ms
from webapp.group_tasting.order import glass_order

BOTTLES = [{"name": name} for name in ("Hill", "Bank", "Mill", "Weir")]


@pytest.fixture
def leader(table_app: Flask) -> Leader:
    return Leader(signed_in_client(table_app, "anna"))


def set_table(leader: Leader, **head: str) -> None:
    leader.set_table(BOTTLES, order="balanced", **head)


def guests_of(leader: Leader, app: Flask, count: int) -> list[Guest]:
    secret = leader.invite()["secret"]
    return [Guest(app.test_client(), f"G{at}").join(secret=secret) for at in range(count)]


def order_of(leader: Leader, number: int) -> list[str]:
    return [leader.glasses[at] for at in glass_order("balanced", 0, len(BOTTLES), number)]


def test_each_guest_is_shown_the_own_glass(leader: Leader, table_app: Flask) -> None:
    set_table(leader)
    guests = guests_of(leader, table_app, 4)
    for place in range(len(BOTTLES)):
        leader.change(open_glass=order_of(leader, 1)[place], open_step="sip_1")
        views = [guest.table() for guest in guests]
        opened = [view["table"]["open_glass"] for view in views]
        assert opened == [order_of(leader, number)[place] for number in range(1, 5)]
        assert len(set(opened)) == len(BOTTLES)
        for view in views:
            positions = {one["id"]: one["position"] for one in view["glasses"]}
            assert positions[view["table"]["open_glass"]] == place + 1


def test_step_closes_for_the_own_glass_alone(leader: Leader, table_app: Flask) -> None:
    set_table(leader)
    guests, noted = guests_of(leader, table_app, 2), now_ms() - 60_000
    first = [order_of(leader, number)[0] for number in (1, 2)]
    assert first[0] != first[1]
    leader.put("glass", first[0], closed_verdict_at=moment(noted - grace_ms()))
    for guest, own, other in zip(guests, first, reversed(first), strict=True):
        late = guest.put(own, noted + 5, liking=3).json
        assert (late["stored"], late["closed"]) == ([], {"liking": noted})
        assert guest.put(own, noted - 5, liking=4).json["stored"] == ["liking"]
        assert guest.put(other, noted + 5, liking=5).json["stored"] == ["liking"]
        closed = {one["id"]: one["closed"] for one in guest.table()["glasses"]}
        assert {id_ for id_, steps in closed.items() if steps} == {own}


def test_glass_laid_open_closes_for_everybody(leader: Leader, table_app: Flask) -> None:
    set_table(leader)
    guests, noted = guests_of(leader, table_app, 2), now_ms()
    leader.change_glass(2, discussed_at=moment(noted))
    for guest in guests:
        assert guest.put(leader.glasses[2], noted + 5, liking=3).json["stored"] == []
        assert guest.put(leader.glasses[1], noted + 5, liking=3).json["stored"] == ["liking"]


def test_free_tasting_closes_glass_by_glass(leader: Leader, table_app: Flask) -> None:
    set_table(leader, pace="free")
    guests, noted = guests_of(leader, table_app, 2), now_ms()
    leader.change_glass(0, closed_verdict_at=moment(noted), discussed_at=moment(noted))
    for guest in guests:
        assert guest.table()["table"]["open_glass"] is None
        assert guest.put(leader.glasses[0], noted + 5, liking=3).json["stored"] == []
        assert guest.put(leader.glasses[1], noted + 5, liking=3).json["stored"] == ["liking"]
