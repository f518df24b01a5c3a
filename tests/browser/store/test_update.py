"""New versions of the installed app: they are offered and never forced."""

from __future__ import annotations

import shutil

import pytest

from tests.browser.live_server import LiveServer
from tests.browser.store import conftest
from webapp import spec

pytestmark = pytest.mark.browser

UPDATE = "await (await navigator.serviceWorker.getRegistration()).update()"
# Not a source, so that the phone installs the bundle's files and not 600 modules.
MARK = "/version_mark.json"


@pytest.fixture(autouse=True)
def bare_page(monkeypatch):
    """Open a page that the bundle's service worker has too; for others it shows the app."""
    monkeypatch.setattr(conftest, "BARE_PAGE", MARK)


@pytest.fixture
def client_files(tmp_path):
    """Copy the client files, so that a test may change them."""
    copy = tmp_path / "static"
    shutil.copytree(spec.static_root(), copy)
    publish(copy, "one")
    return copy


@pytest.fixture
def refused(tmp_path):
    """Return the file that lists the paths the server rejects."""
    return tmp_path / "refused"


@pytest.fixture
def server(tmp_path, client_files, refused):
    given = {"CLIENT": str(client_files), "REFUSED": str(refused)}
    server = LiveServer(tmp_path, "tests.browser.store.custom_client_server", **given).start()
    yield server
    server.kill()


@pytest.fixture
def url(server):
    return server.url


@pytest.fixture
def installed(browser_of_tabs, open_book):
    context = browser_of_tabs.new_context(viewport={"width": 360, "height": 780})
    driver = open_book(context)
    driver.install()
    yield driver
    context.close()


def publish(client_files, mark):
    (client_files / MARK.removeprefix("/")).write_text(f'"{mark}"')


def mark(driver):
    return driver.run("return (await fetch(value)).json()", MARK)


def test_update_waits_and_keeps_a_full_outbox(installed, client_files):
    id_ = installed.save("tasting", {"words": "unsent"})
    publish(client_files, "two")
    assert installed.run("return book.updateAvailable.value") is False
    installed.run(UPDATE)
    installed.until("book.updateAvailable.value")
    installed.open()
    assert mark(installed) == "one"
    installed.run("await book.registerServiceWorker()")
    assert installed.run("return book.updateAvailable.value") is True
    with installed.page.expect_event("load"):
        installed.run("book.applyUpdate()")
    installed.open()
    assert mark(installed) == "two"
    assert installed.fields("tasting", id_) == {"words": "unsent"}
    assert len(installed.outbox()) == 1


@pytest.mark.several_tabs
def test_update_in_another_tab_offers_a_reload_here(installed, client_files, open_book):
    other = open_book(installed.context)
    other.run("await book.registerServiceWorker()")
    publish(client_files, "two")
    installed.run(UPDATE)
    other.until("book.updateAvailable.value")
    other.run("book.updateAvailable.value = false; globalThis.draft = 'half a sentence'")
    with installed.page.expect_event("load"):
        installed.run("book.applyUpdate()")
    other.until("book.updateAvailable.value")
    assert other.run("return draft") == "half a sentence"


def test_update_with_a_missing_file_is_not_installed(installed, client_files, refused):
    publish(client_files, "two")
    refused.write_text(MARK)
    installed.run(f"{UPDATE}.catch(() => undefined)")
    installed.until("!(await navigator.serviceWorker.getRegistration()).installing")
    assert installed.run("return book.updateAvailable.value") is False
    assert mark(installed) == "one"
    refused.unlink()
    installed.run(UPDATE)
    installed.until("book.updateAvailable.value")
