"""Serve the app on this machine."""

import threading
import webbrowser
from typing import Any

import waitress
from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.core.servers.basehttp import get_internal_wsgi_application
from django.utils import timezone

from programs.actions.anchors import anchor_head
from programs.actions.older_seals import SEAL_THEM, unsealed
from programs.actions.record_check import look_at_the_end
from programs.machine.at_start import look
from programs.machine.folder import in_use
from programs.machine.many import most, serve_in
from programs.machine.press_room import PressRoom, presses_here
from programs.machine.refusals import NotPossible


class Command(BaseCommand):
    help = "Serve Calcar on this machine only, until stopped."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--port", type=int, default=8765)
        told = f"several of the same, to use all cores: 1 to {most()}"
        parser.add_argument("--processes", type=int, default=1, metavar="N", help=told)
        told = "open the page in a browser of this machine"
        parser.add_argument("--open", action="store_true", help=told)

    def handle(
        self, *args: Any, port: int, open: bool = False, processes: int = 1, **options: Any
    ) -> None:
        if not 1 <= processes <= most():
            raise CommandError(f"--processes takes 1 to {most()} on this machine.")
        try:
            # Held for as long as it serves, so that no restore takes place meanwhile.
            with in_use():
                for words in look(now=timezone.now()):
                    self.stdout.write(words)
                self._serve(port, opens=open, processes=processes)
        except NotPossible as refusal:
            raise CommandError(f"Calcar did not start. {refusal}") from refusal

    def _serve(self, port: int, *, opens: bool, processes: int) -> None:
        app = get_internal_wsgi_application()
        try:
            listen = listen_on(port)
            server = waitress.create_server(app, **listen) if processes == 1 else None
        except OSError as error:
            raise CommandError(f"Port {port} cannot be used: {error.strerror}.") from error
        self._look_at_the_record()
        self._tell(port, opens=opens)
        if server is None:
            serve_in(processes, app, listen)
        else:
            room = PressRoom(len(presses_here()))
            room.start()
            try:
                server.run()
            finally:
                room.stop()

    def _tell(self, port: int, *, opens: bool) -> None:
        self.stdout.write(f"Calcar: http://127.0.0.1:{port}/   (Ctrl-C to stop)")
        self.stdout.flush()
        if opens:
            # Beside: some browsers keep whoever opens them waiting.
            page = f"http://127.0.0.1:{port}/"
            threading.Thread(target=open_page, args=(page,), daemon=True).start()

    def _look_at_the_record(self) -> None:
        """Say what does not hold of the end of the record; what is right is anchored.

        It is served all the same: the pages and papers concerned refuse by themselves, and the
        rest of the clinic needs its records.
        """
        broken = look_at_the_end()
        for words in broken:
            self.stderr.write(f"NOT AS IT WAS WRITTEN: {words}")
        if broken:
            self.stderr.write("Tell whoever keeps the database. See all: manage.py check_record")
        if left := unsealed():
            self.stderr.write(f"Signed programs without a keyed seal: {left} {SEAL_THEM}")
        if broken:
            return
        try:
            anchor_head(timezone.now())
        except OSError as error:
            self.stderr.write(f"The file of anchors cannot be written: {error.strerror}.")


def open_page(address: str) -> bool:
    """Open a page in a browser with a window of its own; tell whether there was one."""
    try:
        found = webbrowser.get()
    except webbrowser.Error:
        return False
    # A browser of the terminal would take the terminal, in which Ctrl-C ends the server.
    if type(found) is webbrowser.GenericBrowser:
        return False
    return found.open(address)


#: The largest file that may be sent, twice over; a larger body is refused before it is read.
LARGEST_BODY = 12 * 1024**2
#: Browsers hold a few connections each; those that say nothing for half a minute are closed.
CONNECTIONS, SILENT_S = 500, 30


def listen_on(port: int) -> dict[str, Any]:
    """Return waitress's settings: the loopback address, four threads, no name in the headers.

    Under TLS a proxy on this machine talks to browsers; only its word is taken on the scheme, and
    on the address that it was spoken to from: the last one it names, for it added that itself.
    """
    plain = {"host": "127.0.0.1", "port": port, "threads": 4, "ident": None}
    bounds = {
        "max_request_body_size": LARGEST_BODY,
        "connection_limit": CONNECTIONS,
        "channel_timeout": SILENT_S,
        "cleanup_interval": SILENT_S // 2,
        # select(), the other way, fails from 1024 open files on.
        "asyncore_use_poll": True,
    }
    proxy = {
        "trusted_proxy": "127.0.0.1",
        "trusted_proxy_count": 1,
        "trusted_proxy_headers": {"x-forwarded-proto", "x-forwarded-for"},
    }
    return plain | bounds | (proxy if settings.TLS else {})
