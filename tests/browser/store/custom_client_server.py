"""`secondnose serve` with the client files of the folder CLIENT.

Paths listed in the file REFUSED, one per line, return 404.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from webapp import cli, spec
from webapp.client import files
from webapp.commands import serve

CLIENT = Path(os.environ["CLIENT"])
REFUSED = Path(os.environ.get("REFUSED", CLIENT / "refused"))


class Doorkeeper:
    """WSGI middleware that returns 404 for the paths in REFUSED."""

    def __init__(self, app: Any) -> None:
        self.app = app

    def __call__(self, environ: dict[str, Any], start_response: Any) -> Any:
        if REFUSED.exists() and environ["PATH_INFO"] in REFUSED.read_text().splitlines():
            start_response("404 Not Found", [("Content-Type", "text/plain")])
            return [b"not here"]
        return self.app(environ, start_response)


def listen(app: Any, *given: Any) -> None:
    app.wsgi_app = Doorkeeper(app.wsgi_app)
    really_listen(app, *given)


if __name__ == "__main__":
    spec.static_root = lambda: CLIENT
    # No test here counts bytes, and compressing all files anew costs most of the start.
    files.BEST_QUALITY = 1
    # The tests change files and open the app at once.
    files.CHECK_S = 0
    really_listen, serve._listen = serve._listen, listen
    cli.main()
