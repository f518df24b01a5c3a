"""Scenario: twelve bottles in a shop without network, filtered by alcohol and ranked."""

from __future__ import annotations

import datetime
import json
import re
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.any_page import sync_state
from tests.browser.engines import ROOT, both_engines, first_page, tap
from tests.browser.live_server import LiveServer
from tests.browser.seed_server import demo_records, fill, first_tastings
from tests.browser.shelf_page import (
    add_bottle,
    finish_adding,
    names,
    next_bottle,
    open_shelf,
    row,
    rows,
    say_market,
    wait_for_palate,
    want_at_most,
)
from tests.reference.palate_scoring import information_gain, score_compact
from tests.reference.rules.label_position import printed_position
from webapp.rules.alcohol_range import tolerance_range

pytestmark = [pytest.mark.browser, both_engines]

TODAY = datetime.date.today().isoformat()
CEILING = 15
WORDS = json.loads((ROOT / "static/words/en/shelf.json").read_text(encoding="utf-8"))
CODES = ("surely", "probably", "even", "mild", "so_so", "rather_not", "hardly")
POSITION_SAID = {"inside": "in range", "may_stray": "maybe outside"}
CHANCES = re.compile("|".join(WORDS[f"shelf.chance_{code}"] for code in CODES), re.IGNORECASE)
# Invented bottles; `letters` is typed into the style search.
SHELF: list[dict[str, Any]] = [
    {"name": "Drei Kieselweg", "letters": "dry riesling central", "abv": 12.5, "price": 11.9},
    {"name": "Monte Sordo", "letters": "chianti", "abv": 13.5, "price": 14.5},
    {"name": "Haute Pierre", "letters": "cotes du rhone", "abv": 14.5, "price": 9.8},
    {"name": "Colle Basso", "letters": "amarone", "abv": 15.5, "price": 39},
    {"name": "Quinta da Lua", "letters": "port tawny", "abv": 20, "price": 22},
    {"name": "Cerro Alto", "letters": "rioja", "abv": 14, "price": 12},
    {"name": "Petit Sureau", "letters": "sauvignon", "abv": 13, "price": 10.5},
    {"name": "Les Trois Bancs", "letters": "champagne brut", "abv": 12, "price": 34},
    {"name": "Sasso Vivo", "letters": "barolo", "abv": 14.5, "price": 36},
    {"name": "Bodega Sin Sol", "letters": "ribera", "abv": 15, "price": 18},
    {"name": "Green Kettle", "letters": "albarino", "abv": None, "price": 13},
]
NAMES = [bottle["name"] for bottle in SHELF]
SCORED = ("style", "label_abv")
COMPACT = "async () => (await import('/store/palate_cache.js')).palate.value.compact"


@pytest.fixture
def known(live_server) -> LiveServer:
    """Give the server forty tastings."""
    fill(live_server.url, first_tastings(40))
    return live_server


@pytest.fixture
def shop(phone, known) -> Page:
    """Open the Shelf on a phone that has these tastings and their palate."""
    return shelf_with_palate(phone())


@pytest.fixture
def offline_shop(phone, known, tmp_path) -> Page:
    """Open the Shelf on such a phone that was started again without its server."""
    before = phone(tmp_path / "pocket")
    shelf_with_palate(before).evaluate("() => navigator.serviceWorker.ready.then(() => undefined)")
    before.close()
    known.kill()
    page = first_page(phone(tmp_path / "pocket"))
    open_shelf(page)
    return page


def shelf_with_palate(phone: BrowserContext) -> Page:
    page = first_page(phone)
    open_shelf(page)
    wait_for_palate(page)
    expect(sync_state(page, "all saved")).to_be_visible()
    return page


def tasted_bottle() -> dict[str, Any]:
    """Return a bottle of the first forty tastings, with a tasting that has a rating and words."""
    tasting = next(
        t
        for t in first_tastings(40)
        if t["kind"] == "tasting" and t["fields"].get("liking") and t["fields"].get("words")
    )
    bottles = {b["id"]: b for b in demo_records("bottle")}
    return {"tasting": tasting["fields"], "bottle": bottles[tasting["fields"]["bottle"]]["fields"]}


def fill_the_shelf(page: Page, shelf: list[dict[str, Any]] = SHELF) -> None:
    for at, bottle in enumerate(shelf):
        add_bottle(page, bottle)
        if at == 0:
            say_market(page, "european")
        next_bottle(page)
    last = {"name": tasted_bottle()["bottle"]["name"], "known": True, "price": 17}
    add_bottle(page, last)
    finish_adding(page, last)


def name_on_shelf(bottle: dict[str, Any]) -> str:
    return " ".join(str(part) for part in (bottle["name"], bottle.get("vintage")) if part)


def kept_bottles(page: Page) -> dict[str, dict[str, Any]]:
    script = """async () => {
      await (await import('/domain/pour/autosave_queue.js')).whenIdle();
      const { bottlesById, picks } = await import('/store/queries.js');
      const bottles = await bottlesById();
      return (await picks()).map((pick) => bottles.get(pick.fields.bottle).fields);
    }"""
    return {bottle["name"]: bottle for bottle in page.evaluate(script)}


def positions_of(kept: dict[str, dict[str, Any]]) -> dict[str, str]:
    return {
        name: printed_position(bottle, tolerance_range(bottle, TODAY), {"high": CEILING})
        for name, bottle in kept.items()
    }


def likely_order(page: Page, bottles: dict[str, dict[str, Any]]) -> list[str]:
    """Return the names in the order of the server's scores for the cached palate."""
    compact = page.evaluate(COMPACT)
    mean = {
        name: score_compact(compact, {field: bottle.get(field) for field in SCORED})["mean"]
        for name, bottle in bottles.items()
    }
    return sorted(mean, key=lambda name: -mean[name])


@pytest.mark.service_worker
def test_twelve_picks_are_filtered_sorted_and_bought_offline(offline_shop):
    page = offline_shop
    fill_the_shelf(page)
    want_at_most(page, CEILING)
    kept = kept_bottles(page)
    assert len(kept) == 12

    positions = positions_of(kept)
    assert positions["Drei Kieselweg"] == "inside"
    assert positions["Haute Pierre"] == positions["Sasso Vivo"] == "inside"
    assert positions["Bodega Sin Sol"] == positions["Green Kettle"] == "may_stray"
    assert positions["Quinta da Lua"] == "outside"
    staying = [name for name, position in positions.items() if position != "outside"]
    assert sorted(names(page)) == sorted(name_on_shelf(kept[name]) for name in staying)
    for name in staying:
        said = (
            POSITION_SAID[positions[name]] if kept[name].get("label_abv") else "alcohol not entered"
        )
        expect(row(page, name)).to_contain_text(said)
    expect(page.get_by_text(f"{12 - len(staying)} outside the alcohol you want")).to_be_visible()
    expect(row(page, "Green Kettle")).to_contain_text("alcohol not entered")

    new = {name: kept[name] for name in staying if name in NAMES}
    assert [name for name in names(page) if name in NAMES] == likely_order(page, new)
    for name in new:
        expect(row(page, name).get_by_role("paragraph").first).to_contain_text(CHANCES)

    best = next(name for name in names(page) if name in NAMES)
    tap(row(page, best).get_by_role("button", name=f"Bought: {best}"))
    expect(page.get_by_text("1 bought")).to_be_visible()
    expect(page.get_by_text("1 bottle at home")).to_be_visible()
    expect(rows(page).filter(has_text=best)).to_have_count(0)

    page.reload()
    expect(page.get_by_text("1 bought")).to_be_visible()
    assert len(kept_bottles(page)) == 12


def test_known_bottle_shows_its_note(shop):
    page = shop
    tasted = tasted_bottle()
    bottle = {"name": tasted["bottle"]["name"], "known": True, "price": 17}
    add_bottle(page, bottle)
    finish_adding(page, bottle)
    again = row(page, tasted["bottle"]["name"])
    expect(again).to_contain_text(tasted["tasting"]["words"])
    liking = str(tasted["tasting"]["liking"])
    expect(again.get_by_text(liking, exact=True)).to_be_visible()


def test_phone_and_server_give_a_bottle_the_same_numbers(shop):
    page = shop
    add_bottle(page, SHELF[1])
    finish_adding(page, SHELF[1])
    on_phone = page.evaluate("""async () => {
      const { rows } = await import('/features/shelf/list/shelf_state.js');
      const { label, score } = rows.value[0];
      return { label, score };
    }""")
    bottle = {field: on_phone["label"][field] for field in SCORED}
    here = score_compact(page.evaluate(COMPACT), bottle)
    for name in ("mean", "sd", "p_like"):
        assert on_phone["score"][name] == pytest.approx(here[name], abs=1e-6)


def test_most_informative_pick_matches_the_server(shop):
    page = shop
    fill_the_shelf(page, SHELF[:7])
    tap(page.get_by_role("button", name="Sorted by: best match"))
    tap(page.get_by_role("radio", name="most revealing"))
    tap(page.get_by_role("button", name="Show", exact=True))
    compact = page.evaluate(COMPACT)
    asked = {
        name: {field: bottle.get(field) for field in SCORED}
        for name, bottle in kept_bottles(page).items()
        if name in NAMES
    }
    bearable = [name for name in asked if score_compact(compact, asked[name])["mean"] >= 5]
    taught = sorted(bearable, key=lambda name: -information_gain(compact, asked[name]))
    shown = [name for name in names(page) if name in NAMES]
    assert shown[: len(taught)] == taught
    assert len(taught) > 3


def test_pass_can_be_undone(shop):
    page = shop
    add_bottle(page, SHELF[0])
    finish_adding(page, SHELF[0])
    tap(row(page, "Drei Kieselweg").get_by_role("button", name="Skip: Drei Kieselweg"))
    expect(rows(page)).to_have_count(0)
    tap(page.get_by_role("button", name="Undo"))
    expect(rows(page)).to_have_count(1)
