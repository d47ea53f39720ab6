"""Reading an accelerometer's file: heads, units, times; what is taken is said, what is not, why."""

from __future__ import annotations

import io

import numpy as np
import pandas as pd
import pytest

from programs.plates.recording.heads import Head, head
from programs.plates.recording.reading import Choices, Recording, UnitAsked, recording
from programs.plates.recording.refused import BadRecording
from programs.plates.recording.table import LARGEST_BYTES, MOST_COLUMNS, MOST_ROWS, Table, table
from tests.each import each
from tests.programs.plates.recordings import True_, csv_of

SHORT = True_(seconds=0.5, rest_s=0, rate_hz=100.0)
HEADS = "time (s),x (m/s2),y (m/s2),z (m/s2)"
ROWS = tuple(f"{n / 100},0.0,{n % 3 / 10},9.{n % 7}" for n in range(8))


def text(*lines: str) -> bytes:
    return "\n".join(lines).encode()


def read(*lines: str, choices: Choices | None = None) -> Recording:
    return recording(table(text(*lines)), choices)


def taken(found: Recording) -> dict[str, tuple[str, bool]]:
    return {one.what: (one.as_what, one.by_size) for one in found.taken}


_HEADS = {
    "Time (s)": ("time", "s"),
    "time [ms]": ("time", "ms"),
    "timestamp_ns": ("time", "ns"),
    "seconds_elapsed": ("time", "s"),
    "t": ("time", None),
    "Timestamp": ("time", None),
    "elapsed (µs)": ("time", "us"),
    "Elapsed time (sec)": ("time", "s"),
    "time (fortnights)": ("time", None),
    "x": ("x", None),
    '"Acceleration x (m/s^2)"': ("x", "m/s2"),
    "Linear Acceleration y (m/s²)": ("y", "m/s2"),
    "accelZ": ("z", None),
    "ax (g)": ("x", "g"),
    "gFx": ("x", "g"),
    "acc_y_mg": ("y", "mg"),
    "Z-axis (g)": ("z", "g"),
    "acceleration [m/s2]": ("a", "m/s2"),
    "value": (None, None),
    "Absolute acceleration (m/s^2)": (None, None),
    "gyro x": (None, None),
    "heart rate": (None, None),
    "": (None, None),
}


@each("case", _HEADS.items(), ids=lambda case: case[0])
def test_heads(case: tuple[str, tuple[str | None, str | None]]) -> None:
    written, (what, unit) = case
    assert head(written) == Head(what=what, unit=unit)


def test_all_that_is_taken_is_said() -> None:
    found = read(
        "a recorder’s own words", HEADS + ",accuracy", *(f"{row},3" for row in ROWS), "0.0"
    )
    said = taken(found)
    assert said["Columns are parted by"] == ("comma", False)
    assert said["“time (s)”"] == ("seconds", False)
    assert said["“z (m/s2)”"] == ("m/s²", False)
    assert said["Gravity"] == ("gravity is in the numbers", True)
    assert said["Samples"] == ("8 in 0.1 s, 100.0 a second, evenly", False)
    assert said["Not read"] == ("“accuracy”", False)
    assert said["Lines before the heads, passed over"] == ("1", False)
    assert said["Last line"] == ("cut off, left out", False)
    assert found.gravity_in


def test_units_that_are_worked_out_are_marked() -> None:
    found = read("t,x,y,z", *(f"{10 * n},0,0,1.{n % 4}" for n in range(9)))
    said = taken(found)
    assert said["“t”"] == ("milliseconds", True)
    assert said["“z”"] == ("g", True)
    assert found.rate_hz == pytest.approx(100)
    assert found.axes[0, 2] == pytest.approx(9.80665)
    assert found.seconds == pytest.approx(0.08)


@pytest.mark.parametrize(
    "unit, step", [("s", 0.01), ("ms", 10), ("us", 10_000), ("ns", 10_000_000)]
)
def test_time_without_a_unit(unit: str, step: float) -> None:
    lines = ("t,z", *(f"{step * n},9.8{n % 2}" for n in range(9)))
    assert read(*lines).rate_hz == pytest.approx(100)
    assert read(*lines, choices=Choices(time_unit=unit)).rate_hz == pytest.approx(100)
    slower = Choices(time_unit={"s": "ms", "ms": "us", "us": "ns", "ns": "s"}[unit])
    with pytest.raises(BadRecording, match="samples a second"):
        read(*lines, choices=slower)


def test_times_since_1970_in_nanoseconds_keep_their_digits() -> None:
    first = 1_790_000_000_123_456_789
    found = read("timestamp_ns,z", *(f"{first + 2_500_000 * n},9.8{n % 2}" for n in range(9)))
    assert np.diff(found.time_s) == pytest.approx(np.full(8, 0.0025), abs=1e-12)


def test_a_clock() -> None:
    days = (f"2026-11-30 23:59:59.{n:02d}0,9.8{n % 2}" for n in range(90))
    assert read("time;z", *(d.replace(",", ";") for d in days)).rate_hz == pytest.approx(100)
    found = read("time,z", *(f"10:00:0{n / 100:.3f},9.8{n % 2}" for n in range(90)))
    assert taken(found)["“time”"] == ("a clock’s time of day", False)
    with pytest.raises(BadRecording, match="is not a time of day"):
        read("time,z", "10:00:00.000,9.8", "half past,9.8", "10:00:00.020,9.8")


def test_gravity_taken_out() -> None:
    found = read(HEADS, *(f"{n / 100},0,0,{(-1) ** n}" for n in range(10)))
    assert taken(found)["Gravity"] == ("gravity was taken out", True)
    assert not found.gravity_in


def test_without_a_unit_and_without_gravity_it_is_asked() -> None:
    lines = ("time (s),x,y,z", *(f"{n / 100},0,0,{(-1) ** n}" for n in range(10)))
    with pytest.raises(UnitAsked):
        read(*lines)
    assert read(*lines, choices=Choices(unit="g")).axes[0, 2] == pytest.approx(9.80665)


def test_uneven_sampling_is_told() -> None:
    times = (0, 0.01, 0.018, 0.031, 0.04, 0.05)
    found = read("time (s),z", *(f"{t},9.8" for t in times))
    assert "unevenly" in taken(found)["Samples"][0]


def test_decimal_commas() -> None:
    found = read("Zeit (s);time (s);z (m/s2)", *(f"x;0,{n:02d};9,8{n % 2}" for n in range(9)))
    assert found.axes[1, 0] == pytest.approx(9.81)
    assert taken(found)["Decimals"] == ("comma", False)


def test_numbers_against_an_outside_reader() -> None:
    data = csv_of(SHORT)
    ours, theirs = table(data), pd.read_csv(io.BytesIO(data))
    assert ours.times == pytest.approx(theirs["time (s)"].to_numpy())
    assert ours.axes == pytest.approx(theirs[["x (m/s2)", "y (m/s2)", "z (m/s2)"]].to_numpy())


def test_bytes_outside_utf8_do_not_stop_the_numbers() -> None:
    found = table("time (s);z (m/s²);°C\n0;9.8;1\n0.01;9.8;1\n0.02;9.8;1".encode("latin-1"))
    assert found.heads.units["z"] == "m/s2"


def test_constant_numbers_have_no_step() -> None:
    assert read("time (s),z", *(f"{n / 100},9.8" for n in range(9))).resolution[0] == 0.0


_BAD = {
    "empty": (b" \n", "file is empty"),
    "no text": (b"PK\0\1", "not a plain text"),
    "too large": (b"x" * (LARGEST_BYTES + 1), "larger than 12 MB"),
    "no heads": (text("1,2,3", "4,5,6"), "No line names the columns"),
    "no time": (text("x,y,z", "0,0,1", "0,0,1"), "No column of times"),
    "no axis": (text("time (s),gyro x", "0,1", "1,2"), "No column of acceleration"),
    "twice": (text("time,x,ax", "0,1,1"), "both read as x: “x” and “ax”"),
    "nameless beside x": (text("time,x,acceleration", "0,1,1"), "axis without a name"),
    "no samples": (text(HEADS), "no samples"),
    "one sample": (text(HEADS, ROWS[0]), "no samples"),
    "a short line": (text(HEADS, ROWS[0], "0.01,2", ROWS[2]), "Line 3 has 2 cells"),
    "no number": (text(HEADS, ROWS[0], "0.01,a,0,9", ROWS[2]), "Line 3, x .*“a” is not a number"),
    "an empty cell": (text(HEADS, ROWS[0], "0.01,,0,9", ROWS[2]), "a cell is empty"),
    "not finite": (text(HEADS, ROWS[0], "0.01,nan,0,9", ROWS[2]), "“nan” is not a number"),
    "both signs": (text("t (s);z", "0;9,8", "0,01;9.8"), "decimal comma and some"),
    "too many columns": (
        text("time,x," + ",".join("c" * MOST_COLUMNS), "0,1"),
        f"more than {MOST_COLUMNS} columns",
    ),
    "back in time": (text("t (s),z", "0,9", "0.02,9", "0.01,9"), "go back at sample 3"),
    "the same time": (text("t (s),z", "0,9", "0.01,9", "0.01,9"), "Sample 3 bears the time"),
    "wrong unit": (text("t (s),z", "0,9", "10,9", "20,9"), "0.1 samples a second"),
    "unlikely steps": (text("t,z", "0,9", "200,9", "400,9"), "no usual sampling"),
    "two units": (text("t (s),x (g),y (mg)", "0,1,1", "0.01,1,1"), "different units"),
    "half a g": (text("t (s),z (g)", "0,.5", "0.01,.5", "0.02,.5"), "Is the axis upright"),
}


@each("case", _BAD.items(), ids=lambda case: case[0])
def test_bad_files(case: tuple[str, tuple[bytes, str]]) -> None:
    _, (data, why) = case
    with pytest.raises(BadRecording, match=why):
        recording(table(data))


def test_a_cell_too_long_to_be_one() -> None:
    with pytest.raises(BadRecording, match="cannot be read"):
        table(text("time (s),z", "0," + "9" * 200_000))


def test_too_many_samples() -> None:
    lines = "\n".join(f"{n},9" for n in range(MOST_ROWS + 1))
    with pytest.raises(BadRecording, match="More than 200,000 samples"):
        table(f"time (ms),z\n{lines}".encode())


def test_a_table_is_told_by_its_delimiter() -> None:
    found: Table = table(b"time (s)\tz (g)\n0\t1\n0.01\t1\n")
    assert found.delimiter == "\t"
