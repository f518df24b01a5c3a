"""The bounded channel of a connection, with its two threads tested separately."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from types import SimpleNamespace

import pytest
from waitress.adjustments import Adjustments

from webapp.server.channel import BoundedChannel

CONTINUE = b"HTTP/1.1 100 Continue\r\n\r\n"


@pytest.fixture
def ends() -> Iterator[tuple[BoundedChannel, socket.socket]]:
    """Yield a channel whose request waits for "100 Continue", and the client's socket."""
    ours, theirs = socket.socketpair()
    theirs.setblocking(False)
    server = SimpleNamespace(pull_trigger=lambda: None, active_channels={})
    channel = BoundedChannel(server, ours, ("", 0), Adjustments(), map={})
    channel.request = SimpleNamespace(
        continue_deferred=True, expect_continue=False, headers_finished=True, completed=False
    )
    yield channel, theirs
    ours.close()
    theirs.close()


def test_continue_is_sent_by_the_event_loop_only(
    ends: tuple[BoundedChannel, socket.socket],
) -> None:
    channel, theirs = ends
    channel.resume(channel.request, None)
    with pytest.raises(BlockingIOError):
        theirs.recv(100)
    assert channel.writable()
    channel.handle_write()
    assert theirs.recv(100) == CONTINUE
    assert not channel.writable()
    channel.handle_write()
    with pytest.raises(BlockingIOError):
        theirs.recv(100)


def test_continue_waits_for_the_previous_response(
    ends: tuple[BoundedChannel, socket.socket],
) -> None:
    channel, theirs = ends
    channel.requests = [object()]
    channel.resume(channel.request, None)
    channel.handle_write()
    with pytest.raises(BlockingIOError):
        theirs.recv(100)
    assert channel.request.expect_continue
