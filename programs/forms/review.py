"""The form of a review: a decision on each modality, what is lifted, and why."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django import forms
from django.forms.boundfield import BoundField

from patients.forms.fields import OneCodeField
from patients.forms.from_questions import SheetForm
from programs.actions.reviewing import Decision, Outlook
from programs.review.half_year import Onward
from programs.review.next_steps import WORDS, Next, bolder
from programs.review.onward import against_discharge
from programs.review.precautions_to_lift import Liftable
from programs.review.proposal import ModalityReview
from safety.findings import Modality

AS_PROPOSED = "as proposed"


@dataclass(frozen=True, kw_only=True)
class DecisionRow:
    """What is proposed of a modality, and the fields of its decision."""

    seen: ModalityReview
    words: str
    chosen: BoundField
    reason: BoundField


@dataclass(frozen=True, kw_only=True)
class LiftRow:
    """A precaution that may be lifted, and its fields."""

    what: Liftable
    ticked: BoundField
    reason: BoundField


def _reason(label: str) -> forms.CharField:
    widget = forms.TextInput({"autocomplete": "off"})
    return forms.CharField(required=False, max_length=500, label=label, widget=widget)


class ReviewForm(SheetForm):
    """What is left open is taken as it is proposed; only a departure is chosen, with its reason."""

    note = forms.CharField(
        required=False,
        max_length=2000,
        label="Note",
        widget=forms.Textarea({"rows": 3}),
        help_text="What was talked about; kept with the review",
    )

    onward_reason = forms.CharField(
        required=False,
        max_length=500,
        label="Reason for the discharge",
        widget=forms.TextInput({"autocomplete": "off"}),
        help_text="Needed for a discharge only; kept with the review",
    )

    def __init__(self, *args: Any, seen: Outlook, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.seen = seen
        if not self.may_discharge:
            del self.fields["onward_reason"]
        labels = {str(one): words for one, words in WORDS.items()}
        for one in seen.proposal.modalities:
            name = str(one.modality)
            field = OneCodeField(
                labels=labels, required=False, label=f"{name.capitalize()}: decision"
            )
            field.choices = [("", AS_PROPOSED), *labels.items()]
            self.fields[name] = field
            self.fields[f"{name}__reason"] = _reason(f"{name.capitalize()}: reason")
        for lift in seen.offered:
            self.fields[f"lift__{lift.code}"] = forms.BooleanField(
                required=False, label=f"Lift: {lift.text}"
            )
            self.fields[f"lift__{lift.code}__reason"] = _reason("Reason for lifting it")

    @property
    def may_discharge(self) -> bool:
        """Tell whether a discharge is offered."""
        return not against_discharge(self.seen.review)

    @property
    def onward(self) -> Onward:
        """Return what was chosen to follow, by the button that was pressed."""
        pressed = (one for one in (Onward.DISCHARGE, Onward.MAINTENANCE) if str(one) in self.data)
        return next(pressed, Onward.NEXT_DRAFT)

    def rows(self) -> Iterator[DecisionRow]:
        """Yield the decisions to take."""
        for one in self.seen.proposal.modalities:
            name = str(one.modality)
            yield DecisionRow(
                seen=one, words=WORDS[one.next], chosen=self[name], reason=self[f"{name}__reason"]
            )

    def lifts(self) -> Iterator[LiftRow]:
        """Yield what may be lifted."""
        for one in self.seen.offered:
            name = f"lift__{one.code}"
            yield LiftRow(what=one, ticked=self[name], reason=self[f"{name}__reason"])

    def clean(self) -> dict[str, Any]:
        """Ask for a reason where more was chosen than was proposed."""
        cleaned = super().clean() or {}
        for one in self.seen.proposal.modalities:
            name = str(one.modality)
            chosen = cleaned.get(name)
            if chosen and bolder(Next(chosen), one.next) and not cleaned.get(f"{name}__reason"):
                self.add_error(f"{name}__reason", "Say why it is more than was proposed.")
        for lift in self.seen.offered:
            name = f"lift__{lift.code}"
            if cleaned.get(name) and not cleaned.get(f"{name}__reason"):
                self.add_error(f"{name}__reason", "Say why it is lifted.")
        asked = self.may_discharge and self.onward is Onward.DISCHARGE
        if asked and not cleaned.get("onward_reason"):
            self.add_error("onward_reason", "Say why: a discharge needs its reason.")
        return cleaned

    def decisions(self) -> dict[Modality, Decision]:
        """Return what was decided of each modality."""
        said = self.cleaned_data
        return {
            one.modality: Decision(
                next=Next(said[str(one.modality)] or one.next),
                reason=said[f"{one.modality}__reason"],
            )
            for one in self.seen.proposal.modalities
        }

    def lifted(self) -> dict[str, str]:
        """Return what is lifted, with the reasons."""
        said = self.cleaned_data
        return {
            one.code: said[f"lift__{one.code}__reason"]
            for one in self.seen.offered
            if said[f"lift__{one.code}"]
        }
