"""Everything kept of a person: nothing of hers is missing, nothing of another's is in it."""

from __future__ import annotations

import datetime as dt
import hashlib
import io
import json
import zipfile
from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest
from django.apps import apps
from django.contrib.auth.models import User
from django.db import connection

from patients.actions.finding import keep_findable
from patients.actions.unfinished import keep_unfinished
from patients.actions.withdrawing import withdraw
from patients.append_only import drop_triggers
from patients.audit import verify_chain
from patients.models.erasure import PersonErasure
from patients.models.patient import Audit, FractureRow, MarkerRow, Patient, ScanRow, SizeRow
from patients.models.standing import Closing, Join, LookedThrough, TwoPeople
from programs.actions import person_export
from programs.actions.papers import keep_paper
from programs.actions.person_export import EXPORT, everything_kept, exports_of, write_archive
from programs.actions.printing import PaperRefused
from programs.export.document import text_of
from programs.export.fhir.bundle import bundle
from programs.export.tables import TABLES
from programs.models.asked_doctors import DoctorAnswered, DoctorAsked
from programs.models.beside import KindSaid, PromptAnswer
from programs.models.program import Handout, SignedPlan
from programs.models.program_state import ProgramState, StopTold
from programs.models.seal import SignedErasure
from safety.actions import add_clearance, screen_patient
from tests.factories import PatientFactory
from tests.people import fracture, steady_document
from tests.programs import reviews, rows
from tests.programs.export.fhir.bundle_check import problems
from tests.programs.rows import AT, DAY

pytestmark = [pytest.mark.long, pytest.mark.database]
PAPER = b"%PDF of a test"
OPTIONS = {"kind": "handout", "language": "en", "paper": "A4", "type_pt": 16}
ANSWERS = {"resources": {"days": reviews.DAYS}, "fractures": [fracture("wrist", "2019-05-01")]}


def a_whole_life(by: User) -> SignedPlan:
    """Return the program of a person of whom there is a row in every table."""
    signed = reviews.signed(by, steady_document(**ANSWERS))
    of = signed.patient
    entered: dict[str, Any] = {"patient": of, "entered_by": by, "entered_at": AT}
    MarkerRow.objects.create(date=DAY, marker="ctx", value=520, unit="ng/L", **entered)
    wrong = SizeRow.objects.create(date=DAY, height_cm=191, **entered)
    withdraw(row=wrong, reason="Belongs to another person", by=by, at=AT)
    add_clearance(
        patient=of,
        subject="low_t",
        modalities=["impact"],
        given_by="Dr Example",
        on=DAY,
        until=DAY + dt.timedelta(days=90),
        by=by,
        at=AT,
    )
    screen_patient(patient=of, as_of=DAY, by=by, at=AT)
    rows.edit(signed.plan, by, reason="Tired on Fridays")
    rows.session(signed, by, note="slipped at the sink")
    rows.phone_rows(signed, by)
    rows.review(signed, by)
    keep_paper(signed, PAPER, OPTIONS, by, AT, {})
    rows.rulebook_check(signed)
    rows.rescreen(of)
    stop = rows.state(signed, ProgramState.STOPPED, modality="plate")
    StopTold.objects.create(stop=stop, told_by="Marta", how="in person", on=DAY, by=by, at=AT)
    asked = DoctorAsked.objects.create(
        patient=of, doctor="Dr Vale", what="Leave for plate", on=DAY, by=by, at=AT
    )
    DoctorAnswered.objects.create(asked=asked, answer="leave", on=DAY, by=by, at=AT)
    said = {"modality": "plate", "said": "refuses", "words": "No", "asked_by": "Dr Vale"}
    KindSaid.objects.create(patient=of, **said, on=DAY, by=by, at=AT)
    given = {"prompt": "protein", "answer": "done", "on": DAY, "by": by, "at": AT}
    PromptAnswer.objects.create(patient=of, **given)
    left = {"page": f"/patients/{of.pk}/facts/falls/", "title": "Falls", "made_from": ""}
    keep_unfinished(patient=of, typed={"n": {"was": [""], "now": ["1"]}}, by=by, at=AT, **left)
    double = joined_to(of, by)
    LookedThrough.objects.create(join=Join.objects.get(double=double), by=by, at=AT)
    TwoPeople.objects.create(one=of, other=rows.patient(by), reason="Twins", by=by, at=AT)
    Closing.objects.create(patient=of, what="moved", on=DAY, by=by, at=AT)
    return signed


def joined_to(of: Patient, by: User) -> Patient:
    """Return another record of the same person, joined to hers."""
    double = rows.patient(by, given_name="Orlagh")
    FractureRow.objects.create(patient=double, entered_by=by, entered_at=AT, site="hip", date=DAY)
    Join.objects.create(double=double, into=of, reason="Same person", by=by, at=AT)
    for one in (double, of):
        keep_findable(one)
    return double


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    return a_whole_life(clinician)


@pytest.fixture(autouse=True)
def printed(monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    """Let nothing be printed; give what would have been."""
    asked: list[Any] = []

    def pdf(template: str, context: Any, **how: Any) -> bytes:
        asked.append(context["whole"])
        return f"%PDF {template} {how['paper']}".encode()

    monkeypatch.setattr(person_export, "pdf", pdf)
    return asked


def archive(of: Patient, by: User | None = None) -> bytes:
    made = io.BytesIO()
    write_archive(patient=of, by=by, at=AT, to=made)
    return made.getvalue()


def files(of: Patient, by: User | None = None) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(archive(of, by))) as opened:
        assert opened.testzip() is None
        return {name: opened.read(name) for name in opened.namelist()}


def as_a_text(value: Any) -> Any:
    return json.loads(text_of(value))


def test_every_table_has_its_rows_with_every_column(signed: SignedPlan) -> None:
    erased = {"why": "She asked", "by": signed.signed_by, "at": AT}
    SignedErasure.objects.create(signed=signed, **erased)
    PersonErasure.objects.create(patient=signed.patient, **erased)
    held = everything_kept(signed.patient)
    for table in TABLES:
        told = held["tables"][table.key]
        assert told, table.key
        columns = {one.attname for one in apps.get_model(table.model)._meta.concrete_fields}
        assert [row.keys() for row in told] == [columns] * len(told)
    assert held["patient_id"] == signed.patient.pk


def test_what_was_struck_out_is_there_with_its_reason(signed: SignedPlan) -> None:
    sizes = everything_kept(signed.patient)["tables"]["heights_and_weights"]
    struck = [row for row in sizes if row["withdrawn_at"]]
    assert [row["withdrawn_reason"] for row in struck] == ["Belongs to another person"]
    assert struck[0]["height_cm"] == "191.0"
    assert len(sizes) == 2


def test_a_signed_text_is_there_to_the_letter_and_told_to_hold(signed: SignedPlan) -> None:
    held = everything_kept(signed.patient)
    (row,) = as_a_text(held)["tables"]["signed_programs"]
    assert hashlib.sha256(row["body"].encode()).hexdigest() == row["digest"] == signed.digest
    assert row["signed_name"] == "Marta Ferro"
    assert held["holds"]["signed_programs"] == {str(signed.pk): True}


def test_what_stands_under_her_record_is_hers(signed: SignedPlan) -> None:
    held = everything_kept(signed.patient)
    double = Join.objects.get(into=signed.patient).double
    assert held["records"] == [signed.patient.pk, double.pk]
    assert {row["id"] for row in held["tables"]["people"]} == {signed.patient.pk, double.pk}
    sites = {row["site"]: row["patient_id"] for row in held["tables"]["fractures"]}
    assert sites == {"wrist": signed.patient.pk, "hip": double.pk}


def test_a_double_alone_is_told_without_the_other(signed: SignedPlan) -> None:
    double = Join.objects.get(into=signed.patient).double
    held = everything_kept(double)
    assert held["records"] == [double.pk]
    assert [row["site"] for row in held["tables"]["fractures"]] == ["hip"]
    assert held["tables"]["signed_programs"] == []


def test_nothing_of_anybody_else_is_in_it(signed: SignedPlan, clinician: User) -> None:
    before = text_of(everything_kept(signed.patient))
    other = a_whole_life(clinician)
    assert text_of(everything_kept(signed.patient)) == before
    assert signed.patient.family_name not in text_of(everything_kept(other.patient))


def test_the_lines_of_the_record_about_her_are_there_with_their_seals(
    signed: SignedPlan, clinician: User
) -> None:
    a_whole_life(clinician)
    told = everything_kept(signed.patient)["record"]
    actions = [line["action"] for line in told]
    for action in ("sign plan", "draft plan", "add clearance", "screen", "withdraw size"):
        assert action in actions
    assert [line["seq"] for line in told] == sorted(line["seq"] for line in told)
    first = Audit.objects.get(seq=told[0]["seq"])
    assert (told[0]["hash"], told[0]["new"]) == (first.hash, first.new)
    about = {(line["object_type"], line["object_id"]) for line in told}
    assert ("programs.signedplan", str(signed.pk)) in about
    assert len([one for one in about if one[0] == "programs.signedplan"]) == 1


def test_more_rows_than_one_query_asks_for(
    signed: SignedPlan, monkeypatch: pytest.MonkeyPatch
) -> None:
    told = everything_kept(signed.patient)["record"]
    monkeypatch.setattr(person_export, "_AT_ONCE", 1)
    assert everything_kept(signed.patient)["record"] == told


def test_who_is_meant_by_an_id_is_told(signed: SignedPlan, clinician: User) -> None:
    User.objects.create_user("nobody.here")
    held = everything_kept(signed.patient)
    assert held["users"] == {str(clinician.pk): {"username": "m.ferro", "name": "Marta Ferro"}}


def test_a_form_sent_twice_is_told_by_its_token(signed: SignedPlan, clinician: User) -> None:
    token = "7d0ab1a4-6a0c-4b3e-9f6e-0d7d5d0f2b11"
    line = Audit.objects.filter(object_type="patients.sizerow").latest("seq")
    drop_triggers(connection.schema_editor(), ("patients_audit",))
    Audit.objects.filter(seq=line.seq).update(token=token)
    tokens = [one["token"] for one in everything_kept(signed.patient)["record"]]
    assert tokens.count(token) == 1


def test_the_archive_holds_the_document_its_paper_and_each_paper(
    signed: SignedPlan, printed: list[Any]
) -> None:
    held = files(signed.patient)
    paper = Handout.objects.get(signed=signed)
    assert [*held] == ["person.json", "fhir.json", "person.pdf", f"papers/{paper.pk}.pdf"]
    assert held[f"papers/{paper.pk}.pdf"] == PAPER
    document = json.loads(held["person.json"])
    assert document == as_a_text(everything_kept(signed.patient))
    assert document["tables"]["papers"][0]["pdf"] == f"papers/{paper.pk}.pdf"
    assert held["person.pdf"] == b"%PDF paper/whole_record.html A4"
    assert printed[0].name == signed.patient.name


def test_the_bundle_holds_what_the_checker_asks_and_tells_of_her(signed: SignedPlan) -> None:
    made = json.loads(files(signed.patient)["fhir.json"])
    assert problems(made) == []
    kinds = Counter(entry["resource"]["resourceType"] for entry in made["entry"])
    assert (kinds["Patient"], kinds["CarePlan"], kinds["Provenance"]) == (2, 1, 1)
    assert kinds["Observation"] > 15
    assert kinds["Condition"] == 2


def test_the_ids_are_of_this_clinic(signed: SignedPlan, clinician: User) -> None:
    held = everything_kept(signed.patient)
    assert held["clinic"] == Audit.objects.get(seq=1).hash
    assert bundle(held, None)["id"] != bundle(held | {"clinic": "c" * 64}, None)["id"]


def test_the_same_rows_give_the_same_bytes(signed: SignedPlan, clinician: User) -> None:
    """Twice, by two people: that it was taken tells nothing of her, so nothing is changed by it."""
    first = archive(signed.patient, clinician)
    assert archive(signed.patient) == first
    rows.session(signed, clinician)
    assert archive(signed.patient) != first


def test_nothing_in_it_tells_of_this_machine_or_of_now(signed: SignedPlan) -> None:
    with zipfile.ZipFile(io.BytesIO(archive(signed.patient))) as opened:
        for info in opened.infolist():
            assert info.date_time == (1980, 1, 1, 0, 0, 0)
            assert (info.external_attr >> 16, info.create_system) == (0o600, 3)
            assert info.compress_type == zipfile.ZIP_STORED


def test_that_it_was_taken_is_in_the_record(signed: SignedPlan, clinician: User) -> None:
    held = files(signed.patient, clinician)
    (line,) = exports_of(signed.patient)
    assert (line.action, line.actor, line.at) == (EXPORT, clinician, AT)
    assert json.loads(line.new)["person.json"] == hashlib.sha256(held["person.json"]).hexdigest()
    assert signed.patient.family_name not in line.new
    assert verify_chain() is None
    archive(signed.patient)
    assert [one.actor for one in exports_of(signed.patient)] == [None, clinician]


def test_what_could_not_be_printed_was_not_taken(
    signed: SignedPlan, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*args: Any, **how: Any) -> bytes:
        raise PaperRefused("Too long.")

    monkeypatch.setattr(person_export, "pdf", refused)
    with pytest.raises(PaperRefused):
        archive(signed.patient)
    assert not exports_of(signed.patient).exists()


def tampered(table: str) -> Callable[..., None]:
    drop_triggers(connection.schema_editor(), (table,))

    def change(sql: str, *values: object) -> None:
        with connection.cursor() as cursor:
            cursor.execute(sql, values)

    return change


def test_a_paper_that_was_changed_is_told_and_not_given(
    signed: SignedPlan, printed: list[Any]
) -> None:
    paper = Handout.objects.get(signed=signed)
    change = tampered("programs_handout")
    change("UPDATE programs_handout SET pdf = %s WHERE id = %s", b"%PDF other", paper.pk)
    held = files(signed.patient)
    assert [*held] == ["person.json", "fhir.json", "person.pdf"]
    assert json.loads(held["person.json"])["holds"]["papers"] == {str(paper.pk): False}


@pytest.mark.counted
def test_a_signed_text_that_was_changed_is_told(signed: SignedPlan, printed: list[Any]) -> None:
    change = tampered("programs_signedplan")
    body = signed.body.replace("Marta Ferro", "Somebody Else")
    assert body != signed.body
    change("UPDATE programs_signedplan SET body = %s WHERE id = %s", body, signed.pk)
    held = json.loads(files(signed.patient)["person.json"])
    assert held["holds"]["signed_programs"] == {str(signed.pk): False}
    assert "not the one that was signed" in printed[0].programs[0].wrong


def test_the_paper_tells_what_is_known_on_the_last_day_of_which_something_is_kept(
    signed: SignedPlan, printed: list[Any]
) -> None:
    archive(signed.patient)
    assert printed[0].as_of == "2 Mar 2026"
    assert printed[0].problems == ()


@pytest.mark.counted
def test_what_cannot_stand_together_is_shown_table_by_table(
    signed: SignedPlan, clinician: User, printed: list[Any]
) -> None:
    entered: dict[str, Any] = {"patient": signed.patient, "entered_by": clinician}
    before_birth = dt.date(1940, 1, 1)
    ScanRow.objects.create(date=before_birth, site="total_hip", entered_at=AT, **entered)
    archive(signed.patient)
    assert printed[0].as_of == ""
    assert printed[0].readings == ()
    assert printed[0].problems


def test_of_somebody_of_whom_nothing_is_known(clinician: User, printed: list[Any]) -> None:
    of = PatientFactory()
    assert everything_kept(of)["clinic"] == "0" * 64
    archive(of)
    assert printed[0].as_of == "2 Mar 2026"
    assert "Density scans" in printed[0].empty


@pytest.mark.counted
def test_the_paper_tells_the_first_and_the_last_week_of_each_kind_that_was_signed(
    clinician: User, printed: list[Any]
) -> None:
    resources = {"days": reviews.DAYS, "plates": []}
    archive(reviews.signed(clinician, steady_document(resources=resources)).patient)
    kinds = [name for name, _, _ in printed[0].programs[0].doses]
    assert "Balance" in kinds
    assert "Vibration plate" not in kinds
