"""What is asked before the first visit: the paper's questions, in the paper's order.

The paper is printed from here, and what comes back on it is typed in from here.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from patients import codes


def gettext_noop(text: str) -> str:
    """Mark a text for the translators of the paper."""
    return text


#: Tables that are answered yes, no or not sure: section, title, labels.
TABLES: tuple[tuple[str, str, Mapping[str, str]], ...] = (
    ("conditions", gettext_noop("Do you have, or have you had:"), codes.CONDITIONS),
    ("symptoms", gettext_noop("Do you have now:"), codes.SYMPTOMS),
    ("medicines", gettext_noop("Do you take:"), codes.MEDICINES),
)
#: Entries of the falls, after their number.
FALLS: Mapping[str, str] = MappingProxyType(
    {
        "injury": gettext_noop("Did any fall hurt you?"),
        "long_lie": gettext_noop("Did you lie on the floor for 1 hour or more?"),
        "blackout": gettext_noop("Did you black out in any fall?"),
        "unsteady": gettext_noop("Do you feel unsteady when you stand or walk?"),
        "worried": gettext_noop("Do you worry about falling?"),
    }
)
#: Entries of her resources; the plate after them has a section of its own.
HELP: Mapping[str, str] = MappingProxyType(
    {
        "watcher": gettext_noop("Can another adult watch you at home?"),
        "support_rail": gettext_noop("Is there something fixed to hold, like a rail?"),
    }
)
PLATE = gettext_noop("Do you have a vibration plate?")
