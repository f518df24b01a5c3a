"""Sign-in and passphrase: what is stored, counted and logged, and what is refused."""

from __future__ import annotations

import logging
from collections.abc import Callable
from pathlib import Path
from typing import Any

import argon2
import pytest
from sqlalchemy import select, update

from tests.auth.conftest import KEY, WORDS
from tests.memory_database import rows_of
from webapp.auth import login, passphrase, sessions
from webapp.auth.errors import AccessError, WeakPassphrase
from webapp.auth.sessions import Browser
from webapp.db.engine import read_transaction, write_transaction
from webapp.db.tables import owner, sign_in, tally
from webapp.photos.folder import FolderFiles

NOW_S = 1_790_000_400
HERE = "192.0.2.1"
PHONE = Browser("a phone", HERE, KEY)
NEW = "nine loud copper kettles"
ANNA = WORDS["anna"]

pytestmark = pytest.mark.usefixtures("memory_app")


@pytest.fixture(autouse=True)
def journal(caplog: pytest.LogCaptureFixture) -> Callable[..., list[Any]]:
    """Return a function that returns the log entries: event, then the named values."""
    caplog.set_level(logging.INFO, logger="webapp")

    def entries(*names: str) -> list[tuple[Any, ...]]:
        return [(one.msg, *(vars(one).get(name) for name in names)) for one in caplog.records]

    return entries


def table(rows: Any, *columns: str) -> list[tuple[Any, ...]]:
    with read_transaction() as connection:
        return rows_of(connection, rows, *columns)


def attempts() -> list[str]:
    """Return the kinds of the counters in use."""
    return [key.partition("/")[0] for (key,) in table(tally, "key")]


def hash_of(owner_id: int) -> str | None:
    return dict(table(owner, "id", "passphrase"))[owner_id]


def refused(call: Callable[[], object]) -> tuple[str, str]:
    with pytest.raises(AccessError) as error:
        call()
    return error.value.code, error.value.detail


def change_meanwhile(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let another request change Anna's passphrase while this one checks it."""
    usual = passphrase.verify

    def verify(given: str, kept: str | None) -> bool:
        with write_transaction() as connection:
            connection.execute(update(owner).values(passphrase=owner.c.passphrase + "x"))
        return usual(given, kept)

    monkeypatch.setattr(passphrase, "verify", verify)


def remove_passphrases() -> None:
    with write_transaction() as connection:
        connection.execute(update(owner).values(passphrase=None))


def test_right_passphrase_signs_the_browser_in(journal: Callable[..., list[Any]]) -> None:
    before = hash_of(1)
    owner_id, token = login.sign_in(" ANNA", ANNA, PHONE, NOW_S)
    assert owner_id == 1
    columns = ("owner_id", "name", "address", "token_hash", "made_at", "confirmed_at")
    hashed = sessions.token_hash(token)
    assert table(sign_in, *columns) == [(1, "a phone", HERE, hashed, NOW_S, NOW_S)]
    assert hash_of(1) == before
    assert attempts() == []
    assert journal("owner", "address") == [("signed_in", 1, HERE)]


@pytest.mark.parametrize(
    ("name", "given", "known"), [("anna", "wrong", True), ("nobody", ANNA, False), ("", "", False)]
)
def test_wrong_name_or_passphrase_is_counted(
    journal: Callable[..., list[Any]], name: str, given: str, known: bool
) -> None:
    result = refused(lambda: login.sign_in(name, given, PHONE, NOW_S))
    assert result == ("wrong", "No owner here has this name and this passphrase.")
    assert attempts() == ["address", "both", "owner"]
    assert table(sign_in, "id") == []
    assert journal("address", "known") == [("sign_in_failed", HERE, known)]


def test_sign_in_waits_after_five_wrong_passphrases() -> None:
    codes = [refused(lambda: login.sign_in("anna", "wrong", PHONE, NOW_S))[0] for _ in range(6)]
    assert codes == ["wrong"] * 5 + ["too_many_tries"]
    assert refused(lambda: login.sign_in("anna", ANNA, PHONE, NOW_S))[0] == "too_many_tries"


def test_passphrase_changed_meanwhile_signs_nobody_in(
    monkeypatch: pytest.MonkeyPatch, journal: Callable[..., list[Any]]
) -> None:
    change_meanwhile(monkeypatch)
    assert refused(lambda: login.sign_in("anna", ANNA, PHONE, NOW_S))[0] == "wrong"
    assert table(sign_in, "id") == []
    assert attempts() == ["address", "both", "owner"]
    assert journal("known") == [("sign_in_failed", True)]


def test_hash_of_weaker_settings_is_renewed() -> None:
    weak = argon2.PasswordHasher(time_cost=1, memory_cost=8, parallelism=1, hash_len=8).hash(ANNA)
    with write_transaction() as connection:
        connection.execute(update(owner).where(owner.c.id == 1).values(passphrase=weak))
    login.sign_in("anna", ANNA, PHONE, NOW_S)
    assert hash_of(1) != weak
    assert passphrase.verify(ANNA, hash_of(1))


def test_new_passphrase_signs_all_devices_out(journal: Callable[..., list[Any]]) -> None:
    login.sign_in("anna", ANNA, PHONE, NOW_S)
    login.sign_in("bruno", WORDS["bruno"], PHONE, NOW_S)
    token = login.change_passphrase(1, None, ANNA, NEW, PHONE, NOW_S + 1)
    assert passphrase.verify(NEW, hash_of(1))
    columns = ("owner_id", "made_at", "ended_at", "ended_as", "confirmed_at")
    assert set(table(sign_in, *columns)) == {
        (1, NOW_S, NOW_S + 1, "passphrase", NOW_S),
        (1, NOW_S + 1, None, None, NOW_S + 1),
        (2, NOW_S, None, None, NOW_S),
    }
    with read_transaction() as connection:
        row = sessions.find(connection, token)
    assert row is not None
    assert row.ended_at is None
    assert attempts() == []
    assert journal("owner", "address")[-1] == ("passphrase_changed", 1, HERE)


def test_wrong_current_passphrase_changes_nothing(journal: Callable[..., list[Any]]) -> None:
    before = hash_of(1)
    result = refused(lambda: login.change_passphrase(1, None, "wrong", NEW, PHONE, NOW_S))
    assert result == ("wrong", "This is not the passphrase that was set.")
    assert hash_of(1) == before
    assert attempts() == ["devices"]
    assert journal("owner", "address") == [("passphrase_refused", 1, HERE)]


def test_weak_new_passphrase_is_no_attempt() -> None:
    for new in ("short", "annaanna anna"):
        with pytest.raises(WeakPassphrase):
            login.change_passphrase(1, None, ANNA, new, PHONE, NOW_S)
    assert attempts() == []


def test_first_passphrase_needs_no_current_one() -> None:
    remove_passphrases()
    login.change_passphrase(1, None, "", NEW, PHONE, NOW_S)
    assert passphrase.verify(NEW, hash_of(1))
    assert hash_of(2) is None
    assert attempts() == []


def test_confirmation_is_stored_for_its_sign_in(journal: Callable[..., list[Any]]) -> None:
    login.sign_in("anna", ANNA, PHONE, NOW_S)
    login.sign_in("anna", ANNA, PHONE, NOW_S)
    ids = [id_ for (id_,) in table(sign_in, "id")]
    login.confirm(1, ids[0], ANNA, "192.0.2.9", NOW_S + 5)
    assert set(table(sign_in, "id", "confirmed_at", "address")) == {
        (ids[0], NOW_S + 5, "192.0.2.9"),
        (ids[1], NOW_S, HERE),
    }
    assert attempts() == []
    assert journal("owner", "address")[-1] == ("passphrase_confirmed", 1, "192.0.2.9")
    for given in ("wrong", ""):
        assert refused(lambda given=given: login.confirm(1, ids[0], given, HERE, NOW_S))[0] == (
            "wrong"
        )


def test_devices_and_known_addresses_count_apart() -> None:
    login.sign_in("anna", ANNA, PHONE, NOW_S)
    ((id_,),) = table(sign_in, "id")
    refused(lambda: login.confirm(1, id_, "wrong", HERE, NOW_S))
    assert attempts() == ["device"]
    refused(lambda: login.sign_in("anna", "wrong", PHONE, NOW_S))
    assert attempts() == ["address", "both", "device"]


def test_change_during_a_check_refuses_it(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    change_meanwhile(monkeypatch)
    for call in (
        lambda: login.confirm(1, "", ANNA, HERE, NOW_S),
        lambda: login.change_passphrase(1, None, ANNA, NEW, PHONE, NOW_S),
        lambda: login.erase(1, None, ANNA, FolderFiles(tmp_path).delete_owner, HERE, NOW_S),
    ):
        with write_transaction() as connection:
            hashed = passphrase.rehash(ANNA)
            connection.execute(update(owner).where(owner.c.id == 1).values(passphrase=hashed))
            connection.execute(tally.delete())
        assert refused(call)[0] == "wrong"


def test_passphrase_set_meanwhile_refuses_a_first_one(monkeypatch: pytest.MonkeyPatch) -> None:
    remove_passphrases()
    usual = passphrase.rehash

    def rehash(given: str) -> str:
        with write_transaction() as connection:
            connection.execute(update(owner).values(passphrase="set meanwhile"))
        return usual(given)

    monkeypatch.setattr(passphrase, "rehash", rehash)
    assert refused(lambda: login.change_passphrase(1, None, "", NEW, PHONE, NOW_S))[0] == "wrong"
    assert hash_of(1) == "set meanwhile"
    assert attempts() == []


def test_erasing_needs_the_passphrase_and_is_logged(
    journal: Callable[..., list[Any]], tmp_path: Path
) -> None:
    (tmp_path / "1").mkdir()
    delete_photos = FolderFiles(tmp_path).delete_owner
    assert refused(lambda: login.erase(1, None, "wrong", delete_photos, HERE, NOW_S))[0] == "wrong"
    assert table(owner, "id") == [(1,), (2,)]
    login.erase(1, None, ANNA, delete_photos, HERE, NOW_S)
    assert table(owner, "id", "name") == [(2, "bruno")]
    assert list(tmp_path.iterdir()) == []
    assert journal("owner", "address")[-1] == ("book_erased", 1, HERE)


def test_erasing_the_last_owner_adds_a_default_one(tmp_path: Path) -> None:
    delete_photos = FolderFiles(tmp_path).delete_owner
    login.erase(1, None, ANNA, delete_photos, HERE, NOW_S)
    login.erase(2, None, WORDS["bruno"], delete_photos, HERE, NOW_S)
    with read_transaction() as connection:
        assert connection.scalars(select(owner.c.name)).all() == ["me"]
