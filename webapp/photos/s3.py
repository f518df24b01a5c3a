"""Pictures as objects in a bucket with the S3 protocol.

Address, region and credentials are boto3's own settings, such as AWS_ENDPOINT_URL_S3,
AWS_DEFAULT_REGION, AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY.
"""

from __future__ import annotations

import uuid
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import Any

import boto3
from botocore.config import Config
from botocore.exceptions import BotoCoreError, ClientError

from webapp.photos.files import StoreUnavailable, parse_photo_name, photo_name

# Seconds; some requests are made while the owner's row is locked.
CONNECT_S, READ_S = 5, 20
ATTEMPTS = 3
DELETED_AT_ONCE = 1_000
# Asking for each of a few objects is faster than listing all of an owner's.
ASKED_SINGLY = 8
_MISSING = {"404", "NoSuchKey", "NotFound"}


class S3Files:
    """Pictures in a bucket; see `PhotoFiles`. `prefix` precedes every name."""

    def __init__(self, bucket: str, prefix: str = "") -> None:
        self.bucket = bucket
        self.prefix = f"{prefix.strip('/')}/" if prefix.strip("/") else ""
        config = Config(
            connect_timeout=CONNECT_S,
            read_timeout=READ_S,
            retries={"mode": "standard", "total_max_attempts": ATTEMPTS},
            # Not every compatible store knows the checksums that boto3 adds by default.
            request_checksum_calculation="when_required",
            response_checksum_validation="when_required",
        )
        with _errors():
            self._client: Any = boto3.session.Session().client("s3", config=config)

    def write(self, owner_id: int, sha256: str, content: bytes) -> None:
        # An object appears with all its bytes or not at all.
        with _errors():
            self._client.put_object(
                Bucket=self.bucket, Key=self._key(owner_id, sha256), Body=content
            )

    def read(self, owner_id: int, sha256: str) -> bytes | None:
        with _errors():
            try:
                found = self._client.get_object(Bucket=self.bucket, Key=self._key(owner_id, sha256))
                return bytes(found["Body"].read())
            except ClientError as error:
                if _is_missing(error):
                    return None
                raise

    def existing(self, owner_id: int, shas: Collection[str]) -> set[str]:
        if len(shas) > ASKED_SINGLY:
            return {sha for _, sha, _ in self._listed(f"{owner_id}/")} & set(shas)
        return {sha for sha in shas if self._exists(self._key(owner_id, sha))}

    def delete(self, owner_id: int, shas: Collection[str]) -> None:
        self._delete_keys([self._key(owner_id, sha) for sha in shas])

    def delete_owner(self, owner_id: int) -> None:
        self.delete(owner_id, [sha for _, sha, _ in self._listed(f"{owner_id}/")])

    def older_than(self, owner_id: int, until_s: float) -> set[str]:
        listed = self._listed(f"{owner_id}/")
        return {sha for _, sha, written_at in listed if written_at.timestamp() < until_s}

    def all_names(self) -> Iterator[tuple[int, str]]:
        for owner_id, sha, _ in self._listed(""):
            yield owner_id, sha

    def check(self) -> None:
        key = f"{self.prefix}check/{uuid.uuid4().hex}"
        with _errors():
            self._client.put_object(Bucket=self.bucket, Key=key, Body=b"")
            self._client.delete_object(Bucket=self.bucket, Key=key)

    def _key(self, owner_id: int, sha256: str) -> str:
        return self.prefix + photo_name(owner_id, sha256)

    def _exists(self, key: str) -> bool:
        with _errors():
            try:
                self._client.head_object(Bucket=self.bucket, Key=key)
            except ClientError as error:
                if _is_missing(error):
                    return False
                raise
        return True

    def _delete_keys(self, keys: list[str]) -> None:
        for start in range(0, len(keys), DELETED_AT_ONCE):
            objects = [{"Key": key} for key in keys[start : start + DELETED_AT_ONCE]]
            with _errors():
                answer = self._client.delete_objects(
                    Bucket=self.bucket, Delete={"Objects": objects, "Quiet": True}
                )
            if answer.get("Errors"):
                raise StoreUnavailable(str(answer["Errors"][0].get("Code")))

    def _listed(self, under: str) -> Iterator[tuple[int, str, datetime]]:
        """Yield (owner, hash, time of writing) of the pictures whose names begin with `under`."""
        pages = self._client.get_paginator("list_objects_v2")
        with _errors():
            for page in pages.paginate(Bucket=self.bucket, Prefix=self.prefix + under):
                for one in page.get("Contents", ()):
                    name = parse_photo_name(one["Key"].removeprefix(self.prefix))
                    if name is not None:
                        yield *name, one["LastModified"]


def _is_missing(error: ClientError) -> bool:
    # A missing bucket is an error of the set-up, not a missing picture.
    return error.response.get("Error", {}).get("Code") in _MISSING


@contextmanager
def _errors() -> Iterator[None]:
    """Convert boto3's errors to StoreUnavailable, whose text has no address and no key."""
    try:
        yield
    except ClientError as error:
        raise StoreUnavailable(str(error.response.get("Error", {}).get("Code"))) from error
    except (BotoCoreError, ValueError) as error:
        raise StoreUnavailable(type(error).__name__) from error
