"""The snapshot of the Book's first page is made again after a write, and is never stale."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import Page, expect

from tests.browser.book_page import lines, wait_for_snapshot
from tests.browser.seed_records import put
from tests.browser.waiting import wait_for_idle, wait_until

pytestmark = [pytest.mark.browser, pytest.mark.waits]
TASTINGS = 12
SEEN = "() => localStorage.getItem('secondnose.seen')"
NEW = "00000000-0000-7000-8000-000000000999"
NEWEST = f"00000000-0000-7000-8000-{TASTINGS:012}"
FILL = """async (count) => {
  const { saveMany } = await import('/store/write.js');
  const id = (n) => `00000000-0000-7000-8000-${String(n).padStart(12, '0')}`;
  await saveMany(Array.from({ length: count }, (_, n) => [
    { kind: 'bottle', id: id(n + 101), fields: { name: `Wine ${n}` } },
    { kind: 'tasting', id: id(n + 1), fields: {
      bottle: id(n + 101), liking: 5, tasted_at: `2026-10-${String(n + 10)}T20:00:00+01:00` } },
  ]).flat());
}"""
# Saves and looks at once, before the app is idle.
SAVE_AND_LOOK = """async ([kind, id, fields]) => {
  const { save } = await import('/store/write.js');
  await save(kind, id, fields);
  return ['seen', 'frame'].map((name) => localStorage.getItem(`secondnose.${name}`) !== null);
}"""
# Each renewal begins a little earlier than a write, which is a save or a bare put.
RENEW_WHILE_WRITING = """async ([id, times]) => {
  const { renewSnapshot } = await import('/features/book/list/snapshot.js');
  const { save } = await import('/store/write.js');
  const { db } = await import('/store/database.js');
  const row = await db.tasting.get(id);
  const stale = [];
  for (let n = 0; n < times; n += 1) {
    const liking = 8 + Math.floor(n / 2) % 2;
    const renewed = renewSnapshot();
    for (let step = 0; step < n; step += 1) await null;
    if (n % 20 > 9) await new Promise((go) => setTimeout(go));
    row.fields.liking = liking;
    await (n % 2 ? save('tasting', id, { liking }) : db.tasting.put(row));
    await renewed;
    const seen = localStorage.getItem('secondnose.seen');
    const unmarked = (_, value) => (value?.[1]?.stale === '' ? null : value);
    const rows = seen && JSON.stringify(JSON.parse(seen, unmarked));
    if (rows?.includes(id) && !rows.includes(`"${liking}"`)) stale.push(n);
  }
  await renewSnapshot();
  return [stale, localStorage.getItem('secondnose.seen') !== null];
}"""


@pytest.fixture
def page(page: Page) -> Page:
    """Open the Book screen of a notebook and wait until its snapshot is saved."""
    page.goto("/#/book")
    page.evaluate(FILL, TASTINGS)
    expect(lines(page)).to_have_count(TASTINGS)
    wait_for_snapshot(page)
    return page


def open_palate(page: Page) -> None:
    page.goto("/#/palate")
    expect(page.get_by_role("heading", name="Palate", exact=True)).to_be_visible()


def early(page: Page) -> Page:
    """Open the Book without the app script."""
    other = page.context.new_page()
    other.route("**/packed/first.js", lambda route: route.abort())
    other.goto("/#/book")
    return other


def test_snapshot_is_made_again_after_a_write(page: Page) -> None:
    open_palate(page)
    assert page.evaluate(SAVE_AND_LOOK, ["tasting", NEWEST, {"liking": 9}]) == [True, True]
    put(page, "bottle", {"name": "Renamed"}, f"00000000-0000-7000-8000-{TASTINGS + 100:012}")
    wait_for_snapshot(page)
    painted = early(page)
    expect(lines(painted).first).to_contain_text("Renamed")
    expect(lines(painted).first).to_contain_text("9")
    there = lines(painted).all_inner_texts()
    assert len(there) > 6
    page.goto("/#/book")
    expect(lines(page)).to_have_count(TASTINGS)
    # A screen opened before shows its last rows until the new ones are read.
    expect(lines(page).first).to_contain_text("Renamed")
    expect(lines(page).first).to_contain_text("9")
    assert lines(page).all_inner_texts()[: len(there)] == there


def test_next_start_makes_the_snapshot_of_a_closed_page(page: Page) -> None:
    other = page.context.new_page()
    open_palate(other)
    page.close()
    shown = other.evaluate(SAVE_AND_LOOK, ["tasting", NEWEST, {"liking": 8}])
    assert shown == [True, True]
    other.goto("about:blank")
    # The place of the rated wine stays empty, since what it shows is out of date.
    painted = lines(early(other))
    assert [painted.nth(at).inner_text() != "" for at in range(3)] == [False, True, True]
    other.goto("/#/pour")
    wait_until(other, lambda: "stale" not in (other.evaluate(SEEN) or "stale"), "a whole snapshot")
    expect(lines(early(other)).first).to_contain_text("8")


def test_settings_drop_what_the_snapshot_is_made_from(page: Page) -> None:
    open_palate(page)
    settings = ["settings", "00000000-0000-7000-8000-000000000001", {"language": "fr"}]
    assert page.evaluate(SAVE_AND_LOOK, settings) == [False, False]


def test_snapshot_made_during_writes_is_never_stale(page: Page) -> None:
    wait_for_idle(page)
    assert page.evaluate(RENEW_WHILE_WRITING, [NEWEST, 60]) == [[], True]


def test_snapshot_is_painted_without_journaled_edits(page: Page) -> None:
    edits = [{"kind": "tasting", "id": NEWEST, "fields": {"liking": 9}}]
    journal = "(edits) => localStorage.setItem('secondnose.unwritten.0', edits)"
    page.evaluate(journal, json.dumps(edits))
    assert page.evaluate(SEEN)
    painted = lines(early(page))
    assert [painted.nth(at).inner_text() != "" for at in range(3)] == [False, True, True]
    page.evaluate(journal, json.dumps([*edits, {**edits[0], "id": NEW}]))
    expect(early(page).locator(".title-page")).to_be_visible()
    page.evaluate(journal, json.dumps(edits))
    page.reload()
    expect(lines(page).first).to_contain_text("9")
