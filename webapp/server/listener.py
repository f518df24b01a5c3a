"""Listening sockets, their connections, and the loop that serves them until it is stopped.

Waitress reads every body in one loop before a thread sees the request, so a slow body occupies a
connection, but no thread. There may be `Limits.connections` (300 by default, which with a temporary
file each stays well below the usual 1,024 open files). When there is one more, the longest waiting
connection of the address with the most connections is closed, so that slow senders displace each
other and nobody else.
"""

from __future__ import annotations

import socket
import time
from collections import Counter
from collections.abc import Callable, Iterable
from typing import Any

from waitress import wasyncore
from waitress.adjustments import Adjustments
from waitress.server import TcpWSGIServer, UnixWSGIServer
from waitress.task import ThreadedTaskDispatcher

from webapp.auth.counters import client_key
from webapp.server.channel import BoundedChannel
from webapp.server.limits import Limits

# The loop checks the time limits of its connections once a second.
TICK_S = 1
# Extra connections, above the limit, for the listening socket and those being closed.
MARGIN = 100


class _Bounded:
    """The behaviour common to both kinds of socket; a mixin for waitress' servers."""

    channel_class = BoundedChannel
    active_channels: dict[int, BoundedChannel]
    adj: Any

    def handle_accept(self) -> None:
        super().handle_accept()  # type: ignore[misc]
        self._close_excess()

    def maintenance(self, now: float) -> None:
        super().maintenance(now)  # type: ignore[misc]
        now_s = time.monotonic()
        for channel in self.active_channels.values():
            if channel.is_overdue(self.adj.limits, now_s):
                channel.will_close = True

    def _close_excess(self) -> None:
        open_channels = [one for one in self.active_channels.values() if not one.will_close]
        if len(open_channels) <= self.adj.limits.connections:
            return
        waiting = [
            (since, one) for one in open_channels if (since := one.waiting_since_s()) is not None
        ]
        if not waiting:
            return
        counts = Counter(_address(one) for one in open_channels)
        _, oldest = min(waiting, key=lambda entry: (-counts[_address(entry[1])], entry[0]))
        oldest.will_close = True

    def stop_listening(self) -> None:
        """Accept no more connections; close idle ones."""
        listener: Any = self
        listener.accepting = False
        wasyncore.dispatcher.del_channel(listener)
        listener.socket.close()
        for channel in self.active_channels.values():
            if not channel.is_busy():
                channel.will_close = True


class BoundedTcpServer(_Bounded, TcpWSGIServer):  # type: ignore[misc]
    """A server on an address and port."""


class BoundedUnixServer(_Bounded, UnixWSGIServer):  # type: ignore[misc]
    """A server on a Unix socket, for a proxy on this machine."""


def _address(channel: BoundedChannel) -> str:
    return client_key(str(channel.addr[0]))


class Listener:
    """The sockets, threads and loop of one process, for one app."""

    def __init__(self, app: Any, sockets: Iterable[socket.socket], threads: int) -> None:
        self.limits = Limits.of(app.config)
        self.map: dict[int, Any] = {}
        self.dispatcher = ThreadedTaskDispatcher()
        self.dispatcher.set_thread_count(threads)
        self.servers = [self._server(app, one) for one in sockets]

    def _server(self, app: Any, listening: socket.socket) -> Any:
        adjustments = Adjustments(
            sockets=[listening],
            # The request checks need these headers to detect a proxy.
            clear_untrusted_proxy_headers=False,
            ident=None,
            connection_limit=self.limits.connections + MARGIN,
            cleanup_interval=TICK_S,
            asyncore_use_poll=True,
        )
        adjustments.limits = self.limits
        is_tcp = listening.family in (socket.AF_INET, socket.AF_INET6)
        return (BoundedTcpServer if is_tcp else BoundedUnixServer)(
            app,
            self.map,
            _sock=listening,
            dispatcher=self.dispatcher,
            adj=adjustments,
            bind_socket=False,
            sockinfo=(listening.family, listening.type, 0, listening.getsockname()),
        )

    def wake(self) -> None:
        """Wake the loop; may be called from another thread or a signal handler."""
        for server in self.servers:
            server.pull_trigger()

    def run(self, is_running: Callable[[], bool]) -> None:
        """Serve while `is_running()` is true, then finish pending responses.

        It is called once a second, to the end. Responses that take longer than `Limits.stop_s` are
        aborted.
        """
        while is_running():
            self._run_once()
        for server in self.servers:
            server.stop_listening()
        until_s = time.monotonic() + self.limits.stop_s
        while self._is_busy() and time.monotonic() < until_s:
            is_running()
            for server in self.servers:
                server.maintenance(time.time())
            self._run_once()
        self.dispatcher.shutdown(timeout=TICK_S)
        wasyncore.close_all(self.map)

    def _run_once(self) -> None:
        wasyncore.loop(timeout=TICK_S, use_poll=True, map=self.map, count=1)

    def _is_busy(self) -> bool:
        channels = [one for server in self.servers for one in server.active_channels.values()]
        return any(one.is_busy() for one in channels)
