"""The slip with the one-use code of her phone: what it is for, for how long, what it shows."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from programs.papers.paper_parts import Words, gettext_noop
from programs.papers.weeks import full_date_words
from programs.phone.qr import svg

_TITLE = gettext_noop("This week on your phone")
_SEEN = gettext_noop("Picture of an address for the camera of your phone")
_DO = (
    gettext_noop("Join the network of the clinic with your phone."),
    gettext_noop("Point the camera of your phone at the picture."),
    gettext_noop("Open the page. Then press the large button."),
)
_ENDS = gettext_noop("It works one time, on one phone, until {time} on {date}.")
_SHOWS = gettext_noop("Your phone then shows this week only: what to do, and a log to fill in.")
_REST = gettext_noop("All other weeks are on your paper. The paper comes first.")
_KEEP = gettext_noop("Keep this slip to yourself. Whoever has it can open your week.")
_TYPED = gettext_noop("If the picture cannot be read, open this page on your phone:")
_CODE = gettext_noop("Then type this code:")
_LOST = gettext_noop("If you lose it, call us on {phone}. We stop the code.")
_LOST_NO_PHONE = gettext_noop("If you lose it, call us. We stop the code.")


@dataclass(frozen=True, kw_only=True)
class CodeOnSlip:
    """A code as it is given out.

    picture   the address that the picture holds
    address   the short one that is typed; code the code beside it
    until     its last moment, in the clinic's own time
    phone     the clinic's number; empty where it has none
    """

    picture: str
    address: str
    code: str
    until: dt.datetime
    phone: str


@dataclass(frozen=True, kw_only=True)
class PhoneSlip:
    """What the slip says; qr is a picture of our own making."""

    title: str
    qr: str
    do: tuple[str, ...]
    tell: tuple[str, ...]
    typed: str
    address: str
    then: str
    code: str
    lost: str


def phone_slip(words: Words, held: CodeOnSlip) -> PhoneSlip:
    """Return what the slip says. It names nobody: it may be lost."""
    say = words.gettext
    ends = say(_ENDS).format(time=f"{held.until:%H:%M}", date=full_date_words(held.until, words))
    lost = say(_LOST).format(phone=held.phone) if held.phone else say(_LOST_NO_PHONE)
    return PhoneSlip(
        title=say(_TITLE),
        qr=svg(held.picture, say(_SEEN)),
        do=tuple(say(line) for line in _DO),
        tell=(ends, say(_SHOWS), say(_REST), say(_KEEP)),
        typed=say(_TYPED),
        address=held.address,
        then=say(_CODE),
        code=held.code,
        lost=lost,
    )
