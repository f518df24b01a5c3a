"""Finds or installs the programs, besides Python, that tests and checks need.

For a program that cannot be installed, it prints one line that says how to get it.

Usage: python .ci/parts.py [browser] [firefox] [postgres] [pooler] [node]
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path


def run(*command: str) -> bool:
    """Run a command; return whether it succeeded. Its output is shown only if it failed."""
    if shutil.which(command[0]) is None:
        return False
    done = subprocess.run(command, capture_output=True, text=True, stdin=subprocess.DEVNULL)
    if done.returncode:
        print(done.stdout[-2000:], done.stderr[-2000:], sep="\n", file=sys.stderr)
    return done.returncode == 0


def apt_install(*packages: str) -> bool:
    """Install Debian packages, if this is Debian and we are root; return whether it worked."""
    if os.geteuid() != 0 or shutil.which("apt-get") is None:
        return False
    os.environ["DEBIAN_FRONTEND"] = "noninteractive"
    return run("apt-get", "update", "-q") and run(
        "apt-get", "install", "-q", "-y", "--no-install-recommends", *packages
    )


def browser() -> str | None:
    from tests.browser.browser_paths import find_browser

    if find_browser():
        return None
    print("No browser found; installing one ...")
    playwright = (sys.executable, "-m", "playwright", "install")
    if run(*playwright, "--with-deps", "chromium") and find_browser():
        return None
    for package in ("chromium-headless-shell", "chromium"):
        if apt_install(package, "fonts-dejavu-core") and find_browser():
            return None
    return (
        "No browser: install Chromium (Debian: apt install chromium) "
        "or run `.venv/bin/playwright install chromium`."
    )


def firefox() -> str | None:
    from tests.browser.browser_paths import find_firefox

    if find_firefox():
        return None
    print("No Firefox found; installing Debian's ...")
    if apt_install("firefox-esr") and find_firefox():
        return None
    return (
        "No Firefox: install it (Debian: apt install firefox-esr) or name one in "
        "SECONDNOSE_FIREFOX; the scenes run in it too."
    )


def postgres() -> str | None:
    from tests.postgres import find_binaries

    if find_binaries():
        return None
    print("No PostgreSQL found; installing Debian's ...")
    if apt_install("postgresql") and find_binaries():
        return None
    return (
        "No PostgreSQL server programs: install them (Debian: apt install postgresql); "
        "the tests start their own cluster."
    )


def pooler() -> str | None:
    from tests.bench.growth.pooler import pooler_program

    if pooler_program():
        return None
    print("No PgBouncer found; installing Debian's ...")
    if apt_install("pgbouncer") and pooler_program():
        return None
    return (
        "No PgBouncer: install it (Debian: apt install pgbouncer); "
        "the tests start their own in front of their cluster."
    )


def node() -> str | None:
    if shutil.which("npm") or (apt_install("nodejs", "npm") and shutil.which("npm")):
        return None
    return (
        "No npm: install Node.js 20 or newer (Debian: apt install nodejs npm); "
        "the tests of the client run in it too."
    )


PARTS: dict[str, Callable[[], str | None]] = {
    "browser": browser,
    "firefox": firefox,
    "postgres": postgres,
    "pooler": pooler,
    "node": node,
}


def main(names: list[str]) -> int:
    sys.path.insert(0, str(Path(__file__).parent.parent))
    missing = [text for name in names if (text := PARTS[name]())]
    for text in missing:
        print(text, file=sys.stderr)
    return 1 if missing else 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
