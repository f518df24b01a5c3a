"""Claims on a palate to be learned, its document, and whose documents are kept."""

from __future__ import annotations

from sqlalchemy import Connection

from webapp.records.palate_documents import (
    Key,
    claim,
    find_document,
    keep_only,
    store_document,
)


def test_claim_expires_and_a_document_does_not(connection: Connection) -> None:
    key = Key(1, "", "one")
    assert claim(connection, key, 100)
    assert not claim(connection, key, 119)
    assert claim(connection, key, 120)
    assert find_document(connection, key) is None
    store_document(connection, key, "learned")
    assert find_document(connection, key) == "learned"
    assert not claim(connection, key, 10_000)
    newer = Key(key.owner_id, "", "two")
    assert find_document(connection, newer) is None
    assert claim(connection, newer, 100)
    store_document(connection, key, "late")
    assert find_document(connection, key) is None


def test_claim_that_is_given_up_is_free(connection: Connection) -> None:
    key = Key(1, "", "one")
    assert claim(connection, key, 100)
    store_document(connection, key, None)
    assert find_document(connection, key) is None
    assert claim(connection, key, 101)


def test_documents_of_people_who_left_are_deleted(connection: Connection) -> None:
    owner_id = 1
    keys = [Key(owner_id, person, "one") for person in ("", "ann", "ben")]
    for key in keys:
        claim(connection, key, 100)
        store_document(connection, key, f"of {key.person}")
    keep_only(connection, owner_id + 1, [])
    assert [find_document(connection, key) for key in keys] == ["of ", "of ann", "of ben"]
    keep_only(connection, owner_id, ["ann"])
    assert [find_document(connection, key) for key in keys] == ["of ", "of ann", None]
