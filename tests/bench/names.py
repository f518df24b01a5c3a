"""Print how accurately wine names are mapped to styles: ``python -m tests.bench.names``."""

import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def main() -> int:
    node = shutil.which("node")
    if node is None:
        print("Node is needed", file=sys.stderr)
        return 1
    return subprocess.run([node, "tests/names/accuracy.mjs"], cwd=ROOT, check=False).returncode


if __name__ == "__main__":
    sys.exit(main())
