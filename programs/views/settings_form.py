"""Setting several things of the clinic by one form; somebody else may have set one meanwhile."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Protocol

from django.http import HttpRequest
from django.utils import timezone

from patients.views.common import sent_token, signed_in
from programs.actions.refusals import NotDone


class SettingsForm(Protocol):
    """A form whose `given` is what was typed, and `seen` what stood there when it was opened."""

    cleaned_data: dict[str, Any]

    @property
    def given(self) -> Sequence[Any]: ...

    def refused(self, why: str) -> None: ...


def is_set(request: HttpRequest, form: SettingsForm, action: Callable[..., None]) -> bool:
    """Set what was typed; tell whether it was, and if not say why on the form."""
    try:
        action(
            given=form.given,
            by=signed_in(request),
            at=timezone.now(),
            seen=form.cleaned_data["seen"],
            token=sent_token(request),
        )
    except NotDone as refusal:
        form.refused(str(refusal))
        return False
    return True
