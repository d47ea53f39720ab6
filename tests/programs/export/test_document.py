"""The format person/1: plain values, one text for one document."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from programs.export.document import plain, text_of


@pytest.mark.parametrize(
    ("value", "held"),
    [
        (None, None),
        (True, True),
        (3, 3),
        (2.5, 2.5),
        ("Zoë", "Zoë"),
        (Decimal("-2.10"), "-2.10"),
        (Decimal("1E+2"), "100"),
        (dt.date(2005, 6, 30), "2005-06-30"),
        (dt.datetime(2026, 3, 2, 9, 30, tzinfo=dt.UTC), "2026-03-02T09:30:00Z"),
        (dt.datetime(2026, 3, 2, 9, 30, 0, 7, dt.UTC), "2026-03-02T09:30:00.000007Z"),
        (
            dt.datetime(2026, 3, 2, 9, 30, tzinfo=ZoneInfo("Asia/Tokyo")),
            "2026-03-02T00:30:00Z",
        ),
        ({"a": [dt.date(2026, 1, 2), (Decimal("1.0"),)]}, {"a": ["2026-01-02", ["1.0"]]}),
    ],
)
def test_a_value_as_json_holds_it(value: object, held: object) -> None:
    assert plain(value) == held


def test_what_has_no_place_is_refused() -> None:
    with pytest.raises(TypeError, match="bytes"):
        plain(b"%PDF")


def test_one_text_for_one_document() -> None:
    assert text_of({"b": 1, "a": "ü"}) == '{"a":"ü","b":1}\n'
    assert text_of({"a": "ü", "b": 1}) == text_of({"b": 1, "a": "ü"})
    with pytest.raises(ValueError, match="not JSON compliant"):
        text_of({"a": float("nan")})
