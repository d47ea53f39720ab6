"""What to do after a fall: stay still, check, get up by a chair or stay down, and be found.

The steps and what stands against them are common practice. What is for the ambulance and what
for the clinic is as the two boxes of emergency.py say it.
"""

from __future__ import annotations

from dataclasses import dataclass

from programs.papers.emergency import BLANK, alarm
from programs.papers.manner import manner_of
from programs.papers.numbers import isolated
from programs.papers.paper_parts import Alarm, FallPage, Section, Words, gettext_noop, told
from programs.papers.pictured import getting_up
from programs.signed.program import SignedProgram

FIRST = (
    gettext_noop("Stay still for 1 minute. Breathe calmly."),
    gettext_noop("Look for blood, from your head to your feet."),
    gettext_noop("Move your hands, then your feet, then your legs. Stop where it hurts."),
)
#: Then she stays down: the ambulance is for who cannot get up.
NOT_UP = (
    gettext_noop("Your neck, back, hip or groin hurts."),
    gettext_noop("An arm or a leg will not move, or has lost its shape."),
    gettext_noop("You blacked out, or you feel faint."),
)
STAY_DOWN = gettext_noop("Stay where you are then, and call the ambulance: {number}")
#: Her chair cannot be her help, so others are.
SEATED = gettext_noop("Do not try to get up on your own. Call for help, or the ambulance: {number}")
UP = (
    gettext_noop("Bend your knees, and roll onto your side."),
    gettext_noop("Push up onto your hands and knees."),
    gettext_noop("Crawl to a chair that cannot slide: first picture."),
    gettext_noop("Put both hands on the seat."),
    gettext_noop("Put the foot of your stronger leg flat on the floor: second picture."),
    gettext_noop("Push with your hands and that leg until you stand."),
    gettext_noop("Turn slowly, and sit down: third picture."),
    gettext_noop("Rest there, and call us: {phone}"),
)
CANNOT = (
    gettext_noop("Press your alarm, or call the ambulance by phone."),
    gettext_noop("Make noise: shout, or bang on the floor or a wall."),
    gettext_noop("Keep warm: pull a coat, a rug or a blanket over you."),
    gettext_noop("Move a bit every few minutes, where it does not hurt."),
)
READY = (
    gettext_noop("Carry a phone or wear an alarm in every room."),
    gettext_noop("Give a key to somebody who lives near you."),
    gettext_noop("Show this page to whoever lives with you."),
    gettext_noop("Ask us to practise getting up with you."),
)


@dataclass(frozen=True, kw_only=True)
class FallPaper:
    """The page as a paper of its own, after whom to call for what."""

    alarm: Alarm
    fall: FallPage


def fall_paper(program: SignedProgram, words: Words) -> FallPaper:
    """Return what the paper says."""
    return FallPaper(alarm=alarm(program, words), fall=fall_page(program, words))


def fall_page(program: SignedProgram, words: Words) -> FallPage:
    """Return what to do after a fall, for who walks and for who does not."""
    seated = manner_of(program).seated
    return FallPage(
        title=words.gettext("If you fall"),
        first=Section(title=words.gettext("Stay still first"), do=told(FIRST, words)),
        stay=_stay(program, words, seated=seated),
        up=None if seated else _up(program, words),
        figure="" if seated else getting_up(words),
        cannot=Section(title=words.gettext("If you cannot get up"), do=told(CANNOT, words)),
        ready=Section(title=words.gettext("Be ready"), do=told(READY, words)),
    )


def _stay(program: SignedProgram, words: Words, *, seated: bool) -> Section:
    number = isolated(program.clinic.number, words)
    number = number or program.clinic.emergency or words.gettext(BLANK)
    if seated:
        only = (words.gettext(SEATED).format(number=number),)
        return Section(title=words.gettext("Getting up"), do=only)
    return Section(
        title=words.gettext("Do not get up if"),
        tell=told(NOT_UP, words),
        do=(words.gettext(STAY_DOWN).format(number=number),),
    )


def _up(program: SignedProgram, words: Words) -> Section:
    phone = isolated(program.clinic.phone, words) or words.gettext(BLANK)
    steps = (words.gettext(step).format(phone=phone) for step in UP)
    return Section(title=words.gettext("Else get up by a chair"), do=tuple(steps))
