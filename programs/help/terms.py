"""The terms of the trade that pages use, each in a sentence, with its unit and sources."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from safety.findings import Level, Modality


@dataclass(frozen=True, kw_only=True)
class Term:
    """One term.

    code   of its place on the page of the glossary
    keys   of its sources, in safety.sources
    """

    code: str
    word: str
    text: str
    keys: tuple[str, ...]
    unit: str = ""


def _term(code: str, word: str, text: str, *keys: str, unit: str = "") -> Term:
    return Term(code=code, word=word, text=text, keys=keys, unit=unit)


TERMS = (
    _term(
        "bmd",
        "Bone density (BMD)",
        "Mineral in an area of bone, as a DXA scan measures it.",
        "iscd",
        unit="g/cm²",
    ),
    _term(
        "t_score",
        "T-score",
        "How many standard deviations a density lies above or below that of young adults. Read "
        "after menopause and in men from 50.",
        "who",
        "iscd",
    ),
    _term(
        "z_score",
        "Z-score",
        "The same against people of the same age and sex. Read before menopause and in men "
        "under 50.",
        "iscd",
    ),
    _term(
        "least_change",
        "Least significant change",
        "The smallest difference between two scans that is more than the error of measurement: "
        "2.77 times the scanner’s precision error, for 95 % certainty.",
        "iscd",
        unit="g/cm²",
    ),
    _term(
        "low_trauma",
        "Low trauma",
        "A fall from standing height or less, or no fall at all. A bone broken so counts as one "
        "of weak bone.",
        "common",
    ),
    _term(
        "cleared",
        "Clearance",
        "A named person’s word that a kind of loading may be used, from a first to a last day.",
        "project",
    ),
    _term(
        "one_rm",
        "One-repetition maximum (1RM)",
        "The most that can be lifted once; worked out here from a set lifted to fatigue.",
        "kemmler2006",
        unit="kg",
    ),
    _term(
        "could_lift",
        "Could be lifted",
        "How often a weight could be lifted at most. It shows how heavy a weight is when "
        "no 1RM is known.",
        "project",
    ),
    _term(
        "in_reserve",
        "Repetitions in reserve",
        "How many more repetitions would have been possible when a set ends.",
        "acsm_box",
    ),
    _term(
        "body_weights",
        "Body weights",
        "The force of an impact or on a plate, as a multiple of the force of standing still.",
        "common",
    ),
    _term(
        "osteogenic_index",
        "Osteogenic index",
        "A planning number for impacts: their peak force times the logarithm of one more than "
        "their number, summed over the sessions of a week. From work on animals.",
        "turner2003",
    ),
    _term(
        "frequency",
        "Frequency",
        "How many times in a second a plate goes up and down.",
        "common",
        unit="Hz",
    ),
    _term(
        "peak_to_peak",
        "Peak to peak",
        "The whole way of a plate from its lowest to its highest point. Some panels show half of "
        "it; all of Calcar’s pages mean the whole.",
        "common",
        unit="mm",
    ),
    _term(
        "acceleration",
        "Peak acceleration",
        "The greatest acceleration of a plate, as a multiple of gravity. It rises with the "
        "displacement and with the square of the frequency.",
        "common",
        unit="g",
    ),
    _term(
        "bout",
        "Bout",
        "One stretch of time on the plate, between two rests.",
        "common",
        unit="s",
    ),
    _term(
        "ramp",
        "Ramp",
        "How a dose rises over the weeks, one step at a time, until it holds.",
        "project",
    ),
    _term(
        "rung",
        "Level (of the ladder)",
        "A place on the ladder of exercises of one kind, from the easiest up.",
        "project",
    ),
    _term(
        "up_and_go",
        "Timed Up and Go",
        "Rising from a chair, walking 3 m, turning, coming back and sitting down, timed. 12 s or "
        "more is at risk of falls.",
        "steadi",
        unit="s",
    ),
    _term(
        "sppb",
        "Short physical performance battery (SPPB)",
        "Points for balance, gait and chair stands together, 0 to 12; 8 or less is low.",
        "ewgsop2",
    ),
    _term(
        "long_lie",
        "Long lie",
        "An hour or more on the floor after a fall.",
        "wfg2022",
    ),
    _term(
        "record_chain",
        "The record",
        "Who did what and when, a line each, sealed so that a changed or missing line shows.",
        "project",
    ),
)
#: What each level of a finding means for the draft.
LEVEL_MEANS: Mapping[Level, str] = MappingProxyType(
    {
        Level.CONTRAINDICATED: "The kind is left out for as long as this holds.",
        Level.NEEDS_CLEARANCE: "The kind is on hold until somebody named has cleared it.",
        Level.MISSING: "A fact is not recorded, and the draft takes the careful side until it is.",
        Level.PRECAUTION: "The kind is drafted with a lower dose or in another manner.",
        Level.REFER: "Somebody else should look at this; the dose stays as it is.",
    }
)
#: What each kind of loading is.
KIND_MEANS: Mapping[Modality, str] = MappingProxyType(
    {
        Modality.PLATE: "Standing on a plate that moves up and down, or tilts from side to side.",
        Modality.RESISTANCE: "Lifting, pushing and pulling against a weight, a band or the body.",
        Modality.IMPACT: "Steps, stamps, hops and landings that load bone for a moment.",
        Modality.BALANCE: "Standing and moving with less and less to hold on to.",
        Modality.POSTURE: "Back, trunk and shoulders: holding the spine long and strong.",
    }
)
