"""What a discharge leaves her with, as the review keeps it and gives it back."""

from __future__ import annotations

import datetime as dt
import json

from programs.signed.ending import Ending, Kept
from safety.findings import Modality


def test_it_is_read_as_it_was_written() -> None:
    ending = Ending(
        keeps={
            Modality.RESISTANCE: Kept(until=dt.date(2026, 12, 24), easier=True),
            Modality.BALANCE: Kept(until=None, easier=False),
        },
        near_support=True,
    )
    assert Ending.read(json.loads(json.dumps(ending.written()))) == ending
