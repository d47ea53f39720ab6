"""The evidence watch: the papers the product rests on, how each stands, and the file of it."""

from __future__ import annotations

from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from patients.views.common import sent_token, signed_in, today
from programs.actions.evidence_watch import OlderFile, in_force, put_in
from programs.actions.refusals import NotDone
from programs.forms.evidence_watch import EvidenceFileForm
from programs.watch.file import BadFile, write
from programs.watch.resting import papers, unnamed
from programs.watch.standing import by_status, watched


@require_http_methods(["GET", "POST"])
def evidence_watch(request: HttpRequest) -> HttpResponse:
    """Show how each paper stands; put a file in the place of the one there."""
    form = EvidenceFileForm(request.POST or None, request.FILES or None, today=today())
    if request.method == "POST" and form.is_valid() and _is_put_in(request, form):
        messages.success(request, "Put in. The file is in force.")
        return redirect("programs:evidence_watch")
    held = in_force()
    rows = watched(held.file)
    shown = {
        "form": form,
        "token": uuid4(),
        "held": held,
        "rows": rows,
        "counts": by_status(rows),
        "unnamed": unnamed(),
    }
    status = 422 if request.method == "POST" else 200
    return render(request, "programs/evidence_watch.html", shown, status=status)


def _is_put_in(request: HttpRequest, form: EvidenceFileForm) -> bool:
    try:
        put_in(
            content=form.cleaned_data["file"].read(),
            reason=form.cleaned_data["reason"] or "",
            by=signed_in(request),
            at=timezone.now(),
            seen=form.cleaned_data["seen"],
            token=sent_token(request),
        )
    except BadFile as bad:
        for problem in bad.problems:
            form.refused("file", problem)
    except OlderFile as refusal:
        for line in refusal.lines:
            form.refused("file", line)
        form.refused("reason", f"{refusal} Choose the file again too.")
    except NotDone as refusal:
        form.refused(None, str(refusal))
    return form.is_valid()


@require_GET
def evidence_watch_file(request: HttpRequest) -> HttpResponse:
    """Give the file in force, with a line for each paper that nobody has looked at."""
    text = write(in_force().file, (paper.name for paper in papers()))
    response = HttpResponse(text, content_type="application/json")
    response.headers["Content-Disposition"] = 'attachment; filename="evidence-watch.json"'
    return response
