"""Sharing a tasting and a visit, as text and as pictures made on the phone."""

from __future__ import annotations

import re
from collections import Counter

import pytest
from PIL import Image
from playwright.sync_api import expect

from tests.browser.book_page import lines
from tests.browser.engines import tap
from tests.browser.test_bottle_lifecycle import SAVE, book, context, record, server_records, tasted

__all__ = ["book", "context", "server_records", "tasted"]
pytestmark = pytest.mark.browser

BACKGROUND = "getComputedStyle(document.documentElement).backgroundColor"


@pytest.mark.extended
def test_shared_text_omits_place_and_company(book, tasted):
    latest = max(tasted, key=lambda each: each["tasted_at"])
    tap(lines(book).first)
    book.evaluate("() => { Object.defineProperty(navigator, 'canShare', { value: () => false }); }")
    tap(book.get_by_role("button", name="As text"))
    expect(book.get_by_text("Copied.")).to_be_visible()
    text = book.evaluate("() => navigator.clipboard.readText()")
    assert text.startswith(latest["about"]["name"])
    assert f"{latest['liking']} out of 9" in text
    for private in (latest.get("place"), latest.get("with_whom")):
        assert not private or private not in text


@pytest.mark.extended
def test_text_is_copied_if_sharing_fails(book, tasted):
    tap(lines(book).first)
    book.evaluate("""() => {
      Object.defineProperty(navigator, 'canShare', { value: () => true });
      const share = () => Promise.reject(new DOMException('', 'NotAllowedError'));
      Object.defineProperty(navigator, 'share', { value: share });
    }""")
    tap(book.get_by_role("button", name="As text"))
    expect(book.get_by_text("Copied.")).to_be_visible()


def test_shared_text_has_every_step(book, tasted):
    full = max(tasted, key=len)
    book.goto(f"/#/book/{full['id']}")
    book.evaluate("() => { Object.defineProperty(navigator, 'canShare', { value: () => false }); }")
    tap(book.get_by_role("button", name="As text"))
    expect(book.get_by_text("Copied.")).to_be_visible()
    text = book.evaluate("() => navigator.clipboard.readText()")
    for title in ("Look", "First nose", "Second nose", "Sips", "Overall", "Guesses"):
        assert f"\n{title}\n" in text
    for line in ("Colour depth: ", "First sip: ", "Second sip: ", "Finish: "):
        assert f"\n{line}" in text
    assert re.search(r"\n(Acidity|Tannin|Body): .+, (too little|just right|too much)\n", text)


def test_visit_is_shared_as_text_and_picture_offline(book, tasted):
    visit, count = Counter(each["visit"] for each in tasted if each.get("visit")).most_common(1)[0]
    pours = [each for each in tasted if each.get("visit") == visit]
    assert count > 1
    about = {"name": "Down the stairs", "on": "2026-10-03", "words": "Eleven degrees, one bulb."}
    book.evaluate(SAVE, [record("visit", visit, **about)])
    book.goto(f"/#/pour/visit/{visit}")
    expect(book.get_by_text(about["words"])).to_be_visible()
    share = book.get_by_role("region", name="Share this tasting")
    expect(share).to_be_visible()
    book.context.set_offline(True)
    book.evaluate("() => { Object.defineProperty(navigator, 'canShare', { value: () => false }); }")
    tap(share.get_by_role("button", name="As text"))
    expect(book.get_by_text("Copied.")).to_be_visible()
    text = book.evaluate("() => navigator.clipboard.readText()")
    assert text.startswith("Down the stairs\n3 October 2026\n")
    assert f"\n\n{about['words']}\n\n" in text
    for pour in pours:
        assert pour["about"]["name"] in text
        assert not pour.get("place") or pour["place"] not in text
    assert len(re.findall(r"^\d+ out of 9: ", text, re.MULTILINE)) == count
    with book.expect_download() as download:
        tap(share.get_by_role("button", name="As a picture"))
    with Image.open(download.value.path()) as picture:
        assert picture.width == 1080
        assert picture.height > 500 * min(count, 3)


def test_shared_picture_is_rendered_on_the_phone(book, server):
    tap(lines(book).first)
    asked = []
    book.on("request", lambda request: asked.append((request.method, request.url)))
    with book.expect_download() as download:
        tap(book.get_by_role("button", name="As a picture"))
    picture = download.value.path().read_bytes()
    assert picture.startswith(b"\x89PNG")
    assert int.from_bytes(picture[16:20]) == 1080
    assert int.from_bytes(picture[20:24]) > 500
    ours = ("blob:", server.url)
    assert [ask for ask in asked if ask[0] != "GET" or not ask[1].startswith(ours)] == []


@pytest.mark.parametrize("forced", ["none", pytest.param("active", marks=pytest.mark.extended)])
def test_shared_picture_is_light_on_a_dark_phone(book, forced):
    paper_by_day = book.evaluate(BACKGROUND)
    book.emulate_media(color_scheme="dark", forced_colors=forced)
    tap(lines(book).first)
    with book.expect_download() as download:
        tap(book.get_by_role("button", name="As a picture"))
    with Image.open(download.value.path()) as picture:
        colours = picture.convert("RGB").getcolors(picture.width * picture.height)
    by_count = sorted(colours, reverse=True)
    assert f"rgb{by_count[0][1]}" == paper_by_day
    assert min(max(colour) for _, colour in by_count) < 64, "the ink is dark"


def test_fullest_tasting_prints_on_two_sheets(book, tasted):
    book.goto(f"/#/book/{max(tasted, key=len)['id']}")
    expect(book.locator("#tasting-evidence")).to_be_attached()
    book.evaluate("() => dispatchEvent(new Event('beforeprint'))")
    expect(book.locator("#tasting-evidence section").last).to_be_visible()
    printed = book.pdf(format="A4")
    assert len(re.findall(rb"/Type /Page\b", printed)) == 2


def test_printed_visit_has_each_tasting_in_full(book, tasted):
    visit = Counter(each["visit"] for each in tasted if each.get("visit")).most_common(1)[0][0]
    pours = [each for each in tasted if each.get("visit") == visit]
    book.evaluate(SAVE, [record("visit", visit, name="Down the stairs", on="2026-10-03")])
    book.goto(f"/#/pour/visit/{visit}")
    expect(book.get_by_role("region", name="Share this tasting")).to_be_visible()
    assert not book.get_by_role("heading", name="Sips").count(), "the screen shows a list"
    book.evaluate("() => dispatchEvent(new Event('beforeprint'))")
    expect(book.get_by_role("heading", name="Sips")).to_have_count(len(pours))
    for each in pours:
        if each.get("words"):
            expect(book.get_by_text(each["words"])).to_be_visible()
    book.evaluate("() => dispatchEvent(new Event('afterprint'))")
    expect(book.get_by_role("heading", name="Sips")).to_have_count(0)


@pytest.mark.extended
def test_printed_book_has_every_tasting(book, tasted):
    expect(lines(book)).not_to_have_count(len(tasted))
    book.evaluate("() => dispatchEvent(new Event('beforeprint'))")
    expect(lines(book)).to_have_count(len(tasted))
    book.emulate_media(media="print")
    first, second = (lines(book).nth(at).bounding_box() for at in (0, 1))
    assert first["y"] + first["height"] <= second["y"]
    expect(book.get_by_role("searchbox")).to_be_hidden()
    book.evaluate("() => dispatchEvent(new Event('afterprint'))")
    expect(lines(book)).not_to_have_count(len(tasted))
