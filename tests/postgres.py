"""Where PostgreSQL's server programs lie: on the PATH, or in Debian's folders, the newest first."""

from __future__ import annotations

import shutil
from pathlib import Path

DEBIAN = Path("/usr/lib/postgresql")


def find_binaries() -> Path | None:
    """The folder that holds `initdb`, `postgres` and `pg_ctl`, or None."""
    debian = sorted(DEBIAN.glob("*/bin"), key=lambda folder: -int(folder.parent.name))
    on_path = shutil.which("initdb")
    folders = [*debian, *([Path(on_path).resolve().parent] if on_path else [])]
    return next(
        (f for f in folders if all((f / p).exists() for p in ("initdb", "postgres", "pg_ctl"))),
        None,
    )
