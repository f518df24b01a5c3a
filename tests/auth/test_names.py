"""Names of owners and devices are one printable line; an owner's id never changes."""

from __future__ import annotations

import pytest

from webapp.auth.names import FIRST_OWNER, normalize_name, owner_uid


@pytest.mark.parametrize(
    ("given", "name"),
    [
        ("Zoe\u0308", "Zo\u00eb"),
        ("  my \t old\nphone ", "my old phone"),
        ("a\u200bb\x00c\u2028d", "a b c d"),
        ("a" * 41, "a" * 40),
        ("a" * 39 + " b", "a" * 39),
        ("\u00a0\u200b \n", None),
        ("", None),
    ],
)
def test_name_is_one_trimmed_printable_line(given: str, name: str | None) -> None:
    assert normalize_name(given) == name


def test_name_length_can_be_given() -> None:
    assert normalize_name("abcdef", 3) == "abc"


def test_owner_ids_of_older_servers_stay_the_same() -> None:
    assert owner_uid(FIRST_OWNER) == "9fe3fa4c380735a67776"
    assert owner_uid("anna") == "5b6b2c70a51f75febd5b"
