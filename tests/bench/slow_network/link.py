"""A TCP proxy with the delay and bandwidth of Lighthouse's slow 4G.

All connections share the bandwidth, as on a phone. The browser's own throttling counts each page
and worker by itself, so the downloads of a service worker would not compete with the page.
"""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field

from tests.temporary_postgres import free_port

RTT_S = 0.150
DOWN_BYTES_S = 1_600_000 / 8
UP_BYTES_S = 750_000 / 8
PIECE_BYTES = 1_460
AHEAD_S = 0.03


@dataclass
class Direction:
    """One direction of the line; `sent` counts its bytes."""

    bytes_s: float
    sent: int = 0
    free_at: float = 0.0

    def book(self, size: int, now: float) -> float:
        """Return when the line has sent `size` further bytes."""
        self.sent += size
        self.free_at = max(self.free_at, now) + size / self.bytes_s
        return self.free_at


@dataclass
class Link:
    """A line to a server; without `is_slow` it adds nothing."""

    url: str
    is_slow: bool = True
    down: Direction = field(default_factory=lambda: Direction(DOWN_BYTES_S))
    up: Direction = field(default_factory=lambda: Direction(UP_BYTES_S))

    async def carry(
        self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter, way: Direction
    ) -> None:
        """Pass on what the reader gets, in pieces, each at its time."""
        pieces: asyncio.Queue[tuple[float, bytes]] = asyncio.Queue()
        sender = asyncio.create_task(_deliver(pieces, writer))
        with suppress(OSError):
            while piece := await reader.read(PIECE_BYTES if self.is_slow else 1 << 16):
                due = way.book(len(piece), _now()) if self.is_slow else 0.0
                pieces.put_nowait((due + RTT_S / 2 if self.is_slow else 0.0, piece))
                # The next piece waits, so that connections take turns.
                await _sleep_until(due - AHEAD_S)
        pieces.put_nowait((0.0, b""))
        with suppress(OSError):
            await sender


def _now() -> float:
    return asyncio.get_running_loop().time()


async def _sleep_until(due: float) -> None:
    if (rest := due - _now()) > 0:
        await asyncio.sleep(rest)


async def _deliver(
    pieces: asyncio.Queue[tuple[float, bytes]], writer: asyncio.StreamWriter
) -> None:
    while True:
        due, piece = await pieces.get()
        if not piece:
            writer.close()
            return
        await _sleep_until(due)
        writer.write(piece)
        await writer.drain()


@contextmanager
def link_to(server_url: str) -> Iterator[Link]:
    """Run a line to the server at this address."""
    port, link = free_port(), Link("")
    link.url = f"http://127.0.0.1:{port}"
    server_port = int(server_url.rsplit(":", 1)[1])

    async def connected(near_in: asyncio.StreamReader, near_out: asyncio.StreamWriter) -> None:
        if link.is_slow:
            await asyncio.sleep(RTT_S)  # the handshake of TCP
        far_in, far_out = await asyncio.open_connection("127.0.0.1", server_port)
        with suppress(asyncio.CancelledError):
            await asyncio.gather(
                link.carry(near_in, far_out, link.up), link.carry(far_in, near_out, link.down)
            )

    # A loop of its own, because Playwright already runs one in the main thread.
    loop = asyncio.new_event_loop()
    thread = threading.Thread(target=loop.run_forever, daemon=True)
    thread.start()
    started = asyncio.start_server(connected, "127.0.0.1", port)
    listener = asyncio.run_coroutine_threadsafe(started, loop).result()
    try:
        yield link
    finally:
        asyncio.run_coroutine_threadsafe(_end(listener), loop).result()
        loop.call_soon_threadsafe(loop.stop)
        thread.join()
        loop.close()


async def _end(listener: asyncio.Server) -> None:
    listener.close()
    tasks = asyncio.all_tasks() - {asyncio.current_task()}
    for task in tasks:
        task.cancel()
    await asyncio.gather(*tasks, return_exceptions=True)
