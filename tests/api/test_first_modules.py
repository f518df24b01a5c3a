"""What the first page tells the browser to read at once, and in which packing."""

from __future__ import annotations

import gzip
import re
from pathlib import Path

import brotli
import pytest
from flask.testing import FlaskClient

from webapp import spec
from webapp.api.first_modules import reached, with_first_modules

ROOT = spec.static_root()


def test_the_first_page_names_every_module_that_it_cannot_do_without() -> None:
    page = with_first_modules(ROOT / "index.html", (ROOT / "index.html").read_bytes()).decode()
    named = re.findall(r'<link rel="modulepreload" href="/([^"]+)">', page)
    assert named[0] == "app.js"
    assert len(named) == len(set(named)) > 10
    assert {"vendor/dexie.js", "book/tables.js"} <= set(named)
    # A room is fetched when one goes there, so it is not among them.
    assert not [name for name in named if name.endswith("/room.js")]
    assert page.index(named[-1]) < page.index('<script type="module"')


def test_modules_that_import_each_other_in_a_ring_are_named_once(tmp_path: Path) -> None:
    root = tmp_path.resolve()
    (root / "a.js").write_text("import { b } from './b.js';\nexport const a = 1;\n")
    (root / "b.js").write_text("import { a } from './a.js';\nexport {\n  c\n} from './c.js';\n")
    (root / "c.js").write_text("import '../outside.js';\nconst later = import('./d.js');\n")
    assert [path.name for path in reached(root, root / "a.js")] == ["a.js", "b.js", "c.js"]


@pytest.mark.parametrize(
    ("takes", "encoding"),
    [("gzip, deflate, br, zstd", "br"), ("gzip", "gzip"), ("br;q=0, gzip", "gzip"), ("", None)],
)
def test_a_file_comes_in_the_best_packing_that_the_browser_takes(
    client: FlaskClient, takes: str, encoding: str | None
) -> None:
    answer = client.get("/app.js", headers={"Accept-Encoding": takes})
    assert answer.headers.get("Content-Encoding") == encoding
    open_it = {"br": brotli.decompress, "gzip": gzip.decompress, None: bytes}[encoding]
    assert open_it(answer.data) == (ROOT / "app.js").read_bytes()
    assert "Accept-Encoding" in answer.headers["Vary"]
