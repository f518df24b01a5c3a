"""Baseline of a cold start: a minimal page that a service worker serves from its cache."""

from __future__ import annotations

from contextlib import suppress

from tests.bench.local_server import QuietHandler

PAGE = b"""<!doctype html><html lang="en"><meta charset="utf-8">
<meta name="viewport" content="width=device-width"><title>hello</title><p>hello</p>
<script>navigator.serviceWorker?.register('/sw.js');</script>"""
WORKER = b"""
self.addEventListener('install', (event) => {
  event.waitUntil(caches.open('hello').then((cache) => cache.add('/')));
});
self.addEventListener('activate', (event) => event.waitUntil(clients.claim()));
self.addEventListener('fetch', (event) => event.respondWith(caches.match('/')));
"""


class Hello(QuietHandler):
    def do_GET(self) -> None:
        is_worker = self.path == "/sw.js"
        with suppress(BrokenPipeError):
            self.answer(is_worker)

    def answer(self, is_worker: bool) -> None:
        self.send_response(200)
        self.send_header("Content-Type", "text/javascript" if is_worker else "text/html")
        self.end_headers()
        self.wfile.write(WORKER if is_worker else PAGE)
