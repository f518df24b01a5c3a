"""Number of database rows that an empty sync writes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sqlalchemy import event

from webapp import create_app
from webapp.db.engine import db


def rows_touched_by_an_empty_sync(folder: Path) -> int:
    """Count the rows written by an empty sync of a phone that has synced before."""
    app = create_app({"DATABASE_URL": f"sqlite:///{folder / 'rows.sqlite'}", "UPGRADE": True})
    client, touched = app.test_client(), []
    body: dict[str, Any] = {"format": 1, "device": "benchdevice1", "cursor": 0}
    for _ in range(2):
        answer = client.post("/api/sync", json=body).json
        body |= {name: answer[name] for name in ("epoch", "token", "cursor")}
    with app.app_context():

        @event.listens_for(db.engine, "after_cursor_execute")
        def note(_c: Any, cursor: Any, statement: str, *_: Any) -> None:
            if statement.split(maxsplit=1)[0].upper() in ("INSERT", "UPDATE", "DELETE"):
                touched.append(cursor.rowcount)

        assert client.post("/api/sync", json=body).status_code == 200
        db.engine.dispose()
    return sum(touched)
