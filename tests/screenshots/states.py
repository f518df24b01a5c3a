"""Screens with notices, and the account states of the Settings screen."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import Page, Route, expect

from tests.screenshots.screens import WAIT_MS, Screen

ONLY_DEMO = ("demo",)
ONLY_TEN = ("ten",)
NEW_VERSION = "async () => { (await import('/pwa/app_update.js')).updateAvailable.value = true; }"
LOST = """async () => {
  const { storageState } = await import('/store/persistence.js');
  storageState.value = { ...storageState.value, loss: { unsent: 2 } };
}"""
MAY_BE_INSTALLED = """() => {
  const event = new Event('beforeinstallprompt', { cancelable: true });
  event.prompt = async () => ({ outcome: 'dismissed' });
  dispatchEvent(event);
}"""


def states() -> list[Screen]:
    """Return screens whose state a script or a mocked response causes and a reload clears."""
    return [
        Screen("said new version", "#/book", befalls(NEW_VERSION), ONLY_DEMO),
        Screen("said lost book", "#/book", befalls(LOST), ONLY_DEMO),
        Screen("said install", "#/book", befalls(MAY_BE_INSTALLED), ONLY_TEN),
        Screen("settings signed out", "#/settings", signed_out, ONLY_DEMO),
        Screen("settings devices", "#/settings", with_devices, ONLY_DEMO),
        Screen("settings pairing", "#/settings", pairing, ONLY_DEMO),
        Screen("settings join", "#/settings/join/a-secret", books=ONLY_DEMO),
    ]


def befalls(script: str) -> Callable[[Page], None]:
    """Return an action that runs the script and waits for the notice above the page."""

    def befall(page: Page) -> None:
        page.evaluate(script)
        expect(page.locator("#app > .notice, .new-version").first).to_be_visible(timeout=WAIT_MS)

    return befall


def refuse(route: Route) -> None:
    route.fulfill(
        status=401,
        content_type="application/problem+json",
        json={"type": "about:blank", "status": 401, "code": "sign_in", "title": ""},
    )


def signed_out(page: Page) -> None:
    page.route("**/api/me", refuse)
    page.route("**/api/sync", refuse)
    page.reload()
    expect(page.locator('input[type="password"]').first).to_be_visible(timeout=WAIT_MS)
    page.unroute_all()


def with_devices(page: Page) -> None:
    """Show the devices, as on a server whose owner has a passphrase."""

    def me(route: Route) -> None:
        route.fulfill(json=route.fetch().json() | {"device": "this-phone"})

    def devices(route: Route) -> None:
        made = {"made_at": "2026-03-02T10:00:00Z", "last_synced": "2026-11-02T10:00:00Z"}
        route.fulfill(
            json={
                "devices": [
                    {"id": "this-phone", "name": "Phone", "current": True, **made},
                    {"id": "another", "name": "Kitchen tablet", "current": False, **made},
                ]
            }
        )

    page.route("**/api/me", me)
    page.route("**/api/devices", devices)
    page.reload()
    expect(page.locator(".devices li").first).to_be_visible(timeout=WAIT_MS)
    page.unroute_all()


def pairing(page: Page) -> None:
    def reachable(route: Route) -> None:
        route.fulfill(json={**route.fetch().json(), "reachable": True})

    page.route("**/api/pairings", reachable)
    name = page.evaluate("async () => (await import('/i18n.js')).t('settings.pair')")
    page.get_by_role("button", name=name).click()
    expect(page.locator(".pair-code")).to_be_visible(timeout=WAIT_MS)
    page.unroute_all()
