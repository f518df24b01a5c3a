"""A WebDriver BiDi proxy between Playwright and an unmodified Firefox.

Playwright starts this program in place of Firefox, with the path and the arguments of Firefox.
The proxy forwards all messages unchanged, with two exceptions:
- a command in DISPENSABLE that Firefox does not know is reported as successful;
- pointer input becomes touch input, because Playwright sends only mouse input over BiDi.

Usage: python tests/browser/bidi_bridge.py FIREFOX [ARGUMENT ...]
"""

from __future__ import annotations

import asyncio
import json
import os
import re
import sys
from asyncio.subprocess import PIPE
from collections.abc import AsyncIterable, Awaitable, Callable
from typing import Any

from websockets.asyncio.client import connect
from websockets.asyncio.server import ServerConnection, serve

ANNOUNCED = "WebDriver BiDi listening on"
# Commands the tests do not need: a profile preference sets the colour scheme.
DISPENSABLE = {"emulation.setMediaFeaturesOverride"}
PLAIN: dict[str, Any] = {"compression": None, "max_size": None}

Message = dict[str, Any]


def with_a_finger(command: Message) -> Message:
    """Return the command with its pointer input changed to touch."""
    if command["method"] == "input.performActions":
        for source in command["params"]["actions"]:
            if source["type"] == "pointer":
                source["parameters"] = {"pointerType": "touch"}
    return command


class Talk:
    """The connection of one client to Firefox."""

    def __init__(self) -> None:
        self.dispensable: set[int] = set()

    def asked(self, command: Message) -> Message:
        if command["method"] in DISPENSABLE:
            self.dispensable.add(command["id"])
        return with_a_finger(command)

    def answered(self, message: Message) -> Message:
        unknown = message.get("error") == "unknown command"
        if unknown and message["id"] in self.dispensable:
            return {"type": "success", "id": message["id"], "result": {}}
        return message


async def carry(
    source: AsyncIterable[str | bytes],
    send: Callable[[str], Awaitable[None]],
    change: Callable[[Message], Message],
) -> None:
    async for text in source:
        await send(json.dumps(change(json.loads(text))))


async def announced_address(firefox: asyncio.subprocess.Process) -> str:
    """Return the address that Firefox prints to its standard error."""
    assert firefox.stderr is not None
    async for line in firefox.stderr:
        if found := re.search(rf"{ANNOUNCED} (ws://\S+)", line.decode()):
            return found[1]
    raise SystemExit("Firefox ended before it could be spoken with.")


async def main(command: list[str]) -> None:
    quiet = os.environ | {"MOZ_CRASHREPORTER_DISABLE": "1"}
    firefox = await asyncio.create_subprocess_exec(*command, stderr=PIPE, env=quiet)
    address = await announced_address(firefox)

    async def talk(client: ServerConnection) -> None:
        assert client.request is not None
        result = Talk()
        async with connect(address + client.request.path, proxy=None, **PLAIN) as own:
            ways = (carry(client, own.send, result.asked), carry(own, client.send, result.answered))
            tasks = [asyncio.create_task(way) for way in ways]
            await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)
            for task in tasks:
                task.cancel()

    async with serve(talk, "127.0.0.1", 0, **PLAIN) as server:
        port = next(iter(server.sockets)).getsockname()[1]
        print(f"{ANNOUNCED} ws://127.0.0.1:{port}", file=sys.stderr, flush=True)
        await firefox.communicate()


if __name__ == "__main__":
    asyncio.run(main(sys.argv[1:]))
