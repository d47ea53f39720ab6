"""The prompts beside the exercise: what is asked, the figures it rests on, and their sources.

None of them is a fact: no rule reads an answer, and no answer changes a dose.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from safety.sources import SOURCES, Source

DONE, DECLINED, NOT_NOW, REFERRED = "done", "declined", "not now", "referred"
#: What may be answered, as the page says it; "referred" names to whom.
ANSWERS: Mapping[str, str] = MappingProxyType(
    {DONE: "done", DECLINED: "declined", NOT_NOW: "not now", REFERRED: "referred to"}
)


@dataclass(frozen=True, kw_only=True)
class Prompt:
    """One thing beside the exercise that somebody looks at with her.

    ask       what to look at, in the clinician's words
    figures   amounts that its sources give; empty where it is no amount
    keys      of its sources, in safety.sources
    """

    code: str
    title: str
    ask: str
    figures: tuple[str, ...]
    keys: tuple[str, ...]

    @property
    def sources(self) -> tuple[Source, ...]:
        """Return the sources themselves."""
        return tuple(SOURCES[key] for key in self.keys)


_FALLS = ("wfg2022", "steadi")
_ALL = (
    Prompt(
        code="medicine_review",
        title="Medicine review",
        ask="Those that make drowsy, lower the pressure on standing, or weaken bone; anything "
        "that may be stopped or lowered. By the prescriber.",
        figures=(),
        keys=_FALLS,
    ),
    Prompt(
        code="home_hazards",
        title="Hazards at home",
        ask="Rugs, thresholds, light on the way to the toilet, stairs and rails, bath and shower, "
        "pets; best seen there by an occupational therapist after a fall.",
        figures=(),
        keys=_FALLS,
    ),
    Prompt(
        code="vision",
        title="Vision",
        ask="When the eyes were last looked at, cataract, and glasses of several strengths worn "
        "on stairs and outdoors.",
        figures=(),
        keys=_FALLS,
    ),
    Prompt(
        code="feet",
        title="Feet and shoes",
        ask="Pain, deformity, feeling in the soles, nails; shoes that hold the heel, with a thin "
        "firm sole, indoors too.",
        figures=(),
        keys=_FALLS,
    ),
    Prompt(
        code="alarm",
        title="An alarm, after a long lie",
        ask="Whether help can be called from the floor: a button worn on the body, a telephone "
        "within reach, somebody who looks in each day; and how to get up.",
        figures=("A long lie is an hour or more on the floor, as Falls asks for it.",),
        keys=("wfg2022", "common"),
    ),
    Prompt(
        code="protein",
        title="Protein",
        ask="What is eaten in a day, spread over the meals. Kidney disease: only as the doctor "
        "who follows it says.",
        figures=(
            "Healthy older people: at least 1.0 to 1.2 g for each kg of body weight a day.",
            "Ill, or at risk of eating too little: 1.2 to 1.5 g for each kg a day.",
        ),
        keys=("espen2014",),
    ),
    Prompt(
        code="calcium",
        title="Calcium",
        ask="What comes from food first; a supplement only for what food does not give.",
        figures=(
            "From all sources: 1,000 mg a day to 50 years, and for men to 70; 1,200 mg for women "
            "from 51 and for men from 71.",
        ),
        keys=("iom2011", "canada2023"),
    ),
    Prompt(
        code="vitamin_d",
        title="Vitamin D",
        ask="What is taken, and whether sun and food give enough.",
        figures=(
            "From all sources: 600 IU (15 µg) a day to 70 years, 800 IU (20 µg) from 71.",
            "A supplement of 400 IU (10 µg) a day is what the Canadian guideline suggests.",
        ),
        keys=("iom2011", "canada2023"),
    ),
)
#: In the order of the page, by code.
PROMPTS: Mapping[str, Prompt] = MappingProxyType({one.code: one for one in _ALL})
