"""`secondnose serve` that kills itself once during a push, like a power failure.

The file named by DIE_AT contains the point: "before_commit" or "after_commit".
"""

from __future__ import annotations

import os
import signal
from collections.abc import Callable
from pathlib import Path
from typing import Any

from webapp import cli
from webapp.api import sync as sync_view
from webapp.sync import service


def dying(work: Callable[..., Any], point: str) -> Callable[..., Any]:
    marker = Path(os.environ["DIE_AT"])

    def run(*given: Any) -> Any:
        done = work(*given)
        if marker.exists() and marker.read_text() == point:
            marker.unlink()
            os.kill(os.getpid(), signal.SIGKILL)
        return done

    return run


if __name__ == "__main__":
    # After `apply_changes`, the rows are written and the transaction is still open.
    service.apply_changes = dying(service.apply_changes, "before_commit")
    sync_view.handle_sync = dying(sync_view.handle_sync, "after_commit")
    cli.main()
