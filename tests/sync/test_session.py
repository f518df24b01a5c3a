"""Restored servers and copied phones are noticed, and nothing is lost by either."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from tests.sync.conftest import Server
from tests.sync.simulated_phone import Phone
from webapp.db import tables
from webapp.sync.session import MAX_TOKENS

TASTING = ("tasting", "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5")


def key(number: int) -> tuple[str, str]:
    return ("tasting", f"0192f0c1-2a3b-7c4d-8e5f-{number:012x}")


def exchange(server: Server, phone: Phone) -> dict[str, Any]:
    request = phone.request(limit=1000)
    answer = server.send(request)
    phone.take(request, answer)
    return answer


def write(server: Server, phone: Phone, numbers: range) -> None:
    for number in numbers:
        server.now_ms += 1
        phone.edit(server.now_ms, key(number), "words", f"{phone.device} {number}")


def test_a_first_sync_is_neither_rewound_nor_a_fork(server: Server) -> None:
    answer = exchange(server, Phone("aaaaaaaa"))
    assert (answer["rewound"], answer["fork"]) == (False, False)


def test_a_long_row_of_syncs_is_neither(server: Server) -> None:
    phone = Phone("aaaaaaaa")
    for number in range(12):
        write(server, phone, range(number, number + 1))
        answer = exchange(server, phone)
        assert (answer["rewound"], answer["fork"]) == (False, False)


def test_answers_lost_again_and_again_are_neither(server: Server) -> None:
    phone = Phone("aaaaaaaa")
    exchange(server, phone)
    for _ in range(9):
        server.send(phone.request())
    answer = exchange(server, phone)
    assert (answer["rewound"], answer["fork"]) == (False, False)
    answer = exchange(server, phone)
    assert (answer["rewound"], answer["fork"]) == (False, False)


def test_an_empty_sync_writes_the_row_of_its_device_only(server: Server) -> None:
    phone = Phone("aaaaaaaa")
    write(server, phone, range(1))
    exchange(server, phone)
    before = server.backup()
    exchange(server, phone)
    after = server.backup()
    assert {name for name in before if before[name] != after[name]} == {"device"}
    assert len(after["device"]) == 1


def test_a_cursor_ahead_of_the_book_is_rewound(server: Server) -> None:
    phone = Phone("aaaaaaaa")
    exchange(server, phone)
    phone.cursor = 1
    assert exchange(server, phone)["rewound"] is True


def test_a_restored_server_gets_back_what_the_phones_hold(server: Server) -> None:
    here, there = Phone("aaaaaaaa"), Phone("bbbbbbbb")
    write(server, here, range(3))
    exchange(server, here)
    exchange(server, there)
    yesterday = server.backup()
    write(server, here, range(3, 6))
    exchange(server, here)
    server.restore(yesterday)
    # The numbers that were lost are given out again, so that no cursor looks wrong.
    write(server, there, range(10, 20))
    exchange(server, there)
    assert here.cursor < server.rows(tables.owner)[0]["seq"]
    answer = exchange(server, here)
    assert answer["rewound"] is True
    for phone in (here, there):
        phone.sync(server.send)
    assert here.state() == there.state() == server.state()
    assert len(server.state()) == 16


def test_an_empty_server_in_its_place_is_filled_again(server: Server) -> None:
    here, there = Phone("aaaaaaaa"), Phone("bbbbbbbb")
    write(server, here, range(3))
    here.sync(server.send)
    there.sync(server.send)
    server.replace()
    there.sync(server.send)
    here.sync(server.send)
    assert here.state() == there.state() == server.state()
    assert len(server.state()) == 3


def test_two_copies_of_a_phone_are_told_apart(server: Server) -> None:
    phone = Phone("aaaaaaaa")
    write(server, phone, range(2))
    exchange(server, phone)
    copy = deepcopy(phone)
    for one in (phone, phone, copy):
        write(server, one, range(5, 6))
        last = exchange(server, one)
    assert last["fork"] is True
    assert copy.device != phone.device
    for one in (phone, copy, phone):
        one.sync(server.send)
    assert phone.state() == copy.state() == server.state()


def test_a_phone_restored_from_long_ago_is_a_fork_and_reads_the_book_again(server: Server) -> None:
    phone = Phone("aaaaaaaa")
    write(server, phone, range(2))
    exchange(server, phone)
    copy = deepcopy(phone)
    for number in range(10, 10 + MAX_TOKENS):
        write(server, phone, range(number, number + 1))
        exchange(server, phone)
    write(server, copy, range(90, 91))
    answer = exchange(server, copy)
    assert (answer["rewound"], answer["fork"]) == (True, True)
    copy.sync(server.send)
    phone.sync(server.send)
    assert phone.state() == copy.state() == server.state()
    assert len(server.state()) == 3 + MAX_TOKENS


def test_late_repetitions_cost_no_rewind(server: Server) -> None:
    phone = Phone("aaaaaaaa")
    exchange(server, phone)
    request = phone.request()
    phone.take(request, server.send(request))
    for _ in range(9):
        server.send(request)
    answer = exchange(server, phone)
    assert (answer["rewound"], answer["fork"]) == (False, False)


def test_a_copied_phone_goes_on_under_its_new_name_as_if_nothing_were(server: Server) -> None:
    phone = Phone("aaaaaaaa")
    write(server, phone, range(3))
    exchange(server, phone)
    copy = deepcopy(phone)
    for _ in range(2):
        exchange(server, phone)
    assert exchange(server, copy)["fork"] is True
    answer = exchange(server, copy)
    assert (answer["rewound"], answer["fork"], answer["changes"]) == (False, False, [])


def test_a_copied_phone_notices_a_restored_server_from_its_new_name_on(server: Server) -> None:
    phone, other = Phone("aaaaaaaa"), Phone("bbbbbbbb")
    write(server, phone, range(3))
    exchange(server, phone)
    copy, yesterday = deepcopy(phone), server.backup()
    for _ in range(2):
        exchange(server, phone)
    write(server, copy, range(10, 11))
    assert exchange(server, copy)["fork"] is True
    server.restore(yesterday)
    # Others write past the number that the copy has seen.
    exchange(server, other)
    write(server, other, range(20, 26))
    exchange(server, other)
    assert exchange(server, copy)["rewound"] is True
    for one in (copy, other, phone, copy):
        one.sync(server.send)
    assert copy.state() == phone.state() == other.state() == server.state()
    assert "/".join(key(10)) in server.state()
