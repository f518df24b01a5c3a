"""A PostgreSQL cluster of its own for a test run: made in a temporary folder, gone at the end."""

from __future__ import annotations

import contextlib
import os
import pwd
import shutil
import socket
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest
from psycopg import sql

from tests.postgres import find_binaries

# Only a program that hangs takes as long.
LIMIT_S = 240
# Nothing of a cluster of tests has to outlive a power cut.
UNSAFE_BUT_FAST = "-c fsync=off -c full_page_writes=off -c synchronous_commit=off"
CURE = "PostgreSQL is missing: install it (on Debian: apt-get install postgresql) and run again."


def binaries() -> Path:
    """The folder of initdb and pg_ctl."""
    found = find_binaries()
    if found is None:
        pytest.fail(CURE, pytrace=False)
    return found


class Cluster:
    """A running server that listens on a socket in its own folder only."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.port = free_port()
        self.made = 0
        self._as_postgres = os.geteuid() == 0
        if self._as_postgres:
            account = pwd.getpwnam("postgres")
            os.chown(folder, account.pw_uid, account.pw_gid)

    def start(self) -> None:
        data = self.folder / "data"
        self._run("initdb", "-D", data, "-U", "book", "-A", "trust", "-E", "UTF8", "--no-sync")
        options = f"-k {self.folder} -p {self.port} -c listen_addresses= {UNSAFE_BUT_FAST}"
        log = self.folder / "log"
        self._run("pg_ctl", "-D", data, "-w", "-l", log, "-o", options, "start")

    def stop(self) -> None:
        if (self.folder / "data" / "postmaster.pid").exists():
            self._run("pg_ctl", "-D", self.folder / "data", "-m", "immediate", "-w", "stop")

    def new_database(self, template: str = "template0") -> str:
        """The name of a new database, a copy of `template`."""
        self.made += 1
        name = f"book_{self.made}"
        with psycopg.connect(self.url("postgres"), autocommit=True) as connection:
            copy = sql.SQL("CREATE DATABASE {} TEMPLATE {}")
            connection.execute(copy.format(sql.Identifier(name), sql.Identifier(template)))
        return name

    def url(self, database: str) -> str:
        return f"postgresql://book@/{database}?host={self.folder}&port={self.port}"

    def _run(self, program: str, *arguments: object) -> None:
        command = [str(binaries() / program), *map(str, arguments)]
        if self._as_postgres:
            command = ["runuser", "-u", "postgres", "--", *command]
        # pg_ctl leaves the server behind with our output: a pipe would never close.
        with (self.folder / "commands.log").open("ab") as log:
            done = subprocess.run(
                command, stdout=log, stderr=log, cwd=self.folder, check=False, timeout=LIMIT_S
            )
        if done.returncode:
            told = (self.folder / "commands.log").read_text(errors="replace")[-2000:]
            pytest.fail(f"{program} failed:\n{told}", pytrace=False)


def free_port() -> int:
    """A TCP port that nobody listens on just now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


@contextlib.contextmanager
def running_cluster() -> Iterator[Cluster]:
    """A cluster for as long as the block lasts."""
    folder = Path(tempfile.mkdtemp(prefix="snpg"))
    cluster = Cluster(folder)
    try:
        cluster.start()
        yield cluster
    finally:
        cluster.stop()
        shutil.rmtree(folder, ignore_errors=True)
