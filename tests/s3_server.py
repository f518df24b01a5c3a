"""A local server with the S3 protocol (moto), which has as many buckets as tests ask for."""

from __future__ import annotations

import itertools
import os
import socket
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import boto3
import botocore.session
import pytest

from tests.processes import running, wait_for
from tests.temporary_postgres import free_port

SETTINGS = {
    "AWS_ACCESS_KEY_ID": "testing",
    "AWS_SECRET_ACCESS_KEY": "testing",
    "AWS_DEFAULT_REGION": "us-east-1",
    "AWS_CONFIG_FILE": os.devnull,
    "AWS_SHARED_CREDENTIALS_FILE": os.devnull,
    "AWS_EC2_METADATA_DISABLED": "true",
}
# One loader for all clients, because reading the data of the service takes most of making one.
_loader = botocore.session.create_loader()
botocore.session.create_loader = lambda *_: _loader


class S3Server:
    """A running server; its settings must be in the environment while a bucket is used."""

    def __init__(self, port: int) -> None:
        self.settings = {**SETTINGS, "AWS_ENDPOINT_URL_S3": f"http://127.0.0.1:{port}"}
        self._numbers = itertools.count(1)

    def new_bucket(self, monkeypatch: pytest.MonkeyPatch) -> str:
        """Set the environment, make an empty bucket and return a location in it."""
        for name, value in self.settings.items():
            monkeypatch.setenv(name, value)
        name = f"bucket-{next(self._numbers)}"
        boto3.session.Session().client("s3").create_bucket(Bucket=name)
        return f"s3://{name}/notebooks"


@contextmanager
def running_s3_server(folder: Path) -> Iterator[S3Server]:
    """Run a server until the block ends."""
    port, log = free_port(), folder / "s3.log"
    with running(["-m", "moto.server", "-H", "127.0.0.1", "-p", str(port)], log) as process:

        def answers() -> bool | None:
            with socket.socket() as probe:
                return True if probe.connect_ex(("127.0.0.1", port)) == 0 else None

        wait_for(answers, process, log)
        yield S3Server(port)
