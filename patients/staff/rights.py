"""Which role may do what: one table, with the reason beside each right."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType


class Role(StrEnum):
    """What somebody is at this clinic; one person may be several."""

    CLINICIAN = "clinician"
    ASSISTANT = "assistant"
    KEEPER = "keeper"


#: What each role is, as the page for people says it.
ROLE_WORDS: Mapping[Role, str] = MappingProxyType(
    {
        Role.CLINICIAN: "all of the clinical work; signs programs",
        Role.ASSISTANT: "enters facts, prepares drafts, prints, logs; signs nothing",
        Role.KEEPER: "people and settings of the clinic; reads no patient's record",
    }
)


class Right(StrEnum):
    """Something that not everybody may do."""

    READ = "read"
    ENTER = "enter"
    JOIN = "join"
    CLEAR = "clear"
    DRAFT = "draft"
    SIGN = "sign"
    PRINT = "print"
    LOG = "log"
    STOP = "stop"
    REVIEW = "review"
    ERASE = "erase"
    LIMITS = "limits"
    SETTINGS = "settings"
    EVIDENCE = "evidence"
    LOOK_OVER = "look_over"
    PEOPLE = "people"


@dataclass(frozen=True, kw_only=True)
class Rule:
    """Who has a right, and why just these.

    words   what it lets one do, after "may" and "may not"
    """

    right: Right
    roles: frozenset[Role]
    words: str
    why: str

    @property
    def who(self) -> str:
        """Return the roles that have it, like "clinician or keeper"."""
        return " or ".join(role for role in Role if role in self.roles)


_CLINICIAN, _ASSISTANT, _KEEPER = Role
_CLINICAL = (_CLINICIAN, _ASSISTANT)


def _rule(right: Right, roles: Collection[Role], words: str, why: str) -> Rule:
    return Rule(right=right, roles=frozenset(roles), words=words, why=why)


_RULES = (
    _rule(
        Right.READ,
        _CLINICAL,
        "read the records of patients",
        "Someone who looks after accounts and the machine needs nothing that patients have told.",
    ),
    _rule(
        Right.ENTER,
        _CLINICAL,
        "add patients and enter, correct or strike out what is known of them",
        "Measured and asked by whoever sees her first; each entry has a name, and whoever "
        "signs reads all of them. Scanners and plates are measured numbers too.",
    ),
    _rule(
        Right.JOIN,
        (_CLINICIAN,),
        "close, join or part records",
        "It changes which fractures and clearances count, and takes people off the lists.",
    ),
    _rule(
        Right.CLEAR,
        (_CLINICIAN,),
        "record or strike out a clearance",
        "A clearance lifts what holds a kind of loading back: a clinical judgement.",
    ),
    _rule(
        Right.DRAFT,
        _CLINICAL,
        "draft a program and change a draft",
        "A draft does nothing until it is signed, and the signer sees every change with its name.",
    ),
    _rule(
        Right.SIGN,
        (_CLINICIAN,),
        "sign a program",
        "Whoever signs takes responsibility for its suitability for this person.",
    ),
    _rule(
        Right.PRINT,
        _CLINICAL,
        "print papers",
        "A paper says what was signed and nothing else; a draft is marked as one.",
    ),
    _rule(
        Right.LOG,
        _CLINICAL,
        "enter the log",
        "What was done is copied from her paper. It can hold back, never loosen by itself.",
    ),
    _rule(
        Right.STOP,
        _CLINICAL,
        "stop a program",
        "For safety: whoever hears of chest pain must not wait for somebody else.",
    ),
    _rule(
        Right.REVIEW,
        (_CLINICIAN,),
        "decide a review",
        "It may let the dose rise, lift precautions or discharge her.",
    ),
    _rule(
        Right.ERASE,
        (_CLINICIAN,),
        "have a person erased by law",
        "Whoever treats is responsible for the record, and can tell whose it is and whether it "
        "is still needed; a keeper reads none. It is done by a command, at the machine, and never "
        "here.",
    ),
    _rule(
        Right.LIMITS,
        (_CLINICIAN,),
        "set the limits of the clinic",
        "A limit changes the dose of everybody drafted after it.",
    ),
    _rule(
        Right.SETTINGS,
        (_CLINICIAN, _KEEPER),
        "set the clinic’s name and contact",
        "It appears on every paper, and is not a clinical judgement.",
    ),
    _rule(
        Right.EVIDENCE,
        (_KEEPER,),
        "put in a file of the evidence watch",
        "It tells everybody here how papers stand; no rule, limit or dose changes by it.",
    ),
    _rule(
        Right.LOOK_OVER,
        (_CLINICIAN, _KEEPER),
        "look the record of who did what over",
        "It shows whether the record is whole, and nothing about a patient; it takes a while.",
    ),
    _rule(
        Right.PEOPLE,
        (_KEEPER,),
        "look after the people of the clinic",
        "Whoever gives roles could give one to herself: so few may, and each change is on record.",
    ),
)
RULES: Mapping[Right, Rule] = MappingProxyType({rule.right: rule for rule in _RULES})


def rights_of(roles: Collection[Role]) -> frozenset[Right]:
    """Return what somebody of these roles may do."""
    return frozenset(right for right, rule in RULES.items() if rule.roles.intersection(roles))


def why_not(right: Right) -> str:
    """Return what is said to somebody who has not this right."""
    rule = RULES[right]
    return f"Your account may not {rule.words}. The role that may: {rule.who}."
