"""The Caseload: who does not wait, what was stopped, what to sign, to review, what ends."""

import datetime as dt
from collections.abc import Iterator
from typing import Any
from unittest import mock

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients.actions.closing import close_record
from patients.models.patient import Assessment, Patient
from programs.actions.may_hand_out import standing_of
from programs.models.program import Plan, SignedPlan
from programs.models.program_state import ProgramState, StopTold
from programs.views.case_list import PAGE
from programs.views.caseload import FIRST
from programs.views.caseload_lists import LISTS
from safety.models import Clearance
from tests.programs import rows
from tests.programs.views.test_plan import document, drafted, text

pytestmark = [pytest.mark.django_db, pytest.mark.database]
TODAY = dt.date(2026, 6, 1)
NOON = dt.datetime(2026, 6, 1, 12, tzinfo=dt.UTC)
WEEK = dt.timedelta(weeks=1)


@pytest.fixture(autouse=True)
def today() -> Iterator[None]:
    with mock.patch.object(timezone, "now", return_value=NOON):
        yield


def signed_since(by: User, weeks: float, **more: Any) -> SignedPlan:
    """Return a signed program that started so many weeks before TODAY."""
    begun = TODAY - weeks * WEEK
    plan = rows.plan(rows.patient(by), by, state=Plan.SIGNED, starts_on=begun, **more)
    return rows.signed(plan, by)


def next_version(of: SignedPlan, by: User, weeks: float) -> SignedPlan:
    begun, version = TODAY - weeks * WEEK, of.version + 1
    plan = rows.plan(of.patient, by, state=Plan.SIGNED, version=version, starts_on=begun)
    return rows.signed(plan, by)


def people(code: str, day: dt.date = TODAY) -> list[Patient]:
    return [line.patient for line in LISTS[code].page(day)[0]]


def why(code: str, day: dt.date = TODAY) -> list[str]:
    return [" | ".join(line.why) for line in LISTS[code].page(day)[0]]


# --- Drafts and reviews -----------------------------------------------------------------------


def test_i03_open_drafts_are_to_sign_and_signed_ones_are_gone(clinician: User) -> None:
    """D13: what is signed must not stay in the list."""
    first = rows.plan(rows.patient(clinician), clinician)
    second = rows.plan(rows.patient(clinician), clinician, proposed={"issuable": True})
    rows.plan(rows.patient(clinician), clinician, state=Plan.DROPPED)
    assert people("sign") == [first.patient, second.patient]
    assert why("sign") == [
        "version 1, drafted 2 Mar 2026 by Marta Ferro | stopped by a finding",
        "version 1, drafted 2 Mar 2026 by Marta Ferro",
    ]
    first.state = Plan.SIGNED
    first.save()
    assert people("sign") == [second.patient]


def test_reviews_that_are_due_the_longest_first(clinician: User) -> None:
    signed_since(clinician, 3)
    four, twelve = signed_since(clinician, 5), signed_since(clinician, 14)
    held = signed_since(clinician, 6)
    rows.review(held, clinician, held_on=TODAY - 2 * WEEK)
    assert people("review") == [twelve.patient, four.patient]
    assert why("review") == [
        "after week 12, due since 18 May 2026",
        "after week 4, due since 25 May 2026",
    ]


@pytest.mark.parametrize(("early", "due"), [(7, False), (8, True)])
def test_a_review_a_week_early_counts(clinician: User, early: int, due: bool) -> None:
    signed = signed_since(clinician, 4)
    rows.review(signed, clinician, held_on=TODAY - dt.timedelta(days=early))
    assert bool(people("review")) is due


def test_reviews_run_from_the_first_day_of_the_episode(clinician: User) -> None:
    """Rulebook row 26g: a new version does not begin the count again; a break of 26 weeks does."""
    old = signed_since(clinician, 13)
    newer = next_version(old, clinician, 1)
    assert why("review") == ["after week 12, due since 25 May 2026"]
    rows.review(newer, clinician, held_on=TODAY - WEEK)
    assert why("review") == []
    after_a_break = next_version(signed_since(clinician, 70), clinician, 1)
    assert after_a_break.patient not in people("review")


def test_what_was_stopped_is_not_due(clinician: User) -> None:
    rows.state(signed_since(clinician, 5), ProgramState.STOPPED)
    assert people("review") == []


def test_after_the_first_year_each_half_year(clinician: User) -> None:
    signed_since(clinician, 80)
    assert why("review") == ["after week 78, due since 18 May 2026"]


# --- Needs a call -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("entry", "told"),
    [
        ({}, None),
        ({"fell": True}, "a fall"),
        ({"fell": False}, None),
        ({"red_flag": "New back pain"}, "warning sign: New back pain"),
        ({"pain": 3}, None),
        ({"pain": 4, "pain_settled": True}, None),
        ({"pain": 4, "pain_settled": False}, "pain 4, plate, not settled in 24 hours"),
        ({"pain": 4}, "pain 4, plate, settled or not: ?"),
        ({"pain": 5, "pain_settled": True}, None),
        ({"pain": 6, "pain_settled": True}, "pain 6, plate"),
        ({"pain": 9, "withdrawn_at": rows.AT}, None),
    ],
)
def test_what_does_not_wait(clinician: User, entry: dict[str, Any], told: str | None) -> None:
    rows.session(signed_since(clinician, 1), clinician, **{"modality": "plate"} | entry)
    assert why("call") == ([f"2 Mar 2026: {told}"] if told else [])


def test_a_review_settles_what_was_told_before_it(clinician: User) -> None:
    signed = signed_since(clinician, 5)
    rows.session(signed, clinician, fell=True)
    rows.review(signed, clinician, at=rows.AT + dt.timedelta(hours=1))
    assert people("call") == []
    later = rows.AT + dt.timedelta(hours=2)
    rows.session(signed, clinician, pain=7, entered_at=later, modality="impact")
    assert why("call") == ["2 Mar 2026: pain 7, impact"]


def test_many_entries_of_one_person_are_one_line(clinician: User) -> None:
    signed = signed_since(clinician, 1)
    for day in range(6):
        rows.session(signed, clinician, fell=True, on=TODAY - dt.timedelta(days=day))
    (told,) = why("call")
    assert told.startswith("1 Jun 2026: a fall | 31 May 2026: a fall")
    assert told.endswith("and 2 more")


# --- Stopped ----------------------------------------------------------------------------------


def test_a_stop_is_listed_until_she_knows_and_until_she_starts_again(clinician: User) -> None:
    signed = signed_since(clinician, 5)
    row = rows.state(signed, ProgramState.STOPPED, modality="plate", why="her wish")
    assert why("tell") == why("stopped") == ["plate, on 2 Mar 2026 by Marta Ferro: her wish"]
    StopTold.objects.create(
        stop=row, told_by="Marta Ferro", how="in person", on=TODAY, by=clinician, at=NOON
    )
    assert why("tell") == []
    assert people("stopped") == [signed.patient]
    next_version(signed, clinician, 0)
    assert people("stopped") == []


# --- What ends, what is silent ----------------------------------------------------------------


def clearance(of: SignedPlan, by: User, days: int, **more: Any) -> None:
    given = {"given_by": "Dr Vale", "on": TODAY, "subject": "epilepsy", "modalities": ["plate"]}
    Clearance.objects.create(
        patient=of.patient,
        recorded_by=by,
        recorded_at=NOON,
        until=TODAY + dt.timedelta(days=days),
        **given | more,
    )


@pytest.mark.parametrize(
    ("days", "listed"), [(15, False), (14, True), (0, True), (-28, True), (-29, False)]
)
def test_a_clearance_that_ends(clinician: User, days: int, listed: bool) -> None:
    clearance(signed_since(clinician, 5), clinician, days)
    assert bool(people("leave")) is listed


def test_a_clearance_that_was_renewed_or_carries_nothing(clinician: User) -> None:
    signed = signed_since(clinician, 5)
    clearance(signed, clinician, 3)
    assert why("leave") == [
        "Epilepsy or seizures: clearance for vibration plate ends on 4 Jun 2026"
    ]
    clearance(signed, clinician, 90)
    assert people("leave") == []
    clearance(signed_since(clinician, 40), clinician, 3)
    assert people("leave") == []


@pytest.mark.parametrize(
    ("weeks", "last", "listed"),
    [(2, None, True), (1.9, None, False), (6, 14, True), (6, 13, False), (31, None, False)],
)
def test_who_is_silent(clinician: User, weeks: float, last: int | None, listed: bool) -> None:
    days = round(weeks * 7)
    signed = signed_since(clinician, days / 7)
    if last is not None:
        rows.session(signed, clinician, on=TODAY - dt.timedelta(days=last))
    assert bool(people("silent")) is listed


def test_a_silent_one_says_since_when(clinician: User) -> None:
    signed_since(clinician, 3)
    rows.session(signed_since(clinician, 2.5), clinician, on=TODAY - 2 * WEEK)
    assert why("silent") == [
        "nothing logged since it began on 11 May 2026",
        "nothing logged since 18 May 2026",
    ]


def medicines(by: User, **told: Any) -> Assessment:
    answers = {"medicines": {"bone_medicine": {"answer": "yes", "kind": "denosumab"} | told}}
    return Assessment.objects.create(
        patient=rows.patient(by),
        as_of=TODAY,
        answers=answers,
        section="medicines",
        made_by=by,
        made_at=NOON,
    )


@pytest.mark.parametrize(
    ("told", "listed"),
    [
        ({"last_dose_on": "2025-12-29"}, True),
        ({"last_dose_on": "2025-12-30"}, False),
        ({"last_dose_on": "2025-05"}, True),
        ({"last_dose_on": "2025-12-01", "stopped": "yes"}, False),
        ({"last_dose_on": "2025-12-01", "kind": "zoledronate"}, False),
        ({}, False),
    ],
)
def test_a_dose_that_is_due(clinician: User, told: dict[str, str], listed: bool) -> None:
    """Six months after the last denosumab, four weeks before (29 June is the day)."""
    medicines(clinician, **told)
    assert bool(people("dose")) is listed


def test_a_newer_answer_counts_and_says_when(clinician: User) -> None:
    row = medicines(clinician, last_dose_on="2025-11-20")
    assert why("dose") == ["denosumab, last dose 20 Nov 2025: the next one is due after 6 months"]
    newer = {"medicines": {"bone_medicine": {"last_dose_on": "2026-05-20"}}}
    Assessment.objects.create(
        patient=row.patient,
        as_of=TODAY,
        answers=newer,
        section="medicines",
        made_by=clinician,
        made_at=NOON,
    )
    assert why("dose") == []


# --- Closed records; the same count everywhere ------------------------------------------------


def test_i02_who_died_or_moved_leaves_every_list_and_gets_no_paper(clinician: User) -> None:
    signed = signed_since(clinician, 5)
    rows.session(signed, clinician, fell=True, on=TODAY - 3 * WEEK)
    clearance(signed, clinician, 3)
    rows.plan(signed.patient, clinician, version=2)
    rows.state(signed_since(clinician, 5), ProgramState.STOPPED)
    listed = {code for code in LISTS if people(code)}
    assert listed == {"call", "tell", "stopped", "sign", "review", "leave", "silent"}
    for patient in Patient.objects.all():
        close_record(patient=patient, what="died", on=TODAY, by=clinician, at=NOON)
    assert {code for code in LISTS if people(code)} == set()
    assert "closed" in standing_of(signed, NOON).why[0]
    assert SignedPlan.objects.filter(patient=signed.patient).exists()


@pytest.mark.parametrize(("days", "due"), [(27, False), (28, True)])
def test_i01_the_list_and_her_own_page_tell_the_same_review(
    signed_in: Client, clinician: User, days: int, due: bool
) -> None:
    signed = signed_since(clinician, days / 7)
    page = signed_in.get(reverse("patients:facts", args=[signed.patient_id]))
    assert bool(people("review")) is due
    assert ('<span class="open">due</span>' in page.content.decode()) is due


# --- The page ---------------------------------------------------------------------------------


def test_the_page_in_few_queries(
    signed_in: Client, clinician: User, django_assert_max_num_queries: Any
) -> None:
    for number in range(6):
        signed = signed_since(clinician, 29)
        rows.session(signed, clinician, fell=number % 2 == 0, pain=7)
        rows.plan(rows.patient(clinician), clinician, proposed={"issuable": number % 2 == 0})
    # One for each list beside those of every page; three are for the numbers that papers need and
    # the languages that they are in.
    with django_assert_max_num_queries(22 + 3) as asked:
        page = text(signed_in.get("/"))
    # A condition that stands in others grows with each: one such made the page take seconds.
    assert max(len(query["sql"]) for query in asked.captured_queries) < 20_000
    assert page.index("Needs a call: 6") < page.index("To sign: 6") < page.index("Review due: 6")
    assert "after week 26" in page
    assert "Everyone</a>" in page


def test_a_long_list_has_its_own_pages(signed_in: Client, clinician: User) -> None:
    for _person in range(PAGE + 1):
        rows.plan(rows.patient(clinician), clinician)
    assert f"To sign: {FIRST} and more" in text(signed_in.get("/"))
    own = reverse("programs:caseload_list", args=["sign"])
    first, second = text(signed_in.get(own)), text(signed_in.get(own, {"page": "2"}))
    assert (first.count("version 1, drafted"), second.count("version 1, drafted")) == (PAGE, 1)
    assert "More" in first
    assert "Back" in second
    for odd in ("0", "x", "9999999"):
        assert text(signed_in.get(own, {"page": odd})).count("version 1, drafted") == PAGE
    assert "No more." in text(signed_in.get(own, {"page": "9"}))
    assert signed_in.get(reverse("programs:caseload_list", args=["nothing"])).status_code == 404


def test_an_empty_caseload_says_so(signed_in: Client) -> None:
    page = text(signed_in.get("/"))
    for one in LISTS.values():
        assert one.nobody in page


def test_a_real_draft_is_listed(signed_in: Client, clinician: User) -> None:
    person = rows.recorded(clinician, document())
    drafted(person, clinician)
    assert person.family_name in text(signed_in.get("/"))
