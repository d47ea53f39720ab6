"""Whether text for a patient is plain: short words, short sentences, verbs first, units.

Aims and limits are a project choice, for the clinic to confirm, on the careful side of published
advice: advice for patient papers runs from the 4th to below the 8th school grade (PMC3049622,
PMC6334864), and simple sentences of about 12 words are common practice.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

GRADE_AIM, GRADE_LIMIT = 6.0, 8.0
SENTENCE_AIM, SENTENCE_LIMIT = 12.0, 20
#: Fewer words than this say too little for a grade.
GRADED_WORDS = 30

_WORD = re.compile(r"[^\W_]+(?:['’-][^\W_]+)*")
_SENTENCE_END = re.compile(r"(?<=[.!?:])\s+|\n+")
_VOWELS = re.compile(r"[aeiouy]+")

#: Words that the rules below count wrong.
_KNOWN_SYLLABLES = {
    "breathe": 1,
    "business": 2,
    "create": 2,
    "dizzier": 3,
    "easier": 3,
    "evening": 2,
    "every": 2,
    "everyone": 3,
    "heavier": 3,
    "people": 2,
    "quiet": 2,
    "science": 2,
    "someone": 2,
    "something": 2,
    "sometimes": 2,
    "steadier": 3,
}
#: Vowels that stand together and are yet spoken apart: radio, diary, serious, doing, actual.
_APART = re.compile(r"(?<![tcsg])i(?:[aou]|e(?=n[ct]))|[aeo]ing$|(?<![gq])ua|eo|(?<=[rd])ea$")
#: Letters e at a word's end that are not spoken: bone, closed, takes, safely.
_SILENT = re.compile(
    r"(?<![aeiouy])(?:(?<![^aeiouy]l)e$|(?<![td])(?<![^aeiouy]l)ed$"
    r"|(?<![sczxg])(?<!ch)(?<!sh)(?<![^aeiouy]l)es$|e(?=(?:ly|ment|ful|less)s?$))"
)

#: Verbs with which an instruction may begin.
VERBS = frozenset(
    re.findall(
        r"[a-z]+",
        """
    add agree allow ask avoid begin bend breathe bring call carry change check choose clear
    climb come copy count crawl cross do draw drink eat feel fill find finish fold follow get
    give go grip grow have help hold hook hop jump keep kneel land lay lean leave let lie lift
    lighten line listen look lower make march miss move name note open pause place plan point
    press pull push put raise reach read relax repeat rest ring rise roll score set shift show
    sit skip slide slow split squeeze stack stamp stand start stay step stop straighten swing
    switch take tell throw tighten touch turn try use wait walk warm watch wear wipe work write
    loop loosen tuck wring wrap test bow round lock twist hurry train learn share spare
    """,
    )
)

_MONTHS = frozenset(
    re.findall(
        r"[a-z]+",
        "january february march april may june july august september october november december",
    )
)
#: A number may stand bare after one of these, since the word says what it is.
_LABELS = _MONTHS | {
    *("week", "weeks", "page", "plan", "program", "version", "pain", "effort", "scale", "number")
}
#: What a number may count or measure.
_UNITS = _MONTHS | frozenset(
    re.findall(
        r"[a-z]+",
        """
    cm mm m kg g hz min minute minutes s second seconds hour hours day days week weeks month months
    year years time times set sets repeat repeats round rounds count counts degree degrees foot feet
    step steps side sides leg legs hand hands finger fingers breath breaths turn turns landing
    landings session sessions percent bag bags arm arms knee knees pillow pillows point points
    heel heels visit visits block blocks hold holds
        """,
    )
)
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_RANGE = re.compile(r"(\d+(?:[.,]\d+)?)\s*(?:to|or|and|[-–])\s*(?=\d)")


@dataclass(frozen=True, kw_only=True)
class Trouble:
    """One thing that is not plain, and where."""

    text: str
    why: str


def syllables(word: str) -> int:
    """Return the syllables of an English word by rule; a numeral counts as one."""
    plain = re.sub(r"[^a-z]", "", word.lower())
    if plain in _KNOWN_SYLLABLES:
        return _KNOWN_SYLLABLES[plain]
    spoken = len(_VOWELS.findall(plain)) + len(_APART.findall(plain)) - len(_SILENT.findall(plain))
    return max(1, spoken)


def sentences(text: str) -> tuple[str, ...]:
    """Return the sentences; a colon and a line's end close one too."""
    return tuple(part.strip() for part in _SENTENCE_END.split(text) if _WORD.search(part))


def words(text: str) -> tuple[str, ...]:
    """Return the words and numerals."""
    return tuple(_WORD.findall(text))


def grade(text: str) -> float:
    """Return the school grade by Flesch and Kincaid (Kincaid et al. 1975).

    0.39 x words a sentence + 11.8 x syllables a word - 15.59. Raises ValueError for no words.
    """
    told, spoken = sentences(text), words(text)
    if not spoken:
        raise ValueError("there are no words to grade")
    beats = sum(syllables(word) for word in spoken)
    return 0.39 * len(spoken) / len(told) + 11.8 * beats / len(spoken) - 15.59


def starts_with_verb(line: str) -> bool:
    """Tell whether an instruction begins with a verb; "never" before it is taken off."""
    found = [word.lower() for word in words(line)[:2]]
    if found[:1] == ["never"]:
        found = found[1:]
    return bool(found) and found[0] in VERBS


def bare_numbers(text: str) -> tuple[str, ...]:
    """Return the numbers that neither a unit follows nor a label announces."""
    bare = []
    single = _RANGE.sub("", text)
    for match in _NUMBER.finditer(single):
        before = words(single[: match.start()])
        after = words(single[match.end() :].replace("%", " percent "))
        named = bool(before) and before[-1].lower() in _LABELS
        unit = " ".join(after[:2]).lower().split()
        if not named and not any(word in _UNITS for word in unit):
            bare.append(match.group())
    return tuple(bare)


def check_line(line: str, *, instruction: bool = False) -> tuple[Trouble, ...]:
    """Return what is not plain in one line; an instruction must begin with a verb."""
    found = [
        Trouble(text=sentence, why=f"{len(words(sentence))} words in a sentence")
        for sentence in sentences(line)
        if len(words(sentence)) > SENTENCE_LIMIT
    ]
    found += [Trouble(text=line, why=f"{number} has no unit") for number in bare_numbers(line)]
    if instruction and not starts_with_verb(line):
        found.append(Trouble(text=line, why="does not begin with a verb"))
    return tuple(found)


def check_passage(lines: Iterable[str]) -> tuple[Trouble, ...]:
    """Return what is not plain in lines read together: grade and length of sentences."""
    text = "\n".join(lines)
    spoken = words(text)
    if len(spoken) < GRADED_WORDS:
        return ()
    found = []
    if (reached := grade(text)) > GRADE_LIMIT:
        found.append(Trouble(text=text, why=f"grade {reached:.1f}"))
    if (mean := len(spoken) / len(sentences(text))) > SENTENCE_AIM:
        found.append(Trouble(text=text, why=f"{mean:.1f} words a sentence"))
    return tuple(found)
