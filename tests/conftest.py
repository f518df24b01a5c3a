"""Fixtures of the server's tests: an app on SQLite or on both databases, and its client."""

from __future__ import annotations

import gc
import logging
import shutil
from collections.abc import Callable, Generator, Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import HealthCheck, settings

from tests.compiled_statements import compile_statements_once
from tests.empty_sqlite import copy_empty_sqlite
from tests.examples import WIDE
from tests.fast_hashing import fast_hashing, full_hashing  # noqa: F401
from tests.memory_folder import keep_temporary_folders_in_memory
from tests.recorded_times import in_order
from tests.reused_databases import ReusedDatabases
from tests.route_builders import compile_routes_once
from tests.s3_server import S3Server, running_s3_server
from tests.temporary_postgres import Cluster, running_cluster
from webapp import create_app
from webapp.db.engine import db

AppMaker = Callable[..., Flask]

keep_temporary_folders_in_memory()
compile_routes_once()

# No deadlines, because they depend on the load of the machine.
settings.register_profile(
    "book",
    deadline=None,
    # The same examples in every run; only the wide profile searches for new ones.
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
settings.register_profile(
    "wide", settings.get_profile("book"), max_examples=1000, derandomize=False, print_blob=True
)
settings.load_profile("wide" if WIDE else "book")


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, object, object]:
    """Collect without garbage collection, which would take a third of the time.

    Later ones skip the collected tests, which are never freed.
    """
    gc.disable()
    try:
        return (yield)
    finally:
        gc.freeze()
        gc.enable()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Sort the files as `in_order` says; the order within a file stays."""
    waiting = {item.location[0] for item in items if item.get_closest_marker("waits")}
    files = dict.fromkeys(item.location[0] for item in items)
    place = {file: at for at, file in enumerate(in_order(files, waiting))}
    items.sort(key=lambda item: place[item.location[0]])


@pytest.fixture(autouse=True)
def _own_log_level() -> Iterator[None]:
    """Restore the log level, which a command that serves sets for its whole process."""
    level = logging.getLogger("webapp").level
    yield
    logging.getLogger("webapp").setLevel(level)


@pytest.fixture(scope="session")
def cluster() -> Iterator[Cluster]:
    """Run a temporary PostgreSQL cluster."""
    with running_cluster() as running:
        yield running


@pytest.fixture(scope="session")
def s3_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[S3Server]:
    """Run a local server with the S3 protocol."""
    with running_s3_server(tmp_path_factory.mktemp("s3")) as running:
        yield running


@pytest.fixture(params=["folder", "s3"])
def photo_location(
    request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> str:
    """Return an empty place for photos, once for each kind of store."""
    if request.param == "folder":
        return str(tmp_path / "photos")
    server: S3Server = request.getfixturevalue("s3_server")
    return server.new_bucket(monkeypatch)


@pytest.fixture(scope="session")
def empty_postgres(cluster: Cluster) -> ReusedDatabases:
    """Return empty databases with the current schema."""
    name = cluster.new_database()
    dispose(create_app({"DATABASE_URL": cluster.url(name), "UPGRADE": True}))
    return ReusedDatabases(cluster, name)


@pytest.fixture(scope="session")
def empty_sqlite(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return an empty SQLite file with the current schema, to be copied."""
    file = tmp_path_factory.mktemp("empty") / "book.sqlite"
    copy_empty_sqlite(file)
    return file


def dispose(app: Flask) -> None:
    """Close the app's database connections."""
    with app.app_context():
        db.engine.dispose()


@pytest.fixture
def make_app(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[AppMaker]:
    """Return make_app("sqlite" | "postgresql", **config), which makes apps with empty databases."""
    made: list[Flask] = []
    taken: list[tuple[ReusedDatabases, str]] = []

    def make(kind: str = "sqlite", **config: Any) -> Flask:
        folder = tmp_path / f"app{len(made)}"
        folder.mkdir()
        if kind == "sqlite":
            shutil.copy(request.getfixturevalue("empty_sqlite"), folder / "book.sqlite")
            url = f"sqlite:///{folder / 'book.sqlite'}"
        else:
            databases: ReusedDatabases = request.getfixturevalue("empty_postgres")
            taken.append((databases, databases.take()))
            url = databases.cluster.url(taken[-1][1])
        given = {"DATABASE_URL": url, "PHOTO_FOLDER": str(folder / "photos"), "TESTING": False}
        made.append(create_app({**given, **config}))
        compile_statements_once(made[-1])
        return made[-1]

    yield make
    for app in made:
        dispose(app)
    for databases, name in taken:
        databases.give_back(name)


@pytest.fixture
def app(make_app: AppMaker) -> Flask:
    """Return an app with an empty SQLite database."""
    return make_app()


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    return app.test_client()


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)])
def any_app(request: pytest.FixtureRequest, make_app: AppMaker) -> Flask:
    """Return an app with an empty database, once for each database system."""
    return make_app(request.param)


@pytest.fixture
def any_client(any_app: Flask) -> FlaskClient:
    return any_app.test_client()
