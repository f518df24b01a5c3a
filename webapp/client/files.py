"""Serves the client's files and `/sw.js`, the service worker with its list of files.

If the bundle is current, phones get its files, and a module's own address re-exports it from the
bundle.
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
from urllib.parse import quote

import brotli
from flask import Blueprint, Response, redirect, request
from flask.blueprints import BlueprintSetupState
from werkzeug.exceptions import NotFound
from werkzeug.routing import PathConverter
from werkzeug.security import safe_join
from werkzeug.wrappers import Response as WerkzeugResponse

from webapp import spec
from webapp.client.bundle import FOLDER, Bundle, current_bundle, is_source

blueprint = Blueprint("client", __name__)


class ClientFileConverter(PathConverter):
    """A path outside the API, whose unknown paths and wrong methods must be told as such."""

    regex = r"(?!api/)[^/].*?"


@blueprint.record_once
def _add_converter(state: BlueprintSetupState) -> None:
    state.app.url_map.converters["client_file"] = ClientFileConverter
    # A path with two slashes is no other path, to which a redirection would lead.
    state.app.url_map.merge_slashes = False


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
    ".gz": "application/gzip",
    ".md": "text/plain; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
}
COMPRESSED_SUFFIXES = frozenset({".png", ".webp", ".woff2", ".ico", ".gz"})
# Files for development only, and messages, which are precached as one file per language.
NOT_PRECACHED = re.compile(
    r"(^|/)(\.|node_modules/)|^service_worker\.js$|^vendor/workbox-|^words/|(^|/)"
    r"(package|package-lock|vendored|packed|next|tsconfig)\.json$"
)
# The label reader's program and model (.gz) are fetched when first wanted: static/label_photo.
PRECACHED_SUFFIXES = tuple(set(MEDIA_TYPES) - {".md", ".txt", ".gz"})
WORKBOX = ("core", "routing", "strategies", "precaching")
PAGE = "index.html"
BUNDLE_PAGE = f"{FOLDER}/{PAGE}"
# A page and its imports come within moments of each other.
CHECK_S = 1.0
# Without this, the browser finds the font only during layout and renders a fallback first.
ITALIC = "</vendor/fonts/vollkorn-latin-400-italic.woff2>; rel=preload; as=font; crossorigin"


# The best quality takes seconds for the barcode reader's megabyte, so large files use quality 5.
BEST_QUALITY, LARGE_BYTES = 11, 200_000
COMPRESSORS: dict[str, Callable[[bytes], bytes]] = {
    "br": lambda plain: bytes(
        brotli.compress(plain, quality=BEST_QUALITY if len(plain) < LARGE_BYTES else 5)
    ),
    "gzip": lambda plain: gzip.compress(plain, 6, mtime=0),
}


@dataclass(frozen=True, slots=True)
class ClientFile:
    """A file to send: its bytes and their hash; compressed forms are made on demand."""

    changed_ns: int
    digest: str
    plain: bytes
    compressible: bool
    compressed: dict[str, bytes] = field(default_factory=dict)

    def encoded(self) -> tuple[str | None, bytes]:
        """Return the best encoding that the request accepts, and the bytes in it."""
        accepted = request.accept_encodings
        encoding = next((one for one in COMPRESSORS if accepted.quality(one) > 0), None)
        if encoding is None or not self.compressible:
            return None, self.plain
        if encoding not in self.compressed:
            self.compressed[encoding] = COMPRESSORS[encoding](self.plain)
        return encoding, self.compressed[encoding]


_files: dict[Path, ClientFile] = {}
_lock = Lock()


def static_file(path: Path) -> ClientFile:
    """Return the file, read again only if it changed on disk."""
    compressible = path.suffix not in COMPRESSED_SUFFIXES
    return _cached(path, path.stat().st_mtime_ns, path.read_bytes, compressible)


def locale_file(folder: Path) -> ClientFile:
    """Return all messages of one language, which are in one file per screen, as one file."""
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
    built = _build(read(), changed_ns, compressible)
    with _lock:
        _files[path] = built
    return built


def _build(plain: bytes, changed_ns: int = 0, compressible: bool = False) -> ClientFile:
    return ClientFile(changed_ns, hashlib.sha256(plain).hexdigest()[:20], plain, compressible)


def precache_names(root: Path, bundle: Bundle | None = None) -> list[str]:
    """Return the names of the files that a phone needs offline, in a fixed order.

    With a bundle, its files and no sources; without, only sources.
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
    """Return the service worker, after the list `self.__PRECACHE` of `{url, revision}`.

    Its library is included, because each further script would delay the start of the worker.
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


@blueprint.get("/t")
@blueprint.get("/t/<code>")
def short_address(code: str = "") -> WerkzeugResponse:
    """Lead from the address that is short enough to type to the field for the code of a table."""
    return redirect(f"/#/guest/{quote(code, safe='')}")


@blueprint.get("/")
@blueprint.get("/<client_file:name>")
def file(name: str = PAGE) -> Response:
    root = spec.static_root()
    bundle = current_bundle(root, CHECK_S) if is_source(name) else None
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
        # Send the links as headers, not in the page: a first visit needs other links than the
        # service worker's copy of the page, and each would delay the other's first paint.
        is_visit = request.headers.get("Sec-Fetch-Dest") == "document"
        # No Vary, which would hide the service worker's copy: a wrong hint costs one small file.
        response.headers["Link"] = _preload_links(bundle, root) if is_visit else ITALIC
    response.set_etag(found.digest, weak=True)
    response.make_conditional(request)
    return response


def _resolve(root: Path, name: str, bundle: Bundle | None) -> ClientFile:
    """Return the file to send for a name. Raises NotFound."""
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
        # The name is invalid for the file system, so there is no such file.
        pass
    raise NotFound("There is no such page.")


def _preload_links(bundle: Bundle, root: Path) -> str:
    """Return the files that a first visit preloads, as RFC 8288 links."""
    modules = [f"</{name}>; rel=modulepreload; fetchpriority=low" for name in bundle.preload]
    messages = f"</words/{_language(root)}.json>; rel=preload; as=fetch; crossorigin"
    return ", ".join([*modules, f"{messages}; fetchpriority=low"])


def _language(root: Path) -> str:
    """Return the language whose messages the phone will load (`loadMessages()` in i18n.js)."""
    known = {path.name for path in root.glob("words/*/")}
    asked = [tag[:2] for tag in request.accept_languages.values()]
    return next((tag for tag in asked if tag in known), "en")
