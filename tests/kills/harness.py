"""Kills a process at each statement of an action, and looks at what the database then holds.

The action runs in a child process on a copy of the database. The child ends itself, as the system
would end it, just before a statement or just before or after the end of a transaction. What is
left must be as before the action or as after one of its transactions: never half, and nothing
lost whose transaction had ended.
"""

from __future__ import annotations

import json
import os
import shutil
import traceback
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from django.apps import apps
from django.conf import settings
from django.db import DEFAULT_DB_ALIAS, connection, connections
from django.test import override_settings

from programs.actions.record_check import look_over
from programs.machine.connections import led_to, opened

Step = Callable[[], object]
#: What a child ends with where it was killed, was done, or failed by itself.
KILLED, DONE, FAILED = 9, 0, 1
_COPY = "calcar_killed"


@dataclass(frozen=True)
class Held:
    """What a database holds: rows by table, and a digest of every value where it was asked for."""

    rows: dict[str, int]
    values: str


@dataclass
class Told:
    """What came of the kills of one action: how many, and what was found wrong, in words."""

    kills: int = 0
    transactions: int = 0
    broken: list[str] = field(default_factory=list)


def held(using: str = DEFAULT_DB_ALIAS, *, values: bool = True) -> Held:
    """Return what a database holds."""
    rows, all_values = {}, []
    for model in apps.get_models():
        if not model._meta.managed or model._meta.proxy:
            continue
        found = [*model._base_manager.using(using).order_by("pk").values_list()]
        rows[model._meta.label] = len(found)
        all_values.append(repr(found) if values else "")
    return Held(rows=rows, values="\n".join(all_values))


def killed_everywhere(step: Step, places: Iterable[int] | None = None) -> Told:
    """Kill an action at each of its places, each time on a copy of what is there.

    places   in percent of all: some of them instead of all

    The database in use is left as it was. Raises AssertionError where the action itself fails.
    """
    before = held()
    with _copy() as name:
        code, said = _in_child(step, name, kill_at=None)
        assert code == DONE, said
        ran = json.loads(said)
    told = Told(transactions=len(ran["commits"]))
    for place in range(1, ran["count"] + 1) if places is None else _spread(ran["count"], places):
        ended = [rows for after, rows in ran["commits"] if after <= place]
        with _copy() as name:
            code, _ = _in_child(step, name, kill_at=place)
            told.kills += 1
            wrong = _found_wrong(name, code, before, ended)
            told.broken += [f"{place} of {ran['count']}: {one}" for one in wrong]
    return told


def _spread(ticks: int, places: Iterable[int]) -> list[int]:
    """Return some places of all; the last, after all has ended, is always among them."""
    return sorted({ticks, *(max(1, ticks * place // 100) for place in places)})


def _found_wrong(name: str, code: int, before: Held, ended: list[dict[str, int]]) -> Iterator[str]:
    """Yield what is not as it was before, or as the last transaction that ended had left it."""
    if code != KILLED:
        yield "it was not killed"
        return
    with led_to(name), state_of(name):
        now = held()
        if not ended and now != before:
            yield "something is there of what had not ended"
        if ended and now.rows != ended[-1]:
            other = {k: n for k, n in now.rows.items() if n != ended[-1][k]}
            yield f"half of it is there: {other}"
        yield from look_over().broken


# --- The child ------------------------------------------------------------------------------


def _in_child(step: Step, name: str, kill_at: int | None) -> tuple[int, str]:
    """Run a step on a copy in a process of its own; return how it ended and what it wrote down."""
    connections.close_all()
    reads, writes = os.pipe()
    child = os.fork()
    if child == 0:
        _run(step, name, kill_at, writes)
    os.close(writes)
    with os.fdopen(reads) as told:
        said = told.read()
    _, status = os.waitpid(child, 0)
    return os.waitstatus_to_exitcode(status), said


def _run(step: Step, name: str, kill_at: int | None, writes: int) -> None:
    """Be the child: it never comes back."""
    code, said = FAILED, ""
    try:
        with led_to(name), state_of(name), _ticking(kill_at) as clock:
            step()
            code, said = DONE, json.dumps({"count": clock.count, "commits": clock.commits})
    except BaseException:
        said = traceback.format_exc()
    os.write(writes, said.encode())
    os._exit(code)


@dataclass
class _Clock:
    """Counts the places at which a process may end, and ends it at one of them."""

    kill_at: int | None
    count: int = 0
    commits: list[tuple[int, dict[str, int]]] = field(default_factory=list)

    def tick(self) -> None:
        self.count += 1
        if self.count == self.kill_at:
            os._exit(KILLED)

    def statement(self, execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        self.tick()
        return execute(sql, params, many, context)


@contextmanager
def _ticking(kill_at: int | None) -> Iterator[_Clock]:
    clock, commit = _Clock(kill_at), connection._commit

    def counted() -> Any:
        clock.tick()
        done = commit()
        clock.tick()
        if kill_at is None:
            # By a connection beside it: this one is between two transactions.
            with opened(connection.settings_dict["NAME"]) as beside:
                clock.commits.append((clock.count, held(beside, values=False).rows))
        return done

    connection._commit = counted
    with connection.execute_wrapper(clock.statement):
        yield clock
    del connection._commit


# --- Copies ---------------------------------------------------------------------------------


def folder_of(name: str) -> Path:
    """Return where the state folder of a copy lies: the anchors of the record stand there."""
    return Path(settings.STATE_DIR).with_name(f"{Path(name).name}-state")


def state_of(name: str) -> override_settings:
    return override_settings(STATE_DIR=folder_of(name))


@contextmanager
def _copy() -> Iterator[str]:
    """Give the name of a copy of the database in use, which nobody has open."""
    with _copy_of_database() as name:
        Path(settings.STATE_DIR).mkdir(exist_ok=True)
        shutil.copytree(settings.STATE_DIR, folder_of(name))
        try:
            yield name
        finally:
            shutil.rmtree(folder_of(name))


@contextmanager
def _copy_of_database() -> Iterator[str]:
    here = str(connection.settings_dict["NAME"])
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        connections.close_all()
        copy = Path(f"{here}.{_COPY}")
        shutil.copyfile(here, copy)
        try:
            yield str(copy)
        finally:
            connections.close_all()
            for ending in ("", "-wal", "-shm"):
                Path(f"{copy}{ending}").unlink(missing_ok=True)
        return
    copy_name = f"{here}_{_COPY}"
    connections.close_all()
    # As files: written to its log, as newer servers do, a small database takes twice as long.
    by_files = "STRATEGY FILE_COPY" if connection.pg_version >= 150000 else ""
    _on_server(f'CREATE DATABASE "{copy_name}" TEMPLATE "{here}" {by_files}')
    try:
        yield copy_name
    finally:
        connections.close_all()
        _on_server(f'DROP DATABASE "{copy_name}" WITH (FORCE)')


def _on_server(sql: str) -> None:
    with connection._nodb_cursor() as cursor:
        cursor.execute(sql)
