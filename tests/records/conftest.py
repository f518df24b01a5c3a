"""Fixtures of the records' tests."""

from __future__ import annotations

from tests.memory_database import connection, memory_engine  # noqa: F401
