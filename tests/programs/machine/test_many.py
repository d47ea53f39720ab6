"""Several processes of one server: bounds, a process that dies, and an end for all of them."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.request import urlopen

import pytest
from django.core.management import CommandError, call_command

from programs.machine.many import behind_proxy, bounded, most

ROOT = Path(__file__).parents[3]
#: Serves an app that tells which process answers.
SERVER = """
import os, sys, django
django.setup()
from programs.machine.many import serve_in
from programs.management.commands.serve import listen_on
def app(environ, start):
    start("200 OK", [("Content-Type", "text/plain")])
    return [f"{os.getpid()} {environ['REMOTE_ADDR']}".encode()]
serve_in(2, app, listen_on(int(sys.argv[1])))
"""


def answer(app: Any, **environ: str) -> str:
    said: list[str] = []
    list(app({"REMOTE_ADDR": "127.0.0.1", **environ}, lambda status, headers: said.append(status)))
    return said[0]


def plain(environ: dict[str, Any], start: Any) -> list[bytes]:
    start("200 OK", [])
    return [b"ok"]


@pytest.mark.parametrize(
    ("environ", "status"),
    [
        ({}, "200 OK"),
        ({"CONTENT_LENGTH": ""}, "200 OK"),
        ({"CONTENT_LENGTH": "10"}, "200 OK"),
        ({"CONTENT_LENGTH": "11"}, "413 Content Too Large"),
        ({"CONTENT_LENGTH": "-1"}, "413 Content Too Large"),
        ({"HTTP_TRANSFER_ENCODING": "Chunked"}, "411 Length Required"),
    ],
)
def test_what_is_too_large_or_says_no_length_is_refused(
    environ: dict[str, str], status: str
) -> None:
    assert answer(bounded(plain, 10), **environ) == status


def test_a_proxys_word_is_taken_only_where_it_is_trusted() -> None:
    seen: list[str] = []

    def app(environ: dict[str, Any], start: Any) -> list[bytes]:
        seen.append(environ["REMOTE_ADDR"])
        return plain(environ, start)

    told = {"HTTP_X_FORWARDED_FOR": "192.0.2.7", "wsgi.url_scheme": "http"}
    trusted = {
        "trusted_proxy": "127.0.0.1",
        "trusted_proxy_count": 1,
        "trusted_proxy_headers": {"x-forwarded-for"},
    }
    answer(behind_proxy(app, {}), **told)
    answer(behind_proxy(app, trusted), **told)
    assert seen == ["127.0.0.1", "192.0.2.7"]


@pytest.mark.parametrize("number", [0, -1, most() + 1])
def test_a_number_of_processes_that_makes_no_sense(number: int) -> None:
    with pytest.raises(CommandError, match="--processes takes 1 to"):
        call_command("serve", processes=number)


def free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


@pytest.fixture
def served() -> Iterator[tuple[subprocess.Popen[bytes], int]]:
    port = free_port()
    told = os.environ | {"DJANGO_SETTINGS_MODULE": "config.settings_test"}
    server = subprocess.Popen([sys.executable, "-c", SERVER, str(port)], cwd=ROOT, env=told)
    yield server, port
    server.kill()
    server.wait()


def who_answers(port: int) -> int:
    """Return the process that answers, waiting until one does."""
    for _ in range(600):
        try:
            with urlopen(f"http://127.0.0.1:{port}/", timeout=10) as page:
                return int(page.read().split()[0])
        except OSError:
            time.sleep(0.1)
    raise AssertionError("nobody answers")


def there(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


def test_a_process_that_dies_is_replaced_and_all_end_together(
    served: tuple[subprocess.Popen[bytes], int],
) -> None:
    server, port = served
    first = who_answers(port)
    assert first != server.pid
    os.kill(first, signal.SIGKILL)
    after = {who_answers(port) for _ in range(40)}
    assert first not in after
    assert server.poll() is None
    server.terminate()
    assert server.wait(30) == 0
    assert not any(there(pid) for pid in after)
