"""Requests for the palate that come together learn it once."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier, Event
from typing import Any

import pytest
from flask import Flask

from webapp.api import palate


def test_parallel_requests_fit_the_palate_once(app: Flask, monkeypatch: pytest.MonkeyPatch) -> None:
    learn, calls = palate.palate_report, []
    together, asked = Barrier(4, timeout=60), Event()

    def counted(*given: Any) -> Any:
        calls.append(1)
        # Until the others have looked for a kept document and found none.
        asked.wait(timeout=2)
        return learn(*given)

    def ask(_: int) -> bytes:
        together.wait()
        return app.test_client().get("/api/palate").data

    monkeypatch.setattr(palate, "palate_report", counted)
    with ThreadPoolExecutor(4) as pool:
        answers = set(pool.map(ask, range(4)))
    assert (len(answers), len(calls)) == (1, 1)
