"""The client's files, the precache list of the service worker, and the response headers."""

from __future__ import annotations

import hashlib
import json
import re
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from webapp import spec
from webapp.client.files import WORKBOX, precache_names, service_worker_source

ROOT = spec.static_root()
NAMES = precache_names(ROOT)


def precached(text: str) -> list[dict[str, str]]:
    found = re.search(r"^self\.__PRECACHE = (.*);$", text, re.MULTILINE)
    assert found is not None
    listed: list[dict[str, str]] = json.loads(found[1])
    return listed


def test_every_listed_file_is_served_as_hashed(client: FlaskClient) -> None:
    for entry in precached(client.get("/sw.js").text):
        served = client.get(entry["url"])
        assert served.status_code == 200, entry
        assert hashlib.sha256(served.data).hexdigest().startswith(entry["revision"]), entry


def test_every_module_that_a_module_imports_is_listed() -> None:
    listed = {ROOT / name for name in NAMES}
    for path in listed:
        if path.suffix == ".js" and "workbox" not in path.name:
            for target in re.findall(
                r"(?:from|import)\s*\(?['\"](\.[^'\"]+)['\"]", path.read_text("utf-8")
            ):
                wanted = (path.parent / target).resolve()
                assert wanted in listed, f"{path.relative_to(ROOT)} imports {target}"


def test_developer_files_are_not_listed() -> None:
    assert "index.html" in NAMES
    assert "app.js" in NAMES
    wrong = [
        name
        for name in NAMES
        if re.search(r"\.d\.ts$|\.map$|\.mjs$|package|README|^service_worker\.js$|^packed/", name)
    ]
    assert wrong == []


def test_messages_of_a_language_are_one_file(client: FlaskClient) -> None:
    assert [name for name in NAMES if name.startswith("words/")] == [
        "words/en.json",
        "words/fr.json",
        "words/it.json",
    ]
    words = client.get("/words/it.json").json
    for path in (ROOT / "words" / "it").iterdir():
        assert json.loads(path.read_text("utf-8")).items() <= words.items()
    assert client.get("/words/de.json").status_code == 404


def make_client(folder: Path, **files: str) -> Path:
    library = {f"vendor__workbox-{part}.js": f"// {part}" for part in WORKBOX}
    given = {"service_worker.js": "// worker", "index.html": "<html>", **library, **files}
    for name, text in given.items():
        path = folder / name.replace("__", "/")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    return folder


def test_changed_file_changes_the_service_worker(tmp_path: Path) -> None:
    root = make_client(tmp_path, **{"app.js": "one"})
    before = service_worker_source(root)
    assert service_worker_source(root) == before
    (root / "app.js").write_text("two, longer")
    assert service_worker_source(root) != before


def test_client_in_a_hidden_folder_is_listed_whole(tmp_path: Path) -> None:
    root = make_client(tmp_path / ".venv" / "static", **{"lib__ui.js": "x", ".hidden__a.js": "x"})
    urls = [entry["url"] for entry in precached(service_worker_source(root))]
    assert urls == ["/index.html", "/lib/ui.js"]


def test_service_worker_is_revalidated_and_not_resent(client: FlaskClient) -> None:
    first = client.get("/sw.js")
    assert first.headers["Cache-Control"] == "no-cache"
    assert first.mimetype == "text/javascript"
    again = client.get("/sw.js", headers={"If-None-Match": first.headers["ETag"]})
    assert (again.status_code, again.data) == (304, b"")


@pytest.mark.parametrize("encoding", ["gzip", "identity"])
def test_cached_file_is_answered_with_304(client: FlaskClient, encoding: str) -> None:
    first = client.get("/app.js", headers={"Accept-Encoding": encoding})
    asked = {"Accept-Encoding": encoding, "If-None-Match": first.headers["ETag"]}
    again = client.get("/app.js", headers=asked)
    assert (again.status_code, again.data) == (304, b"")


def test_first_page_is_the_client(client: FlaskClient) -> None:
    assert client.get("/").data == client.get("/index.html").data


@pytest.mark.parametrize(
    "path",
    [
        "/../pyproject.toml",
        "/%2e%2e/pyproject.toml",
        "/..%2fpyproject.toml",
        "/vendor/../../LICENSE",
        "/etc/passwd",
        "/spec",
        "/spec/",
        "/nowhere.js",
        "/app.js%00",
        "/app.js/",
        "/.git/HEAD",
        f"/{'a' * 300}.js",
        f"/words/{'a' * 300}.json",
        "/" + "a/" * 3_000 + "b.js",
        "/%ff%fe.js",
    ],
    ids=lambda path: path[:30],
)
def test_unlisted_files_are_not_served(client: FlaskClient, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code in (308, 404)
    assert b"[project]" not in answer.data


@pytest.mark.parametrize(
    "path", ["/", "/sw.js", "/app.js", "/api/palate", "/api/nowhere", "/healthz"]
)
def test_every_response_has_the_security_headers(client: FlaskClient, path: str) -> None:
    headers = client.get(path).headers
    policy = dict(part.split(" ", 1) for part in headers["Content-Security-Policy"].split("; "))
    assert policy["default-src"] == policy["connect-src"] == "'self'"
    # The barcode reader needs WebAssembly; other scripts are allowed from the origin only.
    assert policy["script-src"] == "'self' 'wasm-unsafe-eval'"
    assert "'unsafe-" not in headers["Content-Security-Policy"]
    assert policy["frame-ancestors"] == "'none'"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cross-Origin-Opener-Policy"] == "same-origin"
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "camera=(self)" in headers["Permissions-Policy"]


@pytest.mark.parametrize(
    ("path", "media_type"),
    [
        ("/app.js", "text/javascript"),
        ("/styles/tokens.css", "text/css"),
        ("/manifest.webmanifest", "application/manifest+json"),
        ("/vendor/tesseract/core.wasm.gz", "application/gzip"),
    ],
)
def test_files_have_their_media_types(client: FlaskClient, path: str, media_type: str) -> None:
    assert client.get(path).mimetype == media_type


def test_installed_app_rotates_with_the_phone(client: FlaskClient) -> None:
    """WCAG 2.2 SC 1.3.4: the manifest does not require an orientation."""
    manifest = json.loads(client.get("/manifest.webmanifest").data)
    assert manifest.get("orientation", "any") == "any"


def test_page_complies_with_its_security_policy(client: FlaskClient) -> None:
    page: Any = client.get("/").text
    assert not re.search(r"<style|\sstyle=|\son\w+=|javascript:|https?://", page)
    assert all("src=" in tag for tag in re.findall(r"<script[^>]*>", page))


def test_label_model_is_fetched_on_request_only(client: FlaskClient) -> None:
    """It is a megabyte, which few phones want, and is sent as it is stored."""
    assert b'.gz"' not in client.get("/sw.js").data
    answer = client.get("/vendor/tesseract/core.wasm.gz", headers={"Accept-Encoding": "br, gzip"})
    assert "Content-Encoding" not in answer.headers
    assert answer.data.startswith(b"\x1f\x8b")
