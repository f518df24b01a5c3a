"""Photos are resized and queued on the phone, and uploaded without delaying the notes."""

from __future__ import annotations

import io
import json
import sqlite3
from contextlib import closing

import pytest
from PIL import Image

from tests.browser.store.test_crash import kill_browser_of
from tests.browser.waiting import wait_until

pytestmark = pytest.mark.browser

PHOTOS = "**/api/photos/*"
ADD = """
    const bytes = Uint8Array.from(atob(value.picture), (letter) => letter.charCodeAt(0));
    return book.addPhoto({ tasting: value.tasting }, new Blob([bytes]))
      .then((id) => ({ id }), (error) => ({ code: error.code }));"""


def picture(width, height):
    """Return a JPEG with GPS position and camera in its metadata."""
    image = Image.linear_gradient("L").resize((width, height)).convert("RGB")
    exif = Image.Exif()
    exif[0x010F] = "Invented Camera"
    exif.get_ifd(0x8825)[1] = "N"
    out = io.BytesIO()
    image.save(out, "JPEG", exif=exif)
    return out.getvalue()


def add(hand, tasting, content):
    from base64 import b64encode

    return hand.run(ADD, {"tasting": tasting, "picture": b64encode(content).decode()})


def stored(hand, id_):
    """Return the photo on the phone as (media type, bytes)."""
    kind, values = hand.run(
        """const kept = await book.photo(value);
           return [kept.type, Array.from(new Uint8Array(await kept.arrayBuffer()))]""",
        id_,
    )
    return kind, bytes(values)


def test_offline_photo_is_resized_and_uploaded_after_its_note(hand, open_book):
    hand.context.set_offline(True)
    tasting = hand.save("tasting", {"liking": 7})
    id_ = add(hand, tasting, picture(4000, 3000))["id"]
    kind, content = stored(hand, id_)
    image = Image.open(io.BytesIO(content))
    assert (kind, image.size, dict(image.getexif())) == ("image/jpeg", (1600, 1200), {})
    fields = hand.fields("photo", id_)
    assert (fields["width_px"], fields["bytes"]) == (1600, len(content))
    assert hand.run("return book.photoQueue()") == {"unsent": 1, "refused": []}
    hand.context.set_offline(False)
    hand.sync()
    hand.run("await book.uploadPhotos()")
    assert hand.run("return book.photoQueue()") == {"unsent": 0, "refused": []}
    other = open_book()
    other.sync()
    assert [
        row["id"] for row in other.run("return book.photosOf({ tasting: value })", tasting)
    ] == [id_]
    assert stored(other, id_)[0].startswith("image/")


def test_photo_waits_until_its_record_is_synced(hand):
    tasting = hand.save("tasting", {"liking": 7})
    add(hand, tasting, picture(40, 30))
    asked = []
    hand.page.on("request", lambda request: asked.append(request.url))
    hand.run("await book.uploadPhotos()")
    assert asked == []


def test_invalid_image_is_rejected_and_not_stored(hand):
    tasting = hand.save("tasting", {"liking": 7})
    assert add(hand, tasting, b"not a picture") == {"code": "not_image"}
    assert (hand.count("photo"), hand.count("photo_bytes")) == (0, 0)


def test_failed_photo_upload_is_retried_after_the_notes(hand):
    tasting = hand.save("tasting", {"liking": 7})
    add(hand, tasting, picture(40, 30))
    hand.page.route(PHOTOS, lambda route: route.fulfill(status=500, body="{}"))
    assert hand.sync() == "done"
    hand.run("await book.uploadPhotos()")
    assert hand.outbox() == []
    assert hand.run("return book.photoQueue()") == {"unsent": 1, "refused": []}
    hand.page.unroute_all()
    hand.run("await book.db.photo_bytes.toCollection().modify({ not_before_ms: 0 })")
    hand.run("await book.uploadPhotos()")
    assert hand.run("return book.photoQueue()") == {"unsent": 0, "refused": []}


@pytest.mark.parametrize(
    "answer",
    [
        {"status": 200, "content_type": "text/html", "body": "<html>Pay to go on</html>"},
        {"status": 200, "content_type": "application/json", "body": '{"welcome": true}'},
        {"status": 422, "content_type": "text/html", "body": "<html>Room number?</html>"},
        None,
    ],
    ids=["portal", "other json", "portal 422", "cut"],
)
def test_photo_is_sent_only_after_the_server_confirms(hand, answer):
    tasting = hand.save("tasting", {"liking": 7})
    id_ = add(hand, tasting, picture(40, 30))["id"]
    hand.run("timing.backoff_first_ms = 100")
    hand.page.route(
        PHOTOS,
        lambda route: route.fulfill(**answer) if answer else route.abort("connectionreset"),
        times=2,
    )
    assert hand.sync() == "done"
    hand.until("(await book.db.photo_bytes.toCollection().first()).tries === 1")
    assert hand.run("return book.photoQueue()") == {"unsent": 1, "refused": []}
    hand.until("(await book.photoQueue()).unsent === 0")
    assert hand.run("return (await fetch('/api/photos/' + value)).status", id_) == 200


def test_photo_taken_during_an_upload_is_sent_next(hand):
    tasting = hand.save("tasting", {"liking": 7})
    add(hand, tasting, picture(40, 30))
    held = []
    hand.page.route(PHOTOS, lambda route: held.append(route), times=1)
    hand.sync()
    hand.run("globalThis.sending = book.uploadPhotos(); return null")
    wait_until(hand.page, lambda: held, "the photo's request")
    add(hand, tasting, picture(50, 30))
    # The notes do not wait for the upload in flight.
    assert hand.sync() == "done"
    assert hand.outbox() == []
    held[0].continue_()
    hand.until("(await book.photoQueue()).unsent === 0")


def test_restored_server_receives_only_missing_photos(hand, shared_server):
    tasting = hand.save("tasting", {"liking": 7})
    lost, there = (add(hand, tasting, picture(size, 30))["id"] for size in (40, 50))
    hand.sync()
    hand.run("await book.uploadPhotos()")
    with closing(sqlite3.connect(shared_server.file, timeout=30)) as book:
        book.execute("DELETE FROM photo_bytes WHERE id = ?", (lost,))
        book.execute("DELETE FROM device")
        book.commit()
    sent = []
    hand.page.on("request", lambda asked: sent.append(asked.url) if asked.method == "PUT" else None)
    assert hand.sync() == "done"
    hand.until("(await book.photoQueue()).unsent === 0")
    assert [url.rsplit("/", 1)[1] for url in sent] == [lost]
    for id_ in (lost, there):
        assert hand.run("return (await fetch('/api/photos/' + value)).status", id_) == 200


def test_interrupted_photo_upload_resumes_after_a_kill(start_phone, tmp_path):
    profile = tmp_path / "one"
    one = start_phone(profile)
    id_ = add(one, one.save("tasting", {"liking": 7}), picture(400, 300))["id"]
    held = []
    one.page.route(PHOTOS, lambda route: held.append(route))
    one.sync()
    wait_until(one.page, lambda: held, "the photo's request")
    kill_browser_of(profile)
    again = start_phone(profile)
    assert again.run("return book.photoQueue()") == {"unsent": 1, "refused": []}
    again.run("timing.backoff_first_ms = 100")
    assert again.sync() == "done"
    again.until("(await book.photoQueue()).unsent === 0")
    assert again.run("return (await fetch('/api/photos/' + value)).status", id_) == 200


def test_rejected_photo_is_stored_with_the_reason(hand):
    tasting = hand.save("tasting", {"liking": 7})
    id_ = add(hand, tasting, picture(40, 30))["id"]
    errors = {"photo": [{"code": "too_many_pixels", "bound": 100}]}
    hand.page.route(
        PHOTOS,
        lambda route: route.fulfill(
            status=422,
            content_type="application/problem+json",
            body=json.dumps({"code": "too_many_pixels", "errors": errors}),
        ),
    )
    hand.sync()
    hand.run("await book.uploadPhotos()")
    assert hand.run("return book.photoQueue()") == {
        "unsent": 0,
        "refused": [{"id": id_, "errors": errors}],
    }
    assert stored(hand, id_)[1]


def test_full_phone_saves_the_note_and_the_photo_later(browser, open_book, url):
    context = browser.new_context(service_workers="block")
    devtools = context.new_cdp_session(context.new_page())
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": url, "quotaSize": 700_000})
    hand = open_book(context)
    tasting = hand.save("tasting", {"words": "before the photo"})
    out = io.BytesIO()
    Image.effect_noise((1600, 1200), 90).save(out, "JPEG", quality=90)
    assert add(hand, tasting, out.getvalue()) == {"code": "full"}
    assert (hand.count("photo"), hand.count("photo_bytes")) == (0, 0)
    assert hand.fields("tasting", tasting) == {"words": "before the photo"}
    hand.save("tasting", {"words": "and after it"}, tasting)
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": url})
    id_ = add(hand, tasting, out.getvalue())["id"]
    assert stored(hand, id_)[0] == "image/jpeg"
    assert hand.run("return book.storeState.value") == "ready"
    context.close()
