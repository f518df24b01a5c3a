"""A few of the hostile cases in every test run, more in `make test-all`."""

from __future__ import annotations

import pytest
from flask import Flask

from tests.fuzz.running import TARGETS, Target, run
from tests.fuzz.stateful import walk

CASES = {"sync bodies": 600, "book archives": 300, "pictures": 600}
MANY = {"sync bodies": 10_000, "book archives": 4_000, "pictures": 8_000}


@pytest.mark.parametrize("target", TARGETS, ids=lambda target: target.name)
def test_random_requests_get_valid_responses(target: Target) -> None:
    run(target, CASES[target.name])


def test_api_link_walks_hold_the_invariants(app: Flask) -> None:
    walk(app, walks=6, steps=6)


@pytest.mark.extended
@pytest.mark.parametrize("target", TARGETS, ids=lambda target: target.name)
def test_many_random_requests_get_valid_responses(target: Target) -> None:
    run(target, MANY[target.name])


@pytest.mark.extended
def test_long_api_link_walks_hold_the_invariants(app: Flask) -> None:
    walk(app, walks=60, steps=12)
