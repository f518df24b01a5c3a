"""A led tasting for the browser tests: the leader's records, the invitation, the guests' steps."""

from __future__ import annotations

import json
import time
import urllib.request
from abc import ABC, abstractmethod
from datetime import UTC, datetime, timedelta
from typing import Any

from playwright.sync_api import Page, Response

from tests.browser.engines import tap
from tests.browser.waiting import LIMIT_S
from tests.sync.simulated_phone import Phone
from webapp.group_tasting.closing import grace_ms

TABLE = "01900000-0000-7000-8000-00000000a000"
STEPS = ["look", "first_nose", "sip_1", "whole", "verdict"]
# Words that no response to a guest may have before the label is uncovered.
WINES = [
    {"name": "Torre Quarzo", "producer": "Fratelli Onice", "vintage": 2019, "label_abv": 13.5},
    {"name": "Clos Verrin", "producer": "Veuve Lacombe", "vintage": 2021, "label_abv": 12.4},
    {"name": "Steinhalde", "producer": "Gut Moosbach", "vintage": 2017, "label_abv": 14.2},
    {"name": "Quinta Lodosa", "producer": "Irmaos Faria", "vintage": 2020, "label_abv": 13.1},
]
SAVE = """async (edits) => {
  await (await import('/store/write.js')).saveMany(edits);
  await (await import('/sync/index.js')).syncNow();
}"""
INVITE = """async (table) => {
  const path = `/api/group-tastings/${table}/invitation`;
  const response = await fetch(path, { method: 'POST' });
  if (!response.ok) throw new Error(`${response.status} ${await response.text()}`);
  return response.json();
}"""
SEND_AWAY = """async ([table, guest]) => {
  const path = `/api/group-tastings/${table}/guests/${guest}`;
  return (await fetch(path, { method: 'DELETE' })).status;
}"""
ROWS = """async (kind) => {
  await (await import('/sync/index.js')).syncNow();
  const { allOf } = await import('/store/queries.js');
  return (await allOf(kind)).map(({ id, fields }) => ({ id, ...fields }));
}"""
DEVICE = "leader0001"
# Between the close of a step and what is noted before or after it.
APART_S = 1
JSON_BODY = {"Content-Type": "application/json"}


def bottle_id(at: int) -> str:
    return f"01900000-0000-7000-8000-00000000b{at:03d}"


def glass_id(at: int) -> str:
    return f"01900000-0000-7000-8000-00000000c{at:03d}"


def table_records(glasses: int = 2, **fields: Any) -> list[dict[str, Any]]:
    """Return the records of a table with covered labels."""
    head = {
        "name": "Monday table",
        "leader_name": "Greta",
        "on": "2026-11-28",
        "steps": STEPS,
        "pace": "led",
        "order": "listed",
        "labels_hidden": True,
        "names_shown": True,
        "ask_guesses": True,
        "started_at": "2026-11-28T19:00:00+01:00",
        **fields,
    }
    edits: list[dict[str, Any]] = [{"kind": "group_tasting", "id": TABLE, "fields": head}]
    for at in range(glasses):
        place = {"group_tasting": TABLE, "bottle": bottle_id(at), "position": at + 1}
        mark = {"mark": "ABCDEFGH"[at]}
        edits.append({"kind": "bottle", "id": bottle_id(at), "fields": dict(WINES[at])})
        edits.append({"kind": "glass", "id": glass_id(at), "fields": place | mark})
    return edits


class Leader(ABC):
    """The leader, who opens and closes steps."""

    table = TABLE
    invitation: dict[str, Any]
    # Between an answer and a close, more than a guest's clock may be off.
    apart_s: float = APART_S

    @abstractmethod
    def set_table(self, glasses: int = 2, **fields: Any) -> None:
        """Save the records of a table, and invite."""

    @abstractmethod
    def save(self, *edits: dict[str, Any]) -> None: ...

    @abstractmethod
    def rows(self, kind: str) -> list[dict[str, Any]]:
        """Return id and non-null fields of all records of a kind, oldest id first."""

    @abstractmethod
    def send_away(self, guest: str) -> None: ...

    def now(self, later_ms: int = 0) -> str:
        """Return the present moment, to the millisecond: one to the second lasts until its end."""
        moment = datetime.now(UTC) + timedelta(milliseconds=later_ms)
        return moment.isoformat(timespec="milliseconds").replace("+00:00", "Z")

    def change(self, **fields: Any) -> None:
        self.save({"kind": "group_tasting", "id": TABLE, "fields": fields})

    def glass(self, at: int, **fields: Any) -> None:
        self.save({"kind": "glass", "id": glass_id(at), "fields": fields})

    def open_step(self, at: int, step: str) -> None:
        """Open a step of a glass for everybody."""
        self.change(open_glass=glass_id(at), open_step=step)

    def close_step(self, at: int, step: str, *, in_ms: int = 0) -> None:
        """Close a step, now or so much later: the leader went on some seconds before that."""
        apart_s = 0 if in_ms else self.apart_s
        time.sleep(apart_s)
        went_on = self.now(in_ms - grace_ms())
        self.glass(at, **{f"closed_{step}_at": went_on})
        time.sleep(apart_s)

    def go_on(self, at: int, step: str, following: str) -> None:
        """Go on from a step to another one of the glass; guests may finish the first."""
        self.glass(at, **{f"closed_{step}_at": self.now()})
        self.open_step(at, following)

    def show_answers(self, at: int) -> None:
        now = self.now()
        closed = {f"closed_{step}_at": now for step in STEPS}
        self.glass(at, discussed_at=now, **closed)

    def reveal(self, at: int) -> None:
        self.glass(at, uncovered_at=self.now())

    def end(self) -> None:
        self.change(ended_at=self.now(), open_glass=None, open_step=None)


class LeaderBySync(Leader):
    """A leader who writes the records as the leader's screens do, but without a screen."""

    def __init__(self, url: str) -> None:
        self.url = url
        self.notebook = Phone(DEVICE)

    def set_table(self, glasses: int = 2, **fields: Any) -> None:
        self.save(*table_records(glasses, **fields))
        self.invitation = self._ask("POST", f"/api/group-tastings/{TABLE}/invitation", {})

    def save(self, *edits: dict[str, Any]) -> None:
        now_ms = time.time_ns() // 1_000_000
        for edit in edits:
            for name, value in edit["fields"].items():
                self.notebook.edit(now_ms, (edit["kind"], edit["id"]), name, value)
        self._sync()

    def rows(self, kind: str) -> list[dict[str, Any]]:
        self._sync()
        found = [self.notebook.records[key] for key in sorted(self.notebook.records)]
        return [
            {"id": row["id"], **{k: v for k, v in row["fields"].items() if v is not None}}
            for row in found
            if row["kind"] == kind and not row["deleted"]
        ]

    def send_away(self, guest: str) -> None:
        self._ask("DELETE", f"/api/group-tastings/{TABLE}/guests/{guest}")

    def _sync(self) -> None:
        self.notebook.sync(lambda request: self._ask("POST", "/api/sync", request))

    def _ask(self, method: str, path: str, body: dict[str, Any] | None = None) -> Any:
        data = None if body is None else json.dumps(body).encode()
        asked = urllib.request.Request(f"{self.url}{path}", data, JSON_BODY, method=method)
        with urllib.request.urlopen(asked, timeout=LIMIT_S) as answer:
            return json.loads(answer.read() or "null")


class LeaderPhone(Leader):
    """The leader's phone, for tests that look at its screens."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def set_table(self, glasses: int = 2, **fields: Any) -> None:
        self.page.goto("/")
        self.save(*table_records(glasses, **fields))
        self.invitation = self.page.evaluate(INVITE, TABLE)

    def save(self, *edits: dict[str, Any]) -> None:
        self.page.evaluate(SAVE, list(edits))

    def rows(self, kind: str) -> list[dict[str, Any]]:
        found: list[dict[str, Any]] = self.page.evaluate(ROWS, kind)
        return found

    def send_away(self, guest: str) -> None:
        assert self.page.evaluate(SEND_AWAY, [TABLE, guest]) in {200, 204}


def join(page: Page, path: str, name: str) -> None:
    """Open the invitation as a scanned code does, and join."""
    page.goto(path)
    page.get_by_label("Your first name").fill(name)
    tap(page.get_by_role("button", name="Join the table"))


def rate(page: Page, slider: str, presses: int = 1) -> None:
    """Set a scale by the keyboard: from the middle, up one step with each press."""
    line = page.get_by_role("slider", name=slider)
    for _ in range(presses):
        line.press("ArrowRight")


def api_bodies(page: Page) -> list[str]:
    """Return a list that gets the body of each later response of the API to this page."""
    bodies: list[str] = []

    def read(response: Response) -> None:
        # A redirect or an unchanged view has no body.
        if "/api/" in response.url and not 300 <= response.status < 400:
            bodies.append(response.text())

    page.on("response", read)
    return bodies


# Replaces the camera: it shows the codes in `globalThis.codesInView`, one after the other.
CAMERA = """() => {
  globalThis.codesInView = [];
  const [width, height] = [640, 640];
  navigator.mediaDevices.getUserMedia = async () => {
    const sheet = Object.assign(document.createElement('canvas'), { width, height });
    const pen = sheet.getContext('2d');
    let at = 0;
    setInterval(() => {
      const code = globalThis.codesInView[at++ % Math.max(1, globalThis.codesInView.length)];
      pen.setTransform(1, 0, 0, 1, 0, 0);
      pen.fillStyle = 'white';
      pen.fillRect(0, 0, width, height);
      if (!code) return;
      const scale = Math.floor(width / code.size);
      pen.setTransform(scale, 0, 0, scale, 0, 0);
      pen.fillStyle = 'black';
      pen.fill(new Path2D(code.path));
    }, 300);
    return sheet.captureStream();
  };
}"""
# The codes that a screen shows in turn, as drawn there.
CODES = """() => new Promise((done) => {
  const seen = new Map();
  const look = () => {
    const drawn = document.querySelector('.qr-code');
    const path = drawn?.querySelector('path').getAttribute('d');
    if (path) seen.set(path, { path, size: drawn.viewBox.baseVal.width });
    const [, last] = document.querySelector('.qr-frames p')?.textContent.match(/\\d+/g) ?? [1, 1];
    if (path && seen.size === Number(last)) done([...seen.values()]);
    else setTimeout(look, 50);
  };
  look();
})"""


def show_to_camera(shown: Page, camera: Page) -> None:
    """Hold one phone's screen in front of the other's camera."""
    camera.evaluate("(codes) => { globalThis.codesInView = codes; }", shown.evaluate(CODES))
