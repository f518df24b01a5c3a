"""Number of Hypothesis examples: few in `make test`, many in `make test-all`."""

from __future__ import annotations

import os

WIDE = os.environ.get("SECONDNOSE_WIDE") == "1"


def examples(usual: int, wide: int) -> int:
    """Return the number of examples of a test that overrides the profile."""
    return wide if WIDE else usual
