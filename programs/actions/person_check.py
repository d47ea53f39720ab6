"""Whether all that is kept of one person is as the record tells; asked before each of her papers.

Looked at are her lines, her rows, her signed programs and her papers, each by an index, so that
it costs the same however many people there are.
"""

from __future__ import annotations

from collections.abc import Iterator

from django.db import DEFAULT_DB_ALIAS

from programs.actions.as_signed import erased, look_at, why_not_as_signed
from programs.actions.kept_paper import kept_bytes
from programs.actions.refusals import NotDone
from programs.actions.rows_against_record import of_people
from programs.models.program import Handout, SignedPlan

#: Papers held in memory at once; one may have a megabyte.
_AT_ONCE = 4


def refuse_what_is_not_as_recorded(patient: int) -> None:
    """Raise NotDone where anything of a person is not as the record tells."""
    if why := next(broken_of(patient), ""):
        raise NotDone(
            f"Something in this person’s record is not as it was recorded. {why} "
            "Nothing is printed. Tell whoever keeps the database."
        )


def broken_of(patient: int, using: str = DEFAULT_DB_ALIAS) -> Iterator[str]:
    """Yield what of a person is not as the record tells."""
    yield from of_people([patient], using)
    yield from broken_programs([patient], using)
    papers = Handout.objects.using(using).filter(signed__patient=patient).order_by("pk")
    for paper in papers.iterator(chunk_size=_AT_ONCE):
        try:
            kept_bytes(paper)
        except NotDone as refusal:
            yield f"Kept paper {paper.pk}: {refusal}"


def broken_programs(patients: list[int], using: str = DEFAULT_DB_ALIAS) -> Iterator[str]:
    """Yield what of these people's signed programs does not verify; an erased one does."""
    rows = SignedPlan.objects.using(using).filter(patient__in=patients).select_related("plan")
    held = list(rows.order_by("pk"))
    look_at(held)
    for row in held:
        if (why := why_not_as_signed(row)) and not erased(row):
            yield f"Signed program {row.pk}: {why}"
