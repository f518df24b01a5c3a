"""Setting a table, on the leader's phone: glasses, what is asked, what guests are told."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.any_page import toast
from tests.browser.engines import tap
from tests.browser.table_page import open_tasted
from tests.browser.waiting import LIMIT_S, wait_for_idle

pytestmark = pytest.mark.browser

# Both taps at one place, the second once the screen has followed the first.
DOUBLE_TAP = """async (button) => {
  const { x, y, width, height } = button.getBoundingClientRect();
  const place = { clientX: x + width / 2, clientY: y + height / 2 };
  const there = () => document.elementFromPoint(place.clientX, place.clientY);
  const press = (detail) => there().dispatchEvent(
    new MouseEvent('click', { ...place, detail, bubbles: true, cancelable: true }));
  const [before, said] = [there(), there().textContent];
  press(1);
  const end = performance.now() + %d;
  while (there() === before && before.textContent === said) {
    if (performance.now() > end) throw new Error('the first tap did nothing');
    await new Promise(requestAnimationFrame);
  }
  press(2);
}"""


def double_tap(button: Locator) -> None:
    """Tap twice at one place, and wait for what the second tap might do."""
    button.evaluate(DOUBLE_TAP % (LIMIT_S * 1000))
    wait_for_idle(button.page)


def test_table_is_set_with_new_wines_and_settings(leader, page):
    leader.set_new("Friday reds", "Torre Quarzo", "Clos Verrin")
    leader.press("visible", "radio")
    leader.press("rating only", "radio")
    leader.press("without names", "radio")
    expect(page.get_by_role("heading", level=1)).to_have_text("Friday reds")
    leader.start()
    [table] = leader.rows("group_tasting")
    assert (table["name"], table["steps"]) == ("Friday reds", ["verdict"])
    assert (table["labels_hidden"], table["names_shown"]) == (False, False)
    names = [row["name"] for row in leader.rows("bottle")]
    assert sorted(names) == ["Clos Verrin", "Torre Quarzo"]
    assert [glass["mark"] for glass in leader.rows("glass")] == ["A", "B"]


def test_double_tap_does_not_press_what_comes_next(leader, page):
    leader.set_new("Whites", "First")
    leader.press("Add a glass")
    page.get_by_role("dialog").get_by_role("searchbox").fill("Second")
    double_tap(page.get_by_role("dialog").get_by_role("button", name="Add “Second”"))
    expect(leader.glasses()).to_have_count(2)
    double_tap(page.get_by_role("button", name="Start tasting"))
    leader.sees_step("Look")
    double_tap(page.get_by_role("button", name="Next: First nose"))
    leader.sees_step("First nose")


@pytest.mark.extended
def test_guesses_are_offered_only_where_they_make_sense(leader, page):
    leader.set_new("Reds", "Torre Quarzo")
    guesses = page.get_by_role("radiogroup", name="Guess before uncovering?")
    asked = guesses.get_by_role("radio", name="yes")
    expect(asked).to_be_checked()
    leader.press("rating only", "radio")
    expect(guesses.get_by_role("radio", name="no")).to_be_checked()
    leader.press("nose, sips, rating", "radio")
    expect(asked).to_be_checked()
    leader.press("visible", "radio")
    expect(guesses).to_have_count(0)


def test_name_typed_fast_is_stored_whole(leader, page):
    leader.set_new("")
    name = "Reds of the north, second evening"
    page.get_by_label("Name of the table").press_sequentially(name, delay=1)
    expect(page.get_by_role("heading", level=1)).to_have_text(name)
    expect(page.get_by_label("Name of the table")).to_have_value(name)
    assert leader.rows("group_tasting")[0]["name"] == name


@pytest.mark.extended
def test_glass_moves_up_and_comes_back_after_undo(leader, page):
    leader.set_new("Whites", "First", "Second", "Third")
    leader.press("Move glass C up")
    expect(leader.glasses()).to_contain_text(["First", "Third", "Second"])
    leader.press("Remove glass A")
    expect(leader.glasses()).to_contain_text(["Third", "Second"])
    leader.press("Undo")
    expect(leader.glasses()).to_contain_text(["First", "Third", "Second"])


def test_wine_poured_twice_is_named_and_taken_back_exactly(leader, page):
    leader.set_new("Whites", "First", "Second", "Third")
    # An empty glass between them keeps its place, too.
    leader.press("Add a glass")
    tap(page.get_by_role("dialog").get_by_role("button", name="Close"))
    before = leader.rows("glass")
    names = leader.glass_names().all_inner_texts()
    twice = page.get_by_role("radiogroup", name="Pour one wine twice?")
    for _ in range(4):
        leader.press("yes, at random", "radio")
        expect(leader.glasses()).to_have_count(len(before) + 1)
        added = leader.glasses().filter(has_text="the same wine as")
        expect(added).to_have_count(1)
        mark = added.inner_text().split()[0]
        expect(toast(page, f"Glass {mark} is the same wine as glass")).to_be_visible()
        listed = leader.glass_names(without="the same wine as")
        expect(listed).to_have_text(names)
        # The choice names what it takes away.
        tap(twice.get_by_role("radio", name=f"no, remove glass {mark}", exact=True))
        expect(leader.glasses()).to_have_count(len(before))
        assert leader.rows("glass") == before


def test_glass_added_again_by_hand_is_kept(leader, page):
    leader.set_new("Reds", "First", "Second")
    leader.press("Add a glass")
    tap(page.get_by_role("dialog").get_by_role("button", name="First", exact=True))
    expect(leader.glasses()).to_have_count(3)
    expect(page.get_by_text("A and C are the same wine.", exact=True)).to_be_visible()
    twice = page.get_by_role("radiogroup", name="Pour one wine twice?")
    none = twice.get_by_role("radio", name="no", exact=True)
    expect(none).to_be_checked()
    before = leader.rows("glass")
    leader.press("yes, at random", "radio")
    expect(leader.glasses()).to_have_count(4)
    tap(twice.get_by_role("radio", name=re.compile("^no, remove glass")))
    expect(none).to_be_checked()
    assert leader.rows("glass") == before


def test_glass_says_which_truth_is_missing(leader, page):
    leader.set_new("Reds", "Torre Quarzo 2019")
    missing = leader.glasses().get_by_role("button", name=re.compile("^Not noted"))
    expect(missing).to_have_text("Not noted: alcohol, style and grape")
    expect(
        page.get_by_text(
            "Still needed to check the guesses: alcohol of A · style of A · grape of A"
        )
    ).to_be_visible()
    tap(missing)
    dialog = page.get_by_role("dialog")
    dialog.get_by_label("Alcohol on the label").fill("13.5")
    dialog.get_by_label("Grapes").fill("Nebbiolo")
    tap(dialog.get_by_role("button", name="Done"))
    expect(missing).to_have_text("Not noted: style")
    [bottle] = leader.rows("bottle")
    assert (bottle["name"], bottle["vintage"]) == ("Torre Quarzo", 2019)
    assert (bottle["label_abv"], bottle["grapes"]) == (13.5, "Nebbiolo")
    guesses = page.get_by_role("radiogroup", name="Guess before uncovering?")
    tap(guesses.get_by_role("radio", name="no", exact=True))
    expect(missing).to_have_count(0)


@pytest.mark.extended
def test_own_order_without_a_leader_opens_all_glasses(leader, page):
    leader.set_new("Whites", "First", "Second")
    leader.press("different for each guest", "radio")
    choice = page.get_by_role("radio", name="each at their own pace").element_handle()
    start = page.get_by_role("button", name="Start tasting").element_handle()
    # Both come before the screen is drawn anew, as on a slow phone.
    page.evaluate("(pair) => pair.forEach((one) => one.click())", [choice, start])
    expect(page.get_by_role("button", name="End tasting")).to_be_visible()
    [table] = leader.rows("group_tasting")
    assert (table["order"], table["pace"]) == ("balanced", "free")
    assert "open_glass" not in table


def test_invitation_without_a_network_offers_other_ways(leader, page):
    leader.set_new("Friday reds", "Torre Quarzo")
    leader.press("Invite guests", "link")
    expect(page.get_by_text("still pass one phone round")).to_be_visible()
    expect(page.get_by_role("link", name=re.compile("Pass one phone round"))).to_be_visible()
    expect(page.get_by_role("link", name=re.compile("QR codes"))).to_be_visible()


def test_what_guests_were_told_only_becomes_more_private(leader, page):
    page.goto("/#/table")
    open_tasted(page, "/set", names_shown=True)
    expect(page.get_by_role("radiogroup", name="Show answers")).to_be_visible()
    expect(page.get_by_role("radiogroup", name="Your guests’ answers")).to_have_count(0)
    leader.press("without names", "radio")
    expect(page.get_by_role("radiogroup", name="Show answers")).to_have_count(0)
    assert leader.rows("group_tasting")[0]["names_shown"] is False


def test_empty_glass_gets_its_wine_after_the_start(leader, page):
    page.goto("/#/table")
    leader.press(re.compile("Short lesson: one glass"))
    expect(leader.glasses()).to_have_count(1)
    leader.start()
    leader.press("Table settings", "link")
    leader.press("choose a wine")
    dialog = page.get_by_role("dialog")
    dialog.get_by_role("searchbox").fill("Torre Quarzo")
    tap(dialog.get_by_role("button", name="Add “Torre Quarzo”"))
    expect(leader.glasses()).to_contain_text("Torre Quarzo")
    assert "bottle" in leader.rows("glass")[0]


def test_glass_is_added_with_alcohol_and_style(leader, page):
    leader.set_new("Reds")
    leader.press("Add a glass")
    dialog = page.get_by_role("dialog").first
    expect(dialog.get_by_label("Vintage")).to_have_count(0)
    dialog.get_by_role("searchbox").fill("Torre Quarzo 2019")
    dialog.get_by_label("Alcohol on the label").fill("13.5")
    tap(dialog.get_by_role("button", name=re.compile("^Style")))
    styles = page.get_by_role("dialog", name="Style")
    styles.get_by_role("searchbox").fill("Barolo")
    tap(styles.get_by_role("button", name=re.compile("Barolo")).first)
    leader.press("Vintage and grapes")
    dialog.get_by_label("Grapes").fill("Nebbiolo")
    tap(dialog.get_by_role("button", name="Add “Torre Quarzo 2019”"))
    expect(leader.glasses()).to_contain_text(["Torre Quarzo"])
    [bottle] = leader.rows("bottle")
    assert (bottle["name"], bottle["vintage"], bottle["label_abv"]) == ("Torre Quarzo", 2019, 13.5)
    assert (bottle["style"], bottle["colour"]) == ("red_barolo", "red")
    assert bottle["grapes"] == "Nebbiolo"


@pytest.mark.extended
def test_sheet_keeps_its_height_while_one_types(leader, page):
    leader.set_new("Reds", "Torre Quarzo")
    sheet = page.get_by_role("dialog").first
    tap(leader.glasses().get_by_role("button", name=re.compile("^Not noted")))
    before = sheet.bounding_box()
    sheet.get_by_label("Alcohol on the label").fill("99")
    expect(sheet.locator(".field-error")).to_be_visible()
    assert sheet.bounding_box() == before
    tap(sheet.get_by_role("button", name="Close"))
    leader.press("Add a glass")
    before = sheet.bounding_box()
    add = sheet.get_by_role("button", name=re.compile("^Add"))
    at = add.bounding_box()
    sheet.get_by_role("searchbox").fill("Barolo")
    expect(sheet.get_by_role("group", name=re.compile("style", re.IGNORECASE))).to_be_visible()
    assert sheet.bounding_box() == before
    assert at is not None
    assert (add.bounding_box() or {})["y"] == at["y"]
    leader.press("Vintage and grapes")
    tap(sheet.get_by_role("button", name=re.compile("^Style")))
    styles = page.get_by_role("dialog", name="Style")
    styles.get_by_role("searchbox").fill("Châteauneuf")
    tap(styles.get_by_role("button", name=re.compile("^Châteauneuf-du-Pape and")).first)
    expect(sheet.get_by_label("Grapes")).to_be_visible()
    assert (add.bounding_box() or {})["y"] == at["y"]


@pytest.mark.extended
def test_what_everyone_notes_is_named_once(leader, page):
    leader.set_new("Reds")
    leader.press("Choose the steps")
    expect(page.get_by_role("group", name="Choose the steps")).to_be_visible()
    expect(page.get_by_text("What everyone notes")).to_have_count(1)


@pytest.mark.extended
def test_leader_has_the_name_of_the_sign_in(leader, page):
    page.goto("/#/table")
    owner = """async (name) => { const { db } = await import('/store/database.js');
      await db.meta.put({ name: 'owner', uid: 'u1', owner_name: name }); }"""
    page.evaluate(owner, "greta")
    leader.press("New table")
    name = page.get_by_label("Your name")
    expect(name).to_have_value("Greta")
    name.fill("Aunt Greta")
    page.goto("/#/table")
    leader.press("New table")
    expect(name).to_have_value("Aunt Greta")
