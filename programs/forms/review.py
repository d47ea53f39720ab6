"""The form of a review: a decision on each modality, what is lifted, and why."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django import forms
from django.forms.boundfield import BoundField

from patients.forms.declared import SheetForm
from patients.forms.fields import OneCodeField
from programs.actions.reviewing import Decision, Outlook
from programs.lifted import Liftable
from programs.review import WORDS, ModalityReview, Next, bolder
from safety.findings import Modality


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
    """Nothing is chosen beforehand: whoever decides has to decide."""

    note = forms.CharField(
        required=False,
        max_length=2000,
        label="Note",
        widget=forms.Textarea({"rows": 3}),
        help_text="What was talked about; kept with the review",
    )

    def __init__(self, *args: Any, seen: Outlook, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.seen = seen
        labels = {str(one): words for one, words in WORDS.items()}
        for one in seen.proposal.modalities:
            name = str(one.modality)
            field = OneCodeField(labels=labels, required=True, label=f"{name.capitalize()}: how on")
            self.fields[name] = field
            self.fields[f"{name}__reason"] = _reason(f"{name.capitalize()}: reason")
        for lift in seen.offered:
            self.fields[f"lift__{lift.code}"] = forms.BooleanField(
                required=False, label=f"Lift: {lift.text}"
            )
            self.fields[f"lift__{lift.code}__reason"] = _reason("Reason for lifting it")

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
        """Ask for every decision, and for a reason where it is more than was proposed."""
        cleaned = super().clean() or {}
        for one in self.seen.proposal.modalities:
            name = str(one.modality)
            chosen = cleaned.get(name)
            if not chosen and name not in self.errors:
                self.add_error(name, "Decide on this.")
            elif chosen and bolder(Next(chosen), one.next) and not cleaned.get(f"{name}__reason"):
                self.add_error(f"{name}__reason", "Say why it is more than was proposed.")
        for lift in self.seen.offered:
            name = f"lift__{lift.code}"
            if cleaned.get(name) and not cleaned.get(f"{name}__reason"):
                self.add_error(f"{name}__reason", "Say why it is lifted.")
        return cleaned

    def decisions(self) -> dict[Modality, Decision]:
        """Return what was decided of each modality."""
        said = self.cleaned_data
        return {
            one.modality: Decision(
                next=Next(said[str(one.modality)]), reason=said[f"{one.modality}__reason"]
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
