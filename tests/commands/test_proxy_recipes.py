"""The limits in the recipes for proxies are those of the server."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from flask import Flask

from webapp.api.http.common import MAX_BODY_BYTES
from webapp.config import DEFAULTS
from webapp.server.limits import body_limit

GUIDE = Path(__file__).resolve().parents[2] / "webapp" / "commands" / "README.md"
UNITS = {"": 1, "k": 1024, "KiB": 1024, "KB": 1000, "MB": 10**6, "GB": 10**9}


def recipe(first_line: str) -> str:
    """Return the indented block of the guide that has this line."""
    blocks = re.split(r"\n(?=\S)", GUIDE.read_text("utf-8"))
    (found,) = [one for one in blocks if re.search(rf"^    {first_line}", one, re.MULTILINE)]
    return found


def size(text: str) -> int:
    number, unit = re.fullmatch(r"(\d+)(\w*)", text).groups()
    return int(number) * UNITS[unit]


def nginx() -> tuple[dict[str, int], int]:
    """Return the limits by place, and that of all other places."""
    text = recipe("limit_conn_zone")
    parts = re.findall(r"location (?:= )?(\S+) \{[^}]*?client_max_body_size (\w+);", text)
    (others,) = re.findall(r"^ {8}client_max_body_size (\w+);", text, re.MULTILINE)
    return {place: size(limit) for place, limit in parts}, size(others)


def caddy() -> tuple[dict[str, int], int]:
    """Return the limits by place, and that of all other places."""
    text = recipe("wine.example {")
    parts = dict(re.findall(r"request_body (\S+) \{\s*max_size (\w+)", text))
    others = parts.pop("@small")
    (small,) = re.findall(r"@small not path (.+)", text)
    assert small.split() == [*parts]
    return {place.rstrip("*"): size(limit) for place, limit in parts.items()}, size(others)


def server(app: Flask) -> dict[str, int]:
    """Return the limit of each route that takes a body, by an example of its path."""
    limits = dict[str, int]()
    for rule in app.url_map.iter_rules():
        path = re.sub(r"<.*?>", "x", rule.rule)
        for method in (rule.methods or set()) & {"POST", "PUT", "PATCH", "DELETE"}:
            limits[path] = max(limits.get(path, 0), body_limit(DEFAULTS, method, path))
    return limits


@pytest.mark.parametrize("read", [nginx, caddy], ids=["nginx", "caddy"])
def test_proxy_recipe_has_the_limits_of_the_server(app: Flask, read) -> None:
    places, others = read()
    of_routes = server(app)
    large = {path: limit for path, limit in of_routes.items() if limit > MAX_BODY_BYTES}
    assert {place + "x" * place.endswith("/"): limit for place, limit in places.items()} == large
    # The server itself rejects what is too big for a route with less.
    assert others == MAX_BODY_BYTES == max(set(of_routes.values()) - set(large.values()))


def test_guide_lists_the_body_limits_of_the_server(app: Flask) -> None:
    rows = re.findall(r"^\| (`[A-Z]+ /.+`) \| ([\d,]+) \|$", GUIDE.read_text("utf-8"), re.MULTILINE)
    listed = {
        re.sub(r"<.*?>", "x", path): int(limit.replace(",", ""))
        for routes, limit in rows
        for path in re.findall(r"`[A-Z]+ (\S+)`", routes)
    }
    assert listed == {path: one for path, one in server(app).items() if one != MAX_BODY_BYTES}


def test_proxy_recipes_have_the_header_time_of_the_server() -> None:
    text = GUIDE.read_text("utf-8")
    assert (
        re.findall(r"(?:read_header|client_header_timeout) (\d+)s", text)
        == [str(DEFAULTS["HEADER_S"])] * 2
    )
