"""The client's files, and `/sw.js`: the worker behind a list of those files.

Where the pack is of these sources, a phone gets packed files; a module's own address then leads to
the packed file that holds it.
"""

from __future__ import annotations

import gzip
import hashlib
import json
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath
from threading import Lock

import brotli
from flask import Blueprint, Response, current_app, request
from werkzeug.exceptions import MethodNotAllowed, NotFound
from werkzeug.security import safe_join

from webapp import spec
from webapp.client.bundle import FOLDER, Bundle, current_bundle, is_source

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
COMPRESSED_SUFFIXES = frozenset({".png", ".webp", ".woff2", ".ico"})
# Of use to who refreshes or reads the sources, not to a phone; words go as one file a language.
NOT_PRECACHED = re.compile(
    r"(^|/)(\.|node_modules/)|^service_worker\.js$|^vendor/workbox-|^words/|(^|/)"
    r"(package|package-lock|vendored|packed|next|tsconfig)\.json$"
)
PRECACHED_SUFFIXES = tuple(set(MEDIA_TYPES) - {".md", ".txt"})
WORKBOX = ("core", "routing", "strategies", "precaching")
PAGE = "index.html"
BUNDLE_PAGE = f"{FOLDER}/{PAGE}"
# Found out about by the layout alone otherwise, which is then done with a stand-in first.
ITALIC = "</vendor/fonts/vollkorn-latin-400-italic.woff2>; rel=preload; as=font; crossorigin"


# The closest packing takes seconds for the barcode reader's megabyte, while somebody waits.
BEST, LARGE = 11, 200_000
COMPRESSORS: dict[str, Callable[[bytes], bytes]] = {
    "br": lambda plain: bytes(brotli.compress(plain, quality=BEST if len(plain) < LARGE else 5)),
    "gzip": lambda plain: gzip.compress(plain, 6, mtime=0),
}


@dataclass(frozen=True, slots=True)
class ClientFile:
    """One file as it is sent: its bytes and their hash; packed ones by encoding, once asked for."""

    changed_ns: int
    digest: str
    plain: bytes
    compressible: bool
    compressed: dict[str, bytes] = field(default_factory=dict)

    def encoded(self) -> tuple[str | None, bytes]:
        """The best encoding that this request takes, and the bytes in it."""
        takes = request.accept_encodings
        how = next((one for one in COMPRESSORS if takes.quality(one) > 0), None)
        if how is None or not self.compressible:
            return None, self.plain
        if how not in self.compressed:
            self.compressed[how] = COMPRESSORS[how](self.plain)
        return how, self.compressed[how]


_files: dict[Path, ClientFile] = {}
_lock = Lock()


def static_file(path: Path) -> ClientFile:
    """The file, read again only when it changed on disk."""
    compressible = path.suffix not in COMPRESSED_SUFFIXES
    return _cached(path, path.stat().st_mtime_ns, path.read_bytes, compressible)


def locale_file(folder: Path) -> ClientFile:
    """All the words of one language, which lie in one file a room, as one."""
    files = sorted(folder.glob("*.json"))

    def joined() -> bytes:
        words: dict[str, str] = {}
        for path in files:
            words |= json.loads(path.read_text(encoding="utf-8"))
        return json.dumps(words, ensure_ascii=False, separators=(",", ":")).encode()

    return _cached(folder, max((path.stat().st_mtime_ns for path in files), default=0), joined)


def _cached(
    path: Path, changed_ns: int, read: Callable[[], bytes], compressible: bool = True
) -> ClientFile:
    with _lock:
        found = _files.get(path)
    if found is not None and found.changed_ns == changed_ns:
        return found
    made = _build(read(), changed_ns, compressible)
    with _lock:
        _files[path] = made
    return made


def _build(plain: bytes, changed_ns: int = 0, compressible: bool = False) -> ClientFile:
    return ClientFile(changed_ns, hashlib.sha256(plain).hexdigest()[:20], plain, compressible)


def precache_names(root: Path, bundle: Bundle | None = None) -> list[str]:
    """What a phone needs to work without the server, in a fixed order.

    With a pack, that and no sources; without, the sources and nothing of a pack.
    """
    names = [path.relative_to(root).as_posix() for path in sorted(root.rglob("*.*"))]
    needed = [
        name
        for name in names
        if name.endswith(PRECACHED_SUFFIXES)
        and not NOT_PRECACHED.search(name)
        and not (name.startswith(f"{FOLDER}/") if bundle is None else is_source(name))
    ]
    if bundle is not None:
        needed = [PAGE if name == BUNDLE_PAGE else name for name in needed]
    return needed + [f"words/{path.name}.json" for path in sorted(root.glob("words/*/"))]


def service_worker_source(root: Path) -> str:
    """The service worker, behind a list `self.__PRECACHE` of `{url, revision}` and its library.

    One script, because a phone that starts the worker waits for each further one.
    """
    bundle = current_bundle(root)
    entries = [
        {"url": f"/{name}", "revision": _resolve(root, name, bundle).digest}
        for name in precache_names(root, bundle)
    ]
    listed = json.dumps(entries, separators=(",", ":"))
    version = hashlib.sha256(listed.encode()).hexdigest()[:12]
    parts = [*(f"vendor/workbox-{part}.js" for part in WORKBOX), "service_worker.js"]
    scripts = "\n".join((root / name).read_text(encoding="utf-8") for name in parts)
    return f'self.__VERSION = "{version}";\nself.__PRECACHE = {listed};\n{scripts}'


@blueprint.get("/sw.js")
def service_worker() -> Response:
    text = service_worker_source(spec.static_root())
    response = Response(text, mimetype="text/javascript")
    response.set_etag(hashlib.sha256(text.encode()).hexdigest()[:20], weak=True)
    response.headers["Cache-Control"] = "no-cache"
    response.make_conditional(request)
    return response


@blueprint.get("/")
@blueprint.get("/<path:name>")
def file(name: str = PAGE) -> Response:
    _reject_api(name)
    root = spec.static_root()
    bundle = current_bundle(root) if is_source(name) else None
    found = _resolve(root, name, bundle)
    encoding, data = found.encoded()
    response = Response(data)
    if encoding is not None:
        response.headers["Content-Encoding"] = encoding
    response.headers["Content-Type"] = MEDIA_TYPES[PurePosixPath(name).suffix]
    response.headers["Cache-Control"] = "no-cache"
    response.headers["Vary"] = "Accept-Encoding"
    if bundle is not None and name == PAGE:
        response.vary.add("Sec-Fetch-Dest")
        # Not in the page itself: what a first visit is told would only hold up the first paint
        # where all is on the phone, and what the worker's copy is told would hold up a first visit.
        is_visit = request.headers.get("Sec-Fetch-Dest") == "document"
        response.headers["Link"] = _preload_links(bundle) if is_visit else ITALIC
    response.set_etag(found.digest, weak=True)
    response.make_conditional(request)
    return response


def _resolve(root: Path, name: str, bundle: Bundle | None) -> ClientFile:
    """What is sent under this name. Raises NotFound."""
    if bundle is not None and name in bundle.module_map:
        return _build(bundle.module_map[name].encode())
    if bundle is not None and name == PAGE:
        name = BUNDLE_PAGE
    joined = None if name.endswith("/") or "\0" in name else safe_join(str(root), name)
    path = Path(joined) if joined is not None else None
    if path is None or path.suffix not in MEDIA_TYPES:
        raise NotFound("There is no such page.")
    try:
        if path.parent == root / "words" and path.with_suffix("").is_dir():
            return locale_file(path.with_suffix(""))
        if path.is_file():
            return static_file(path)
    except (OSError, ValueError):
        # A name that no file system would take is no file's.
        pass
    raise NotFound("There is no such page.")


def _preload_links(bundle: Bundle) -> str:
    """The files that a first visit fetches beside its page, as RFC 8288 links."""
    return ", ".join(f"</{name}>; rel=modulepreload; fetchpriority=low" for name in bundle.preload)


def _reject_api(name: str) -> None:
    """Every path is a file's for GET; under api/ it is one that takes other methods, or none."""
    if not name.startswith("api/"):
        return
    allowed = set(current_app.url_map.bind("").allowed_methods(f"/{name}"))
    others = sorted(allowed - {"GET", "HEAD", "OPTIONS"})
    if others:
        raise MethodNotAllowed(valid_methods=[*others, "OPTIONS"])
    raise NotFound("There is no such route.")
