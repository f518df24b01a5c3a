"""The numbers of small fits stay as recorded; after an intended change, record them again."""

from __future__ import annotations

import json

import pytest

from tests.palate.record_fits import EXAMPLES, FILE, found

KEPT = json.loads(FILE.read_text(encoding="utf-8"))
# The posterior is rounded to five decimals, so the last digit may differ on another machine.
ROUNDING = 3e-5


@pytest.mark.parametrize("name", EXAMPLES)
def test_fit_has_the_recorded_numbers(name: str) -> None:
    fresh, kept = found(name), KEPT[name]
    assert fresh.keys() == kept.keys()
    for what, values in kept.items():
        assert fresh[what] == pytest.approx(values, rel=1e-5, abs=ROUNDING), what
