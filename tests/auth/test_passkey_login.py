"""Adding a passkey and signing in with it: options, checks, and what is stored and logged."""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import Any

import pytest
from sqlalchemy import Row, delete, update
from webauthn.helpers import base64url_to_bytes, bytes_to_base64url

from tests.auth.conftest import KEY
from tests.auth.soft_authenticator import PRESENT, SoftAuthenticator
from tests.memory_database import first_row, rows_of
from webapp.auth import passkey_login, sessions
from webapp.auth.errors import AccessError
from webapp.auth.passkey_login import RelyingParty, relying_party
from webapp.auth.passkeys import UNKNOWN
from webapp.auth.sessions import Browser
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import account_event, owner, passkey, passkey_challenge, sign_in, tally

NOW_S = 1_790_000_400
HERE = "192.0.2.1"
PHONE = Browser("a key", HERE, KEY)
PARTY = RelyingParty("localhost", ["http://localhost"])

pytestmark = pytest.mark.usefixtures("memory_app")


def table(rows: Any, *columns: str) -> list[tuple[Any, ...]]:
    with read_transaction() as connection:
        return rows_of(connection, rows, *columns)


def first_row_of(rows: Any) -> dict[str, Any]:
    with read_transaction() as connection:
        return first_row(connection, rows)


def signed_in(owner_id: int = 1) -> str:
    """Sign in and return the id of the sign-in."""
    with write_transaction() as connection:
        token = sessions.start(connection, owner_id, PHONE, NOW_S)
        row = sessions.find(connection, token)
    assert row is not None
    return str(row.id)


def begin_adding(by: str | None, owner_id: int = 1, now_s: int = NOW_S) -> dict[str, Any]:
    return passkey_login.begin_adding(owner_id, by, PARTY, PHONE, now_s)


def add(by: str, one: SoftAuthenticator, owner_id: int = 1, **given: Any) -> Row[Any]:
    created = given.pop("created", None) or one.create({"public_key": begin_adding(by, owner_id)})
    return passkey_login.finish_adding(
        owner_id, by, created, PARTY, given.get("browser", PHONE), given.get("now_s", NOW_S)
    )


def show(one: SoftAuthenticator, **changed: str) -> dict[str, str]:
    """Return an authenticator's answer to new options."""
    options = passkey_login.begin_sign_in(PARTY, PHONE, NOW_S)
    return {**one.get({"public_key": options}), **changed}


def enter(given: dict[str, str], browser: Browser = PHONE, now_s: int = NOW_S) -> tuple[int, str]:
    return passkey_login.sign_in_with_passkey(given, PARTY, browser, now_s)


def refused(call: Callable[[], object]) -> tuple[str, str]:
    with pytest.raises(AccessError) as error:
        call()
    return error.value.code, error.value.detail


@pytest.mark.parametrize(
    ("host", "party"),
    [
        (
            "localhost:8000",
            RelyingParty("localhost", ["https://localhost:8000", "http://localhost:8000"]),
        ),
        ("book.example", RelyingParty("book.example", ["https://book.example"])),
    ],
)
def test_plain_http_is_for_localhost_only(host: str, party: RelyingParty) -> None:
    assert relying_party(host) == party


def test_options_ask_for_a_verified_resident_key() -> None:
    options = begin_adding(signed_in())
    challenge = first_row_of(passkey_challenge)
    assert options["rp"] == {"name": "Second Nose", "id": "localhost"}
    assert options["user"]["name"] == "anna"
    assert options["user"]["id"] == challenge["user_handle"]
    assert len(base64url_to_bytes(options["user"]["id"])) == 64
    assert options["timeout"] == 300_000
    assert options["excludeCredentials"] == []
    chosen = options["authenticatorSelection"]
    assert (chosen["residentKey"], chosen["userVerification"]) == ("required", "required")
    hashed = sessions.token_hash(base64url_to_bytes(options["challenge"]).hex())
    assert challenge["challenge_hash"] == hashed


def test_later_passkeys_share_the_user_handle() -> None:
    by, one = signed_in(), SoftAuthenticator()
    add(by, one)
    elsewhere = {"id": "x", "credential_id": "AAAA", "host": "book.example"}
    row = {**first_row_of(passkey), **elsewhere}
    with write_transaction() as connection:
        connection.execute(passkey.insert().values(row))
    options = begin_adding(by)
    assert options["user"]["id"] == one.handle
    excluded = [credential["id"] for credential in options["excludeCredentials"]]
    assert excluded == [bytes_to_base64url(one.credential_id)]
    assert begin_adding(signed_in(2), 2)["user"]["id"] != one.handle


def test_passkey_needs_a_passphrase_and_a_sign_in() -> None:
    items = ("no_passphrase", "A passkey is a second way in; set a passphrase first.")
    assert refused(lambda: begin_adding(None)) == items
    by = signed_in()
    with write_transaction() as connection:
        connection.execute(update(owner).values(passphrase=None))
    assert refused(lambda: begin_adding(by)) == items


def test_number_of_passkeys_is_checked_at_the_start() -> None:
    by = signed_in()
    add(by, SoftAuthenticator())
    row = first_row_of(passkey)
    copies = [{**row, "id": f"{place}", "credential_id": f"{place}"} for place in range(19)]
    with write_transaction() as connection:
        connection.execute(passkey.insert(), copies)
    assert refused(lambda: begin_adding(by))[0] == "too_many_passkeys"


def test_verified_passkey_is_stored_and_an_event(caplog: pytest.LogCaptureFixture) -> None:
    by, one = signed_in(2), SoftAuthenticator(count=3)
    with caplog.at_level(logging.INFO, "webapp.auth"):
        row = add(by, one, 2)
    stored = first_row_of(passkey)
    assert dict(row._mapping) == stored
    kept = ("owner_id", "credential_id", "sign_count", "user_handle", "host", "name", "key_hash")
    assert [stored[name] for name in kept] == [
        *(2, bytes_to_base64url(one.credential_id), 3, one.handle, "localhost", "a key"),
        sessions.token_hash(KEY),
    ]
    assert stored["made_at"] == NOW_S
    columns = ("owner_id", "kind", "sign_in_id", "name", "at_s")
    assert (2, "passkey", by, "a key", NOW_S) in table(account_event, *columns)
    logged = [(one.msg, vars(one)["owner"], vars(one)["address"]) for one in caplog.records]
    assert logged == [("passkey_added", 2, HERE)]


def test_registration_by_an_unverified_person_is_refused(
    caplog: pytest.LogCaptureFixture,
) -> None:
    by = signed_in()
    with caplog.at_level(logging.WARNING, "webapp.auth"):
        result = refused(lambda: add(by, SoftAuthenticator(flags=PRESENT)))
    assert result == ("passkey_refused", "The passkey could not be verified.")
    logged = [(one.msg, vars(one)["cause"], vars(one)["owner"]) for one in caplog.records]
    assert logged == [("passkey_refused", "InvalidRegistrationResponse", None)]


@pytest.mark.parametrize(
    "one", [SoftAuthenticator(host="a.example"), SoftAuthenticator(origin="http://a.example")]
)
def test_registration_for_another_site_is_refused(one: SoftAuthenticator) -> None:
    by = signed_in()
    assert refused(lambda: add(by, one))[0] == "passkey_refused"
    assert table(passkey_challenge, "until") == []


def test_registration_is_bound_to_its_browser_and_sign_in() -> None:
    by, other = signed_in(), signed_in()
    for who, browser, now_s in (
        (other, PHONE, NOW_S),
        (by, Browser("", HERE, "another"), NOW_S),
        (by, PHONE, NOW_S + 300),
    ):
        created = SoftAuthenticator().create({"public_key": begin_adding(by)})
        result = refused(
            lambda c=created, w=who, b=browser, n=now_s: add(  # type: ignore[misc]
                w, SoftAuthenticator(), created=c, browser=b, now_s=n
            )
        )
        assert result[0] == "passkey_expired"


@pytest.mark.parametrize("ended", [True, False])
def test_session_that_ended_meanwhile_adds_nothing(ended: bool) -> None:
    by, one = signed_in(), SoftAuthenticator()
    created = one.create({"public_key": begin_adding(by)})
    change = update(sign_in).values(ended_at=NOW_S) if ended else delete(sign_in)
    with write_transaction() as connection:
        connection.execute(change)
    result = refused(lambda: add(by, one, created=created))
    assert result == ("sign_in", "Sign in first.")
    assert table(passkey, "id") == []


def test_sign_in_options_name_no_credential() -> None:
    options = passkey_login.begin_sign_in(PARTY, PHONE, NOW_S)
    assert (options["rpId"], options["timeout"]) == ("localhost", 300_000)
    assert options["userVerification"] == "required"
    assert options["allowCredentials"] == []
    columns = ("owner_id", "sign_in_id", "until", "address")
    assert table(passkey_challenge, *columns) == [(None, None, NOW_S + 300, HERE)]


def test_passkey_signs_its_owner_in(caplog: pytest.LogCaptureFixture) -> None:
    one = SoftAuthenticator()
    row = add(signed_in(2), one, 2)
    with write_transaction() as connection:
        connection.execute(delete(sign_in))
    with caplog.at_level(logging.INFO, "webapp.auth"):
        owner_id, token = enter(show(one), Browser("new", HERE, KEY), NOW_S + 5)
    assert owner_id == 2
    columns = ("owner_id", "name", "token_hash", "made_at", "confirmed_at", "passkey")
    hashed = sessions.token_hash(token)
    assert table(sign_in, *columns) == [(2, "new", hashed, NOW_S + 5, None, row.id)]
    assert table(passkey, "sign_count", "last_used") == [(1, NOW_S + 5)]
    assert table(tally, "key") == []
    logged = [(one.msg, vars(one)["owner"], vars(one)["address"]) for one in caplog.records]
    assert logged == [("signed_in", 2, HERE)]


def test_unknown_passkey_is_counted_and_logged(caplog: pytest.LogCaptureFixture) -> None:
    one = SoftAuthenticator()
    add(signed_in(), one)
    with caplog.at_level(logging.INFO, "webapp.auth"):
        result = refused(lambda: enter(show(one, id="AAAA")))
    assert result == ("unknown_passkey", UNKNOWN)
    assert table(tally, "key", "used") == [(f"address/{HERE}", 1)]
    logged = [(one.msg, vars(one)["address"], vars(one)["known"]) for one in caplog.records]
    assert logged == [("sign_in_failed", HERE, False)]


def test_wrong_user_handle_is_refused_and_logged(caplog: pytest.LogCaptureFixture) -> None:
    one = SoftAuthenticator()
    add(signed_in(2), one, 2)
    with caplog.at_level(logging.INFO, "webapp.auth"):
        result = refused(lambda: enter(show(one, user_handle="AAAA")))
    assert result[0] == "passkey_refused"
    logged = [(one.msg, vars(one)["cause"], vars(one)["owner"]) for one in caplog.records]
    assert logged == [("passkey_refused", "user_handle", 2)]


@pytest.mark.parametrize(
    ("name", "value"),
    [("flags", PRESENT), ("host", "a.example"), ("origin", "http://a.example"), ("count", -1)],
)
def test_forged_signature_is_refused(
    caplog: pytest.LogCaptureFixture, name: str, value: object
) -> None:
    one = SoftAuthenticator(count=5)
    add(signed_in(), one)
    setattr(one, name, value)
    with caplog.at_level(logging.INFO, "webapp.auth"):
        assert refused(lambda: enter(show(one)))[0] == "passkey_refused"
    logged = [(one.msg, vars(one)["cause"], vars(one)["owner"]) for one in caplog.records]
    assert logged == [("passkey_refused", "InvalidAuthenticationResponse", 1)]
    assert table(passkey_challenge, "until") == []


def test_garbled_client_data_is_refused() -> None:
    one = SoftAuthenticator()
    add(signed_in(), one)
    assert refused(lambda: enter(show(one, client_data="AAAA")))[0] == "passkey_refused"


def test_answer_is_bound_to_its_browser_and_used_once() -> None:
    one = SoftAuthenticator()
    add(signed_in(), one)
    given = show(one)
    assert refused(lambda: enter(given, Browser("", HERE, "another")))[0] == "passkey_expired"
    assert refused(lambda: enter(given, now_s=NOW_S + 300))[0] == "passkey_expired"
    given = show(one)
    enter(given)
    assert refused(lambda: enter(given))[0] == "passkey_expired"


def test_challenge_for_adding_signs_nobody_in() -> None:
    by, one = signed_in(), SoftAuthenticator()
    add(by, one)
    given = one.get({"public_key": begin_adding(by)})
    assert refused(lambda: enter(given))[0] == "passkey_expired"


def test_passkey_attempts_wait_after_twenty() -> None:
    given = {"client_data": "AAAA", "id": "AAAA"}
    codes = [refused(lambda: enter(given))[0] for _ in range(21)]
    assert codes == ["passkey_refused"] * 20 + ["too_many_tries"]
    result = refused(lambda: passkey_login.begin_sign_in(PARTY, PHONE, NOW_S))
    assert result[0] == "too_many_tries"
