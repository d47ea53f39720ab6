"""What the product is made of, and the licence of each part."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from programs.actions.made_of import KEPT, kept


@require_GET
def made_of(request: HttpRequest) -> HttpResponse:
    """Show each part with its version and its licence."""
    parts = [_part(one) for one in kept()["components"]]
    return render(request, "programs/made_of.html", {"parts": parts})


def _part(one: dict[str, Any]) -> dict[str, str]:
    (licence,) = one["licenses"]
    told = {held["name"]: held["value"] for held in one.get("properties", ())}
    return {
        "name": one["name"],
        "version": one.get("version", ""),
        "licence": licence.get("expression") or licence["license"]["id"],
        "what": one.get("description", "package"),
        "where": told.get("calcar:carried-by", ""),
        "when": told.get("calcar:when", ""),
    }


@require_GET
def made_of_file(request: HttpRequest) -> HttpResponse:
    """Give the list as a file that other programs read."""
    response = HttpResponse(KEPT.read_bytes(), content_type="application/json")
    response.headers["Content-Disposition"] = 'attachment; filename="calcar-sbom.cdx.json"'
    return response
