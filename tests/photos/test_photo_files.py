"""A folder and a bucket keep pictures by the same rules."""

from __future__ import annotations

import hashlib
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.s3_server import S3Server
from tests.temporary_postgres import free_port
from webapp.errors import StartupError
from webapp.photos import s3
from webapp.photos.files import PhotoFiles, StoreUnavailable, parse_photo_name, photo_files

MANY = s3.ASKED_SINGLY + 3


def sha_of(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


@pytest.fixture
def files(photo_location: str) -> PhotoFiles:
    return photo_files(photo_location)


def write(files: PhotoFiles, owner_id: int, *contents: bytes) -> list[str]:
    for one in contents:
        files.write(owner_id, sha_of(one), one)
    return [sha_of(one) for one in contents]


def test_written_picture_is_read_by_its_owner(files: PhotoFiles) -> None:
    [sha] = write(files, 1, b"plums")
    assert files.read(1, sha) == b"plums"
    assert files.read(2, sha) is None
    assert files.read(1, sha_of(b"other")) is None


@pytest.mark.parametrize("count", [1, MANY])
def test_existing_pictures_are_found(files: PhotoFiles, count: int) -> None:
    shas = write(files, 1, *(b"%d" % number for number in range(count)))
    # The names of owner 11 begin like those of owner 1.
    others = write(files, 11, *(b"other %d" % number for number in range(count)))
    assert files.existing(1, {*shas, *others}) == {*shas}
    assert files.existing(1, ()) == set()


def test_deleted_pictures_are_gone(files: PhotoFiles) -> None:
    gone, stays = write(files, 1, b"gone", b"stays")
    write(files, 2, b"gone")
    files.delete(1, [gone, sha_of(b"never there")])
    assert [*files.all_names()] == [(1, stays), (2, gone)]


def test_pictures_of_an_owner_are_deleted(
    files: PhotoFiles, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(s3, "DELETED_AT_ONCE", 2)
    write(files, 1, b"a", b"b", b"c", b"d", b"e")
    [stays] = write(files, 11, b"a")
    files.delete_owner(1)
    files.delete_owner(7)
    assert [*files.all_names()] == [(11, stays)]


def test_old_pictures_are_found_by_time(files: PhotoFiles) -> None:
    shas = write(files, 1, b"a", b"b")
    write(files, 2, b"c")
    assert files.older_than(1, time.time() - 3600) == set()
    assert files.older_than(1, time.time() + 3600) == {*shas}


def test_check_leaves_nothing(files: PhotoFiles) -> None:
    files.check()
    assert [*files.all_names()] == []


@pytest.mark.parametrize(
    "name", ["1/ab/" + "ab" * 31, "1/cd/" + "ab" * 32, "x/ab/" + "ab" * 32, "../ab/" + "ab" * 32]
)
def test_other_names_are_no_pictures(name: str) -> None:
    assert parse_photo_name("12/ab/" + "ab" * 32) == (12, "ab" * 32)
    assert parse_photo_name(name) is None


def test_pictures_of_two_prefixes_are_apart(
    s3_server: S3Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    location = s3_server.new_bucket(monkeypatch)
    [sha] = write(photo_files(location), 1, b"plums")
    beside = photo_files(location + "-2")
    assert (beside.read(1, sha), [*beside.all_names()]) == (None, [])


def test_missing_bucket_is_an_error_of_the_store(
    s3_server: S3Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    s3_server.new_bucket(monkeypatch)
    files = photo_files("s3://no-such-bucket")
    for use in (
        files.check,
        lambda: files.read(1, "ab" * 32),
        lambda: files.write(1, "ab" * 32, b""),
        lambda: [*files.all_names()],
        lambda: files.delete(1, ["ab" * 32]),
    ):
        with pytest.raises(StoreUnavailable, match="NoSuchBucket"):
            use()


def test_unreachable_store_is_reported_without_its_address(
    s3_server: S3Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    s3_server.new_bucket(monkeypatch)
    monkeypatch.setenv("AWS_ENDPOINT_URL_S3", f"http://127.0.0.1:{free_port()}")
    monkeypatch.setattr(s3, "ATTEMPTS", 1)
    with pytest.raises(StoreUnavailable) as refused:
        s3.S3Files("bucket").read(1, "ab" * 32)
    assert str(refused.value) == "The photo store cannot be used: EndpointConnectionError"


def test_folder_server_does_not_import_boto3(tmp_path: Path) -> None:
    program = (
        "import sys; from webapp import create_app;"
        f"create_app({{'DATABASE_URL': 'sqlite:///{tmp_path}/book.sqlite', 'UPGRADE': True}});"
        "print([one for one in sys.modules if one.partition('.')[0] in ('boto3', 'botocore')])"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True)
    assert done.stdout.strip() == b"[]"


def test_missing_boto3_is_named_with_its_extra(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "boto3", None)
    monkeypatch.delitem(sys.modules, "webapp.photos.s3")
    with pytest.raises(StartupError, match=r"secondnose\[s3\]"):
        photo_files("s3://never-opened")
