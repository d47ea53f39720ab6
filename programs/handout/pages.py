"""The take-home handout: everything it says, from a signed snapshot alone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

from programs.exercises import DAILY_MOVEMENTS
from programs.handout import advice
from programs.handout.cautions import cautions, spares_spine
from programs.handout.dosed import TITLES, chapters, title
from programs.handout.numbers import line_start
from programs.handout.plate_page import plate_page
from programs.handout.said import (
    Day,
    Handout,
    Issue,
    LogSheet,
    LogWeek,
    Movement,
    Section,
    Words,
)
from programs.handout.todo import week_page
from programs.handout.weeks import (
    DAYS,
    Phase,
    Timetable,
    Week,
    brief_date_words,
    date_words,
    dates_of_week,
    days_of,
    full_date_words,
    short_day_words,
    short_month_words,
    training_days,
    weeks_words,
)
from safety.findings import Modality

Snapshot = Mapping[str, Any]

WEEKS_A_LOG = 4
DIGEST_DIGITS = 12


def pages(
    snapshot: Snapshot, words: Words, issue: Issue, *, last_week: int | None = None
) -> Handout:
    """Return what the handout of a snapshot says.

    words        translations; the texts stand in English where it has none
    issue        whose paper it is and who signed (issue_of)
    last_week    the last week to print; None prints them all
    Raises KeyError for an exercise that is not in the catalogue or has no picture.
    """
    weeks = [w for w in snapshot["weeks"] if last_week is None or w["week"] <= last_week]
    held = frozenset(str(m) for m in Modality if any(week[m] for week in weeks))
    return Handout(
        issue=issue,
        first=week_page(weeks[0], snapshot, words),
        week_days=week_days(weeks, snapshot["timetable"], words),
        cautions=cautions(snapshot["findings"], held, words),
        plate=plate_page(weeks, snapshot["facts"], words),
        chapters=chapters(weeks, words),
        movements=_movements(snapshot, words),
        advice=_advice(snapshot, weeks, held, issue, words),
        logs=logs(weeks, snapshot, words),
        about=about(issue, words),
    )


def issue_of(
    snapshot: Snapshot,
    words: Words,
    *,
    digest: str,
    zone: dt.tzinfo,
    replaced_on: dt.date | None = None,
) -> Issue:
    """Return whose paper it is, which plan it follows and who signed that.

    digest       SHA-256 of the snapshot's text; empty for a draft
    zone         in which the time of signing is told
    replaced_on  when the plan before it was signed
    A draft is a snapshot whose signer has no name: its paper says that it is not signed.
    """
    patient, signer, clinic = snapshot["patient"], snapshot["signer"], snapshot["clinic"]
    starts_on = dt.date.fromisoformat(snapshot["starts_on"])
    signed = bool(signer["name"])
    return Issue(
        name=f"{patient['given_name']} {patient['family_name']}",
        born=date_words(dt.date.fromisoformat(patient["born"]), words),
        record_number=patient["record_number"],
        version=str(snapshot["version"]),
        starts_on=full_date_words(starts_on, words),
        signed_by=signer["name"],
        signed_on=brief_date_words(_moment(signer["at"], zone).date(), words) if signed else "",
        signed_at=_moment_words(_moment(signer["at"], zone), words) if signed else "",
        meaning=words.gettext(signer["meaning"]) if signed else "",
        replaces=_replaces(snapshot["replaces"], replaced_on, words),
        digest=digest[:DIGEST_DIGITS],
        clinic=clinic["name"],
        phone=clinic["phone"],
        address=clinic["address"],
        # Programs signed before the clinic had such words hold none.
        emergency=clinic.get("emergency", ""),
    )


def _moment(at: str, zone: dt.tzinfo) -> dt.datetime:
    return dt.datetime.fromisoformat(at).astimezone(zone)


def _moment_words(moment: dt.datetime, words: Words) -> str:
    offset = moment.strftime("%z")
    told = words.gettext("{date} at {time} (UTC{offset})")
    return told.format(
        date=date_words(moment.date(), words),
        time=f"{moment:%H:%M}",
        offset=f"{offset[:3]}:{offset[3:5]}",
    )


def _replaces(version: int | None, on: dt.date | None, words: Words) -> str:
    if version is None:
        return ""
    if on is None:
        return words.gettext("It replaces plan {version}.").format(version=version)
    told = words.gettext("It replaces plan {version} of {date}.")
    return told.format(version=version, date=date_words(on, words))


def week_days(weeks: Sequence[Week], timetable: Timetable, words: Words) -> tuple[Day, ...]:
    """Return Monday to Sunday, each with what it holds, and since when where it comes later."""
    return tuple(
        Day(
            name=line_start(words.gettext(DAYS[day])),
            held=tuple(
                _since(first, m, weeks, words)
                for m in Modality
                if (first := _first_week(day, m, weeks, timetable)) is not None
            ),
        )
        for day in DAYS
    )


def _first_week(
    day: str, modality: Modality, weeks: Sequence[Week], timetable: Timetable
) -> int | None:
    held = (w["week"] for w in weeks if day in training_days(w, timetable, modality))
    return next(held, None)


def _since(first: int, modality: Modality, weeks: Sequence[Week], words: Words) -> str:
    named = title(modality, weeks, words)
    if first == weeks[0]["week"]:
        return named
    return words.gettext("{name} from week {week}").format(name=named, week=first)


def _movements(snapshot: Snapshot, words: Words) -> tuple[Movement, ...]:
    if not spares_spine(snapshot["findings"]):
        return ()
    return tuple(
        Movement(
            name=words.gettext(one.name),
            leave_out=words.gettext(one.leave_out),
            instead=words.gettext(one.instead),
        )
        for one in DAILY_MOVEMENTS
    )


def _advice(
    snapshot: Snapshot,
    weeks: Sequence[Week],
    held: frozenset[str],
    issue: Issue,
    words: Words,
) -> tuple[Section, ...]:
    absent = [words.gettext(TITLES[m]) for m in Modality if m not in held]
    gentle = any(w["plate"] and w["plate"]["displacement_mm"] is None for w in weeks)
    return (
        advice.pain(words),
        advice.emergency(issue.emergency, words),
        advice.call(issue.clinic, issue.phone, words),
        advice.gaps(words),
        advice.visits(_visits(snapshot, words), words),
        *([advice.left_out(absent, words)] if absent else []),
        advice.expect(words, low_magnitude=gentle),
    )


def _visits(snapshot: Snapshot, words: Words) -> list[tuple[int, str]]:
    starts_on = dt.date.fromisoformat(snapshot["starts_on"])
    weeks = [review["week"] for review in snapshot["reviews"]]
    begin = [starts_on + dt.timedelta(weeks=week - 1) for week in weeks]
    return [(week, date_words(day, words)) for week, day in zip(weeks, begin, strict=True)]


def logs(weeks: Sequence[Week], snapshot: Snapshot, words: Words) -> tuple[LogSheet, ...]:
    """Return a sheet for each four weeks, with each day on which something is planned."""
    sheets = []
    for n in range(0, len(weeks), WEEKS_A_LOG):
        part = weeks[n : n + WEEKS_A_LOG]
        span = Phase(first=part[0]["week"], last=part[-1]["week"], value=None)
        held = (_log_week(week, snapshot, words) for week in part)
        sheets.append(
            LogSheet(
                title=weeks_words((span,), words),
                weeks=tuple(week for week in held if week.days),
                boxes=tuple(words.gettext("A, P, N").split(", ")),
            )
        )
    return tuple(sheet for sheet in sheets if sheet.weeks)


def _log_week(week: Week, snapshot: Snapshot, words: Words) -> LogWeek:
    starts_on = dt.date.fromisoformat(snapshot["starts_on"])
    begins = starts_on + dt.timedelta(weeks=week["week"] - 1)
    days = dates_of_week(starts_on, week["week"], days_of(week, snapshot["timetable"]))
    told = words.gettext("Week {weeks}").format(weeks=week["week"])
    return LogWeek(
        title=f"{told}, {short_month_words(begins, words)}",
        days=tuple(line_start(short_day_words(day, words)) for day in days),
    )


def about(issue: Issue, words: Words) -> Section:
    """Return what stands at the end: which plan, signed by whom, and what comes first."""
    title_ = words.gettext("About this paper")
    if not issue.signed_by:
        return Section(
            title=title_,
            tell=(words.gettext("This is a draft. It is not signed. Do not use it."),),
        )
    told = [
        words.gettext("This paper follows plan {version}, signed by {name} on {time}.").format(
            version=issue.version, name=issue.signed_by, time=issue.signed_at
        ),
        words.gettext("The signature means: {meaning}").format(meaning=issue.meaning),
        *([issue.replaces] if issue.replaces else []),
        words.gettext("Its seal begins with {digest}.").format(digest=issue.digest),
        words.gettext("It is no substitute for your doctor or for care in person."),
        words.gettext("Local rules and your own doctor come first."),
    ]
    thrown = words.gettext("Throw older papers away.")
    return Section(title=title_, tell=tuple(told), do=(thrown,) if issue.replaces else ())
