"""Deleted tastings: undone, restored from their list, and gone after 30 days."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

from tests.browser.any_page import items, thumb_actions
from tests.browser.book_page import lines
from tests.browser.engines import tap
from tests.browser.pour_page import name_line, written
from tests.browser.test_book_tasting import LATER, TASTING, page, server_records

__all__ = ["page", "server_records"]
pytestmark = pytest.mark.browser


def test_removed_tasting_can_be_restored(page):
    tap(page.get_by_role("button", name="Delete"))
    expect(lines(page).filter(has_text="Sasso Vivo")).to_have_count(1)
    tap(page.get_by_role("button", name="Undo"))
    expect(lines(page).filter(has_text="Sasso Vivo")).to_have_count(2)


def test_note_deleted_elsewhere_is_offered_back_on_its_page(page):
    page.goto(f"/#/pour/{TASTING}/note")
    expect(page.get_by_role("link", name="Overall , filled in")).to_be_visible()
    page.evaluate("async (id) => (await import('/store/write.js')).remove('tasting', id)", TASTING)
    restore = page.get_by_role("button", name="Restore it")
    expect(restore).to_be_visible()
    page.goto(f"/#/pour/{TASTING}/note")
    tap(restore)
    expect(page.get_by_role("heading", name="Sasso Vivo 2019")).to_be_visible()


def test_open_note_deleted_in_the_book_leaves_pour(page):
    page.goto("/#/pour")
    name_line(page).fill("Half a note")
    written(page)
    page.goto("/#/book")
    expect(lines(page).filter(has_text="Half a note")).to_contain_text("not finished")
    tap(lines(page).filter(has_text="Half a note"))
    tap(page.get_by_role("button", name="Delete this note"))
    tap(page.get_by_role("navigation", name="Main menu").get_by_role("link", name="Pour"))
    expect(name_line(page)).to_have_value("")


@pytest.mark.extended
def test_unfinished_note_deleted_elsewhere_is_offered_back(page):
    page.goto("/#/pour")
    name_line(page).fill("Half a note")
    written(page)
    page.evaluate("""async () => {
      const { db } = await import('/store/database.js');
      const { openPour } = await import('/store/open_pour.js');
      const row = await db.tasting.get(openPour.peek().tasting);
      const mark = `${row.clocks.tasted_at.slice(0, 14)}ffff-${'b'.repeat(20)}`;
      await db.tasting.put({ ...row, deleted: true, deleted_clock: mark, gone: 1 });
    }""")
    expect(page.get_by_text("This note was deleted on another device.")).to_be_visible()
    expect(name_line(page)).to_have_value("")
    restore = page.get_by_role("button", name="Restore")
    expect(restore).not_to_have_attribute("aria-keyshortcuts", "Control+Z")
    tap(restore)
    expect(name_line(page)).to_have_value("Half a note")


def test_delete_is_at_the_foot_of_the_page(page):
    delete = page.get_by_role("button", name="Delete this note")
    expect(delete).to_be_visible()
    expect(thumb_actions(page)).to_have_text(["Edit"])
    share = page.get_by_role("heading", name="Share").bounding_box()
    assert delete.bounding_box()["y"] > share["y"]


def test_deleted_note_is_restored_offline(page):
    page.context.set_offline(True)
    tap(page.get_by_role("button", name="Delete this note"))
    expect(lines(page).filter(has_text="Sasso Vivo")).to_have_count(1)
    link = page.get_by_role("link", name="Deleted notes")
    assert link.bounding_box()["y"] < lines(page).first.bounding_box()["y"]
    tap(link)
    note = items(page, "Deleted notes")
    expect(note).to_contain_text("Sasso Vivo 2019")
    expect(note).to_contain_text("Tasted 3 Oct 2026")
    tap(note.get_by_role("button", name="Restore"))
    expect(note).to_have_count(0)
    page.context.set_offline(False)
    page.goto("/#/book")
    expect(lines(page).filter(has_text="Sasso Vivo")).to_have_count(2)


@pytest.mark.extended
def test_deleted_notes_are_offered_only_if_there_are_any(page):
    link = page.get_by_role("link", name="Deleted notes")
    page.goto("/#/book")
    expect(page.get_by_text(re.compile("^[0-9]+ notes$"))).to_be_visible()
    expect(link).to_have_count(0)
    page.goto("/#/settings")
    expect(page.get_by_role("heading", name="Take your notes with you")).to_be_visible()
    expect(link).to_have_count(0)
    page.evaluate("async (id) => (await import('/store/write.js')).remove('tasting', id)", TASTING)
    expect(link).to_be_visible()


@pytest.mark.parametrize("is_emptied", [True, pytest.param(False, marks=pytest.mark.extended)])
def test_emptied_note_cannot_be_put_back(page, is_emptied):
    page.evaluate(
        """async ([id, isEmptied]) => {
      const { db } = await import('/store/database.js');
      const row = await db.tasting.get(id);
      const mark = `${Date.now() - 31 * 86_400_000}-0000-fillingup1`;
      if (isEmptied) {
        row.fields = Object.fromEntries(Object.keys(row.fields).map((name) => [name, null]));
      }
      await db.tasting.put({ ...row, deleted: true, deleted_clock: mark, gone: 1 });
    }""",
        [TASTING, is_emptied],
    )
    expect(page.get_by_text("This note was deleted.")).to_be_visible()
    put_back = page.get_by_role("button", name="Restore it")
    expect(put_back).to_have_count(0 if is_emptied else 1)


@pytest.mark.extended
def test_note_deleted_over_30_days_ago_is_not_listed(page):
    for ago, row in ((31, LATER), (29, TASTING)):
        page.evaluate(
            """async ([ago, id]) => {
          const { db } = await import('/store/database.js');
          const clock = `${Date.now() - ago * 86_400_000}-0000-fillingup1`;
          await db.tasting.update(id, { deleted: true, deleted_clock: clock, gone: 1 });
        }""",
            [ago, row],
        )
    page.goto("/#/settings")
    tap(page.get_by_role("link", name="Deleted notes"))
    expect(items(page, "Deleted notes")).to_have_count(1)
    expect(items(page, "Deleted notes")).to_contain_text("Tasted 3 Oct 2026")
