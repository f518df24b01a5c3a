"""The client as phones get it: a dozen packed files instead of two hundred modules.

`make pack` makes `static/packed/` of the sources in `static/`. `packed.json` there holds the hash
of every source: while one of them differs (somebody is at work on it), the sources themselves are
served, so that nobody ever looks at a client that is older than what stands beside it.
"""

from __future__ import annotations

import hashlib
import json
import re
from dataclasses import dataclass
from pathlib import Path

FOLDER = "packed"
ENDINGS = (".js", ".css", ".html")
# The worker and its library stay as they are, and types are for whoever writes modules.
NOT_BUNDLED = re.compile(r"^service_worker\.js$|^vendor/(workbox-.*\.js|.*\.d\.ts)$")


@dataclass(frozen=True, slots=True)
class Bundle:
    """What stands at the address of each module, a line that leads to the packed file with it;
    and the files that the first screen needs after the one that its page names."""

    module_map: dict[str, str]
    preload: list[str]


def is_source(name: str) -> bool:
    """Whether a pack is made of the file with this name under the root."""
    if name.startswith(f"{FOLDER}/") or "node_modules/" in name or NOT_BUNDLED.search(name):
        return False
    return name.endswith(ENDINGS) or (name.startswith("spec/") and name.endswith(".json"))


def sources(root: Path) -> dict[str, Path]:
    """The files that a pack is made of, by their name under the root."""
    named = {path.relative_to(root).as_posix(): path for path in root.rglob("*.*")}
    return {name: path for name, path in named.items() if is_source(name)}


def matches(listed: dict[str, str], here: dict[str, Path]) -> bool:
    """Whether these hashes are those of these files, of all and of no others."""
    return here.keys() == listed.keys() and all(
        hashlib.sha256(path.read_bytes()).hexdigest().startswith(listed[name])
        for name, path in here.items()
    )


_seen: dict[Path, tuple[dict[str, int], Bundle | None]] = {}


def current_bundle(root: Path) -> Bundle | None:
    """The pack of the sources as they are now; none where there is none, or one of other sources.

    Hashes are taken again only when a file has changed.
    """
    index = root / FOLDER / "packed.json"
    stamps = {name: path.stat().st_mtime_ns for name, path in sources(root).items()}
    stamps[FOLDER] = index.stat().st_mtime_ns if index.is_file() else 0
    seen = _seen.get(root)
    if seen is not None and seen[0] == stamps:
        return seen[1]
    bundle = _read(index, root) if stamps[FOLDER] else None
    _seen[root] = (stamps, bundle)
    return bundle


def _read(index: Path, root: Path) -> Bundle | None:
    if not matches(json.loads(index.read_text(encoding="utf-8")), sources(root)):
        return None
    module_map, after = (
        json.loads((root / FOLDER / name).read_text(encoding="utf-8"))
        for name in ("doors.json", "next.json")
    )
    return Bundle(module_map, after)
