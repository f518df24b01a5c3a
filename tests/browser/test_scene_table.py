"""Scenario: a leader, guests with bad networks, and a server that dies after the second glass."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import ExitStack

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.engines import PHONE, tap
from tests.browser.led_table import (
    CAMERA,
    WINES,
    LeaderPhone,
    api_bodies,
    glass_id,
    join,
    show_to_camera,
)
from tests.browser.live_server import LiveServer
from tests.browser.waiting import LIMIT_S, wait_until

pytestmark = [pytest.mark.browser, pytest.mark.service_worker]
LIKE = "How much do you like it?"
READY = "() => navigator.serviceWorker.ready.then(() => undefined)"
# Presses of the right arrow for each glass; the liking is 5 and one more for each press.
PRESSES = {"Ada": (1, 2, 3, 4), "Dora": (4, 3, 2, 1), "Quirin": (2, 2, 3, 3), "Pia": (3, 1, 4, 2)}
LATE = {"Ben": {3: 8}}
REMOVED = {"Carla": {0: 6}}


@pytest.fixture
def open_phone(browser: Browser, live_server: LiveServer) -> Iterator[Callable[[], Page]]:
    with ExitStack() as stack:

        def opened() -> Page:
            made = browser.new_context(base_url=live_server.url, **PHONE)
            context = stack.enter_context(made)
            context.set_default_timeout(LIMIT_S * 1000)
            context.add_init_script(f"({CAMERA})()")
            return context.new_page()

        yield opened


def like(page: Page, presses: int) -> None:
    slider = page.get_by_role("slider", name=LIKE)
    for _ in range(presses):
        slider.press("ArrowRight")


def rate(page: Page, name: str, *glasses: int) -> None:
    """Rate the glasses one after the other; the phone is at the first of them."""
    for at in glasses:
        expect(page.get_by_role("heading", level=1)).to_have_text(f"Glass {'ABCD'[at]}")
        like(page, PRESSES[name][at])
        if at < len(WINES) - 1:
            tap(page.get_by_role("button", name="Next glass"))


def pass_round(page: Page, table: str, name: str) -> None:
    """Let somebody without a phone rate every glass on the leader's."""
    page.evaluate("(hash) => { location.hash = hash; }", f"#/table/{table}/pass")
    page.get_by_label("First name").fill(name)
    tap(page.get_by_role("button", name="Start", exact=True))
    for at, mark in enumerate("ABCD"):
        if at:
            tap(page.get_by_role("button", name=name))
        expect(page.get_by_role("img", name=f"Glass {mark}")).to_be_visible()
        like(page, PRESSES[name][at])
        tap(page.get_by_role("button", name="Done: pass it on"))


def likings(leader: LeaderPhone) -> list[tuple[str, int, float]]:
    """Return who rated which glass how, in the leader's book."""
    glasses = {glass_id(at): at for at in range(len(WINES))}
    names = {guest["id"]: guest["name"] for guest in leader.rows("guest")}
    sheets = [sheet for sheet in leader.rows("sheet") if sheet.get("liking")]
    return sorted((names[s["guest"]], glasses[s["glass"]], s["liking"]) for s in sheets)


def join_by_codes(page: Page, leader: LeaderPhone) -> None:
    page.goto("/#/guest/flight")
    page.evaluate(READY)
    leader.page.goto(f"/#/table/{leader.table}/codes")
    show_to_camera(leader.page, page)
    page.get_by_label("Your first name").fill("Quirin")
    tap(page.get_by_role("button", name="Join the table"))


def scan_twice(leader: LeaderPhone, page: Page) -> None:
    leader.page.evaluate("(hash) => { location.hash = hash; }", f"#/table/{leader.table}/codes")
    for _ in range(2):
        tap(leader.page.get_by_role("button", name="Scan a guest’s answers"))
        show_to_camera(page, leader.page)
        expect(leader.page.get_by_text("Quirin: 4 glasses read.")).to_be_visible()
        tap(leader.page.get_by_role("button", name="Show the table again"))


def expected_names(answers: list[tuple[str, int, float]]) -> list[str]:
    return sorted({name for name, _, _ in answers})


def is_in(body: str, word: str) -> bool:
    """Tell whether a body has the word; a number must be no part of a longer one or of an id."""
    if not word.isdigit():
        return word in body
    return re.search(rf"(?<![\w-]){word}(?![\w-])", body) is not None


def test_evening_keeps_every_answer_once(
    open_phone: Callable[[], Page], live_server: LiveServer
) -> None:
    leader = LeaderPhone(open_phone())
    leader.set_table(len(WINES), pace="free", steps=["verdict"])
    leader.page.evaluate(READY)
    phones = {name: open_phone() for name in ("Ada", "Carla", "Dora", "Ben", "Quirin")}
    bodies = {name: api_bodies(page) for name, page in phones.items()}
    ada, dora, quirin = phones["Ada"], phones["Dora"], phones["Quirin"]
    join_by_codes(quirin, leader)
    for name in ("Ada", "Carla", "Dora"):
        join(phones[name], leader.invitation["path"], name)
        expect(phones[name].get_by_role("slider", name=LIKE)).to_be_visible()
    like(phones["Carla"], 1)
    rate(ada, "Ada", 0)
    rate(dora, "Dora", 0, 1)
    expect(dora.get_by_text("all sent")).to_be_visible()
    wait_until(ada, lambda: ("Carla", 0, 6) in likings(leader), "the answer of Carla")
    leader.send_away(next(g["id"] for g in leader.rows("guest") if g["name"] == "Carla"))
    expect(phones["Carla"].get_by_text("removed you from this table")).to_be_visible()
    ada.context.set_offline(True)
    rate(ada, "Ada", 1)

    live_server.kill()
    rate(ada, "Ada", 2, 3)
    rate(dora, "Dora", 2, 3)
    rate(quirin, "Quirin", 0, 1, 2, 3)
    pass_round(leader.page, leader.table, "Pia")
    live_server.start()

    ben = phones["Ben"]
    join(ben, leader.invitation["path"], "Ben")
    tap(ben.get_by_role("button", name="Glass D"))
    tap(ben.get_by_role("button", name="Verdict"))
    like(ben, 3)
    ada.context.set_offline(False)
    tap(quirin.get_by_role("button", name="Glass A"))
    tap(quirin.get_by_role("button", name="Show my answers as QR codes"))
    scan_twice(leader, quirin)

    full = {name: dict(enumerate(5 + p for p in each)) for name, each in PRESSES.items()}
    expected = sorted(
        (name, at, liking)
        for name, each in {**full, **LATE, **REMOVED}.items()
        for at, liking in each.items()
    )
    wait_until(ada, lambda: likings(leader) == expected, "every answer, once")
    hidden = [str(word) for wine in WINES for word in wine.values()]
    names = [f'"{name}"' for name in expected_names(expected)]
    for name, each in bodies.items():
        others = [one for one in names if one != f'"{name}"']
        assert [word for word in [*hidden, *others] if is_in(" ".join(each), word)] == []
    leader.reveal(0)
    tap(ada.get_by_role("button", name="Glass A"))
    expect(ada.get_by_role("heading", name="Torre Quarzo 2019")).to_be_visible()
