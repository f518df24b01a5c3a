"""Parallel requests fit the palate once for each state of its inputs."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from threading import Barrier, Event
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from webapp import spec
from webapp.api import palate
from webapp.palate.use.report import palate_report, select_inputs

STYLE = spec.load("styles")["styles"][0]["style_id"]
ID = "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5"


def push(client: FlaskClient, fields: dict[str, Any], ms: int, kind: str = "tasting") -> None:
    clocks = dict.fromkeys(fields, f"{1790000000000 + ms}-0000-aaaaaaaa")
    change = {"kind": kind, "id": ID, "fields": fields, "clocks": clocks}
    answer = client.post(
        "/api/sync", json={"format": 1, "device": "aaaaaaaa", "cursor": 0, "changes": [change]}
    )
    assert answer.json["outcomes"][0]["outcome"] == "applied", answer.text


def test_parallel_requests_fit_the_palate_once(app: Flask, monkeypatch: pytest.MonkeyPatch) -> None:
    learn, calls = palate.palate_report, []
    together, asked = Barrier(4, timeout=60), Event()

    def counted(*given: Any) -> Any:
        calls.append(1)
        # Wait until the other requests have found no stored document.
        asked.wait(timeout=2)
        return learn(*given)

    def ask(_: int) -> bytes:
        together.wait()
        return app.test_client().get("/api/palate").data

    monkeypatch.setattr(palate, "palate_report", counted)
    with ThreadPoolExecutor(4) as pool:
        answers = set(pool.map(ask, range(4)))
    assert (len(answers), len(calls)) == (1, 1)


def test_changes_during_a_fit_share_the_next_one(
    app: Flask, monkeypatch: pytest.MonkeyPatch
) -> None:
    learn, calls, began, may_end = palate.palate_report, list[int](), Event(), Event()

    def slow_report(*given: Any) -> Any:
        calls.append(1)
        began.set()
        assert may_end.wait(timeout=60)
        return learn(*given)

    def ask() -> Any:
        return app.test_client().get("/api/palate").json

    monkeypatch.setattr(palate, "palate_report", slow_report)
    with ThreadPoolExecutor(4) as pool:
        first = pool.submit(ask)
        assert began.wait(timeout=60)
        later = []
        for liking in (3, 5, 7):
            push(app.test_client(), {"liking": liking}, liking)
            later.append(pool.submit(ask))
        may_end.set()
        assert first.result()["n_rated"] == 0
        assert [one.result()["n_rated"] for one in later] == [1, 1, 1]
    assert len(calls) == 2


def test_words_of_a_note_cause_no_fit(client: FlaskClient, fits: list[int]) -> None:
    push(client, {"liking": 7, "acidity": 6}, 1)
    tag = client.get("/api/palate").headers["ETag"]
    push(client, {"words": "a longer word"}, 2)
    again = client.get("/api/palate", headers={"If-None-Match": tag})
    assert (again.status_code, again.data) == (304, b"")
    assert client.get("/api/palate").status_code == 200
    assert len(fits) == 1


@pytest.mark.parametrize(
    ("kind", "fields"), [("tasting", {"oak": 3}), ("bottle", {"style": STYLE})]
)
def test_rated_values_cause_a_fit(
    client: FlaskClient, fits: list[int], kind: str, fields: dict[str, Any]
) -> None:
    tag = client.get("/api/palate").headers["ETag"]
    push(client, fields, 2, kind)
    moved = client.get("/api/palate", headers={"If-None-Match": tag})
    assert (moved.status_code, len(fits)) == (200, 2)


def test_known_tag_needs_no_fit_after_a_restart(
    make_app: Callable[..., Flask], fits: list[int]
) -> None:
    app = make_app()
    tag = app.test_client().get("/api/palate").headers["ETag"]
    app.extensions.pop("palates")
    again = app.test_client().get("/api/palate", headers={"If-None-Match": tag})
    assert (again.status_code, len(fits)) == (304, 1)


def test_report_reads_the_selected_fields_only(client: FlaskClient) -> None:
    records = client.get("/api/example").json["records"]
    tastings, bottles = (
        [{"id": one["id"], **one["fields"]} for one in records if one["kind"] == kind]
        for kind in ("tasting", "bottle")
    )
    styles, today = spec.load("styles")["styles"], date(2026, 11, 1)
    selected = select_inputs(tastings, bottles)
    assert len(selected[0]) >= 60
    assert palate_report(*selected, styles, today) == palate_report(
        tastings, bottles, styles, today
    )
