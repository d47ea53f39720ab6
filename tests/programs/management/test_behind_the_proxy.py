"""Behind the proxy that does TLS the record names who spoke to it, and no made-up address."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

import pytest
from waitress.proxy_headers import proxy_headers_middleware

from programs.management.commands.serve import listen_on

START = Callable[..., Any]


def address_seen(headers: dict[str, str], came_from: str) -> str:
    """Return the address that the app sees of a request that reaches the server."""
    seen: list[str] = []

    def app(environ: dict[str, Any], start: START) -> Iterable[bytes]:
        seen.append(environ["REMOTE_ADDR"])
        return []

    held = {k: v for k, v in listen_on(8765).items() if k.startswith("trusted_proxy")}
    environ: dict[str, Any] = {
        "REMOTE_ADDR": came_from,
        "wsgi.url_scheme": "http",
        **{f"HTTP_{name.upper().replace('-', '_')}": text for name, text in headers.items()},
    }
    if held:
        proxy_headers_middleware(app, **held)(environ, lambda *_: None)
    else:
        app(environ, lambda *_: None)
    return seen[0]


@pytest.fixture
def tls(settings: Any) -> None:
    settings.TLS = True


@pytest.mark.usefixtures("tls")
def test_the_last_address_that_the_proxy_names_counts() -> None:
    told = {"X-Forwarded-For": "198.51.100.1, 192.0.2.7", "X-Forwarded-Proto": "https"}
    assert address_seen(told, "127.0.0.1") == "192.0.2.7"


@pytest.mark.usefixtures("tls")
def test_nobody_but_the_proxy_is_believed() -> None:
    assert address_seen({"X-Forwarded-For": "198.51.100.1"}, "192.0.2.9") == "192.0.2.9"


def test_without_tls_there_is_no_proxy_to_believe() -> None:
    assert address_seen({"X-Forwarded-For": "198.51.100.1"}, "127.0.0.1") == "127.0.0.1"
