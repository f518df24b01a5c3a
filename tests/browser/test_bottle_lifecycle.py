"""Statistics, bottle pages, duplicate bottles and photos."""

from __future__ import annotations

import base64
import statistics
from collections import Counter
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.book_page import filled_book_apart, lines
from tests.browser.engines import SMALL_SCREEN, tap
from tests.browser.live_server import LiveServer
from tests.browser.seed_server import Record, demo_records, first_tastings
from tests.browser.shelf_page import SMALL, TOO_WIDE

pytestmark = pytest.mark.browser

A_PIXEL = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAQAAAC1HAwCAAAAC0lEQVR42mNkYAAAAAYAAjCB0C8AAAAASUVORK5CYII="
)
ALL = """async (kind) => (await (await import('/store/queries.js')).allOf(kind))
  .map((row) => ({ ...row.fields, id: row.id }))"""
SAVE = """async (edits) => (await import('/store/write.js')).saveMany(edits)"""
ONE, TWO, NOTE, PICK, LATE = (f"01900000-0000-7000-8000-00000000d00{n}" for n in range(1, 6))


def record(kind: str, id_: str, /, **fields: object) -> dict[str, object]:
    return {"kind": kind, "id": id_, "fields": fields}


DUPLICATES = [
    record("bottle", ONE, name="Château des Hiboux", vintage=2019),
    record(
        *("bottle", TWO),
        name="Chateau des Hibuox",
        vintage=2019,
        label_abv=13.5,
        words="From Mara.",
    ),
    record("tasting", NOTE, bottle=TWO, tasted_at="2026-11-20T20:00:00+01:00", liking=7),
    record("pick", PICK, bottle=TWO, price=12, currency="EUR", seen_at="2026-11-19T10:00:00+01:00"),
]


@pytest.fixture(scope="module")
def server_records() -> list[Record]:
    return first_tastings(40)


@pytest.fixture
def context(server: LiveServer, browser: Browser) -> Iterator[BrowserContext]:
    opened = browser.new_context(
        base_url=server.url,
        **SMALL_SCREEN,
        service_workers="block",
        accept_downloads=True,
        permissions=["clipboard-read", "clipboard-write"],
    )
    yield opened
    opened.close()


@pytest.fixture
def book(context: BrowserContext) -> Page:
    """Open a synced phone, and block its later sync requests."""
    page = context.new_page()
    filled_book_apart(page)
    return page


@pytest.fixture(scope="module")
def anywhere(server: LiveServer, browser: Browser) -> Iterator[Page]:
    """Open a page of the app, for calls to its modules."""
    page = browser.new_page(base_url=server.url, service_workers="block")
    page.goto("/")
    yield page
    page.close()


@pytest.fixture(scope="module")
def tasted() -> list[dict]:
    bottles = {record["id"]: record["fields"] for record in demo_records("bottle")}
    return [
        {**record["fields"], "id": record["id"], "about": bottles[record["fields"]["bottle"]]}
        for record in first_tastings(40)
        if record["kind"] == "tasting"
    ]


@pytest.mark.extended
def test_place_list_shows_count_and_mean_and_opens_tastings(book, tasted):
    place, count = Counter(each["place"] for each in tasted if each.get("place")).most_common(1)[0]
    mean = statistics.mean(
        each["liking"] for each in tasted if each.get("place") == place and each.get("liking")
    )
    tap(book.get_by_role("link", name="Looking back"))
    where = book.locator("section", has=book.get_by_role("heading", name="Where"))
    line = where.get_by_role("button").filter(has_text=place).first
    expect(line).to_contain_text(f"Tasted {count} times")
    expect(line).to_contain_text(f"{mean:.1f}".removesuffix(".0"))
    assert book.evaluate(SMALL) == []
    assert book.evaluate(TOO_WIDE) == 0
    tap(line)
    expect(book.get_by_text(f"{count} found")).to_be_visible()


@pytest.mark.extended
def test_calendar_month_opens_its_tastings(book, tasted):
    tap(book.get_by_role("link", name="Looking back"))
    month = max(each["tasted_at"] for each in tasted)[:7]
    count = sum(each["tasted_at"].startswith(month) for each in tasted)
    calendar = book.locator("section", has=book.get_by_role("heading", name="When"))
    tap(calendar.get_by_role("button", disabled=False).last)
    expect(book.get_by_text(f"{count} found")).to_be_visible()
    expect(lines(book)).to_have_count(count)


def test_duplicate_bottles_are_merged_and_separated_again(book):
    book.evaluate(SAVE, DUPLICATES)
    book.goto("/#/book/twins")
    pair = book.locator("section", has=book.get_by_role("heading", name="Château des Hiboux 2019"))
    tap(pair.get_by_role("button", name="Merge"))
    expect(pair).to_have_count(0)
    bottles = {bottle["id"]: bottle for bottle in book.evaluate(ALL, "bottle")}
    assert bottles[ONE]["name"] == "Château des Hiboux"
    assert (bottles[ONE]["label_abv"], bottles[ONE]["words"]) == (13.5, "From Mara.")
    assert bottles[TWO]["name"] == "Chateau des Hibuox"
    assert bottles[TWO]["merged_into"] == ONE
    assert {t["id"]: t["bottle"] for t in book.evaluate(ALL, "tasting")}[NOTE] == ONE
    assert {p["id"]: p["bottle"] for p in book.evaluate(ALL, "pick")}[PICK] == ONE
    tap(book.get_by_role("button", name="Undo"))
    expect(pair).to_have_count(1)
    bottles = {bottle["id"]: bottle for bottle in book.evaluate(ALL, "bottle")}
    assert bottles[ONE]["label_abv"] is None
    assert bottles[TWO]["merged_into"] is None
    assert {t["id"]: t["bottle"] for t in book.evaluate(ALL, "tasting")}[NOTE] == TWO
    tap(pair.get_by_role("button", name="Merge"))
    expect(pair).to_have_count(0)
    # As another phone may name it, which has not received the merge.
    book.evaluate(SAVE, [{"kind": "tasting", "id": LATE, "fields": {"bottle": TWO}}])
    book.goto(f"/#/book/bottle/{TWO}")
    expect(book.get_by_role("heading", name="Tasted 2 times")).to_be_visible()


def test_duplicate_dismissal_applies_to_one_pair(book):
    book.evaluate(SAVE, DUPLICATES)
    book.goto("/#/book/twins")
    pair = book.locator("section", has=book.get_by_role("heading", name="Château des Hiboux 2019"))
    tap(pair.get_by_role("button", name="Keep separate"))
    expect(pair).to_have_count(0)
    book.reload()
    expect(book.get_by_role("heading", name="Duplicates")).to_be_visible()
    expect(pair).to_have_count(0)
    assert {b["id"]: b.get("apart_from") for b in book.evaluate(ALL, "bottle")}[TWO] == [ONE]
    third = f"{ONE[:-1]}8"
    book.evaluate(SAVE, [{"kind": "bottle", "id": third, "fields": DUPLICATES[0]["fields"]}])
    expect(pair.get_by_role("link")).to_have_count(2)
    tap(pair.get_by_role("button", name="Merge"))
    expect(pair).to_have_count(0)
    assert {b["id"]: b.get("apart_from") for b in book.evaluate(ALL, "bottle")}[ONE] == [TWO]
    tap(book.get_by_role("button", name="Undo"))
    expect(pair.get_by_role("link")).to_have_count(2)


@pytest.mark.parametrize(
    ("one", "other", "duplicates"),
    [
        ({"name": "Sasso Vivo", "vintage": 2019}, {"name": "SASSO  vivo", "vintage": 2019}, True),
        ({"name": "Sasso Vivo", "vintage": 2019}, {"name": "Sasso Vivo", "vintage": 2020}, False),
        ({"name": "Kieselweg 12"}, {"name": "Kieselweg 13"}, False),
        ({"name": "Hiboux", "producer": "A"}, {"name": "Hiboux", "producer": "B"}, False),
        ({"name": "Hiboux", "producer": "A"}, {"name": "Hiboux"}, True),
        ({"name": "Rosso"}, {"name": "Rossa"}, False),
        ({"name": "Rosso"}, {"name": "Rosso", "apart_from": ["1"]}, False),
        ({"name": "Rosso", "apart_from": ["2"]}, {"name": "Rosso"}, False),
        ({"name": "Rosso", "apart_from": ["3"]}, {"name": "Rosso"}, True),
    ],
)
def test_duplicate_list_offers_similar_bottles_only(anywhere, one, other, duplicates):
    script = """async ([one, other]) => {
      const { findDuplicates } = await import('/features/book/duplicates/duplicates.js');
      return findDuplicates([{ id: '1', fields: one }, { id: '2', fields: other }]).length;
    }"""
    assert anywhere.evaluate(script, [one, other]) == int(duplicates)


def test_bottle_page_shows_prices_and_stock(book):
    stock = record("stock", "01900000-0000-7000-8000-00000000d009", bottle=TWO, count=3)
    book.evaluate(SAVE, [*DUPLICATES, stock])
    book.goto(f"/#/book/bottle/{TWO}")
    expect(book.get_by_role("heading", name="Chateau des Hibuox 2019")).to_be_visible()
    expect(book.get_by_text("€12.00")).to_be_visible()
    expect(book.get_by_text("3 bottles")).to_be_visible()
    tap(book.get_by_role("button", name="Taste it now"))
    book.wait_for_url("**/#/pour/**")
    assert [row["count"] for row in book.evaluate(ALL, "stock") if row["bottle"] == TWO] == [2]
    tap(book.get_by_role("button", name="Undo"))
    expect(book.get_by_text("3 bottles")).to_be_visible()


@pytest.mark.extended
def test_price_history_is_drawn_and_tabled_per_currency(book):
    seen = [
        ("2024-03-01", 24.5, "EUR", "passed"),
        ("2024-11-01", 27, "EUR", "bought"),
        ("2026-10-01", 31, "EUR", "open"),
        ("2026-02-01", 29, "CHF", "open"),
    ]
    picks = [
        record(
            *("pick", f"01900000-0000-7000-8000-00000000d1{n:02}"),
            **{"bottle": ONE, "price": price, "currency": money, "state": state},
            seen_at=f"{day}T10:00:00+01:00",
        )
        for n, (day, price, money, state) in enumerate(seen)
    ]
    book.evaluate(SAVE, [DUPLICATES[0], *picks])
    book.goto(f"/#/book/bottle/{ONE}")
    expect(book.get_by_text("From €24.50 to €31.00; most recently €31.00.")).to_be_visible()
    lines = book.locator(".dated-line")
    # A single price in francs gets no line, and does not join the line of the euros.
    expect(lines).to_have_count(1)
    dots = lines.locator("circle").evaluate_all(
        """all => all.map((dot) => [
          dot.classList.contains('filled'), parseFloat(dot.getAttribute('cy'))])"""
    )
    assert [filled for filled, _ in dots] == [False, True, False]
    assert dots[0][1] > dots[1][1] > dots[2][1]
    table = book.get_by_role("table", name="Prices")
    cells = [row.locator("td").all_inner_texts() for row in table.get_by_role("row").all()[1:]]
    assert [(when, price) for when, _, price in cells] == [
        ("1 Oct 2026", "€31.00"),
        ("1 Feb 2026", "CHF\u00a029.00"),
        ("1 Nov 2024", "€27.00"),
        ("1 Mar 2024", "€24.50"),
    ]
    assert "bought" in cells[2][1]
    assert book.evaluate(TOO_WIDE) == 0


@pytest.mark.extended
def test_bottle_page_without_stock_and_verdict_is_explained(book):
    book.evaluate(SAVE, [DUPLICATES[0]])
    book.goto(f"/#/book/bottle/{ONE}")
    expect(book.get_by_text("None at home.")).to_be_visible()
    expect(book.get_by_role("heading", name="Not tasted yet")).to_be_visible()


def test_photo_is_stored_shown_and_removed(book, tmp_path):
    tap(lines(book).first)
    file = tmp_path / "label.png"
    file.write_bytes(A_PIXEL)
    book.get_by_label("Add a photo").set_input_files(file)
    expect(book.get_by_role("img", name="Photo from")).to_be_visible()
    tap(book.get_by_role("button", name="Delete the photo"))
    expect(book.get_by_role("img", name="Photo from")).to_have_count(0)
    tap(book.get_by_role("button", name="Undo"))
    expect(book.get_by_role("img", name="Photo from")).to_be_visible()
    (tmp_path / "no.png").write_text("not a picture")
    book.get_by_label("Add a photo").set_input_files(tmp_path / "no.png")
    expect(book.get_by_text("This photo can’t be opened. Please choose another.")).to_be_visible()


def test_photo_comes_once_the_other_phone_has_sent_it(book):
    book.evaluate(
        """async (tasting) => {
          const { newId, save } = await import('/store/write.js');
          await save('photo', newId(), { tasting, taken_at: '2026-11-27T19:30:00+01:00' });
        }""",
        lines(book).first.get_attribute("href").rpartition("/")[2],
    )
    tap(lines(book).first)
    expect(book.get_by_text("hasn’t sent it yet")).to_be_visible()
    picture = {"body": A_PIXEL, "content_type": "image/png"}
    book.route("**/api/photos/*", lambda route: route.fulfill(**picture))
    book.evaluate("async () => (await import('/sync/index.js')).syncNow()")
    expect(book.get_by_role("img", name="Photo from")).to_be_visible()
