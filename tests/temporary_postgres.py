"""PostgreSQL cluster in a temporary folder, which is deleted after the test run."""

from __future__ import annotations

import contextlib
import os
import pwd
import socket
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest
from psycopg import sql

from tests.postgres import find_binaries

# Only a program that hangs takes this long.
LIMIT_S = 240
# Test data does not have to survive a power loss.
UNSAFE_BUT_FAST = (
    "-c fsync=off -c full_page_writes=off -c synchronous_commit=off "
    # It visits each of the hundreds of databases in turn, which no test needs.
    "-c autovacuum=off"
)
CURE = "PostgreSQL is missing: install it (on Debian: apt-get install postgresql) and run again."


def binaries() -> Path:
    """Return the folder of initdb and pg_ctl; fail if it is missing."""
    found = find_binaries()
    if found is None:
        pytest.fail(CURE, pytrace=False)
    return found


class Cluster:
    """PostgreSQL server that listens only on a socket in its own folder."""

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
        """Create a copy of `template` and return its name."""
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
        # The server inherits the output of pg_ctl, so a pipe would never close.
        with (self.folder / "commands.log").open("ab") as log:
            done = subprocess.run(
                command, stdout=log, stderr=log, cwd=self.folder, check=False, timeout=LIMIT_S
            )
        if done.returncode:
            text = (self.folder / "commands.log").read_text(errors="replace")[-2000:]
            pytest.fail(f"{program} failed:\n{text}", pytrace=False)


def free_port() -> int:
    """Return a TCP port that is free now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


@contextlib.contextmanager
def running_cluster() -> Iterator[Cluster]:
    """Run a cluster until the block ends."""
    folder = Path(tempfile.mkdtemp(prefix="snpg"))
    cluster = Cluster(folder)
    try:
        cluster.start()
        yield cluster
    finally:
        cluster.stop()
        # Hundreds of databases are 100,000 files, which shutil deletes three times as slowly.
        subprocess.run(["rm", "-rf", folder], check=False, timeout=LIMIT_S)
