"""What a guest decides about being remembered holds, whatever clock the leader's phone has."""

from __future__ import annotations

from typing import Any

import pytest

from tests.group_tasting.evening import Guest, Leader, moment, new_id, now_ms

FOUR_MINUTES_MS = 4 * 60_000


def written(leader: Leader, guest: Guest) -> dict[str, Any]:
    fields = leader.records("guest")[guest.id]
    return {name: fields.get(name) for name in ("agreed_at", "person")}


def make_person(leader: Leader, guest: Guest) -> str:
    """Write guest and person as the leader's phone does after it read a guest's QR code."""
    person = new_id()
    leader.put("person", person, name=guest.name, agreed_at=moment(now_ms()))
    leader.put("guest", guest.id, person=person, agreed_at=moment(now_ms()))
    return person


def test_withdrawal_holds_against_a_clock_ahead(leader: Leader, guest: Guest) -> None:
    leader.last_ms = now_ms() + FOUR_MINUTES_MS
    make_person(leader, guest)
    assert guest.consent(now_ms(), agreed=False).status_code == 200
    assert written(leader, guest) == {"agreed_at": None, "person": None}
    assert guest.table()["guest"]["agreed_at"] is None
    assert leader.records("person") == {}


def test_decisions_under_a_clock_ahead_count_as_they_come(leader: Leader, guest: Guest) -> None:
    leader.last_ms = now_ms() + FOUR_MINUTES_MS
    make_person(leader, guest)
    noted = now_ms()
    guest.consent(noted, agreed=False)
    seq = leader.last_seq()
    guest.consent(noted, agreed=False)
    assert leader.last_seq() == seq
    guest.consent(noted + 2)
    assert written(leader, guest)["agreed_at"] == moment(noted + 2)
    seq = leader.last_seq()
    guest.consent(noted + 2)
    assert leader.last_seq() == seq
    guest.consent(noted + 3, agreed=False)
    assert written(leader, guest)["agreed_at"] is None


def test_withdrawal_with_the_leader_outlasts_an_old_agreement(leader: Leader, guest: Guest) -> None:
    noted = now_ms()
    leader.last_ms = noted + FOUR_MINUTES_MS
    make_person(leader, guest)
    leader.put("guest", guest.id, person=None, agreed_at=None)
    assert guest.consent(noted).status_code == 200
    assert written(leader, guest) == {"agreed_at": None, "person": None}


@pytest.mark.parametrize("agreed", [True, False])
def test_only_an_older_withdrawal_beats_the_leader(
    leader: Leader, guest: Guest, agreed: bool
) -> None:
    noted = now_ms() - 60_000
    leader.put("guest", guest.id, agreed_at=None if agreed else moment(noted))
    guest.consent(noted, agreed=agreed)
    assert written(leader, guest)["agreed_at"] is None
    # What was decided before the server's own stamp came too late.
    guest.consent(noted + 1)
    assert written(leader, guest)["agreed_at"] is None
