"""The bounds of the cached palate documents."""

from __future__ import annotations

import pytest

from webapp.api import palate


def cached(*sizes: int) -> dict[tuple[int, str | None], palate._Cached]:
    return {(i, None): palate._Cached(text="x" * size) for i, size in enumerate(sizes)}


def test_palate_cache_is_bounded_in_bytes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(palate, "_MAX_CACHED_BYTES", 100)
    palates = cached(60, 30, 50, 20)
    palate._drop_oldest(palates)
    assert [owner for owner, _ in palates] == [1, 2, 3]


def test_palate_cache_is_bounded_in_documents(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(palate, "_MAX_CACHED", 2)
    palates = cached(1, 1, 1)
    palate._drop_oldest(palates)
    assert [owner for owner, _ in palates] == [1, 2]


def test_palate_cache_keeps_the_document_just_used(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(palate, "_MAX_CACHED_BYTES", 10)
    palates = cached(5, 500)
    palate._drop_oldest(palates)
    assert [owner for owner, _ in palates] == [1]
