"""Lists the components of server and client (CycloneDX) and checks them for vulnerabilities.

Usage: python .ci/sbom.py FOLDER, with the Python of `.ci/locks/audit.txt`. Writes
FOLDER/server.cdx.json and FOLDER/client.cdx.json. The exit status is 1 if a vulnerability is known
or a locked component is missing in a list; unreachable advisories are not a failure.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
LOCK = ROOT / ".ci" / "locks" / "run.txt"
VENDOR = ROOT / "static" / "vendor"
PINNED = re.compile(r"^([A-Za-z0-9._-]+)(?:\[[\w,-]+\])?==([^\s;\\]+)", re.MULTILINE)
NOT_CHECKED = "not checked: no network"
ANSWER_S = 120


def run(*command: str, folder: Path = ROOT) -> str:
    """Run a command and return its standard output, whatever its exit status."""
    try:
        done = subprocess.run(
            command, cwd=folder, capture_output=True, text=True, timeout=ANSWER_S, check=False
        )
    except subprocess.TimeoutExpired:
        return ""
    return done.stdout


def read(text: str) -> dict[str, Any]:
    try:
        found = json.loads(text)
    except ValueError:
        return {}
    return found if isinstance(found, dict) else {}


def locked_parts() -> set[tuple[str, str]]:
    """Return (name, version) of the server's locked dependencies."""
    pins = PINNED.findall(LOCK.read_text("utf-8"))
    return {(normal(name), version) for name, version in pins}


def locked_packages() -> set[tuple[str, str]]:
    """Return (name, version) of the locked packages of the client and its build."""
    packages = json.loads((VENDOR / "package-lock.json").read_text("utf-8"))["packages"]
    return {
        (path.rpartition("node_modules/")[2], one["version"])
        for path, one in packages.items()
        if path
    }


def normal(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def listed(document: dict[str, Any]) -> set[tuple[str, str]]:
    """Return (name, version) of the components in a CycloneDX document."""
    return {
        ("/".join(filter(None, (one.get("group"), one["name"]))), one["version"])
        for one in document.get("components", [])
    }


def server_list() -> dict[str, Any]:
    return read(
        run(
            *(sys.executable, "-W", "ignore", "-m", "cyclonedx_py", "requirements", str(LOCK)),
            *("--pyproject", str(ROOT / "pyproject.toml"), "--output-reproducible", "--of", "JSON"),
        )
    )


def client_list(folder: Path) -> dict[str, Any]:
    # npm needs a version for the root package, which static/vendor/package.json does not have.
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    package = json.loads((VENDOR / "package.json").read_text("utf-8"))
    package["version"] = project["version"]
    (folder / "package.json").write_text(json.dumps(package), "utf-8")
    (folder / "package-lock.json").write_bytes((VENDOR / "package-lock.json").read_bytes())
    # Without `--omit=dev`, which would omit the dependencies of build tools too.
    command = ("npm", "sbom", "--package-lock-only", "--sbom-format=cyclonedx")
    return read(run(*command, folder=folder))


def python_flaws(report: dict[str, Any]) -> list[str] | None:
    """Return pip-audit's findings; None if its report lists no component."""
    parts = [one for one in report.get("dependencies", []) if "skip_reason" not in one]
    if not parts:
        return None
    return [
        f"{one['name']} {one['version']}: {flaw['id']}" for one in parts for flaw in one["vulns"]
    ]


def npm_flaws(report: dict[str, Any]) -> list[str] | None:
    """Return npm audit's findings; None if there is no report."""
    if "vulnerabilities" not in report:
        return None
    return [f"{name}: {one['severity']}" for name, one in report["vulnerabilities"].items()]


def say(name: str, flaws: list[str] | None) -> bool:
    """Print the known vulnerabilities; return whether there are none."""
    lines = [NOT_CHECKED] if flaws is None else flaws or ["no known flaw"]
    for line in lines:
        print(f"{name}: {line}")
    return not flaws


def main(out: Path) -> int:
    out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as name:
        lists = {
            "server": (server_list(), locked_parts()),
            "client": (client_list(Path(name)), locked_packages()),
        }
    good = True
    for name, (document, locked) in lists.items():
        (out / f"{name}.cdx.json").write_text(json.dumps(document, indent=1) + "\n", "utf-8")
        if missing := locked - listed(document):
            print(f"{name}: the list of parts lacks {sorted(missing)}", file=sys.stderr)
            good = False
    audit = (sys.executable, "-m", "pip_audit", "--disable-pip", "--require-hashes")
    options = ("--progress-spinner", "off", "--format", "json", "-r", str(LOCK))
    good &= say("server", python_flaws(read(run(*audit, *options))))
    npm = run("npm", "audit", "--package-lock-only", "--json", folder=VENDOR)
    good &= say("client", npm_flaws(read(npm)))
    return 0 if good else 1


if __name__ == "__main__":
    raise SystemExit(main(Path(sys.argv[1])))
