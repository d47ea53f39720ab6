"""Health: how the machine, the database and its copies stand; nothing of any patient."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from programs.machine.health_now import health


@require_GET
def clinic_health(request: HttpRequest) -> HttpResponse:
    """Show each check with what to do."""
    found = health(now=timezone.now(), quick=True)
    to_do = [check.name for check in found if not check.fine]
    return render(request, "programs/health.html", {"checks": found, "to_do": to_do})
