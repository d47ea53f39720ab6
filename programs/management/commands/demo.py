"""Load the invented clinic: people, one program due for review, one with a fall in its log."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

from django.contrib.auth.models import User
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import transaction
from django.utils import timezone

from patients.actions import patient_record
from patients.actions.patient_record import Identity
from patients.actions.staff import add_person, change_password
from patients.facts.declared import Facts, Person
from patients.facts.document import read, write
from patients.facts.sections import SECTIONS, Section, taken
from patients.models.patient import KINDS, Measured, Patient, SizeRow, stored
from patients.staff.rights import Role
from programs.actions.clinic import Details, set_details
from programs.actions.drafting import draft_plan
from programs.actions.emergency_numbers import Emergency, set_emergencies
from programs.actions.papers import make_paper
from programs.actions.printing import PaperRefused, PaperUnavailable
from programs.actions.sessions import log_sessions
from programs.actions.signing import sign_plan
from programs.demo.log import sessions, with_fall, with_sore_knee
from programs.demo.people import CLINIC, EMERGENCY, FELL, OTHERS, PEOPLE, REVIEW_DUE, DemoPerson
from programs.management.answering import on_this_machine
from programs.models.clinic import ClinicDetails
from programs.models.program import SignedPlan
from programs.papers.kinds import TO_VISIT
from programs.review.adherence import Planned, Session
from programs.signed import snapshot

USER_NAME = "demo.clinician"
FULL_NAME = "Wren Oakley (invented)"
#: What was measured, by the section of the facts page that it stands in.
_ROWS = {
    "fractures": (("fractures", "fracture"),),
    "scans": (("scans", "scan"), ("turnover", "marker")),
    "lifts": (("lifts", "lift"),),
}
_NAMES = {name for kinds in _ROWS.values() for name, _ in kinds}
Tale = Callable[[int, list[Session]], list[Session]]


class Command(BaseCommand):
    """Everything goes through the actions of the pages, so all of it is on the record.

    A clinic that has told its name already keeps it.
    """

    help = "Load the invented clinic. A second run changes nothing."

    def add_arguments(self, parser: CommandParser) -> None:
        """Take the day that counts as today, and a password for the invented clinician."""
        parser.add_argument("--today", type=dt.date.fromisoformat, help="YYYY-MM-DD")
        parser.add_argument("--password", help=f"lets {USER_NAME} sign in")

    def handle(self, *args: Any, **options: Any) -> None:
        """Load who is not there yet."""
        numbers = {person.record_number for person in PEOPLE}
        if Patient.objects.exclude(record_number__in=numbers).exists():
            raise CommandError("There are other patients here. The invented clinic stays away.")
        if not User.objects.exists() and not options["password"]:
            # Else the invented clinician, who cannot sign in, would pass for the first account.
            call_command("first_account", stdout=self.stdout)
        with on_this_machine(), transaction.atomic():
            clinic = _Clinic(_clinician(options["password"]), options["today"])
            added = clinic.open()
        if clinic.signed:
            # After the rest is kept: it takes seconds, and fails where printing cannot work.
            self._keep_handout(clinic)
        self.stdout.write(f"The invented clinic: {added} people added, {len(PEOPLE)} in all.")

    def _keep_handout(self, clinic: _Clinic) -> None:
        signed = clinic.signed[0]
        try:
            make_paper(signed=signed, kind=TO_VISIT, by=clinic.by, at=signed.signed_at)
        except (PaperRefused, PaperUnavailable) as refusal:
            self.stderr.write(f"No handout was kept: {refusal}")


def _clinician(password: str | None) -> User:
    user = User.objects.filter(username=USER_NAME).first() or add_person(
        username=USER_NAME,
        full_name=FULL_NAME,
        roles=[Role.CLINICIAN],
        by=None,
        at=timezone.now(),
    )
    if password:
        change_password(user=user, password=password, at=timezone.now())
    return user


class _Clinic:
    """Loads the people, each at the time at which she would have come."""

    def __init__(self, by: User, today: dt.date | None) -> None:
        self.by = by
        self.now = timezone.localtime()
        if today is not None:
            morning = dt.datetime.combine(today, dt.time(10, 0))
            self.now = timezone.make_aware(morning)
        self.monday = self.today - dt.timedelta(days=self.today.weekday())
        self.signed: list[SignedPlan] = []

    @property
    def today(self) -> dt.date:
        return self.now.date()

    def at(self, day: dt.date) -> dt.datetime:
        """Return a moment of a day, at the time of day that it is now."""
        return timezone.make_aware(dt.datetime.combine(day, self.now.time()))

    def open(self) -> int:
        """Add whoever is not there yet; returns how many."""
        there = set(Patient.objects.values_list("record_number", flat=True))
        missing = [one for one in PEOPLE if one.record_number not in there]
        if missing and not ClinicDetails.objects.exists():
            self._reached()
        if REVIEW_DUE in missing:
            self._with_program(REVIEW_DUE, 8, with_sore_knee)
        if FELL in missing:
            self._with_program(FELL, 5, with_fall)
        for person in OTHERS:
            if person in missing:
                patient = self._with_facts(person, self.today)
                if person.drafted:
                    self._draft(patient, self.today, self.monday + dt.timedelta(days=7))
        return len(missing)

    def _reached(self) -> None:
        """Set how the invented clinic is reached, and whom to call in an emergency."""
        set_details(details=Details(**CLINIC), by=self.by, at=self.now)
        numbers = [
            Emergency(language=code, number=number, words=words)
            for code, (number, words) in EMERGENCY.items()
        ]
        set_emergencies(given=numbers, by=self.by, at=self.now)

    def _with_program(self, person: DemoPerson, weeks: int, tale: Tale) -> None:
        """Sign a program that started so many full weeks ago, and log it up to yesterday."""
        starts_on = self.monday - dt.timedelta(days=7 * weeks)
        day = starts_on - dt.timedelta(days=4)
        patient = self._with_facts(person, day)
        plan = self._draft(patient, day, starts_on)
        signed = sign_plan(
            plan=plan,
            lock=plan.lock,
            by=self.by,
            at=self.at(day),
            today=day,
            starts_on=starts_on,
            clinic=CLINIC | {"emergency": ": ".join(EMERGENCY["en"])},
            without_number="Nobody in the demonstration exists.",
        )
        self.signed.append(signed)
        self._log(signed, weeks, tale)

    def _log(self, signed: SignedPlan, weeks: int, tale: Tale) -> None:
        planned = Planned.of(snapshot.program_in(signed.body))
        for week, held in sessions(planned, weeks + 1):
            entered_on = min(planned.first_day(week) + dt.timedelta(days=6), self.today)
            log_sessions(
                patient=signed.patient,
                sessions=[one for one in tale(week, held) if one.on < self.today],
                by=self.by,
                at=self.at(entered_on),
            )

    def _draft(self, patient: Patient, day: dt.date, starts_on: dt.date) -> Any:
        return draft_plan(
            patient=patient, as_of=day, starts_on=starts_on, by=self.by, at=self.at(day)
        )

    def _with_facts(self, person: DemoPerson, day: dt.date) -> Patient:
        who = Identity(
            given_name=person.given_name,
            family_name=person.family_name,
            born=person.born(day),
            sex=person.sex,
            record_number=person.record_number,
        )
        patient = patient_record.add_patient(who=who, by=self.by, at=self.at(day))
        facts = read(person.document(day))
        assert isinstance(facts, Facts), facts
        for section in SECTIONS.values():
            self._save(patient, section, facts, day)
        return patient

    def _save(self, patient: Patient, section: Section, facts: Facts, day: dt.date) -> None:
        rows = _rows(section, facts)
        what: dict[str, Any] = {"patient": patient, "rows": rows, "by": self.by}
        what["at"] = self.at(day)
        answers = _answers(section, write(facts))
        if answers:
            assessment = patient.assessments.order_by("-id").first()
            based_on = assessment.pk if assessment else None
            patient_record.save_section(
                section=section, answers=answers, as_of=day, based_on=based_on, **what
            )
        elif rows:
            patient_record.add_measured(**what)


def _answers(section: Section, document: dict[str, Any]) -> dict[str, Any]:
    """Return what was answered; of a list of rows only that there is none."""
    part = taken(document, section)
    return {key: value for key, value in part.items() if key not in _NAMES or not value}


def _rows(section: Section, facts: Facts) -> list[Measured]:
    if section.code == "about":
        return [_size(facts.person, facts.as_of)]
    if section.code == "tests":
        return [KINDS["tests"].from_fact(one) for one in facts.tests or ()]
    return [
        KINDS[kind].from_fact(one)
        for name, kind in _ROWS.get(section.code, ())
        for one in getattr(facts, name) or ()
    ]


def _size(person: Person, day: dt.date) -> SizeRow:
    return SizeRow(date=day, height_cm=stored(person.height_cm), weight_kg=stored(person.weight_kg))
