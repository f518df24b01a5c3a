"""Style suggestions from wine names: in a pasted list, in a pour and on the Shelf."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.any_page import items
from tests.browser.engines import tap
from tests.browser.pour_page import open_pour, records, written
from tests.browser.shelf_page import open_shelf, row
from tests.browser.waiting import wait_until

pytestmark = pytest.mark.browser

ROOT = Path(__file__).resolve().parents[2]
LINES = json.loads((ROOT / "tests/names/list_lines.json").read_text(encoding="utf-8"))["lines"]
WORDS = json.loads((ROOT / "static/words/en/styles.json").read_text(encoding="utf-8"))
FAMOUS = [line for line in LINES if line.get("famous")]


def paste_famous(page: Page) -> None:
    open_shelf(page)
    tap(page.get_by_role("button", name="Add a list", exact=True))
    lines = [f"{line['name']};{line.get('region', '')};12;20" for line in FAMOUS]
    text = "\n".join(["name;region;alcohol;price", *lines])
    page.get_by_role("textbox", name="Paste the list here").fill(text)
    tap(page.get_by_role("button", name=re.compile(r"Show \d+ more")))
    expect(to_add(page)).to_have_count(len(FAMOUS))


def to_add(page: Page) -> Locator:
    return items(page, f"{len(FAMOUS)} bottles to add")


@pytest.mark.extended
def test_list_of_famous_names_finds_every_style(page):
    paste_famous(page)
    shown = to_add(page).get_by_role("button", name="Style").all_inner_texts()
    found = [text.split("\n")[0].strip() for text in shown]
    assert found == [WORDS[f"style.{line['style']}"] for line in FAMOUS]


def test_style_of_a_list_row_can_be_corrected(page):
    paste_famous(page)
    tap(to_add(page).get_by_role("button", name="Style").first)
    finder = page.get_by_role("dialog").last
    finder.get_by_role("searchbox").fill("dolcetto")
    tap(finder.get_by_role("listitem").get_by_role("button").first)
    tap(page.get_by_role("button", name=f"Add {len(FAMOUS)} bottles"))
    expect(row(page, FAMOUS[0]["name"]).first).to_contain_text("Dolcetto")
    styles = [bottle.get("style") for bottle in records(page, "bottle")]
    assert sorted(styles) == sorted(["red_dolcetto", *(line["style"] for line in FAMOUS[1:])])


def test_typed_name_fills_in_its_style_in_a_pour(page):
    thumb = open_pour(page)
    thumb.type_into("bottle.name", "Chianti Classico")
    style = page.get_by_role("button", name=re.compile("^Style"))
    expect(style).to_contain_text("Chianti Classico")
    thumb.type_into("bottle.name", "Riesling")
    thumb.press(
        page.get_by_role("group", name="Styles that fit").get_by_role("button", name="Kabinett")
    )
    expect(style).to_contain_text("Kabinett")
    thumb.type_into("bottle.name", "Chianti Classico Riserva")
    expect(style).to_contain_text("Kabinett")


def test_shelf_name_gives_a_certain_style_and_its_year(page):
    open_shelf(page)
    tap(page.get_by_role("button", name="Add a bottle"))
    sheet = page.get_by_role("dialog", name="Add a bottle")
    sheet.get_by_label("Name").fill("Chianti Classico")
    expect(sheet.get_by_role("button", name="Style")).to_contain_text("Chianti Classico")
    sheet.get_by_label("Name").fill("Riesling")
    offered = sheet.get_by_role("group", name="Styles that fit")
    expect(offered).to_contain_text("Off-dry Riesling, Kabinett style")
    expect(offered.get_by_text("Styles that fit")).to_be_visible()
    sheet.get_by_role("textbox", name="Name").fill("Nebiolo 2016")
    tap(sheet.get_by_role("button", name="Next bottle"))
    expect(sheet.get_by_text("Nebiolo 2016 was added.")).to_be_visible()
    written(page)
    assert named(page) == [{"name": "Nebiolo", "vintage": 2016}]
    # The answer stands in the sheet, because a toast behind it could not be tapped.
    tap(sheet.get_by_role("button", name="It’s part of the name"))
    expect(sheet.get_by_role("status").filter(has_text="Nebiolo 2016 was added.")).to_be_visible()
    expect(sheet.get_by_text("2016 is now the vintage.")).to_have_count(0)
    wait_until(page, lambda: named(page) == [{"name": "Nebiolo 2016"}], "the name as it was typed")


def named(page: Page) -> list[dict[str, object]]:
    bottles = records(page, "bottle")
    return [{key: b[key] for key in ("name", "vintage") if key in b} for b in bottles]
