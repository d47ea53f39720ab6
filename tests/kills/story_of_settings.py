"""The actions by which a clinic sets itself up, for the story of a clinic."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from programs.actions import (
    clinic,
    emergency_numbers,
    evidence_watch,
    languages,
    release_note,
    retention,
    tour,
)
from tests.kills.harness import Step
from tests.programs.rows import DAY


def settings(who: dict[str, Any]) -> Iterator[tuple[str, Step]]:
    """Yield each of them once; who says who does it and when."""
    details = clinic.Details(name="Example clinic", phone="01 000", emergency="01")
    yield "set_details", lambda: clinic.set_details(details=details, **who)
    number = emergency_numbers.Emergency(language="en", number="112")
    yield "set_emergencies", lambda: emergency_numbers.set_emergencies(given=[number], **who)
    read = languages.InUse(language="es", on=True, read_by="Ana Prado", read_on=DAY)
    yield "set_languages", lambda: languages.set_languages(given=[read], **who)
    yield (
        "set_limit",
        lambda: clinic.set_limit(name="plate.top_g", value=3, reason="Ours", **who),
    )
    yield "set_years_kept", lambda: retention.set_years_kept(years=12, **who)
    watch = json.loads(evidence_watch.KEPT.read_bytes()) | {"as_of": DAY.isoformat()}
    content = json.dumps(watch).encode()
    yield "put_in", lambda: evidence_watch.put_in(content=content, reason="Ours", **who)
    yield "note_read", lambda: release_note.note_read(**who)
    yield "put_away", lambda: tour.put_away(page="programs:plan", **who)
    yield "bring_back", lambda: tour.bring_back(**who)
