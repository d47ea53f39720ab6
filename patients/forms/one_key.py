"""A question that one key answers: each choice has its letter, and the blank one a dash."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from patients.forms.fields import NOT_RECORDED

#: The key of "not recorded".
BLANK = "-"


class OneKeyRadios(forms.RadioSelect):
    """Radio buttons that carry the key of each; the script of the page presses them by it."""

    def __init__(self, *, keys: Mapping[str, str], **more: Any) -> None:
        super().__init__(**more)
        self.keys = keys

    def create_option(self, name: str, value: Any, *args: Any, **more: Any) -> dict[str, Any]:
        """Return the option with its key; the blank one is there to undo, and never chosen."""
        option = super().create_option(name, value, *args, **more)
        option["attrs"]["data-key"] = self.keys.get(str(value), BLANK)
        if not value:
            option["selected"] = False
            option["attrs"].pop("checked", None)
        return option


class OneKeyField(forms.ChoiceField):
    """One of a few answers, or not recorded; the cleaned value is its code or ""."""

    def __init__(self, *, choices: Mapping[str, tuple[str, str]], **more: Any) -> None:
        told = [(code, label) for code, (_, label) in choices.items()]
        keys = {code: key for code, (key, _) in choices.items()}
        super().__init__(
            choices=[*told, ("", NOT_RECORDED)],
            widget=OneKeyRadios(keys=keys),
            required=False,
            **more,
        )


YES_NO = {"yes": ("y", "yes"), "no": ("n", "no")}
MENOPAUSE = {
    "before": ("b", "before"),
    "transition": ("t", "transition"),
    "after": ("a", "after"),
    "not_applicable": ("d", "does not apply"),
}
MOBILITY = {
    "independent": ("w", "without help"),
    "stick": ("s", "stick"),
    "frame": ("f", "frame"),
    "wheelchair": ("c", "wheelchair"),
    "bed": ("b", "stays in bed"),
}
EXPERIENCE = {"none": ("n", "none"), "some": ("s", "some"), "regular": ("r", "regular")}
AIMS = {
    "hip": ("h", "hip"),
    "spine": ("s", "spine"),
    "wrist": ("w", "wrist"),
    "falls": ("f", "fewer falls"),
    "strength": ("t", "strength"),
}
#: More falls than three are written as a number.
MORE = "more"
FALLS = {str(n): (str(n), str(n)) for n in range(4)} | {MORE: ("m", "more")}
