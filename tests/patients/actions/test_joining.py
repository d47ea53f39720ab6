"""Two records of one person: joined by a row, looked through, taken apart; nothing moves."""

import datetime as dt
from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import connection
from django.utils import timezone

from patients import audit
from patients.actions.closing import close_record
from patients.actions.doubles import keep_possible
from patients.actions.joining import (
    join_records,
    note_looked_through,
    taken_over,
    undo_join,
    why_not_joined,
)
from patients.actions.patient_record import add_measured
from patients.actions.refusals import Conflict, Refused
from patients.joining import HERE, THERE, Pair
from patients.models.finding import CLOSED, JOINED, OPEN, Findable
from patients.models.patient import Assessment, Audit, FractureRow, Patient, ScanRow, SizeRow
from patients.models.standing import Join, LookedThrough, PossibleDouble
from patients.rows_to_facts import Contradiction, facts_of
from patients.staff.rights import Role
from patients.standing import not_looked_through, why_not_written, why_nothing_new
from tests.factories import (
    DAY,
    MOMENT,
    AssessmentFactory,
    FractureFactory,
    PatientFactory,
    ScanFactory,
    UserFactory,
)
from tests.staff import person_of

pytestmark = [pytest.mark.django_db, pytest.mark.database]
FELL = {"falls": {"last_12_months": 2, "injury": "yes"}, "fractures": []}
STOOD = {"falls": {"last_12_months": 0}}


@pytest.fixture
def by():
    return UserFactory()


@pytest.fixture
def into():
    patient = PatientFactory(given_name="Ann", family_name="O'Grady", record_number="A1")
    AssessmentFactory(patient=patient, answers=STOOD, answered={"falls": "2026-03-01"})
    ScanFactory(patient=patient)
    return patient


@pytest.fixture
def double():
    patient = PatientFactory(given_name="Anne", family_name="Ogrady", record_number="")
    AssessmentFactory(patient=patient, answers=FELL, answered={"falls": "2026-03-01"})
    ScanFactory(patient=patient)
    FractureFactory(patient=patient)
    FractureFactory(patient=patient, withdrawn=True)
    return patient


def pair_of(double, into):
    return Pair.of(Patient.objects.get(pk=into.pk), Patient.objects.get(pk=double.pk), DAY)


def all_of(pair, value):
    return {clash.name: value for clash in pair.clashes()}


def join(double, into, by, choose=HERE, **more):
    pair = pair_of(double, into)
    given = {
        "double": pair.double.patient,
        "into": pair.into.patient,
        "choices": all_of(pair, choose),
        "seal": pair.seal,
        "reason": "Same daughter, same address",
        "by": by,
        "at": MOMENT,
    }
    return join_records(**given | more)


def stands(patient):
    row = Findable.objects.get(patient=patient)
    return row.state, row.leads, row.to_look_through


def test_each_clash_is_asked_and_nothing_else(double, into):
    clashes = {clash.name: clash for clash in pair_of(double, into).clashes()}
    row = FractureRow.objects.get(patient=double, withdrawn_at=None)
    assert list(clashes) == [
        *("who:given_name", "who:family_name", "answer:fractures"),
        *("answer:falls.last_12_months", "answer:falls.injury", f"row:fracture:{row.pk}"),
    ]
    fell = clashes["answer:falls.last_12_months"]
    assert (fell.question, fell.here, fell.there) == (
        "Falls: Falls in the last 12 months", "0", "2",
    )  # fmt: skip
    assert clashes["answer:falls.injury"].here == "not recorded"
    assert "wrist" in clashes[f"row:fracture:{row.pk}"].there


def test_what_the_double_does_not_tell_is_no_clash(double, into):
    """The other way round: no answer of hers is lost to a blank."""
    names = [clash.name for clash in pair_of(into, double).clashes()]
    assert "answer:falls.injury" not in names
    assert "answer:fractures" not in names
    assert "who:record_number" in names


def test_an_answer_that_cannot_be_read_beside_her_birth_is_told_as_kept(into):
    young = PatientFactory(born=dt.date(2000, 1, 1))
    image = {"spine_image": {"answer": "no", "on": "1990-01-01"}}
    AssessmentFactory(patient=into, answers=image)
    clashes = {clash.name: clash for clash in pair_of(into, young).clashes()}
    assert clashes["answer:spine_image.on"].there == "1990-01-01"
    assert clashes["answer:spine_image.on"].here == "none"


def test_only_a_clinician_joins_and_parts(double, into, by):
    helper = person_of(Role.ASSISTANT, Role.KEEPER, username="p.lund")
    with pytest.raises(Refused, match="may not close, join or part records"):
        join(double, into, helper)
    made = join(double, into, by)
    with pytest.raises(Refused, match="may not close, join or part records"):
        undo_join(join=made, reason="Twins", by=helper, at=MOMENT)
    assert stands(double) != stands(into)


def test_a_join_moves_nothing_and_is_kept_with_its_line(double, into, by):
    before = [*Assessment.objects.order_by("pk").values()]
    row = join(double, into, by)
    assert (row.double, row.into, row.undoes, row.by) == (double, into, None, by)
    assert row.chosen == {"identity": {}, "answers": [], "rows": []}
    assert [*Assessment.objects.order_by("pk").values()] == before
    assert FractureRow.objects.filter(patient=double).count() == 2
    assert stands(double) == (JOINED, False, False)
    assert stands(into) == (OPEN, True, True)
    line = Audit.objects.get()
    assert (line.action, line.object_id) == ("join", str(row.pk))
    assert audit.verify_chain() is None


def test_what_was_chosen_is_written_anew_and_what_was_before_is_kept(double, into, by):
    row = join(double, into, by, THERE)
    into.refresh_from_db()
    double.refresh_from_db()
    assert (into.name, into.record_number, into.version) == ("Anne Ogrady", "A1", 2)
    assert (double.name, double.version) == ("Anne Ogrady", 1)
    facts = facts_of(into, DAY)
    assert (facts.falls.last_12_months, facts.falls.injury) == (2, True)
    assert [fracture.site for fracture in facts.fractures] == ["wrist"]
    copied = FractureRow.objects.get(patient=into)
    theirs = FractureRow.objects.get(patient=double, withdrawn_at=None)
    assert (copied.entered_by, copied.entered_at) == (by, MOMENT)
    assert (copied.fact(), copied.healed) == (theirs.fact(), theirs.healed)
    assert row.chosen == {
        "identity": {"given_name": "Ann", "family_name": "O'Grady"},
        "answers": [
            ["fractures", None, []],
            ["falls.last_12_months", 0, 2],
            ["falls.injury", None, "yes"],
        ],
        "rows": [["fracture", theirs.pk, copied.pk]],
    }
    actions = [line.action for line in Audit.objects.all()]
    assert actions == [
        "change patient", "save fractures", "save falls", "add fracture", "join",
    ]  # fmt: skip
    assert ScanRow.objects.filter(patient=into).count() == 1


def test_a_birth_of_which_only_the_year_is_known_is_taken_over_whole(into, by):
    double = PatientFactory(born=dt.date(1959, 1, 1), born_is="year", given_name="Ann")
    row = join(double, into, by, THERE)
    into.refresh_from_db()
    assert into.born_as_told == "1959"
    assert row.chosen["identity"]["born"] == "1959-08-14"


def test_what_does_not_fit_together_is_refused_whole(double, into, by):
    FractureFactory(patient=into, date=dt.date(1990, 5, 1))
    double.born = dt.date(1999, 1, 1)
    double.save()
    with pytest.raises(Contradiction):
        join(double, into, by, THERE)
    assert not Join.objects.exists()
    assert not Audit.objects.exists()
    assert stands(double) == (OPEN, False, False)


def test_each_choice_and_the_reason_are_needed(double, into, by):
    pair = pair_of(double, into)
    choices = all_of(pair, HERE)
    for left in choices:
        some = {name: value for name, value in choices.items() if name != left}
        with pytest.raises(Refused, match="Choose for each"):
            join(double, into, by, choices=some)
        with pytest.raises(Refused, match="Choose for each"):
            join(double, into, by, choices={**choices, left: "both"})
    with pytest.raises(Refused, match="one person"):
        join(double, into, by, reason=" ")
    assert not Join.objects.exists()


def test_a_form_sent_twice_joins_once(double, into, by):
    token = uuid4()
    first = join(double, into, by, THERE, token=token)
    pair = pair_of(double, into)
    again = join(double, into, by, THERE, token=token, seal=pair.seal)
    assert again == first
    assert FractureRow.objects.filter(patient=into).count() == 1


@pytest.mark.parametrize("side", ["double", "into"])
def test_a_change_since_the_preview_is_a_conflict(double, into, by, side):
    seal = pair_of(double, into).seal
    row = SizeRow(date=DAY, weight_kg=Decimal("60"))
    add_measured(patient={"double": double, "into": into}[side], rows=[row], by=by, at=MOMENT)
    with pytest.raises(Conflict) as conflict:
        join(double, into, by, seal=seal)
    assert conflict.value.now.seal == pair_of(double, into).seal
    assert not Join.objects.exists()


def test_no_chain_and_no_circle(double, into, by):
    third = PatientFactory(given_name="Third")
    assert "itself" in why_not_joined(into, into)
    join(double, into, by)
    assert "is joined to another one already" in why_not_joined(double, third)
    assert "is itself joined to another one. Join to that one" in why_not_joined(third, double)
    assert "Other records are joined to" in why_not_joined(into, third)
    assert why_not_joined(into, double) != ""
    for one, other in ((double, third), (third, double), (into, third), (into, double)):
        with pytest.raises(Refused):
            join(one, other, by)
    assert join(third, into, by).into == into
    assert Join.objects.count() == 2


def test_a_closed_record_goes_on_only_when_opened_and_may_be_a_double(double, into, by):
    close_record(patient=into, what="moved", on=DAY, by=by, at=MOMENT)
    assert "is closed" in why_not_joined(double, into)
    assert why_not_joined(into, double) == ""
    row = join(into, double, by)
    assert stands(into)[0] == JOINED
    undo_join(join=row, reason="Two", by=by, at=MOMENT)
    assert stands(into)[0] == CLOSED


def test_until_looked_through_nothing_new_is_signed_or_printed(double, into, by):
    row = join(double, into, by)
    assert why_not_written(into) == ""
    assert "nobody has looked through it" in why_nothing_new(into)
    assert not_looked_through(Patient.objects.get(pk=into.pk)) == [row]
    first = note_looked_through(join=row, note=" Seen ", by=by, at=MOMENT)
    assert note_looked_through(join=row, note="Again", by=by, at=MOMENT) == first
    assert (first.note, first.by) == ("Seen", by)
    assert why_nothing_new(into) == ""
    assert stands(into) == (OPEN, True, False)
    assert not_looked_through(Patient.objects.get(pk=into.pk)) == []
    assert Audit.objects.filter(action="look through double").count() == 1
    assert "is joined to another one" in why_nothing_new(double)
    join(PatientFactory(given_name="Third"), into, by)
    assert stands(into) == (OPEN, True, True)


def test_nothing_is_entered_in_a_double(double, into, by):
    join(double, into, by)
    row = SizeRow(date=DAY, weight_kg=Decimal("60"))
    with pytest.raises(Refused, match="is joined to another one"):
        add_measured(patient=double, rows=[row], by=by, at=MOMENT)
    with pytest.raises(Refused, match="is joined to another"):
        close_record(patient=double, what="moved", on=DAY, by=by, at=MOMENT)


def test_taken_apart_by_a_later_row(double, into, by):
    keep_possible(double)
    row = join(double, into, by, THERE)
    assert not PossibleDouble.objects.exists()
    ((kind, copied),) = taken_over(row)
    token = uuid4()
    for _ in range(2):
        undone = undo_join(
            join=row, reason="Sisters", by=by, at=MOMENT, token=token,
            strike=[(kind, copied.pk), ("fracture", 10**6)],
        )  # fmt: skip
    assert (undone.undoes, undone.double, undone.into) == (row, double, into)
    assert stands(double) == (OPEN, False, False)
    assert stands(into) == (OPEN, False, False)
    copied.refresh_from_db()
    assert "Taken over from record" in copied.withdrawn_reason
    assert FractureRow.objects.filter(patient=double, withdrawn_at=None).count() == 1
    assert taken_over(row) == []
    assert Join.objects.count() == 2
    assert PossibleDouble.objects.count() == 1
    with pytest.raises(Refused, match="apart already"):
        undo_join(join=row, reason="Again", by=by, at=MOMENT)
    with pytest.raises(Refused, match="apart already"):
        note_looked_through(join=row, by=by, at=MOMENT)
    assert join(double, into, by).undoes is None


def test_rows_that_are_not_ticked_stay_when_taken_apart(double, into, by):
    row = join(double, into, by, THERE)
    with pytest.raises(Refused, match="two people"):
        undo_join(join=row, reason="", by=by, at=MOMENT)
    undo_join(join=row, reason="Sisters", by=by, at=MOMENT)
    assert FractureRow.objects.filter(patient=into, withdrawn_at=None).count() == 1


def test_one_of_two_doubles_taken_apart_leaves_the_other(double, into, by):
    first = join(double, into, by)
    second = join(PatientFactory(given_name="Third"), into, by)
    note_looked_through(join=first, by=by, at=MOMENT)
    undo_join(join=first, reason="Two", by=by, at=MOMENT)
    assert stands(into) == (OPEN, True, True)
    undo_join(join=second, reason="Two", by=by, at=MOMENT)
    assert stands(into) == (OPEN, False, False)
    assert LookedThrough.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_two_who_join_the_two_ways_round_at_once_make_no_circle() -> None:
    by = person_of(Role.CLINICIAN, username="both")
    one, other = PatientFactory(given_name="Ann"), PatientFactory(given_name="Anne")

    def joined(double: Patient, into: Patient) -> bool:
        try:
            pair = Pair.of(into, double, timezone.localdate())
            join_records(
                double=double, into=into, choices=all_of(pair, HERE), seal=pair.seal,
                reason="Same", by=by, at=timezone.now(),
            )  # fmt: skip
        except Refused:
            return False
        finally:
            connection.close()
        return True

    with ThreadPoolExecutor(2) as people:
        done = list(people.map(joined, (one, other), (other, one)))
    assert sorted(done) == [False, True]
    assert Join.objects.count() == 1
