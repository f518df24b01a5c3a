"""The command line `secondnose`."""

from __future__ import annotations

import re
import socket
import stat
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from webapp.archive.parse import REASONS
from webapp.cli import main

ROOT = Path(__file__).parents[1]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """Return a function that runs the command in an empty folder."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("DATABASE_URL", raising=False)

    def run(*arguments: str) -> Result:
        return CliRunner().invoke(main, arguments)

    return run


def test_database_is_created_in_the_working_folder(run, tmp_path: Path) -> None:
    assert run("db", "upgrade").exit_code == 0
    made = tmp_path / "book" / "secondnose.sqlite"
    assert [stat.S_IMODE(path.stat().st_mode) for path in (made, made.parent)] == [0o600, 0o700]
    assert run("db", "check").output == "current\n"


def test_missing_database_error_gives_advice(run) -> None:
    result = run("db", "check")
    assert result.exit_code == 1
    assert "run 'secondnose db upgrade'" in result.output


def test_example_is_loaded_into_an_empty_database_only(run) -> None:
    assert run("demo").exit_code == 0
    result = run("demo")
    assert result.exit_code == 1
    assert "not empty" in result.output


@pytest.mark.parametrize(
    ("all_", "lang", "word"),
    [
        ("", "fr_FR.UTF-8", "Fini avant d’avoir commencé."),
        ("it_IT", "fr_FR", "Finisce prima di cominciare."),
        ("C.UTF-8", "fr_FR", "Over before it starts."),
        ("", "", "Over before it starts."),
    ],
)
def test_example_is_in_the_language_of_the_machine(
    run,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    all_: str,
    lang: str,
    word: str,
) -> None:
    monkeypatch.delenv("LC_MESSAGES", raising=False)
    for name, value in (("LC_ALL", all_), ("LANG", lang)):
        monkeypatch.setenv(name, value)
    run("demo")
    run("export", "mine.zip")
    with zipfile.ZipFile(tmp_path / "mine.zip") as archive:
        assert word in archive.read("sheet.jsonl").decode()


def test_archive_is_exported_and_imported(run, tmp_path: Path) -> None:
    run("demo")
    assert "records written" in run("export", "mine.zip").output
    assert [path.name for path in tmp_path.glob("*.part")] == []
    assert run("import", "mine.zip").output == "New: 0 records, 0 earlier values, 0 photos\n"
    (tmp_path / "book" / "secondnose.sqlite").unlink()
    assert "New: 0 records" not in run("import", "mine.zip").output


def test_damaged_archive_is_rejected_with_the_line(run, tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "bad.zip", "w") as archive:
        archive.writestr("book.json", '{"format": 1}')
        archive.writestr("visit.jsonl", "\nplums\n")
    result = run("import", "bad.zip")
    assert result.exit_code == 1
    assert "Nothing was imported. visit.jsonl:2: this line is no JSON" in result.output


def test_import_of_a_file_that_is_no_archive_is_explained(run, tmp_path: Path) -> None:
    (tmp_path / "note.txt").write_text("plums")
    assert run("import", "note.txt").output.endswith("imported. The file: it is no ZIP\n")
    used = "".join(path.read_text("utf-8") for path in (ROOT / "webapp/archive").glob("*.py"))
    codes = set(re.findall(r'InvalidArchive\([^,]*,\s*"(\w+)"', used))
    assert codes | {"not_picture", "too_many_pixels"} == {*REASONS}


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.168.1.5", "wine.example"])
def test_serving_the_network_without_passphrase_is_rejected(run, host: str) -> None:
    result = run("serve", "--host", host)
    assert result.exit_code == 1
    assert result.output.startswith(f"Error: Not serving on {host}")
    assert result.output.count("\n") == 1


@pytest.mark.parametrize(
    ("name", "value"),
    [("SECONDNOSE_PROXIES", "1"), ("SECONDNOSE_ADDRESS", "https://wine.example")],
)
def test_serving_by_proxy_without_passphrase_is_rejected(
    run, monkeypatch: pytest.MonkeyPatch, name: str, value: str
) -> None:
    monkeypatch.setenv(name, value)
    result = run("serve")
    assert result.exit_code == 1
    assert "no owner has a passphrase yet" in result.output


def test_port_in_use_is_a_one_line_error(run) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        result = run("serve", "--port", str(taken.getsockname()[1]))
    assert result.exit_code == 1
    assert "Choose another --port" in result.output
    assert result.output.count("\n") == 1


@pytest.mark.parametrize("host", ["nosuch.invalid", "192.0.2.1"])
def test_unknown_host_is_named(run, host: str) -> None:
    CliRunner().invoke(main, ["user", "add", "anna"], input="four dry autumn barrels\n")
    result = run("serve", "--host", host, "--port", "0")
    assert result.exit_code == 1
    assert result.output.startswith(f"Error: Cannot listen on {host}:0: ")
    assert result.output.endswith(" Choose another --host.\n")


def test_empty_host_is_rejected(run) -> None:
    result = run("serve", "--host", "")
    assert (result.exit_code, result.output.count("\n")) == (1, 1)
    assert "--host is empty" in result.output


def test_owners_are_listed(run) -> None:
    run("db", "upgrade")
    assert run("user", "list").output == "1\tme\t0\n"
