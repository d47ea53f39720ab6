"""A database of each release, brought to today: all of it still holds, reads and opens.

Each folder tests/snapshots/release_* has what a clinic would have: the database, as SQL text for
SQLite and for PostgreSQL, and the key that sealed its record; and what was true of it then.
"""

import gzip
import json
import os
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

from safety.rules.all_rules import RULEBOOK
from tests.schema import schema

ROOT = Path(__file__).parents[1]
RELEASES = sorted((ROOT / "tests" / "snapshots").glob("release_*"))
ADDRESS = os.environ.get("DATABASE_URL", "")
#: No link leads there from what the releases hold: a file parked for a day, a copy of a plate
#: that only a POST makes, the blank form of questions, the draft without one kind that was stopped
#: (there was none), a discharge, two records of one person, a session on another browser,
#: one-time codes to take away from somebody who has them, and a patient's own phone.
NOT_REACHED = {
    *("patients:import_file", "patients:import_people_file"),
    *("programs:log_file", "programs:plate_recorded"),
    *("programs:fit_copy", "programs:questionnaire", "programs:how_far"),
    *("programs:stop_draft", "programs:print_discharge"),
    *("patients:join", "patients:looked", "patients:apart", "patients:end_session"),
    "patients:person_codes",
    *("programs:her_day", "programs:her_code", "programs:phone_end"),
    "programs:asked_answer",
}
#: Of a page that opens, that leads on, that only takes a POST, and that says that there is no
#: open draft any more.
SOUND = {"200", "204", "302", "405", "409"}

#: Record number and version of what each release had in force whose paper tells more than today's
#: rulebook allows; all of REL-03 was stopped. Only added to.
LOOK_AGAIN = {
    "release_2026_2": {
        *("DEMO-01 1", "DEMO-02 1", "REL-01 2", "REL-02 1", "REL-06 1", "REL-07 1"),
    }
}
#: What its papers told of a weight, by repetitions and those left, while another percent was meant.
TOO_HEAVY = "a weight that could be lifted 10 times: 82 %"

pytestmark = [pytest.mark.slow, pytest.mark.database]


@pytest.fixture(scope="module", params=RELEASES, ids=lambda folder: folder.name)
def expected(request: pytest.FixtureRequest) -> dict[str, Any]:
    """What was true of a release's database when it was kept; "folder" is where it lies."""
    told: dict[str, Any] = json.loads((request.param / "expected.json").read_text())
    return {"folder": request.param, **told}


@pytest.fixture(scope="module")
def today(expected: dict[str, Any], tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """What is true of it now, migrated (tests/opened_release.py)."""
    state = tmp_path_factory.mktemp(expected["folder"].name)
    (state / "secret_key").write_text((expected["folder"] / "secret_key").read_text())
    with loaded(expected["folder"], state) as address:
        return opened(state, address)


@contextmanager
def loaded(folder: Path, state: Path) -> Iterator[dict[str, str]]:
    """Load the database of the kind that these tests run on; give what the app is told of it."""
    if not ADDRESS.startswith("postgres"):
        with closing(sqlite3.connect(state / "calcar.sqlite3")) as database:
            database.executescript(text_of(folder / "sqlite.sql.gz"))
        yield {}
        return
    name = f"{folder.name}_{os.getpid()}"
    with on_the_server("postgres") as server:
        server.execute(f"CREATE DATABASE {name}")
        try:
            with on_the_server(name) as database:
                database.execute(text_of(folder / "postgresql.sql.gz"))
            yield {"DATABASE_URL": urlsplit(ADDRESS)._replace(path=f"/{name}").geturl()}
        finally:
            server.execute(f"DROP DATABASE {name} WITH (FORCE)")


def text_of(path: Path) -> str:
    return gzip.decompress(path.read_bytes()).decode()


def on_the_server(name: str) -> Any:
    """Return a connection to a database beside that of the tests."""
    import psycopg
    from psycopg.conninfo import make_conninfo

    return psycopg.connect(make_conninfo(ADDRESS, dbname=name), autocommit=True)


def opened(state: Path, address: dict[str, str]) -> dict[str, Any]:
    kept = {key: held for key, held in os.environ.items() if not key.startswith("CALCAR_")}
    kept.pop("DATABASE_URL", None)
    served = {
        "DJANGO_SETTINGS_MODULE": "config.settings",
        "CALCAR_STATE": str(state),
        "CALCAR_TIME_ZONE": "Europe/London",
    }
    done = subprocess.run(
        [sys.executable, "-m", "tests.opened_release"],
        cwd=ROOT,
        env=kept | served | address,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    told: dict[str, Any] = json.loads(done.stdout)
    return told


def test_there_is_a_release() -> None:
    assert RELEASES


def test_the_record_holds_to_its_last_line(expected: dict[str, Any], today: dict[str, Any]) -> None:
    assert today["record_broken"] == "None"
    kept = expected["record"]
    assert today["record"][str(kept["lines"])] == kept["last_seal"]


def test_no_row_is_lost(expected: dict[str, Any], today: dict[str, Any]) -> None:
    fewer = {
        table: (held, today["rows"].get(table))
        for table, held in expected["rows"].items()
        if today["rows"].get(table, -1) < held
    }
    assert fewer == {}


def test_every_signed_text_reads_the_same(expected: dict[str, Any], today: dict[str, Any]) -> None:
    assert today["signed_broken"] == "None"
    wanted = [{**one, "digest_of_text": one["digest"]} for one in expected["signed"]]
    assert today["signed"] == wanted


def test_what_tells_more_than_is_allowed_today_is_listed(
    expected: dict[str, Any], today: dict[str, Any]
) -> None:
    """By the command, once; with the words that differ."""
    again = today["look_again"]
    assert set(again["listed"]) == LOOK_AGAIN[expected["folder"].name]
    assert TOO_HEAVY in " ".join(again["listed"]["REL-01 2"])
    first, second = again["said"]
    assert f"Held against rulebook {RULEBOOK}: {again['held']}." in first
    assert f"Held against rulebook {RULEBOOK}: 0." in second


def test_everybody_is_screened_anew_once(today: dict[str, Any]) -> None:
    """By the newer rulebook; whoever is without facts is named."""
    anew = today["rescreened"]
    first, second = anew["said"]
    assert f"People: {anew['people']}. Rescreened: {anew['kept']}." in first
    assert 0 < anew["kept"] <= anew["people"]
    assert "tells" in first
    assert second.startswith("Nothing is newer than the last screens")


def test_nothing_of_what_differs_is_printed_anew(
    expected: dict[str, Any], today: dict[str, Any]
) -> None:
    refused = {one["of"] for one in today["printed"] if "until a review" in one["why"]}
    assert refused == LOOK_AGAIN[expected["folder"].name]
    others = {one["of"]: one["why"] for one in today["printed"] if one["of"] not in refused}
    assert others.pop("REL-03 1").startswith("Stopped on")
    assert all(why.startswith("Replaced on") for why in others.values())
    assert others


def test_every_kept_paper_has_its_bytes(expected: dict[str, Any], today: dict[str, Any]) -> None:
    wanted = [{**one, "sha256_of_bytes": one["sha256"]} for one in expected["papers"]]
    assert today["papers"] == wanted


def test_the_database_still_refuses(expected: dict[str, Any], today: dict[str, Any]) -> None:
    allowed = {
        table: set(refused) - set(today["refused"].get(table, ()))
        for table, refused in expected["refused"].items()
    }
    assert {table: what for table, what in allowed.items() if what} == {}


@pytest.mark.django_db
def test_a_new_database_is_made_as_this_one_has_become(today: dict[str, Any]) -> None:
    """A new one has all tables made in one step for each app, an older one each step since."""
    new = schema()
    assert set(today["schema"]) == set(new)
    differ = {
        name: (held, new[name]) for name, held in today["schema"].items() if held != new[name]
    }
    assert differ == {}


def test_what_is_not_deleted_is_not_replaced_or_emptied_either(today: dict[str, Any]) -> None:
    kept = {table: what for table, what in today["refused"].items() if "DELETE" in what}
    wholesale = {"REPLACE", "TRUNCATE"}
    assert len(kept) > 20
    assert {table for table, what in kept.items() if not wholesale & {*what}} == set()


def test_every_page_opens(today: dict[str, Any]) -> None:
    # The second step of signing in leads back whoever has not given a password just now.
    opened = {name: pages for name, pages in today["pages"].items() if name != "sign_in_code"}
    answers = {path: answer for pages in opened.values() for path, answer in pages.items()}
    failed = {
        path: answer
        for path, answer in answers.items()
        if answer.split()[0] not in SOUND or "/sign-in/" in answer
    }
    assert failed == {}


def test_every_page_was_tried(today: dict[str, Any]) -> None:
    assert set(today["addresses"]) - set(today["pages"]) - NOT_REACHED == set()
