"""Fixtures that several tests of the API share."""

from __future__ import annotations

from typing import Any

import pytest

from webapp.api import palate


@pytest.fixture
def fits(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Return a list that grows by one entry at each fit."""
    learn, calls = palate.palate_report, list[int]()

    def counted(*given: Any) -> Any:
        calls.append(1)
        return learn(*given)

    monkeypatch.setattr(palate, "palate_report", counted)
    return calls
