"""The production bundle: it matches the sources, and each module keeps its address."""

from __future__ import annotations

import gzip
import json
import re
import shutil
from pathlib import Path

import brotli
import pytest
from flask.testing import FlaskClient

from webapp import spec
from webapp.client import bundle
from webapp.client.bundle import current_bundle, sources
from webapp.client.files import precache_names, service_worker_source

ROOT = spec.static_root()
# Scripts of the first screen; their size is limited with Brotli compression.
FIRST_SCREEN = ("packed/start.js", "packed/first.js", "packed/pour.js")
MOST_BYTES = 64_100


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """Return a copy of the client that a test can change."""
    return Path(shutil.copytree(ROOT, tmp_path / "static"))


def test_bundle_matches_its_sources() -> None:
    payload = json.loads((ROOT / "packed" / "packed.json").read_text("utf-8"))
    here = sources(ROOT)
    assert payload.keys() ^ here.keys() == set(), "run `make pack`"
    assert bundle.matches(payload, here), "a source has changed since: run `make pack`"


def test_every_module_keeps_its_own_address(client: FlaskClient) -> None:
    ours = [name for name in sources(ROOT) if not name.startswith("vendor/")]
    modules = [name for name in ours if name.endswith(".js")]
    assert len(modules) > 100
    for name in modules:
        answer = client.get(f"/{name}")
        assert answer.status_code == 200
        for target in re.findall(r"from '([^']+)'", answer.text):
            assert (ROOT / "packed" / Path(target).name).is_file(), name


def test_page_loads_bundled_files_only(client: FlaskClient) -> None:
    page = client.get("/").text
    asked = re.findall(r'(?:"module" blocking="render" src|"stylesheet" href)="([^"]+)"', page)
    assert asked == ["/packed/first.css", "/packed/start.js"]
    assert all(client.get(name).status_code == 200 for name in asked)


def test_first_response_lists_preloads_not_yet_cached(client: FlaskClient) -> None:
    visit = client.get("/", headers={"Sec-Fetch-Dest": "document"})
    links = [link.split("; ") for link in visit.headers["Link"].split(", ")]
    items = [target.strip("<>") for target, *_ in links]
    assert {"/packed/first.js", "/packed/pour.js"} <= set(items)
    assert all({"rel=modulepreload", "as=fetch"} & set(rest) for _, *rest in links)
    assert all(client.get(name).status_code == 200 for name in items)
    # With the client cached, only the font is preloaded, which the layout discovers late.
    kept = client.get("/", headers={"Sec-Fetch-Dest": "empty"})
    [font] = re.findall(r"<([^>]+)>; rel=preload; as=font; crossorigin", kept.headers["Link"])
    assert client.get(font).mimetype == "font/woff2"
    assert font in client.get("/packed/first.css").text
    assert "Sec-Fetch-Dest" in kept.headers["Vary"]
    assert kept.data == visit.data
    assert kept.headers["ETag"] == visit.headers["ETag"]


@pytest.mark.parametrize(
    ("languages", "preloaded"),
    [
        ("", "en"),
        ("en-GB,fr;q=0.5", "en"),
        ("de,fr-CH;q=0.9,it;q=0.8", "fr"),
        ("it", "it"),
        ("ja,*;q=0.1", "en"),
    ],
)
def test_first_response_preloads_the_messages(
    client: FlaskClient, languages: str, preloaded: str
) -> None:
    asked = {"Sec-Fetch-Dest": "document", "Accept-Language": languages}
    visit = client.get("/", headers=asked)
    links = visit.headers["Link"]
    found = re.findall(r"</words/(\w+)\.json>; rel=preload; as=fetch; crossorigin", links)
    assert found == [preloaded]
    assert "Accept-Language" not in visit.headers.get("Vary", "")


def test_precache_holds_the_bundle_and_no_source() -> None:
    kept = precache_names(ROOT, current_bundle(ROOT))
    assert {"index.html", "packed/first.js", "words/en.json", "packed/module_map.json"} <= set(kept)
    assert [name for name in kept if name in sources(ROOT) and name != "index.html"] == []
    assert len(kept) < 60


def test_lazily_loaded_file_is_precached() -> None:
    kept = precache_names(ROOT, current_bundle(ROOT))
    for path in (ROOT / "packed").glob("*.js"):
        for target in re.findall(r'import\("/([^"]+)"\)', path.read_text("utf-8")):
            assert target in kept, f"{path.name} asks for {target}"


@pytest.mark.parametrize(
    "name", ["features/pour/quick_note.js", "styles/pour.css", "spec/hues.json", "index.html"]
)
def test_sources_are_served_while_one_differs(copy: Path, name: str) -> None:
    assert current_bundle(copy) is not None
    path = copy / name
    whole = path.read_bytes()
    path.write_bytes(whole + b"\n")
    assert current_bundle(copy) is None
    assert '"/app.js"' in service_worker_source(copy)
    assert '"/packed/' not in service_worker_source(copy)
    path.write_bytes(whole)
    assert current_bundle(copy) is not None


def test_bundle_is_checked_once_for_close_requests(copy: Path) -> None:
    assert current_bundle(copy) is not None
    (copy / "features" / "new.js").write_text("export const one = 1;\n")
    assert current_bundle(copy, checked_within_s=3600) is not None
    assert current_bundle(copy) is None
    assert current_bundle(copy, checked_within_s=3600) is None


def test_module_missing_in_the_bundle_is_a_difference(copy: Path) -> None:
    (copy / "features" / "new.js").write_text("export const one = 1;\n")
    assert current_bundle(copy) is None


def test_sources_are_served_without_a_bundle(copy: Path) -> None:
    shutil.rmtree(copy / "packed")
    assert current_bundle(copy) is None


def test_first_screen_script_size_is_limited() -> None:
    sizes = {name: len(brotli.compress((ROOT / name).read_bytes())) for name in FIRST_SCREEN}
    assert sum(sizes.values()) < MOST_BYTES, sizes


@pytest.mark.parametrize(
    ("takes", "encoding"),
    [("gzip, deflate, br, zstd", "br"), ("gzip", "gzip"), ("br;q=0, gzip", "gzip"), ("", None)],
)
def test_file_is_served_in_the_best_accepted_encoding(
    client: FlaskClient, takes: str, encoding: str | None
) -> None:
    answer = client.get("/packed/first.js", headers={"Accept-Encoding": takes})
    assert answer.headers.get("Content-Encoding") == encoding
    open_it = {"br": brotli.decompress, "gzip": gzip.decompress, None: bytes}[encoding]
    assert open_it(answer.data) == (ROOT / "packed" / "first.js").read_bytes()
    assert "Accept-Encoding" in answer.headers["Vary"]
