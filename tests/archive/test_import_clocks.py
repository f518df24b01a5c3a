"""An archive from a phone whose clock was ahead is imported whole, with clocks of now."""

from __future__ import annotations

import io
import json
import time
import zipfile
from typing import Any

from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import select

from tests.archive.test_roundtrip import BOTTLE, ID, ZIP, book_of
from webapp.archive.restamp import new_clocks
from webapp.db.engine import read_transaction
from webapp.db.tables import owner
from webapp.sync.hlc import MAX_CLOCK_AHEAD_MS

FAR_MS = 7_258_118_399_999


def at(ms: int, count: int = 0) -> str:
    return f"{ms:013d}-{count:04x}-aaaaaaaa"


def bottle(clock: str, name: str, **parts: Any) -> dict[str, Any]:
    return {"id": BOTTLE, "fields": {"name": name}, "clocks": {"name": clock}, **parts}


def bring(client: FlaskClient, bottle: dict[str, Any], *revisions: tuple[str, str]) -> Any:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("book.json", '{"format":1}')
        archive.writestr("bottle.jsonl", json.dumps(bottle))
        kept = {"kind": "bottle", "id": BOTTLE, "field": "name"}
        lines = [json.dumps({**kept, "value": value, "clock": at}) for value, at in revisions]
        archive.writestr("revisions.jsonl", "\n".join(lines))
    answer = client.post("/api/import", data=out.getvalue(), headers=ZIP)
    assert answer.status_code == 200, answer.text
    return answer.json


def sync(client: FlaskClient, *changes: dict[str, Any]) -> Any:
    body = {"format": 1, "device": "aaaaaaaa", "cursor": 0, "changes": changes}
    return client.post("/api/sync", json=body).json


def latest_ms(app: Flask) -> int:
    with app.app_context(), read_transaction() as connection:
        return int(connection.scalars(select(owner.c.max_clock_ms)).one())


def test_import_sets_no_clock_of_an_owner_ahead(any_app: Flask) -> None:
    client = any_app.test_client()
    assert bring(client, bottle(at(FAR_MS), "from afar"))["records"] == 1
    assert abs(latest_ms(any_app) - time.time() * 1000) < MAX_CLOCK_AHEAD_MS
    ahead = {"kind": "bottle", **bottle(at(FAR_MS // 2 + 10**12), "later"), "id": ID}
    assert [one["outcome"] for one in sync(client, ahead)["outcomes"]] == ["restamp"]
    now_ms = time.time_ns() // 1_000_000 + 1000
    sync(client, {"kind": "bottle", **bottle(at(now_ms), "edited")})
    assert [one["fields"] for one in sync(client)["changes"]] == [{"name": "edited"}]


def test_import_of_clocks_ahead_loses_no_value(any_app: Flask) -> None:
    client = any_app.test_client()
    earlier = [("first", at(FAR_MS - 2)), ("second", at(FAR_MS - 1))]
    marked = {"deleted": True, "deleted_clock": at(FAR_MS, 1)}
    counts = bring(client, bottle(at(FAR_MS), "third", **marked), *earlier)
    assert (counts["records"], counts["revisions"]) == (1, 2)
    (stored,) = sync(client)["changes"]
    assert (stored["fields"]["name"], stored["deleted"]) == ("third", True)
    kept = client.get(f"/api/records/bottle/{BOTTLE}/revisions").json["revisions"]
    assert [one["value"] for one in kept] == ["second", "first"]
    clocks = [one["clock"] for one in reversed(kept)]
    clocks += [stored["clocks"]["name"], stored["deleted_clock"]]
    assert clocks == sorted(set(clocks))
    before = book_of(any_app)
    counts = bring(client, bottle(at(FAR_MS), "third", **marked), *earlier)
    assert (counts["records"], counts["revisions"]) == (0, 0)
    assert book_of(any_app) == before


def test_second_import_of_clocks_ahead_keeps_an_edit(any_app: Flask) -> None:
    client = any_app.test_client()
    marked = {"deleted": True, "deleted_clock": at(FAR_MS, 1)}
    bring(client, bottle(at(FAR_MS), "from afar", **marked))
    restored = {"deleted": False, "deleted_clock": at(latest_ms(any_app) + 1)}
    edited = bottle(at(latest_ms(any_app) + 1), "edited", **restored)
    assert sync(client, {"kind": "bottle", **edited})["outcomes"][0]["outcome"] == "applied"
    before = book_of(any_app)
    assert bring(client, bottle(at(FAR_MS), "from afar", **marked))["records"] == 0
    assert book_of(any_app) == before


def test_value_of_a_clock_ahead_follows_the_notebook(any_app: Flask) -> None:
    client = any_app.test_client()
    soon_ms = time.time_ns() // 1_000_000 + MAX_CLOCK_AHEAD_MS // 2
    sync(client, {"kind": "bottle", **bottle(at(soon_ms), "here")})
    bring(client, bottle(at(FAR_MS), "later"))
    assert [one["fields"] for one in sync(client)["changes"]] == [{"name": "later"}]


def test_new_clocks_follow_those_that_sync_accepts() -> None:
    now_ms, limit_ms = 1_790_000_000_000, 1_790_000_000_000 + MAX_CLOCK_AHEAD_MS
    ahead = [at(limit_ms + 1, count) for count in range(0x10000)] + [at(FAR_MS)]
    new = new_clocks([*ahead, at(now_ms - 5), at(limit_ms)], now_ms, 0)
    assert [one for one in (*ahead, at(now_ms - 5), at(limit_ms)) if one in new] == ahead
    assert [new[one] for one in ahead] == sorted({new[one] for one in ahead})
    assert new[ahead[0]] == at(limit_ms + 1)
    assert new[at(FAR_MS)] == at(limit_ms + 2)
    assert not new_clocks(ahead, now_ms, FAR_MS)
