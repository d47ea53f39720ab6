"""What a clinic does, with a stop wherever something is to be seen that is gone later."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from django.contrib.auth.models import User

from patients import audit
from patients.actions import scanners, withdrawing
from patients.models.patient import KINDS, MarkerRow, Patient
from patients.models.scanners import MarkerError, PrecisionStudy, Scanner
from programs.actions import drafting, editing, papers, sessions, signing
from programs.actions.clinic import details_in_force
from programs.models.plates import PlateMeasurement
from programs.models.program import SignedPlan
from programs.papers.kinds import KINDS as PAPERS
from programs.review.adherence import Session
from safety.actions import add_clearance
from safety.findings import Modality
from tests.hostile.writing import Written
from tests.kills.story import PEOPLE, story
from tests.people import steady_document
from tests.programs import reviews, rows
from tests.programs.edit.test_changes import edit
from tests.programs.reviews import after
from tests.programs.rows import AT, DAY

#: The stop at which a program is in force that her phone may show.
WITH_HER_PHONE = "with her phone"
#: Actions before which there is something to be read that they take away.
_BEFORE = ("sign_plan", "leave_day", "undo_join", "set_keys", "erase_person")


def a_clinic(by: User, written: Written) -> Iterator[tuple[str, dt.datetime]]:
    """Yield each stop with its moment, while a clinic does one of everything."""
    for name, step in story(by):
        if name == "erase_person":
            signed = _program(by, written)
            yield WITH_HER_PHONE, AT + dt.timedelta(days=2)
            _more(signed, by, written)
        if name in _BEFORE:
            yield f"before {name}", after(5) if name == "erase_person" else after(1)
        with written.taking_their_place():
            step()
    yield "after erase_person", after(5)


def _program(by: User, written: Written) -> SignedPlan:
    with written.taking_their_place():
        signed = _signed(by)
        _printed(signed, by)
    return signed


def _more(signed: SignedPlan, by: User, written: Written) -> None:
    """Do what the story leaves out: notes, reasons, and one of each kind struck out."""
    with written.taking_their_place():
        _logged(signed, by, written)
        wrist = [{"site": "wrist", "date": "2011-12-31"}]
        her = rows.recorded(by, steady_document(fractures=wrist))
        _struck_out(her, by)
        with audit.writing():
            reason = "A line with a reason"
            audit.record(by=by, at=AT, action="change patient", on=her, reason=reason)


def _signed(by: User) -> SignedPlan:
    """Sign a program of which a kind was left out, for a reason, under the clinic's own name."""
    her = rows.recorded(by, steady_document(resources={"days": reviews.DAYS}))
    plan = drafting.draft_plan(patient=her, as_of=DAY, starts_on=DAY, by=by, at=AT)
    edits = [edit("impact", new=False), edit("balance.minutes", 60, 1, 3)]
    editing.edit_plan(plan=plan, edits=edits, lock=plan.lock, reason="No jumps", by=by, at=AT)
    plan.refresh_from_db()
    told = details_in_force()
    clinic = {name: getattr(told, name) for name in ("name", "phone", "address", "emergency")}
    signs = {"today": DAY, "starts_on": DAY, "clinic": clinic, "by": by, "at": AT}
    return signing.sign_plan(plan=plan, lock=plan.lock, **signs)


def _printed(signed: SignedPlan, by: User) -> None:
    for kind in PAPERS:
        for language in ("en", "es"):
            papers.make_paper(signed=signed, kind=kind, language=language, by=by, at=AT)


def _logged(signed: SignedPlan, by: User, written: Written) -> None:
    def said(column: str) -> str:
        return written.text(f"programs.SessionLog.{column}", 200)

    plain = Session(on=DAY, modality=Modality.PLATE, done="all", effort=5, pain=1, fell=False)
    told = {name: said(name) for name in ("note", "pain_where", "plate")}
    of_day = {name: said(name) for name in ("red_flag", "broke")}
    for number, more in enumerate((told, of_day, told)):
        one = Session(**{**vars(plain), **more, "on": DAY + dt.timedelta(days=number)})
        row = sessions.log_session(patient=signed.patient, session=one, by=by, at=after(4))
    withdrawing.withdraw(row=row, reason="Of another", by=by, at=after(4))


def _struck_out(her: Patient, by: User) -> None:
    marker = {"date": DAY, "marker": "ctx", "value": 300, "unit": "ng/L"}
    rows.entry(MarkerRow(patient=her, entered_by=by, entered_at=AT, **marker))
    clearance = {"modalities": ["plate"], "given_by": "Dr Heart", "subject": "low_t"}
    until = DAY + dt.timedelta(days=90)
    cleared = [
        add_clearance(patient=her, on=DAY, until=until, by=by, at=AT, **clearance) for _ in range(2)
    ]
    of_her = [kind.objects.filter(patient=her).first() for kind in KINDS.values()]
    figures = scanners.MarkerFigures(
        laboratory="North", marker="p1np", told_on=DAY, lsc_percent=30.0
    )
    scanners.record_marker_error(figures=figures, by=by, at=AT)
    study = scanners.Study(site="femoral_neck", made_on=DAY, people=PEOPLE)
    scanners.record_study(scanner=Scanner.objects.latest("pk"), study=study, by=by, at=AT)
    kept = (MarkerError, PrecisionStudy, PlateMeasurement)
    for row in (*of_her, cleared[0], *(kind.objects.latest("pk") for kind in kept)):
        assert row is not None
        withdrawing.withdraw(row=row, reason="Of another", by=by, at=AT)
