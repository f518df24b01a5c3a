"""The leader's pages of a tasting at the table, as a thumb uses them."""

from __future__ import annotations

import re
from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests.browser.any_page import part, primary_action
from tests.browser.engines import tap
from tests.browser.pour_page import records
from webapp.group_tasting.ids import sheet_id

TABLE = "01900000-0000-7000-8000-00000000d000"
WINES = ("Torre Quarzo", "Clos Verrin", "Steinhalde")
GUESTS = ("Ada", "Ben", "Cleo", "Dan", "Eve")
# One row for each guest, one column for each glass; the last glass has the wine of the first.
LIKINGS = ((8, 3, 5, 8), (7, 4, 6, 8), (9, 2, 5, 8), (7, 5, 4, 6), (8, 3, 6, 7))
MOMENT = "2026-11-28T19:00:00+01:00"
SAVE = "async (edits) => (await import('/store/write.js')).saveMany(edits)"


def id_of(kind: str, at: int) -> str:
    return f"01900000-0000-7000-8000-{kind.encode().hex():0<8.8}{at:04d}"


def tasted_table(*, discussed: bool = True, **head: Any) -> list[dict[str, Any]]:
    """Return the records of a table of five guests and four glasses that all have tasted."""
    fields = {
        "name": "Friday reds",
        "leader_name": "Greta",
        "on": "2026-11-28",
        "steps": ["first_nose", "sip_1", "verdict"],
        "order": "listed",
        "pace": "led",
        "labels_hidden": True,
        "names_shown": True,
        "started_at": MOMENT,
        **head,
    }
    edits: list[dict[str, Any]] = [{"kind": "group_tasting", "id": TABLE, "fields": fields}]
    for at, name in enumerate(WINES):
        label = {"name": name, "label_abv": 12.5 + at, "vintage": 2019, "label_market": "EU"}
        edits.append({"kind": "bottle", "id": id_of("bottle", at), "fields": label})
    for at in range(4):
        glass = {
            "group_tasting": TABLE,
            "bottle": id_of("bottle", at % 3),
            "position": at + 1,
            "mark": "ABCD"[at],
            "discussed_at": MOMENT if discussed else None,
        }
        edits.append({"kind": "glass", "id": id_of("glass", at), "fields": glass})
    for at, name in enumerate(GUESTS):
        guest = {"group_tasting": TABLE, "name": name, "number": at + 1, "entry": "phone"}
        guest["agreed_at"] = MOMENT
        edits.append({"kind": "guest", "id": id_of("guest", at), "fields": guest})
    return edits + [sheet(guest, glass) for guest in range(5) for glass in range(4)]


def sheet(guest: int, glass: int, **more: Any) -> dict[str, Any]:
    names = (id_of("guest", guest), id_of("glass", glass))
    answers = {
        "liking": LIKINGS[guest][glass],
        "acidity": 2 + glass + guest / 10,
        "finish_s": 8 + 9 * glass + guest,
        "first_nose_words": ["rose", "black_cherry"] if guest % 2 else ["rose", "tar"],
        "guess_abv": 12 + guest / 2,
    }
    of = {"group_tasting": TABLE, "guest": names[0], "glass": names[1]}
    return {"kind": "sheet", "id": sheet_id(*names), "fields": of | answers | more}


def open_tasted(page: Page, path: str = "", **head: Any) -> None:
    """Write the tasted table into the open notebook, and open one of its pages."""
    discussed, noted = head.pop("discussed", True), head.pop("noted", True)
    edits = tasted_table(discussed=discussed, **head)
    page.evaluate(SAVE, [edit for edit in edits if noted or edit["kind"] != "sheet"])
    page.evaluate("(hash) => { location.hash = hash; }", f"#/table/{TABLE}{path}")
    expect(page.locator("#page > *").nth(1)).to_be_attached()


class Leader:
    """The leader's thumb."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def press(self, name: str | re.Pattern[str], role: Any = "button") -> None:
        tap(self.page.get_by_role(role, name=name).first)

    def set_new(self, name: str, *wines: str) -> None:
        """Set a table with new wines."""
        self.page.goto("/#/table")
        self.press("New table")
        self.page.get_by_label("Name of the table").fill(name)
        for wine in wines:
            self.add_glass(wine)

    def add_glass(self, wine: str) -> None:
        before = self.glasses().count()
        self.press("Add a glass")
        dialog = self.page.get_by_role("dialog")
        dialog.get_by_role("searchbox").fill(wine)
        tap(dialog.get_by_role("button", name=f"Add “{wine}”"))
        expect(self.glasses()).to_have_count(before + 1)

    def glasses(self) -> Locator:
        return part(self.page, "Glasses").get_by_role("listitem")

    def glass_names(self, without: str | None = None) -> Locator:
        """Return the names beside the marks, which no role tells apart."""
        return self.glasses().filter(has_not_text=without).locator(".name")

    def start(self) -> None:
        self.press("Start tasting")
        expect(self.page.get_by_role("button", name="End tasting")).to_be_visible()

    def end_without_showing(self) -> None:
        self.press("End tasting")
        self.press("End without showing")

    def go_on(self, name: str) -> None:
        """Press the main button, and wait until the next step is shown."""
        tap(primary_action(self.page))
        self.sees_step(name)

    def now(self) -> Locator:
        """Return the part of the page that is about the open step."""
        return self.page.get_by_role("region", name="Open step")

    def sees_step(self, name: str) -> None:
        expect(self.now().get_by_role("heading")).to_have_text(name)

    def pass_to(self, name: str) -> None:
        """Add a guest on the phone that goes round."""
        self.page.get_by_label("First name").fill(name)
        tap(self.page.get_by_role("button", name="Start", exact=True))
        expect(self.page.get_by_role("heading", level=1)).to_have_text(name)

    def named(self, kind: str) -> dict[str, str]:
        """Return kind and id of the only record of a kind."""
        [row] = self.rows(kind)
        return {"kind": kind, "id": row["id"]}

    def rows(self, kind: str) -> list[dict[str, Any]]:
        return records(self.page, kind)
