"""Small changes to a case, far cheaper than a new one: replaced tokens, changed bytes."""

from __future__ import annotations

import re
from random import Random

_TOKEN = re.compile(rb'"(?:[^"\\]|\\.)*"|-?[0-9][0-9.eE+-]*|true|false|null|[\[\]{},:]')
ODD_TOKENS = [
    *(b"null", b"true", b"[]", b"{}", b'""', b"0", b"-1", b"1e999", b"-1e999", b"NaN", b"1e400"),
    *(b"9007199254740993", b"3.0", b"0.1", b'"\\u0000"', b'"\\ud800"', b'"1"', b"[[[[]]]]", b","),
    *(b'{"fields":{}}', b'"9999999999999-ffff-hostile01"', b'"0000000000000-0000-hostile01"'),
    *(b'"\xff"', b'"constructor"', b"9" * 5000, b'"tasting"', b'"settings"', b'["plum:3"]'),
]


def of_json(data: bytes, random: Random) -> bytes:
    """Replace, repeat or remove one to three tokens."""
    for _ in range(random.randint(1, 3)):
        tokens = list(_TOKEN.finditer(data))
        if not tokens:
            return data
        token = random.choice(tokens)
        put = random.choice([random.choice(ODD_TOKENS), token[0] * 2, b""])
        data = data[: token.start()] + put + data[token.end() :]
    return data


def of_bytes(data: bytes, random: Random, *, within_last: int | None = None) -> bytes:
    """Change, insert or remove a few bytes, only at the end if `within_last` is set."""
    changed = bytearray(data)
    for _ in range(random.randint(1, 4)):
        least = 0 if within_last is None else max(0, len(changed) - within_last)
        at = random.randint(least, max(least, len(changed) - 1))
        cut = random.choice([0, 1, 1, 1, 2])
        changed[at : at + cut] = random.randbytes(random.choice([0, 1, 1, 1, 2]))
    return bytes(changed)
