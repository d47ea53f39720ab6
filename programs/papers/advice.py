"""What every handout says: pain, gaps, what to expect, whom to call. See emergency.py as well."""

from __future__ import annotations

from collections.abc import Sequence

from programs.papers.emergency import BLANK
from programs.papers.paper_parts import Section, Words, gettext_noop, told

CALL = (
    gettext_noop("Call us when you had to stop."),
    gettext_noop("Call us when you break a bone, fall ill or get new medicine."),
    gettext_noop("Ask us when anything on this paper is not clear."),
)

PAIN = (
    gettext_noop("Score your pain from 0 to 10 points. No pain is 0 points."),
    gettext_noop("Go on with pain of 0 to 3 points."),
    gettext_noop("Stop that exercise with pain of 4 to 5 points. Do the others."),
    gettext_noop("Try it again next time if the pain has gone within 24 hours."),
    gettext_noop("Call us if it has not gone within 24 hours."),
    gettext_noop("Stop all exercises with pain of 6 points or more, and call us."),
)
#: Rulebook row 26b, in its own words.
GAPS = (
    gettext_noop("Missed a week: do the last week again. More than two weeks, or ill: call first."),
)
GAPS_DO = (
    gettext_noop("Call us first after a fall or a stay in hospital."),
    gettext_noop("Do not do two sessions in one day to catch up."),
)
EXPECT = (
    gettext_noop("Your muscles may feel sore for 1 to 3 days. This is normal."),
    gettext_noop("You may feel stronger and steadier first."),
    gettext_noop("Bone changes slowly. You cannot feel it change."),
    gettext_noop("A new bone scan is of little use before 12 months."),
    gettext_noop("Exercise lowers some risks. It cannot promise that no bone breaks."),
)
EXPECT_DO = (gettext_noop("Keep taking your bone medicine. Exercise does not replace it."),)
LOW_MAGNITUDE = (
    gettext_noop("Two large studies found no gain in bone from a gentle plate."),
    gettext_noop("In one of them, people fell less and grew stronger."),
)

HOLDS = (gettext_noop("Nothing rises in this plan. It keeps what you have reached."),)


def pain(words: Words) -> Section:
    """Return the pain rule."""
    return Section(title=words.gettext("If it hurts"), do=told(PAIN, words), scale=True)


def gaps(words: Words) -> Section:
    """Return what to do after days missed."""
    return Section(
        title=words.gettext("If you miss days"),
        tell=told(GAPS, words),
        do=told(GAPS_DO, words),
    )


def expect(words: Words, *, low_magnitude: bool, holds: bool) -> Section:
    """Return what to expect, and what not. holds: one dose in all weeks, which keeps what is."""
    more = (*(LOW_MAGNITUDE if low_magnitude else ()), *(HOLDS if holds else ()))
    return Section(
        title=words.gettext("What to expect"),
        tell=told((*EXPECT, *more), words),
        do=told(EXPECT_DO, words),
    )


def visits(weeks: Sequence[tuple[int, str]], words: Words) -> Section:
    """Return when to come back: the week, the date on which it begins, and lines to fill in."""
    line = words.gettext("Come in week {week}, which begins on {date}.")
    return Section(
        title=words.gettext("Your next visits"),
        do=tuple(line.format(week=week, date=date) for week, date in weeks),
        fill=(words.gettext("Day"), words.pgettext("of a visit", "Time")),
    )


def left_out(barred: Sequence[str], no_room: Sequence[str], words: Words) -> Section:
    """Return what is not in the program by name; balance and posture never are (row 24).

    barred    something speaks against it for now
    no_room   nothing does, but her days are full
    """
    tell, do = [], []
    if no_room:
        line = words.gettext("No room for it now: {names}.")
        tell.append(line.format(names=", ".join(no_room)))
        do.append(words.gettext("Ask us before you add what there is no room for."))
    if barred:
        tell.append(words.gettext("Not for now: {names}.").format(names=", ".join(barred)))
        do.append(words.gettext("Do not add it on your own. Ask us why."))
    title = words.gettext("What is not in your program")
    return Section(title=title, tell=tuple(tell), do=tuple(do))


def call(clinic: str, phone: str, words: Words) -> Section:
    """Return when to call the clinic, and where it is reached."""
    reached = phone or words.gettext(BLANK)
    named = words.gettext("Call {clinic} on {phone}.") if clinic else words.gettext("Call {phone}.")
    return Section(
        title=words.gettext("Call us"),
        do=(named.format(clinic=clinic, phone=reached), *told(CALL, words)),
    )
