"""What a new clinic sets first, in order, with what already holds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from django.contrib.auth.models import User
from django.urls import reverse

from patients.models.scanners import Scanner
from patients.staff.rights import Right
from programs.actions.clinic import Details, details_in_force
from programs.actions.emergency_numbers import emergencies_in_force
from programs.actions.languages import languages_on
from programs.models.plates import ClinicPlate


@dataclass(frozen=True, kw_only=True)
class ToSet:
    """One thing to set.

    holds   what is set already, in words; empty while nothing is
    why     what it is for
    right   the right without which its page does not open
    """

    title: str
    holds: str
    why: str
    link: str
    right: Right


def to_set(details: Details | None = None) -> list[ToSet]:
    """Return all that a clinic sets first, in order.

    details   where they were already read
    """
    held = details or details_in_force()
    return [*_clinic(held), *_emergencies(), *_machines(), _colleagues()]


def _clinic(held: Details) -> Iterator[ToSet]:
    of_papers = (
        ("Name of the clinic", held.name, "It appears on every paper."),
        ("Telephone", held.phone, "Every paper says whom to call when something is wrong."),
    )
    for title, holds, why in of_papers:
        yield ToSet(
            title=title,
            holds=holds,
            why=why,
            link=reverse("programs:clinic_details"),
            right=Right.SETTINGS,
        )


def _emergencies() -> Iterator[ToSet]:
    held = emergencies_in_force()
    for code, name in languages_on():
        one = held[code]
        yield ToSet(
            title=f"Whom to call in an emergency, on papers in {name}",
            holds=", ".join(part for part in (one.number, one.words) if part and one.number),
            why="Without a number the box on page one has a line to fill in by hand.",
            link=reverse("programs:clinic_emergency"),
            right=Right.SETTINGS,
        )


def _machines() -> Iterator[ToSet]:
    scanners = Scanner.objects.values_list("name", flat=True)
    yield ToSet(
        title="Density scanner, with its precision study",
        holds=_named(list(scanners)),
        why="Whether a change of density is more than the error depends on your own machine.",
        link=reverse("patients:scanners"),
        right=Right.ENTER,
    )
    plates = ClinicPlate.objects.filter(retired_at=None).values_list("name", flat=True)
    yield ToSet(
        title="Vibration plate, if the clinic has one",
        holds=_named(list(plates)),
        why="A plan doses by the settings that a plate really has.",
        link=reverse("programs:plates"),
        right=Right.ENTER,
    )


def _colleagues() -> ToSet:
    people = [user.get_full_name() or user.username for user in _active()]
    return ToSet(
        title="Colleagues",
        holds=_named(people) if len(people) > 1 else "",
        why="Each with an account of her own, so that the record says who did what.",
        link=reverse("patients:people"),
        right=Right.PEOPLE,
    )


def _active() -> list[User]:
    return list(User.objects.filter(is_active=True).order_by("pk"))


def _named(names: list[str]) -> str:
    """Return some names; of many the first three and how many more."""
    more = f" and {len(names) - _SHOWN} more" if len(names) > _SHOWN else ""
    return ", ".join(names[:_SHOWN]) + more


_SHOWN = 3
