"""What all tests share: no way out to a network, the same random cases each run, people."""

import gc
import importlib
import socket
from collections.abc import Iterator
from pathlib import Path

import django.db.backends.sqlite3.base  # noqa: F401 — needed before its operations
import hypothesis
import pytest
from django.contrib.auth.models import User
from django.db.backends.sqlite3.operations import DatabaseOperations
from django.template.base import Template
from django.test import Client

OUTPUT = Path(__file__).parent / "output"
MARKED_FOLDERS = ("browser", "rendered")
TAKE_LONG = ("browser", "rendered", "slow")
LOOPBACK = ("127.0.0.1", "::1", "localhost", None, "")

#: How the served app renders; the tests' own way keeps a copy of each context.
RENDER = Template._render

hypothesis.settings.register_profile("calcar", deadline=None, derandomize=True)
hypothesis.settings.load_profile("calcar")


class WayOut(AssertionError):
    """Something under test tried to reach another machine."""


@pytest.hookimpl(tryfirst=True)
def pytest_sessionstart(session: pytest.Session) -> None:
    """In each of two processes stop the count of lines that pytest-cov begins too early.

    It begins one more when the session starts; under that, the first would go on counting,
    for nothing, through every test marked no_cover.
    """
    counting = session.config.pluginmanager.getplugin("_cov")
    if counting is not None and hasattr(session.config, "workerinput"):
        counting.cov_controller.cov.stop()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        for folder in MARKED_FOLDERS:
            if folder in item.path.parts:
                item.add_marker(folder)
        # Thousands of examples, or a browser, take three times as long when each line is
        # counted; the short tests alone are held to full coverage.
        if item.get_closest_marker("slow") or item.get_closest_marker("browser"):
            item.add_marker("no_cover")
    # Files that take long first: of two processes, neither then works alone at the end.
    long = {item.path for item in items if any(map(item.get_closest_marker, TAKE_LONG))}
    items.sort(key=lambda item: item.path not in long)


def pytest_collection_finish() -> None:
    """Leave what was collected out of each search for garbage: it stays to the end."""
    gc.collect()
    gc.freeze()


@pytest.fixture(autouse=True, scope="session")
def no_way_out() -> Iterator[None]:
    """Refuse every connection and look-up but those of this machine."""
    connect, connect_ex, look_up = (
        socket.socket.connect,
        socket.socket.connect_ex,
        socket.getaddrinfo,
    )

    def stay_here(address: object) -> None:
        host = address[0] if isinstance(address, tuple) else None
        if host not in LOOPBACK:
            raise WayOut(f"a connection to {host}")

    def guarded_connect(self: socket.socket, address: object) -> None:
        stay_here(address)
        connect(self, address)

    def guarded_connect_ex(self: socket.socket, address: object) -> int:
        stay_here(address)
        return connect_ex(self, address)

    def guarded_look_up(host: object, *args: object, **kwargs: object) -> object:
        stay_here((host,))
        return look_up(host, *args, **kwargs)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(socket.socket, "connect", guarded_connect)
        patch.setattr(socket.socket, "connect_ex", guarded_connect_ex)
        patch.setattr(socket, "getaddrinfo", guarded_look_up)
        yield


@pytest.fixture(autouse=True, scope="session")
def emptied_between_tests() -> Iterator[None]:
    """Let a test that commits be emptied afterwards on SQLite, kept rows included.

    The database itself refuses to delete what is kept for good, and emptying a table there is
    a delete. The refusals are set aside for the emptying alone and put back at once.
    """
    empty = DatabaseOperations.execute_sql_flush

    def set_aside(self: DatabaseOperations, sql_list: list[str]) -> None:
        with self.connection.cursor() as cursor:
            cursor.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
            triggers = cursor.fetchall()
            for name, _ in triggers:
                cursor.execute(f"DROP TRIGGER {name}")
            empty(self, sql_list)
            for _, sql in triggers:
                cursor.execute(sql)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(DatabaseOperations, "execute_sql_flush", set_aside)
        yield


@pytest.fixture(autouse=True, scope="session")
def render_as_served(django_test_environment: None) -> None:
    """Keep no copy of the context of each template and widget, which no test asks for."""
    Template._render = RENDER


@pytest.fixture(autouse=True, scope="session")
def every_page_imported(django_test_environment: None) -> None:
    """Let no page first be imported while a test has put something else in a place it reads."""
    importlib.import_module("config.urls")


@pytest.fixture(scope="session")
def output() -> Path:
    """Where tests leave pictures and files to look at; git ignores it."""
    OUTPUT.mkdir(exist_ok=True)
    return OUTPUT


PASSWORD = "plain grey tramline"


@pytest.fixture
def clinician(db: None) -> User:
    """A person who may do everything. The password is PASSWORD."""
    return User.objects.create_superuser(
        username="m.ferro", password=PASSWORD, first_name="Marta Ferro"
    )


@pytest.fixture
def signed_in(client: Client, clinician: User) -> Client:
    """Django's test client with the clinician signed in."""
    client.force_login(clinician)
    return client
