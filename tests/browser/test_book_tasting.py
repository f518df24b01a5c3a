"""One tasting in the Book: order of the steps, editing, earlier versions."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.any_page import part
from tests.browser.book_page import SYNC, filled_book_apart, lines
from tests.browser.engines import SMALL_SCREEN, tap
from tests.browser.live_server import LiveServer
from tests.browser.seed_server import Record, first_tastings
from tests.browser.shelf_page import SMALL, TOO_WIDE

pytestmark = pytest.mark.browser

BOTTLE = "01900000-0000-7000-8000-00000000b001"
TASTING = "01900000-0000-7000-8000-00000000c001"
LATER = "01900000-0000-7000-8000-00000000c002"
WHOLE = {
    "bottle": BOTTLE,
    "tasted_at": "2026-10-03T20:15:00+02:00",
    "place": "Under the stairs",
    "look_hue": "red_garnet",
    "first_nose_words": ["red_cherry:2", "leather"],
    "second_nose_words": ["red_cherry", "~wet slate roof"],
    "acidity": 8,
    "just_right_acidity": 1,
    "tannin": 6.5,
    "just_right_tannin": 0,
    "finish_s": 32,
    "liking": 8,
    "would_buy": "yes",
    "words": "Long and savoury.",
}
NAMED = {
    "name": "Sasso Vivo",
    "producer": "Invented",
    "vintage": 2019,
    "style": "red_barolo",
    "label_abv": 14.5,
    "label_market": "EU",
    "kind": "still",
    "protected_origin": False,
}
# Another phone noted a duplicate before it heard of the merge.
SAVE_OF_A_DUPLICATE = """async (bottle) => {
  const { newId, saveMany } = await import('/store/write.js');
  const duplicate = newId();
  await saveMany([
    { kind: 'bottle', id: duplicate, fields: { name: 'Saso Vivo', merged_into: bottle } },
    { kind: 'tasting', id: newId(), fields: { bottle: duplicate, words: 'From another phone.',
      liking: 5, tasted_at: '2026-11-20T20:00:00+01:00' } },
  ]);
}"""


def record(kind: str, id_: str, fields: dict) -> dict:
    clock = "1759500000000-0000-fillingup1"
    return {
        "kind": kind,
        "id": id_,
        "fields": fields,
        "clocks": dict.fromkeys(fields, clock),
        "deleted": False,
        "deleted_clock": None,
    }


@pytest.fixture(scope="module")
def server_records() -> list[Record]:
    later = {**WHOLE, "tasted_at": "2026-11-03T20:15:00+01:00", "liking": 6, "words": "Shut."}
    return [
        record("bottle", BOTTLE, NAMED),
        record("tasting", TASTING, WHOLE),
        record("tasting", LATER, later),
        *first_tastings(3),
    ]


@pytest.fixture
def page(server: LiveServer, browser: Browser) -> Iterator[Page]:
    context = browser.new_context(
        base_url=server.url,
        **SMALL_SCREEN,
        service_workers="block",
    )
    page = context.new_page()
    filled_book_apart(page)
    page.goto(f"/#/book/{TASTING}")
    expect(page.get_by_role("heading", name="Sasso Vivo 2019")).to_be_visible()
    yield page
    context.close()


def unfold(page: Page, step: str) -> Locator:
    """Open a folded step and return it."""
    fold = page.get_by_role("group").filter(has=page.get_by_role("heading", name=step, exact=True))
    tap(fold.get_by_role("heading", name=step, exact=True))
    return fold


def test_steps_are_in_the_order_of_tasting(page):
    expect(page.get_by_role("heading", name="Overall")).to_be_visible()
    heads = page.get_by_role("heading", level=2).all_inner_texts()
    steps = ["Bottle", "Look", "First nose", "Second nose", "Sips", "Overall"]
    assert [head for head in heads if head in steps] == steps
    expect(page.get_by_text("Saturday")).to_contain_text("Under the stairs")
    expect(page.get_by_text("Like very much", exact=False).first).to_be_visible()
    expect(page.get_by_text("Long and savoury.")).to_be_visible()


def test_verdict_is_first_and_the_rest_is_folded(page):
    expect(page.get_by_role("heading", name="Other notes on this bottle")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollHeight") <= 2 * 780
    words = page.get_by_text("Long and savoury.").bounding_box()
    buy = page.get_by_text("Would you buy it?").bounding_box()
    first_fold = page.get_by_role("group").first.bounding_box()
    assert words["y"] < buy["y"] < first_fold["y"]
    expect(page.get_by_text("32 seconds")).to_be_visible()
    expect(page.get_by_text("Finish", exact=True)).to_have_count(0)
    unfold(page, "Overall")
    expect(page.get_by_text("Finish", exact=True)).to_be_visible()


def test_print_opens_the_steps_on_white_paper(page):
    page.emulate_media(media="print", color_scheme="dark")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    for seen in ("Faded: leather.", "mouth-watering", "could be 14 to 15%", "Long finish"):
        expect(page.get_by_text(seen).first).to_be_visible()
    for hidden in ("Share", "Compare with another", "Other notes on this bottle", "Edit"):
        expect(page.get_by_text(hidden, exact=True).first).to_be_hidden()
    paper = "getComputedStyle(document.documentElement).backgroundColor"
    assert page.evaluate(paper) == "rgb(255, 255, 255)"
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    page.emulate_media(media="screen", color_scheme="light")
    expect(page.get_by_text("Faded: leather.")).to_be_hidden()


def test_appeared_and_faded_aromas_are_listed(page):
    nose = unfold(page, "Second nose")
    expect(nose).to_contain_text("wet slate roof (new)")
    expect(nose).to_contain_text("Faded: leather.")


@pytest.mark.extended
def test_scales_are_drawn_and_labelled(page):
    sips = unfold(page, "Sips")
    acidity = sips.get_by_role("group", name="Acidity")
    value = "8, soft \u2013 mouth-watering"
    expect(acidity.get_by_role("img")).to_have_attribute("aria-label", value)
    expect(acidity).to_contain_text("too much")
    expect(sips.get_by_role("group", name="Tannin")).to_contain_text("just right")
    expect(page.get_by_text("32 seconds")).to_be_visible()


@pytest.mark.extended
def test_label_shows_its_lawful_range(page):
    unfold(page, "Bottle")
    expect(page.get_by_text("could be 14 to 15%")).to_be_visible()


def test_each_step_links_to_its_editor(page):
    unfold(page, "Second nose")
    link = page.get_by_role("link", name="Edit: Second nose")
    expect(link).to_have_attribute("href", f"#/pour/{TASTING}/second_nose")
    tap(link)
    expect(page.get_by_text("wet slate roof").first).to_be_visible()


@pytest.mark.extended
def test_other_tastings_of_the_bottle_are_listed(page):
    other = unfold(page, "Other notes on this bottle")
    tap(other.get_by_role("link"))
    expect(page.get_by_text("Shut.").first).to_be_visible()


def test_note_of_a_merged_duplicate_is_another_note(page):
    page.evaluate(SAVE_OF_A_DUPLICATE, BOTTLE)
    fold = page.get_by_role("group").filter(
        has=page.get_by_role("heading", name="Other notes on this bottle")
    )
    expect(fold).to_contain_text("2 notes")
    tap(unfold(page, "Other notes on this bottle").get_by_role("link").first)
    # The page of that note names the bottle into which the duplicate was merged.
    expect(page.get_by_role("heading", name="Sasso Vivo 2019")).to_be_visible()
    expect(page.get_by_text("From another phone.")).to_be_visible()
    expect(fold).to_contain_text("2 notes")


def test_revisions_are_loaded_from_the_server(page):
    page.context.unroute(SYNC)
    page.evaluate(f"""async () => {{
      const {{ save }} = await import('/store/write.js');
      const {{ syncNow }} = await import('/sync/index.js');
      await save('tasting', '{TASTING}', {{ place: 'In the attic' }});
      await syncNow();
    }}""")
    expect(page.get_by_text("In the attic")).to_be_visible()
    tap(page.get_by_role("button", name="Earlier versions"))
    expect(
        part(page, "Earlier versions").get_by_role("listitem").filter(has_text="Where")
    ).to_contain_text("Under the stairs")


# Records every heading, including those shown for a single frame.
TITLES = """() => {
  globalThis.titles = [document.querySelector('h1').textContent];
  new MutationObserver(() => {
    const now = document.querySelector('h1')?.textContent ?? '';
    if (now !== titles.at(-1)) titles.push(now);
  }).observe(document.body, { childList: true, subtree: true, characterData: true });
}"""


@pytest.mark.extended
def test_list_is_shown_until_the_tasting_is_loaded(page):
    tap(page.get_by_role("link", name="Book", exact=True))
    expect(lines(page).first).to_be_visible()
    page.evaluate(TITLES)
    tap(lines(page).filter(has_text="Sasso Vivo").first)
    expect(page.get_by_role("heading", name="Sasso Vivo 2019")).to_be_visible()
    assert page.evaluate("() => titles") == ["Book", "Sasso Vivo 2019"]


@pytest.mark.extended
def test_each_tasting_shows_its_own_data(page):
    for _ in range(2):
        page.goto(f"/#/book/{LATER}")
        expect(page.get_by_role("blockquote")).to_have_text("Shut.")
        page.goto(f"/#/book/{TASTING}")
        expect(page.get_by_role("blockquote")).to_have_text("Long and savoury.")


def test_missing_tasting_is_explained(page):
    page.goto("/#/book/01900000-0000-7000-8000-00000000ffff")
    expect(page.get_by_text("This isn’t on this phone.")).to_be_visible()


@pytest.mark.extended
def test_touch_targets_fit_and_nothing_overflows(page):
    assert page.evaluate(SMALL) == []
    assert page.evaluate(TOO_WIDE) == 0


def test_edited_note_offers_done_on_each_step(page):
    page.evaluate(f"""async () => {{
      const {{ save }} = await import('/store/write.js');
      await save('tasting', '{TASTING}', {{ closed_at: '2026-10-03T21:00:00+02:00' }});
    }}""")
    tap(page.get_by_role("link", name="Edit", exact=True))
    expect(page.get_by_role("button", name="Done")).to_be_visible()
    tap(page.get_by_role("link", name="Taste step by step"))
    expect(page.get_by_role("link", name="Next:")).to_be_visible()
    tap(page.get_by_role("button", name="Done"))
    expect(page.get_by_role("heading", name="Sasso Vivo 2019")).to_be_visible()
    assert page.url.endswith(f"#/book/{TASTING}")
