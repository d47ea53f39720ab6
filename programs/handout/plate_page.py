"""The page about the plate: what its panel must show, how to stand, when to step off."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from programs.exercises import EXERCISES
from programs.figures import figure_svg
from programs.handout import doses
from programs.handout.numbers import number_words
from programs.handout.said import PlatePage, Words, gettext_noop
from programs.handout.weeks import Week, phases, span_words

Part = Mapping[str, Any]

#: The parts of a plate's posture, each as an instruction; another part is printed as it is.
STANDING: Mapping[str, str] = {
    "knees bent 20 to 30 degrees, never locked": gettext_noop(
        "Bend your knees a little: 20 to 30 degrees. Never lock them."
    ),
    "knees soft, never locked": gettext_noop("Keep your knees soft. Never lock them."),
    "weight on the forefoot": gettext_noop("Rest your weight on the front of your feet."),
    "upright": gettext_noop("Stand tall and look straight ahead."),
    "two hands on the rail": gettext_noop("Hold the rail with two hands."),
    "stand still, no exercises": gettext_noop("Stand still. Do no exercises on the plate."),
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
_WATCHED = gettext_noop("Have someone beside you who was shown how it works.")
_ALONE = gettext_noop("You may use it on your own.")


def plate_page(weeks: Sequence[Week], facts: Mapping[str, Any], words: Words) -> PlatePage | None:
    """Return the plate's page, or None where no week holds a plate."""
    parts = [week["plate"] for week in weeks if week["plate"]]
    if not parts:
        return None
    motion = _motion(parts[0], facts)
    exercise = EXERCISES[_CODES[motion]]
    return PlatePage(
        plate=parts[0]["plate"],
        heads=_heads(parts, words),
        rows=_rows(weeks, parts, words),
        reading=_reading(parts, words),
        often=doses.in_turn(
            weeks, _part("sessions"), lambda n: f"{doses.often_words(n, words)}.", words
        ),
        watched=doses.in_turn(
            weeks,
            _part("supervised"),
            lambda watched: words.gettext(_WATCHED if watched else _ALONE),
            words,
        ),
        before=_told(_BEFORE_GENTLE if motion == "low_magnitude" else _BEFORE, words),
        figure=figure_svg(
            exercise.code,
            words.gettext(exercise.name),
            (words.gettext("Start"), words.gettext("End")),
        ),
        stand=(
            words.gettext(exercise.start),
            *stand_words(parts, words),
            words.gettext(exercise.feel),
        ),
        dizzy=_told(DIZZY, words),
    )


_CODES: Mapping[str, str] = {
    "vertical": "plate_knees_bent",
    "side_alternating": "plate_feet_close",
    "low_magnitude": "plate_upright",
}


def _motion(part: Part, facts: Mapping[str, Any]) -> str:
    """Return the motion of the plate of this name."""
    plates = (facts.get("resources") or {}).get("plates") or []
    named = [plate["motion"] for plate in plates if plate["name"] == part["plate"]]
    gentle = "low_magnitude" if part["displacement_mm"] is None else "vertical"
    return str(named[0]) if named else gentle


def _part(name: str) -> Any:
    return lambda week: week["plate"][name] if week["plate"] else None


def has_number(parts: Sequence[Part]) -> bool:
    """Tell whether the panel shows a number for how far the plate moves."""
    return any(part["setting"] is not None for part in parts)


def has_rounds(parts: Sequence[Part]) -> bool:
    """Tell whether the plate runs in rounds with a rest between."""
    return any(part["bouts"] is not None for part in parts)


def _heads(parts: Sequence[Part], words: Words) -> tuple[str, ...]:
    heads = [words.gettext("Weeks"), words.gettext("Speed")]
    heads += [words.gettext("Number")] if has_number(parts) else []
    if has_rounds(parts):
        heads += [words.gettext("Rounds"), words.gettext("Each")]
        heads += [words.pgettext("between rounds", "Rest")]
    return (*heads, words.gettext("Total"))


def _rows(
    weeks: Sequence[Week], parts: Sequence[Part], words: Words
) -> tuple[tuple[str, ...], ...]:
    numbered, rounds = has_number(parts), has_rounds(parts)

    def shown(week: Week) -> tuple[str, ...] | None:
        part = week["plate"]
        if part is None:
            return None
        cells = [f"{number_words(part['frequency_hz'], words)} Hz"]
        cells += [_or_dash(part["setting"], words)] if numbered else []
        if rounds:
            cells += [_or_dash(part["bouts"], words)]
            cells += [_seconds(part[name], words) for name in ("bout_s", "rest_s")]
        return (*cells, doses.seconds_words(part["vibration_min"]))

    return tuple((span_words(run, words), *run.value) for run in phases(weeks, shown))


def _or_dash(value: float | None, words: Words) -> str:
    return "–" if value is None else number_words(value, words)


def _seconds(value: float | None, words: Words) -> str:
    return "–" if value is None else f"{number_words(value, words)} s"


def _reading(parts: Sequence[Part], words: Words) -> tuple[str, ...]:
    """Return how the table is read, column by column."""
    told = [words.gettext("Speed: set it in Hz on the panel.")]
    if has_number(parts):
        told.append(words.gettext("Number: set it for how far the plate moves."))
    if has_rounds(parts):
        told.append(words.gettext("Rounds: stand on the plate so many times."))
        told.append(words.gettext("Each: let one round last this long."))
        told.append(words.gettext("Rest: step off or stand still this long between rounds."))
    return (*told, words.gettext("Total: shaking time of one session."))


def rounds_words(part: Part, words: Words) -> str:
    """Return "4 rounds of 30 seconds, 60 seconds of rest between", or minutes without a break."""
    if part["bouts"] is None:
        told = words.gettext("{time} without a break")
        return told.format(time=doses.seconds_words(part["vibration_min"]))
    rounds = words.ngettext(
        "{count} round of {seconds} seconds",
        "{count} rounds of {seconds} seconds, {rest} seconds of rest between",
        part["bouts"],
    )
    seconds, rest = (number_words(part[name], words) for name in ("bout_s", "rest_s"))
    return rounds.format(count=part["bouts"], seconds=seconds, rest=rest)


def setting_words(part: Part, words: Words) -> str:
    """Return what the panel must show: "25 Hz, number 1"."""
    speed = f"{number_words(part['frequency_hz'], words)} Hz"
    if part["setting"] is None:
        return speed
    return words.gettext("{speed}, number {number}").format(
        speed=speed, number=number_words(part["setting"], words)
    )


def stand_words(parts: Sequence[Part], words: Words) -> tuple[str, ...]:
    """Return how to stand, all that the weeks ask for; the rail comes with the start."""
    asked = dict.fromkeys(piece for part in parts for piece in pieces(part))
    return tuple(
        words.gettext(STANDING.get(piece, piece[:1].upper() + piece[1:])) for piece in asked
    )


def pieces(part: Part) -> tuple[str, ...]:
    """Return the parts of a plate's posture, as the plan has them."""
    told = (piece.strip() for piece in str(part["posture"]).split(";"))
    return tuple(piece for piece in told if piece)


def _told(texts: Sequence[str], words: Words) -> tuple[str, ...]:
    return tuple(words.gettext(text) for text in texts)
