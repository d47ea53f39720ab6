"""The page about the plate: what its panel must show, how to stand, when to step off."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from programs.dose.plate_limits import START_BOUT_S, START_BOUTS
from programs.exercises import EXERCISES
from programs.papers import doses
from programs.papers.cautions import asks, is_lifted
from programs.papers.numbers import hz_words, isolated, number_words
from programs.papers.paper_parts import PlatePage, Words, gettext_noop, told
from programs.papers.pictured import picture
from programs.papers.plate_panel import first_panel
from programs.papers.watching import watched_words
from programs.papers.weeks import phases, span_words
from programs.signed.program import SignedProgram
from programs.week.week import PlateWeek, Stance, Week
from safety.findings import Modality

#: The parts of a plate's posture, each as an instruction; another part is printed as it is.
STANDING: Mapping[str, str] = {
    Stance.KNEES_BENT: gettext_noop("Bend your knees a little: 20 to 30 degrees. Never lock them."),
    Stance.KNEES_SOFT: gettext_noop("Keep your knees soft. Never lock them."),
    Stance.FOREFOOT: gettext_noop("Rest your weight on the front of your feet."),
    Stance.UPRIGHT: gettext_noop("Stand tall and look straight ahead."),
    Stance.TWO_HANDS: gettext_noop("Hold the rail with two hands."),
    Stance.STILL: gettext_noop("Stand still. Do no exercises on the plate."),
}
_BEFORE = (
    gettext_noop("Wear the same shoes or socks each time."),
    gettext_noop("Check that the plate stands firm and the floor is dry."),
    gettext_noop("Check each number on the panel before you start."),
    gettext_noop("Leave at least 1 day between two sessions."),
)
_BEFORE_GENTLE = _BEFORE[:3]
DIZZY = (
    gettext_noop("Stop the plate and hold the rail."),
    gettext_noop("Step off slowly and sit down."),
    gettext_noop("Do not use the plate again that day. Call us."),
    gettext_noop("Do the same if your head shakes, or you see or hear badly."),
)
PANEL_NUMBER = gettext_noop(
    "Panel number: set this number on the plate. It sets how far the plate moves."
)
ROUNDS = gettext_noop("Rounds: stand on it so many times. Step off, or stand still, to rest.")
#: Rulebook row 13, of a plate that a precaution keeps at its start dose.
LITTLE = gettext_noop("So little shaking is not expected to do anything for bone.")


def plate_page(weeks: Sequence[Week], program: SignedProgram, words: Words) -> PlatePage | None:
    """Return the plate's page, or None where no week holds a plate."""
    parts = [week.plate for week in weeks if week.plate]
    if not parts:
        return None
    motion = _motion(parts[0], program.motions)
    exercise = EXERCISES[_CODES[motion]]
    panel_weeks, panel = first_panel(weeks, words)
    return PlatePage(
        plate=parts[0].plate,
        panel_weeks=panel_weeks,
        panel=panel,
        heads=_heads(parts, words),
        rows=_rows(weeks, parts, words),
        reading=_reading(parts, words),
        ended=doses.ended(weeks, Modality.PLATE, words),
        watched=doses.in_turn(
            weeks,
            lambda week: watched_words(week, program, words) or None,
            str,
            words,
        ),
        expect=told((LITTLE,), words) if is_little(program) else (),
        before=told(_BEFORE_GENTLE if motion == "low_magnitude" else _BEFORE, words),
        figure=picture(exercise.code, words),
        stand=(
            words.gettext(exercise.start),
            *stand_words(parts, words),
            words.gettext(exercise.feel),
        ),
        dizzy=told(DIZZY, words),
    )


_CODES: Mapping[str, str] = {
    "vertical": "plate_knees_bent",
    "side_alternating": "plate_feet_close",
    "low_magnitude": "plate_upright",
}


def _motion(part: PlateWeek, motions: Mapping[str, str]) -> str:
    """Return the motion of the plate of this name."""
    gentle = "low_magnitude" if part.displacement_mm is None else "vertical"
    return motions.get(part.plate, gentle)


def is_little(program: SignedProgram) -> bool:
    """Tell whether a precaution keeps the plate at its start dose all along."""
    held = {
        (part.bouts, part.bout_s)
        for week in program.weeks
        if (part := week.plate) and part.bouts is not None
    }
    start = (START_BOUTS.value, START_BOUT_S.value)
    asked = (
        finding.about == Modality.PLATE and asks(finding) and not is_lifted(finding)
        for finding in program.findings
    )
    return held == {start} and any(asked)


def has_number(parts: Sequence[PlateWeek]) -> bool:
    """Tell whether the panel shows a number for how far the plate moves."""
    return any(part.setting is not None for part in parts)


def has_rounds(parts: Sequence[PlateWeek]) -> bool:
    """Tell whether the plate runs in rounds with a rest between."""
    return any(part.bouts is not None for part in parts)


def _heads(parts: Sequence[PlateWeek], words: Words) -> tuple[str, ...]:
    heads = [words.gettext("Weeks"), words.gettext("Speed")]
    heads += [words.gettext("Panel number")] if has_number(parts) else []
    if has_rounds(parts):
        heads += [words.gettext("Rounds"), words.gettext("Each lasts")]
        heads += [words.pgettext("between rounds", "Rest")]
    return (*heads, words.gettext("Total"))


def _rows(
    weeks: Sequence[Week], parts: Sequence[PlateWeek], words: Words
) -> tuple[tuple[str, ...], ...]:
    numbered, rounds = has_number(parts), has_rounds(parts)

    def shown(week: Week) -> tuple[str, ...] | None:
        part = week.plate
        if part is None:
            return None
        cells = [hz_words(part.shown_hz, words)]
        cells += [_or_dash(part.setting, words)] if numbered else []
        if rounds:
            cells += [_or_dash(part.bouts, words)]
            cells += [_seconds(held, words) for held in (part.bout_s, part.rest_s)]
        return (*cells, isolated(doses.seconds_words(part.vibration_min), words))

    return tuple((span_words(run, words), *run.value) for run in phases(weeks, shown))


def _or_dash(value: float | None, words: Words) -> str:
    return "–" if value is None else number_words(value, words)


def _seconds(value: float | None, words: Words) -> str:
    return "–" if value is None else isolated(f"{number_words(value, words)} s", words)


def _reading(parts: Sequence[PlateWeek], words: Words) -> tuple[str, ...]:
    """Return how the columns of the table are read that their heads do not explain."""
    asked = ((PANEL_NUMBER, has_number(parts)), (ROUNDS, has_rounds(parts)))
    return told([line for line, wanted in asked if wanted], words)


def rounds_words(part: PlateWeek, words: Words) -> str:
    """Return "4 rounds of 30 seconds, 60 seconds of rest between", or minutes without a break."""
    if part.bouts is None:
        line = words.gettext("{time} without a break")
        return line.format(time=isolated(doses.seconds_words(part.vibration_min), words))
    rounds = words.ngettext(
        "{count} round of {seconds} seconds",
        "{count} rounds of {seconds} seconds, {rest} seconds of rest between",
        part.bouts,
    )
    held = (part.bout_s, part.rest_s)
    seconds, rest = (number_words(one, words) for one in held if one is not None)
    return rounds.format(count=part.bouts, seconds=seconds, rest=rest)


def setting_words(part: PlateWeek, words: Words) -> str:
    """Return what the panel must show: "25 Hz, number 1"."""
    speed = hz_words(part.shown_hz, words)
    if part.setting is None:
        return speed
    return words.gettext("{speed}, number {number}").format(
        speed=speed, number=number_words(part.setting, words)
    )


def stand_words(parts: Sequence[PlateWeek], words: Words) -> tuple[str, ...]:
    """Return how to stand, all that the weeks ask for; the rail comes with the start."""
    asked = dict.fromkeys(piece for part in parts for piece in part.posture)
    return tuple(
        words.gettext(STANDING.get(piece, piece[:1].upper() + piece[1:])) for piece in asked
    )
