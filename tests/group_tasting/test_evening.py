"""A whole evening; every byte that guests receive is searched for what is hidden from them."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import pytest
from flask import Flask

from tests.auth.conftest import add_owners, signed_in_client
from tests.conftest import AppMaker
from tests.group_tasting.evening import Guest, Leader, moment, now_ms

NAMES = ("Adaxandra", "Brunhildo", "Celestrix", "Dorotheus", "Eleuthera")
STYLES = ("spk_cremant", "wht_assyrtiko", "ros_tavel")
ABVS = (13.9175, 11.2846, 14.6638)


def bottle(number: int) -> dict[str, object]:
    """Return a bottle whose values appear nowhere else."""
    return {
        "name": f"Zephyrhill{number}x",
        "producer": f"Quarrybank{number}x",
        "grapes": f"Grapevariety{number}x",
        "region": f"Farvalley{number}x",
        "style": STYLES[number],
        "label_abv": ABVS[number],
    }


def words_of(guest: str, glass: int) -> tuple[str, ...]:
    """Return what a guest writes about a glass, none of which anybody else writes."""
    mark = f"{NAMES.index(guest)}q{glass}z"
    return (f"note{mark}", f"aroma{mark}", f"grape{mark}")


@dataclass
class Secrets:
    """What may not reach a guest now: words, and for answers and names whose they are."""

    labels: dict[int, list[str]] = field(default_factory=dict)
    answers: dict[tuple[str, int], tuple[str, ...]] = field(default_factory=dict)
    names: set[str] = field(default_factory=set)
    consents: dict[str, str] = field(default_factory=dict)
    opened: bool = False
    searched: int = 0

    def hidden_from(self, name: str) -> set[str]:
        hidden = {word for words in self.labels.values() for word in words}
        hidden |= {word for key, words in self.answers.items() if key[0] != name for word in words}
        # The results have words of their own; who is done with a step is nobody else's business.
        hidden |= set() if self.opened else {'"results"', '"median"', '"mean"', '"duplicate"'}
        hidden |= {when for other, when in self.consents.items() if other != name}
        return hidden | (self.names - {name})

    def watcher(self, name: str) -> Callable[[bytes], None]:
        def search(received: bytes) -> None:
            self.searched += len(received)
            found = [word for word in self.hidden_from(name) if word.encode() in received]
            assert found == [], received.decode()
            assert b'"done_verdict":' not in received.partition(b'"sheets":')[0], received.decode()

        return search


@dataclass
class Evening:
    """A leader, five guests and what is secret."""

    leader: Leader
    guests: list[Guest]
    secrets: Secrets

    def everybody_reads(self) -> list[str]:
        """Let everybody read the table; return the text that each guest received."""
        return [self._polled(guest) for guest in self.guests]

    @staticmethod
    def _polled(guest: Guest) -> str:
        guest.etag = ""
        text = guest.poll().text
        assert guest.poll().status_code == 304
        return text

    def answer(self, number: int) -> None:
        for place, guest in enumerate(self.guests):
            note, aroma, grape = words_of(guest.name, number)
            glass = self.leader.glasses[number]
            fields: dict[str, Any] = {
                "words": note,
                "second_nose_words": [f"~{aroma}"],
                "guess_grape": grape,
            }
            fields |= {"liking": place + 1, "done_verdict": True}
            if number == 2 and place < 2:
                fields["guess_same_as"] = self.leader.glasses[place]
            assert guest.put(glass, **fields).json["stored"] == sorted(fields)


@pytest.fixture(params=[False, True], ids=["without names", "with names"])
def evening(request: pytest.FixtureRequest, make_app: AppMaker) -> Evening:
    app: Flask = make_app()
    add_owners(app)
    leader = Leader(signed_in_client(app, "anna"))
    # The third glass has the wine of the first one.
    bottles = [bottle(0), bottle(1), bottle(0), bottle(2)]
    leader.set_table(bottles, names_shown=request.param, leader_name="Leaderina")
    labels = {n: [*map(str, one.values())] for n, one in enumerate(bottles)}
    for words, id_ in zip(labels.values(), (0, 1, 0, 2), strict=True):
        words.append(leader.bottles[id_])
    secrets = Secrets(labels, names=set(NAMES))
    secrets.answers = {(name, n): words_of(name, n) for name in NAMES for n in range(4)}
    invitation = leader.invite()
    guests = []
    for place, name in enumerate(NAMES):
        guest = Guest(app.test_client(), name)
        guest.watch = secrets.watcher(name)
        given = {"secret": invitation["secret"]} if place % 2 else {"code": invitation["code"]}
        assert guest.look(**given).status_code == 200
        guests.append(guest.join(**given))
    return Evening(leader, guests, secrets)


def test_evening_reveals_nothing_before_its_time(evening: Evening) -> None:
    leader, guests, secrets = evening.leader, evening.guests, evening.secrets
    named = leader.records("group_tasting")[leader.table]["names_shown"]
    for step in ("look", "first_nose", "verdict"):
        leader.change(open_glass=leader.glasses[0], open_step=step)
        evening.everybody_reads()
    for number in range(4):
        evening.answer(number)
        evening.everybody_reads()
    for place, guest in enumerate(guests):
        noted = now_ms() - 1_000 * (place + 1)
        secrets.consents[guest.name] = moment(noted)
        assert guest.consent(noted).status_code == 200
    for guest, text in zip(guests, evening.everybody_reads(), strict=True):
        assert secrets.consents[guest.name] in text
    # Errors are read as well.
    ada = guests[0]
    assert ada.put(leader.glasses[1], liking=12).json["errors"]
    assert ada.put(leader.table, liking=1).status_code == 404
    assert ada.ask("PUT", f"/api/guests/sheets/{leader.glasses[1]}", data=b"{").status_code == 415
    assert ada.try_join(secret="wrong").status_code == 404
    leader.change_glass(0, closed_verdict_at=moment(now_ms()))
    evening.everybody_reads()
    # The first glass is laid open: its answers are there, and nothing of the other glasses.
    leader.change_glass(0, discussed_at=moment(now_ms()))
    for key in [key for key in secrets.answers if key[1] == 0]:
        del secrets.answers[key]
    if named:
        secrets.names.clear()
    for guest, text in zip(guests, evening.everybody_reads(), strict=True):
        assert all(word in text for name in NAMES for word in words_of(name, 0))
        assert all((f'"{name}"' in text) is named for name in NAMES if name != guest.name)
    _reveal(evening)


def _reveal(evening: Evening) -> None:
    leader, secrets = evening.leader, evening.secrets
    # The label of the first glass says nothing of the third, which has the same wine.
    leader.change_glass(0, uncovered_at=moment(now_ms()))
    shown = secrets.labels.pop(0)
    secrets.labels.pop(2)
    for guest, text in zip(evening.guests, evening.everybody_reads(), strict=True):
        assert all(word in text for word in shown[:-1])
        first, third = by_id(guest, leader.glasses[0]), by_id(guest, leader.glasses[2])
        assert first["same_as"] is None
        assert not {"bottle", "same_as", "answers"} & third.keys()
    leader.change_glass(2, uncovered_at=moment(now_ms()))
    for guest in evening.guests:
        assert by_id(guest, leader.glasses[0])["same_as"] == leader.glasses[2]
    for number in (1, 3):
        leader.change_glass(number, discussed_at=moment(now_ms()), uncovered_at=moment(now_ms()))
        secrets.labels.pop(number)
    for key in [key for key in secrets.answers if key[1] != 2]:
        del secrets.answers[key]
    # All but the third glass are in the results, and its pair is not told.
    secrets.opened = True
    leader.change(results_at=moment(now_ms()))
    for text, found in ((text, json.loads(text)["results"]) for text in evening.everybody_reads()):
        assert {one["glass"] for one in found["order"]} == {leader.glasses[n] for n in (0, 1, 3)}
        assert found["duplicate"] is None, text
    leader.change(ended_at=moment(now_ms()))
    for guest in evening.guests:
        found = guest.table()["results"]
        assert [one["glass"] for one in found["order"]] == leader.glasses
        assert found["duplicate"]["found"] == 1
        assert (found["duplicate"]["names"] is not None) is bool(not secrets.names)
    for text in evening.everybody_reads():
        assert all(str(word) in text for n in range(3) for word in bottle(n).values())
        assert all(word in text for name in NAMES for n in (0, 1, 3) for word in words_of(name, n))
    assert secrets.searched > 100_000


def by_id(guest: Guest, glass: str) -> dict[str, object]:
    found = [one for one in guest.table()["glasses"] if one["id"] == glass]
    return dict(found[0])


def test_open_labels_are_shown_from_the_start(table_app: Flask) -> None:
    leader = Leader(signed_in_client(table_app, "anna"))
    leader.set_table([bottle(0), bottle(0)], labels_hidden=False)
    guest = Guest(table_app.test_client()).join(secret=leader.invite()["secret"])
    view = guest.table()
    assert [one["bottle"]["name"] for one in view["glasses"]] == ["Zephyrhill0x"] * 2
    assert view["glasses"][0]["same_as"] == leader.glasses[1]


def test_answers_without_names_do_not_follow_the_numbers(table_app: Flask) -> None:
    leader = Leader(signed_in_client(table_app, "anna"))
    leader.set_table([bottle(0)])
    secret = leader.invite()["secret"]
    guests = [Guest(table_app.test_client(), name).join(secret=secret) for name in NAMES]
    for guest, words in zip(guests, "edcba", strict=True):
        guest.put(leader.glasses[0], words=words)
    leader.change_glass(0, discussed_at=moment(now_ms()))
    (glass,) = guests[0].table()["glasses"]
    assert [one["fields"]["words"] for one in glass["answers"]] == [*"abcde"]
    assert {(one["guest"], one["name"]) for one in glass["answers"]} == {(None, None)}
