"""Free attempts and delays of each throttle, and the rate limit within a window."""

from __future__ import annotations

from flask import Flask

from tests.auth.test_limits import NOW_S, spent
from webapp.auth import throttle
from webapp.auth.rate_limit import RateLimiter
from webapp.db.engine import write_transaction


def test_each_throttle_has_its_own_free_attempts_and_delays(sqlite_app: Flask) -> None:
    with sqlite_app.app_context(), write_transaction() as connection:
        brakes = throttle.passphrase_throttles(connection, "anna", 1, "192.0.2.1", NOW_S)
    assert [(one.free, one.longest_s) for one in brakes] == [(20, 900), (5, 900), (20, 60)]


def test_rate_limit_is_full_within_a_window(app: Flask) -> None:
    with app.app_context():
        assert spent(RateLimiter(200), NOW_S + 5) == 200
