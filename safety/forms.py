"""The form of a clearance."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms

from patients import codes
from patients.asking import asks
from patients.facts import Clearance, OtherClearance
from patients.forms.declared import SheetForm
from patients.forms.fields import DateField, OneCodeField, TextField, field_for
from safety.models import SUBJECTS

_ASKS = asks(Clearance)
FIELDS = {"modalities": "modalities", "by": "given_by", "on": "on", "until": "until"}


class ClearanceForm(SheetForm):
    """Who gave leave, for what, from when to when.

    `finding` is the rule beside which the form stands.
    """

    subject = OneCodeField(labels=SUBJECTS, required=True, widget=forms.HiddenInput)
    finding = forms.CharField(widget=forms.HiddenInput, required=False)
    modalities = field_for(_ASKS["modalities"])
    given_by = TextField(label="Cleared by", help_text=_ASKS["by"].help)
    on = DateField(label=_ASKS["on"].question)
    until = DateField(label=_ASKS["until"].question)
    note = TextField(label="Note", help_text="Where it is written, as a letter or a call")

    def __init__(self, *args: Any, beside: str = "", **kwargs: Any) -> None:
        # Several stand on one page; each has ids of its own.
        super().__init__(*args, auto_id=f"id_{beside.replace('.', '_')}_%s", **kwargs)

    def clean(self) -> dict[str, Any]:
        """Check it by the code that reads documents."""
        given = super().clean() or {}
        part = {key: given.get(field) for key, field in FIELDS.items() if given.get(field)}
        of: type[Any] = Clearance
        if given.get("subject") in codes.CLEARANCE_SUBJECTS:
            of, part["for"] = OtherClearance, given["subject"]
        self.fact = self.checked(of, part, FIELDS)
        return given

    def clearance(self) -> dict[str, Any]:
        """Return what the action takes; the form must be valid."""
        return {
            "subject": self.cleaned_data["subject"],
            "modalities": self.fact.modalities,
            "given_by": self.fact.by,
            "on": self.fact.on,
            "until": self.fact.until,
            "note": self.cleaned_data["note"] or "",
        }


def started(
    subject: str, finding: str, modalities: Iterable[str], also: Iterable[str] = (), **days: Any
) -> ClearanceForm:
    """Return the form as it stands beside a finding, before anything is typed.

    also   modalities that wait for leave of the same; told, but never ticked beforehand: what
           was cleared is for whoever has the letter to say
    """
    initial = {"subject": subject, "finding": finding, "modalities": list(modalities)}
    form = ClearanceForm(initial=initial, beside=finding, **days)
    if others := [codes.MODALITIES[code] for code in also]:
        form.fields[
            "modalities"
        ].help_text = (
            f"It is asked for {', '.join(others)} as well: tick all that it was given for, once."
        )
    return form
