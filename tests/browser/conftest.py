"""Fixtures of the browser tests: a real server process and phones that open it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    Error,
    Page,
    Playwright,
    sync_playwright,
)

from tests.browser.blocked_sync import block_sync
from tests.browser.browser_paths import find_browser, find_firefox
from tests.browser.engines import FLAGS, PHONE, Engine, chromium, firefox
from tests.browser.live_server import LiveServer
from tests.browser.seed_server import Record, fill
from tests.browser.table_page import Leader
from tests.browser.waiting import LIMIT_S

CURE = "No browser: run 'playwright install chromium', or name one in SECONDNOSE_BROWSER."
FIREFOX_CURE = "No Firefox: apt install firefox-esr, or name one in SECONDNOSE_FIREFOX."
PhoneMaker = Callable[..., BrowserContext]


@pytest.fixture
def live_server(tmp_path: Path) -> Iterator[LiveServer]:
    """Start a server without records; tests may call start(), stop() and kill()."""
    folder = tmp_path / "server"
    folder.mkdir()
    server = LiveServer(folder).start()
    yield server
    server.kill()


@pytest.fixture(scope="module")
def server_records() -> list[Record]:
    """Return the records that the file's `server` starts with; files may override this."""
    return []


@pytest.fixture(scope="module")
def server(
    tmp_path_factory: pytest.TempPathFactory, server_records: list[Record]
) -> Iterator[LiveServer]:
    """Start one server for all tests of a file, none of which sends records to it."""
    running = LiveServer(tmp_path_factory.mktemp("server"))
    try:
        running.start()
        fill(running.url, server_records)
        yield running
    finally:
        running.kill()


@pytest.fixture
def workers(request: pytest.FixtureRequest) -> str:
    """Block service workers, except in tests that are marked `service_worker`.

    A worker fetches all files of the app again, which costs twice as much as opening the app.
    """
    return "allow" if request.node.get_closest_marker("service_worker") else "block"


@pytest.fixture
def context(browser: Browser, server: LiveServer, workers: str) -> Iterator[BrowserContext]:
    """Open a separate phone for each test, which does not sync."""
    options = {**PHONE, "service_workers": workers}
    with browser.new_context(base_url=server.url, **options) as opened:
        block_sync(opened)
        opened.set_default_timeout(LIMIT_S * 1000)
        yield opened


@pytest.fixture
def page(context: BrowserContext) -> Page:
    return context.new_page()


@pytest.fixture
def served(browser: Browser, live_server: LiveServer) -> Iterator[BrowserContext]:
    """Open a phone that syncs."""
    options = {**PHONE, "service_workers": "block"}
    with browser.new_context(base_url=live_server.url, **options) as opened:
        yield opened


@pytest.fixture
def leader(page: Page) -> Leader:
    """Return the page object of the one who leads a tasting."""
    return Leader(page)


@pytest.fixture(scope="session")
def browser_path() -> str:
    """Return the path of the browser."""
    found = find_browser()
    if found is None:
        pytest.fail(CURE, pytrace=False)
    return found


@pytest.fixture(scope="session")
def playwright(browser_path: str) -> Iterator[Playwright]:
    # Started after the browser search, because the search runs Playwright itself.
    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="session")
def browser(playwright: Playwright, browser_path: str) -> Iterator[Browser]:
    """Start a browser without a profile, for pages that need no restart.

    All tabs of a phone share a process, so that the browser keeps no spare one ready for each page,
    which takes a sixth of the time of opening the app. Phones never share a process.
    """
    args = [*FLAGS, "--renderer-process-limit=1"]
    started = playwright.chromium.launch(executable_path=browser_path, args=args)
    yield started
    started.close()


@pytest.fixture(scope="session")
def browser_of_processes(playwright: Playwright, browser_path: str) -> Iterator[Browser]:
    """Start a browser with a process for each tab."""
    started = playwright.chromium.launch(executable_path=browser_path, args=FLAGS)
    yield started
    started.close()


@pytest.fixture
def browser_of_tabs(request: pytest.FixtureRequest) -> Browser:
    """Return the browser with a process for each tab, if the test is marked `several_tabs`."""
    several = request.node.get_closest_marker("several_tabs")
    found: Browser = request.getfixturevalue("browser_of_processes" if several else "browser")
    return found


@pytest.fixture(scope="session")
def engine(
    request: pytest.FixtureRequest, browser_path: str, tmp_path_factory: pytest.TempPathFactory
) -> Engine:
    """Return Chromium, or the engine that `both_engines` selects for the test."""
    if getattr(request, "param", "chromium") == "chromium":
        return chromium(browser_path)
    found = find_firefox()
    if found is None:
        pytest.fail(FIREFOX_CURE, pytrace=False)
    return firefox(found, tmp_path_factory.mktemp("engine"))


@pytest.fixture
def phone(
    request: pytest.FixtureRequest,
    playwright: Playwright,
    engine: Engine,
    live_server: LiveServer,
    workers: str,
) -> Iterator[PhoneMaker]:
    """Return phone(profile_dir=None, **options), which opens a phone of 360x780.

    With a `profile_dir`, it is a browser of its own with one page: reusing the folder after close()
    restarts the same phone. Without, Chromium opens it in the shared browser, which takes half of
    the processor time; options of the browser itself, such as `args`, need a browser of their own
    too. Relative URLs refer to the live server.
    """
    opened: list[BrowserContext] = []

    def open_phone(profile_dir: Path | None = None, **options: Any) -> BrowserContext:
        settings = {"base_url": live_server.url, **options}
        # Firefox cannot block them over BiDi.
        if engine.name == "chromium":
            settings.setdefault("service_workers", workers)
        if engine.name == "chromium" and profile_dir is None and "args" not in options:
            browser: Browser = request.getfixturevalue("browser")
            opened.append(browser.new_context(**{**PHONE, **settings}))
        else:
            tmp_path: Path = request.getfixturevalue("tmp_path")
            folder = profile_dir or tmp_path / f"phone{len(opened)}"
            opened.append(engine.phone(playwright, folder, **settings))
        opened[-1].set_default_timeout(LIMIT_S * 1000)
        return opened[-1]

    yield open_phone
    for context in opened:
        try:
            context.close()
        except Error:
            # The test has closed this phone already.
            continue
