"""The message of a hidden notebook names the commands, and every code of an error is used."""

from __future__ import annotations

from pathlib import Path

import pytest

from webapp.auth import errors
from webapp.auth.errors import STATUS, NotebookHidden, WeakPassphrase


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
    assert str(NotebookHidden(name, "bruno")) == (
        f"The notebook of {name} is in use and has no passphrase; nobody could open it beside "
        f"another one. Give it one first: {cure}"
    )


def test_each_status_belongs_to_a_code_in_use() -> None:
    home = Path(errors.__file__)
    files = [path for path in home.parents[1].rglob("*.py") if path != home]
    text = "".join(path.read_text("utf-8") for path in files)
    assert [code for code in STATUS if f'"{code}"' not in text] == []


def test_weak_passphrase_tells_the_cure_alone() -> None:
    error = WeakPassphrase("known", "Use another.")
    assert (error.code, str(error)) == ("known", "Use another.")
