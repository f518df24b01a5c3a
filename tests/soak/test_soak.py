"""A few seconds of the soak with every test run; `python -m tests.soak` lasts longer."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.soak.guests import live_together
from tests.soak.houses import postgres_house, sqlite_house

SECONDS = 6


@pytest.mark.postgres
def test_fifty_owners_at_once_lose_nothing_on_postgresql(tmp_path: Path) -> None:
    with postgres_house(tmp_path, owners=50) as house:
        total = live_together(house, SECONDS)
    assert total.faults == []
    assert total.changes > 50


def test_no_locked_database_reaches_a_phone_on_sqlite(tmp_path: Path) -> None:
    with sqlite_house(tmp_path, owners=8) as house:
        total = live_together(house, SECONDS)
    assert total.faults == []
    assert total.changes > 8
