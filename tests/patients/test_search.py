"""Finding people: any part of a name, birth, number; slips; nothing that grows with the clinic."""

import datetime as dt

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from patients.actions.finding import keep_findable
from patients.actions.patient_record import change_patient, identity_of
from patients.asked_for import asked_for
from patients.models.finding import CLOSED, JOINED, Findable
from patients.models.patient import Patient
from patients.search import MOST, PAGE, Found, found
from tests.factories import MOMENT, PatientFactory

pytestmark = [pytest.mark.django_db, pytest.mark.database]
# "Muñoz" with one letter ñ (NFC) and with n and a tilde after it (NFD).
COMPOSED, DECOMPOSED = "Mu\u00f1oz", "Mun\u0303oz"


def look(typed: str, **more: bool) -> Found:
    return found(asked_for(typed), **more)


def numbers(typed: str, **more: bool) -> list[int]:
    return list(look(typed, **more).numbers)


def person(given: str, family: str, **more) -> int:
    return PatientFactory(given_name=given, family_name=family, **more).pk


def crowd(count: int, **who) -> list[Patient]:
    """Add many people at once."""
    by = PatientFactory(family_name="Zzyzx").created_by
    common = {"sex": "female", "created_by": by, "created_at": MOMENT}
    people = [
        Patient(given_name=f"Fictia{n}", **{"born": dt.date(1950, 1, 1), **common, **who})
        for n in range(count)
    ]
    for one in people:
        one.save()
        keep_findable(one)
    return people


@pytest.mark.parametrize("kept", [COMPOSED, DECOMPOSED])
@pytest.mark.parametrize("typed", ["munoz", "MUÑOZ", COMPOSED, DECOMPOSED, "Mu", "uno"])
def test_c03_accents_make_no_difference_and_the_name_stays(kept, typed):
    one = person("Ann", kept)
    person("Ann", "Other")
    assert numbers(typed) == [one]
    assert Patient.objects.get(pk=one).family_name == kept


@pytest.mark.parametrize(
    "typed",
    ["berg", "smith", "jane", "smith mary", "Jane, van den", "BERG-SMITH", "vandenberg", "mit"],
)
def test_i05_any_part_of_any_name_in_any_order(typed):
    one = person("Mary Jane", "van den Berg-Smith")
    person("Mary", "Other")
    assert numbers(typed) == [one]


@pytest.mark.parametrize("typed", ["O'Grady", "o’grady", "ogrady", "O'GRADY, Simon", "simon o"])
def test_c01_an_apostrophe_is_found_with_and_without(typed):
    one = person("Simon", "O'Grady")
    assert numbers(typed) == [one]


@pytest.mark.parametrize(
    ("family", "typed"),
    [
        *(("Håkansson", "hakansson"), ("Strauß", "strauss"), ("Iğdır", "igdir")),
        *(("Kahale\u02bba", "kahalea"), ("Mc Carthy", "mccarthy"), ("McCarthy", "mc carthy")),
        ("Exam\u200bple", "example"),
    ],
)
def test_i08_folded_letters(family, typed):
    one = person("Ann", family)
    assert numbers(typed) == [one]


@pytest.mark.parametrize("typed", ["14 Mar 1959", "14.03.1959", "1959-03-14", "3/1959", "1959"])
def test_i04_by_date_of_birth(typed):
    one = person("Ann", "Example", born=dt.date(1959, 3, 14), record_number="A")
    person("Ann", "Example", born=dt.date(1960, 3, 14), record_number="B")
    assert numbers(typed) == [one]
    assert numbers(f"{typed} example") == [one]
    assert numbers(f"{typed} other") == []


def test_an_ambiguous_day_finds_both():
    april = person("Ann", "Example", born=dt.date(1950, 4, 3))
    march = person("Bea", "Example", born=dt.date(1950, 3, 4))
    assert numbers("03/04/1950") == [april, march]


def test_a_birth_of_which_only_the_year_is_known_may_be_that_day():
    year = person("Ann", "Example", born=dt.date(1959, 1, 1), born_is="year")
    month = person("Bea", "Example", born=dt.date(1959, 3, 1), born_is="month")
    person("Cleo", "Example", born=dt.date(1959, 4, 1), born_is="month")
    person("Dora", "Example", born=dt.date(1959, 1, 1))
    assert numbers("14.03.1959") == [year, month]
    assert numbers("03/1959") == [year, month]
    assert len(numbers("1959")) == 4


def test_by_record_number_and_id():
    one = person("Ann", "Example", record_number="X-77/19")
    other = person("Ann", "Example", record_number="000456")
    assert numbers("x-77") == numbers("x7719") == numbers("77/19") == [one]
    assert numbers("00045") == [other]
    assert numbers(str(other))[0] == other
    assert numbers("0009999") == []


@pytest.mark.parametrize("typed", ["examplewoman", "exampelwoman", "exmplewoman", "examplewomann"])
def test_a_slip_is_forgiven(typed):
    one = person("Ann", "Examplewoman")
    assert numbers(typed) == [one]
    assert numbers(f"ann {typed}") == [one]
    assert look(typed).exact == (1 if typed == "examplewoman" else 0)


def test_a_slip_in_each_of_two_names_is_forgiven():
    one = person("Martha", "Håkansson")
    assert numbers("marthe hakanson") == [one]


def test_a_slip_in_a_short_name_is_not():
    person("Anna", "Lowe")
    assert numbers("annb") == numbers("lowf") == []
    five = person("Annie", "Example")
    assert numbers("anni") == [five]
    assert numbers("anie") == [five]


def test_who_was_meant_stands_after_who_was_typed():
    meant, typed = person("Ann", "Hansson"), person("Ann", "Hanson")
    assert look("hanson") == Found(numbers=(typed, meant), exact=1)


def test_whole_words_stand_before_starts_before_parts():
    part, start, whole = (person("Ann", name) for name in ("Berglind", "Lindgren", "Lind"))
    assert numbers("lind") == [whole, start, part]


def test_one_letter_is_the_start_of_a_family_name():
    one = person("Bea", "Abel")
    person("Ann", "Bell")
    assert numbers("a") == [one]
    assert numbers("a b") == [one]
    assert numbers("a z") == []


def test_a_name_changed_later_is_found_as_it_is_now():
    patient = PatientFactory(family_name="Before")
    who = vars(identity_of(patient)) | {"family_name": "Aftermath"}
    change_patient(
        patient=patient, who=type(identity_of(patient))(**who), version=1,
        by=patient.created_by, at=MOMENT,
    )  # fmt: skip
    assert numbers("before") == []
    assert numbers("aftermath") == numbers("aftermaht") == [patient.pk]


def test_closed_only_where_asked_for_and_joined_always():
    closed, joined = person("Ann", "Closedwoman"), person("Ann", "Joinedwoman")
    Findable.objects.filter(patient=closed).update(state=CLOSED)
    Findable.objects.filter(patient=joined).update(state=JOINED)
    assert numbers("ann") == [joined]
    assert numbers("ann", closed=True) == [closed, joined]


@pytest.mark.parametrize(
    "typed",
    ["%", "_", "' OR 1=1 --", "\u0000", "9" * 40, '" OR "', "a* NEAR(b)", "words:ann", "^a"],
)
def test_hostile_searches_are_plain_text(typed):
    person("Bea", "Examplewoman")
    assert numbers(typed) == []


def test_more_than_a_search_gives_is_said_and_no_search_reads_all():
    people = crowd(MOST + 5, family_name="Commonname")
    assert look("commonname").more
    assert len(look("commonname").numbers) == MOST
    assert numbers(f"commonname {people[-1].given_name}")[0] == people[-1].pk
    with CaptureQueriesContext(connection) as captured:
        look("commonname")
    rows = [query["sql"] for query in captured if "patients_findable" in query["sql"]]
    assert rows
    assert all(f"LIMIT {MOST + 1}" in sql for sql in rows)
    assert PAGE <= MOST


@pytest.mark.parametrize("typed", ["wick", "commonwick", "xu", "commonwick fictia"])
def test_the_likeliest_are_among_the_first_of_many(typed):
    """Somebody of that very name stands first, though many have it as a part of theirs."""
    crowd(MOST + 5, family_name="Commonwicker")
    names = {"wick": "Wick", "commonwick": "Commonwick", "xu": "Xu"}
    crowd(MOST + 5, family_name="Xuan")
    one = person("Fictia", names.get(typed, "Commonwick"))
    whom = look(typed)
    assert whom.numbers[0] == one
    assert whom.more


def test_no_search_scans_the_table():
    """Each is answered by an index or by the table of trigrams, not by reading everybody."""
    if connection.vendor != "sqlite":
        connection.cursor().execute("SET LOCAL enable_seqscan = off")
    for typed in ("berg", "mary jane", "14.3.1959", "x", "3/1959", "12", "hakanson"):
        with CaptureQueriesContext(connection) as captured:
            look(typed)
        for sql in [query["sql"] for query in captured if query["sql"].startswith("SELECT")]:
            with connection.cursor() as cursor:
                explain = "EXPLAIN QUERY PLAN " if connection.vendor == "sqlite" else "EXPLAIN "
                cursor.execute(explain + sql.replace("%", "%%"), [])
                plan = "\n".join(str(row[-1]) for row in cursor.fetchall())
            assert "SCAN patients_findable" not in plan, (typed, plan)
            assert "Seq Scan on patients" not in plan, (typed, plan)
