"""What is kept of a patient: who, what was measured, what was answered, and who did what."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any, ClassVar, NoReturn, Self

from django.conf import settings
from django.db import models

import patients.measuring.models  # noqa: F401  its tables are this app's
from patients import codes
from patients.asking import asks
from patients.facts import Fracture, Lift, Scan, Tests, Turnover
from patients.names import fold
from patients.spans import DAY, KNOWN


class NeverChanged(TypeError):
    """Raised where a row that stays as it was written would be changed or deleted."""


SIDES = {"left": "left", "right": "right"}


def _choices(labels: Any) -> list[tuple[str, str]]:
    return list(labels.items())


def _person() -> Any:
    # PROTECT: people are switched off, never deleted, so what they did keeps its name.
    return models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")


class Patient(models.Model):
    """A person, by name and date of birth; what is known of her is in rows of its own."""

    record_number = models.CharField("Record number", max_length=40, blank=True)
    given_name = models.CharField("Given name", max_length=120)
    family_name = models.CharField("Family name", max_length=120)
    born = models.DateField("Date of birth")
    sex = models.CharField("Sex", max_length=10, choices=_choices(codes.SEXES))
    # Folded in Python: a database folds differently, or only plain letters.
    search_key = models.CharField(max_length=300, db_index=True, editable=False)
    given_key = models.CharField(max_length=300, db_index=True, editable=False)
    record_key = models.CharField(max_length=60, db_index=True, editable=False)
    created_by = _person()
    created_at = models.DateTimeField()
    version = models.PositiveIntegerField(default=1)

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


class Measured(models.Model):
    """Something found on a day. A wrong entry is struck out with a reason, never deleted."""

    KIND: ClassVar[str]
    SECTION: ClassVar[str]
    FACT: ClassVar[type[Any]]
    DAY: ClassVar[str] = "date"

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="+")
    entered_by = _person()
    entered_at = models.DateTimeField()
    withdrawn_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", null=True
    )
    withdrawn_at = models.DateTimeField(null=True)
    withdrawn_reason = models.CharField(max_length=200, blank=True)

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
        return cls(**{name: stored(getattr(fact, name)) for name in asks(cls.FACT)}, **more)

    def fact(self) -> Any:
        """Return the fact that the row holds."""
        return self.FACT(**{name: plain(getattr(self, name)) for name in asks(self.FACT)})

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Refuse."""
        raise NeverChanged("A measured row is withdrawn, not deleted.")


def stored(value: Any) -> Any:
    """Return a value of a fact as its column keeps it."""
    match value:
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

    site = models.CharField(max_length=20, choices=_choices(codes.FRACTURE_SITES))
    date = models.DateField(null=True)
    date_is = models.CharField(max_length=5, choices=_choices(KNOWN), default=DAY)
    low_trauma = models.BooleanField(null=True)
    healed = models.BooleanField(null=True)


class ScanRow(Measured):
    """One site of one DXA scan. Side and vertebrae are kept for later comparison."""

    KIND = "scan"
    SECTION = "scans"
    FACT = Scan

    date = models.DateField()
    site = models.CharField(max_length=20, choices=_choices(codes.SCAN_SITES))
    side = models.CharField(max_length=5, choices=_choices(SIDES), blank=True)
    vertebrae = models.CharField(max_length=20, blank=True)
    bmd_g_cm2 = _measure(4, 3)
    t = _measure(3, 1)
    z = _measure(3, 1)
    scanner = models.CharField(max_length=200, null=True)  # noqa: DJ001  None is not recorded


class MarkerRow(Measured):
    """One turnover marker of one blood sample."""

    KIND = "marker"
    SECTION = "scans"
    FACT = Turnover

    date = models.DateField()
    marker = models.CharField(max_length=20, choices=_choices(codes.MARKERS))
    value = _number(8, 3)
    unit = models.CharField(max_length=10, choices=_choices(codes.MARKER_UNITS))
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
    """A set lifted until no further repetition was possible."""

    KIND = "lift"
    SECTION = "lifts"
    FACT = Lift
    DAY = "on"

    lift = models.CharField(max_length=200)
    kg = _number(4, 1)
    reps = models.PositiveSmallIntegerField()
    on = models.DateField(null=True)


KINDS: dict[str, type[Measured]] = {
    kind.KIND: kind for kind in (SizeRow, FractureRow, ScanRow, MarkerRow, FunctionTestDay, LiftSet)
}


class Assessment(models.Model):
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
    made_by = _person()
    made_at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["patient", "as_of", "id"], name="assessment_newest")]

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Insert; a saved assessment stays as it is."""
        _insert_only(self)
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Refuse."""
        raise NeverChanged("An assessment is never deleted.")


class Audit(models.Model):
    """One line of the record of who did what; each is sealed together with the one before.

    old and new are canonical JSON text, so that what is sealed is what is kept.
    """

    seq = models.PositiveBigIntegerField(primary_key=True)
    at = models.DateTimeField()
    actor = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", null=True
    )
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
    prev_hash = models.CharField(max_length=64)
    hash = models.CharField(max_length=64)

    class Meta:
        ordering = ["seq"]
        indexes = [models.Index(fields=["object_type", "object_id"], name="audit_of_object")]

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Insert; a line of the record stays as it is."""
        _insert_only(self)
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Refuse."""
        raise NeverChanged("A line of the record is never deleted.")


def _insert_only(row: models.Model) -> None:
    if not row._state.adding:
        raise NeverChanged(f"A saved {row._meta.verbose_name} is never changed.")
