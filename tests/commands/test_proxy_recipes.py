"""The limits in the recipes for proxies are those of the server."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from webapp.api.http.common import MAX_BODY_BYTES
from webapp.config import DEFAULTS
from webapp.server.limits import body_limit

GUIDE = Path(__file__).resolve().parents[2] / "webapp" / "commands" / "README.md"
UNITS = {"": 1, "k": 1024, "KiB": 1024, "MB": 10**6, "GB": 10**9}
ROUTES = {
    "/api/sync": ("POST", "/api/sync"),
    "/api/photos/": ("PUT", "/api/photos/x"),
    "/api/import": ("POST", "/api/import"),
}


def recipe(first_line: str) -> str:
    """Return the indented block of the guide that has this line."""
    blocks = re.split(r"\n(?=\S)", GUIDE.read_text("utf-8"))
    (found,) = [one for one in blocks if re.search(rf"^    {first_line}", one, re.MULTILINE)]
    return found


def size(text: str) -> int:
    number, unit = re.fullmatch(r"(\d+)(\w*)", text).groups()
    return int(number) * UNITS[unit]


def nginx() -> dict[str, int]:
    text = recipe("limit_conn_zone")
    parts = re.findall(r"location (?:= )?(\S+) \{[^}]*?client_max_body_size (\w+);", text)
    (others,) = re.findall(r"^ {8}client_max_body_size (\w+);", text, re.MULTILINE)
    return {place: size(limit) for place, limit in parts} | {"others": size(others)}


def caddy() -> dict[str, int]:
    parts = re.findall(r"request_body (\S+) \{\s*max_size (\w+)", recipe("wine.example {"))
    names = {"@small": "others", "/api/photos/*": "/api/photos/"}
    return {names.get(place, place): size(limit) for place, limit in parts}


@pytest.mark.parametrize("limits", [nginx, caddy], ids=["nginx", "caddy"])
def test_proxy_recipe_has_the_limits_of_the_server(limits) -> None:
    expected = {place: body_limit(DEFAULTS, *route) for place, route in ROUTES.items()}
    assert limits() == expected | {"others": MAX_BODY_BYTES}


def test_proxy_recipes_have_the_header_time_of_the_server() -> None:
    text = GUIDE.read_text("utf-8")
    assert (
        re.findall(r"(?:read_header|client_header_timeout) (\d+)s", text)
        == [str(DEFAULTS["HEADER_S"])] * 2
    )
