"""Fixtures of the browser tests: a real server process and phones that open it."""

from __future__ import annotations

import os
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    Error,
    Page,
    Playwright,
    sync_playwright,
)

from tests.browser.engines import FLAGS, PHONE, ROOT, Engine, chromium, firefox
from tests.browser.find import find_browser, find_firefox
from tests.temporary_postgres import free_port

CURE = "No browser: run 'playwright install chromium', or name one in SECONDNOSE_BROWSER."
FIREFOX_CURE = "No Firefox: apt install firefox-esr, or name one in SECONDNOSE_FIREFOX."
START_S = 30
PhoneMaker = Callable[..., BrowserContext]


class LiveServer:
    """`secondnose serve` as a process of its own; the port and the book outlive a restart."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.file = folder / "book.sqlite"
        self.port = free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self.process: subprocess.Popen[bytes] | None = None

    def start(self, *arguments: str, **environment: str) -> LiveServer:
        """Start it and wait until it answers; `arguments` go to `serve` (such as "--demo")."""
        self.stop()
        command = [sys.executable, "-m", "webapp", "serve", "--port", str(self.port), *arguments]
        given = {**os.environ, "DATABASE_URL": f"sqlite:///{self.file}", **environment}
        with (self.folder / "server.log").open("ab") as log:
            self.process = subprocess.Popen(command, cwd=ROOT, env=given, stdout=log, stderr=log)
        self._wait()
        return self

    def stop(self) -> None:
        """End it in good order."""
        if self.process is not None:
            self.process.terminate()
            self.process.wait(timeout=20)
            self.process = None

    def kill(self) -> None:
        """End it at once, as a power cut would."""
        if self.process is not None:
            self.process.kill()
            self.process.wait(timeout=20)
            self.process = None

    def log(self) -> str:
        return (self.folder / "server.log").read_text(errors="replace")

    def _wait(self) -> None:
        deadline = time.monotonic() + START_S
        while time.monotonic() < deadline:
            assert self.process is not None
            if self.process.poll() is not None:
                pytest.fail(f"The server did not start:\n{self.log()}", pytrace=False)
            try:
                with urllib.request.urlopen(f"{self.url}/readyz", timeout=2):
                    return
            except (urllib.error.URLError, OSError):
                time.sleep(0.05)
        pytest.fail(f"The server did not answer in {START_S} s:\n{self.log()}", pytrace=False)


@pytest.fixture
def live_server(tmp_path: Path) -> Iterator[LiveServer]:
    """A running server with an empty book; start(), stop() and kill() at will."""
    folder = tmp_path / "server"
    folder.mkdir()
    server = LiveServer(folder).start()
    yield server
    server.kill()


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveServer]:
    """One running server for all tests of a file, where none of them sends it anything."""
    running = LiveServer(tmp_path_factory.mktemp("server")).start()
    yield running
    running.kill()


@pytest.fixture
def context(browser: Browser, server: LiveServer) -> Iterator[BrowserContext]:
    """A phone of its own for each test, whose notes stay on it."""
    with browser.new_context(base_url=server.url, **PHONE) as opened:
        opened.route("**/api/sync", lambda route: route.abort())
        yield opened


@pytest.fixture
def page(context: BrowserContext) -> Page:
    return context.new_page()


@pytest.fixture(scope="session")
def browser_path() -> str:
    """The browser to start."""
    found = find_browser()
    if found is None:
        pytest.fail(CURE, pytrace=False)
    return found


@pytest.fixture(scope="session")
def playwright(browser_path: str) -> Iterator[Playwright]:
    # The search for a browser starts Playwright for itself, so it must be over by now.
    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="session")
def browser(playwright: Playwright, browser_path: str) -> Iterator[Browser]:
    """A browser without profile, for pages that need no restart."""
    started = playwright.chromium.launch(executable_path=browser_path, args=FLAGS)
    yield started
    started.close()


@pytest.fixture(scope="session")
def engine(
    request: pytest.FixtureRequest, browser_path: str, tmp_path_factory: pytest.TempPathFactory
) -> Engine:
    """Chromium; and Firefox too where a file of tests is marked with `both_engines`."""
    if getattr(request, "param", "chromium") == "chromium":
        return chromium(browser_path)
    found = find_firefox()
    if found is None:
        pytest.fail(FIREFOX_CURE, pytrace=False)
    return firefox(found, tmp_path_factory.mktemp("engine"))


@pytest.fixture
def phone(
    playwright: Playwright, engine: Engine, live_server: LiveServer, tmp_path: Path
) -> Iterator[PhoneMaker]:
    """Opens phones: phone(profile_dir=None, **options) gives a persistent context of 360x780.

    The same `profile_dir` after close() is the same phone started again. Paths such as "/" go to
    the live server. `options` are those of Playwright's launch_persistent_context.
    """
    opened: list[BrowserContext] = []

    def open_phone(profile_dir: Path | None = None, **options: object) -> BrowserContext:
        folder = profile_dir or tmp_path / f"phone{len(opened)}"
        settings = {"base_url": live_server.url, **options}
        opened.append(engine.phone(playwright, folder, **settings))
        return opened[-1]

    yield open_phone
    for context in opened:
        try:
            context.close()
        except Error:
            # The test itself has ended this phone.
            continue
