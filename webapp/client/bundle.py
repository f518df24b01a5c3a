"""The bundle of the client: a dozen files instead of two hundred modules.

`make pack` builds `static/packed/` from the sources in `static/`. Its `packed.json` has the hash of
every source. If a source differs (during development), the sources are served instead, at most a
second later.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import time
from dataclasses import dataclass
from pathlib import Path

FOLDER = "packed"
ENDINGS = (".js", ".css", ".html")
# The service worker and its library are not bundled; type declarations are for development only.
NOT_BUNDLED = re.compile(r"^service_worker\.js$|^vendor/(workbox-.*\.js|.*\.d\.ts)$")


@dataclass(frozen=True, slots=True)
class Bundle:
    """A current bundle.

    `module_map`: for each module's address a line that re-exports it from its bundle file.
    `preload`: the files that the first screen needs after the one in its page.
    """

    module_map: dict[str, str]
    preload: list[str]


def is_source(name: str) -> bool:
    """Tell whether the bundle is made of the file with this name under the root."""
    if name.startswith(f"{FOLDER}/") or "node_modules/" in name or NOT_BUNDLED.search(name):
        return False
    return name.endswith(ENDINGS) or (name.startswith("spec/") and name.endswith(".json"))


def sources(root: Path) -> dict[str, Path]:
    """Return the files that the bundle is made of, by their name under the root."""
    return {name: root / name for name in _stamps(root)}


def _stamps(root: Path) -> dict[str, int]:
    """Return the modification times of these files in nanoseconds.

    Uses os.scandir, because every visit waits for this and pathlib takes several times as long.
    """
    found: dict[str, int] = {}
    folders = [""]
    while folders:
        prefix = folders.pop()
        with os.scandir(root / prefix) as entries:
            for entry in entries:
                name = prefix + entry.name
                if not entry.is_dir(follow_symlinks=False):
                    if is_source(name):
                        found[name] = entry.stat().st_mtime_ns
                elif name != FOLDER and entry.name != "node_modules":
                    folders.append(f"{name}/")
    return found


def matches(listed: dict[str, str], present: dict[str, Path]) -> bool:
    """Tell whether the hashes match exactly these files."""
    return present.keys() == listed.keys() and all(
        hashlib.sha256(path.read_bytes()).hexdigest().startswith(listed[name])
        for name, path in present.items()
    )


# The time of the check, the times of the files, and the bundle.
_checked: dict[Path, tuple[float, dict[str, int], Bundle | None]] = {}


def current_bundle(root: Path, checked_within_s: float = 0) -> Bundle | None:
    """Return the bundle if it was made of the present sources, else None.

    The times of all files are read, unless that was done within `checked_within_s`, because it
    takes longer than any other part of a request. Hashes are computed again only after a file has
    changed.
    """
    now = time.monotonic()
    cached = _checked.get(root)
    if cached is not None and now - cached[0] < checked_within_s:
        return cached[2]
    index = root / FOLDER / "packed.json"
    stamps = _stamps(root)
    stamps[FOLDER] = index.stat().st_mtime_ns if index.is_file() else 0
    if cached is not None and cached[1] == stamps:
        bundle = cached[2]
    else:
        bundle = _read(index, root) if stamps[FOLDER] else None
    _checked[root] = (now, stamps, bundle)
    return bundle


def _read(index: Path, root: Path) -> Bundle | None:
    if not matches(json.loads(index.read_text(encoding="utf-8")), sources(root)):
        return None
    module_map, preload = (
        json.loads((root / FOLDER / name).read_text(encoding="utf-8"))
        for name in ("module_map.json", "next.json")
    )
    return Bundle(module_map, preload)
