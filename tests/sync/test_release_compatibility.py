"""Requests recorded from phones of every release are accepted, and none of their data is lost."""

from __future__ import annotations

import json
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from tests.sync.conftest import Server

RELEASES = sorted((Path(__file__).parents[1] / "releases").glob("*.json"))
# Members that depend on chance or on the server's time.
OWN = ("epoch", "token", "now")


def spoken(file: Path) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads(file.read_text(encoding="utf-8"))["requests"]
    return found


def replay(server: Server, requests: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Replay a phone's requests with the epochs and tokens that this server returns."""
    answers: list[dict[str, Any]] = []
    for request in requests:
        server.now_ms = request["told"]["now"]
        shown = {name: answers[-1][name] for name in ("epoch", "token")} if answers else {}
        answers.append(server.send({**request["asked"], **shown}))
    return answers


@pytest.mark.parametrize("file", RELEASES, ids=lambda file: file.stem)
def test_requests_of_every_release_get_equal_answers(server: Server, file: Path) -> None:
    requests = spoken(file)
    for request, entry in zip(requests, replay(server, requests), strict=True):
        # A later release may add members, but must return the recorded ones unchanged.
        then = {name: value for name, value in request["told"].items() if name not in OWN}
        assert {name: entry[name] for name in then} == then


@pytest.mark.parametrize("file", RELEASES, ids=lambda file: file.stem)
def test_unknown_fields_survive_edits_of_an_older_phone(server: Server, file: Path) -> None:
    requests = spoken(file)
    replay(server, requests)
    newer = deepcopy(requests[0]["asked"]) | {"device": "bbbbbbbb", "epoch": None, "token": None}
    moon = {"phase": [1, None, "\u00fc"], "x": 0.1}
    for change in newer["changes"]:
        clock = max(change["clocks"].values())[:14] + "ffff-bbbbbbbb"
        change |= {"fields": {"moon": moon}, "clocks": {"moon": clock}}
    server.send(newer)
    replay(server, requests)
    records = server.state().values()
    assert len(records) == len(newer["changes"])
    assert all(record["fields"]["moon"] == moon for record in records)


def test_unknown_envelope_parts_are_ignored(server: Server) -> None:
    request = spoken(RELEASES[0])[0]
    asked, server.now_ms = request["asked"], request["told"]["now"]
    result = server.send({**asked, "wishes": ["later", {"x": 1}]})
    assert {one["outcome"] for one in result["outcomes"]} == {"applied"}
