"""The record of the first, watched session on the plate: what was set, what was checked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from programs.papers.doses import seconds_words
from programs.papers.emergency import knock
from programs.papers.numbers import number_words
from programs.papers.only_until import cut, until_words
from programs.papers.paper_parts import Words, gettext_noop, told
from programs.papers.plate_page import rounds_words, stand_words
from programs.papers.watching import first_at_clinic
from programs.signed.program import SignedProgram
from programs.week.week import PlateWeek, Stance
from safety.findings import Modality

BEFORE = (
    gettext_noop("Name and date of birth asked for."),
    gettext_noop("New pain, fall, illness or medicine since the plan was signed: none."),
    gettext_noop("Blood pressure at rest measured."),
    gettext_noop("Body weight under the plate's load limit."),
    gettext_noop("Shoes flat, nothing loose, floor dry, rail firm."),
    gettext_noop("Stop button shown and tried."),
)
DURING = (
    gettext_noop("Panel shows the settings above."),
    gettext_noop("Hands on the rail as planned."),
    gettext_noop("Head still: no shaking seen or felt."),
    gettext_noop("Breathes and talks with ease."),
)
#: Looked at during the session, by what the plan says of the knees.
KNEES: Mapping[str, str] = {
    Stance.KNEES_BENT: gettext_noop("Knees bent 20 to 30 degrees and kept so."),
    Stance.KNEES_SOFT: gettext_noop("Upright, knees soft and kept so."),
}
_AT_CLINIC = gettext_noop("Done at the clinic, not at home.")
_AS_ABOVE = gettext_noop("Stands as written above.")
AFTER = (
    gettext_noop("No dizziness on stepping off; sat down for 2 minutes."),
    gettext_noop("No pain, or pain of 0 to 3 points."),
    gettext_noop("Skin of feet and legs looked at where feeling is poor."),
    gettext_noop("Repeats in own words when to stop and whom to call."),
)
_HELPER_SHOWN = gettext_noop("Whoever will watch at home was shown how.")
#: Recorded by hand, with a unit.
MEASURED = (
    gettext_noop("Blood pressure before, mmHg"),
    gettext_noop("Blood pressure after, mmHg"),
    gettext_noop("Pain, 0 to 10 points"),
)


@dataclass(frozen=True, kw_only=True)
class PlateSession:
    """What the record says; settings holds names and values of the first week with a plate.

    lines   what stands above all: where it is done, what ends by a day, a knock on the head
    """

    lines: tuple[str, ...]
    settings: tuple[tuple[str, str], ...]
    posture: tuple[str, ...]
    before: tuple[str, ...]
    during: tuple[str, ...]
    after: tuple[str, ...]
    measured: tuple[str, ...]


def plate_session(program: SignedProgram, words: Words) -> PlateSession | None:
    """Return the record to fill in, or None where the program holds no plate."""
    program = cut(program)
    part = next((week.plate for week in program.weeks if week.plate), None)
    if part is None:
        return None
    shown = (_HELPER_SHOWN,) if program.watcher else ()
    return PlateSession(
        lines=_lines(program, words),
        settings=_settings(part, words),
        posture=stand_words([part], words),
        before=told(BEFORE, words),
        during=told((DURING[0], _stance(part), *DURING[1:]), words),
        after=told((*AFTER, *shown), words),
        measured=told(MEASURED, words),
    )


def _lines(program: SignedProgram, words: Words) -> tuple[str, ...]:
    where = words.gettext(_AT_CLINIC) if first_at_clinic(program) else ""
    until = until_words([Modality.PLATE], program.weeks, program, words)
    return tuple(line for line in (where, *until, knock(program, words)) if line)


def _stance(part: PlateWeek) -> str:
    return next((KNEES[piece] for piece in part.posture if piece in KNEES), _AS_ABOVE)


def _settings(part: PlateWeek, words: Words) -> tuple[tuple[str, str], ...]:
    panel = part.setting
    shown = words.gettext("none") if panel is None else number_words(panel, words)
    return (
        (words.gettext("Plate"), part.plate),
        (words.gettext("Frequency"), f"{number_words(part.shown_hz, words)} Hz"),
        (words.gettext("Number on the panel"), shown),
        (words.gettext("Displacement"), _moved(part.displacement_mm, words)),
        (words.gettext("Peak acceleration"), f"{number_words(part.peak_g, words)} g"),
        (words.gettext("Time"), rounds_words(part, words)),
        (words.gettext("Vibration in all"), seconds_words(part.vibration_min)),
    )


def _moved(moved_mm: float | None, words: Words) -> str:
    if moved_mm is None:
        return words.gettext("fixed")
    return words.gettext("{moved} mm peak to peak").format(moved=number_words(moved_mm, words))
