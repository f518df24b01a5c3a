"""The client's files, and `/sw.js`: the worker behind a list of those files."""

from __future__ import annotations

import gzip
import hashlib
import json
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from threading import Lock

import brotli
from flask import Blueprint, Response, current_app, request
from werkzeug.exceptions import MethodNotAllowed, NotFound
from werkzeug.security import safe_join

from webapp import spec
from webapp.api.first_modules import with_first_modules

blueprint = Blueprint("client", __name__)

MEDIA_TYPES = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".json": "application/json",
    ".webmanifest": "application/manifest+json",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".ico": "image/x-icon",
    ".webp": "image/webp",
    ".woff2": "font/woff2",
    ".wasm": "application/wasm",
    ".md": "text/plain; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
}
PACKED_ALREADY = frozenset({".png", ".webp", ".woff2", ".ico"})
# Of use to who refreshes or reads the sources, not to a phone.
NOT_NEEDED = frozenset({"package.json", "package-lock.json", "vendored.json", "tsconfig.json"})
NEEDED = frozenset(MEDIA_TYPES) - {".md", ".txt"}


# The closest packing takes seconds for the barcode reader's megabyte, while somebody waits.
BEST, LARGE = 11, 200_000
PACKERS: dict[str, Callable[[bytes], bytes]] = {
    "br": lambda plain: bytes(brotli.compress(plain, quality=BEST if len(plain) < LARGE else 5)),
    "gzip": lambda plain: gzip.compress(plain, 6, mtime=0),
}


@dataclass(frozen=True, slots=True)
class ClientFile:
    """One file as it is sent: its bytes and their hash; packed ones by encoding, once asked for."""

    changed_ns: int
    digest: str
    plain: bytes
    can_be_packed: bool
    packed: dict[str, bytes] = field(default_factory=dict)

    def encoded(self) -> tuple[str | None, bytes]:
        """The best encoding that this request takes, and the bytes in it."""
        takes = request.accept_encodings
        how = next((one for one in PACKERS if takes.quality(one) > 0), None)
        if how is None or not self.can_be_packed:
            return None, self.plain
        if how not in self.packed:
            self.packed[how] = PACKERS[how](self.plain)
        return how, self.packed[how]


_files: dict[Path, ClientFile] = {}
_lock = Lock()


def client_file(path: Path) -> ClientFile:
    """The file, read again only when it changed on disk."""
    changed_ns = path.stat().st_mtime_ns
    with _lock:
        held = _files.get(path)
    if held is not None and held.changed_ns == changed_ns:
        return held
    plain = with_first_modules(path, path.read_bytes())
    digest = hashlib.sha256(plain).hexdigest()[:20]
    made = ClientFile(changed_ns, digest, plain, path.suffix not in PACKED_ALREADY)
    with _lock:
        _files[path] = made
    return made


def needed_files(root: Path) -> list[Path]:
    """What a phone needs to work without the server, in a fixed order."""
    return sorted(
        path
        for path in root.rglob("*")
        if path.suffix in NEEDED
        and path.name not in NOT_NEEDED
        and path != root / "worker.js"
        and not any(
            part.startswith(".") or part == "node_modules" for part in path.relative_to(root).parts
        )
        and path.is_file()
    )


def worker_text(root: Path) -> str:
    """The service worker, behind a list `self.__PRECACHE` of `{url, revision}`."""
    entries = [
        {"url": "/" + path.relative_to(root).as_posix(), "revision": client_file(path).digest}
        for path in needed_files(root)
    ]
    listed = json.dumps(entries, separators=(",", ":"))
    version = hashlib.sha256(listed.encode()).hexdigest()[:12]
    worker = (root / "worker.js").read_text(encoding="utf-8")
    return f'self.__VERSION = "{version}";\nself.__PRECACHE = {listed};\n{worker}'


@blueprint.get("/sw.js")
def service_worker() -> Response:
    text = worker_text(spec.static_root())
    response = Response(text, mimetype="text/javascript")
    response.set_etag(hashlib.sha256(text.encode()).hexdigest()[:20], weak=True)
    response.headers["Cache-Control"] = "no-cache"
    response.make_conditional(request)
    return response


@blueprint.get("/")
@blueprint.get("/<path:name>")
def file(name: str = "index.html") -> Response:
    root = spec.static_root()
    _refuse_api(name)
    joined = None if name.endswith("/") or "\0" in name else safe_join(str(root), name)
    path = Path(joined) if joined is not None else None
    if path is None or path.suffix not in MEDIA_TYPES or not path.is_file():
        raise NotFound("There is no such page.")
    held = client_file(path)
    encoding, data = held.encoded()
    response = Response(data)
    if encoding is not None:
        response.headers["Content-Encoding"] = encoding
    response.headers["Content-Type"] = MEDIA_TYPES[path.suffix]
    response.headers["Cache-Control"] = "no-cache"
    response.headers["Vary"] = "Accept-Encoding"
    response.set_etag(held.digest, weak=True)
    response.make_conditional(request)
    return response


def _refuse_api(name: str) -> None:
    """Every path is a file's for GET; under api/ it is one that takes other methods, or none."""
    if not name.startswith("api/"):
        return
    allowed = set(current_app.url_map.bind("").allowed_methods(f"/{name}"))
    others = sorted(allowed - {"GET", "HEAD", "OPTIONS"})
    if others:
        raise MethodNotAllowed(valid_methods=[*others, "OPTIONS"])
    raise NotFound("There is no such route.")
