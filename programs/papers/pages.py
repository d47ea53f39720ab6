"""The take-home handout: everything it says, from a signed program alone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from programs.exercises import DAILY_MOVEMENTS
from programs.papers import advice
from programs.papers import last_week as ending
from programs.papers.cautions import cautions, spares_spine
from programs.papers.chapters import chapters
from programs.papers.fall_page import fall_page
from programs.papers.manner import Manner, manner_of
from programs.papers.numbers import isolated
from programs.papers.only_until import cut
from programs.papers.paper_parts import Handout, Issue, Movement, Section, Words
from programs.papers.plate_page import plate_page
from programs.papers.reasons import wanted, why
from programs.papers.span import Span
from programs.papers.watching import for_who_watches
from programs.papers.week_sheet import sheets
from programs.papers.weeks import (
    brief_date_words,
    date_words,
    full_date_words,
    told_date_words,
)
from programs.signed.program import SignedProgram, Who
from programs.week.week import Week, part_of
from safety.findings import LOADED, Modality
from safety.modalities import MODALITIES
from safety.screen import Status

#: Whose names of the day are not asked.
NAMELESS: Mapping[str, str] = MappingProxyType({"called": "", "goes_by": ""})
#: Daily movements of somebody who stands and walks.
ON_HER_FEET = frozenset({"sit", "bend", "carry", "turn", "reach", "housework"})


def pages(program: SignedProgram, words: Words, issue: Issue, span: Span) -> Handout:
    """Return what the handout of some weeks of a program says.

    words   translations; the texts stand in English where it has none
    issue   whose paper it is and who signed (issue_of)
    Raises KeyError for an exercise that is not in the catalogue or has no picture.
    """
    program = cut(program)
    weeks = [week for week in program.weeks if week.week in span]
    manner = manner_of(program)
    first, *later = sheets(program, words, span)
    return Handout(
        issue=issue,
        sheets=(replace(first, goal=next(wanted(program, words), "")), *later),
        fall=fall_page(program, words),
        why=why(program, weeks, words),
        cautions=cautions(program.findings, _kinds(weeks), words, seated=manner.seated),
        plate=plate_page(weeks, program, words),
        watch=for_who_watches(weeks, program, words),
        chapters=chapters(weeks, manner, words, spared=spares_spine(program.findings)),
        movements=_movements(program, manner, words),
        advice=_advice(program, weeks, issue, words),
        about=about(issue, words),
        last=last_line(issue, words),
    )


def _kinds(weeks: Sequence[Week]) -> frozenset[str]:
    """Return what the weeks hold."""
    return frozenset(str(m) for m in Modality if any(part_of(week, m) for week in weeks))


def issue_of(
    program: SignedProgram,
    words: Words,
    *,
    digest: str,
    zone: dt.tzinfo,
    replaced_on: dt.date | None = None,
    anchor: str = "",
    names: Mapping[str, str] = NAMELESS,
) -> Issue:
    """Return whose paper it is, which plan it follows and who signed that.

    digest       SHA-256 of the signed text; empty for a draft
    zone         in which the time of signing is told
    replaced_on  when the plan before it was signed
    anchor       of the record, as programs.actions.anchors gives it
    names        her name as the record has it now ("called"), and the one she goes by ("goes_by");
                 empty where it is not asked
    A draft is a program whose signer has no name: its paper says that it is not signed.
    """
    who, signer, clinic = program.who, program.signer, program.clinic
    at = signer.at.astimezone(zone) if signer.at else None
    name = f"{who.given_name} {who.family_name}"
    return Issue(
        name=name,
        called_today="" if names["called"] == name else names["called"],
        goes_by=_goes_by(names["goes_by"], words),
        born=_born(who, words),
        record_number=who.record_number,
        version=str(program.version),
        starts_on=full_date_words(program.starts_on, words),
        signed_by=signer.name,
        signed_on=brief_date_words(at.date(), words) if at else "",
        signed_at=_moment_words(at, words) if at else "",
        meaning=signer.meaning,
        replaces=_replaces(program.replaces, replaced_on, words),
        digest=digest,
        clinic=clinic.name,
        phone=isolated(clinic.phone, words),
        address=clinic.address,
        anchor=anchor,
    )


def _goes_by(name: str, words: Words) -> str:
    return words.gettext("goes by {name}").format(name=name) if name else ""


def _born(who: Who, words: Words) -> str:
    told = told_date_words(who.born, words)
    if not who.born_estimated:
        return told
    return words.gettext("about {year} (estimated)").format(year=who.born)


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
    told = words.gettext("It replaces the paper of {date}.")
    return told.format(date=date_words(on, words))


def _movements(program: SignedProgram, manner: Manner, words: Words) -> tuple[Movement, ...]:
    if not spares_spine(program.findings):
        return ()
    return tuple(
        Movement(
            name=words.gettext(one.name),
            leave_out=words.gettext(one.leave_out),
            instead=words.gettext(one.instead),
        )
        for one in DAILY_MOVEMENTS
        if not (manner.seated and one.code in ON_HER_FEET)
    )


def _advice(
    program: SignedProgram, weeks: Sequence[Week], issue: Issue, words: Words
) -> tuple[Section, ...]:
    # What came before these weeks, or comes after them, is told on their sheets.
    absent = what_is_absent(program, words)
    gentle = any(w.plate and w.plate.displacement_mm is None for w in weeks)
    coming = _visits(weeks, program, words)
    return (
        advice.pain(words),
        advice.call(issue.clinic, issue.phone, words),
        advice.gaps(words),
        *([advice.visits(coming, words)] if coming else []),
        *([ending.section(program, words)] if ending.is_last(weeks[-1], program) else []),
        *([absent] if absent else []),
        advice.expect(words, low_magnitude=gentle, holds=ending.holds_one_dose(program)),
    )


def what_is_absent(program: SignedProgram, words: Words) -> Section | None:
    """Return what is in no week of a program: barred, or without room."""
    held = _kinds(program.weeks)
    absent = [one for one in LOADED if one not in held]
    if not absent:
        return None
    barred, no_room = (
        [words.gettext(MODALITIES[m].title) for m in absent if is_barred(m, program) is wanted]
        for wanted in (True, False)
    )
    return advice.left_out(barred, no_room, words)


def is_barred(modality: Modality, program: SignedProgram) -> bool:
    """Tell whether something speaks against a kind: a finding, or who signed left it out."""
    fits = program.standings[modality].status == Status.INCLUDED
    return modality in program.left_out or not fits


def _visits(
    weeks: Sequence[Week], program: SignedProgram, words: Words
) -> tuple[tuple[int, str], ...]:
    """Return the visits of the weeks that are printed, and the first one after them."""
    to_come = [one.week for one in program.reviews if one.week >= weeks[0].week]
    after = [week for week in to_come if week > weeks[-1].week][:1]
    shown = [week for week in to_come if week <= weeks[-1].week] + after
    begin = [program.starts_on + dt.timedelta(weeks=week - 1) for week in shown]
    return tuple((week, date_words(day, words)) for week, day in zip(shown, begin, strict=True))


def about(issue: Issue, words: Words) -> Section:
    """Return what a paper is, and what comes before it."""
    title_ = words.gettext("About this paper")
    if not issue.signed_by:
        return Section(
            title=title_,
            tell=(words.gettext("This is a draft. It is not signed. Do not use it."),),
        )
    told = (
        words.gettext("It is no substitute for your doctor or for care in person."),
        words.gettext("What your own doctor tells you comes first."),
    )
    thrown = words.gettext("Throw older papers away.")
    newer = _newer_name(issue, words)
    return Section(title=title_, tell=(*newer, *told), do=(thrown,) if issue.replaces else ())


def _newer_name(issue: Issue, words: Words) -> tuple[str, ...]:
    """Return which of two names is the newer, where hers was changed after the signature."""
    if not issue.called_today:
        return ()
    text = words.gettext(
        "{now} is the newer name. This plan was signed under the older one, {before}."
    )
    return (text.format(now=issue.called_today, before=issue.name),)


def last_line(issue: Issue, words: Words) -> str:
    """Return which plan a paper follows, what it replaces, and the anchor of the record.

    What the signature means, its minute and the whole seal stand on the letter to the doctor,
    which the clinic keeps; nothing for a draft.
    """
    if not issue.signed_by:
        return ""
    signed = words.gettext("Plan {version}, signed by {name} on {date}.").format(
        version=issue.version, name=issue.signed_by, date=issue.signed_on
    )
    anchor = words.gettext("Record {anchor}").format(anchor=issue.anchor) if issue.anchor else ""
    return " ".join(part for part in (signed, issue.replaces, anchor) if part)
