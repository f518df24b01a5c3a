"""Photos are resized and queued on the phone, and uploaded without delaying the notes."""

from __future__ import annotations

import io
import json
import sqlite3
from base64 import b64decode, b64encode
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


def add(driver, tasting, content):
    return driver.run(ADD, {"tasting": tasting, "picture": b64encode(content).decode()})


def stored(driver, id_):
    """Return the photo on the phone as (media type, bytes)."""
    kind, values = driver.run(
        """const kept = await book.photo(value);
           const letters = [];
           for (const byte of new Uint8Array(await kept.arrayBuffer()))
             letters.push(String.fromCharCode(byte));
           return [kept.type, btoa(letters.join(''))]""",
        id_,
    )
    return kind, b64decode(values)


def test_offline_photo_is_resized_and_uploaded_after_its_note(driver, open_book):
    driver.context.set_offline(True)
    tasting = driver.save("tasting", {"liking": 7})
    id_ = add(driver, tasting, picture(4000, 3000))["id"]
    kind, content = stored(driver, id_)
    image = Image.open(io.BytesIO(content))
    assert (kind, image.size, dict(image.getexif())) == ("image/jpeg", (1600, 1200), {})
    fields = driver.fields("photo", id_)
    assert (fields["width_px"], fields["bytes"]) == (1600, len(content))
    assert driver.run("return book.photoQueue()") == {"unsent": 1, "refused": []}
    driver.context.set_offline(False)
    driver.sync()
    driver.run("await book.uploadPhotos()")
    assert driver.run("return book.photoQueue()") == {"unsent": 0, "refused": []}
    other = open_book()
    other.sync()
    assert [
        row["id"] for row in other.run("return book.photosOf({ tasting: value })", tasting)
    ] == [id_]
    assert stored(other, id_)[0].startswith("image/")


@pytest.mark.extended
def test_photo_waits_until_its_record_is_synced(driver):
    tasting = driver.save("tasting", {"liking": 7})
    add(driver, tasting, picture(40, 30))
    asked = []
    driver.page.on("request", lambda request: asked.append(request.url))
    driver.run("await book.uploadPhotos()")
    assert asked == []


def test_invalid_image_is_rejected_and_not_stored(driver):
    tasting = driver.save("tasting", {"liking": 7})
    assert add(driver, tasting, b"not a picture") == {"code": "not_image"}
    assert (driver.count("photo"), driver.count("photo_bytes")) == (0, 0)


@pytest.mark.extended
def test_failed_photo_upload_is_retried_after_the_notes(driver):
    tasting = driver.save("tasting", {"liking": 7})
    add(driver, tasting, picture(40, 30))
    driver.page.route(PHOTOS, lambda route: route.fulfill(status=500, body="{}"))
    assert driver.sync() == "done"
    driver.run("await book.uploadPhotos()")
    assert driver.outbox() == []
    assert driver.run("return book.photoQueue()") == {"unsent": 1, "refused": []}
    driver.page.unroute_all()
    driver.run("await book.db.photo_bytes.toCollection().modify({ not_before_ms: 0 })")
    driver.run("await book.uploadPhotos()")
    assert driver.run("return book.photoQueue()") == {"unsent": 0, "refused": []}


UNCONFIRMED = {
    "portal": {"status": 200, "content_type": "text/html", "body": "<html>Pay to go on</html>"},
    "other json": {"status": 200, "content_type": "application/json", "body": '{"welcome": true}'},
    "portal 422": {"status": 422, "content_type": "text/html", "body": "<html>Room no.?</html>"},
    "cut": None,
}


def responding(answer):
    """Return a handler that gives this answer, or cuts the connection."""
    return lambda route: route.fulfill(**answer) if answer else route.abort("connectionreset")


def test_photo_is_sent_only_after_the_server_confirms(driver):
    driver.run("timing.backoff_first_ms = 100")
    tasting = driver.save("tasting", {"liking": 7})
    for width, (name, answer) in enumerate(UNCONFIRMED.items(), start=40):
        id_ = add(driver, tasting, picture(width, 30))["id"]
        driver.page.route(PHOTOS, responding(answer))
        assert driver.sync() == "done"
        driver.until(f"(await book.db.photo_bytes.get('{id_}')).tries >= 1")
        assert driver.run("return book.photoQueue()") == {"unsent": 1, "refused": []}, name
        driver.page.unroute(PHOTOS)
        driver.until("(await book.photoQueue()).unsent === 0")
        assert driver.run("return (await fetch('/api/photos/' + value)).status", id_) == 200


@pytest.mark.extended
def test_photo_taken_during_an_upload_is_sent_next(driver):
    tasting = driver.save("tasting", {"liking": 7})
    add(driver, tasting, picture(40, 30))
    items = []
    driver.page.route(PHOTOS, lambda route: items.append(route), times=1)
    driver.sync()
    driver.run("globalThis.sending = book.uploadPhotos(); return null")
    wait_until(driver.page, lambda: items, "the photo's request")
    add(driver, tasting, picture(50, 30))
    # The notes do not wait for the upload in flight.
    assert driver.sync() == "done"
    assert driver.outbox() == []
    items[0].continue_()
    driver.until("(await book.photoQueue()).unsent === 0")


def test_restored_server_receives_only_missing_photos(driver, shared_server):
    tasting = driver.save("tasting", {"liking": 7})
    lost, there = (add(driver, tasting, picture(size, 30))["id"] for size in (40, 50))
    driver.sync()
    driver.run("await book.uploadPhotos()")
    with closing(sqlite3.connect(shared_server.file, timeout=30)) as book:
        book.execute("DELETE FROM photo_bytes WHERE id = ?", (lost,))
        book.execute("DELETE FROM device")
        book.commit()
    sent = []
    driver.page.on(
        "request", lambda asked: sent.append(asked.url) if asked.method == "PUT" else None
    )
    assert driver.sync() == "done"
    driver.until("(await book.photoQueue()).unsent === 0")
    assert [url.rsplit("/", 1)[1] for url in sent] == [lost]
    for id_ in (lost, there):
        assert driver.run("return (await fetch('/api/photos/' + value)).status", id_) == 200


def test_interrupted_photo_upload_resumes_after_a_kill(start_phone, tmp_path):
    profile = tmp_path / "one"
    one = start_phone(profile)
    id_ = add(one, one.save("tasting", {"liking": 7}), picture(400, 300))["id"]
    items = []
    one.page.route(PHOTOS, lambda route: items.append(route))
    one.sync()
    wait_until(one.page, lambda: items, "the photo's request")
    kill_browser_of(profile)
    again = start_phone(profile)
    assert again.run("return book.photoQueue()") == {"unsent": 1, "refused": []}
    again.run("timing.backoff_first_ms = 100")
    assert again.sync() == "done"
    again.until("(await book.photoQueue()).unsent === 0")
    assert again.run("return (await fetch('/api/photos/' + value)).status", id_) == 200


@pytest.mark.extended
def test_rejected_photo_is_stored_with_the_reason(driver):
    tasting = driver.save("tasting", {"liking": 7})
    id_ = add(driver, tasting, picture(40, 30))["id"]
    errors = {"photo": [{"code": "too_many_pixels", "bound": 100}]}
    driver.page.route(
        PHOTOS,
        lambda route: route.fulfill(
            status=422,
            content_type="application/problem+json",
            body=json.dumps({"code": "too_many_pixels", "errors": errors}),
        ),
    )
    driver.sync()
    driver.run("await book.uploadPhotos()")
    assert driver.run("return book.photoQueue()") == {
        "unsent": 0,
        "refused": [{"id": id_, "errors": errors}],
    }
    assert stored(driver, id_)[1]


def test_full_phone_saves_the_note_and_the_photo_later(browser, open_book, url):
    context = browser.new_context(service_workers="block")
    devtools = context.new_cdp_session(context.new_page())
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": url, "quotaSize": 700_000})
    driver = open_book(context)
    tasting = driver.save("tasting", {"words": "before the photo"})
    out = io.BytesIO()
    Image.effect_noise((1600, 1200), 90).save(out, "JPEG", quality=90)
    assert add(driver, tasting, out.getvalue()) == {"code": "full"}
    assert (driver.count("photo"), driver.count("photo_bytes")) == (0, 0)
    assert driver.fields("tasting", tasting) == {"words": "before the photo"}
    driver.save("tasting", {"words": "and after it"}, tasting)
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": url})
    id_ = add(driver, tasting, out.getvalue())["id"]
    assert stored(driver, id_)[0] == "image/jpeg"
    assert driver.run("return book.storeState.value") == "ready"
    context.close()
