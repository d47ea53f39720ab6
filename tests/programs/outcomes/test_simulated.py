"""The figures of a simulated clinic are its own counts, to the last session."""

import datetime as dt
from statistics import fmean, median

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.test.utils import CaptureQueriesContext
from scipy import stats

from patients.models.finding import CLOSED, JOINED, Findable
from patients.models.standing import Join
from programs.actions.people_in_programs import people_in_programs
from programs.models.program import SessionLog, SignedPlan
from programs.outcomes.counted import Now, Person
from programs.outcomes.figures import (
    ADHERENCE,
    DENSITY,
    DONE,
    FUNCTION,
    HARMS,
    MIDDLE,
    TODAY,
    VERDICTS,
    Figure,
    figures,
)
from safety.findings import Modality
from safety.modalities import MODALITIES
from tests.programs import rows
from tests.programs.outcomes.simulated import KINDS, Clinic

pytestmark = [pytest.mark.django_db, pytest.mark.long]
DAY = dt.date(2027, 6, 16)
HARM = {"fall": "falls", "bone": "broken bones", "flag": "warning signs", "pain": "pain that stops"}


@pytest.fixture
def clinic(clinician: User) -> Clinic:
    return Clinic(clinician, DAY)


def found(topic: str, measure: str, people: list[Person], group: str = "") -> Figure:
    (one,) = [
        f
        for f in figures(people, {})
        if f.topic == topic and f.measure == measure and group in ("", f.group)
    ]
    return one


@pytest.mark.no_cover
def test_everything_is_as_the_simulation_counted(clinic: Clinic) -> None:
    told, people = clinic.told, people_in_programs(DAY)
    assert len(people) == 40
    for m in KINDS:
        group = MODALITIES[Modality(m)].name
        done = found(ADHERENCE, DONE, people, group)
        assert (done.count, done.per) == (f"{told.done[m]:g}", str(told.planned[m])), m
        assert done.people == done.of_people == "40"
        assert done.estimate is not None
        assert done.estimate.value == pytest.approx(100 * told.done[m] / told.planned[m])
        middle = found(ADHERENCE, MIDDLE, people, group).estimate
        assert middle is not None
        assert middle.value == pytest.approx(median(told.shares[m]))
    for name, measure in HARM.items():
        harm = found(HARMS, measure, people)
        met = told.met[name]
        assert sum(of(one) > 0 for one in people for of in [HARM_OF[name]]) == met
        assert sum(HARM_OF[name](one) for one in people) == told.harms[name]
        assert harm.per == str(told.sessions)
        if 5 <= met <= 35:
            assert (harm.people, harm.count) == (str(met), str(told.harms[name]))
            assert harm.estimate is not None
            assert harm.estimate.value == pytest.approx(1000 * told.harms[name] / told.sessions)
            high = stats.chi2.ppf(0.975, 2 * told.harms[name] + 2) / 2
            assert harm.estimate.high == pytest.approx(1000 * high / told.sessions)
    # Some of them are told, so that the comparison above is one.
    assert sum(5 <= told.met[name] <= 35 for name in HARM) >= 3
    now = {one: sum(p.standing is one for p in people) for one in Now}
    assert {str(one): count for one, count in now.items() if count} == dict(told.now)
    assert found(TODAY, Now.STOPPED, people).people == "8"
    up_and_go = found(FUNCTION, "Timed Up and Go", people)
    assert up_and_go.people == str(len(told.up_and_go))
    interval = stats.t.interval(
        0.95, len(told.up_and_go) - 1, fmean(told.up_and_go), stats.sem(told.up_and_go)
    )
    assert up_and_go.estimate is not None
    assert (up_and_go.estimate.low, up_and_go.estimate.high) == pytest.approx(interval)
    looks = [one.density_change("total_hip", {}) for one in people]
    verdicts = [look.verdict for look in looks if look]
    assert {v: verdicts.count(v) for v in VERDICTS} == {v: told.verdicts[v] for v in VERDICTS}
    scanned = found(DENSITY, "scanned before, and a year after", people, "Total hip")
    assert scanned.people == str(sum(told.verdicts.values())) == "8"
    # Of eight in four groups of two not even which are small is told.
    assert {found(DENSITY, words, people, "Total hip").people for words in VERDICTS.values()} == {
        "not shown"
    }


HARM_OF = {
    "fall": lambda one: one.falls,
    "bone": lambda one: one.breaks,
    "flag": lambda one: one.flags,
    "pain": lambda one: one.pain_stops,
}


@pytest.mark.database
def test_few_queries_however_many_people(clinician: User) -> None:
    def count() -> int:
        with CaptureQueriesContext(connection) as asked:
            people_in_programs(DAY)
        return len(asked)

    Clinic(clinician, DAY, people=2)
    few = count()
    Clinic(clinician, DAY, people=8)
    # One of them asks for the lines of the record of all their programs.
    assert count() == few <= 10


@pytest.mark.counted
def test_who_never_began_is_not_counted(clinician: User) -> None:
    clinic = Clinic(clinician, DAY, people=1)
    before = len(people_in_programs(DAY))
    rows.patient(clinician)
    clinic._signed(rows.patient(clinician), DAY, 1)
    assert before == len(people_in_programs(DAY)) == 1


@pytest.mark.counted
@pytest.mark.database
def test_a_joined_person_is_counted_once_and_a_closed_one_too(clinician: User) -> None:
    Clinic(clinician, DAY, people=6)
    before = people_in_programs(DAY)
    double, into = SignedPlan.objects.order_by("pk")[:2]
    sessions = sum(one.done for one in before)
    Join.objects.create(
        double=double.patient, into=into.patient, reason="the same", by=clinician, at=rows.AT
    )
    Findable.objects.filter(patient=double.patient).update(state=JOINED)
    Findable.objects.filter(patient=before and into.patient).update(state=CLOSED)
    after = people_in_programs(DAY)
    assert len(after) == len(before) - 1
    assert sum(len(one.programs) for one in after) == sum(len(one.programs) for one in before)
    assert sum(one.done for one in after) <= sessions


@pytest.mark.counted
def test_what_cannot_be_read_is_left_out(clinician: User) -> None:
    of = rows.patient(clinician)
    rows.signed(rows.plan(of, clinician, starts_on=DAY - dt.timedelta(weeks=3)), clinician)
    assert people_in_programs(DAY) == []


def test_a_version_yet_to_begin_ends_nothing(clinician: User) -> None:
    clinic = Clinic(clinician, DAY, people=1)
    of = people_in_programs(DAY)[0].programs
    clinic._signed(rows.Patient.objects.get(), DAY + dt.timedelta(days=3), 2)
    assert people_in_programs(DAY)[0].programs == of


@pytest.mark.database
def test_struck_out_entries_are_not_counted(clinician: User) -> None:
    Clinic(clinician, DAY, people=1)
    done = people_in_programs(DAY)[0].done
    struck = {"withdrawn_at": rows.AT, "withdrawn_by": clinician, "withdrawn_reason": "Wrong"}
    within = SessionLog.objects.filter(done="all", on__lt=DAY).first()
    SessionLog.objects.filter(pk=within and within.pk).update(**struck)
    assert people_in_programs(DAY)[0].done == done - 1
