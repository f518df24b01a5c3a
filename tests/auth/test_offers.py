"""Pairing offers as stored: whose they are, how long they are valid, and what ends them."""

from __future__ import annotations

import logging

import pytest
from sqlalchemy import Connection, select, update

from tests.auth.conftest import KEY
from tests.memory_database import first_row, rows_of
from webapp.auth import pairing, sessions
from webapp.auth.errors import AccessError
from webapp.auth.pairing import Claim, Offer
from webapp.auth.sessions import Browser
from webapp.db.tables import owner, sign_in
from webapp.db.tables import pairing as pairing_table

NOW_S = 1_790_000_400
HERE = "192.0.2.1"


def offered(connection: Connection, owner_id: int = 1, by: str | None = None) -> Offer:
    return pairing.create_offer(connection, owner_id, by, NOW_S)


def claimed(connection: Connection, offer: Offer, name: str = "a phone") -> Claim:
    return pairing.claim_offer(connection, offer.secret, name, NOW_S)


def sign_in_id(connection: Connection, owner_id: int = 1) -> str:
    token = sessions.start(connection, owner_id, Browser("", HERE, KEY), NOW_S)
    row = sessions.find(connection, token)
    assert row is not None
    return str(row.id)


def completed(
    connection: Connection, claim: Claim, now_s: int = NOW_S
) -> tuple[int, str] | str | None:
    """Return the answer to a claim, or the code of its refusal."""
    try:
        return pairing.complete(connection, claim.claim, HERE, KEY, now_s)
    except AccessError as refused:
        return refused.code


def approved(connection: Connection, owner_id: int, by: str | None) -> Claim:
    """Offer, claim and approve."""
    offer = offered(connection, owner_id, by)
    claim = claimed(connection, offer)
    pairing.approve(connection, owner_id, by, offer.id, claim.code, NOW_S)
    return claim


def test_offer_stores_a_hash_and_its_sign_in(connection: Connection) -> None:
    offer = offered(connection, 2, "a sign-in")
    assert (offer.until, len(offer.id), len(offer.secret)) == (NOW_S + 600, 32, 32)
    assert first_row(connection, pairing_table) == {
        "id": offer.id,
        "owner_id": 2,
        "secret_hash": sessions.token_hash(offer.secret),
        "until": NOW_S + 600,
        "code": None,
        "claim_hash": None,
        "name": None,
        "allowed": False,
        "sign_in_id": "a sign-in",
    }


def test_new_offer_keeps_four_earlier_ones_of_its_owner(connection: Connection) -> None:
    others = [offered(connection, 2).id]
    mine = [pairing.create_offer(connection, 1, None, NOW_S + second).id for second in range(7)]
    left = {id_ for (id_,) in rows_of(connection, pairing_table, "id")}
    assert left == {*others, *mine[2:]}


def test_offers_of_one_second_are_kept_by_id(connection: Connection) -> None:
    ids = sorted(offered(connection).id for _ in range(5))
    added = offered(connection).id
    left = [id_ for (id_,) in rows_of(connection, pairing_table, "id")]
    assert left == sorted([*ids[:4], added])


def test_new_offer_deletes_the_expired_of_all_owners(connection: Connection) -> None:
    for owner_id in (1, 2):
        offered(connection, owner_id)
    pairing.create_offer(connection, 1, None, NOW_S + 599)
    assert len(rows_of(connection, pairing_table, "id")) == 3
    pairing.create_offer(connection, 1, None, NOW_S + 600)
    assert rows_of(connection, pairing_table, "until") == [(NOW_S + 1199,), (NOW_S + 1200,)]


def test_claim_is_stored_with_its_offer(connection: Connection) -> None:
    first, second = offered(connection), offered(connection)
    claim = pairing.claim_offer(connection, first.secret, " my \n phone", NOW_S + 599)
    assert (claim.until, len(claim.claim)) == (NOW_S + 599 + 600, 32)
    columns = ("code", "claim_hash", "name", "until", "allowed")
    found = {id_: values for id_, *values in rows_of(connection, pairing_table, "id", *columns)}
    hashed = sessions.token_hash(claim.claim)
    assert found[first.id] == [claim.code, hashed, "my phone", NOW_S + 1199, False]
    assert found[second.id] == [None, None, None, NOW_S + 600, False]


def test_unnamed_phone_is_stored_without_a_name(connection: Connection) -> None:
    claimed(connection, offered(connection), " ")
    assert first_row(connection, pairing_table)["name"] == ""


def test_offer_is_claimed_once_and_while_it_is_valid(connection: Connection) -> None:
    first, second = offered(connection), offered(connection)
    claimed(connection, first)
    for secret, now_s in [(first.secret, NOW_S), (second.secret, NOW_S + 600), ("another", NOW_S)]:
        with pytest.raises(AccessError) as refused:
            pairing.claim_offer(connection, secret, "", now_s)
        assert refused.value.code == "no_pairing"


def test_offer_is_read_by_its_owner_and_sign_in(connection: Connection) -> None:
    offer, other = offered(connection, 1, "mine"), offered(connection, 1, "mine")
    claim = claimed(connection, offer)
    found = pairing.get_offer(connection, 1, "mine", offer.id, NOW_S)
    assert found == pairing.OpenOffer(offer.id, claim.code, "a phone", False, NOW_S + 600)
    assert pairing.get_offer(connection, 1, "mine", other.id, NOW_S).code is None
    wrong = [
        (2, "mine", offer.id, NOW_S),
        (1, "another", offer.id, NOW_S),
        (1, None, offer.id, NOW_S),
        (1, "mine", "another", NOW_S),
        (1, "mine", offer.id, NOW_S + 600),
    ]
    for owner_id, by, id_, now_s in wrong:
        with pytest.raises(AccessError) as refused:
            pairing.get_offer(connection, owner_id, by, id_, now_s)
        assert (refused.value.code, refused.value.detail) == ("no_pairing", pairing.OVER)


def test_approval_needs_the_code_of_the_phone(connection: Connection) -> None:
    offer, other = offered(connection), offered(connection)
    for code in ("", "None", "\u00e9"):
        with pytest.raises(AccessError, match="No phone with this code"):
            pairing.approve(connection, 1, None, offer.id, code, NOW_S)
    claim = claimed(connection, offer)
    with pytest.raises(AccessError, match="No phone with this code"):
        pairing.approve(connection, 1, None, offer.id, claim.code + "0", NOW_S)
    pairing.approve(connection, 1, None, offer.id, claim.code, NOW_S)
    allowed = dict(rows_of(connection, pairing_table, "id", "allowed"))
    assert allowed == {offer.id: True, other.id: False}


def test_offer_is_cancelled_by_its_owner(connection: Connection) -> None:
    offer, other = offered(connection), offered(connection)
    claim = claimed(connection, offer)
    pairing.cancel(connection, 2, offer.id)
    assert completed(connection, claim) is None
    pairing.cancel(connection, 1, offer.id)
    assert completed(connection, claim) == "pairing_cancelled"
    for ask in (
        lambda: pairing.get_offer(connection, 1, None, offer.id, NOW_S),
        lambda: pairing.claim_offer(connection, offer.secret, "", NOW_S),
    ):
        with pytest.raises(AccessError) as refused:
            ask()
        assert refused.value.code == "pairing_cancelled"
    assert pairing.get_offer(connection, 1, None, other.id, NOW_S).code is None
    offered(connection)
    assert offer.id not in [id_ for (id_,) in rows_of(connection, pairing_table, "id")]


def test_phone_that_leaves_ends_its_own_claim(connection: Connection) -> None:
    offer, other = offered(connection), offered(connection)
    claim, kept = claimed(connection, offer), claimed(connection, other)
    pairing.approve(connection, 1, None, offer.id, claim.code, NOW_S)
    pairing.leave(connection, "another")
    pairing.leave(connection, claim.claim)
    with pytest.raises(AccessError) as refused:
        pairing.get_offer(connection, 1, None, offer.id, NOW_S)
    assert refused.value.code == "pairing_cancelled"
    assert completed(connection, claim) == "pairing_cancelled"
    assert completed(connection, kept) is None


def test_approved_claim_signs_in_once(connection: Connection) -> None:
    id_ = sign_in_id(connection)
    other = offered(connection, 1, id_)
    claim = approved(connection, 1, id_)
    found = completed(connection, claim, NOW_S + 599)
    assert isinstance(found, tuple)
    owner_id, token = found
    row = sessions.find(connection, token)
    assert row is not None
    assert (owner_id, row.owner_id, row.name, row.address) == (1, 1, "a phone", HERE)
    assert (row.made_at, row.confirmed_at) == (NOW_S + 599, None)
    assert sessions.fits_key(row, KEY)
    assert rows_of(connection, pairing_table, "id") == [(other.id,)]
    assert completed(connection, claim) == "no_pairing"


def test_approval_and_pairing_are_logged(
    connection: Connection, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.INFO, "webapp.auth"):
        completed(connection, approved(connection, 2, None))
    items = [(one.msg, vars(one)["owner"], vars(one).get("address")) for one in caplog.records]
    assert items == [("pairing_allowed", 2, None), ("paired", 2, HERE)]


def test_claim_waits_for_the_approval(connection: Connection) -> None:
    claim = claimed(connection, offered(connection))
    assert completed(connection, claim) is None
    assert rows_of(connection, sign_in, "id") == []
    assert len(rows_of(connection, pairing_table, "id")) == 1


def test_claim_expires_after_ten_minutes(connection: Connection) -> None:
    claim = approved(connection, 1, None)
    assert completed(connection, claim, NOW_S + 600) == "no_pairing"
    assert completed(connection, Claim("", "another", NOW_S)) == "no_pairing"


def test_local_offer_ends_with_a_passphrase(connection: Connection) -> None:
    claim = approved(connection, 1, None)
    connection.execute(update(owner).where(owner.c.id == 1).values(passphrase="a hash"))
    assert completed(connection, claim) == "no_pairing"
    assert isinstance(completed(connection, approved(connection, 2, None)), tuple)


@pytest.mark.parametrize("state", ["ended", "unknown", "of another owner"])
def test_offer_ends_with_the_sign_in_that_made_it(connection: Connection, state: str) -> None:
    id_ = sign_in_id(connection, 2 if state == "of another owner" else 1)
    sign_in_id(connection)
    claim = approved(connection, 1, "unknown" if state == "unknown" else id_)
    if state == "ended":
        connection.execute(update(sign_in).where(sign_in.c.id == id_).values(ended_at=NOW_S))
    assert completed(connection, claim) == "no_pairing"


def test_claim_of_a_deleted_owner_is_over(connection: Connection) -> None:
    claim = approved(connection, 1, sign_in_id(connection))
    connection.execute(owner.delete().where(owner.c.id == 1))
    assert completed(connection, claim) == "no_pairing"
    assert connection.scalar(select(sign_in.c.id).where(sign_in.c.name == "a phone")) is None
