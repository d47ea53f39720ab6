"""When a drafted program is looked at again (rulebook row 29)."""

from __future__ import annotations

import datetime as dt

from programs.draft.ramps import Course
from programs.draft.resume import Resume

REVIEWS = (
    (4, "What was done, what hurt, any fall; pressure again; the first changes."),
    (12, "Log, function tests, red flags and illnesses asked again; a new set to fatigue; the "
         "ramp revised."),
    (26, "Function tests; what the next half year holds; this draft ends here."),
    (52, "Density, not before 12 months, held against the scanner's own error."),
)  # fmt: skip
#: Of a later half year (row 29a); a new set to fatigue each 12 weeks (row 19d).
LATER = (
    (12, "Log, red flags and illnesses asked again; a new set to fatigue; the ramp revised."),
    (26, "Function tests; density, not before 12 months; what comes next; this draft ends here."),
)
MAINTAINING = (
    (26, "Log, red flags, illnesses and medicines asked again; function tests; density, not "
         "before 12 months; whether the dose still fits, or what comes next."),
)  # fmt: skip
#: A review comes so many days before a clearance ends.
BEFORE_IT_ENDS = 14


def reviews(course: Course) -> tuple[tuple[int, str], ...]:
    """Return the week of each review and what it is for, in order."""
    ends: dict[tuple[int, dt.date], list[str]] = {}
    for modality, until in course.until.items():
        week = max(1, ((until - course.starts_on).days - BEFORE_IT_ENDS) // 7 + 1)
        ends.setdefault((week, until), []).append(str(modality))
    before = [
        (
            week,
            f"The clearance of {' and '.join(held)} ends on {until:%-d %B %Y}: ask for a new one.",
        )
        for (week, until), held in ends.items()
    ]
    return tuple(sorted((*planned(course.resume), *before)))


def planned(resume: Resume) -> tuple[tuple[int, str], ...]:
    """Return the reviews of every such program."""
    if resume.maintains:
        return MAINTAINING
    return LATER if resume.is_later else REVIEWS
