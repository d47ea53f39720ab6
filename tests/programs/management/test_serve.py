"""The server: what it is given, what stops it, and what it says while it is stopped."""

from __future__ import annotations

import socket
import threading
from collections.abc import Iterator
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
import waitress
from django.core.management import CommandError, call_command

from programs.machine.folder import alone
from programs.machine.refusals import NotPossible
from programs.management.commands import serve
from programs.management.commands.serve import CONNECTIONS, LARGEST_BODY, listen_on


@pytest.fixture
def started(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What the command does, with the look at the machine and the server itself left out."""
    settings.STATE_DIR = tmp_path
    done: list[str] = []

    class Room:
        def start(self) -> None:
            done.append("presses")

        def stop(self) -> None:
            done.append("no presses")

    class Server:
        def run(self) -> None:
            with pytest.raises(NotPossible, match="Calcar is running"), alone():
                pass
            done.append("served")

    monkeypatch.setattr(serve, "look", lambda now: done.append("looked") or ["Mind the disk."])
    # The record has tests of its own; these ask no database.
    monkeypatch.setattr(serve, "look_at_the_end", tuple)
    monkeypatch.setattr(serve, "unsealed", int)
    monkeypatch.setattr(serve, "anchor_head", lambda at: None)
    monkeypatch.setattr(serve.waitress, "create_server", lambda app, **_: Server())
    monkeypatch.setattr(serve, "PressRoom", lambda presses: Room())
    return done


def test_it_looks_first_and_holds_the_folder_while_it_serves(started: list[str]) -> None:
    said = StringIO()
    call_command("serve", stdout=said)
    assert started == ["looked", "presses", "served", "no presses"]
    assert said.getvalue().splitlines()[0] == "Mind the disk."
    with alone():
        pass


def test_o01_it_does_not_start_during_a_restore(started: list[str]) -> None:
    """O01: a copy was put in under open connections."""
    with alone(), pytest.raises(CommandError, match="A restore is going on"):
        call_command("serve", stdout=StringIO())
    assert started == []


def test_what_stops_it_is_a_sentence(started: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    def stops(now: object) -> list[str]:
        raise NotPossible("The disk is full.")

    monkeypatch.setattr(serve, "look", stops)
    with pytest.raises(CommandError, match=r"Calcar did not start\. The disk is full\."):
        call_command("serve", stdout=StringIO())
    assert started == []


def test_a_port_that_cannot_be_used(
    settings: Any, tmp_path: Path, started: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(app: object, **_: object) -> None:
        raise OSError(98, "Address already in use")

    monkeypatch.setattr(serve.waitress, "create_server", fails)
    with pytest.raises(CommandError, match="Port 8765 cannot be used: Address already in use"):
        call_command("serve", stdout=StringIO())


def test_a_proxy_is_believed_only_under_tls(settings: Any) -> None:
    settings.TLS = False
    assert "trusted_proxy" not in listen_on(8765)
    settings.TLS = True
    assert listen_on(8765)["trusted_proxy"] == "127.0.0.1"


class TestBounds:
    """waitress with the app's settings and an app that only answers."""

    @pytest.fixture
    def port(self, settings: Any) -> Iterator[int]:
        settings.TLS = False

        def app(environ: dict[str, Any], start_response: Any) -> list[bytes]:
            start_response("200 OK", [("Content-Length", "2")])
            return [b"ok"]

        server, enough = waitress.create_server(app, **listen_on(0)), threading.Event()

        def run() -> None:
            poll = server.adj.asyncore_use_poll
            while not enough.is_set():
                server.asyncore.loop(timeout=0.05, map=server._map, use_poll=poll, count=1)

        thread = threading.Thread(target=run)
        thread.start()
        yield int(server.effective_port)
        enough.set()
        thread.join()
        server.task_dispatcher.shutdown()
        server.close()
        for channel in [*server._map.values()]:
            channel.close()

    def ask(self, port: int, head: bytes) -> bytes:
        with socket.create_connection(("127.0.0.1", port), timeout=10) as one:
            one.sendall(head)
            return one.recv(100)

    def test_half_open_connections_stop_nobody(self, port: int) -> None:
        assert CONNECTIONS > 200
        half = [socket.create_connection(("127.0.0.1", port)) for _ in range(110)]
        try:
            for one in half:
                one.sendall(b"GET / HTTP/1.1\r\nHost: local")
            assert b"200 OK" in self.ask(port, b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n")
        finally:
            for one in half:
                one.close()

    def test_a_huge_body_is_refused_before_it_is_read(self, port: int) -> None:
        head = b"POST /sign-in/ HTTP/1.1\r\nHost: localhost\r\nContent-Length: %d\r\n\r\n"
        assert b"413" in self.ask(port, head % (300 * 1024**2))
        assert b"413" in self.ask(port, head % LARGEST_BODY)


class Browser:
    """A browser that only tells what it was asked to open."""

    def __init__(self) -> None:
        self.opened: list[str] = []

    def open(self, address: str) -> bool:
        self.opened.append(address)
        return True


def test_it_opens_its_page_only_where_it_was_asked_to(
    started: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[str] = []

    class AtOnce:
        """A thread that has ended when it has started."""

        def __init__(self, *, target: Any, args: Any, daemon: bool) -> None:
            self.start = lambda: target(*args)

    monkeypatch.setattr(serve.threading, "Thread", AtOnce)
    monkeypatch.setattr(serve, "open_page", opened.append)
    call_command("serve", port=8399, stdout=StringIO())
    assert opened == []
    call_command("serve", port=8399, open=True, stdout=StringIO())
    assert opened == ["http://127.0.0.1:8399/"]


def test_a_browser_with_a_window_is_opened(monkeypatch: pytest.MonkeyPatch) -> None:
    browser = Browser()
    monkeypatch.setattr(serve.webbrowser, "get", lambda: browser)
    assert serve.open_page("http://127.0.0.1:1/")
    assert browser.opened == ["http://127.0.0.1:1/"]


def test_without_a_browser_or_with_one_of_the_terminal_nothing_is_opened(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def none() -> object:
        raise serve.webbrowser.Error("no browser")

    monkeypatch.setattr(serve.webbrowser, "get", none)
    assert not serve.open_page("http://127.0.0.1:1/")
    in_terminal = serve.webbrowser.GenericBrowser(["false"])
    monkeypatch.setattr(serve.webbrowser, "get", lambda: in_terminal)
    assert not serve.open_page("http://127.0.0.1:1/")
