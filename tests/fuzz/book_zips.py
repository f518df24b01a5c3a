"""Archives for POST /api/import: bombs, path traversal, links, duplicates, wrong sizes, damage."""

from __future__ import annotations

import io
import json
import stat
import warnings
import zipfile
from random import Random

from hypothesis import strategies as st

from tests.fuzz.mutators import of_bytes
from tests.fuzz.pictures import seeds
from tests.fuzz.server import Server
from tests.fuzz.sync_bodies import IDS, anything, records
from webapp import spec

LINES = [f"{kind}.jsonl" for kind in sorted(spec.kinds())]
PHOTOS = [f"photos/{IDS[0]}.jpg", f"photos/{IDS[1]}.webp"]
HOSTILE_NAMES = [
    "../book.json",
    "../../../../tmp/snfuzz-escaped",
    "/etc/passwd",
    "C:\\book.json",
    "photos/../a",
    "photos/..%2f.jpg",
    "photos\\a.jpg",
    "book.json/",
    "book.json\x00.jpg",
    "BOOK.JSON",
    "\u202e",
    "photos/" + "a" * 36 + ".jpg",
    "con",
    "x" * 3000,
    "photos/",
]
HEAD = b'{"format": 1}'


def _bomb(megabytes: int, byte: bytes) -> bytes:
    return byte * (megabytes * 1_000_000)


@st.composite
def _lines(draw: st.DrawFn) -> bytes:
    made = draw(st.lists(st.one_of(records(), anything), max_size=3))
    return b"\n".join(json.dumps(one).encode("utf-8", "surrogatepass") for one in made)


contents = st.one_of(
    _lines(),
    _lines(),
    st.binary(max_size=60),
    st.just(HEAD),
    st.sampled_from(seeds()),
)
bombs = st.tuples(st.sampled_from([1, 30, 59, 61]), st.sampled_from([b"\n", b" ", b"[", b"0"]))


@st.composite
def archives(draw: st.DrawFn) -> bytes:
    """Draw an archive of a notebook with an error in it."""
    out = io.BytesIO()
    known = st.sampled_from(["book.json", "revisions.jsonl", "tastings.csv", *LINES, *PHOTOS])
    entry_names = draw(
        st.lists(st.one_of(known, known, st.sampled_from(HOSTILE_NAMES)), max_size=4)
    )
    with warnings.catch_warnings(), zipfile.ZipFile(out, "w") as archive:
        warnings.simplefilter("ignore")
        if draw(st.integers(0, 9)):
            archive.writestr("book.json", HEAD)
        for name in entry_names:
            info = zipfile.ZipInfo(name or "empty")
            info.external_attr = draw(st.sampled_from([0o644, stat.S_IFLNK | 0o777])) << 16
            info.compress_type = draw(st.sampled_from([8, 8, 12, 14, 0]))
            content = draw(contents)
            if draw(st.integers(0, 300)) == 300 and info.compress_type:
                content = _bomb(*draw(bombs))
            archive.writestr(info, content)
    return _torn(draw, out.getvalue())


def _torn(draw: st.DrawFn, whole: bytes) -> bytes:
    how = draw(st.integers(0, 5))
    if how == 0:
        return whole[: draw(st.integers(0, len(whole)))]
    if how <= 2:
        # Change mostly the central directory, which has the sizes, flags and offsets.
        data = bytearray(whole)
        for _ in range(draw(st.integers(1, 4))):
            at = len(data) - 1 - draw(st.integers(0, min(400, len(data) - 1)))
            data[at] = draw(st.integers(0, 255))
        return bytes(data)
    return whole


def mutant(archive: bytes, random: Random) -> bytes:
    """Change bytes of the central directory; leave a bomb unchanged."""
    return archive if len(archive) > 100_000 else of_bytes(archive, random, within_last=400)


def law(server: Server, archive: bytes) -> None:
    """Assert an acceptable response and that no file is written outside the photos folder."""
    before = server.files()
    answer = server.hostile.post("/api/import", data=archive, content_type="application/zip")
    server.judge(answer)
    photos = server.folder / "server" / "photos"
    for path in server.files() - before:
        assert path == photos or photos in path.parents, path


def afterwards(server: Server) -> None:
    """Assert that the witness's notebook is still empty and the hostile one can be exported."""
    body = {"format": 1, "device": "reader001", "cursor": 0}
    assert server.judge(server.witness.post("/api/sync", json=body))["changes"] == []
    assert server.hostile.get("/api/export").status_code == 200
