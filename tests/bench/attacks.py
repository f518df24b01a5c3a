"""What attacks cost a server: memory, bytes on disk, and the time that another owner waits.

It passes or fails nothing; `tests/attacks` and `tests/photos` test the limits. The server is
`secondnose serve` on SQLite with its default settings, in a process of its own.
"""

from __future__ import annotations

import contextlib
import functools
import io
import json
import statistics
import sys
import tempfile
import threading
import time
import zipfile
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

from PIL import Image

from tests.attacks.servers import Server, connect, head, running
from tests.forked_process import hash_at_full_cost
from tests.photos.test_sanitize_memory import png
from webapp import create_app
from webapp.auth.owners import set_current_owner
from webapp.db.engine import db, write_transaction
from webapp.photos.folder import FolderFiles
from webapp.retention.daily_seq import DAY_S
from webapp.retention.erasure import purge_deleted
from webapp.spec import deleted_kept_days

CLOCK_MS = 1_790_000_000_000
JSON = {"Content-Type": "application/json"}
MEGABYTE = 1_000_000
# Of the import: records, and pictures that must be decoded because they have metadata.
RECORDS, PICTURES = 20_000, 30


def id_of(number: int) -> str:
    return f"0192f0c1-2a3b-7c4d-8e5f-{number:012x}"


def photo_change(number: int, **mark: Any) -> dict[str, Any]:
    fields = {} if mark else {"media_type": "image/jpeg"}
    clocks = dict.fromkeys(fields, f"{CLOCK_MS}-0000-aaaaaaaa")
    return {"kind": "photo", "id": id_of(number), "fields": fields, "clocks": clocks, **mark}


def push(server: Server, who: dict[str, str], changes: list[dict[str, Any]]) -> int:
    body = {"format": 1, "device": "aaaaaaaa", "cursor": 0, "limit": 1, "changes": changes}
    return server.ask("POST", "/api/sync", json.dumps(body).encode(), **JSON, **who)[0]


def put(server: Server, who: dict[str, str], number: int, content: bytes, kind: str) -> int:
    headers = {"Content-Type": f"image/{kind}", **who}
    return server.ask("PUT", f"/api/photos/{id_of(number)}", content, **headers)[0]


def put_at_last(server: Server, who: dict[str, str], number: int, content: bytes) -> None:
    """Send a picture again as long as the server is busy with others."""
    while put(server, who, number, content, "jpeg") == 503:
        time.sleep(0.02)


def jpeg(width: int, height: int, shade: int = 0) -> bytes:
    """Return a JPEG with metadata, which the server must therefore decode."""
    out, exif = io.BytesIO(), Image.Exif()
    exif[0x010F] = "a camera"
    tile = Image.effect_noise((256, 256), 60 + shade).resize((width, height))
    tile.convert("RGB").save(out, "JPEG", quality=80, exif=exif)
    return out.getvalue()


def peak_bytes(server: Server) -> int:
    status = [Path(f"/proc/{one}/status").read_text() for one in server.processes()]
    return sum(int(one.split("VmHWM:")[1].split()[0]) * 1024 for one in status)


def disk_bytes(folder: Path) -> int:
    return sum(path.stat().st_size for path in folder.rglob("*") if path.is_file())


def tell(what: str, value: float, unit: str, more: str = "") -> None:
    print(f"{what:<76}{value:>10.1f} {unit:<3}{more}", flush=True)


@contextlib.contextmanager
def served() -> Iterator[Server]:
    with tempfile.TemporaryDirectory() as folder, running(Path(folder), "serve") as server:
        yield server


def memory() -> None:
    """Send six PNGs at once: of 60 megapixels, and of the most that is accepted."""
    for width, height in ((10_000, 6_000), (6_000, 4_000)):
        with served() as server:
            anna, content = server.sign_in("anna"), png(width, height)
            push(server, anna, [photo_change(number) for number in range(6)])
            before = peak_bytes(server)
            with ThreadPoolExecutor(6) as pool:
                send = functools.partial(put, server, anna, content=content, kind="png")
                found = list(pool.map(send, range(6)))
            what = f"memory of six PNGs of {width * height // MEGABYTE} megapixels at once"
            tell(what, (peak_bytes(server) - before) / MEGABYTE, "MB", f" answers {found}")


def waits_during(server: Server, who: dict[str, str], work: Callable[[], Any]) -> list[float]:
    """Sync small changes of an owner until `work` ends; return the seconds of each."""
    over, waits = threading.Event(), list[float]()

    def sync() -> None:
        for number in range(1_000_000):
            if over.is_set():
                return
            began = time.perf_counter()
            change = photo_change(number + 1_000)
            assert push(server, who, [change]) == 200
            waits.append(time.perf_counter() - began)

    other = threading.Thread(target=sync)
    other.start()
    work()
    over.set()
    other.join()
    return waits


def archive() -> bytes:
    out, fields = io.BytesIO(), {"name": "a visit", "words": "words " * 40}
    clocks = dict.fromkeys(fields, f"{CLOCK_MS}-0000-aaaaaaaa")
    with zipfile.ZipFile(out, "w") as made:
        made.writestr("book.json", json.dumps({"format": 1, "made_at": "2026-11-25T10:00:00Z"}))
        visits = ({"id": id_of(one), "fields": fields, "clocks": clocks} for one in range(RECORDS))
        made.writestr("visit.jsonl", "".join(json.dumps(one) + "\n" for one in visits))
        photos = (photo_change(one) for one in range(PICTURES))
        made.writestr("photo.jsonl", "".join(json.dumps(one) + "\n" for one in photos))
        for number in range(PICTURES):
            made.writestr(f"photos/{id_of(number)}.jpg", jpeg(4_000, 3_000, number))
    return out.getvalue()


def waiting() -> None:
    """Let one owner import and send pictures while another one syncs."""
    with served() as server:
        anna, bruno, large = server.sign_in("anna"), server.sign_in("bruno"), jpeg(6_000, 4_000)
        content = archive()

        def pictures() -> None:
            push(server, anna, [photo_change(number) for number in range(6)])
            with ThreadPoolExecutor(6) as pool:
                list(pool.map(lambda one: put_at_last(server, anna, one % 6, large), range(24)))

        def import_all() -> None:
            headers = {"Content-Type": "application/zip", **anna}
            status, result, _ = server.ask("POST", "/api/import", content, **headers)
            assert status == 200, result

        works: list[tuple[str, Callable[[], Any]]] = [
            ("nothing else happens", lambda: time.sleep(5)),
            ("the first owner sends 24 pictures, six at once", pictures),
            (f"the first owner imports {RECORDS:,} records, {PICTURES} pictures", import_all),
        ]
        for what, work in works:
            began = time.perf_counter()
            waits = waits_during(server, bruno, work)
            taken = time.perf_counter() - began
            median = f" median {statistics.median(waits) * 1000:.0f} ms, {len(waits)} syncs"
            tell(f"longest sync while {what}", max(waits) * 1000, "ms", f"{median}, {taken:.1f} s")


def temporary_files() -> None:
    """Post 300 MB without a sign-in, three times at once; look at the folder meanwhile."""
    with served() as server:
        most = 0
        lines = [connect(server) for _ in range(3)]
        length = 300 * MEGABYTE
        for line in lines:
            line.sendall(head("POST", "/api/import", f"Content-Length: {length}", *_zip()))
        for _ in range(length // MEGABYTE):
            for line in lines:
                with contextlib.suppress(OSError):
                    line.sendall(bytes(MEGABYTE))
            most = max(most, server.scratch_bytes() + disk_bytes(server.scratch))
        tell("temporary files of three posts of 300 MB without a sign-in", most / MEGABYTE, "MB")


def _zip() -> list[str]:
    return ["Content-Type: application/zip"]


def erasure() -> None:
    """Replace a picture, delete its record, and let the grace period pass."""
    with served() as server:
        anna, now_ms = server.sign_in("anna"), time.time_ns() // MEGABYTE
        folder = server.folder / "photos"
        steps: list[tuple[str, Callable[[], Any]]] = [
            ("a picture without a record", lambda: put(server, anna, 1, jpeg(900, 700), "jpeg")),
            ("a picture", lambda: _store(server, anna)),
            ("another one in its place", lambda: put(server, anna, 0, jpeg(900, 700, 9), "jpeg")),
            ("its record deleted", lambda: _delete(server, anna, now_ms)),
            ("the grace period over", lambda: _purge(server, now_ms)),
        ]
        for what, step in steps:
            step()
            tell(f"bytes of pictures on disk after: {what}", disk_bytes(folder) / 1000, "kB")


def _store(server: Server, who: dict[str, str]) -> None:
    push(server, who, [photo_change(0)])
    assert put(server, who, 0, jpeg(900, 700), "jpeg") == 200


def _delete(server: Server, who: dict[str, str], now_ms: int) -> None:
    push(server, who, [photo_change(0, deleted=True, deleted_clock=f"{now_ms}-0000-aaaaaaaa")])


def _purge(server: Server, now_ms: int) -> None:
    """Purge as the server does each day, today and when the days are over."""
    app = create_app({"DATABASE_URL": f"sqlite:///{server.book}"})
    with app.test_request_context():
        for days in (1, deleted_kept_days() + 2):
            for owner_id in (1, 2):
                set_current_owner(owner_id)
                at_ms = now_ms + days * DAY_S * 1000
                files = FolderFiles(server.folder / "photos")
                purge_deleted(write_transaction, files, owner_id, deleted_kept_days(), at_ms)
        db.engine.dispose()


PARTS = {one.__name__: one for one in (memory, waiting, temporary_files, erasure)}


def main() -> None:
    hash_at_full_cost()
    for name in sys.argv[1:] or PARTS:
        PARTS[name]()


if __name__ == "__main__":
    main()
