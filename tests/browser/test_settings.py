"""The Settings screen: storage status, saved preferences, export and legal text."""

from __future__ import annotations

import io
import json
import re
import tomllib
import urllib.request
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.any_page import fact, items, sync_state, toast
from tests.browser.live_server import LiveServer
from tests.browser.pour_page import records
from tests.browser.waiting import wait_until

ROOT = Path(__file__).resolve().parents[2]

# 27 CFR 16.21 prescribes this exact text.
LEGAL_TEXT = (
    "GOVERNMENT WARNING: (1) According to the Surgeon General, women should not drink alcoholic"
    " beverages during pregnancy because of the risk of birth defects. (2) Consumption of alcoholic"
    " beverages impairs your ability to drive a car or operate machinery, and may cause health"
    " problems."
)

# Stores an invalid vintage, which an older release may have accepted.
HOLD_A_WRONG_VINTAGE = """async () => {
  const { db } = await import('/store/database.js');
  const { newId, toRow, emptyRecord } = await import('/store/record.js');
  const id = newId();
  const clock = `${Date.now()}-0000-olderphone1`;
  const fields = { name: 'Ferme des Trois Chouettes', vintage: 12 };
  const clocks = { name: clock, vintage: clock };
  await db.bottle.put(toRow({ ...emptyRecord('bottle', id), fields, clocks }));
  await db.outbox.put({ id, kind: 'bottle', fields, clocks, deleted: false, deleted_clock: null,
    held: 0, errors: null, tries: 0, not_before_ms: 0 });
  return id;
}"""


@pytest.fixture
def settings_page(phone: Any) -> Page:
    page = phone().new_page()
    page.goto("/#/settings")
    expect(page.get_by_role("heading", name="Where your notes are")).to_be_visible()
    return page


@pytest.fixture(scope="module")
def still_page(browser: Browser, server: LiveServer) -> Iterator[Page]:
    """Open the Settings screen without records, for tests that write nothing."""
    context = browser.new_context(
        viewport={"width": 360, "height": 780},
        locale="en-GB",
        base_url=server.url,
        service_workers="block",
    )
    page = context.new_page()
    page.goto("/#/settings")
    yield page
    context.close()


def test_unsynced_notes_are_counted_and_synced_later(settings_page, live_server):
    expect(fact(settings_page, "Not backed up yet")).to_have_text("nothing")
    live_server.kill()
    settings_page.get_by_role("radio", name="°F").click()
    expect(fact(settings_page, "Not backed up yet")).to_have_text("1 change")
    settings_page.get_by_role("button", name="Back up now").click()
    # The part about the server says it too.
    expect(toast(settings_page, "Your backup can’t be reached right now").last).to_be_visible()
    live_server.start()
    settings_page.get_by_role("button", name="Back up now").click()
    expect(fact(settings_page, "Not backed up yet")).to_have_text("nothing")
    expect(fact(settings_page, "Last backed up")).not_to_have_text("not yet")


def test_rejected_record_shows_its_reason_and_is_editable(settings_page, live_server):
    bottle = settings_page.evaluate(HOLD_A_WRONG_VINTAGE)
    settings_page.get_by_role("button", name="Back up now").click()
    refused = items(settings_page, "To correct")
    expect(refused).to_contain_text("Ferme des Trois Chouettes")
    expect(refused).to_contain_text("Vintage: Please enter 1800 or more.")
    expect(sync_state(settings_page, "1 item to correct")).to_be_visible()
    expect(refused.get_by_role("link", name="Edit")).to_have_attribute("href", re.compile(bottle))
    refused.get_by_role("button", name="Clear this entry").click()
    expect(refused).to_have_count(0)
    expect(fact(settings_page, "Not backed up yet")).to_have_text("nothing")
    with urllib.request.urlopen(f"{live_server.url}/api/export", timeout=20) as answer:
        book = zipfile.ZipFile(io.BytesIO(answer.read()))
    name = next(name for name in book.namelist() if name.endswith("bottle.jsonl"))
    kept = [json.loads(row) for row in book.read(name).decode().splitlines()]
    assert [row["fields"]["name"] for row in kept] == ["Ferme des Trois Chouettes"]
    assert kept[0]["fields"].get("vintage") is None


def test_example_is_loaded_and_removed_by_one_tap(settings_page):
    settings_page.get_by_role("button", name="Show sample notes").click()
    expect(fact(settings_page, "On this phone")).to_have_text("79 notes")
    settings_page.get_by_role("button", name="Remove the sample notes").click()
    expect(fact(settings_page, "On this phone")).to_have_text("0 notes")
    settings_page.get_by_role("button", name="Undo").click()
    expect(fact(settings_page, "On this phone")).to_have_text("79 notes")


BACKGROUND = "getComputedStyle(document.documentElement).backgroundColor"


@pytest.mark.extended
def test_theme_changes_at_once_and_persists(settings_page):
    root = settings_page.locator("html")
    settings_page.get_by_role("radio", name="dark").click()
    expect(root).to_have_attribute("data-light", "night")
    by_night = settings_page.evaluate(BACKGROUND)
    settings_page.reload()
    expect(root).to_have_attribute("data-light", "night")
    settings_page.get_by_role("radio", name="light").click()
    expect(root).to_have_attribute("data-light", "day")
    by_day = settings_page.evaluate(BACKGROUND)
    assert by_day != by_night
    settings_page.emulate_media(color_scheme="dark")
    assert settings_page.evaluate(BACKGROUND) == by_day
    settings_page.get_by_role("radio", name="same as phone").click()
    expect(root).to_have_attribute("data-light", "auto")
    assert settings_page.evaluate(BACKGROUND) == by_night


def highest_alcohol(page: Page) -> float | None:
    [row] = records(page, "settings")
    return row.get("wanted_abv_high")


@pytest.mark.service_worker
def test_settings_persist_after_a_restart(phone, tmp_path, live_server):
    context = phone(tmp_path / "own")
    page = context.new_page()
    page.goto("/#/settings")
    page.get_by_label("Standard drink").select_option("AU")
    page.get_by_label("Where you mostly buy").select_option("US")
    page.get_by_label("Room temperature").fill("21,5")
    page.get_by_role("radio", name="US fluid ounces").click()
    expect(page.get_by_text("fl oz", exact=True)).to_be_visible()
    page.get_by_label("Usual amount per glass").fill("2.5")
    page.get_by_role("slider", name="Highest alcohol").focus()
    for _ in range(3):
        page.keyboard.press("ArrowLeft")
    expect(page.get_by_text("up to 18.5%")).to_be_visible()
    # The page shows a value before it is stored, and the browser is closed like a lost phone.
    wait_until(page, lambda: highest_alcohol(page) == 18.5, "the last value")
    expect(fact(page, "Not backed up yet")).to_have_text("nothing")
    page.evaluate("navigator.serviceWorker.ready.then(() => null)")
    context.close()
    live_server.kill()
    page = phone(tmp_path / "own").new_page()
    page.goto("/#/settings")
    expect(page.get_by_label("Standard drink")).to_have_value("AU")
    expect(page.get_by_label("Where you mostly buy")).to_have_value("US")
    expect(page.get_by_label("Room temperature")).to_have_value("21.5")
    expect(page.get_by_label("Usual amount per glass")).to_have_value("2.5")
    expect(page.get_by_text("up to 18.5%")).to_be_visible()


def test_temperature_is_stored_in_celsius(still_page):
    still_page.get_by_role("radio", name="°F").click()
    room = still_page.get_by_label("Room temperature")
    expect(room).to_have_accessible_description(re.compile("°F"))
    still_page.get_by_label("Room temperature").fill("68")
    still_page.get_by_role("radio", name="°C").click()
    expect(still_page.get_by_label("Room temperature")).to_have_value("20")


def test_full_archive_can_be_downloaded(still_page):
    with still_page.expect_download() as started:
        still_page.get_by_role("button", name="Save a copy").click()
    with zipfile.ZipFile(started.value.path()) as book:
        assert any(name.endswith("book.json") for name in book.namelist())
    name = started.value.suggested_filename
    expect(still_page.get_by_text(f"Saved as {name}")).to_be_visible()


@pytest.mark.extended
def test_erasure_is_the_last_section(settings_page):
    settings_page.evaluate("async () => (await import('/sync/index.js')).syncNow()")
    settings_page.reload()
    expect(settings_page.get_by_text("Erase all my notes")).to_be_visible()
    last = settings_page.get_by_role("region").last
    expect(last).to_contain_text("Erase all my notes")


@pytest.mark.extended
def test_copy_on_the_phone_counts_no_samples(settings_page):
    settings_page.evaluate("async () => (await import('/store/example.js')).loadExample()")
    count = settings_page.evaluate("""async () => {
      const { save, newId } = await import('/store/write.js');
      await save('tasting', newId(), { words: 'own' });
      const { writeArchive } = await import('/archive/write_archive.js');
      return (await writeArchive()).notes;
    }""")
    assert count == 1


@pytest.mark.extended
def test_currency_looks_like_the_other_lists(settings_page):
    settings_page.evaluate("""async () => {
      const { save } = await import('/store/write.js');
      const { settingsId } = await import('/store/record.js');
      await save('settings', settingsId, { currency: 'EUR', drink_country: 'CH' });
    }""")
    currency = settings_page.get_by_role("button", name="Currency")
    expect(currency).to_contain_text("€")
    country = settings_page.get_by_label("Standard drink")
    expect(country).to_have_value("CH")
    look = """(node) => {
      const style = getComputedStyle(node);
      return [style.fontFamily, style.fontSize, style.color, style.backgroundImage,
        style.borderBottom, node.getBoundingClientRect().height];
    }"""
    assert currency.evaluate(look) == country.evaluate(look)
    text = "(node) => getComputedStyle(node).fontFamily"
    assert currency.locator("span").evaluate(text) == country.evaluate(text)


def test_language_comes_before_the_other_settings(still_page):
    expect(still_page.get_by_role("heading", name="About Second Nose")).to_be_visible()
    titles = still_page.locator(".settings-part > h2").all_inner_texts()
    assert titles[:2] == ["Where your notes are", "Language and appearance"]


@pytest.mark.extended
def test_language_choice_is_in_view_after_its_change(settings_page):
    language = settings_page.locator("#settings-look")
    settings_page.get_by_label("Language", exact=True).select_option("it")
    expect(settings_page.get_by_role("heading", name="Lingua e aspetto")).to_be_in_viewport()
    expect(language).to_be_in_viewport()


def test_cautions_quote_the_law_and_make_no_driving_claim(still_page):
    care = still_page.get_by_role("region", name="Alcohol and your health")
    assert care.locator("blockquote").inner_text() == LEGAL_TEXT
    text = care.inner_text()
    assert "Never drink and drive" in text
    assert "pregnancy" in text
    assert not re.search(r"blood alcohol|promille|fit to drive|safe to drive|may drive", text)


def test_release_and_licences_match_the_project(still_page):
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    expect(fact(still_page, "Version")).to_have_text(project["version"])
    vendored = json.loads((ROOT / "static/vendor/vendored.json").read_text(encoding="utf-8"))
    theirs = {
        (re.sub(r"^workbox-.*", "workbox", one["package"]), one["license"])
        for one in vendored["files"]
    }
    still_page.get_by_text("Open-source software used").click()
    shown = still_page.locator("details dl > div")
    ours = {(row.locator("dt").inner_text(), row.locator("dd").inner_text()) for row in shown.all()}
    assert ours == theirs


def test_nothing_overflows(still_page):
    expect(still_page.get_by_role("heading", name="About Second Nose")).to_be_visible()
    assert still_page.evaluate("document.documentElement.scrollWidth") <= 360
