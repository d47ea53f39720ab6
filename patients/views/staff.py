"""The people of the clinic: who works here, as what; added, named, switched off, let in again."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.contrib.auth.models import User
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from patients.actions import staff as actions
from patients.actions.codes import asked_of, codes_of
from patients.actions.refusals import Refused
from patients.forms.codes import TakeAwayForm
from patients.forms.staff import NameForm, PersonForm, RolesForm
from patients.may import roles_of
from patients.models.codes import OneTimeCodes
from patients.models.staff import RoleChange
from patients.staff.one_time_codes import WHO_MUST
from patients.staff.rights import RULES, Role
from patients.views.common import signed_in


@require_GET
def people(request: HttpRequest) -> HttpResponse:
    """List who works here, and what each role may do."""
    found = list(User.objects.order_by("-is_active", "first_name", "last_name", "username"))
    held = roles_of(found)
    codes = {*OneTimeCodes.objects.values_list("who_id", flat=True)}
    context = {
        "people": [(one, _in_order(held[one.pk]), one.pk in codes) for one in found],
        "asked": WHO_MUST[asked_of()],
        "roles": list(Role),
        "rules": [(rule, [role in rule.roles for role in Role]) for rule in RULES.values()],
    }
    return render(request, "patients/staff/people.html", context)


def _in_order(roles: frozenset[Role]) -> list[Role]:
    return [role for role in Role if role in roles]


@require_http_methods(["GET", "POST"])
def person_add(request: HttpRequest) -> HttpResponse:
    """Add somebody, and show the code with which she sets her password."""
    form = PersonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        who: dict[str, Any] = {"by": signed_in(request), "at": timezone.now()}
        try:
            user = actions.add_person(**form.cleaned_data, **who)
        except Refused as refusal:
            form.add_error("username", str(refusal))
        else:
            return _code_page(request, user, actions.give_code(user=user, **who))
    status = 422 if request.method == "POST" else 200
    return render(request, "patients/staff/person_add.html", {"form": form}, status=status)


@require_http_methods(["GET", "POST"])
def person(request: HttpRequest, number: int) -> HttpResponse:
    """Show somebody; set her name and roles."""
    user = get_object_or_404(User, pk=number)
    roles = roles_of([user])[user.pk]
    name = NameForm(request.POST or None, initial={"full_name": user.get_full_name()})
    chosen = RolesForm(request.POST or None, initial={"roles": [*map(str, roles)]})
    if request.method == "POST" and name.is_valid() and chosen.is_valid():
        who: dict[str, Any] = {"user": user, "by": signed_in(request), "at": timezone.now()}
        try:
            actions.set_roles(roles=chosen.cleaned_data["roles"], **who)
            actions.set_full_name(full_name=name.cleaned_data["full_name"], **who)
        except Refused as refusal:
            chosen.add_error("roles", str(refusal))
        else:
            messages.success(request, "Saved. It counts from her next page on.")
            # She may just have taken this page from herself.
            return redirect("programs:caseload" if user == request.user else "patients:people")
    status = 422 if request.method == "POST" else 200
    changes = RoleChange.objects.filter(who=user).select_related("by").order_by("-id")
    context = {
        "one": user,
        "name": name,
        "chosen": chosen,
        "changes": changes,
        "codes": codes_of(user),
        "take_away": TakeAwayForm(),
    }
    return render(request, "patients/staff/person.html", context, status=status)


@require_POST
def person_switch(request: HttpRequest, number: int) -> HttpResponse:
    """Switch an account off or on."""
    user = get_object_or_404(User, pk=number)
    on = request.POST.get("on") == "yes"
    try:
        actions.switch(user=user, on=on, by=signed_in(request), at=timezone.now())
    except Refused as refusal:
        messages.error(request, str(refusal))
        return redirect("patients:person", number)
    messages.success(request, "Switched on." if on else "Switched off and signed out everywhere.")
    return redirect("patients:person", number)


@require_POST
def person_code(request: HttpRequest, number: int) -> HttpResponse:
    """Give a code for a new password, shown this once."""
    user = get_object_or_404(User, pk=number)
    try:
        code = actions.give_code(user=user, by=signed_in(request), at=timezone.now())
    except Refused as refusal:
        messages.error(request, str(refusal))
        return redirect("patients:person", number)
    return _code_page(request, user, code)


def _code_page(request: HttpRequest, user: User, code: str) -> HttpResponse:
    return render(request, "patients/staff/code.html", {"one": user, "code": code})
