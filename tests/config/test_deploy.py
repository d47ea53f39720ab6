"""The examples for a clinic's own machines: each is read, and names only what is there."""

from __future__ import annotations

import configparser
import re
import shlex
from pathlib import Path
from typing import Any

import pytest
import yaml
from django.core.management import load_command_class

from programs.management.commands.serve import LARGEST_BODY, listen_on

ROOT = Path(__file__).parents[2]
DEPLOY = ROOT / "config" / "deploy"
SETTINGS = (ROOT / "config" / "settings.py").read_text()


def unit() -> configparser.ConfigParser:
    """The systemd unit; a name that comes twice keeps both values, a line each."""

    class Both(dict[str, Any]):
        def __setitem__(self, key: str, value: Any) -> None:
            if isinstance(value, list) and key in self:
                self[key].extend(value)
            else:
                super().__setitem__(key, value)

    read = configparser.ConfigParser(
        strict=False, interpolation=None, delimiters=("=",), dict_type=Both
    )
    read.optionxform = str  # type: ignore[assignment, method-assign]
    read.read_string((DEPLOY / "calcar.service").read_text())
    return read


def serves(words: list[str]) -> dict[str, Any]:
    """Read the options of the command that serves, as it would itself."""
    parser = load_command_class("programs", "serve").create_parser("manage.py", "serve")
    return vars(parser.parse_args(words))


def test_the_unit_starts_what_there_is() -> None:
    service = unit()["Service"]
    python, manage, command, *options = shlex.split(service["ExecStart"])
    at = Path(service["WorkingDirectory"])
    assert Path(python).relative_to(at) == Path(".venv/bin/python")
    assert (ROOT / manage).is_file()
    assert command == "serve"
    assert serves(options)["processes"] == 2
    prepare, option = shlex.split(service["ExecStartPre"])
    assert (ROOT / Path(prepare).relative_to(at)).is_file()
    assert f'"{option}"' in (ROOT / "run").read_text()
    assert service["User"] not in ("", "root")
    assert unit()["Install"]["WantedBy"] == "multi-user.target"


def test_the_units_settings_are_settings() -> None:
    told = dict(one.split("=", 1) for one in unit()["Service"]["Environment"].splitlines())
    assert set(told) == {"CALCAR_STATE", "CALCAR_TLS", "CALCAR_HOSTS"}
    assert all(name in SETTINGS for name in told)
    assert told["CALCAR_STATE"] == f"/var/lib/{unit()['Service']['StateDirectory']}"


def blocks(text: str) -> list[Any]:
    """Read nginx's language: a directive is its words, a block its words and what is in it."""
    tokens = re.findall(r'"[^"]*"|[{};]|[^\s{};]+', re.sub(r"(?m)#.*$", "", text))
    stack: list[list[Any]] = [[]]
    words: list[str] = []
    for token in tokens:
        if token == ";":
            assert words, "a semicolon behind nothing"
            stack[-1].append(words)
            words = []
        elif token == "{":
            assert words, "a block without a name"
            inner: list[Any] = []
            stack[-1].append((words, inner))
            stack.append(inner)
            words = []
        elif token == "}":
            assert not words, f"no semicolon behind {words}"
            stack.pop()
        else:
            words.append(token)
    assert len(stack) == 1, "a block is open, or closed twice"
    assert not words
    return stack[0]


def test_the_proxy_hands_on_what_calcar_asks_for(settings: Any) -> None:
    settings.TLS = True
    found = blocks((DEPLOY / "nginx.conf").read_text())
    named = [(words, inner) for words, inner in found]
    upstream = next(inner for words, inner in named if words[0] == "upstream")
    listens = listen_on(8765)
    assert ["server", f"{listens['host']}:{listens['port']}"] in upstream
    tls = next(inner for words, inner in named if ["listen", "443", "ssl"] in inner)
    assert ["access_log", "off"] in tls, "a code of a telephone can stand in an address"
    assert ["client_max_body_size", f"{LARGEST_BODY // 1024**2}m"] in tls
    location = next(inner for one in tls if isinstance(one, tuple) for inner in [one[1]])
    headers = {one[1].lower() for one in location if one[0] == "proxy_set_header"}
    assert headers >= listens["trusted_proxy_headers"] | {"host"}


@pytest.mark.parametrize("broken", ["server {", "}", "listen 80", "{ }"])
def test_a_broken_proxy_file_is_noticed(broken: str) -> None:
    with pytest.raises((AssertionError, IndexError)):
        blocks(broken)


def test_the_containers_start_what_there_is() -> None:
    read = yaml.safe_load((DEPLOY / "compose.yaml").read_text())
    calcar, database = read["services"]["calcar"], read["services"]["database"]
    run, *options = calcar["command"]
    assert (ROOT / run).is_file()
    assert all(f'"{one}"' in (ROOT / "run").read_text() for one in options if one[0] == "-")
    assert (DEPLOY / calcar["volumes"][0].split(":")[0]).resolve() == ROOT
    ours = {name for name in calcar["environment"] if name.startswith("CALCAR_")}
    assert all(name in SETTINGS for name in ours)
    assert calcar["depends_on"]["database"]["condition"] == "service_healthy"
    assert all(port.startswith("127.0.0.1:") for port in database["ports"])
    for service in (calcar, database):
        assert set(service["secrets"]) <= set(read["secrets"])
        kept = [one.split(":")[0] for one in service["volumes"] if not one.startswith(".")]
        assert set(kept) <= set(read["volumes"])
