"""What is asked before the first visit: the paper's questions, in the paper's order.

The paper is printed from here, and what comes back on it is typed in from here.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from patients.facts import codes, her_words
from patients.facts.her_words import gettext_noop as gettext_noop

#: Tables that are answered yes, no or not sure: section, title, labels.
TABLES: tuple[tuple[str, str, Mapping[str, str]], ...] = (
    ("conditions", gettext_noop("Do you have, or have you had:"), her_words.CONDITIONS),
    ("symptoms", gettext_noop("Do you have now:"), her_words.SYMPTOMS),
    ("medicines", gettext_noop("Do you take:"), her_words.MEDICINES),
)
#: What is written in beside an answer of yes: the section, the codes, the words.
WRITTEN_IN: tuple[tuple[str, frozenset[str], str], ...] = (
    ("conditions", frozenset(codes.DATED_CONDITIONS), gettext_noop("When?")),
    ("medicines", frozenset(codes.MEDICINES), gettext_noop("Its name:")),
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
OWN_GOAL = gettext_noop("What would you like to be able to do, in your own words?")
