"""The files for hosting: container, compose file and systemd units agree with the program."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner

from webapp.cli import main
from webapp.config import ENVIRONMENT

ROOT = Path(__file__).parents[2]
CONTAINER = (ROOT / ".ci/container/Containerfile").read_text("utf-8").replace("\\\n", " ")
COMPOSE = yaml.safe_load((ROOT / ".ci/container/compose.yaml").read_text("utf-8"))
UNITS = sorted((ROOT / ".ci/systemd").iterdir())


def instructions(name: str) -> list[str]:
    return re.findall(rf"^{name}\s+(.*)$", CONTAINER, re.MULTILINE)


def test_container_copies_files_that_exist() -> None:
    ignored = (ROOT / ".dockerignore").read_text("utf-8").splitlines()
    sources = [
        name
        for line in instructions("COPY")
        if not line.startswith("--from")
        for name in line.split()[:-1]
    ]
    assert sources
    for name in sources:
        assert (ROOT / name).exists(), name
        assert f"!{name}" in ignored, name


def test_container_installs_by_hash_and_runs_without_root() -> None:
    assert "--require-hashes -r /tmp/run.txt" in CONTAINER
    assert instructions("USER") == ["10001"]
    assert all(":latest" not in one and ":" in one for one in instructions("FROM"))
    assert instructions("VOLUME") == ["/data"]


def test_container_command_and_settings_exist() -> None:
    [command] = [json.loads(line) for line in instructions("CMD")]
    options = {one.opts[0] for one in main.commands[command[0]].params}
    assert {one for one in command if one.startswith("--")} <= options
    named = {one.partition("=")[0] for line in instructions("ENV") for one in line.split()}
    assert {one for one in named if not one.startswith("PYTHON")} <= {*ENVIRONMENT.values()}


def test_container_health_check_asks_the_served_port() -> None:
    [check] = instructions("HEALTHCHECK")
    call = json.loads(check.partition("CMD ")[2])
    port = json.loads(instructions("CMD")[0])[-1]
    assert f"127.0.0.1:{port}/readyz" in call[-1]
    assert instructions("EXPOSE") == [port]
    compile(call[-1], "health check", "exec")


def test_compose_file_limits_the_container() -> None:
    app = COMPOSE["services"]["app"]
    assert app["read_only"] is True
    assert app["cap_drop"] == ["ALL"]
    assert app["security_opt"] == ["no-new-privileges:true"]
    assert [one.split(":")[0] for one in app["ports"]] == ["127.0.0.1"]
    assert app["volumes"] == ["data:/data"]
    assert set(app["environment"]) <= {*ENVIRONMENT.values()}


def test_unit_commands_and_settings_exist() -> None:
    for unit in UNITS:
        text = unit.read_text("utf-8")
        for line in re.findall(r"^ExecStart=(.*)$", text, re.MULTILINE):
            _, command, *arguments = line.split()
            options = {one.opts[0] for one in main.commands[command].params}
            assert {one for one in arguments if one.startswith("--")} <= options, unit.name
        named = re.findall(
            r"(\w+)=", " ".join(re.findall(r"^Environment=(.*)$", text, re.MULTILINE))
        )
        assert {*named} <= {*ENVIRONMENT.values()}, unit.name
    assert CliRunner().invoke(main, ["backup", "--help"]).exit_code == 0


def test_guide_runs_commands_on_the_database_of_the_units() -> None:
    guide = (ROOT / "webapp/commands/README.md").read_text("utf-8")
    program = "/opt/secondnose/bin/secondnose"
    [add] = re.findall(rf"sudo -u secondnose env (DATABASE_URL=\S+) {program} user add", guide)
    services = [one.read_text("utf-8") for one in UNITS if one.suffix == ".service"]
    assert len(services) == 2
    for unit in services:
        assert f"\nEnvironment={add}\n" in unit
        assert f"\nExecStart={program} " in unit
    # The service needs the owner's passphrase.
    assert guide.index(add) < guide.index("systemctl enable --now")


def test_guide_installs_from_the_source() -> None:
    """Check that no command asks a registry, where the name may be anybody's."""
    for guide in ("README.md", "webapp/commands/README.md"):
        found = re.findall(r"pip install '?([^'`\s]+)", (ROOT / guide).read_text("utf-8"))
        assert found
        assert {one.partition("[")[0] for one in found} == {"."}, guide


def test_guide_restores_on_the_server_that_it_dumped() -> None:
    guide = (ROOT / "webapp/commands/README.md").read_text("utf-8")
    [options] = re.findall(r"    createdb (.+) -O secondnose secondnose_back\n", guide)
    for command in ("pg_dump -Fc -f book.dump", "pg_restore .+ -d"):
        found = re.search(rf"    {command} postgresql://(\w+)@([\w.]+)/", guide)
        assert found is not None
        assert options == f"-h {found[2]} -U {found[1]}"


@pytest.mark.skipif(shutil.which("systemd-analyze") is None, reason="needs systemd")
def test_units_are_valid_for_systemd(tmp_path: Path) -> None:
    """Check the units with a program in place of the one that would be installed."""
    for unit in UNITS:
        text = unit.read_text("utf-8").replace("/opt/secondnose/bin/secondnose", "/bin/true")
        (tmp_path / unit.name).write_text(text.replace("User=secondnose", "User=daemon"))
    found = subprocess.run(
        ["systemd-analyze", "verify", *map(str, sorted(tmp_path.iterdir()))],
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert (found.returncode, found.stderr) == (0, "")
