"""Guests look at an invitation, join, read the table and answer."""

from __future__ import annotations

from flask import Flask

from tests.group_tasting.evening import Guest, Leader


def test_look_tells_of_the_table_before_a_name(table_app: Flask, leader: Leader) -> None:
    invitation = leader.invite()
    for given in ({"secret": invitation["secret"]}, {"code": invitation["code"].lower()}):
        answer = Guest(table_app.test_client()).look(**given)
        assert answer.status_code == 200, answer.text
        values = {**answer.json, "now_ms": 0}
        assert values == {
            "group_tasting": leader.table,
            "name": "Six glasses",
            "leader_name": "Anna",
            "glasses": 2,
            "labels_hidden": True,
            "names_shown": False,
            "keeps_days": 30,
            "now_ms": 0,
        }


def test_answer_reaches_the_leader(leader: Leader, guest: Guest) -> None:
    assert guest.put(leader.glasses[0], acidity=7.5).json["stored"] == ["acidity"]
    (sheet,) = leader.records("sheet").values()
    (written,) = leader.records("guest").items()
    assert written[0] == guest.id
    assert {name: written[1][name] for name in ("name", "number", "entry")} == {
        "name": "Ada",
        "number": 1,
        "entry": "phone",
    }
    assert sheet == {
        "group_tasting": leader.table,
        "glass": leader.glasses[0],
        "guest": guest.id,
        "acidity": 7.5,
    }
    view = guest.table()
    assert view["sheets"] == {leader.glasses[0]: {"acidity": 7.5}}
    assert [one["mark"] for one in view["glasses"]] == ["A", "B"]
    assert "bottle" not in view["glasses"][0]


def test_join_repeated_gives_the_same_token(leader: Leader, guest: Guest) -> None:
    token, secret = guest.token, leader.invite()["secret"]
    assert guest.join(secret=secret).token == token
    assert len(leader.records("guest")) == 1
    guest.key = "another key of another phone, not the same"
    refused = guest.try_join(secret=secret)
    assert (refused.status_code, refused.json["code"]) == (409, "guest_taken")
