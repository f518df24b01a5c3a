"""A server that is killed during the evening loses no answer that it acknowledged."""

from __future__ import annotations

import http.client
import json
import socket
from collections.abc import Callable
from pathlib import Path
from threading import Event, Thread
from typing import Any

from tests.browser.live_server import LiveServer
from tests.group_tasting.evening import new_id, now_ms
from webapp.group_tasting.ids import sheet_id

GUESTS, GLASSES = 4, 6
KILLED_AFTER = 9


def ask(
    server: LiveServer, method: str, path: str, body: Any = None, token: str = ""
) -> tuple[int, Any]:
    """Send one request; (0, None) if the server went away before its response."""
    link = http.client.HTTPConnection("127.0.0.1", server.port, timeout=120)
    headers = {"Content-Type": "application/json", "Authorization": f"Bearer {token}"}
    try:
        link.request(method, path, json.dumps(body) if body is not None else None, headers)
        answer = link.getresponse()
        return answer.status, json.loads(answer.read())
    except (OSError, http.client.HTTPException):
        return 0, None
    finally:
        link.close()


def sync(server: LiveServer, *changes: tuple[str, str, dict[str, Any]]) -> dict[str, Any]:
    """Sync the leader's phone."""
    clock = f"{now_ms():013d}-0000-leadersphone"
    items = [
        {"kind": kind, "id": id_, "fields": fields, "clocks": dict.fromkeys(fields, clock)}
        for kind, id_, fields in changes
    ]
    request = {"format": 1, "device": "leadersphone", "cursor": 0, "changes": items}
    status, answer = ask(server, "POST", "/api/sync", request)
    assert status == 200, answer
    return dict(answer)


def set_table(server: LiveServer) -> tuple[str, list[str]]:
    table, glasses = new_id(), [new_id() for _ in range(GLASSES)]
    one = [
        ("glass", id_, {"group_tasting": table, "position": n}) for n, id_ in enumerate(glasses, 1)
    ]
    sync(server, ("group_tasting", table, {"name": "Six glasses", "pace": "free"}), *one)
    return table, glasses


class Phone(Thread):
    """A guest's phone, which sends each answer until it is acknowledged."""

    def __init__(self, server: LiveServer, glasses: list[str], secret: str) -> None:
        super().__init__(daemon=True)
        self.server, self.glasses, self.secret = server, glasses, secret
        self.guest, self.key, self.token = new_id(), new_id() + new_id(), ""
        self.acknowledged: dict[tuple[str, str], int] = {}
        self.lost = 0
        self.on_stored: Callable[[], None] = lambda: None
        self.back = Event()

    def join_table(self) -> str:
        values = {"secret": self.secret, "name": "Ada", "guest": self.guest, "key": self.key}
        status, answer = ask(self.server, "POST", "/api/guests/join", values)
        assert status == 200, answer
        return str(answer["token"])

    def run(self) -> None:
        for number, glass in enumerate(self.glasses):
            for name in ("liking", "finish_s"):
                noted, value = now_ms(), 1 + number
                body = {"fields": {name: value}, "noted_ms": {name: noted}}
                while self.put(glass, body) != 200:
                    self.lost += 1
                    self.back.wait()
                self.acknowledged[glass, name] = value
                self.on_stored()

    def put(self, glass: str, body: dict[str, Any]) -> int:
        return ask(self.server, "PUT", f"/api/guests/sheets/{glass}", body, self.token)[0]


def test_killed_server_loses_no_acknowledged_answer(tmp_path: Path) -> None:
    server = LiveServer(tmp_path).start()
    try:
        table, glasses = set_table(server)
        secret = ask(server, "POST", f"/api/group-tastings/{table}/invitation")[1]["secret"]
        phones = [Phone(server, glasses, secret) for _ in range(GUESTS)]
        enough = Event()

        def count() -> None:
            if sum(len(phone.acknowledged) for phone in phones) >= KILLED_AFTER:
                enough.set()

        for phone in phones:
            phone.token, phone.on_stored = phone.join_table(), count
        for phone in phones:
            phone.start()
        enough.wait()
        server.kill()
        before = {phone.guest: dict(phone.acknowledged) for phone in phones}
        server.start()
        kept = sheets(server)
        for guest, answers in before.items():
            for (glass, name), value in answers.items():
                assert kept[sheet_id(guest, glass)][name] == value
        for phone in phones:
            # The token is the same after the restart, also for a phone that asks again.
            assert phone.join_table() == phone.token
            phone.back.set()
        for phone in phones:
            phone.join()
        assert sum(phone.lost for phone in phones) > 0
        assert sheets(server) == expected(table, glasses, phones)
    finally:
        server.kill()


def sheets(server: LiveServer) -> dict[str, dict[str, Any]]:
    found = [one for one in sync(server)["changes"] if one["kind"] == "sheet"]
    return {one["id"]: one["fields"] for one in found}


def expected(table: str, glasses: list[str], phones: list[Phone]) -> dict[str, dict[str, Any]]:
    """Return each guest's answers for each glass, once."""
    return {
        sheet_id(phone.guest, glass): {
            "group_tasting": table,
            "glass": glass,
            "guest": phone.guest,
            "liking": number,
            "finish_s": number,
        }
        for phone in phones
        for number, glass in enumerate(glasses, 1)
    }


def test_large_answers_need_a_token_on_the_wire(tmp_path: Path) -> None:
    server = LiveServer(tmp_path).start()
    try:
        table, glasses = set_table(server)
        secret = ask(server, "POST", f"/api/group-tastings/{table}/invitation")[1]["secret"]
        phone = Phone(server, glasses, secret)
        phone.token = phone.join_table()
        words, long = "\u00fc" * 4000, "\u00fc" * 38
        lists = ("first_nose_words", "second_nose_words", "sip_words", "sip_2_words")
        own = {name: [f"~{n:02d}{long}" for n in range(60)] for name in lists}
        body = {"fields": {"words": words, **own}, "noted_ms": {}}
        path = f"/api/guests/sheets/{glasses[0]}"
        assert phone.put(glasses[0], body) == 200
        # Without a token the body is not even read: the response comes before it is sent.
        head = f"PUT {path} HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\n"
        head += "Content-Type: application/json\r\nContent-Length: 90000\r\n\r\n"
        assert answer_to(server, head).startswith(b"HTTP/1.1 401")
        for method, asked, size in (
            ("PUT", path, 100_001),
            ("POST", "/api/guests/join", 2_001),
            ("POST", "/api/guests/look", 2_001),
        ):
            head = f"{method} {asked} HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\n"
            head += f"Authorization: Bearer {phone.token}\r\n"
            head += f"Content-Type: application/json\r\nContent-Length: {size}\r\n\r\n"
            assert answer_to(server, head).startswith(b"HTTP/1.1 413"), asked
    finally:
        server.kill()


def answer_to(server: LiveServer, head: str) -> bytes:
    """Send the headers alone and return the start of the response."""
    with socket.create_connection(("127.0.0.1", server.port), timeout=120) as link:
        link.sendall(head.encode())
        return link.recv(200)
