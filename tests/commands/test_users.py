"""secondnose user: owners, their names and passphrases."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from tests.auth.conftest import browser
from webapp.cli import main

WORDS = "four dry autumn barrels\n"


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """Return a function that runs the command in an empty folder."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("DATABASE_URL", raising=False)

    def run(*arguments: str, input: str = "") -> Result:
        return CliRunner().invoke(main, arguments, input=input)

    return run


def test_first_owner_replaces_the_unnamed_one(run) -> None:
    run("db", "upgrade")
    assert run("user", "add", "anna", input=WORDS).output == "anna can sign in now.\n"
    assert run("user", "list").output == "1\tanna\t0\n"


def test_user_add_rejects_hiding_an_unnamed_notebook(run) -> None:
    run("demo")
    done = run("user", "add", "anna", input=WORDS)
    assert done.exit_code == 1
    assert "'secondnose user rename me anna', then 'secondnose user passphrase anna'" in done.output
    assert [line.split("\t")[1] for line in run("user", "list").output.splitlines()] == ["me"]
    # The command that the error suggests works, and then another owner can be added.
    assert run("user", "rename", "me", "anna").exit_code == 0
    beside = run("user", "add", "bruno", input=WORDS)
    assert "Give it one first: 'secondnose user passphrase anna'." in beside.output
    assert run("user", "passphrase", "anna", input=WORDS).exit_code == 0
    assert run("user", "add", "bruno", input=WORDS).output == "bruno can sign in now.\n"


@pytest.mark.parametrize(
    ("arguments", "given", "text"),
    [
        (("add", "anna"), "short\n", "12 characters or more"),
        (("add", "  "), WORDS, "one letter or more"),
        (("add", "ME"), WORDS, "already"),
        (("passphrase", "nobody"), WORDS, "see 'secondnose user list'"),
        (("passphrase", "me"), "", "12 characters or more"),
        (("rename", "me", "ME"), "", "already"),
    ],
)
def test_invalid_request_is_a_one_line_error(
    run, arguments: tuple[str, ...], given: str, text: str
) -> None:
    run("demo")
    done = run("user", *arguments, input=given)
    assert done.exit_code == 1
    assert text in done.output
    assert done.output.count("\n") == 1


def test_owner_can_be_renamed(run) -> None:
    run("db", "upgrade")
    assert run("user", "rename", "me", "anna").output == "me is now anna.\n"
    assert run("user", "list").output == "1\tanna\t0\n"


def test_command_needs_an_owner_when_there_are_several(run, tmp_path: Path) -> None:
    run("demo")
    run("user", "passphrase", "me", input=WORDS)
    run("user", "add", "anna", input=WORDS)
    done = run("export", "book.zip")
    assert done.exit_code == 1
    assert "name one with --owner" in done.output
    assert "0 records written" in run("export", "book.zip", "--owner", "anna").output
    assert run("export", "book.zip", "--owner", "nobody").exit_code == 1


def test_user_remove_confirms_and_then_erases(run, tmp_path: Path) -> None:
    run("demo")
    run("user", "rename", "me", "anna")
    run("user", "passphrase", "anna", input=WORDS)
    run("user", "add", "bruno", input=WORDS)
    refused = run("user", "remove", "anna", input="n\n")
    assert refused.exit_code == 1
    assert "secondnose export FILE --owner anna" in refused.output
    assert run("user", "list").output.startswith("1\tanna\t")
    done = run("user", "remove", "ANNA", "--yes")
    assert (done.exit_code, done.output.count("\n")) == (0, 1)
    assert run("user", "list").output == "2\tbruno\t0\n"
    again = run("user", "remove", "anna", "--yes")
    assert (again.exit_code, again.output.count("\n")) == (1, 1)
    assert run("user", "remove", "bruno", input="y\n").exit_code == 0
    assert run("user", "list").output == "3\tme\t0\n"


def test_removed_notes_are_not_in_the_log_of_a_server(run, tmp_path: Path) -> None:
    run("db", "upgrade")
    log = tmp_path / "book" / "secondnose.sqlite-wal"
    with closing(sqlite3.connect(tmp_path / "book" / "secondnose.sqlite")) as server:
        server.execute("SELECT count(*) FROM owner").fetchone()
        assert run("demo").exit_code == 0
        assert b"acidity" in log.read_bytes()
        assert run("user", "remove", "me", "--yes").exit_code == 0
        assert log.read_bytes() == b""


def test_new_passphrase_signs_devices_out(run, tmp_path: Path) -> None:
    from webapp import create_app
    from webapp.db.engine import db

    run("user", "add", "anna", input=WORDS)

    def client():
        app = create_app({"DATABASE_URL": f"sqlite:///{tmp_path}/book/secondnose.sqlite"})
        made = browser(app)
        body = {"name": "anna", "passphrase": WORDS.strip()}
        assert made.post("/api/sign-in", json=body).status_code == 200
        return app, made

    app, phone = client()
    assert run("user", "passphrase", "anna", "--keep-devices", input=WORDS).exit_code == 0
    assert phone.get("/api/me").status_code == 200
    assert run("user", "passphrase", "anna", input=WORDS).exit_code == 0
    assert phone.get("/api/me").json["code"] == "passphrase_changed"
    with app.app_context():
        db.engine.dispose()


def test_stored_name_is_printed(run) -> None:
    run("db", "upgrade")
    done = run("user", "add", f"{'anna' * 11}a", input=WORDS)
    assert done.output == f"{'anna' * 10} can sign in now.\n"
    assert run("user", "add", " bruno\t\nb ", input=WORDS).output == "bruno b can sign in now.\n"
    assert run("user", "rename", "bruno b", "carla\n").output == "bruno b is now carla.\n"


def test_passphrase_of_other_bytes_is_a_one_line_error(run) -> None:
    run("db", "upgrade")
    for arguments in (("user", "add", "anna"), ("backup", "safe.zip", "--encrypt")):
        done = run(*arguments, input=b"four dry autumn barrels \xff\n")
        assert (done.exit_code, done.output) == (1, "Error: The passphrase must be UTF-8 text.\n")
