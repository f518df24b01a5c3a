"""Commands in the wrong folder or environment: they make no database, and migrate none."""

from __future__ import annotations

import os
import sqlite3
import zipfile
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from flask import Flask

from tests.attacks.servers import gunicorn_arguments
from tests.browser.waiting import LIMIT_S
from tests.commands.test_error_messages import one_line
from tests.conftest import dispose
from tests.forked_process import run_to_end
from webapp import create_app, migrations
from webapp.cli import main
from webapp.commands.backup_zip import DATABASE
from webapp.db.engine import db
from webapp.db.in_use import in_use

WORDS = "four dry autumn barrels\n"
READERS = (
    ("backup", "safe.zip"),
    ("backup", "backups", "--keep", "1"),
    ("export", "mine.zip"),
    ("user", "list"),
    ("user", "passphrase", "anna"),
    ("user", "rename", "anna", "bruno"),
    ("user", "remove", "anna", "--yes"),
    ("db", "check"),
)
OLDER = "0007"
Run = Callable[..., Result]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Return a function that runs the command in an empty folder, or on the database of a URL."""
    monkeypatch.chdir(tmp_path)

    def run(*arguments: str, url: str = "") -> Result:
        monkeypatch.setenv("DATABASE_URL", url)
        return CliRunner().invoke(main, arguments, input=WORDS)

    return run


@pytest.mark.parametrize("arguments", READERS, ids=" ".join)
@pytest.mark.parametrize("place", ["", "sqlite:////nonexist/x/b.sqlite"], ids=["folder", "url"])
def test_command_makes_no_database(
    run: Run, tmp_path: Path, arguments: tuple[str, ...], place: str
) -> None:
    said = one_line(run(*arguments, url=place))
    file = "/nonexist/x/b.sqlite" if place else f"{tmp_path}/book/secondnose.sqlite"
    assert f"There is no database in {file}. Set DATABASE_URL" in said
    assert list(tmp_path.iterdir()) == []
    assert not Path("/nonexist").exists()


def test_doctor_makes_no_database(run: Run, tmp_path: Path) -> None:
    done = run("doctor")
    assert done.exit_code == 1
    assert f"There is no database in {tmp_path}/book/secondnose.sqlite" in done.output
    assert len(done.output.splitlines()) == 6
    assert list(tmp_path.iterdir()) == []


def test_gunicorn_makes_no_database(tmp_path: Path) -> None:
    environment = {**os.environ, "DATABASE_URL": f"sqlite:///{tmp_path}/x/book.sqlite"}
    command = gunicorn_arguments("127.0.0.1:0", workers=1)
    code, output = run_to_end("gunicorn", command, environment, tmp_path / "log", LIMIT_S)
    assert code == 3
    assert "There is no database in" in output
    assert [one.name for one in tmp_path.iterdir()] == ["log"]


def test_first_owner_is_told_where_the_database_is(run: Run, tmp_path: Path) -> None:
    made = f"in {tmp_path}/book/secondnose.sqlite"
    assert made in run("user", "add", "anna").output
    assert made not in run("user", "add", "bruno").output


@pytest.fixture
def older(app: Flask) -> Path:
    """Return the path of a database of an older version."""
    with app.app_context():
        migrations.downgrade(db.engine, OLDER)
    dispose(app)
    return Path(app.config["DATABASE_URL"].removeprefix("sqlite:///"))


def version_of(file: Path) -> str:
    with closing(sqlite3.connect(file)) as connection:
        return str(connection.execute("SELECT version_num FROM alembic_version").fetchone()[0])


def test_backup_copies_an_older_database_as_it_is(run: Run, older: Path, tmp_path: Path) -> None:
    done = run("backup", "safe.zip", url=f"sqlite:///{older}")
    assert done.exit_code == 0, done.output
    with zipfile.ZipFile(tmp_path / "safe.zip") as archive:
        archive.extract(DATABASE, tmp_path / "out")
    assert {version_of(older), version_of(tmp_path / "out" / DATABASE)} == {OLDER}
    assert run("restore", "safe.zip", "--replace", url=f"sqlite:///{older}").exit_code == 0
    assert version_of(older) == migrations.head()


@pytest.mark.parametrize("arguments", [("user", "list"), ("user", "add", "anna"), ("demo",)])
def test_command_migrates_no_older_database(
    run: Run, older: Path, arguments: tuple[str, ...]
) -> None:
    said = one_line(run(*arguments, url=f"sqlite:///{older}"))
    assert "run 'secondnose db upgrade'" in said
    assert version_of(older) == OLDER


@pytest.mark.parametrize("arguments", [("serve", "--port", "0"), ("db", "upgrade")])
def test_database_in_use_is_not_migrated(run: Run, older: Path, arguments: tuple[str, ...]) -> None:
    with in_use(older):
        assert "stop it first" in one_line(run(*arguments, url=f"sqlite:///{older}"))
    assert version_of(older) == OLDER
    assert run("db", "upgrade", url=f"sqlite:///{older}").exit_code == 0
    with in_use(older):
        assert run("db", "upgrade", url=f"sqlite:///{older}").exit_code == 0


def test_database_is_made_for_its_user_alone(tmp_path: Path) -> None:
    made = create_app({"DATABASE_URL": f"sqlite:///{tmp_path}/x/b.sqlite", "UPGRADE": True})
    dispose(made)
    assert (tmp_path / "x" / "b.sqlite").stat().st_mode & 0o777 == 0o600
