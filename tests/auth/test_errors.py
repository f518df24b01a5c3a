"""The message of a hidden notebook tells the operator which commands to enter."""

from __future__ import annotations

import pytest

from webapp.auth.errors import BookHidden


@pytest.mark.parametrize(
    ("name", "cure"),
    [
        (
            "me",
            "'secondnose user rename me bruno', then 'secondnose user passphrase bruno'.",
        ),
        ("anna", "'secondnose user passphrase anna'."),
    ],
)
def test_hidden_notebook_tells_which_commands_help(name: str, cure: str) -> None:
    assert str(BookHidden(name, "bruno")) == (
        f"The book of {name} is in use and has no passphrase; nobody could open it beside "
        f"another one. Give it one first: {cure}"
    )
