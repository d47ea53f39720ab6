"""Who is beside her on the plate: rulebook rows 12a, 14 and 7 to 10, by who is there at all.

And the page of somebody at home who has to be there: what to look at, and when to stop it. Its
sentences are composed from what the record of the first session asks for; common practice.
"""

from __future__ import annotations

from collections.abc import Sequence

from programs.papers.cautions import asks
from programs.papers.paper_parts import WatchPage, Words, gettext_noop, told
from programs.papers.weeks import phases, weeks_words
from programs.signed.program import SignedProgram
from programs.week.week import Stance, Week

STAFF = gettext_noop("Have trained staff beside you.")
HELPER = gettext_noop("Have your helper beside you.")
#: Where nobody is there who has been shown how.
AT_CLINIC = gettext_noop("Do the first session at the clinic, with us beside you.")
SOMEBODY = gettext_noop("Do not use it alone. Ask us who can be beside you.")
ALONE = gettext_noop("You may use it on your own.")


def first_at_clinic(program: SignedProgram) -> bool:
    """Tell whether the first session has to be watched and nobody but the clinic can."""
    first = next((week.plate for week in program.weeks if week.plate), None)
    alone = not (program.supervised or program.watcher)
    return first is not None and first.supervised and alone


def watched_words(week: Week, program: SignedProgram, words: Words) -> str:
    """Return who is beside her in a week's plate sessions; nothing where it holds none."""
    if week.plate is None:
        return ""
    return words.gettext(_beside(week, program) if week.plate.supervised else ALONE)


def _beside(week: Week, program: SignedProgram) -> str:
    if program.supervised:
        return STAFF
    if program.watcher:
        return HELPER
    first = next(one.week for one in program.weeks if one.plate)
    return AT_CLINIC if week.week == first else SOMEBODY


#: Subjects for which somebody is beside her in all that she does.
_ALWAYS = frozenset({"cognitive_impairment"})
_EVERY = gettext_noop("Be there each time, for all exercises.")
_ON_PLATE = gettext_noop("{weeks}: be there each time the plate is used.")
_LOOK = (
    gettext_noop("Stand close enough to reach out a hand."),
    gettext_noop("Look at the face: it must not turn pale or grey."),
    gettext_noop("Ask something now and then. The answer must come with ease."),
)
_LOOK_ON_PLATE = (
    gettext_noop("Check that the panel shows the numbers of this week."),
    gettext_noop("Look at the head: it must not shake."),
    gettext_noop("Look at the knees: they must not lock."),
)
_LOOK_AT_HANDS = gettext_noop("Look at the hands: both must hold the rail.")
_STOP = (
    gettext_noop("Pain, dizziness, sickness or trouble to see."),
    gettext_noop("No answer, or an answer that makes no sense."),
    gettext_noop("A stumble, or a hand that loses hold."),
)
_THEN_PLATE = gettext_noop("Press stop on the plate. Help to step off slowly.")
_THEN = (
    gettext_noop("Help to sit down. Stay there."),
    gettext_noop("Read on page 1 whom to call, and call."),
)


def for_who_watches(
    weeks: Sequence[Week], program: SignedProgram, words: Words
) -> WatchPage | None:
    """Return the page of an adult at home who has to be there; None where nobody at home has to."""
    if program.supervised or not program.watcher:
        return None
    always = any(one.subject in _ALWAYS and asks(one) for one in program.findings)
    watched = phases(weeks, lambda week: (week.plate and week.plate.supervised) or None)
    if not (always or watched):
        return None
    on_plate = any(week.plate for week in weeks) if always else True
    when = () if always else (words.gettext(_ON_PLATE).format(weeks=weeks_words(watched, words)),)
    hands = any(week.plate and Stance.TWO_HANDS in week.plate.posture for week in weeks)
    return WatchPage(
        when=(*told((_EVERY,) if always else (), words), *when),
        look=told(
            (
                *_LOOK,
                *(_LOOK_ON_PLATE if on_plate else ()),
                *((_LOOK_AT_HANDS,) if hands else ()),
            ),
            words,
        ),
        stop=told(_STOP, words),
        stopped=told((*((_THEN_PLATE,) if on_plate else ()), *_THEN), words),
        shown=told(_SHOWN, words),
    )


_SHOWN = (gettext_noop("Shown by"), gettext_noop("To"), gettext_noop("On this day"))
