"""A run that screens everybody anew: batches kept whole, where it goes on, how much it asks."""

import datetime as dt
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.test.utils import CaptureQueriesContext

from patients.models.patient import Audit
from patients.rows_to_facts import entered, entered_by_many
from programs.actions import rescreening
from programs.actions.facts_versions import facts_versions
from programs.actions.read_plan import facts_for
from programs.actions.rescreening import RESCREEN, rescreen_all, where_it_stopped
from programs.actions.sessions import log_session
from programs.models.rescreen import Rescreen, RescreenBatch
from programs.review.adherence import Session
from safety.findings import Modality
from tests.programs import reviews, rows
from tests.programs.actions.test_rescreening import CHEST_PAIN, LATER, run, screened
from tests.programs.reviews import after
from tests.programs.rows import DAY

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def test_each_batch_is_kept_whole_with_one_line_of_the_record(clinician: User) -> None:
    people = [rows.recorded(clinician) for _ in range(3)]
    batches = run()
    assert [len(batch.rows) for batch in batches] == [2, 1]
    kept = list(RescreenBatch.objects.values_list("last_patient", "screened", "ended"))
    assert kept == [(people[1].pk, 2, False), (people[2].pk, 1, False), (0, 0, True)]
    lines = Audit.objects.filter(action=RESCREEN)
    assert len(lines) == 3
    assert all(row.facts_version in lines[0].new for row in batches[0].rows)


class Killed(BaseException):
    """What a kill does to a run: nothing after it is done."""


def test_j01_one_killed_within_a_batch_goes_on_where_it_stopped(
    clinician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    people = [rows.recorded(clinician) for _ in range(5)]
    keep = rescreening.keep_to_look_at

    def killed_in_the_second(made: list[Rescreen]) -> None:
        keep(made)
        if made[0].patient_id == people[2].pk:
            raise Killed

    with monkeypatch.context() as patch:
        patch.setattr(rescreening, "keep_to_look_at", killed_in_the_second)
        with pytest.raises(Killed):
            run()
    assert where_it_stopped() == people[1].pk
    assert set(Rescreen.objects.values_list("patient", flat=True)) == {p.pk for p in people[:2]}
    order = []
    for batch in rescreen_all(at=LATER, at_once=2):
        order += [row.patient_id for row in batch.rows]
    assert order == [p.pk for p in people[2:]]
    assert where_it_stopped() is None


def test_going_on_it_comes_to_those_before_as_well(clinician: User) -> None:
    people = [rows.recorded(clinician) for _ in range(3)]
    runs = rescreen_all(at=LATER, at_once=1)
    next(runs)
    next(runs)
    rows.answer(people[0], clinician, symptoms=CHEST_PAIN)
    assert where_it_stopped() == people[1].pk
    assert [row.patient_id for row in screened(after(2))] == [people[2].pk, people[0].pk]
    assert where_it_stopped() is None


def test_j03_two_runs_at_once_keep_one_result_a_person(
    clinician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    rows.recorded(clinician)
    look = rescreening._kept

    def meanwhile(found: list[Rescreen], *more: Any) -> list[Rescreen]:
        monkeypatch.setattr(rescreening, "_kept", look)
        run()
        return look(found, *more)

    monkeypatch.setattr(rescreening, "_kept", meanwhile)
    (batch,) = run()
    assert (list(batch.rows), batch.meanwhile) == ([], 1)
    assert Rescreen.objects.count() == 1


def test_facts_that_change_meanwhile_are_left_to_the_next_run(
    clinician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    of = rows.recorded(clinician)
    look = rescreening._kept

    def meanwhile(*told: Any) -> list[Rescreen]:
        monkeypatch.setattr(rescreening, "_kept", look)
        rows.answer(of, clinician, symptoms=CHEST_PAIN)
        return look(*told)

    monkeypatch.setattr(rescreening, "_kept", meanwhile)
    (batch,) = run()
    assert (list(batch.rows), batch.meanwhile) == ([], 1)
    assert len(screened()) == 1


def test_a_batch_takes_few_queries_however_many_there_are(clinician: User) -> None:
    def count(at: dt.datetime) -> int:
        with CaptureQueriesContext(
            connection,
        ) as asked:
            run(at, 50)
        return len(asked)

    for _ in range(2):
        reviews.signed(clinician)
    first, idle = count(LATER), count(LATER)
    for _ in range(4):
        reviews.signed(clinician)
    second, still = count(LATER), count(LATER)
    assert abs(second - first) <= 2
    assert idle == still <= 20


def test_the_facts_of_many_are_those_of_each(clinician: User) -> None:
    people = [reviews.signed(clinician).patient for _ in range(2)] + [rows.patient(clinician)]
    session = Session(on=DAY, modality=Modality.BALANCE, done="all", fell=True)
    log_session(patient=people[0], session=session, by=clinician, at=LATER)
    found = entered_by_many(people, LATER.date())
    assert {pk: one.rows for pk, one in found.items()} == {
        one.pk: entered(one, LATER.date()).rows for one in people
    }
    both, day = people[:2], LATER.date()
    known = facts_versions(both, day), rescreening.screens_of(both), day
    many = rescreening._Screened(both, *known)
    assert [many._facts(one) for one in both] == [facts_for(one, day) for one in both]
