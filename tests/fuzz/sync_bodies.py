"""Bodies of POST /api/sync, from almost valid to random."""

from __future__ import annotations

import gzip
import json
import math
from random import Random
from typing import Any

from hypothesis import strategies as st

from tests.fuzz.mutators import of_json
from tests.fuzz.server import Server
from webapp import spec

IDS = [f"0192f0c1-2a3b-7c4d-8e5f-{number:012x}" for number in range(12)]
ODD_TEXTS = [
    "",
    "\x00",
    "\ud800",
    "\u202e",
    "<script>alert(1)</script>",
    "=1+1",
    "'; DROP TABLE record;--",
    "a" * 5000,
    '\r\n{"event":"forged"}',
    "%s%n",
    "../../etc/passwd",
    "\uffff",
    "__proto__",
]
ODD_NUMBERS = [0, -1, 2**53, 2**63, -(2**63), 10**400, 1e308, 1.5, -0.0, math.nan, math.inf]

texts = st.one_of(st.sampled_from(ODD_TEXTS), st.text(max_size=30))
numbers = st.one_of(st.sampled_from(ODD_NUMBERS), st.integers(), st.floats())
scalars = st.one_of(st.none(), st.booleans(), numbers, texts)
anything = st.recursive(
    scalars,
    lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(texts, inner, max_size=4)),
    max_leaves=8,
)
clocks = st.one_of(
    st.builds(
        "{:013d}-{:04x}-{}".format,
        st.integers(0, 10**13 - 1),
        st.integers(0, 0xFFFF),
        st.sampled_from(["hostile01", "hostile02", "z" * 32, "short"]),
    ),
    anything,
)
FIELDS = sorted({name for lines in spec.kinds().values() for name in lines})
names = st.one_of(st.sampled_from(FIELDS), st.sampled_from(["newer_field", "x" * 100]), texts)


@st.composite
def records(draw: st.DrawFn) -> Any:
    """Draw a change that may have errors."""
    fields = draw(st.dictionaries(names, anything, max_size=5))
    record = {
        "kind": draw(st.one_of(st.sampled_from(sorted(spec.kinds())), texts)),
        "id": draw(st.one_of(st.sampled_from(IDS), anything)),
        "fields": fields,
        "clocks": {name: draw(clocks) for name in fields},
        "deleted": draw(st.one_of(st.booleans(), anything)),
        "deleted_clock": draw(st.one_of(st.none(), clocks)),
    }
    for member in draw(st.lists(st.sampled_from(sorted(record)), max_size=1)):
        record[member] = draw(anything)
    return record


@st.composite
def envelopes(draw: st.DrawFn) -> Any:
    body = {
        "format": draw(st.one_of(st.just(1), anything)),
        "device": draw(st.one_of(st.sampled_from(["hostile01", "hostile02"]), anything)),
        "epoch": draw(st.one_of(st.none(), anything)),
        "token": draw(st.one_of(st.none(), anything)),
        "cursor": draw(st.one_of(st.integers(0, 40), anything)),
        "limit": draw(st.one_of(st.integers(0, 30), anything)),
        "changes": draw(st.one_of(st.lists(st.one_of(records(), anything), max_size=4), anything)),
    }
    keep = draw(st.sets(st.sampled_from(sorted(body)), max_size=1))
    return {name: value for name, value in body.items() if name not in keep}


@st.composite
def bodies(draw: st.DrawFn) -> tuple[bytes, dict[str, str]]:
    """Draw (body, headers)."""
    value = draw(st.one_of(envelopes(), envelopes(), envelopes(), anything))
    data = json.dumps(value).encode("utf-8", "surrogatepass")
    headers = {"Content-Type": "application/json"}
    shape = draw(st.integers(0, 19))
    if shape == 0:
        data = gzip.compress(data)
    if shape in (0, 1):
        headers["Content-Encoding"] = draw(st.sampled_from(["gzip", "gzip, gzip", "br", "GZIP"]))
    if shape == 2:
        data = b"[" * draw(st.integers(1, 200_000))
    if shape in (0, 3):
        at = draw(st.integers(0, max(0, len(data) - 1)))
        data = data[:at] + draw(st.binary(max_size=4)) + data[at + draw(st.integers(0, 3)) :]
    if shape == 4:
        data = draw(st.binary(max_size=200))
    if shape == 5:
        headers["Content-Type"] = draw(st.sampled_from(["text/plain", "application/json; x", ""]))
    return data, headers


Case = tuple[bytes, dict[str, str]]


def mutant(case: Case, random: Random) -> Case:
    """Change the body a little and keep the headers."""
    return of_json(case[0], random), case[1]


def law(server: Server, case: Case) -> None:
    """Assert an acceptable response and, for an accepted body, known outcomes."""
    data, headers = case
    answer = server.hostile.post("/api/sync", data=data, headers=headers)
    result = server.judge(answer)
    if answer.status_code == 200:
        for outcome in result["outcomes"]:
            assert outcome["outcome"] in ("applied", "duplicate", "refused", "restamp")


def afterwards(server: Server) -> None:
    """Assert that the hostile notebook still works and the witness's is still empty."""
    seen, cursor, more = 0, 0, True
    while more:
        body = {"format": 1, "device": "reader001", "cursor": cursor}
        page = server.judge(server.hostile.post("/api/sync", json=body))
        seen, cursor, more = seen + len(page["changes"]), page["cursor"], page["more"]
    assert seen <= len(IDS) * len(spec.kinds())
    assert server.hostile.get("/api/palate").status_code == 200
    book = server.hostile.get("/api/export")
    taken = server.hostile.post("/api/import", data=book.data, content_type="application/zip")
    assert server.judge(taken)["records"] == 0
    body = {"format": 1, "device": "reader001", "cursor": 0}
    assert server.judge(server.witness.post("/api/sync", json=body))["changes"] == []
