"""The floor: a server that sends and takes bytes, and a page that fetches them."""

from __future__ import annotations

import random
from urllib.parse import parse_qs, urlsplit

from tests.bench.local_server import QuietHandler

NOISE = random.Random(3).randbytes(8_000_000)
# Fetches `sizes` at once, then shows a field; `reacts` as little as a page can.
PAGE = """<!doctype html><html lang="en"><meta charset="utf-8"><title>bare</title>
<meta name="viewport" content="width=device-width"><div id="app"></div><script>
Promise.all([%s].map(async (size, n) =>
  (await fetch(`/bytes?size=${size}&n=${n}`)).arrayBuffer())).then(() => {
  const field = document.createElement('input');
  field.oninput = () => { app.append(field.value); };
  app.append(field);
});
</script>"""


class Bare(QuietHandler):
    protocol_version = "HTTP/1.1"
    disable_nagle_algorithm = True

    def do_GET(self) -> None:
        parts = urlsplit(self.path)
        asked = {name: found[0] for name, found in parse_qs(parts.query).items()}
        if parts.path == "/bytes":
            self.answer(NOISE[: int(asked["size"])], "application/octet-stream")
        elif parts.path == "/":
            page = PAGE % asked.get("sizes", "")
            self.answer(page.encode().ljust(int(asked.get("page", 0))), "text/html")
        else:
            self.send_error(404)

    def do_POST(self) -> None:
        self.rfile.read(int(self.headers["Content-Length"]))
        self.answer(b"taken", "text/plain")

    def answer(self, content: bytes, media_type: str) -> None:
        self.send_response(200)
        self.send_header("Content-Type", media_type)
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)
