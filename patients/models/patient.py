"""What is kept of a patient: who, what was measured, what was answered, and who did what."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any, ClassVar, Self

from django.db import models

from patients.facts.declared import Fracture, Lift, Scan, Tests, Turnover
from patients.facts.partial_dates import DAY, KNOWN, Told, known_of, span_text, typed_span
from patients.facts.question import Kind, asks
from patients.kept_rows import Kept, Withdrawable, person
from patients.models.choices import (
    fracture_sites,
    marker_units,
    markers,
    scan_sites,
    sexes,
    table_sexes,
)
from patients.models.life import DatabaseLife
from patients.names import fold

SIDES = {"left": "left", "right": "right"}
#: The state of Findable of a person whose record was erased by law: only her number is left.
ERASED = "erased"


class People(models.Manager["Patient"]):
    """Each person comes with what every page of hers tells or carries; nobody who was erased."""

    def get_queryset(self) -> models.QuerySet[Patient]:
        """Return the rows, each with its row of Findable and the life of the database.

        has_namesake   somebody else has her name, folded; her pages then look closer
        """
        life = DatabaseLife.objects.order_by("-pk").values("uuid")[:1]
        rows = super().get_queryset().select_related("findable")
        rows = rows.exclude(findable__state=ERASED)
        others = self.model._base_manager.filter(given_key=models.OuterRef("given_key"))
        alike = models.Exists(others.exclude(pk=models.OuterRef("pk")))
        return rows.annotate(life=models.Subquery(life), has_namesake=alike)


class Patient(models.Model):
    """A person, by name and date of birth; what is known of her is in rows of its own.

    born     the first day that it can be
    born_is  what is known of it
    born_estimated   the year was worked out from an age that was told, such as "about 70"
    goes_by  the name she goes by, where it is another than her given name; on her papers
    gender   in her own words, where it is not what `sex` says; no rule reads it
    table_sex   the sex of the risk tables that she is held against, a code of TABLE_SEXES; empty
             where it is `sex`
    """

    record_number = models.CharField("Record number", max_length=40, blank=True)
    given_name = models.CharField("Given name", max_length=120)
    family_name = models.CharField("Family name", max_length=120)
    born = models.DateField("Date of birth")
    born_is = models.CharField(max_length=5, choices=KNOWN, default=DAY)
    born_estimated = models.BooleanField(default=False)
    sex = models.CharField("Sex", max_length=10, choices=sexes)
    goes_by = models.CharField("Preferred name", max_length=120, blank=True, default="")
    gender = models.CharField("Gender", max_length=60, blank=True, default="")
    table_sex = models.CharField(
        "Sex of the risk tables", max_length=10, choices=table_sexes, blank=True, default=""
    )
    # Folded in Python: a database folds differently, or only plain letters.
    search_key = models.CharField(max_length=300, db_index=True, editable=False)
    given_key = models.CharField(max_length=300, db_index=True, editable=False)
    record_key = models.CharField(max_length=60, db_index=True, editable=False)
    created_by = person()
    created_at = models.DateTimeField()
    version = models.PositiveIntegerField(default=1)

    objects = People()

    class Meta:
        ordering = ["search_key", "id"]

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Save, with the search keys made from the names."""
        self.search_key = fold(f"{self.family_name} {self.given_name} {self.record_number}")[:300]
        self.given_key = fold(self.name)[:300]
        self.record_key = fold(self.record_number)[:60]
        super().save(*args, **kwargs)

    @property
    def name(self) -> str:
        """Return given and family name."""
        return f"{self.given_name} {self.family_name}"

    @property
    def born_as_told(self) -> str:
        """Return the date of birth as a facts document holds it: 1941, 1941-03 or 1941-03-07."""
        return typed_span(self.born, self.born_is)

    @property
    def born_words(self) -> str:
        """Return the date of birth for reading: 7 Mar 1941, 1941 (year only), about 1941."""
        if self.born_estimated:
            return f"about {self.born.year} (estimated)"
        return span_text(self.born, self.born_is)


class Measured(Withdrawable):
    """Something found on a day. A wrong entry is struck out with a reason, never deleted."""

    SECTION: ClassVar[str]
    FACT: ClassVar[type[Any]]
    DAY: ClassVar[str] = "date"

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="+")
    entered_by = person()
    entered_at = models.DateTimeField()

    class Meta:
        abstract = True

    @property
    def day(self) -> dt.date | None:
        """Return the day that the row is about, where it is known."""
        found: dt.date | None = getattr(self, self.DAY)
        return found

    @classmethod
    def from_fact(cls, fact: Any, **more: Any) -> Self:
        """Return an unsaved row that holds this fact."""
        columns = {name: stored(getattr(fact, name)) for name in asks(cls.FACT)}
        return cls(**{**columns, **cls._known(fact), **more})

    def fact(self) -> Any:
        """Return the fact that the row holds."""
        values = {name: plain(getattr(self, name)) for name in asks(self.FACT)}
        return self.FACT(**{**values, **self._told()})

    @classmethod
    def _known(cls, fact: Any) -> dict[str, str]:
        """Return what is known of each date that may be partial, as its column keeps it."""
        days = {name: getattr(fact, name) for name in _told_names(cls.FACT)}
        return {f"{name}_is": known_of(day) for name, day in days.items() if day is not None}

    def _told(self) -> dict[str, dt.date]:
        found: dict[str, dt.date] = {}
        for name in _told_names(self.FACT):
            day, known = getattr(self, name), getattr(self, f"{name}_is")
            if day is not None and known != DAY:
                found[name] = Told(day.year, day.month, day.day, known)
        return found


def _told_names(of: type[Any]) -> tuple[str, ...]:
    return tuple(name for name, ask in asks(of).items() if ask.kind is Kind.TOLD)


def stored(value: Any) -> Any:
    """Return a value of a fact as its column keeps it."""
    match value:
        case Told():
            return dt.date(value.year, value.month, value.day)
        case float():
            return Decimal(repr(value))
        case tuple():
            return list(value)
        case _:
            return value


def plain(value: Any) -> Any:
    """Return a value of a column as its fact holds it."""
    match value:
        case Decimal():
            return float(value)
        case list():
            return tuple(value)
        case "":
            return None
        case _:
            return value


def _number(digits: int, decimals: int, **more: Any) -> Any:
    return models.DecimalField(max_digits=digits, decimal_places=decimals, **more)


def _measure(digits: int, decimals: int) -> Any:
    return _number(digits, decimals, null=True)


class SizeRow(Measured):
    """Height and weight of a day."""

    KIND = "size"
    SECTION = "about"

    date = models.DateField()
    height_cm = _measure(4, 1)
    weight_kg = _measure(4, 1)


class FractureRow(Measured):
    """One broken bone; of its date perhaps only the month or the year is known.

    date     the latest day that it may be, as of the day of the entry
    date_is  what is known of it
    """

    KIND = "fracture"
    SECTION = "fractures"
    FACT = Fracture

    site = models.CharField(max_length=20, choices=fracture_sites)
    date = models.DateField(null=True)
    date_is = models.CharField(max_length=5, choices=KNOWN, default=DAY)
    low_trauma = models.BooleanField(null=True)
    healed = models.BooleanField(null=True)
    atypical = models.BooleanField(null=True)


class ScanRow(Measured):
    """One site of one DXA scan. The side is kept for later comparison."""

    KIND = "scan"
    SECTION = "scans"
    FACT = Scan

    date = models.DateField()
    site = models.CharField(max_length=20, choices=scan_sites)
    side = models.CharField(max_length=5, choices=SIDES, blank=True)
    vertebrae = models.CharField(max_length=20, blank=True)
    bmd_g_cm2 = _measure(4, 3)
    t = _measure(3, 1)
    z = _measure(3, 1)
    scanner = models.CharField(max_length=200, null=True)  # noqa: DJ001  None is not recorded

    @classmethod
    def from_fact(cls, fact: Any, **more: Any) -> Self:
        """Return an unsaved row that holds this fact; vertebrae not told are an empty text."""
        return super().from_fact(fact, **{"vertebrae": fact.vertebrae or "", **more})


class MarkerRow(Measured):
    """One turnover marker of one blood sample."""

    KIND = "marker"
    SECTION = "scans"
    FACT = Turnover

    date = models.DateField()
    marker = models.CharField(max_length=20, choices=markers)
    value = _number(8, 3)
    unit = models.CharField(max_length=10, choices=marker_units)
    fasting_morning = models.BooleanField(null=True)


class FunctionTestDay(Measured):
    """The function tests of one day.

    worry  the seven answers of the worry scale, None where blank; it is no fact, so that no
           rule reads it
    """

    KIND = "tests"
    SECTION = "tests"
    FACT = Tests

    date = models.DateField()
    up_and_go_s = _measure(4, 1)
    chair_stands_30s = models.PositiveSmallIntegerField(null=True)
    five_stands_s = _measure(4, 1)
    side_by_side_s = _measure(4, 1)
    semi_tandem_s = _measure(4, 1)
    tandem_s = _measure(4, 1)
    one_leg_s = _measure(4, 1)
    walk_4m_s = _measure(5, 2)
    grip_kg = _measure(4, 1)
    resting_bp = models.JSONField(null=True)
    standing_bp = models.JSONField(null=True)
    unable = models.JSONField(null=True)
    worry = models.JSONField(null=True)

    @property
    def has_tests(self) -> bool:
        """Tell whether any test was done on the day, beside the worry scale."""
        return bool(self.fact() != Tests(date=self.date))


class LiftSet(Measured):
    """A set lifted until no further repetition was possible; its date may be partial.

    on     the first day that it can be
    on_is  what is known of it
    """

    KIND = "lift"
    SECTION = "lifts"
    FACT = Lift
    DAY = "on"

    lift = models.CharField(max_length=200)
    kg = _number(4, 1)
    reps = models.PositiveSmallIntegerField()
    on = models.DateField(null=True)
    on_is = models.CharField(max_length=5, choices=KNOWN, default="day")


KINDS: dict[str, type[Measured]] = {
    kind.KIND: kind for kind in (SizeRow, FractureRow, ScanRow, MarkerRow, FunctionTestDay, LiftSet)
}


class Assessment(Kept):
    """All answers as they stood after one save; the newest is the one that holds.

    answers   in the shape of a facts document: what is asked rather than measured, and an
              empty list where a kind of row was asked for and there is none
    answered  section to the ISO date on which it was last saved
    section   the one that this save was about
    """

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="assessments")
    as_of = models.DateField()
    answers = models.JSONField(default=dict)
    answered = models.JSONField(default=dict)
    section = models.CharField(max_length=20)
    made_by = person()
    made_at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["patient", "as_of", "id"], name="assessment_newest")]


class Audit(Kept):
    """One line of the record of who did what; each is sealed together with the one before.

    old and new are canonical JSON text, so that what is sealed is what is kept.
    patient_id   whom the line is about, where it is about anybody; older lines do not tell
    salt         hexadecimal; sealed with the rest, so that the seal alone tells nothing
    """

    seq = models.PositiveBigIntegerField(primary_key=True)
    at = models.DateTimeField()
    actor = person(null=True)
    actor_name = models.CharField(max_length=200)
    action = models.CharField(max_length=60)
    object_type = models.CharField(max_length=60)
    object_id = models.CharField(max_length=40)
    object_version = models.PositiveIntegerField(null=True)
    old = models.TextField()
    new = models.TextField()
    reason = models.TextField(blank=True)
    source_address = models.CharField(max_length=45, blank=True)
    # One form sent twice is one event: the form carries its token.
    token = models.UUIDField(null=True, unique=True)
    # A number and no key: a line stays even where its patient's row is gone.
    patient_id = models.BigIntegerField(null=True, db_index=True)
    # None where there was none yet, or an erasure took it away.
    salt = models.CharField(max_length=32, null=True)  # noqa: DJ001
    prev_hash = models.CharField(max_length=64)
    hash = models.CharField(max_length=64)

    class Meta:
        ordering = ["seq"]
        indexes = [
            models.Index(fields=["object_type", "object_id"], name="audit_of_object"),
            models.Index(fields=["actor", "seq"], name="audit_of_actor"),
            models.Index(fields=["action", "seq"], name="audit_of_action"),
            models.Index(fields=["at"], name="audit_at"),
        ]
