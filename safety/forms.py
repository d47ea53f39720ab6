"""The form of a clearance."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from patients.facts import codes
from patients.facts.declared import Clearance, OtherClearance
from patients.facts.question import asks
from patients.forms.fields import DateField, OneCodeField, TextField, field_for
from patients.forms.from_questions import SheetForm
from safety.models import subjects

_ASKS = asks(Clearance)
FIELDS = {
    "modalities": "modalities",
    "by": "given_by",
    "on": "on",
    "until": "until",
    "limits": "limits",
    "eye_specialist": "eye_specialist",
}
EYES = ("retinal_disease",)


class ClearanceForm(SheetForm):
    """Who gave leave, for what, from when to when.

    `finding` is the rule beside which the form stands.
    """

    needed = ("modalities", "given_by", "on", "until")

    subject = OneCodeField(labels=subjects(), required=True, widget=forms.HiddenInput)
    finding = forms.CharField(widget=forms.HiddenInput, required=False)
    modalities = field_for(_ASKS["modalities"])
    given_by = TextField(label="Cleared by", help_text=_ASKS["by"].help)
    on = DateField(label=_ASKS["on"].question)
    until = DateField(label=_ASKS["until"].question)
    limits = field_for(_ASKS["limits"])
    eye_specialist = forms.BooleanField(required=False, label=_ASKS["eye_specialist"].question)
    note = TextField(label="Note", help_text="Where it is written, as a letter or a call")

    def __init__(self, *args: Any, beside: str = "", **kwargs: Any) -> None:
        # Several stand on one page; each has ids of its own.
        super().__init__(*args, auto_id=f"id_{beside.replace('.', '_')}_%s", **kwargs)
        if self["subject"].value() not in EYES:
            del self.fields["eye_specialist"]

    def clean(self) -> dict[str, Any]:
        """Check it by the code that reads documents."""
        given = super().clean() or {}
        part = {key: given.get(field) for key, field in FIELDS.items() if given.get(field)}
        if part.get("eye_specialist"):
            part["eye_specialist"] = "yes"
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
            "limits": self.fact.limits,
            "eye_specialist": self.fact.eye_specialist,
        }


def started(subject: str, finding: str, modalities: Sequence[str], **days: Any) -> ClearanceForm:
    """Return the form as it stands beside a cause, before anything is typed.

    Where several kinds wait none is ticked beforehand: what was cleared is for whoever has the
    letter to say.
    """
    ticked = modalities if len(modalities) == 1 else ()
    initial = {"subject": subject, "finding": finding, "modalities": list(ticked)}
    form = ClearanceForm(initial=initial, beside=finding, **days)
    if not ticked:
        asked = ", ".join(codes.MODALITIES[code] for code in modalities)
        told = f"It is asked for {asked}: tick all that it was given for, once."
        form.fields["modalities"].help_text = told
    return form
