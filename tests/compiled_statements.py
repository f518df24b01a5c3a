"""SQL that SQLAlchemy has compiled, kept for all apps that the tests make.

Each app has an engine of its own, which would compile each statement again.
"""

from __future__ import annotations

from typing import Any

from flask import Flask

from webapp.db.engine import db


class SharedCache(dict[Any, Any]):
    """Compiled statements of all engines of one database system, which compile alike."""

    def get(self, key: tuple[Any, ...], default: Any = None) -> Any:
        # The first part is the dialect, which is another object in each engine.
        return super().get(key[1:], default)

    def __setitem__(self, key: tuple[Any, ...], value: Any) -> None:
        super().__setitem__(key[1:], value)


_caches: dict[str, SharedCache] = {}


def compile_statements_once(app: Flask) -> None:
    """Let the app share compiled statements with the others of its database system."""
    with app.app_context():
        engine = db.engine
        cache = _caches.setdefault(engine.dialect.name, SharedCache())
        engine.update_execution_options(compiled_cache=cache)
