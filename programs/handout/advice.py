"""What every handout says: when to stop, pain, gaps, what to expect, whom to call."""

from __future__ import annotations

from collections.abc import Sequence

from programs.handout.said import Section, Words, gettext_noop

#: Stop at once: composed from the pain rule and the red flags of the rulebook.
STOP = (
    gettext_noop("You have new sharp pain in back, hip, thigh or groin."),
    gettext_noop("You have chest pain."),
    gettext_noop("You feel dizzy or faint."),
    gettext_noop("You are too short of breath to speak."),
    gettext_noop("Your pain is 6 points or more, out of 10 points."),
    gettext_noop("You fall."),
)
EMERGENCY = (
    gettext_noop("Chest pain, or hard to breathe when you rest."),
    gettext_noop("A blackout."),
    gettext_noop("A leg, an arm or your face turns weak or numb."),
    gettext_noop("You lose control of bladder or bowel, or the seat turns numb."),
)
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
GAPS = (
    gettext_noop("Repeat the week if you missed up to 1 week."),
    gettext_noop("Go back one step after 2 to 3 weeks: use the line above on each list."),
    gettext_noop("Call us before you start again after more than 3 weeks."),
    gettext_noop("Call us first after a fall, an illness or a stay in hospital."),
    gettext_noop("Do not do two sessions in one day to catch up."),
)
EXPECT = (
    gettext_noop("Your muscles may feel sore for 1 to 3 days. This is normal."),
    gettext_noop("You may feel stronger and steadier first."),
    gettext_noop("Bone changes slowly. You cannot feel it change."),
    gettext_noop("A new bone scan tells nothing before 12 months."),
    gettext_noop("Exercise lowers some risks. It cannot promise that no bone breaks."),
)
EXPECT_DO = (gettext_noop("Keep taking your bone medicine. Exercise does not replace it."),)
LOW_MAGNITUDE = (
    gettext_noop("Two large studies found no gain in bone from a gentle plate."),
    gettext_noop("In one of them, people fell less and grew stronger."),
)


def pain(words: Words) -> Section:
    """Return the pain rule."""
    return Section(title=words.gettext("If it hurts"), do=_told(PAIN, words))


def gaps(words: Words) -> Section:
    """Return what to do after days missed."""
    return Section(title=words.gettext("If you miss days"), do=_told(GAPS, words))


def expect(words: Words, *, low_magnitude: bool) -> Section:
    """Return what to expect, and what not."""
    more = LOW_MAGNITUDE if low_magnitude else ()
    return Section(
        title=words.gettext("What to expect"),
        tell=_told((*EXPECT, *more), words),
        do=_told(EXPECT_DO, words),
    )


def visits(weeks: Sequence[tuple[int, str]], words: Words) -> Section:
    """Return when to come back: the week, and the date on which it begins."""
    line = words.gettext("Come back in week {week}. It begins on {date}.")
    return Section(
        title=words.gettext("Your next visits"),
        do=tuple(line.format(week=week, date=date) for week, date in weeks),
    )


def left_out(names: Sequence[str], words: Words) -> Section:
    """Return what is not in the program, by name."""
    return Section(
        title=words.gettext("What is not in your program"),
        tell=(words.gettext("Not for now: {names}.").format(names=", ".join(names)),),
        do=(words.gettext("Do not add it on your own. Ask us why."),),
    )


def emergency(clinic_words: str, words: Words) -> Section:
    """Return what needs help at once, and whom to call in the clinic's own words, if it has any."""
    return Section(
        title=words.gettext("Call your emergency number at once"),
        tell=_told(EMERGENCY, words),
        do=(clinic_words,) if clinic_words else (),
    )


def call(clinic: str, phone: str, words: Words) -> Section:
    """Return when to call the clinic, and where it is reached."""
    reached = phone or words.gettext("____________________ (ask us for the number)")
    named = words.gettext("Call {clinic} on {phone}.") if clinic else words.gettext("Call {phone}.")
    return Section(
        title=words.gettext("Call us"),
        do=(named.format(clinic=clinic, phone=reached), *_told(CALL, words)),
    )


def _told(texts: Sequence[str], words: Words) -> tuple[str, ...]:
    return tuple(words.gettext(text) for text in texts)
