"""secondnose serve: runs the server for this machine or for the network."""

from __future__ import annotations

import errno
import gc
import signal
import socket
import sys
import threading

import click
from flask import Flask

from webapp.auth.owners import set_current_owner, single_owner
from webapp.commands.context import app_context
from webapp.commands.example import load_example
from webapp.db.engine import read_transaction
from webapp.db.in_use import hold_database
from webapp.db.row_level_security import warn_if_bypassed
from webapp.logs import configure_logging
from webapp.retention.schedule import keep_purging
from webapp.server.listener import Listener
from webapp.start import is_loopback, require_passphrase

THREADS = 8
ALL_INTERFACES = ("0.0.0.0", "::")
HTTPS_NEEDED = (
    "Phones store the notebook and work offline only over https: put a proxy with a certificate in "
    "front (see webapp/commands/README.md). Over plain http, everybody in this network can read "
    "the traffic."
)


@click.command()
@click.option("--host", default="127.0.0.1", show_default=True)
@click.option("--port", default=8000, show_default=True, type=click.IntRange(0, 65535))
@click.option("--lan", is_flag=True, help="Serve the whole network; the same as --host 0.0.0.0.")
@click.option("--demo/--no-demo", default=False, help="Load the example into an empty notebook.")
def serve(host: str, port: int, lan: bool, demo: bool) -> None:
    """Run the server on this machine."""
    if not host:
        raise click.ClickException("--host is empty: name an address, or use --lan.")
    configure_logging()
    host = "0.0.0.0" if lan else host
    names = [] if is_loopback(host) else host_names(host)
    with app_context(UPGRADE=True) as app:
        app.config["HOSTS"] = " ".join([app.config["HOSTS"], *names])
        require_passphrase(app, [host])
        if demo:
            _load_example_into_empty()
        # The lock must outlast this block, until the process ends.
        hold_database(app)
    warn_if_bypassed(app)
    keep_purging(app)
    _listen(app, host, port, names)


def host_names(host: str) -> list[str]:
    """Return the host names for which a server on this address is reached."""
    if host not in ALL_INTERFACES:
        return [f"[{host}]" if ":" in host else host.lower()]
    name = socket.gethostname().lower()
    found = dict.fromkeys([*_addresses(), name, f"{name.partition('.')[0]}.local"])
    return list(found)


def _addresses() -> list[str]:
    """Return this machine's address in the network; connecting a UDP socket sends nothing."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
        except OSError:
            return []
        address: str = probe.getsockname()[0]
    return [address]


def _load_example_into_empty() -> None:
    with read_transaction() as connection:
        owner = single_owner(connection)
    if owner is not None and owner.seq == 0:
        set_current_owner(owner.id)
        load_example()


def _listen(app: Flask, host: str, port: int, names: list[str]) -> None:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        listener = socket.create_server((host, port), family=family, backlog=128)
    except OSError as error:
        name = "host" if _is_of_host(error) else "port"
        # Python appends the address, which is named already.
        why = str(error.strerror or error).partition(" (while")[0]
        raise click.ClickException(
            f"Cannot listen on {host}:{port}: {why}. Choose another --{name}."
        ) from None
    bound = listener.getsockname()[1]
    shown = names[:2] or [f"[{host}]" if ":" in host else host]
    click.echo("Second Nose serves " + " and ".join(f"http://{one}:{bound}" for one in shown))
    if names:
        click.echo(HTTPS_NEEDED)
    sys.stdout.flush()
    # Objects made at the start live as long as the process; garbage collection skips them.
    gc.collect()
    gc.freeze()
    with listener:
        _run(Listener(app, [listener], THREADS))


def _is_of_host(error: OSError) -> bool:
    """Tell whether an error of listening is that this machine has no such address."""
    # The numbers of errors of names are negative.
    return error.errno == errno.EADDRNOTAVAIL or (error.errno or 0) < 0


def _run(server: Listener) -> None:
    """Serve until SIGTERM or Ctrl-C; a second one ends the process at once."""
    stopped = threading.Event()

    def stop(number: int, _frame: object) -> None:
        signal.signal(number, signal.SIG_DFL)
        stopped.set()
        server.wake()

    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, stop)
    server.run(lambda: not stopped.is_set())
