"""The modules that the first page cannot do without, told to the browser at once.

A browser finds a module's imports only after it has read that module; the client's modules stand
six deep, and each step of that costs a phone a wait. `<link rel="modulepreload">` (HTML standard)
lets it read all of them side by side.
"""

from __future__ import annotations

import re
from pathlib import Path

FROM = re.compile(r"^(?:import|export) [^;]*?from '(\.[^']+\.js)'|^import '(\.[^']+\.js)'", re.M)
SCRIPT = b'<script type="module" src="/app.js">'


def reached(root: Path, start: Path) -> list[Path]:
    """Everything that the module imports as it loads, through however many others; start first."""
    found, waiting = [start], [start]
    while waiting:
        path = waiting.pop()
        for one, other in FROM.findall(path.read_text(encoding="utf-8")):
            target = (path.parent / (one or other)).resolve()
            if target not in found and target.is_relative_to(root):
                found.append(target)
                waiting.append(target)
    return found


def with_first_modules(path: Path, plain: bytes) -> bytes:
    """The first page names its modules ahead of its script; other files are left as they are."""
    if path.name != "index.html" or SCRIPT not in plain:
        return plain
    root = path.parent.resolve()
    names = [module.relative_to(root).as_posix() for module in reached(root, root / "app.js")]
    links = "".join(f'<link rel="modulepreload" href="/{name}">\n' for name in names)
    return plain.replace(SCRIPT, links.encode() + SCRIPT)
