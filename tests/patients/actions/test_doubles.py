"""Who may be on record twice: proposed by birth and name or by number, until somebody says."""

import datetime as dt
from uuid import uuid4

import pytest

from patients.actions.doubles import same_person, two_people
from patients.actions.patient_record import Identity, add_patient, change_patient
from patients.actions.refusals import Duplicate, Refused
from patients.models.patient import Audit
from patients.models.standing import PossibleDouble, TwoPeople
from tests.factories import MOMENT, UserFactory

pytestmark = pytest.mark.django_db
BORN = dt.date(1950, 3, 14)


@pytest.fixture
def by():
    return UserFactory()


def who(given="Ann", family="Fictional", born=BORN, **more):
    return Identity(given_name=given, family_name=family, born=born, sex="female", **more)


def add(by, *names, reason="", **more):
    return add_patient(who=who(*names, **more), by=by, at=MOMENT, reason=reason)


def pairs():
    return [(pair.one_id, pair.other_id) for pair in PossibleDouble.objects.all()]


def test_a_change_of_name_makes_a_possible_double_and_another_one_ends_it(by):
    one, other = add(by), add(by, "Bea", "Otherwise")
    assert pairs() == []
    for names, expected in (
        (("Ann", "Fictionel"), [(one.pk, other.pk)]),
        (("Bea", "Otherwise"), []),
    ):
        other.refresh_from_db()
        change_patient(patient=other, who=who(*names), version=other.version, by=by, at=MOMENT)
        assert pairs() == expected


def test_a_twin_entered_with_a_reason_is_no_possible_double(by):
    one = add(by)
    with pytest.raises(Duplicate):
        add(by, "Anna")
    twin = add(by, "Anna", reason="A twin")
    assert pairs() == []
    said = TwoPeople.objects.get()
    assert (said.one, said.other, said.reason) == (one, twin, "A twin")
    assert [line.action for line in Audit.objects.all()][-2:] == ["add patient", "two people"]


@pytest.mark.parametrize(
    ("born", "known", "found"),
    [
        (BORN, "day", True),
        (dt.date(1950, 3, 15), "day", False),
        (dt.date(1950, 3, 1), "month", True),
        (dt.date(1950, 4, 1), "month", False),
        (dt.date(1950, 1, 1), "year", True),
        (dt.date(1951, 1, 1), "year", False),
        (dt.date(1950, 1, 1), "day", False),
    ],
)
def test_births_of_which_less_is_known_may_be_the_same(by, born, known, found):
    one = add(by)
    assert (same_person(who(born=born, born_is=known)) == [one]) is found
    other = add(by, "Ann", "Wholly Different", born=born, born_is=known, reason="no")
    again = same_person(who())
    assert (other in again) is found


def test_the_same_record_number_is_proposed_whatever_the_birth(by):
    one = add(by, record_number="X-77")
    other = who("Bea", "Otherwise", born=dt.date(1930, 1, 1), record_number="x 77")
    assert same_person(other) == [one]


def test_two_people_are_said_once_with_a_reason_and_a_line(by):
    one, other = add(by), add(by, "Bea", "Otherwise")
    change_patient(patient=other, who=who("Ann"), version=1, by=by, at=MOMENT)
    token, at = uuid4(), MOMENT
    with pytest.raises(Refused, match="Say how"):
        two_people(one=one, other=other, reason=" ", by=by, at=at)
    for _ in range(2):
        two_people(one=other, other=one, reason="Both were here", by=by, at=at, token=token)
    two_people(one=one, other=other, reason="Again", by=by, at=at)
    assert [row.reason for row in TwoPeople.objects.all()] == ["Both were here"]
    assert Audit.objects.filter(action="two people").count() == 1
    assert pairs() == []
    other.refresh_from_db()
    change_patient(patient=other, who=who("Ann", record_number="9"), version=2, by=by, at=MOMENT)
    assert pairs() == []
