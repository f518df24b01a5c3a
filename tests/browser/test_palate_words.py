"""What the Palate says of its suggestions agrees with their numbers and with the rest of it."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.engines import tap

pytestmark = pytest.mark.browser

SHOW = """async (chance) => {
  const { palate } = await import('/store/palate_cache.js');
  const marks = { too_little: 0, just_right: 0, too_much: 0 };
  const target = (attribute, shape) => ({ attribute, target: shape === 'peak' ? 4 : null, low: 3,
    high: 5, weight: 1, shape, n: 0, dots: [], marks });
  const reason = (name) => ({ what: "attribute", name, direction: "raises", level: "low",
    value: 4.5, effect: 1 });
  const close = { style: 'red_malbec_mendoza', mean: 6.5, sd: 1, sd_of_mean: 1, p_like: chance,
    reasons: [reason('acidity'), reason('body')] };
  palate.value = { ...palate.value, n_rated: 12, levels: [],
    targets: [target('acidity', 'unknown'), target('body', 'peak')],
    next: { close: [close], stretch: [], teaches: [] },
    alcohol: { low_abv: 11, high_abv: 13, best_abv: 12, low_between_abv: [10, 12],
      high_between_abv: [12, 14], known: true, n: 12, dots: [] } };
}"""
LEARNED = """async () => {
  const { refreshPalate } = await import('/store/palate_cache.js');
  await refreshPalate();
  delete (await import('/store/palate_cache.js')).palate.value.example;
}"""


def suggestions(page: Page) -> Locator:
    return page.get_by_role("region", name="What to try next").get_by_role("listitem")


@pytest.fixture
def show(page: Page) -> Any:
    """Return a function that shows one suggestion with this chance of being liked."""
    page.goto("/#/palate")
    page.evaluate(LEARNED)

    def with_chance(chance: float) -> Page:
        page.evaluate(SHOW, chance)
        expect(suggestions(page)).to_have_count(1)
        return page

    return with_chance


def test_two_chances_in_three_are_no_safe_choice(show):
    page = show(0.68)
    expect(page.get_by_role("heading", name="Best bets so far")).to_be_visible()
    expect(page.get_by_role("heading", name="Safe choices")).to_have_count(0)
    show(0.8)
    expect(page.get_by_role("heading", name="Safe choices")).to_be_visible()


def test_few_ratings_make_no_safe_choice(show):
    page = show(0.8)
    page.evaluate("""async () => {
      const { palate } = await import('/store/palate_cache.js');
      const [close] = palate.value.next.close;
      const reasons = [{ what: 'style', name: 'red_malbec_mendoza', direction: 'raises',
        level: null, effect: 1 }];
      palate.value = { ...palate.value, n_rated: 2, levels: ['under_five'],
        next: { ...palate.value.next, close: [{ ...close, reasons }] } };
    }""")
    expect(page.get_by_role("heading", name="Best bets so far")).to_be_visible()
    expect(suggestions(page).get_by_text("80% chance")).to_be_visible()
    expect(suggestions(page).get_by_text("tend to like")).to_have_count(0)


def test_reason_names_nothing_that_is_not_known_yet(show):
    page = show(0.8)
    reason = suggestions(page).get_by_text("In its favour")
    expect(reason).to_have_text("In its favour: a medium body.")


VALUES = """async (parts) => {
  const { palate } = await import('/store/palate_cache.js');
  const [close] = palate.value.next.close;
  const reasons = parts.map(([direction, value]) => ({ what: 'attribute', name: 'body', direction,
    level: 'usual', value, effect: direction === 'raises' ? 0.6 : -0.6 }));
  const next = { ...palate.value.next, close: [{ ...close, reasons }] };
  palate.value = { ...palate.value, next };
}"""


@pytest.mark.parametrize(
    ("direction", "value", "text"),
    [
        ("raises", 5.9, "In its favour: a medium body."),
        pytest.param("raises", 3.8, "In its favour: a medium body.", marks=pytest.mark.extended),
        ("raises", 3.4, "In its favour: a body close to what you like."),
        pytest.param(
            "lowers", 5.9, "Against it: more body than you like.", marks=pytest.mark.extended
        ),
        ("lowers", 3.1, "Against it: less body than you like."),
    ],
)
def test_reason_agrees_with_what_is_liked(show, direction, value, text):
    page = show(0.8)
    liked = page.get_by_role("region", name="What you like in a wine")
    expect(liked).to_contain_text("You like a medium body best")
    page.evaluate(VALUES, [[direction, value]])
    expect(suggestions(page)).to_contain_text(text)
    tap(suggestions(page).get_by_role("button"))
    expect(page.get_by_role("dialog")).to_contain_text(f"(about {value}; you like about 4 best)")


def test_reason_that_contradicts_what_is_liked_is_left_out(show):
    page = show(0.8)
    page.evaluate(VALUES, [["raises", 7.2], ["lowers", 4.2]])
    expect(suggestions(page)).not_to_contain_text("In its favour")
    expect(suggestions(page)).not_to_contain_text("Against it")
    tap(suggestions(page).get_by_role("button"))
    expect(page.get_by_role("dialog")).to_contain_text("We expect you to rate it")
    expect(page.get_by_role("dialog")).not_to_contain_text("What moves this rating")


def test_lines_of_the_palate_have_ends(show):
    page = show(0.8)
    lines = page.get_by_role("region", name="What you like in a wine").locator("li")
    expect(lines.filter(has_text="Body").first).to_contain_text("like cream 10")
    expect(lines.filter(has_text="%").first).to_contain_text("20%")


def test_notes_made_offline_are_not_counted_yet(show):
    page = show(0.8)
    message = page.get_by_text("What you noted offline doesn’t count here yet.")
    expect(message).to_have_count(0)
    page.context.set_offline(True)
    tap(page.get_by_role("link", name="Pour"))
    page.get_by_role("textbox", name="Name").fill("Quiet Ledge")
    tap(page.get_by_role("button", name="Save", exact=True))
    tap(page.get_by_role("link", name="Palate"))
    expect(message).to_be_visible()
    page.context.set_offline(False)
