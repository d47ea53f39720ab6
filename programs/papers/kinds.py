"""The papers that can be printed, a row each: what makes it, what lays it out, its letters."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Generic, TypeVar

from programs.export.document import Document
from programs.papers.discharge import discharge
from programs.papers.fall_page import fall_paper
from programs.papers.first_plate_session import plate_session
from programs.papers.numbers import line_start
from programs.papers.pages import pages
from programs.papers.paper_parts import Issue, WeekSheet, Words
from programs.papers.phone_slip import CodeOnSlip, phone_slip
from programs.papers.questionnaire import questionnaire
from programs.papers.span import Span, all_weeks, to_next_visit
from programs.papers.stop_notice import Stop, stop_notice
from programs.papers.summary import summary
from programs.papers.wallet_card import wallet_card
from programs.papers.week_sheet import sheets
from programs.papers.whole_record import Known, whole_record
from programs.signed.ending import Ending
from programs.signed.program import Clinic, SignedProgram
from safety.hazards.safety_file import safety_file

#: The language in which all texts stand in the source.
ENGLISH_CODE = "en"
#: Letters of the papers for colleagues, in points.
COLLEAGUES_PT = 10

#: Makes what a paper says of a signed program, or of weeks of it; None: nothing to print.
OfProgram = Callable[[SignedProgram, Words, Issue, Span], object | None]
#: Makes the notice that a program, or a kind of it, is stopped.
OfStop = Callable[[SignedProgram, Words, Stop], object]
#: Makes what a paper says of a program that ended on a day by a discharge.
OfDischarge = Callable[[SignedProgram, Ending, dt.date, Words], object]
#: Makes the slip with the code of her phone.
OfCode = Callable[[Words, CodeOnSlip], object]
#: Makes what a paper says of everything kept of a person.
OfPerson = Callable[[Document, Known], object]
#: Makes what a paper says that is nobody's own, such as the safety file.
Blank = Callable[[Words], object]
#: Makes what a form to fill in says, with the clinic's own numbers.
OfClinic = Callable[[Words, Clinic], object]
Sheets = tuple[WeekSheet, ...]
Made = TypeVar("Made", bound=Callable[..., object | None])


@dataclass(frozen=True, kw_only=True)
class Paper(Generic[Made]):
    """A paper; forms, pages, the actions and the tests read no more of it than this.

    code       what it is kept under, before its weeks or its number; 20 letters with that
    title      in the list from which it is chosen
    called     within a sentence
    template   what lays it out
    part       the name by which the template knows what `make` returns
    make       returns what the paper says
    nothing    what is told where that is None; {weeks} are the weeks asked for
    numbered   it is of some weeks, or of one of many, and kept with which
    size_pt    the size of its letters in points; None where it is chosen
    languages  codes of the only languages that it is in; None where any is
    """

    code: str
    title: str
    called: str
    template: str
    part: str
    make: Made
    nothing: str
    numbered: bool
    size_pt: int | None
    languages: tuple[str, ...] | None

    def kept_as(self, of: object) -> str:
        """Return the kind that a kept paper has: "summary", "sheets 1-4".

        of   the weeks that it is of, or the number of what it was made from
        """
        return f"{self.code} {of}" if self.numbered else self.code

    def letters_pt(self, chosen: int) -> int:
        """Return the size of its letters in points where `chosen` was asked for."""
        return chosen if self.size_pt is None else self.size_pt

    def spoken(self, chosen: str) -> str:
        """Return the code of the language it is in where `chosen` was asked for."""
        languages = self.languages or (chosen,)
        return chosen if chosen in languages else languages[0]


def _sheets(program: SignedProgram, words: Words, span: Span) -> Sheets | None:
    found = sheets(program, words, span)
    # A week that the program does not have has no sheet: nothing is left out in silence.
    return found if len(found) == span.last - span.first + 1 else None


#: Kept before there were weeks in it: "handout", "first weeks" and "week 3" are never made again.
TO_VISIT, HANDOUT, SHEETS, LETTER = "to visit", "handout", "sheets", "summary"
_ROWS: tuple[Paper[OfProgram], ...] = (
    Paper(
        code=TO_VISIT,
        title="Take-home handout, to the next visit",
        called="the handout to the next visit",
        template="handout.html",
        part="handout",
        make=pages,
        nothing="",
        numbered=True,
        size_pt=None,
        languages=None,
    ),
    Paper(
        code=HANDOUT,
        title="Take-home handout, all weeks",
        called="the handout of all weeks",
        template="handout.html",
        part="handout",
        make=pages,
        nothing="",
        numbered=True,
        size_pt=None,
        languages=None,
    ),
    Paper(
        code=SHEETS,
        title="Week sheets for the fridge door",
        called="the week sheets",
        template="paper/sheets.html",
        part="sheets",
        make=lambda program, words, issue, span: _sheets(program, words, span),
        nothing="The program does not have all of weeks {weeks}.",
        numbered=True,
        size_pt=None,
        languages=None,
    ),
    Paper(
        code="fall",
        title="What to do after a fall",
        called="the page on falls",
        template="paper/fall.html",
        part="falling",
        make=lambda program, words, issue, span: fall_paper(program, words),
        nothing="",
        numbered=False,
        size_pt=None,
        languages=None,
    ),
    Paper(
        code="wallet card",
        title="Wallet card: whom to call for what",
        called="the card",
        template="paper/wallet_card.html",
        part="card",
        make=lambda program, words, issue, span: wallet_card(program, words, issue),
        nothing="",
        numbered=False,
        # The card's own letters are as large as a wallet allows.
        size_pt=16,
        languages=None,
    ),
    Paper(
        code=LETTER,
        title="Letter to the referring doctor",
        called="the letter to the referring doctor",
        template="paper/summary.html",
        part="summary",
        make=lambda program, words, issue, span: summary(program),
        nothing="",
        numbered=False,
        size_pt=COLLEAGUES_PT,
        # A colleague reads what was signed in the language in which it was.
        languages=(ENGLISH_CODE,),
    ),
    Paper(
        code="plate session",
        title="Record of the first session on the plate",
        called="the record of the first session",
        template="paper/plate_session.html",
        part="session",
        make=lambda program, words, issue, span: plate_session(program, words),
        nothing="The program holds no plate.",
        numbered=False,
        size_pt=COLLEAGUES_PT,
        languages=None,
    ),
)
#: The papers of a signed program by their code, in the order in which they are offered.
KINDS: Mapping[str, Paper[OfProgram]] = MappingProxyType({row.code: row for row in _ROWS})


def kept_title(kind: str) -> str:
    """Return what a kept paper is called; one of a kind that is made no more by its code."""
    code, _, of = kind.rpartition(" ")
    if kind in KINDS:
        return KINDS[kind].title
    if code in KINDS:
        return f"{KINDS[code].title}, weeks {of.replace('-', ' to ')}"
    return line_start(kind)


def span_of(code: str, program: SignedProgram, on: dt.date, chosen: Span | None) -> Span:
    """Return the weeks of a paper that is made on a day; chosen ones count for the sheets alone.

    Without a choice the sheets are those to the next visit.
    """
    if code == HANDOUT:
        return all_weeks(program)
    if code == SHEETS and chosen is not None:
        return chosen
    return to_next_visit(program, on)


STOP_NOTICE: Paper[OfStop] = Paper(
    code="stop notice",
    title="Notice to stop",
    called="the notice to stop",
    template="paper/stop_notice.html",
    part="notice",
    make=stop_notice,
    nothing="",
    numbered=False,
    size_pt=None,
    languages=None,
)
QUESTIONNAIRE: Paper[OfClinic] = Paper(
    code="questions",
    title="Blank questions for a first visit",
    called="the blank form",
    template="paper/questionnaire.html",
    part="form",
    make=questionnaire,
    nothing="",
    numbered=False,
    size_pt=None,
    languages=None,
)
#: Not among the papers of a program: it is made from the review that ended one.
DISCHARGE: Paper[OfDischarge] = Paper(
    code="discharge",
    title="Discharge: what to keep doing",
    called="the discharge page",
    template="paper/discharge.html",
    part="discharge",
    make=discharge,
    nothing="",
    # By its review, as others are by their weeks.
    numbered=True,
    size_pt=None,
    languages=None,
)
#: Never kept, for the code is on it.
PHONE_SLIP: Paper[OfCode] = Paper(
    code="phone slip",
    title="Slip with the code of her phone",
    called="the slip of her phone",
    template="paper/phone_slip.html",
    part="slip",
    make=phone_slip,
    nothing="",
    numbered=False,
    size_pt=16,
    languages=None,
)
SAFETY_FILE: Paper[Blank] = Paper(
    code="safety file",
    title="Clinical safety file",
    called="the clinical safety file",
    template="paper/safety_file.html",
    part="file",
    make=lambda words: safety_file(),
    nothing="",
    numbered=False,
    size_pt=COLLEAGUES_PT,
    languages=(ENGLISH_CODE,),
)
WHOLE_RECORD: Paper[OfPerson] = Paper(
    code="whole record",
    title="Everything kept of a person",
    called="the paper of everything kept",
    template="paper/whole_record.html",
    part="whole",
    make=whole_record,
    nothing="",
    numbered=False,
    size_pt=COLLEAGUES_PT,
    languages=(ENGLISH_CODE,),
)
