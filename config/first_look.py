"""A look at the database before there are settings: has anything been recorded in it?"""

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

from config.local import CannotStart

#: Whoever has signed in once has a row of these.
_ASKED = "SELECT 1 FROM auth_user LIMIT 1"


def rows_are_there(database: dict[str, Any]) -> bool:
    """Tell whether the database has an account; a damaged one counts as one that has.

    Raises CannotStart where nobody can tell.
    """
    if database["ENGINE"].endswith("sqlite3"):
        return _in_file(Path(database["NAME"]))
    return _on_server(database)


def _in_file(path: Path) -> bool:
    if not path.exists() or path.stat().st_size == 0:
        return False
    try:
        with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as held:
            return held.execute(_ASKED).fetchone() is not None
    except sqlite3.DatabaseError as error:
        return "no such table" not in str(error)


def _on_server(database: dict[str, Any]) -> bool:
    import psycopg  # only where it is asked for

    given = {"dbname": database["NAME"], "user": database["USER"], "password": database["PASSWORD"]}
    given |= {"host": database["HOST"], "port": database["PORT"]}
    given = {name: value for name, value in given.items() if value} | database.get("OPTIONS", {})
    try:
        with psycopg.connect(**given) as held:
            return held.execute(_ASKED).fetchone() is not None
    except psycopg.errors.UndefinedTable:
        return False
    except psycopg.OperationalError as error:
        if "does not exist" in str(error) and "database" in str(error):
            return False
        raise CannotStart(
            "There is no secret key yet, and the database cannot be asked whether it needs one: "
            f"{str(error).strip()}"
        ) from error
