"""Screen states that need input, such as errors, previews and nested dialogs."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import Page, expect

from tests.browser.table_page import GUESTS, WINES
from tests.screenshots.screens import WAIT_MS, Screen, back_to_the_note, opens, typed

# Text that the tests type.
TABLE_WORDS = (*WINES, *GUESTS, "Friday reds", "Greta")
TYPED = (
    "Ottersbrunn",
    "Monday table",
    "Greta",
    "Benedetta",
    "Zwillingshof",
    "Weingart",
    "abc",
    *TABLE_WORDS,
)
SHOP_LIST = "Ottersbrunn Riesling;12,5 %;14,90\nZwillingshof;99 %;8,00\nWeingart Barolo;14 %;abc"
Press = Callable[[Page], None]


def states_behind() -> list[Screen]:
    """Return the states, all with example data; most are reached by taps and typing."""
    add = in_turn(opens(".at-thumb button"), typed("dialog .name-input", "Riesling"))
    lists = in_turn(opens(".at-thumb .button:not(.primary)"), typed("dialog textarea", SHOP_LIST))
    return [
        Screen("serving a style", "#/pour/serving?style=frt_fino"),
        Screen("visit missing", "#/pour/visit/01900000-0000-7000-8000-00000000dead"),
        Screen("pour with a fault", "#/pour", in_turn(back_to_the_note, too_strong)),
        Screen("shelf add named", "#/shelf", add, leaves=1),
        Screen("shelf scan", "#/shelf", in_turn(add, scan), leaves=2),
        Screen("shelf list read", "#/shelf", lists, leaves=1),
        Screen("pour read label", "#/pour", in_turn(back_to_the_note, read_label), leaves=1),
        Screen("guest code", "#/guest"),
        Screen("guest scan", "#/guest/flight", no_camera),
        Screen("guest step", "#/guest", seated("led")),
        Screen("guest own pace", "#/guest", seated("free")),
        Screen("guest leave", "#/guest", in_turn(seated("wait"), leave_row), leaves=1),
        Screen("guest talk", "#/guest", in_turn(seated("wait"), opens(".guest-glasses button"))),
        Screen("guest ended", "#/guest", seated("ended")),
        Screen("guest results", "#/guest", seated("results")),
        Screen("guest remember", "#/guest", in_turn(seated("wait"), remember_row), leaves=1),
        Screen("settings join", "#/settings/join/00000000000000000000"),
    ]


def in_turn(*steps: Press) -> Press:
    def press(page: Page) -> None:
        for step in steps:
            step(page)

    return press


def too_strong(page: Page) -> None:
    line = page.locator(".style-and-strength input").first
    line.fill("199")
    line.blur()
    expect(page.get_by_role("main").locator(".field-error")).to_be_visible()


def scan(page: Page) -> None:
    """Open the scanner and wait for its message that no camera is available."""
    page.locator(".scan-open").get_by_role("button").first.click()
    result = page.get_by_role("dialog").last.get_by_role("alert")
    expect(result).to_be_visible(timeout=WAIT_MS)


def read_label(page: Page) -> None:
    """Open the reader of labels and wait for its question."""
    page.locator(".label-tools button").first.click()
    expect(page.locator(".photo-steps .primary")).to_be_visible(timeout=WAIT_MS)


# Seats this phone at a table as a guest; without a token nothing is sent.
SEAT = """async (how) => {
  const RESULTS = (id) => ({
    order: [{ glass: id(1), count: 4, mean: 7.5, median: 7.5 }],
    duplicate: { glasses: [id(1), id(2)], found: 1, tried: 3, names: ['Benedetta'] } });
  const [store, { GROUP_STEPS }] = await Promise.all([
    import('/domain/guest/guest_store.js'), import('/domain/table/steps.js')]);
  const id = (at) => `01900000-0000-7000-8000-00000000f00${at}`;
  const isLed = how === 'led';
  const fields = { liking: 8, acidity: 4, finish_s: 12, first_nose_words: ['rose'] };
  const answers = [fields, { ...fields, liking: 3 }].map((each) => (
    { guest: 1, name: 'Benedetta', fields: each }));
  const bottle = { name: 'Ottersbrunn', producer: 'Zwillingshof', vintage: 2019, label_abv: 13 };
  const table = {
    id: id(0), name: 'Monday table', leader_name: 'Greta', steps: GROUP_STEPS,
    pace: how === 'free' ? 'free' : 'led', labels_hidden: true, names_shown: true,
    ask_guesses: true, guidance: {}, keeps_days: 30,
    open_glass: isLed ? id(2) : null, open_step: isLed ? 'sip_1' : null,
    ended_at: how === 'ended' ? '2026-11-28T22:00:00+01:00' : null };
  const glasses = [1, 2, 3].map((at) => ({
    id: id(at), mark: 'ABC'[at - 1], position: at, closed: {},
    discussed: at === 1, uncovered: at === 1, ...(at === 1 ? { bottle, answers } : {}) }));
  await store.putSeat({
    table: id(0), origin: 'server', invitation: {}, key: '', token: null, state: 'in',
    guest: { id: id(9), name: 'Benedetta', number: 1 }, etag: null, clock: null, timer: null,
    taken: [], opened_ms: 1,
    view: { table, glasses, sheets: { [id(1)]: { ...fields, guess_abv: 14 } },
      ...(how === 'results' ? { results: RESULTS(id) } : {}) } });
  location.hash = `#/guest/${id(0)}`;
}"""


def seated(how: str) -> Press:
    def press(page: Page) -> None:
        page.evaluate(SEAT, how)
        expect(page.locator(".guest-glasses")).to_be_visible(timeout=WAIT_MS)

    return press


def leave_row(page: Page) -> None:
    page.locator(".guest-menu .row").last.click()


def remember_row(page: Page) -> None:
    page.locator(".guest-menu .row").nth(-2).click()


def no_camera(page: Page) -> None:
    """Wait for the message that no camera is available."""
    expect(page.locator(".guest-photo")).to_be_visible(timeout=WAIT_MS)
