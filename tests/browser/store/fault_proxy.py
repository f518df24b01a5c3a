"""An HTTP proxy between phone and server that can delay, cut or replace responses."""

from __future__ import annotations

import gzip
import http.client
import socket
import struct
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

from tests.browser.waiting import LIMIT_S

Response = tuple[int, dict[str, str], str]
HOP = {"connection", "keep-alive", "transfer-encoding", "server", "date"}


class Wire:
    """The settings and counters of a proxy.

    The next `cuts` responses to /api/sync are lost after the server has handled the request: the
    proxy forwards `cut_at` bytes, then closes the connection. `delay_s` delays each response, and
    none is sent while `flows` is not set.
    `passed` counts the requests to /api/sync that reached the server. `in_the_way` receives the
    decompressed body of each request under /api/; if it returns (status, headers, body), the proxy
    sends that response instead of forwarding the request.
    """

    def __init__(self, server_port: int) -> None:
        self.server_port = server_port
        self.cuts = 0
        self.cut_at = 0
        self.delay_s = 0.0
        self.flows = threading.Event()
        self.flows.set()
        self.passed = 0
        self.lock = threading.Lock()
        self.in_the_way: Callable[[str], Response | None] = lambda body: None

    def lose(self, cuts: int, cut_at: int = 0) -> None:
        """Cut the next responses to /api/sync after `cut_at` bytes of their bodies."""
        self.cuts, self.cut_at, self.passed = cuts, cut_at, 0

    def _is_cut(self, path: str) -> bool:
        if path != "/api/sync":
            return False
        with self.lock:
            self.passed += 1
            self.cuts -= 1
            return self.cuts >= 0


class _Handler(BaseHTTPRequestHandler):
    wire: Wire
    protocol_version = "HTTP/1.1"

    def do_GET(self) -> None:
        body = self.rfile.read(int(self.headers.get("Content-Length") or 0))
        if self.path.startswith("/api/") and (response := self.wire.in_the_way(self._text(body))):
            self._answer(*response)
            return
        server = http.client.HTTPConnection("127.0.0.1", self.wire.server_port, timeout=60)
        with closing(server), suppress(OSError, http.client.HTTPException):
            server.request(self.command, self.path, body or None, dict(self.headers))
            with server.getresponse() as answer:
                self._pass_on(answer, answer.read())
            return
        self._reset()

    do_POST = do_PUT = do_DELETE = do_GET

    def _text(self, body: bytes) -> str:
        packed = self.headers.get("Content-Encoding") == "gzip"
        return (gzip.decompress(body) if packed else body).decode(errors="replace")

    def _answer(self, status: int, headers: dict[str, str], text: str) -> None:
        self.send_response_only(status)
        content = text.encode()
        for name, value in {**headers, "Content-Length": str(len(content))}.items():
            self.send_header(name, value)
        self.end_headers()
        self.wfile.write(content)

    def _pass_on(self, answer: http.client.HTTPResponse, content: bytes) -> None:
        time.sleep(self.wire.delay_s)
        self.wire.flows.wait(LIMIT_S)
        cut = self.wire._is_cut(self.path)
        if cut and self.wire.cut_at == 0:
            self._reset()
            return
        self.send_response_only(answer.status, answer.reason)
        for name, value in answer.getheaders():
            if name.lower() not in {*HOP, "content-length"}:
                self.send_header(name, value)
        if answer.status != 304:
            self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content[: self.wire.cut_at] if cut else content)
        self.wfile.flush()
        if cut:
            self._reset()

    def _reset(self) -> None:
        if not self.wire.cut_at:
            linger = struct.pack("ii", 1, 0)
            self.connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, linger)
        self.close_connection = True
        with suppress(OSError):
            self.connection.shutdown(socket.SHUT_RDWR)

    def log_message(self, format: str, *_: object) -> None:
        pass


class _Listener(ThreadingHTTPServer):
    daemon_threads = True

    def handle_error(self, *_: object) -> None:
        """Ignore errors of phones that closed the connection."""


@contextmanager
def wire_to(server_port: int) -> Iterator[tuple[Wire, str]]:
    """Start a proxy to a local server; yield its settings and its address."""
    wire = Wire(server_port)
    listener = _Listener(("127.0.0.1", 0), type("Handler", (_Handler,), {"wire": wire}))
    thread = threading.Thread(target=listener.serve_forever, daemon=True)
    thread.start()
    try:
        yield wire, f"http://127.0.0.1:{listener.server_address[1]}"
    finally:
        listener.shutdown()
        listener.server_close()
        thread.join()
