"""Everything kept of a person: what that is, and all of it as one file to take away."""

from __future__ import annotations

import tempfile

from django.contrib import messages
from django.http import FileResponse, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_GET

from patients.models.patient import Patient
from patients.views.common import patient_page, signed_in
from programs.actions.clinic import details_in_force
from programs.actions.person_export import archive_name, exports_of, write_archive
from programs.actions.printing import PaperRefused, PaperUnavailable
from programs.export.document import FORMAT
from programs.export.fhir.bundle import LEFT_OUT
from programs.export.fhir.parts import OWN_CODES
from programs.export.tables import MADE_ANEW, NOT_IN_THE_RECORD, TABLES
from programs.papers.whole_record import MOST_ROWS

#: Exports that the page lists.
_SHOWN = 20
#: An archive larger than this is built on the disk, not in memory.
_IN_MEMORY = 1 << 23


@require_GET
def everything_kept(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Say what is kept of her and who has taken it away so far, and offer it."""
    patient = get_object_or_404(Patient, pk=patient_id)
    return patient_page(
        request,
        "programs/everything_kept.html",
        patient,
        format=FORMAT,
        tables=TABLES,
        left_out=(*MADE_ANEW.values(), *NOT_IN_THE_RECORD.values()),
        most_rows=MOST_ROWS,
        not_in_fhir=LEFT_OUT,
        own_codes=OWN_CODES,
        exports=exports_of(patient)[:_SHOWN],
    )


@require_GET
def person_export(request: HttpRequest, patient_id: int) -> HttpResponseBase:
    """Give the archive."""
    patient = get_object_or_404(Patient, pk=patient_id)
    # Closed with the answer that it is sent by.
    made = tempfile.SpooledTemporaryFile(_IN_MEMORY)  # noqa: SIM115
    try:
        write_archive(
            patient=patient,
            by=signed_in(request),
            at=timezone.now(),
            to=made,
            paper=details_in_force().paper,
        )
    except (PaperRefused, PaperUnavailable) as refusal:
        made.close()
        messages.error(request, str(refusal))
        return redirect("programs:everything_kept", patient_id)
    made.seek(0)
    return FileResponse(made, as_attachment=True, filename=archive_name(patient))
