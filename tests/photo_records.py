"""Records of photos, without which the server rejects an upload."""

from __future__ import annotations

from typing import Any

from flask.testing import FlaskClient

CLOCK_MS = 1_790_000_000_000


def push_photo(client: FlaskClient, id_: str, *, deleted_ms: int | None = None, at: int = 0) -> Any:
    """Send a photo's record, or its deletion; return the JSON of the response."""
    change: dict[str, Any] = {"kind": "photo", "id": id_, "fields": {}, "clocks": {}}
    if deleted_ms is None:
        change["fields"] = {"media_type": "image/jpeg"}
        change["clocks"] = {"media_type": f"{CLOCK_MS + at}-0000-aaaaaaaa"}
    else:
        change |= {"deleted": True, "deleted_clock": f"{deleted_ms}-0000-aaaaaaaa"}
    body = {"format": 1, "device": "aaaaaaaa", "cursor": 0, "changes": [change]}
    answer = client.post("/api/sync", json=body)
    assert answer.status_code == 200, answer.text
    assert answer.json["outcomes"][0]["outcome"] in ("applied", "duplicate"), answer.text
    return answer.json
