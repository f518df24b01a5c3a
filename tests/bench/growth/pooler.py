"""PgBouncer in transaction mode between the app and PostgreSQL."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import time
from pathlib import Path
from urllib.parse import urlsplit

from tests.temporary_postgres import Cluster, free_port

PROGRAM = "pgbouncer"
SETTINGS = """
[databases]
* = host={host} port={port}
[pgbouncer]
listen_addr =
listen_port = {own_port}
unix_socket_dir = {folder}
auth_type = trust
auth_file = {users}
pool_mode = transaction
default_pool_size = 4
max_client_conn = 500
ignore_startup_parameters = extra_float_digits
logfile = {folder}/pgbouncer.log
pidfile =
"""
START_S = 30


def pooler_program() -> str | None:
    """Return the program, None if it is not installed."""
    return shutil.which(PROGRAM) or shutil.which(PROGRAM, path="/usr/sbin")


def pooled(
    cluster: Cluster, url: str, folder: Path
) -> tuple[dict[str, str], subprocess.Popen[bytes]]:
    """Start PgBouncer; return the settings of an app that connects through it, and the process."""
    name = urlsplit(url).path.removeprefix("/")
    user = url.partition("://")[2].partition("@")[0]
    port, process = start(cluster, folder, user)
    address = f"postgresql://{user}@/{name}?host={cluster.folder}&port={port}"
    return {"DATABASE_URL": address, "POOLER": "transaction"}, process


def start(cluster: Cluster, folder: Path, user: str) -> tuple[int, subprocess.Popen[bytes]]:
    """Start PgBouncer in front of a cluster, with its socket in the cluster's folder."""
    program, port = pooler_program(), free_port()
    if program is None:
        raise SystemExit("PgBouncer is missing: install it (Debian: apt-get install pgbouncer).")
    file = cluster.folder / f"pgbouncer-{port}.ini"
    users = file.with_suffix(".users")
    users.write_text(f'"{user}" ""\n', encoding="utf-8")
    values = {"host": cluster.folder, "port": cluster.port, "own_port": port, "users": users}
    file.write_text(SETTINGS.format(**values, folder=cluster.folder), encoding="utf-8")
    command = [program, "-q", str(file)]
    if os.geteuid() == 0:
        command += ["-u", "postgres"]
    with (folder / "pgbouncer.out").open("ab") as log:
        process = subprocess.Popen(command, stdout=log, stderr=log)
    path, deadline = f"{cluster.folder}/.s.PGSQL.{port}", time.monotonic() + START_S
    while time.monotonic() < deadline:
        with socket.socket(socket.AF_UNIX) as probe:
            if probe.connect_ex(path) == 0:
                return port, process
        time.sleep(0.05)
    process.terminate()
    raise AssertionError((folder / "pgbouncer.out").read_text(errors="replace"))
