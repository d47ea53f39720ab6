"""The erasure of a person by law: what goes, what stays whole, what is found all the same."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest
from django.apps import apps
from django.contrib.auth.models import User
from django.contrib.sessions.backends.db import SessionStore
from django.contrib.sessions.models import Session
from django.db import DatabaseError, IntegrityError, connection, transaction

from patients import audit
from patients.actions.finding import keep_findable
from patients.actions.joining import join_records
from patients.actions.patient_record import Identity, change_patient
from patients.actions.scanners import park
from patients.append_only import set_aside_for_an_erasure
from patients.asked_for import asked_for
from patients.joining import HERE, Pair
from patients.models.erasure import PersonErasure
from patients.models.finding import Findable, WordKey
from patients.models.forms_sent import FormSent
from patients.models.patient import Audit, FractureRow, Patient
from patients.models.scanners import ParkedFile
from patients.models.standing import TwoPeople
from patients.search import found
from patients.staff.rights import Role
from patients.standing import erasure_of
from programs.actions import erasing
from programs.actions.as_signed import NotAsSigned, erased, program_of
from programs.actions.erasing import erase_person, what_goes
from programs.actions.older_seals import seal_older, unsealed
from programs.actions.person_check import broken_of
from programs.actions.record_check import look_at_the_end, look_over
from programs.actions.refusals import NotDone
from programs.models.program import Handout, Plan, PlanEdit, SessionLog, SignedPlan
from programs.models.seal import SignedErasure, SignedSeal
from tests.factories import DAY
from tests.people import steady_document
from tests.programs import rows
from tests.programs.models.test_program import triggers
from tests.programs.rows import AT
from tests.staff import person_of

pytestmark = [pytest.mark.long, pytest.mark.database]
WHY = "She asked for it on 3 May 2026, Art. 17 of the GDPR"


def a_person(by: User, name: str) -> Patient:
    """Return somebody with facts, a signed program, an edit, a log, a review and a paper."""
    of = rows.recorded(by, steady_document(), family_name=name, record_number=f"{name}-17")
    signed = rows.signed(rows.plan(of, by), by)
    rows.session(signed, by, note=f"{name} slipped at the sink")
    rows.review(signed, by, note=f"{name} is tired")
    rows.on_record(rows.edit(signed.plan, by, reason=f"{name} wants less"), "edit plan", by=by)
    rows.handout(signed)
    dropped = rows.plan(of, by, version=2, state=Plan.DROPPED)
    rows.on_record(dropped, "drop draft", by=by)
    return of


@pytest.fixture
def her(clinician: User) -> Patient:
    return a_person(clinician, "Zwanziger")


@pytest.fixture
def other(clinician: User) -> Patient:
    return a_person(clinician, "Bystander")


def erase(of: Patient, by: User) -> PersonErasure:
    return erase_person(patient=of, why=WHY, by=by, at=AT)


def everything() -> str:
    """Return the text of each table of the database, the search's own included."""
    found = []
    tables = [model._meta.db_table for model in apps.get_models() if model._meta.managed]
    with connection.cursor() as cursor:
        for table in tables:
            cursor.execute(f"SELECT * FROM {table}")
            for row in cursor.fetchall():
                held = [bytes(one) if isinstance(one, memoryview) else one for one in row]
                found.append(f"{table} {held}")
    return "\n".join(found)


def change(row: Any, **columns: Any) -> None:
    with set_aside_for_an_erasure([row._meta.db_table]):
        type(row)._base_manager.filter(pk=row.pk).update(**columns)


def test_the_fixture_holds(her: Patient) -> None:
    assert look_over().broken == ()
    assert everything().casefold().count("zwanziger") > 20


def test_nothing_of_hers_is_left_and_all_chains_hold(
    her: Patient, other: Patient, clinician: User
) -> None:
    lines = audit.head()[0]
    made = erase(her, clinician)
    assert "zwanziger" not in everything().casefold()
    assert look_over().broken == ()
    assert look_at_the_end() == ()
    assert list(broken_of(her.pk)) == list(broken_of(other.pk)) == []
    assert Audit.objects.filter(seq__lte=lines).count() == lines
    assert (made.why, made.by, made.found) == (WHY, clinician, "")
    assert erasure_of(her.pk) == made
    assert erasure_of(other.pk) is None


def test_nothing_of_anybody_else_goes(her: Patient, other: Patient, clinician: User) -> None:
    before = everything().casefold().count("bystander")
    erase(her, clinician)
    assert everything().casefold().count("bystander") == before
    assert Audit.objects.filter(patient_id=other.pk, new=audit.EMPTIED).count() == 0


def test_what_was_counted_before_is_what_went(her: Patient, clinician: User) -> None:
    told = what_goes(her)
    assert (told.records, told.signed, told.found) == ((her.pk,), 1, ())
    assert (told.went["Papers"], told.went["Log of sessions"], told.went["Drafts"]) == (1, 1, 2)
    made = erase(her, clinician)
    assert made.went == told.went
    assert Audit.objects.filter(new=audit.EMPTIED).count() == told.lines
    for model in (Handout, SessionLog, PlanEdit, FractureRow):
        assert model.objects.count() == 0


def test_of_a_signed_program_the_signature_stays(her: Patient, clinician: User) -> None:
    signed = SignedPlan.objects.get()
    erase(her, clinician)
    row = SignedPlan.objects.get()
    assert (row.body, row.digest, row.signed_name) == ("", signed.digest, "Marta Ferro")
    assert SignedSeal.objects.get().salt == ""
    assert SignedErasure.objects.get().why == WHY
    assert erased(row)
    with pytest.raises(NotAsSigned, match=r"erased on 2 Mar 2026 by Marta Ferro: She asked"):
        program_of(row)
    assert [plan.facts for plan in Plan.objects.all()] == [{}]


def test_one_signed_before_there_were_seals_is_not_waited_for(
    her: Patient, clinician: User
) -> None:
    with set_aside_for_an_erasure(["programs_signedseal"]):
        SignedSeal._base_manager.all()._raw_delete("default")
    erase(her, clinician)
    assert unsealed() == 0
    assert seal_older(by=None, at=AT).refused == ""


def test_no_search_finds_her_nor_a_word_of_her_name(
    her: Patient, other: Patient, clinician: User
) -> None:
    keep_findable(her)
    assert found(asked_for("Zwanziger")).numbers == (her.pk,)
    erase(her, clinician)
    for typed in ("Zwanziger", "Zwanzigr", "Zwanziger-17", str(her.pk), "0001"):
        assert found(asked_for(typed), closed=True).numbers == (), typed
    assert not WordKey.objects.filter(word="zwanziger").exists()
    assert WordKey.objects.filter(word="bystander").exists()
    assert Findable.objects.get(patient=her.pk).words == ""
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute(
                "SELECT rowid FROM patients_trigrams WHERE patients_trigrams MATCH 'zwa'"
            )
            assert cursor.fetchall() == []


def test_no_list_has_her(her: Patient, other: Patient, clinician: User) -> None:
    erase(her, clinician)
    assert list(Patient.objects.all()) == [other]
    with pytest.raises(Patient.DoesNotExist):
        Patient.objects.get(pk=her.pk)


@pytest.mark.counted
def test_what_waited_and_what_was_searched_for_goes(her: Patient, clinician: User) -> None:
    park(name="Zwanziger_scan.csv", content=b"Zwanziger;-2.5", by=clinician, at=AT)
    park(name="all.csv", content=b"Bystander;-2.1", by=clinician, at=AT)
    session = SessionStore()
    session["searches"] = {"handle": ("Zwanziger", False)}
    session.save()
    erase(her, clinician)
    assert not ParkedFile.objects.exists()
    assert not Session.objects.exists()
    assert [line.new == "" for line in Audit.objects.filter(action="park file")] == [True, False]
    assert look_over().broken == ()


def test_what_was_sent_with_her_forms_is_forgotten(her: Patient, clinician: User) -> None:
    who = Identity(given_name="Orla", family_name="Zwanziger", born=her.born, sex="female")
    token = uuid4()
    sent = audit.form_sent.set(audit.FormContent(token=token, digest="a" * 64))
    try:
        change_patient(
            patient=her, who=who, version=1, by=clinician, at=AT, token=token, reason="moved"
        )
    finally:
        audit.form_sent.reset(sent)
    assert FormSent.objects.count() == 1
    erase(her, clinician)
    assert FormSent.objects.count() == 0
    assert audit.done_before(token) is not None


@pytest.mark.counted
def test_records_joined_to_hers_go_with_her(her: Patient, other: Patient, clinician: User) -> None:
    double = a_person(clinician, "Zwanzigerin")
    pair = Pair.of(her, double, DAY)
    join_records(
        double=double,
        into=her,
        choices={clash.name: HERE for clash in pair.clashes()},
        seal=pair.seal,
        reason="Same",
        by=clinician,
        at=AT,
    )
    with pytest.raises(NotDone, match="is joined to another one"):
        erase(Patient.objects.get(pk=double.pk), clinician)
    assert what_goes(her).records == (her.pk, double.pk)
    erase(her, clinician)
    assert "zwanziger" not in everything().casefold()
    assert look_over().broken == ()
    assert {row.patient_id for row in PersonErasure.objects.all()} == {her.pk, double.pk}


def test_what_names_her_beside_another_goes_from_both(
    her: Patient, other: Patient, clinician: User
) -> None:
    row = TwoPeople.objects.create(
        one=her, other=other, reason="Zwanziger is taller", by=clinician, at=AT
    )
    rows.on_record(row, "two people", by=clinician)
    erase(other, clinician)
    assert "taller" not in everything()
    assert look_over().broken == ()
    erase(her, clinician)
    assert look_over().broken == ()
    assert look_at_the_end() == ()


# --- What is found all the same -------------------------------------------------------------


def test_a_line_emptied_without_an_erasure_is_found(
    her: Patient, other: Patient, clinician: User
) -> None:
    erase(her, clinician)
    line = Audit.objects.filter(patient_id=other.pk).earliest("seq")
    change(line, old="", new="", reason="", salt=None)
    assert look_over().broken[0] == f"Line {line.seq} of the record: is not as it was written."
    assert look_at_the_end() == (f"Line {line.seq} of the record: is not as it was written.",)
    assert next(broken_of(other.pk)) == f"Line {line.seq} of the record: is not as it was written."


@pytest.mark.parametrize(
    ("column", "value"),
    [("actor_name", "Another"), ("action", "add size"), ("object_id", "99"), ("patient_id", None),
     ("reason", "because"), ("new", "{}"), ("salt", "0" * 32), ("hash", "0" * 64)],
)  # fmt: skip
def test_what_an_erasure_left_of_a_line_is_not_changed_unseen(
    her: Patient, clinician: User, column: str, value: Any
) -> None:
    erase(her, clinician)
    line = Audit.objects.filter(new="").earliest("seq")
    change(line, **{column: value})
    told = look_over().broken[0]
    assert told == f"Line {line.seq} of the record: was erased, and is not as the erasure left it."
    assert look_at_the_end()[0] == told


def test_a_content_put_back_is_found(her: Patient, clinician: User) -> None:
    before = Audit.objects.filter(patient_id=her.pk).earliest("seq")
    erase(her, clinician)
    change(before, old=before.old, new=before.new, reason=before.reason, salt=before.salt)
    assert "was erased, and is not as" in look_over().broken[0]


def test_a_forged_line_of_an_erasure_covers_nothing(her: Patient, clinician: User) -> None:
    line = Audit.objects.filter(patient_id=her.pk).earliest("seq")
    forged = Audit.objects.filter(patient_id=her.pk).latest("seq")
    emptied = audit.emptied_of_content(Audit.objects.get(pk=line.pk))
    change(line, old="", new="", reason="", salt=None)
    told = audit.canonical({"lines": {str(line.seq): audit.digest_of_left(emptied)}})
    change(forged, action=audit.ERASE_PERSON, new=told)
    assert look_over().broken[0].startswith(f"Line {line.seq} of the record")


def test_a_name_written_into_what_is_left_is_found(her: Patient, clinician: User) -> None:
    erase(her, clinician)
    Patient._base_manager.filter(pk=her.pk).update(family_name="Somebody")
    assert "has another family name" in look_over().broken[0]


def test_another_reason_written_into_an_erasure_is_found(her: Patient, clinician: User) -> None:
    made = erase(her, clinician)
    change(made, why="Because")
    assert "has another why" in look_over().broken[0]


def test_a_row_of_hers_put_back_is_found(her: Patient, clinician: User) -> None:
    paper = Handout.objects.get()
    erase(her, clinician)
    paper._state.adding = True
    paper.save(force_insert=True)
    assert "has another signed of this paper" in look_over().broken[0]


def test_what_did_not_hold_before_is_told_by_the_erasure(her: Patient, clinician: User) -> None:
    change(SessionLog.objects.get(), pain=0)
    assert "another pain" in "\n".join(what_goes(her).found)
    assert "another pain" in erase(her, clinician).found
    assert look_over().broken == ()


# --- Refusals, and that nothing is half done ------------------------------------------------


@pytest.mark.counted
@pytest.mark.parametrize(
    ("why", "told"),
    [
        ("  ", "Say why, with the law"),
        ("Frau Zwanziger asked for it", "without her name or record number"),
        ("Record zwanziger-17, on request", "without her name or record number"),
    ],
)
def test_a_reason_is_needed_and_names_nobody(
    her: Patient, clinician: User, why: str, told: str
) -> None:
    with pytest.raises(NotDone, match=told):
        erase_person(patient=her, why=why, by=clinician, at=AT)
    assert not PersonErasure.objects.exists()


@pytest.mark.parametrize("role", [Role.ASSISTANT, Role.KEEPER])
def test_only_a_clinician_may(her: Patient, role: Role) -> None:
    with pytest.raises(NotDone, match="may not have a person erased"):
        erase(her, person_of(role, username="someone"))


@pytest.mark.counted
def test_a_failure_half_way_leaves_all_as_it_was(
    her: Patient, clinician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    before, refusing = everything(), triggers()

    def fails(*told: Any) -> None:
        raise DatabaseError("the disk is full")

    for name in ("_empty", "_emptied", "_tell_of_what_is_left"):
        with monkeypatch.context() as patch:
            patch.setattr(erasing, name, fails)
            with pytest.raises(DatabaseError), transaction.atomic():
                erase(her, clinician)
        assert everything() == before
        assert triggers() == refusing
        assert refused(Audit.objects.earliest("seq"))


def test_the_refusals_stand_before_and_after(her: Patient, other: Patient, clinician: User) -> None:
    refusing = triggers()
    erase(her, clinician)
    assert triggers() == refusing
    kept = [Audit.objects.earliest("seq"), SignedPlan.objects.get(patient=her.pk)]
    kept += [PersonErasure.objects.get(), SignedSeal.objects.earliest("pk"), Handout.objects.get()]
    assert all(refused(row) for row in kept)


def refused(row: Any) -> bool:
    """Tell whether the database refuses to change and to delete a row."""
    rows_of = type(row)._base_manager.filter(pk=row.pk)
    same = {row._meta.pk.name: row.pk}
    for attempt in (lambda: rows_of.update(**same), lambda: rows_of._raw_delete("default")):
        with pytest.raises(IntegrityError, match="kept as they are"), transaction.atomic():
            attempt()
    return True


@pytest.mark.django_db(transaction=True)
def test_refusals_are_set_aside_only_in_a_transaction() -> None:
    aside = set_aside_for_an_erasure(["patients_audit"])
    with pytest.raises(RuntimeError, match="only inside a transaction"), aside:
        pass
