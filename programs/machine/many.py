"""The app in several processes on this machine: gunicorn starts them, and another for each that
dies; they end together.

What one process of the other server does by itself is laid around the app here: a body that is too
large is refused before it is read, and a proxy's word on the address is taken under TLS alone.
"""

from __future__ import annotations

import math
import os
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from django.db import connections
from gunicorn.app.base import BaseApplication
from waitress.proxy_headers import proxy_headers_middleware

from programs.machine.press_room import PressRoom, presses_here

WSGI = Callable[[dict[str, Any], Callable[..., Any]], Iterable[bytes]]
#: More processes than this for each core only wait for one another.
MOST_EACH_CORE = 4


def most() -> int:
    """Return how many processes this machine may be asked for."""
    return MOST_EACH_CORE * (os.cpu_count() or 1)


def bounded(app: WSGI, largest: int) -> WSGI:
    """Return the app behind a refusal of what is too large, or does not say how large it is."""

    def refusing(environ: dict[str, Any], start: Callable[..., Any]) -> Iterable[bytes]:
        length = environ.get("CONTENT_LENGTH") or "0"
        if "chunked" in environ.get("HTTP_TRANSFER_ENCODING", "").lower():
            return _refused(start, "411 Length Required")
        if not length.isdecimal() or int(length) > largest:
            return _refused(start, "413 Content Too Large")
        return app(environ, start)

    return refusing


def _refused(start: Callable[..., Any], status: str) -> Iterable[bytes]:
    start(status, [("Content-Type", "text/plain"), ("Connection", "close")])
    return [status.encode()]


def behind_proxy(app: WSGI, trusted: Mapping[str, Any]) -> WSGI:
    """Return the app that takes a proxy's word, as the server of one process is told to."""
    held: WSGI = proxy_headers_middleware(app, **trusted) if trusted else app
    return held


class Several(BaseApplication):  # type: ignore[misc]
    """The app with gunicorn's settings, none of which is read from a file or the environment."""

    def __init__(self, app: WSGI, settings: Mapping[str, Any]) -> None:
        self.app, self.settings = app, settings
        super().__init__()

    def load_config(self) -> None:
        """Set what was handed in."""
        for name, value in self.settings.items():
            self.cfg.set(name, value)

    def load(self) -> WSGI:
        """Return the app."""
        return self.app


def _with_presses(processes: int) -> dict[str, Any]:
    """Return the settings by which each process begins its part of the presses once it is there."""
    room = PressRoom(math.ceil(len(presses_here()) / processes))
    return {
        "post_worker_init": lambda worker: room.start(),
        "worker_exit": lambda server, worker: room.stop(),
    }


def serve_in(processes: int, app: WSGI, listen: Mapping[str, Any]) -> None:
    """Serve until stopped; does not return.

    listen   what the server of one process is given
    """
    # No process shares a connection that another one opened.
    connections.close_all()
    trusted = {name: value for name, value in listen.items() if name.startswith("trusted_proxy")}
    settings = {
        "bind": f"{listen['host']}:{listen['port']}",
        "workers": processes,
        "worker_class": "gthread",
        "threads": listen["threads"],
        "worker_connections": listen["connection_limit"],
        "keepalive": 5,
        # A paper is made within a minute; what takes longer than two has hung.
        "timeout": 120,
        "graceful_timeout": 10,
        # The scheme and the address are the proxy's word, taken around the app.
        "forwarded_allow_ips": "",
        "secure_scheme_headers": {},
        "control_socket_disable": True,
        **_with_presses(processes),
    }
    around = bounded(behind_proxy(app, trusted), listen["max_request_body_size"])
    Several(around, settings).run()
