"""Processes of one server learn a palate once; each request here is a process of its own."""

from __future__ import annotations

import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier, Event
from typing import Any

import pytest
from flask import Flask

from webapp.api import palate
from webapp.auth.owners import set_current_owner
from webapp.db.engine import read_transaction, write_transaction
from webapp.records.palate_documents import (
    Key,
    claim,
    find_document,
    keep_only,
    store_document,
)

LATER_S = 1_800_000_000


@pytest.fixture(autouse=True)
def _forgetful(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let every request start with an empty cache, as in another process."""
    monkeypatch.setattr(palate, "_cached", lambda key: palate._Cached())


def ask(app: Flask) -> Any:
    return app.test_client().get("/api/palate")


def test_second_process_reads_the_learned_palate(any_app: Flask, fits: list[int]) -> None:
    first, second = ask(any_app), ask(any_app)
    assert first.status_code == second.status_code == 200
    assert (first.data, first.headers["ETag"]) == (second.data, second.headers["ETag"])
    assert len(fits) == 1


def test_process_waits_for_the_one_that_learns(
    any_app: Flask, monkeypatch: pytest.MonkeyPatch
) -> None:
    learn, calls, has_waited = palate.palate_report, list[int](), Event()
    together, pause = Barrier(3, timeout=60), time.sleep

    def slow_report(*given: Any) -> Any:
        calls.append(1)
        assert has_waited.wait(timeout=60)
        return learn(*given)

    def seen_pause(seconds: float) -> None:
        has_waited.set()
        pause(seconds)

    def ask_together(_: int) -> bytes:
        together.wait()
        data: bytes = ask(any_app).data
        return data

    monkeypatch.setattr(palate, "palate_report", slow_report)
    monkeypatch.setattr(palate.time, "sleep", seen_pause)
    with ThreadPoolExecutor(3) as pool:
        answers = set(pool.map(ask_together, range(3)))
    assert (len(answers), len(calls)) == (1, 1)


def test_failed_fit_gives_its_claim_up(
    app: Flask, fits: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*given: Any) -> Any:
        raise ValueError("no palate today")

    monkeypatch.setattr(app, "testing", False)
    with monkeypatch.context() as patch:
        patch.setattr(palate, "palate_report", broken)
        assert ask(app).status_code == 500
    monkeypatch.setattr(palate.time, "sleep", lambda _: pytest.fail("waits for nobody"))
    assert ask(app).status_code == 200
    assert len(fits) == 1


def test_full_disk_does_not_hide_the_palate(
    app: Flask, fits: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*given: Any) -> Any:
        raise palate.BUSY_ERRORS[0]("insert", {}, Exception("disk is full"))

    monkeypatch.setattr(palate.palate_documents, "claim", full)
    assert ask(app).json["n_rated"] == 0
    assert len(fits) == 1


def test_new_code_causes_a_fit(
    app: Flask, fits: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    before = ask(app).headers["ETag"]
    monkeypatch.setattr(palate, "_code_digest", lambda: "another version")
    assert ask(app).headers["ETag"] != before
    assert len(fits) == 2


@pytest.fixture
def in_app(any_app: Flask) -> Any:
    with any_app.app_context():
        set_current_owner(1)
        yield


def in_transaction(work: Callable[..., Any], *given: Any) -> Any:
    with write_transaction() as connection:
        return work(connection, *given)


@pytest.mark.usefixtures("in_app")
def test_claim_ends_with_the_document_or_by_itself() -> None:
    key = Key(1, "", "first")
    assert in_transaction(claim, key, LATER_S)
    assert not in_transaction(claim, key, LATER_S + 1)
    assert in_transaction(claim, key, LATER_S + 60)
    in_transaction(store_document, key, "{}")
    assert in_transaction(find_document, key) == "{}"
    assert not in_transaction(claim, key, LATER_S + 999)
    assert in_transaction(claim, Key(1, "", "second"), LATER_S)
    in_transaction(store_document, key, "late")
    assert in_transaction(find_document, key) is None


@pytest.mark.usefixtures("in_app")
def test_palate_of_a_person_who_withdrew_is_deleted() -> None:
    mine, ann, ben = (Key(1, person, "x") for person in ("", "ann", "ben"))
    for key in (mine, ann, ben):
        assert in_transaction(claim, key, LATER_S)
        in_transaction(store_document, key, "{}")
    in_transaction(keep_only, 1, {"ben"})
    with read_transaction() as connection:
        found = [find_document(connection, key) for key in (mine, ann, ben)]
    assert found == ["{}", None, "{}"]
