"""The rule on passwords beside their length: none that would soon be guessed."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import ValidationError

from patients.staff.passwords import why_guessed


class NotSoonGuessed:
    """Refuses what is common, repeated, in a row, or made of the person's or product's name.

    No rule about kinds of character: such rules make passwords that are easier to guess
    (NIST SP 800-63B).
    """

    def validate(self, password: str, user: Any = None) -> None:
        """Raise ValidationError with the reason."""
        names = (user.get_username(), user.get_full_name()) if user is not None else ()
        if why := why_guessed(password, names):
            raise ValidationError(f"This would soon be guessed. {why}", code="soon_guessed")

    def get_help_text(self) -> str:
        """Return what is asked for."""
        return "A few unrelated words do well. Any letters and signs, spaces too."
