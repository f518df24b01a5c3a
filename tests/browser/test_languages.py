"""French and Italian: decimal commas, units, currencies and style names."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from itertools import pairwise

import pytest
from playwright.sync_api import Browser, Page, Request, expect

from tests.browser.any_page import primary_action, wrong_fields
from tests.browser.blocked_sync import block_sync
from tests.browser.conftest import PHONE
from tests.browser.engines import tap
from tests.browser.live_server import LiveServer
from tests.browser.seed_records import put
from tests.browser.waiting import wait_for_idle, wait_until

pytestmark = pytest.mark.browser
SETTINGS = "00000000-0000-7000-8000-000000000001"
CURRENT_POUR = "async () => (await import('/domain/pour/current_pour.js')).values.bottle.value"
FOUND = """async (typed) => {
  const { styleItems } = await import('/domain/bottle/style_search.js');
  const { filterItems } = await import('/components/form/search_select.js');
  return filterItems(styleItems(), typed).map((item) => item.id);
}"""

# French has the longest words; the other languages run in `make test-all`.
LOCALES = [
    "fr-FR",
    *(pytest.param(tag, marks=pytest.mark.extended) for tag in ("en-GB", "it-IT")),
]

OpenIn = Callable[[str], Page]
# Left and right of the words in each link, and the height of the link.
LABELS = """(links) => links.map((link) => {
  const words = document.createRange();
  words.selectNodeContents(link);
  const { left, right } = words.getBoundingClientRect();
  return { left, right, height: link.getBoundingClientRect().height };
})"""
HAS_ENGLISH = """() => performance.getEntriesByType('resource')
  .some(({ name }) => name.endsWith('/words/en.json'))"""


@pytest.fixture
def open_in(browser: Browser, server: LiveServer) -> Iterator[OpenIn]:
    """Return a function that opens a phone in a language; its sync is blocked."""
    contexts = []

    def open_phone(locale: str) -> Page:
        context = browser.new_context(
            base_url=server.url, service_workers="block", **{**PHONE, "locale": locale}
        )
        block_sync(context)
        contexts.append(context)
        page = context.new_page()
        page.goto("/")
        expect(page.locator('[data-field="tasting.words"]')).to_be_visible()
        return page

    yield open_phone
    for context in contexts:
        context.close()


@pytest.mark.parametrize(
    ("locale", "lang", "title"), [("fr-FR", "fr", "Verser"), ("it-IT", "it", "Calice")]
)
def test_language_follows_the_phone(open_in: OpenIn, locale: str, lang: str, title: str) -> None:
    page = open_in(locale)
    expect(page.locator("h1")).to_have_text(title)
    expect(page.locator("html")).to_have_attribute("lang", lang)
    page.route("**/api/example?*", lambda route: route.abort())
    with page.expect_request(f"**/api/example?language={lang}"):
        tap(page.locator('a[href="#/book?example"]'))


@pytest.mark.parametrize("locale", LOCALES)
def test_first_screen_fits_in_each_language(open_in: OpenIn, locale: str) -> None:
    page = open_in(locale)
    page.set_viewport_size({"width": 360, "height": 780})
    wait_for_idle(page)
    row, save = page.locator(".in-full-row").bounding_box(), primary_action(page).bounding_box()
    assert row is not None
    assert save is not None
    assert row["y"] + row["height"] <= save["y"]
    links: list[dict[str, float]] = page.locator(".main-nav a").evaluate_all(LABELS)
    gaps = [right["left"] - left["right"] for left, right in pairwise(links)]
    assert min(gaps) >= 12, gaps
    assert min(link["height"] for link in links) >= 48


@pytest.mark.parametrize("locale", ["fr-FR", pytest.param("it-IT", marks=pytest.mark.extended)])
def test_decimal_comma_is_accepted_stored_and_shown(open_in: OpenIn, locale: str) -> None:
    page = open_in(locale)
    strength = page.locator('[data-field="bottle.label_abv"] input')
    strength.fill("12,5")
    expect(wrong_fields(page)).to_have_count(0)
    page.wait_for_function(f"() => ({CURRENT_POUR})().then((bottle) => bottle.label_abv === 12.5)")
    page.reload()
    expect(strength).to_have_value("12,5")


# Local and English names, regions and countries in both languages, synonyms of grapes, and both
# kinds of apostrophe.
STYLES = {
    "fr-FR": {
        "rouge sec roussillon": "red_cotes_du_rhone",
        "sans annee": "spk_champagne_brut",
        "xeres oloroso": "frt_oloroso",
        "vin de glace": "swt_icewine",
        "bourgogne rouge": "red_pinot_burgundy",
        "non vintage": "spk_champagne_brut",
        "toscane": "red_chianti_classico",
        "tuscany": "red_chianti_classico",
    },
    "it-IT": {
        "rosso secco rossiglione": "red_cotes_du_rhone",
        "metodo classico": "spk_franciacorta",
        "borgogna": "red_pinot_burgundy",
        "bollicine": "spk_prosecco",
        "ice wine": "swt_icewine",
        "nuova zelanda": "wht_sauv_nz",
        "new zealand": "wht_sauv_nz",
    },
    "en-GB": {
        "spatburgunder": "red_pinot_burgundy",
        "garnacha": "red_gsm",
        "dry red roussillon": "red_cotes_du_rhone",
        "d'asti": "spk_moscato_dasti",
        "d\u2019asti": "spk_moscato_dasti",
    },
}


@pytest.mark.parametrize("locale", STYLES)
def test_style_is_found_by_its_local_names(open_in: OpenIn, locale: str) -> None:
    page = open_in(locale)
    missing = {
        typed: style
        for typed, style in STYLES[locale].items()
        if style not in page.evaluate(FOUND, typed)
    }
    assert missing == {}


def test_phone_loads_only_its_language_and_english(
    open_in: OpenIn,
) -> None:
    page = open_in("fr-FR")
    # English comes in idle time, and a late request for it would count for the reload.
    wait_until(page, lambda: page.evaluate(HAS_ENGLISH), "English of the first load")
    asked: list[str] = []

    def hear(request: Request) -> None:
        if "/words/" in request.url:
            asked.append(request.url.rpartition("/")[2])

    page.context.on("request", hear)
    page.reload()
    expect(page.locator('[data-field="tasting.words"]')).to_be_visible()
    wait_until(page, lambda: len(asked) > 1, "the request for English")
    wait_for_idle(page)
    assert asked == ["fr.json", "en.json"]
    style = page.locator('[data-field="bottle.style"]')
    style.get_by_role("button").click()
    page.get_by_role("dialog").get_by_role("searchbox").fill("cremant")
    page.get_by_role("dialog").get_by_role("listitem").get_by_role("button").first.click()
    expect(style).to_contain_text("Cr\u00e9mant et m\u00e9thode traditionnelle de France")
    page.reload()
    expect(style).to_contain_text("Cr\u00e9mant et m\u00e9thode traditionnelle de France")


@pytest.mark.extended
def test_units_and_currency_are_configurable(open_in: OpenIn) -> None:
    page = open_in("fr-FR")
    own = {
        "temperature_unit": "fahrenheit",
        "volume_unit": "fluid_ounce",
        "currency": "EUR",
        "pour_ml": 75,
    }
    put(page, "settings", own, SETTINGS)
    page.goto("/#/settings")
    page.reload()
    pour = "Quantité servie d’habitude"
    units = {
        "Budget par bouteille": "\u20ac",
        "Température de la pièce": "\u00b0F",
        pour: r"fl\soz",
    }
    for label, unit in units.items():
        expect(page.get_by_label(label)).to_have_accessible_description(re.compile(unit))
    expect(page.get_by_label(pour)).to_have_value("2,54")


# Show a sync state, and return the height of the title row and whether the state is cut off.
STATE = """async ({ phase = 'idle', notes = 0, photos = 0 }) => {
  const { activity, counts } = await import('/sync/status.js');
  counts.value = { ...counts.value, notes, photos };
  activity.value = { phase, progress: null };
  await new Promise((drawn) => requestAnimationFrame(() => setTimeout(drawn)));
  const state = document.querySelector('.page-head .state-words');
  const height = document.querySelector('.page-head').offsetHeight;
  return [height, state.scrollWidth > state.clientWidth];
}"""
STATES = ({}, {"phase": "waiting"}, {"notes": 12}, {"notes": 12, "phase": "syncing"}, {"photos": 1})
ONE_LINE_PX = 66


@pytest.mark.parametrize("locale", LOCALES)
def test_title_row_is_one_line_at_320_px(open_in: OpenIn, locale: str) -> None:
    page = open_in(locale)
    page.set_viewport_size({"width": 320, "height": 640})
    for name in ("book", "shelf", "palate", "table", "settings"):
        page.goto(f"/#/{name}")
        expect(page.locator(".page-head .state-words")).to_be_visible()
        for state in STATES:
            height, is_cut = page.evaluate(STATE, state)
            assert height <= ONE_LINE_PX, (name, state)
            assert not is_cut, (name, state)


CUT_STATES = """async () => {
  const { t } = await import('/i18n.js');
  const link = document.querySelector('.page-head .state-words');
  const kinds = ['unsent', 'changes', 'photos', 'sending', 'sending_changes', 'refused'];
  const texts = kinds.map((kind) => t(`app.state_${kind}`, { count: 128 }));
  return texts.filter((text) => {
    link.textContent = text;
    return link.scrollWidth > link.clientWidth;
  });
}"""


@pytest.mark.parametrize("locale", LOCALES)
def test_backup_state_with_three_digits_is_not_cut(open_in: OpenIn, locale: str) -> None:
    page = open_in(locale)
    page.set_viewport_size({"width": 360, "height": 780})
    for screen in ("shelf", "settings"):
        page.goto(f"/#/{screen}")
        expect(page.locator(".page-head .state-words")).to_be_visible()
        assert page.evaluate(CUT_STATES) == [], screen
