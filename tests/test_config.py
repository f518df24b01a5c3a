"""Sources of the server's settings."""

from __future__ import annotations

from pathlib import Path

import pytest

from webapp.config import database_file, database_url, settings
from webapp.spec import deleted_kept_days


@pytest.fixture(autouse=True)
def nothing_set(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    for name in ("DATABASE_URL", "SECONDNOSE_PHOTOS", "SECONDNOSE_HOSTS"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.chdir(tmp_path)


def test_database_is_in_the_working_folder(tmp_path: Path) -> None:
    found = settings()
    assert found["DATABASE_URL"] == f"sqlite:///{tmp_path}/book/secondnose.sqlite"
    assert found["PHOTO_FOLDER"] == f"{tmp_path}/book/photos"


def test_environment_overrides_defaults_and_code_both(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("DATABASE_URL", "postgres://me@wine.example/book")
    assert settings()["DATABASE_URL"] == "postgresql+psycopg://me@wine.example/book"
    assert settings({"DATABASE_URL": "sqlite:////tmp/x"})["DATABASE_URL"] == "sqlite:////tmp/x"


@pytest.mark.parametrize(
    ("given", "url"),
    [
        ("postgresql://a/b", "postgresql+psycopg://a/b"),
        ("postgresql+psycopg://a/b", "postgresql+psycopg://a/b"),
        ("sqlite:////tmp/book.sqlite", "sqlite:////tmp/book.sqlite"),
    ],
)
def test_database_address_is_completed(given: str, url: str) -> None:
    assert database_url(given) == url


def test_photo_folder_is_next_to_the_database() -> None:
    found = settings({"DATABASE_URL": "sqlite:////srv/mine/book.sqlite"})
    assert found["PHOTO_FOLDER"] == "/srv/mine/photos"
    assert database_file(found["DATABASE_URL"]) == Path("/srv/mine/book.sqlite")


def test_photos_are_kept_as_long_as_deleted_records() -> None:
    assert settings()["PHOTO_GRACE_DAYS"] == deleted_kept_days()


def test_database_server_has_no_file() -> None:
    assert database_file("postgresql+psycopg://a/b") is None
