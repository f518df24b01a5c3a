"""Handles that many screens share, by the roles and names that a user meets."""

from __future__ import annotations

import re

from playwright.sync_api import Locator, Page, expect


def part(page: Page | Locator, heading: str | re.Pattern[str]) -> Locator:
    """Return the section under a heading."""
    title = page.get_by_role("heading", name=heading, exact=isinstance(heading, str))
    return page.locator("section").filter(has=title)


def toast(page: Page, text: str | re.Pattern[str]) -> Locator:
    """Return the message that was spoken as a status."""
    return page.get_by_role("status").get_by_text(text)


def placed_toast(page: Page, text: str | re.Pattern[str]) -> Locator:
    """Return a toast once it has its place, whose code loads with the first one."""
    said = toast(page, text)
    expect(said).to_be_visible()
    expect(page.locator("html")).to_have_attribute("style", re.compile("--toast-top"))
    return said


def sync_state(page: Page, words: str | None = None) -> Locator:
    """Return the link in the title that says how far the notes are saved."""
    to_settings = page.locator("header").locator('a[href="#/settings"]').first
    return page.get_by_role("link", name=words, exact=True) if words else to_settings


def thumb_actions(page: Page) -> Locator:
    """Return the buttons and links at the thumb, which differ from others by their place only."""
    return page.locator(".at-thumb .button")


def primary_action(page: Page) -> Locator:
    """Return the large button or link at the thumb, whose name differs from screen to screen."""
    return page.locator(".at-thumb .primary")


def fact(page: Page | Locator, term: str) -> Locator:
    """Return what a list of facts says about a term."""
    exact = re.compile(rf"^\s*{re.escape(term)}\s*$")
    return page.get_by_role("term").filter(has_text=exact).locator("+ dd")


def wrong_fields(place: Page | Locator) -> Locator:
    """Return the inputs that are marked as wrong."""
    return place.locator("[aria-invalid=true]")


def items(page: Page | Locator, list_name: str) -> Locator:
    return page.get_by_role("list", name=list_name, exact=True).get_by_role("listitem")
