"""What all tests share: no way out to a network, the same random cases each run, people."""

import datetime as dt
import gc
import importlib
import socket
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from unittest import mock
from uuid import uuid4

import django.db.backends.sqlite3.base  # noqa: F401 — needed before its operations
import hypothesis
import pytest
import pytest_django
from django.conf import settings
from django.contrib.auth.models import User
from django.db import transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.backends.base.operations import BaseDatabaseOperations as BaseOperations
from django.db.backends.sqlite3.operations import DatabaseOperations
from django.template.base import Template
from django.test import Client
from django.utils import timezone

import _setup
from patients.models.patient import Patient
from patients.staff.rights import Role
from patients.views.form_marks import house_mark, mark_of
from tests.staff import give_roles

#: Of the anchors of the record (programs.actions.anchors, which no test's start need load).
FILE = "record_anchors.txt"
OUTPUT = Path(__file__).parent / "output"
MARKED_FOLDERS = ("browser", "rendered")
TAKE_LONG = ("browser", "rendered", "slow")
NEVER_COUNTED = ("browser", "slow")
OURS = ("patients.", "safety.", "programs.")
#: Whether the test before this one was counted.
COUNTED = pytest.StashKey[bool]()
SELDOM_COUNTED = (*TAKE_LONG, "long")
#: Tests of pages, of what stands around them and of the product's own text: they try few branches
#: that no shorter test tries.
SELDOM_COUNTED_FOLDERS = {"config", "gate", "hostile", "views"}
LOOPBACK = ("127.0.0.1", "::1", "localhost", None, "")

#: How the served app renders; the tests' own way keeps a copy of each context.
RENDER = Template._render

hypothesis.settings.register_profile("calcar", deadline=None, derandomize=True)
hypothesis.settings.load_profile("calcar")


class WayOut(AssertionError):
    """Something under test tried to reach another machine."""


def pytest_addoption(parser: pytest.Parser) -> None:
    """Take the counts of the long runs, and whether pictures of the pages are wanted."""
    parser.addoption("--people", type=int, default=6, help="people of a simulated year")
    parser.addoption("--posts", type=int, default=300, help="bad forms that are posted")
    parser.addoption(
        "--turns", type=int, default=1, help="turns in which hostile texts change place"
    )
    parser.addoption("--restores", type=int, default=4, help="restores rehearsed in a row")
    told = "kill each action at each statement, not at some"
    parser.addoption("--every-kill", action="store_true", help=told)
    told = "save each page that is looked at, at each width, in tests/output"
    parser.addoption("--pictures", action="store_true", help=told)


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
        if _asks_for_rows(item) and "models" in item.path.parts:
            item.add_marker("database")
        # On PostgreSQL ./check reads no file but these.
        if item.get_closest_marker("database") and not _setup.is_decided_by_database(item.path):
            raise pytest.UsageError(f"{item.path} does not say in its text: mark.database")
        if not _is_counted(item):
            item.add_marker("no_cover")
    # Files that take long first: of two processes, neither then works alone at the end. Those
    # that are not counted come before the others: between the two, all that is remembered goes.
    before = [{item.path for item in items if any(map(item.get_closest_marker, marks))}
              for marks in (TAKE_LONG, ("long",), ("no_cover",))]  # fmt: skip
    items.sort(key=lambda item: [item.path not in one for one in before])


def _is_counted(item: pytest.Item) -> bool:
    """Tell whether the lines that a test runs are counted, which doubles what it takes, or more.

    The short tests are held to full coverage, and of the others those that say so.
    """
    if item.get_closest_marker("counted"):
        return not any(map(item.get_closest_marker, NEVER_COUNTED))
    folders = item.path.relative_to(Path(__file__).parent).parts
    seldom = SELDOM_COUNTED_FOLDERS.intersection(folders)
    return not seldom and not any(map(item.get_closest_marker, SELDOM_COUNTED))


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item: pytest.Item) -> None:
    """Let no counted test find remembered what an uncounted one before it has worked out."""
    counted = item.get_closest_marker("no_cover") is None
    if counted and not item.config.stash.get(COUNTED, False):
        for name, module in [*sys.modules.items()]:
            if name.startswith(OURS):
                for held in vars(module).values():
                    if hasattr(held, "cache_clear") and hasattr(held, "__wrapped__"):
                        held.cache_clear()
    item.config.stash[COUNTED] = counted


def _asks_for_rows(item: pytest.Item) -> bool:
    asked = {"db", "transactional_db"} & {*getattr(item, "fixturenames", ())}
    return bool(asked or item.get_closest_marker("django_db"))


def pytest_collection_finish() -> None:
    """Leave what was collected out of each search for garbage: it stays to the end."""
    gc.collect()
    gc.freeze()


@pytest.fixture(autouse=True, scope="session")
def set_up_once(django_test_environment: None) -> Iterator[None]:
    """Set up what all tests share: in one fixture, for each of them asks for each such one."""
    # Let no page first be imported while a test has put something else in a place it reads.
    importlib.import_module("config.urls")
    # Keep no copy of the context of each template and widget, which no test asks for.
    Template._render = RENDER
    with no_way_out(), emptied_between_tests():
        yield


@contextmanager
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


def begin_a_life(connection: BaseDatabaseWrapper) -> None:
    """Give an emptied database what a migration gave it: else the next page would write it."""
    life = [uuid4().hex, timezone.now().isoformat(sep=" ")]
    with connection.cursor() as cursor:
        cursor.execute("INSERT INTO patients_databaselife (uuid, since) VALUES (%s, %s)", life)


@contextmanager
def emptied_between_tests() -> Iterator[None]:
    """Let a test that commits be emptied afterwards, kept rows included.

    The database itself refuses to delete what is kept for good, and to empty its tables. The
    refusals are set aside for the emptying alone and put back at once.
    """
    empty, empty_there = DatabaseOperations.execute_sql_flush, BaseOperations.execute_sql_flush

    def set_aside(self: DatabaseOperations, sql_list: list[str]) -> None:
        with self.connection.cursor() as cursor:
            refusing = "type = 'trigger' AND name GLOB '*_no_*'"
            cursor.execute(f"SELECT name, sql FROM sqlite_master WHERE {refusing}")
            triggers = cursor.fetchall()
            for name, _ in triggers:
                cursor.execute(f"DROP TRIGGER {name}")
            empty(self, sql_list)
            for _, sql in triggers:
                cursor.execute(sql)
        begin_a_life(self.connection)

    def set_aside_there(self: BaseOperations, sql_list: list[str]) -> None:
        if self.connection.vendor != "postgresql":
            return empty_there(self, sql_list)
        role = "SET LOCAL session_replication_role = replica"
        empty_there(self, [role, *sql_list])
        return begin_a_life(self.connection)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(BaseOperations, "execute_sql_flush", set_aside_there)
        patch.setattr(DatabaseOperations, "execute_sql_flush", set_aside)
        yield


@pytest.fixture(autouse=True)
def no_anchors_of_others() -> None:
    """Begin without the anchors of another test's record."""
    (Path(settings.STATE_DIR) / FILE).unlink(missing_ok=True)


@pytest.fixture(scope="session")
def output() -> Path:
    """Where tests leave pictures and files to look at; git ignores it."""
    OUTPUT.mkdir(exist_ok=True)
    return OUTPUT


PASSWORD = "plain grey tramline"


@pytest.fixture
def clinician(db: None) -> User:
    """A person who may do everything. The password is PASSWORD."""
    return _clinician()


def _clinician() -> User:
    made = User.objects.create_superuser(
        username="m.ferro", password=PASSWORD, first_name="Marta Ferro"
    )
    give_roles(made, Role.CLINICIAN, Role.KEEPER)
    return made


@pytest.fixture(scope="module")
def clinician_of_this_file(
    django_db_setup: None, django_db_blocker: pytest_django.DjangoDbBlocker
) -> Iterator[User]:
    """The same, once for all tests of a file, as is what fixtures of the file write after it.

    Each test takes back what it writes itself, and reads anew what it is given: a row in memory
    is not taken back. Not for files that commit (transaction=True).
    """
    whole = transaction.atomic()
    # Neither is it for an action that wants to be the outermost.
    whole._from_testcase = True  # type: ignore[attr-defined]
    with django_db_blocker.unblock(), whole:
        yield _clinician()
        transaction.set_rollback(True)


class MarkedClient(Client):
    """Sends the marks of a page: of the person whose number a test gives, of this life."""

    def post(self, path: str, data: object = None, *args: object, **more: object) -> object:  # type: ignore[override]
        """Post; a number that nobody has is sent as it is."""
        if isinstance(data, dict) and str(data.get("patient", "")).isdecimal():
            her = Patient.objects.filter(pk=data["patient"]).first()
            data = data | ({"patient": mark_of(her)} if her else {})
        if data is None or (isinstance(data, dict) and "life" not in data):
            data = (data or {}) | {"life": house_mark()}
        return super().post(path, data, *args, **more)  # type: ignore[arg-type]


@pytest.fixture
def client() -> Client:
    """Django's test client, whose forms are marked."""
    return MarkedClient()


@pytest.fixture
def signed_in(client: Client, clinician: User) -> Client:
    """Django's test client with the clinician signed in."""
    client.force_login(clinician)
    return client


@pytest.fixture
def on_the_first_day() -> Iterator[None]:
    """Let it be the morning of 2 March 2026, on which the invented programs begin."""
    now = dt.datetime(2026, 3, 2, 9, 30, tzinfo=dt.UTC)
    with mock.patch.object(timezone, "now", return_value=now):
        yield
