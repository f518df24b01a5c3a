"""Location of PostgreSQL's server programs: in Debian's folders, newest first, or on the PATH."""

from __future__ import annotations

import shutil
from pathlib import Path

DEBIAN = Path("/usr/lib/postgresql")


def find_binaries() -> Path | None:
    """Return the folder that contains `initdb`, `postgres` and `pg_ctl`, or None."""
    debian = sorted(DEBIAN.glob("*/bin"), key=lambda folder: -int(folder.parent.name))
    on_path = shutil.which("initdb")
    folders = [*debian, *([Path(on_path).resolve().parent] if on_path else [])]
    return next(
        (f for f in folders if all((f / p).exists() for p in ("initdb", "postgres", "pg_ctl"))),
        None,
    )
