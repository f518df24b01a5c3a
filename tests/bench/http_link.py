"""A small HTTP client over one connection, of which hundreds run in one process."""

from __future__ import annotations

import asyncio
import json
from typing import Any


class Link:
    """A connection that stays open between requests; `etag` is that of the last response."""

    def __init__(self, port: int) -> None:
        self.port = port
        self.etag = ""
        self._streams: tuple[asyncio.StreamReader, asyncio.StreamWriter] | None = None

    async def ask(
        self, method: str, path: str, body: Any, headers: dict[str, str]
    ) -> tuple[int, Any]:
        """Send a request; return (status, JSON). A closed connection is opened once again."""
        for attempt in (1, 2):
            try:
                return await self._ask(method, path, body, headers)
            except (OSError, asyncio.IncompleteReadError) as error:
                self._streams = None
                if attempt == 2:
                    return 0, repr(error)
        raise AssertionError

    async def _ask(
        self, method: str, path: str, body: Any, headers: dict[str, str]
    ) -> tuple[int, Any]:
        if self._streams is None:
            self._streams = await asyncio.open_connection("127.0.0.1", self.port)
        reader, writer = self._streams
        content = b"" if body is None else json.dumps(body).encode()
        lines = [f"{method} {path} HTTP/1.1", f"Host: 127.0.0.1:{self.port}"]
        lines += ["Content-Type: application/json", f"Content-Length: {len(content)}"]
        lines += [f"{name}: {value}" for name, value in headers.items() if value]
        writer.write("\r\n".join([*lines, "", ""]).encode() + content)
        await writer.drain()
        status, found = self._head(await reader.readuntil(b"\r\n\r\n"))
        self.etag = found.get("etag", "")
        length = 0 if status in (204, 304) else int(found["content-length"])
        answer = await reader.readexactly(length)
        if found.get("connection", "").lower() == "close":
            writer.close()
            self._streams = None
        return status, json.loads(answer) if answer else None

    @staticmethod
    def _head(head: bytes) -> tuple[int, dict[str, str]]:
        first, *rest = head.decode("latin-1").split("\r\n")
        pairs = (line.partition(":") for line in rest if line)
        return int(first.split(" ")[1]), {name.lower(): value.strip() for name, _, value in pairs}
