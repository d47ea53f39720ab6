"""Of each person the screens there are, and what the one had found that somebody saw last.

A screen kept on its page, one that a signature rests on, and one made anew that a review, a
screen or a signature followed: whichever is newest. Where nobody looked yet, the first made anew.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Max, OuterRef, Subquery

from patients.models.patient import Patient
from programs.actions.as_signed import NotAsSigned, look_at, program_of
from programs.models.program import Review, SignedPlan
from programs.models.rescreen import Rescreen
from safety.compared_screens import Said, as_signed, from_kept
from safety.models import Contraindication, Screening

AScreen = Screening | SignedPlan | Rescreen


@dataclass(frozen=True, kw_only=True)
class Screens:
    """The newest screen of a person that was kept, that was signed upon, and those made anew.

    anew   oldest first, without what they found
    """

    kept: Screening | None
    signed: SignedPlan | None
    anew: Sequence[Rescreen]
    reviewed: dt.datetime | None

    @property
    def by_person(self) -> tuple[dt.datetime, str] | None:
        """Return when somebody last kept a screen or signed upon one, and by which rulebook."""
        rows = [row for row in (self.kept, self.signed) if row is not None]
        return max(((made_at(row), row.rulebook) for row in rows), default=None)

    @property
    def contradicts(self) -> bool:
        """Tell whether the newest one could not be made: what is entered contradicts itself."""
        return bool(self.anew and self.anew[-1].contradiction)

    def has(self, rulebook: str, facts_version: str) -> bool:
        """Tell whether one was made anew by a rulebook with facts of a version."""
        return any((r.rulebook, r.facts_version) == (rulebook, facts_version) for r in self.anew)

    def seen(self) -> Iterator[AScreen]:
        """Yield those that somebody has seen, the newest first; else the first made anew."""
        looks = (self.reviewed, self.by_person[0] if self.by_person else None)
        last = max((at for at in looks if at is not None), default=None)
        could = [row for row in self.anew if not row.contradiction]
        seen: list[AScreen] = [row for row in could if last is not None and row.at <= last]
        seen += [row for row in (self.kept, self.signed) if row is not None]
        yield from sorted(seen, key=made_at, reverse=True) or could[:1]


def made_at(row: AScreen) -> dt.datetime:
    """Return when a screen was made."""
    match row:
        case Screening():
            return row.made_at
        case SignedPlan():
            return row.signed_at
        case _:
            return row.at


def screens_of(patients: Collection[Patient]) -> dict[int, Screens]:
    """Return the screens of these people, by id; four queries for all."""
    kept = _newest(Screening, "-made_at", patients)
    signed = _newest(SignedPlan, "-version", patients)
    held = Review.objects.filter(patient__in=patients).order_by().values("patient")
    reviewed = dict(held.annotate(last=Max("at")).values_list("patient", "last"))
    anew: dict[int, list[Rescreen]] = {}
    rows = Rescreen.objects.filter(patient__in=patients).order_by("pk")
    for row in rows.defer("findings", "changes", "decided", "paper"):
        anew.setdefault(row.patient_id, []).append(row)
    return {
        one.pk: Screens(
            kept=kept.get(one.pk),
            signed=signed.get(one.pk),
            anew=anew.get(one.pk, ()),
            reviewed=reviewed.get(one.pk),
        )
        for one in patients
    }


def _newest(of: Any, order: str, patients: Collection[Patient]) -> dict[int, Any]:
    same = of.objects.filter(patient=OuterRef("patient")).order_by(order, "-pk")
    rows = of.objects.filter(patient__in=patients, pk=Subquery(same.values("pk")[:1]))
    rows = rows.defer("body") if of is SignedPlan else rows
    return {row.patient_id: row for row in rows}


@dataclass(frozen=True, kw_only=True)
class Before:
    """What a screen had found, and when it was made."""

    at: dt.datetime
    findings: Sequence[Said]


class SeenLast:
    """What the screens of some people had found; three queries for all."""

    def __init__(self, screens: Mapping[int, Screens], texts: Mapping[int, SignedPlan]) -> None:
        """Read them. texts: signed programs that are read already, by patient."""
        self.screens = screens
        kept = [one.kept for one in screens.values() if one.kept]
        self.kept: dict[int, list[Said]] = {row.pk: [] for row in kept}
        for one in Contraindication.objects.filter(screening__in=kept):
            self.kept[one.screening_id].append(from_kept(vars(one)))
        signed = {one.signed.pk for one in screens.values() if one.signed}
        self.texts = {row.pk: row for row in texts.values()}
        rest = SignedPlan.objects.filter(pk__in=signed - self.texts.keys())
        self.texts |= {row.pk: row for row in rest.select_related("plan")}
        look_at(list(self.texts.values()))
        anew = {row.pk for one in screens.values() for row in one.seen() if _is_anew(row)}
        found = Rescreen.objects.filter(pk__in=anew).values_list("pk", "findings")
        self.anew = {pk: [from_kept(one) for one in said] for pk, said in found}

    def of(self, patient: int) -> Before | None:
        """Return what she is compared with; None where there is nothing that can be read."""
        for row in self.screens[patient].seen():
            findings = self._findings(row)
            if findings is not None:
                return Before(at=made_at(row), findings=findings)
        return None

    def _findings(self, row: AScreen) -> Sequence[Said] | None:
        match row:
            case Screening():
                return self.kept[row.pk]
            case SignedPlan():
                return _signed_findings(self.texts[row.pk])
            case _:
                return self.anew[row.pk]


def _is_anew(row: AScreen) -> bool:
    return isinstance(row, Rescreen)


def _signed_findings(signed: SignedPlan) -> list[Said] | None:
    """Return what was found when a program was signed; None where that is not to be read."""
    try:
        program = program_of(signed)
    except NotAsSigned:
        return None
    return [
        as_signed(
            rule=one.rule,
            about=one.about,
            level=str(one.level),
            text=one.text,
            cleared=one.cleared,
        )
        for one in program.findings
    ]
