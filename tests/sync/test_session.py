"""Restored servers and copied phones are detected, and neither loses data."""

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


def test_first_sync_is_neither_rewound_nor_forked(server: Server) -> None:
    answer = exchange(server, Phone("aaaaaaaa"))
    assert (answer["rewound"], answer["fork"]) == (False, False)


def test_repeated_syncs_are_neither_rewound_nor_forked(server: Server) -> None:
    phone = Phone("aaaaaaaa")
    for number in range(12):
        write(server, phone, range(number, number + 1))
        answer = exchange(server, phone)
        assert (answer["rewound"], answer["fork"]) == (False, False)


def test_lost_responses_cause_neither_rewind_nor_fork(server: Server) -> None:
    phone = Phone("aaaaaaaa")
    exchange(server, phone)
    for _ in range(9):
        server.send(phone.request())
    answer = exchange(server, phone)
    assert (answer["rewound"], answer["fork"]) == (False, False)
    answer = exchange(server, phone)
    assert (answer["rewound"], answer["fork"]) == (False, False)


def test_empty_sync_writes_its_device_row_only(server: Server) -> None:
    phone = Phone("aaaaaaaa")
    write(server, phone, range(1))
    exchange(server, phone)
    before = server.backup()
    exchange(server, phone)
    after = server.backup()
    assert {name for name in before if before[name] != after[name]} == {"device"}
    assert len(after["device"]) == 1


def test_cursor_ahead_of_the_server_is_rewound(server: Server) -> None:
    phone = Phone("aaaaaaaa")
    exchange(server, phone)
    phone.cursor = 1
    assert exchange(server, phone)["rewound"] is True


def test_restored_server_receives_newer_records(server: Server) -> None:
    here, there = Phone("aaaaaaaa"), Phone("bbbbbbbb")
    write(server, here, range(3))
    exchange(server, here)
    exchange(server, there)
    yesterday = server.backup()
    write(server, here, range(3, 6))
    exchange(server, here)
    server.restore(yesterday)
    # The lost sequence numbers are assigned again, so that no cursor looks wrong.
    write(server, there, range(10, 20))
    exchange(server, there)
    assert here.cursor < server.rows(tables.owner)[0]["seq"]
    answer = exchange(server, here)
    assert answer["rewound"] is True
    for phone in (here, there):
        phone.sync(server.send)
    assert here.state() == there.state() == server.state()
    assert len(server.state()) == 16


def test_replaced_empty_server_is_refilled(server: Server) -> None:
    here, there = Phone("aaaaaaaa"), Phone("bbbbbbbb")
    write(server, here, range(3))
    here.sync(server.send)
    there.sync(server.send)
    server.replace()
    there.sync(server.send)
    here.sync(server.send)
    assert here.state() == there.state() == server.state()
    assert len(server.state()) == 3


def test_copies_of_a_phone_are_detected(server: Server) -> None:
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


def test_phone_restored_from_an_old_copy_is_a_fork(server: Server) -> None:
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


def test_late_repetitions_cause_no_rewind(server: Server) -> None:
    phone = Phone("aaaaaaaa")
    exchange(server, phone)
    request = phone.request()
    phone.take(request, server.send(request))
    for _ in range(9):
        server.send(request)
    answer = exchange(server, phone)
    assert (answer["rewound"], answer["fork"]) == (False, False)


def test_copied_phone_continues_under_its_new_id(server: Server) -> None:
    phone = Phone("aaaaaaaa")
    write(server, phone, range(3))
    exchange(server, phone)
    copy = deepcopy(phone)
    for _ in range(2):
        exchange(server, phone)
    assert exchange(server, copy)["fork"] is True
    answer = exchange(server, copy)
    assert (answer["rewound"], answer["fork"], answer["changes"]) == (False, False, [])


def test_copied_phone_detects_a_restored_server(server: Server) -> None:
    phone, other = Phone("aaaaaaaa"), Phone("bbbbbbbb")
    write(server, phone, range(3))
    exchange(server, phone)
    copy, yesterday = deepcopy(phone), server.backup()
    for _ in range(2):
        exchange(server, phone)
    write(server, copy, range(10, 11))
    assert exchange(server, copy)["fork"] is True
    server.restore(yesterday)
    # Other phones write past the last number that the copy has received.
    exchange(server, other)
    write(server, other, range(20, 26))
    exchange(server, other)
    assert exchange(server, copy)["rewound"] is True
    for one in (copy, other, phone, copy):
        one.sync(server.send)
    assert copy.state() == phone.state() == other.state() == server.state()
    assert "/".join(key(10)) in server.state()
