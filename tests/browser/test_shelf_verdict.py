"""Verdicts on the Shelf: the texts match the scores, and the headline the order."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.engines import tap
from tests.browser.shelf_page import names, open_shelf, rows, wait_for_palate

pytestmark = pytest.mark.browser

SAID = """async ([p_like, mean]) => {
  const text = await import('/features/shelf/list/prediction_text.js');
  const reason = (direction, name) => (
    { what: 'attribute', name, direction, level: 'high', value: 7, effect: 1 });
  const reasons = [reason('raises', 'body'), reason('lowers', 'oak')];
  const score = { p_like, mean, sd: 1, reasons };
  return { why: text.topReason(score), all: text.reasonsText(score), tenths: text.likedOfTen(score),
    chance: text.likelihoodText(score, 1), expected: text.expectedText(score) };
}"""
PRICED = """async () => {
  const { newId, saveMany } = await import('/store/write.js');
  await saveMany([['Oak Lane', 30], ['Ash Lane', 8], ['Yew Lane', 15]].flatMap(([name, price]) => {
    const bottle = newId();
    return [{ kind: 'bottle', id: bottle, fields: { name, label_abv: 13 } },
      { kind: 'pick', id: newId(), fields: { bottle, state: 'open', price } }];
  }));
}"""

JUDGED = """async (count) => {
  const { palate } = await import('/store/palate_cache.js');
  palate.value = { ...palate.value, n_rated: count, n_wines: count };
}"""


def said_of(page: Page, p_like: float, mean: float = 6) -> dict:
    return page.evaluate(SAID, [p_like, mean])


def test_reason_matches_the_verdict(page):
    open_shelf(page)
    assert said_of(page, 0.1, 3)["why"] == "Against it: strong oak."
    assert said_of(page, 0.2, 4)["why"] == "Against it: strong oak."
    assert said_of(page, 0.9)["why"] == "In its favour: a full body."
    assert said_of(page, 0.1, 3)["all"] == [
        "Against it: strong oak.",
        "Still in its favour: a full body.",
    ]
    assert said_of(page, 0.9)["all"] == [
        "In its favour: a full body.",
        "Still against it: strong oak.",
    ]


def test_verdict_agrees_with_the_expected_liking(page):
    open_shelf(page)
    assert said_of(page, 0.35, 6.1)["chance"] == "You may like it a little"
    assert said_of(page, 0.1, 5.0)["chance"] == "You may find it so-so"
    assert said_of(page, 0.05, 4.1)["chance"] == "Probably not for you"
    assert said_of(page, 0.01, 2.5)["chance"] == "Not for you"
    assert said_of(page, 0.5, 6.5)["chance"] == "You may well like it, but it’s not certain"


YOUNG = """async () => {
  const text = await import('/features/shelf/list/prediction_text.js');
  const style = { what: 'style', name: 'barolo', level: 'usual', effect: -1 };
  const reasons = [{ ...style, direction: 'lowers' }];
  const score = { p_like: 0.1, mean: 3, sd: 0.3, reasons };
  return [true, false].flatMap((young) =>
    [text.confidenceText(score, 0, young), text.topReason(score, young)]);
}"""


def test_few_ratings_make_no_verdict_sure(page):
    open_shelf(page)
    assert page.evaluate(YOUNG) == [
        "still rough",
        "",
        "solid",
        "Against it: a kind of wine you tend to like less.",
    ]


def test_shown_score_has_one_label(page):
    open_shelf(page)
    words: dict[int, set[str]] = {}
    for step in range(0, 1001, 10):
        result = said_of(page, step / 1000)
        words.setdefault(result["tenths"], set()).add(result["chance"])
    assert all(len(each) == 1 for each in words.values()), words
    assert said_of(page, 0.5, 6.46)["expected"] == said_of(page, 0.5, 6.54)["expected"]


def test_headline_follows_the_sort_order(page):
    open_shelf(page)
    wait_for_palate(page)
    page.evaluate(PRICED)
    page.evaluate(JUDGED, 3)
    expect(rows(page)).to_have_count(3)
    for order, opening in (("cheapest", "Cheapest: Ash Lane"), ("newest", "Newest:")):
        tap(page.get_by_role("button", name="Sorted by:"))
        tap(page.get_by_role("radio", name=order))
        tap(page.get_by_role("button", name="Show", exact=True))
        best = page.get_by_text(re.compile(f"^{opening}"))
        expect(best).to_be_visible()
        sentence = best.inner_text()
        assert sorted(names(page), key=sentence.index) == names(page)
        assert rows(page).first.locator("b").inner_text().lower() in sentence.lower()


def test_no_pick_is_scored_before_the_first_rating(page):
    open_shelf(page)
    wait_for_palate(page)
    page.evaluate(PRICED)
    expect(rows(page)).to_have_count(3)
    expect(page.get_by_text("You haven’t rated a wine yet")).to_be_visible()
    expect(page.get_by_text(re.compile(r"^Best match: \w+ Lane, \d+\. Next:"))).to_be_visible()
    expect(rows(page).locator("b")).to_have_count(0)
    expect(rows(page).get_by_text(re.compile(r"^~\d$"))).to_have_count(0)
    page.evaluate(JUDGED, 1)
    expect(page.get_by_text("You’ve rated only 1 wine so far")).to_be_visible()
    expect(rows(page).locator("b")).to_have_count(3)


@pytest.mark.extended
def test_pick_details_without_a_verdict_say_so(page):
    open_shelf(page)
    wait_for_palate(page)
    page.evaluate(PRICED)
    tap(rows(page).get_by_role("button").first)
    sheet = page.get_by_role("dialog")
    expect(sheet).to_contain_text("We don’t know your taste yet")
    expect(sheet).not_to_contain_text(re.compile("yours:|of ten bottles|liked bottle"))
    page.evaluate(JUDGED, 1)
    expect(sheet).to_contain_text("of ten bottles like this")
    expect(sheet).not_to_contain_text("We don’t know your taste yet")
