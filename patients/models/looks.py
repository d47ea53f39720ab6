"""Who looked at what: pages read, exports taken, papers read, and pages that were refused."""

from __future__ import annotations

from django.db import models

from patients.kept_rows import Kept, person

PAGE, EXPORT, PAPER, REFUSED = "page", "export", "paper", "refused"
KINDS_OF_LOOK = {PAGE: "page", EXPORT: "export", PAPER: "paper", REFUSED: "refused"}


class Look(Kept):
    """One answer that showed something of a person or was refused, sealed to the one before.

    patient_number  whose page it was, as its address says, though nobody may have the number;
                    none where an answer tells of many
    page            the name of the address
    what            the rest of the address, as canonical JSON text
    status          of the answer
    """

    seq = models.PositiveBigIntegerField(primary_key=True)
    at = models.DateTimeField()
    actor = person(null=True)
    actor_name = models.CharField(max_length=200)
    patient_number = models.PositiveBigIntegerField(null=True)
    kind = models.CharField(max_length=10)
    page = models.CharField(max_length=80)
    what = models.TextField()
    status = models.PositiveSmallIntegerField()
    source_address = models.CharField(max_length=45, blank=True)
    prev_hash = models.CharField(max_length=64)
    hash = models.CharField(max_length=64)

    class Meta:
        ordering = ["seq"]
        indexes = [
            models.Index(fields=["patient_number", "seq"], name="look_of_patient"),
            models.Index(fields=["actor", "seq"], name="look_of_actor"),
            models.Index(fields=["kind", "seq"], name="look_of_kind"),
            models.Index(fields=["at"], name="look_at"),
        ]
