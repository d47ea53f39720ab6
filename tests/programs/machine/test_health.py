"""How the machine and its copies stand, told from what was seen."""

import datetime as dt
from typing import Any

import pytest

from programs.machine.health import Check, Seen, checks

NOW = dt.datetime(2027, 1, 31, 9, 30, tzinfo=dt.UTC)
HOUR, DAY = dt.timedelta(hours=1), dt.timedelta(days=1)
FINE: dict[str, Any] = {
    "at": NOW,
    "free_mb": 80_000,
    "key": "0123456789abcdef",
    "last_line": NOW - HOUR,
    "held": NOW - DAY,
    "copied": NOW - HOUR,
    "proven": NOW - 30 * DAY,
}


def seen(**other: object) -> dict[str, Check]:
    return {check.name: check for check in checks(Seen(**{**FINE, **other}))}


def test_all_is_fine() -> None:
    found = seen()
    assert [*found] == [
        *("Disk", "Database", "Release", "Secret key"),
        *("Clock", "Record", "Last copy", "Proven restore"),
    ]
    assert all(check.fine for check in found.values())
    assert "31 Jan 2027, 08:30, within the last day" in found["Last copy"].stands
    assert "30 Jan 2027, 09:30, a day ago" in found["Record"].stands
    assert "1 Jan 2027, 09:30, 30 days ago" in found["Proven restore"].stands
    assert "0123456789abcdef" in found["Secret key"].stands


@pytest.mark.parametrize(
    ("name", "other", "stands"),
    [
        ("Disk", {"free_mb": 499}, "499 MB are free"),
        ("Release", {"migrations": "It lacks one."}, "It lacks one."),
        ("Secret key", {"key_fits": False}, "is not the one that sealed the record"),
        ("Clock", {"last_line": NOW + 3 * HOUR}, "the record's last line is of 31 Jan 2027, 12:30"),
        ("Record", {"broken": True}, "it was not as it was written. It last held: 30 Jan"),
        ("Record", {"held": None}, "checked and passed: never"),
        ("Record", {"held": NOW - 32 * DAY}, "32 days ago"),
        ("Last copy", {"copied": None}, "made: never"),
        ("Last copy", {"copied": NOW - 2 * DAY - HOUR}, "2 days ago"),
        ("Proven restore", {"proven": None}, "was good: never"),
        ("Proven restore", {"proven": NOW - 93 * DAY}, "93 days ago"),
    ],
)
def test_one_thing_alone_is_to_be_looked_at(name: str, other: Any, stands: str) -> None:
    found = seen(**other)
    assert [check.name for check in found.values() if not check.fine] == [name]
    assert stands in found[name].stands
    assert found[name].do.endswith(".")


@pytest.mark.parametrize(
    "other",
    [
        {"free_mb": 500},
        {"last_line": NOW + dt.timedelta(minutes=2)},
        {"last_line": None},
        {"held": NOW - 31 * DAY},
        {"copied": NOW - 2 * DAY},
        {"copied": NOW + HOUR},
        {"proven": NOW - 92 * DAY},
    ],
)
def test_the_other_side_of_each_threshold(other: Any) -> None:
    assert all(check.fine for check in seen(**other).values())


def test_a_database_that_cannot_be_read_leaves_the_rest_untold() -> None:
    found = seen(database="the disk is full.")
    assert [*found] == ["Disk", "Database"]
    assert found["Database"].stands == "It cannot be read: the disk is full."
    assert not found["Database"].fine


def test_what_was_not_read_is_not_called_whole() -> None:
    assert "each page of it is whole" in seen()["Database"].stands
    assert "is told by manage.py health" in seen(read_whole=False)["Database"].stands
