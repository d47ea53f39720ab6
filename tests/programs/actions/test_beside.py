"""Consent, refusal and prompts: the record, the refusals, twice the same, and no dose changed."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.db import DatabaseError, IntegrityError, transaction

from patients.actions.closing import close_record
from patients.actions.refusals import Refused
from patients.kept_rows import NeverChanged
from patients.models.patient import Audit, Patient
from programs.actions.beside import (
    ANSWER,
    SAY,
    Told,
    all_answers,
    all_said,
    answer_prompts,
    said_of_kinds,
    say_of_kind,
)
from programs.actions.read_plan import facts_for
from programs.actions.refusals import NotDone
from programs.actions.rows_against_record import of_people
from programs.beside.prompts import ANSWERS, PROMPTS
from programs.beside.said import SAID
from programs.draft.document import write
from programs.draft.draft import draft
from programs.models.beside import KindSaid, PromptAnswer
from safety.findings import Modality
from tests.programs import rows
from tests.programs.rows import AT, DAY

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def patient(clinician: User) -> Patient:
    return rows.patient(clinician)


def say(of: Patient, by: User, **more: Any) -> KindSaid:
    held: dict[str, Any] = {"modality": Modality.PLATE, "said": "refuses", "words": "I'd be sick"}
    held |= {"asked_by": "Dr O'Vale", "on": DAY, "by": by, "at": AT}
    return say_of_kind(patient=of, **held | more)


def answer(of: Patient, by: User, *told: Told, **more: Any) -> list[PromptAnswer]:
    return answer_prompts(patient=of, told=told, **{"on": DAY, "by": by, "at": AT} | more)


def test_of_each_kind_the_newest_holds(patient: Patient, clinician: User) -> None:
    say(patient, clinician)
    say(patient, clinician, modality=Modality.IMPACT, said="agrees", words="")
    assert {kind: one.said for kind, one in said_of_kinds(patient).items()} == {
        "plate": "refuses",
        "impact": "agrees",
    }
    say(patient, clinician, said="nothing", words="")
    assert list(said_of_kinds(patient)) == ["impact"]
    assert len(all_said(patient)) == 3


def test_both_stand_in_the_record(patient: Patient, clinician: User) -> None:
    say(patient, clinician)
    answer(patient, clinician, Told(prompt="feet", answer="referred", to="O'Dell, podiatry"))
    lines = Audit.objects.filter(action__in=(SAY, ANSWER)).order_by("seq")
    assert [(line.action, line.patient_id) for line in lines] == [
        (SAY, patient.pk),
        (ANSWER, patient.pk),
    ]
    assert "I'd be sick" in lines[0].new
    assert list(of_people([patient.pk], "default")) == []


def test_a_double_click_keeps_one_of_each(patient: Patient, clinician: User) -> None:
    one, other = uuid4(), uuid4()
    row = say(patient, clinician, token=one)
    assert say(patient, clinician, token=one) == row
    told = (Told(prompt="feet", answer="done"), Told(prompt="vision", answer="declined"))
    assert len(answer(patient, clinician, *told, token=other)) == 2
    assert answer(patient, clinician, *told, token=other) == []
    assert (KindSaid.objects.count(), PromptAnswer.objects.count()) == (1, 2)


@pytest.mark.parametrize(
    "wrong, why",
    [
        ({"said": "perhaps"}, "agreed to or not wanted"),
        ({"words": "  "}, "in the person’s own words"),
        ({"asked_by": " \u200b"}, "who asked"),
        ({"on": DAY + dt.timedelta(days=1)}, "still to come"),
    ],
)
def test_what_cannot_be_kept_of_a_kind_is_refused(
    patient: Patient, clinician: User, wrong: dict[str, Any], why: str
) -> None:
    with pytest.raises(NotDone, match=why):
        say(patient, clinician, **wrong)
    assert not KindSaid.objects.exists()


@pytest.mark.parametrize(
    "told, why",
    [
        ((), "at least one"),
        ((Told(prompt="feet", answer="perhaps"),), "what came of it"),
        ((Told(prompt="teeth", answer="done"),), "what came of it"),
        ((Told(prompt="feet", answer="done"), Told(prompt="vision", answer="referred")), "to whom"),
    ],
)
def test_what_cannot_be_kept_of_a_prompt_is_refused_and_nothing_is_kept(
    patient: Patient, clinician: User, told: tuple[Told, ...], why: str
) -> None:
    with pytest.raises(NotDone, match=why):
        answer(patient, clinician, *told)
    assert not PromptAnswer.objects.exists()


def test_a_day_to_come_is_refused_for_a_prompt(patient: Patient, clinician: User) -> None:
    told = Told(prompt="feet", answer="done")
    with pytest.raises(NotDone, match="still to come"):
        answer(patient, clinician, told, on=DAY + dt.timedelta(days=1))


def test_to_whom_is_kept_of_a_referral_alone(patient: Patient, clinician: User) -> None:
    answer(patient, clinician, Told(prompt="feet", answer="done", to="O'Dell", note=" fine "))
    (row,) = all_answers(patient)
    assert (row.to, row.note) == ("", "fine")


def test_a_closed_record_takes_neither(patient: Patient, clinician: User) -> None:
    close_record(patient=patient, what="moved", on=DAY, note="", by=clinician, at=AT)
    with pytest.raises(Refused):
        say(patient, clinician)
    with pytest.raises(Refused):
        answer(patient, clinician, Told(prompt="feet", answer="done"))


def test_neither_is_changed_or_deleted(patient: Patient, clinician: User) -> None:
    row = say(patient, clinician)
    (given,) = answer(patient, clinician, Told(prompt="feet", answer="done"))
    for one in (row, given):
        with pytest.raises(NeverChanged):
            one.save()
    for change in (
        lambda: KindSaid.objects.filter(pk=row.pk).update(said="agrees"),
        lambda: PromptAnswer.objects.filter(pk=given.pk)._raw_delete("default"),
    ):
        with pytest.raises(DatabaseError), transaction.atomic():
            change()


def test_the_database_refuses_a_refusal_without_words(patient: Patient, clinician: User) -> None:
    held = {"patient": patient, "modality": "plate", "asked_by": "Dr Vale", "by": clinician}
    with pytest.raises(IntegrityError), transaction.atomic():
        KindSaid.objects.create(**held, said="refuses", on=DAY, at=AT)


def test_no_answer_changes_a_dose(clinician: User) -> None:
    """Whatever is said of a kind and whatever comes of a prompt: the same draft, to the letter."""
    her = rows.recorded(clinician)
    before = write(draft(facts_for(her, DAY)))
    for said in SAID:
        for modality in Modality:
            say(her, clinician, modality=modality, said=said)
        assert write(draft(facts_for(her, DAY))) == before
    for given in ANSWERS:
        to = "Dr O'Vale" if given == "referred" else ""
        told = [Told(prompt=code, answer=given, to=to) for code in PROMPTS]
        answer(her, clinician, *told)
        assert write(draft(facts_for(her, DAY))) == before
