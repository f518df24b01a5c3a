"""All vector files with a JavaScript port, run with the served module."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.live_server import LiveServer

VECTORS = sorted((Path(__file__).parent.parent / "vectors").glob("*.json"))
MIRRORED = [path for path in VECTORS if json.loads(path.read_text(encoding="utf-8")).get("js")]

# Receives JSON text, because lone surrogates cannot be passed as values. Vectors write NaN and
# infinity as {"number": "NaN"}, because JSON has neither.
RUN = """async (text) => {
  const read = (_, value) => (
    Object.keys(value ?? {}).join() === 'number' && typeof value.number === 'string'
      ? Number(value.number) : value);
  const written = (_, value) => (typeof value === 'number' && !Number.isFinite(value)
    ? { number: String(value) } : value);
  const file = JSON.parse(text, read);
  const [module, name] = file.js.split('#');
  const twin = (await import(`/${module}`))[name];
  const answer = (args) => {
    try {
      return twin(...args) ?? null;
    } catch (error) {
      if (error.code === undefined) throw error;
      return { error: error.code };
    }
  };
  const answers = file.groups.map((group) => group.tests.map((test) => answer(test.args)));
  return JSON.stringify(answers, written);
}"""


def differences(found: Any, expected: Any, tolerance: float, at: str = "") -> list[str]:
    """Return the differences of two JSON values; numbers may differ by `tolerance`."""
    if isinstance(expected, bool) or isinstance(found, bool):
        return [] if found is expected else [f"{at}: {found!r}, not {expected!r}"]
    if isinstance(expected, int | float) and isinstance(found, int | float):
        near = abs(found - expected) <= tolerance
        return [] if near else [f"{at}: {found!r}, not {expected!r}"]
    if isinstance(expected, dict) and isinstance(found, dict) and found.keys() == expected.keys():
        parts = [differences(found[k], expected[k], tolerance, f"{at}.{k}") for k in expected]
        return [line for part in parts for line in part]
    if isinstance(expected, list) and isinstance(found, list) and len(found) == len(expected):
        pairs = zip(found, expected, strict=True)
        parts = [differences(f, e, tolerance, f"{at}[{i}]") for i, (f, e) in enumerate(pairs)]
        return [line for part in parts for line in part]
    return [] if found == expected else [f"{at}: {found!r}, not {expected!r}"]


@pytest.fixture(scope="module")
def served_page(browser: Browser, server: LiveServer) -> Iterator[Page]:
    page = browser.new_page()
    page.goto(server.url + "/spec/record.json")
    yield page
    page.close()


@pytest.mark.browser
@pytest.mark.parametrize("path", MIRRORED, ids=lambda path: path.stem)
def test_client_module_matches_the_server_vectors(path, served_page):
    text = path.read_text(encoding="utf-8")
    file = json.loads(text)
    tolerance = file.get("tolerance", 0)
    answers = json.loads(served_page.evaluate(RUN, text))
    wrong = [
        f"{group['description']} / {test['description']}{line}"
        for group, found in zip(file["groups"], answers, strict=True)
        for test, answer in zip(group["tests"], found, strict=True)
        for line in differences(answer, test["expected"], test.get("tolerance", tolerance))
    ]
    assert wrong == []
