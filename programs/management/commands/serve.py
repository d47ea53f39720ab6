"""Serve the app on this machine."""

from typing import Any

import waitress
from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.core.servers.basehttp import get_internal_wsgi_application


class Command(BaseCommand):
    help = "Serve Calcar on this machine only, until stopped."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--port", type=int, default=8765)

    def handle(self, *args: Any, port: int, **options: Any) -> None:
        try:
            server = waitress.create_server(get_internal_wsgi_application(), **listen_on(port))
        except OSError as error:
            raise CommandError(f"Port {port} cannot be used: {error.strerror}.") from error
        self.stdout.write(f"Calcar: http://127.0.0.1:{port}/   (Ctrl-C to stop)")
        server.run()


def listen_on(port: int) -> dict[str, Any]:
    """Return waitress's settings: the loopback address, four threads, no name in the headers.

    Under TLS a proxy on this machine talks to browsers; only its word on the scheme is taken.
    """
    plain = {"host": "127.0.0.1", "port": port, "threads": 4, "ident": None}
    proxy = {"trusted_proxy": "127.0.0.1", "trusted_proxy_headers": {"x-forwarded-proto"}}
    return plain | proxy if settings.TLS else plain
