"""Looking the record over: each way in which it may have been changed, and what is not seen."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import tracemalloc
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.db import connection

from patients import audit
from patients.actions.patient_record import Identity, add_patient
from patients.append_only import drop_triggers
from patients.looks import Seen, keep_look
from patients.models.looks import PAGE
from patients.models.patient import Audit, Patient
from programs.actions import papers
from programs.actions.as_signed import NotAsSigned
from programs.actions.drafting import draft_plan
from programs.actions.person_check import broken_of
from programs.actions.program_state import state_of
from programs.actions.record_check import Look, check_record, look_at_the_end, look_over
from programs.actions.refusals import NotDone
from programs.models.program import Handout, SignedPlan
from programs.models.program_state import ProgramState
from programs.models.seal import SignedSeal
from programs.signed.snapshot import digest_of
from tests.people import steady_document
from tests.programs import rows
from tests.programs.actions.test_signing import sign
from tests.programs.rows import AT, DAY

pytestmark = [pytest.mark.long, pytest.mark.database]

PAPERS, PAPER_BYTES = 40, 300_000
TABLES = (
    "patients_audit",
    "programs_signedplan",
    "programs_handout",
    "programs_programstate",
    "programs_signedseal",
    "programs_recordcheck",
    "patients_patient",
)


def on_record(by: User, given_name: str) -> Patient:
    """Add a person as the pages do, with her line in the record."""
    who = Identity(given_name=given_name, family_name="Testwick", born=DAY, sex="female")
    return add_patient(who=who, by=by, at=AT)


@pytest.fixture
def held(clinician: User, monkeypatch: pytest.MonkeyPatch) -> list[SignedPlan]:
    """Two signed programs, each with a paper, and no trigger in the way of changing them."""
    monkeypatch.setattr(papers, "pdf", lambda template, *_, **__: f"%PDF {template}".encode())
    made = [_signed(rows.recorded(clinician, steady_document()), clinician) for _ in range(2)]
    for signed in made:
        papers.make_paper(signed=signed, kind="summary", by=clinician, at=AT)
    drop_triggers(connection.schema_editor(), TABLES)
    return made


def _signed(patient: Patient, by: User) -> SignedPlan:
    with audit.writing():
        audit.record(by=by, at=AT, action="add patient", on=patient)
    return sign(draft_plan(patient=patient, as_of=DAY, starts_on=DAY, by=by, at=AT), by)


def broken() -> str:
    return "\n".join(look_over().broken)


def line_of(row: SignedPlan | Handout) -> Audit:
    return Audit.objects.get(object_type=row._meta.label_lower, object_id=str(row.pk))


def test_an_untouched_record_holds(held: list[SignedPlan]) -> None:
    lines, seal = audit.head()
    assert look_over() == Look(lines=lines, seal=seal, programs=2, papers=2, broken=())
    assert lines == Audit.objects.count()


@pytest.mark.django_db
def test_a_database_without_anybody_holds() -> None:
    assert look_over() == Look(lines=0, seal="", programs=0, papers=0, broken=())


def test_a_changed_line_is_named(held: list[SignedPlan]) -> None:
    Audit.objects.filter(seq=4).update(reason="another")
    assert broken() == "Line 4 of the record: is not as it was written."


@pytest.mark.counted
def test_a_line_changed_beyond_reading_is_named_and_stops_nothing(held: list[SignedPlan]) -> None:
    first, last = map(line_of, held)
    Audit.objects.filter(seq=first.seq).update(new="not JSON")
    Audit.objects.filter(seq=last.seq).update(object_id="not a number")
    SignedPlan.objects.filter(pk=held[1].pk).update(meaning="Another")
    assert look_over().broken[0] == f"Line {first.seq} of the record: is not as it was written."
    assert [one.split(",")[0] for one in look_over().broken[2:]] == [
        f"Line {last.seq} of the record tells of signed program not a number"
    ]


def test_a_changed_program_is_named(held: list[SignedPlan]) -> None:
    SignedPlan.objects.filter(pk=held[1].pk).update(meaning="Another")
    assert broken().startswith(f"Signed program {held[1].pk}: The signature stands beside")


def test_a_program_signed_anew_behind_the_record_is_named(held: list[SignedPlan]) -> None:
    """A last program rewritten whole, text and digest, holds in its own chain."""
    last = held[1]
    body = last.body.replace('"minutes":75', '"minutes":80')
    digest = digest_of(body)
    assert digest != last.digest
    SignedPlan.objects.filter(pk=last.pk).update(body=body, digest=digest)
    assert broken() == f"Signed program {last.pk}: Its keyed seal does not hold."
    SignedSeal.objects.filter(signed=last).delete()
    line = line_of(last).seq
    assert broken() == f"Signed program {last.pk}: Line {line} of the record has another digest."


@pytest.mark.counted
def test_a_program_without_a_state_is_not_read(held: list[SignedPlan]) -> None:
    ProgramState.objects.filter(signed=held[0]).delete()
    with pytest.raises(NotAsSigned, match="in force is gone"):
        state_of(held[0], DAY)


@pytest.mark.counted
def test_a_changed_line_of_a_paper_is_told_of_her_and_of_all(held: list[SignedPlan]) -> None:
    paper = Handout.objects.get(signed=held[0])
    line = line_of(paper)
    Audit.objects.filter(seq=line.seq).update(reason="another")
    with pytest.raises(NotDone, match=f"Line {line.seq} of the record, of this paper"):
        papers.kept_bytes(paper)
    assert f"Kept paper {paper.pk}: Line {line.seq}" in "\n".join(broken_of(held[0].patient_id))


@pytest.mark.counted
def test_a_changed_look_is_told(held: list[SignedPlan], clinician: User) -> None:
    seen = {"kind": PAGE, "page": "patients:facts", "what": {}, "status": 200}
    look = keep_look(Seen(patient_number=held[0].patient_id, **seen), by=clinician, at=AT)
    drop_triggers(connection.schema_editor(), ("patients_look",))
    type(look).objects.filter(pk=look.pk).update(page="patients:measures")
    assert broken() == "Line 1 of the looks: is not as it was written."


def test_the_last_program_cut_off_is_named(held: list[SignedPlan]) -> None:
    """The chain of programs does not see its own end missing; the record's line does."""
    last = held[1]
    Handout.objects.filter(signed=last).delete()
    ProgramState.objects.filter(signed=last).delete()
    SignedSeal.objects.filter(signed=last).delete()
    SignedPlan.objects.filter(pk=last.pk).delete()
    told = broken()
    assert f"tells of signed program {last.pk}, which is gone" in told
    assert "tells of kept paper" in told


@pytest.mark.counted
def test_a_paper_changed_is_named_with_and_without_its_digest(held: list[SignedPlan]) -> None:
    paper = Handout.objects.all()[1]
    Handout.objects.filter(pk=paper.pk).update(pdf=b"%PDF another")
    (at_start,) = look_at_the_end()
    assert at_start.startswith(f"Kept paper {paper.pk}: The kept paper is not the one")
    assert broken() == (
        f"Kept paper {paper.pk}: The kept paper is not the one that was made. It is not shown."
    )
    sha256 = hashlib.sha256(b"%PDF another").hexdigest()
    Handout.objects.filter(pk=paper.pk).update(sha256=sha256)
    line = line_of(paper).seq
    assert broken() == (
        f"Kept paper {paper.pk}: Line {line} of the record has another sha256 of this paper. "
        "It is not shown."
    )


def test_the_first_of_each_kind_is_named_alone(held: list[SignedPlan]) -> None:
    Audit.objects.filter(seq__gte=5).update(reason="another")
    SignedPlan.objects.update(meaning="Another")
    Handout.objects.update(pdf=b"%PDF another")
    told = look_over().broken
    assert [one.split(":")[0] for one in told] == [
        "Line 5 of the record",
        f"Signed program {held[0].pk}",
        f"Kept paper {Handout.objects.first().pk}",
    ]


@pytest.mark.counted
def test_an_emptied_record_is_noticed_also_once_it_goes_on(
    held: list[SignedPlan], clinician: User
) -> None:
    Audit.objects.all().delete()
    assert audit.verify_chain() is None
    for _ in range(2):
        told = look_over().broken
        assert "no line of the record tells of this person" in told[0]
        assert "No line of the record tells of its signing" in told[1]
        assert len(told) == 3
        check_record(by=clinician, at=AT)


def test_a_record_cut_off_shows_against_the_last_look_that_held(clinician: User) -> None:
    drop_triggers(connection.schema_editor(), TABLES)
    on_record(clinician, "Orla")
    with audit.writing():
        audit.record(by=clinician, at=AT, action="logged", on=Patient.objects.get())
    noted = check_record(by=clinician, at=AT)
    assert (noted.lines, noted.broken) == (2, "")
    Audit.objects.filter(seq__gte=2).delete()
    told = check_record(by=clinician, at=AT).broken
    assert (
        told == f"No line of the record has the seal that line 2 had at the last look: {noted.seal}"
    )
    assert check_record(by=clinician, at=AT).broken == told


def test_a_record_cut_off_shows_against_a_seal_noted_before(clinician: User) -> None:
    """What was cut since the last look is not seen without one: the limit of a look."""
    drop_triggers(connection.schema_editor(), TABLES)
    patient = on_record(clinician, "Orla")
    with audit.writing():
        audit.record(by=clinician, at=AT, action="logged", on=patient)
    _, seal = audit.head()
    assert look_over(seal=seal).broken == ()
    Audit.objects.filter(seq=2).delete()
    assert look_over().broken == ()
    (told,) = look_over(seal=seal).broken
    assert told == f"No line of the record has the seal that was noted: {seal}"


@pytest.mark.counted
def test_a_look_is_kept_with_its_line(clinician: User) -> None:
    on_record(clinician, "Orla")
    token, other = uuid4(), uuid4()
    row = check_record(by=clinician, at=AT, token=token)
    assert check_record(by=clinician, at=AT + dt.timedelta(days=1), token=token) == row
    assert (row.by, row.at, row.lines, row.programs, row.papers) == (clinician, AT, 1, 0, 0)
    line = Audit.objects.get(action="check record")
    assert (line.object_id, json.loads(line.new)["seal"]) == (str(row.pk), row.seal)
    assert check_record(by=None, at=AT, token=other).lines == 2
    assert Audit.objects.last().actor_name == "the system"
    assert look_over().broken == ()


def test_another_key_breaks_the_first_line(clinician: User, settings: Any) -> None:
    on_record(clinician, "Orla")
    settings.SECRET_KEY = "another key, as after a lost one, long enough to be one"
    assert broken() == "Line 1 of the record: is not as it was written."


@pytest.mark.counted
def test_a_look_holds_few_papers_in_memory_at_once(clinician: User) -> None:
    signed = rows.signed(rows.plan(on_record(clinician, "Orla"), clinician), clinician)
    for number in range(PAPERS):
        pdf = bytes([number]) * PAPER_BYTES
        held = {"pdf": pdf, "sha256": hashlib.sha256(pdf).hexdigest(), "made_at": AT}
        how = {"language": "en", "paper": "A4", "type_pt": 16}
        Handout.objects.create(signed=signed, kind=f"week {number}", **held, **how)
    tracemalloc.start()
    found = look_over()
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert found.papers == PAPERS
    assert not any("is not the one that was made" in one for one in found.broken)
    assert PAPER_BYTES < most < PAPERS * PAPER_BYTES / 2
