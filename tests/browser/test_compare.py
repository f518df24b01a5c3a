"""The comparison of tastings: its two addresses, its picker, and omitted rows."""

from __future__ import annotations

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.any_page import items, part
from tests.browser.engines import tap
from tests.browser.pour_page import open_pour
from tests.browser.seed_records import put
from tests.browser.shelf_page import TOO_WIDE

pytestmark = pytest.mark.browser

DAYS = ("2026-05-02", "2026-05-03", "2026-05-04")


@pytest.fixture
def tastings(page: Page) -> list[str]:
    """Create three tastings of three wines, oldest first; the last has the fewest fields."""
    open_pour(page)
    items = (
        {"acidity": 3, "body": 6, "liking": 7, "first_nose_words": ["rose", "tar:2"],
         "look_hue": "red_ruby", "words": "Quiet."},
        {"acidity": 5, "finish_s": 20, "liking": 4, "first_nose_words": ["rose"]},
        {"acidity": 8},
    )  # fmt: skip
    return [
        put(
            page,
            "tasting",
            {
                "bottle": put(page, "bottle", {"name": f"Cask {at + 1}", "style": "wht_chablis"}),
                "tasted_at": f"{day}T18:00:00+02:00",
                "closed_at": f"{day}T18:10:00+02:00",
                **fields,
            },
        )
        for at, (day, fields) in enumerate(zip(DAYS, items, strict=True))
    ]


def sides(page: Page) -> Locator:
    return items(page, "Compared wines")


def compared(page: Page, hash_: str, count: int) -> str:
    """Open the comparison at this address, and return its text after the names are shown."""
    page.goto(f"/#/{hash_}")
    expect(sides(page)).to_have_count(count)
    return page.locator("main ul, main section").evaluate_all(
        "(all) => all.map((each) => each.textContent).join()"
    )


@pytest.mark.extended
def test_both_addresses_show_one_comparison(page, tastings):
    one, two, _ = tastings
    from_book = compared(page, f"book/side/{one}/{two}", 2)
    page.goto("about:blank")
    assert compared(page, f"pour/side?of={one},{two}", 2) == from_book
    assert "Cask 1" in from_book
    assert page.evaluate(TOO_WIDE) == 0


def test_comparison_shows_what_several_noted(page, tastings):
    compared(page, f"book/side/{tastings[0]}/{tastings[1]}", 2)
    acidity = page.get_by_role("group", name="Acidity")
    expect(acidity.get_by_text("A 3, B 5", exact=True)).to_be_attached()
    expect(page.get_by_role("group", name="Body")).to_have_count(0)
    # Only one of them has a hue, which is drawn as a swatch.
    expect(page.locator(".swatch")).to_have_count(1)
    aromas = part(page, "Aromas")
    expect(aromas.get_by_role("term")).to_have_text(["in both", "A"])
    expect(aromas.get_by_role("definition")).to_have_text(["rose", "tar"])
    # The aromas of one alone begin beside its letter.
    letter, alone = (
        aromas.get_by_role(role).last.bounding_box() for role in ("term", "definition")
    )
    assert alone["x"] - (letter["x"] + letter["width"]) < 32
    expect(page.get_by_role("main")).to_contain_text("Quiet.")


@pytest.mark.extended
def test_comparison_with_a_bare_note_has_no_empty_part(page, tastings):
    compared(page, f"book/side/{tastings[2]}/{tastings[2]}", 2)
    expect(page.locator("main section h2")).to_have_text(["Scale by scale"])


def test_tasting_is_added_and_removed_in_the_comparison(page, tastings):
    one, two, three = tastings
    page.goto(f"/#/book/{one}")
    tap(page.get_by_role("button", name="Compare with another"))
    tap(page.get_by_role("dialog").get_by_role("button", name="Cask 2"))
    expect(sides(page)).to_have_count(2)
    assert page.url.endswith(f"#/book/side/{one}/{two}")
    page.goto(f"/#/pour/side?of={one},{two}")
    tap(page.get_by_role("button", name="Add another to compare"))
    tap(page.get_by_role("dialog").get_by_role("button", name="Cask 3"))
    expect(sides(page)).to_have_count(3)
    assert page.url.endswith(f"#/pour/side?of={one},{two},{three}")
    tap(page.get_by_role("button", name="Remove Cask 1"))
    expect(sides(page).get_by_role("link")).to_contain_text(["Cask 2", "Cask 3"])
    assert page.url.endswith(f"#/pour/side?of={two},{three}")


def test_hidden_glass_is_not_named_in_a_comparison(page, tastings):
    bottle = put(page, "bottle", {"name": "Secret", "style": "wht_chablis", "label_abv": 12.5})
    hidden = put(
        page,
        "tasting",
        {"bottle": bottle, "label_hidden": True, "flight_mark": "K", "acidity": 2},
    )
    result = compared(page, f"pour/side?of={tastings[0]},{hidden}", 2)
    assert "K" in sides(page).nth(1).get_by_role("link").inner_text()
    for secret in ("Secret", "12.5"):
        assert secret not in result
    assert result.count("Chablis") == 1
