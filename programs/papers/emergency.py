"""When to call the ambulance, then when to stop and call the clinic: what papers say first.

Each paper that tells of such signs takes both boxes from here, whole, so no paper sends her to the
clinic's telephone with what another sends to the ambulance. Composed from the red flags and the
pain rule of the rulebook (rows 11 and 26a). That who cannot get up or bear weight after a fall may
have a broken hip, and what a knock on the head is watched for, are common practice.
"""

from __future__ import annotations

from programs.papers.numbers import isolated
from programs.papers.paper_parts import Alarm, Words, gettext_noop, told
from programs.signed.program import Clinic, SignedProgram

AMBULANCE = (
    gettext_noop("Chest pain, a blackout, or too short of breath to speak."),
    gettext_noop("A leg, an arm or the face turns weak or numb."),
    gettext_noop("No control of bladder or bowel, or numb between the legs."),
    gettext_noop("A fall: you cannot get up, or a leg will not bear your weight."),
    gettext_noop(
        "A knock on the head, then a blackout, vomiting, sleepiness or a growing headache."
    ),
)
STOP = (
    gettext_noop("Pain of 6 points or more, or that stays for 24 hours."),
    gettext_noop("New pain in back, hip, thigh or groin."),
    gettext_noop("Any other fall, a fever, or you feel dizzy or faint."),
)
#: On a blood thinner, or where nobody has asked: rulebook row 11.
KNOCK = gettext_noop(
    "On a blood thinner: after any knock on the head, go to the emergency department the same "
    "day, even if you feel well."
)
#: To be filled in by hand where the clinic has set no number.
BLANK = gettext_noop("____________________ (ask us for the number)")


def alarm(program: SignedProgram, words: Words) -> Alarm:
    """Return what a paper of a program says first."""
    return _alarm(program.clinic, knock(program, words), words)


def blank_alarm(clinic: Clinic, words: Words) -> Alarm:
    """Return what a paper says first that is nobody's yet."""
    return _alarm(clinic, words.gettext(KNOCK), words)


def knock(program: SignedProgram, words: Words) -> str:
    """Return what to do after a knock on the head; nothing where she takes no blood thinner."""
    return "" if program.anticoagulant is False else words.gettext(KNOCK)


def _alarm(clinic: Clinic, knock: str, words: Words) -> Alarm:
    return Alarm(
        number=isolated(clinic.number, words),
        own=clinic.emergency,
        ambulance=told(AMBULANCE, words),
        knock=knock,
        phone=isolated(clinic.phone, words),
        stop=told(STOP, words),
        blank=words.gettext(BLANK),
    )
