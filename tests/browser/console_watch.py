"""Console messages and request origins of a page."""

from __future__ import annotations

from urllib.parse import urlsplit

from playwright.sync_api import ConsoleMessage, Page, Request


def watched(page: Page) -> tuple[list[str], list[Request]]:
    """Record the later console errors and warnings, and the requests of the page."""
    items: list[str] = []
    requests: list[Request] = []

    def hear(message: ConsoleMessage) -> None:
        if message.type in ("error", "warning", "assert"):
            items.append(f"{message.type}: {message.text} ({message.location.get('url')})")

    page.on("console", hear)
    page.on("pageerror", lambda error: items.append(f"thrown: {error}"))
    page.context.on("request", lambda request: requests.append(request))
    return items, requests


def origins(requests: list[Request]) -> set[str]:
    """Return the origins of the requests."""
    parts = [urlsplit(request.url) for request in requests]
    return {f"{part.scheme}://{part.netloc}" for part in parts}
