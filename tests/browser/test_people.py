"""People of the notebook: their palate, correcting it, carrying them on, and the Shelf for them."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import ExitStack

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.any_page import part
from tests.browser.engines import PHONE, tap
from tests.browser.led_table import CAMERA, show_to_camera
from tests.browser.live_server import LiveServer
from tests.browser.shelf_page import names, row, rows
from tests.browser.waiting import LIMIT_S, wait_until
from tests.screenshots.books import WHOLE, served

pytestmark = [pytest.mark.browser, pytest.mark.waits]

PEOPLE = """async () => {
  const { allOf } = await import('/store/queries.js');
  return (await allOf('person')).map(({ id, fields }) => ({ id, ...fields }));
}"""
RENAME = """async (id) => {
  const { save } = await import('/store/write.js');
  await save('person', id, { name: 'Jorun M.' });
}"""
RATED = """async (id) => {
  const { personPalates } = await import('/store/palate_cache.js');
  return personPalates.value.get(id)?.n_rated ?? null;
}"""
PhoneOpener = Callable[..., Page]


@pytest.fixture(scope="module")
def demo() -> Iterator[LiveServer]:
    with served("demo") as server:
        yield server


@pytest.fixture
def open_phone(browser: Browser, workers: str) -> Iterator[PhoneOpener]:
    """Return a function that opens a phone at a server."""
    with ExitStack() as stack:

        def opened(server: LiveServer, script: str | None = None) -> Page:
            made = browser.new_context(base_url=server.url, service_workers=workers, **PHONE)
            context = stack.enter_context(made)
            context.set_default_timeout(LIMIT_S * 1000)
            if script:
                context.add_init_script(f"({script})()")
            page = context.new_page()
            page.goto("/#/settings")
            page.evaluate(WHOLE)
            return page

        yield opened


def person_id(page: Page, name: str) -> str:
    return next(one["id"] for one in page.evaluate(PEOPLE) if one["name"] == name)


def open_person(page: Page, name: str) -> str:
    page.goto("/#/table")
    tap(page.get_by_role("link", name=re.compile(f"^{name}")))
    expect(page.get_by_role("heading", level=1, name=name)).to_be_visible()
    return person_id(page, name)


def choose(page: Page, *people: str) -> None:
    whom = page.get_by_role("group", name="Who is it for?")
    for name in people:
        tap(whom.get_by_role("button", name=name))


def test_person_has_a_palate_that_can_be_corrected(
    demo: LiveServer, open_phone: PhoneOpener
) -> None:
    page = open_phone(demo)
    person = open_person(page, "Jorun")
    expect(page.get_by_text("Learned from 14 glasses that Jorun rated.")).to_be_visible()
    likes = part(page, "What Jorun likes in a wine").get_by_role("listitem")
    acidity = likes.filter(has_text="Acidity")
    expect(acidity).to_contain_text(re.compile(r"most likely between [\d.]+ and [\d.]+ \("))
    styles = part(page, "Styles").get_by_role("listitem")
    expect(styles.filter(has_text="Viognier")).to_be_visible()
    tap(page.get_by_role("button", name=re.compile("^Leave out Moscato")))
    wait_until(page, lambda: page.evaluate(RATED, person) == 13, "a palate without that glass")
    expect(page.get_by_text("Learned from 13 glasses that Jorun rated.")).to_be_visible()
    tap(page.get_by_role("button", name=re.compile("^Put back Moscato")))
    wait_until(page, lambda: page.evaluate(RATED, person) == 14, "a palate with that glass")
    page.get_by_label("Name").fill("Jorun K.")
    expect(page.get_by_role("heading", level=1, name="Jorun K.")).to_be_visible()
    # Another phone corrects the name once the field is left.
    page.get_by_label("Name").blur()
    page.evaluate(RENAME, person)
    expect(page.get_by_label("Name")).to_have_value("Jorun M.")
    page.get_by_label("Name").fill("Jorun L.")
    expect(page.get_by_role("heading", level=1, name="Jorun L.")).to_be_visible()
    page.get_by_label("Name").fill("")
    # Without a network: the palate is the last one that was here.
    page.context.set_offline(True)
    page.evaluate("() => { location.hash = '#/table'; }")
    tap(page.get_by_role("link", name=re.compile("^Jorun L.")))
    expect(page.get_by_text("Learned from 14 glasses")).to_be_visible()
    tap(page.get_by_role("button", name="Delete Jorun L.’s taste"))
    expect(page.get_by_role("link", name=re.compile("^Jorun"))).to_have_count(0)
    tap(page.get_by_role("button", name="Undo"))
    expect(page.get_by_role("link", name=re.compile("^Jorun L."))).to_be_visible()


def test_shelf_is_sorted_for_whom_is_chosen(demo: LiveServer, open_phone: PhoneOpener) -> None:
    page = open_phone(demo)
    page.goto("/#/shelf")
    # Of thirteen open bottles two are outside the wanted alcohol, and folded away.
    expect(rows(page)).to_have_count(11)
    alone = names(page)
    choose(page, "Bastiaan", "Jorun")
    for order, first in (
        ("best on average", "Best on average: "),
        ("nobody left out", "Nobody left out: "),
        ("everyone happy", "Best chance for all: "),
    ):
        tap(page.get_by_role("radio", name=order))
        lead = page.get_by_text(re.compile(f"^{first}"))
        expect(lead).to_be_visible()
        expect(rows(page)).to_have_count(len(alone))
        ordered = names(page)
        assert sorted(ordered) == sorted(alone)
        assert ordered != alone
        assert lead.inner_text().removeprefix(first).startswith(ordered[0])
    # A sweet, light wine is for none of the three, and the row says for whom it is not.
    expect(row(page, "Moscato d'Asti Festa")).to_contain_text("It may not suit any of you")
    tap(row(page, "Moscato d'Asti Festa").get_by_role("button").first)
    details = part(page, "Will you like it?").get_by_role("listitem")
    expect(details).to_have_count(3)
    for name in ("Me", "Bastiaan", "Jorun"):
        expect(details.filter(has_text=name).first).to_be_visible()


@pytest.mark.extended
@pytest.mark.service_worker
def test_person_is_carried_to_another_notebook_once(
    demo: LiveServer, live_server: LiveServer, open_phone: PhoneOpener
) -> None:
    shown, other = open_phone(demo), open_phone(live_server, CAMERA)
    person = open_person(shown, "Bastiaan")
    tap(shown.get_by_role("link", name="Copy to another notebook"))
    expect(shown.get_by_text("These codes carry Bastiaan’s name")).to_be_visible()
    expect(shown.get_by_text("That goes for the other notebook too")).to_be_visible()
    expect(shown.get_by_role("img")).to_have_count(0)
    tap(shown.get_by_role("button", name="Show the codes"))
    other.evaluate("() => navigator.serviceWorker.ready.then(() => undefined)")
    for kept in ("with 14 new glasses", "There’s nothing new to add."):
        other.goto("/#/table")
        tap(other.get_by_role("link", name="Add someone from another notebook"))
        show_to_camera(shown, other)
        expect(other.get_by_text("Bastiaan, with 14 rated glasses.")).to_be_visible()
        expect(other.get_by_text("agreed on 17 Oct 2026 to have their taste saved")).to_be_visible()
        tap(other.get_by_role("button", name="Add Bastiaan"))
        expect(other.get_by_text(kept)).to_be_visible()
    wait_until(other, lambda: other.evaluate(RATED, person) == 14, "the palate in the other book")
    assert [one["id"] for one in other.evaluate(PEOPLE)] == [person]
