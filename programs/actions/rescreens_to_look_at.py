"""Whose new screen nobody has looked at yet: one result a person."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce
from operator import or_
from typing import Any

from django.db.models import Exists, OuterRef, Q, QuerySet

from programs.actions.people_counted import followed_people
from programs.models.program import Review, SignedPlan
from programs.models.rescreen import Rescreen, RescreenToLookAt
from programs.review.paper_in_hand import in_one_sentence, paper_from_kept
from safety.compared_screens import change_from_kept
from safety.models import Screening


def keep_to_look_at(rows: Sequence[Rescreen]) -> None:
    """Put new results in the place of those before them, in the transaction that keeps them."""
    RescreenToLookAt.objects.filter(patient__in=[row.patient_id for row in rows]).delete()
    RescreenToLookAt.objects.bulk_create(
        RescreenToLookAt(patient_id=row.patient_id, result=row, rank=row.rank, at=row.at)
        for row in rows
        if row.rank is not None
    )


def take_away_looked_at() -> None:
    """Take away the results that somebody has looked at; none of them is listed any more."""
    RescreenToLookAt.objects.filter(_looked_at()).delete()


def _looked_at() -> Q:
    of, after = {"patient": OuterRef("patient")}, OuterRef("at")
    looks: tuple[QuerySet[Any], ...] = (
        Review.objects.filter(at__gt=after, **of),
        Screening.objects.filter(made_at__gt=after, **of),
        SignedPlan.objects.filter(signed_at__gt=after, **of),
    )
    return reduce(or_, (Q(Exists(look)) for look in looks))


def not_looked_at() -> QuerySet[RescreenToLookAt]:
    """Return the results at which nobody has looked, the most urgent first.

    A review, a screen kept or a signature after it is such a look.
    """
    mine = followed_people().order_by().filter(pk=OuterRef("patient"))
    rows = RescreenToLookAt.objects.filter(Exists(mine)).exclude(_looked_at())
    whole = rows.select_related("patient", "result").defer("result__findings")
    return whole.order_by("rank", "-at", "-pk")


def sentence_of(row: Rescreen) -> str:
    """Return in one sentence what changed, and what the paper in her hand says of it."""
    if row.contradiction:
        why = row.contradiction
        return f"What is entered cannot stand together, so nothing could be screened: {why}."
    changes = [change_from_kept(one) for one in row.changes]
    return in_one_sentence(changes, paper_from_kept(row.paper) if row.paper else None)
