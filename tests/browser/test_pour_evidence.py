"""Sensory evidence: assessments next to the inputs, and the summary after the verdict."""

from __future__ import annotations

import io

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from tests.browser.any_page import part, toast
from tests.browser.engines import tap
from tests.browser.pour_page import Thumb, open_pour, quick_note, records, written
from tests.browser.waiting import wait_until

pytestmark = pytest.mark.browser
OPEN_STEP = "async () => (await import('/store/open_pour.js')).openPour.peek()?.step"


@pytest.fixture
def thumb(page) -> Thumb:
    """Open a pour of a bottle with a partly known label."""
    at = open_pour(page)
    quick_note(at, "Torre del Gelso", "barolo", "14")
    at.step("Bottle")
    at.type_into("bottle.vintage", "2012")
    tap(page.get_by_role("button", name="More from the label"))
    at.choose("bottle.label_market", "European Union")
    at.type_into("bottle.residual_sugar_gl", "3")
    at.press(page.get_by_role("button", name="dry", exact=True))
    return at


def to_evidence(thumb: Thumb) -> None:
    thumb.press(thumb.page.get_by_role("link", name="What the wine tells you"))


def note_words(page: Page, *words: str) -> None:
    for word in words:
        page.locator("input[type=search]").fill(word)
        page.keyboard.press("Enter")


@pytest.mark.extended
def test_dryness_text_does_not_move_next_scale(page, thumb):
    thumb.step("Sips")
    expect(page.get_by_text("Rate it to see how dry the wine tastes.")).to_be_visible()
    acidity = thumb.control("tasting.acidity")
    top = "(scale) => scale.getBoundingClientRect().top + scrollY"
    before = acidity.evaluate(top)
    thumb.judge("sweetness", 0.02)
    expect(page.get_by_text("Tastes dry.")).to_be_visible()
    assert acidity.evaluate(top) == pytest.approx(before, abs=1)


@pytest.mark.extended
def test_bone_dry_differs_from_dry_and_is_explained(page, thumb):
    thumb.step("Sips")
    thumb.judge("sweetness", 0.02)
    reading = page.get_by_role("status").filter(has_text="Tastes")
    expect(reading).to_contain_text("Tastes dry.")
    thumb.judge("tannin", 0.9)
    expect(reading).to_contain_text("Tastes bone dry, because of the tannin.")
    expect(reading).to_contain_text("With 3 g/l of sugar the label may say: dry.")


def test_assessments_list_their_reasons(page, thumb):
    thumb.step("Look")
    thumb.choose("tasting.look_hue", "brick")
    thumb.choose("tasting.look_rim", "wide")
    thumb.step("First nose")
    note_words(page, "vanilla", "rose")
    thumb.step("Sips")
    thumb.judge("sweetness", 0.02)
    thumb.judge("acidity", 0.8)
    thumb.choose("tasting.warmth_where", "chest")
    thumb.step("Overall")
    thumb.control("tasting.finish_s").locator("input").fill("34")
    thumb.judge("balance", 0.8)
    thumb.judge("complexity", 0.85)
    thumb.step("Verdict")
    thumb.judge("liking", 0.02)
    to_evidence(thumb)
    expect(part(page, "Quality")).to_contain_text("Outstanding: long, complex and balanced")
    expect(part(page, "Quality")).to_contain_text("Long finish, 34 s")
    expect(part(page, "Age")).to_contain_text("Hue: brick")
    expect(part(page, "Age")).to_contain_text("The label’s vintage, 2012, is within that.")
    expect(part(page, "Oak")).to_contain_text("vanilla")
    expect(part(page, "Alcohol warmth")).to_contain_text("within the label’s margin")
    expect(part(page, "Alcohol warmth")).to_contain_text("in bottle: plus or minus 0.8%")
    expect(part(page, "Sweetness")).to_contain_text("On the label: dry")
    expect(part(page, "Sweetness")).to_contain_text("fits the sugar")


@pytest.mark.extended
def test_assessments_are_open_after_a_reload(page, thumb):
    thumb.step("Verdict")
    to_evidence(thumb)
    expect(page.get_by_role("heading", level=1)).to_have_text("What the wine tells you")
    wait_until(page, lambda: page.evaluate(OPEN_STEP) == "evidence", "the open step")
    page.goto("about:blank")
    page.goto("/")
    expect(page.get_by_role("heading", level=1)).to_have_text("What the wine tells you")


@pytest.mark.extended
def test_missing_cues_are_not_assumed(page, thumb):
    thumb.step("Verdict")
    to_evidence(thumb)
    expect(part(page, "Quality")).to_contain_text(
        "Needs at least two of these: finish, complexity, balance"
    )
    expect(part(page, "Age")).to_contain_text("No signs of age noted.")
    expect(part(page, "Alcohol warmth")).to_contain_text("Alcohol warmth isn’t rated yet.")


def test_blind_label_is_not_used_for_assessments(page, thumb):
    thumb.step("Bottle")
    thumb.press(page.get_by_role("button", name="Cover the label"))
    thumb.step("Sips")
    thumb.judge("sweetness", 0.02)
    thumb.judge("warmth", 0.9)
    expect(toast(page, "Tastes ")).to_be_visible()
    expect(page.get_by_role("main")).not_to_contain_text("g/l")
    thumb.step("Verdict")
    to_evidence(thumb)
    expect(part(page, "Alcohol warmth")).to_contain_text("The label’s alcohol isn’t entered")
    expect(page.get_by_role("main")).not_to_contain_text("2012")


def test_aroma_changes_over_sips_are_drawn_and_counted(page, thumb):
    thumb.step("First nose")
    note_words(page, "rose", "tar")
    thumb.step("Second nose")
    note_words(page, "rose", "liquorice")
    thumb.step("Sips")
    note_words(page, "rose", "smoke")
    rows = part(page, "How the aromas changed").get_by_role("listitem").all_inner_texts()
    strands = {text.split("\n")[0]: text.split("\n")[-1] for text in rows}
    assert strands == {
        "rose": "stayed", "smoke": "new", "liquorice": "came and went", "tar": "faded",
    }  # fmt: skip
    thumb.step("Overall")
    expect(toast(page, "4 aromas, 4 kinds and 4 changes")).to_be_visible()


def choose_photo(page: Page, thumb: Thumb, wine_from: int) -> None:
    """Select a photo of 400 x 300 px: white, with the wine starting at a column."""
    photo = Image.new("RGB", (400, 300), (236, 235, 228))
    photo.paste((128, 40, 34), (wine_from, 0, 400, 300))
    result = io.BytesIO()
    photo.save(result, "PNG")
    thumb.step("Look")
    tap(page.get_by_role("button", name="Find the hue from a photo"))
    page.get_by_label("Take or choose a photo").set_input_files(
        {"name": "g.png", "mimeType": "image/png", "buffer": result.getvalue()}
    )


def test_photo_proposes_a_hue_to_confirm(page, thumb):
    choose_photo(page, thumb, wine_from=200)
    canvas = page.get_by_role("button", name="The photo").locator("canvas")
    tap(canvas, position={"x": 20, "y": 20})
    expect(page.get_by_text("With a keyboard")).to_be_hidden()
    tap(canvas, position={"x": 300, "y": 100})
    nearest = page.get_by_role("button", name=", difference").first
    expect(nearest).to_contain_text("garnet, difference")
    written(page)
    assert "look_hue" not in records(page, "tasting")[0]
    thumb.press(nearest)
    written(page)
    assert records(page, "tasting")[0]["look_hue"] == "red_garnet"


@pytest.mark.extended
def test_photo_hue_can_be_measured_by_keyboard(page, thumb):
    choose_photo(page, thumb, wine_from=280)
    picture = page.get_by_role("button", name="The photo, mark on the white paper")
    picture.focus()
    page.keyboard.press("ArrowLeft")
    expect(page.get_by_text("With a keyboard")).to_be_visible()
    expect(page.get_by_role("button", name="at 48% across and 50% down")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="mark on the wine at 48%")).to_be_focused()
    for _ in range(4):
        page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("Enter")
    marked = page.get_by_role("button", name="The photo")
    expect(marked).to_have_text("12")
    expect(page.get_by_role("button", name=", difference").first).to_contain_text(
        "garnet, difference"
    )


@pytest.mark.extended
def test_dark_white_reference_proposes_no_hue(page, thumb):
    result = io.BytesIO()
    Image.new("RGB", (400, 300), (40, 20, 20)).save(result, "PNG")
    thumb.step("Look")
    tap(page.get_by_role("button", name="Find the hue from a photo"))
    page.get_by_label("Take or choose a photo").set_input_files(
        {"name": "g.png", "mimeType": "image/png", "buffer": result.getvalue()}
    )
    canvas = page.get_by_role("button", name="The photo").locator("canvas")
    tap(canvas, position={"x": 20, "y": 20})
    tap(canvas, position={"x": 100, "y": 100})
    expect(page.get_by_text("too dark for white paper")).to_be_visible()
