"""How widely Hypothesis searches: narrow in `make test`, wide in `make test-all`."""

from __future__ import annotations

import os

WIDE = os.environ.get("SECONDNOSE_WIDE") == "1"


def examples(usual: int, wide: int) -> int:
    """The number of examples of a test that needs another one than its profile gives."""
    return wide if WIDE else usual
