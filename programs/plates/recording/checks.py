"""What a recording must allow before a motion is worked out from it, and why one is refused."""

from __future__ import annotations

import numpy as np

from programs.dose.vibration import GRAVITY_M_S2
from programs.plates.recording.gum import FloatArray
from programs.plates.recording.refused import BadRecording
from programs.plates.recording.tone import SEEN_SHARE, Tone, peak_hz

#: The tone is looked for within this of what the panel shows (a panel is off by up to a fifth).
PANEL_RATIO = (0.7, 1.3)
#: A line outside the panel's reach that is this many times as strong is the plate's own.
_STRONGER = 2.0
LOWEST_HZ = 4.0
#: Steps of the instrument's numbers, at most, of the size of the tone.
_COARSEST = 0.1
#: How far the frequency may wander within the window, as a share of it (project choice).
MOST_WANDER = 0.03
#: Harmonics that may fold onto the tone, and how near, in widths of a line.
_FOLDING, _NEAR_WIDTHS = (2, 3, 4), 2.0
#: Above this a thing that lies loose leaves the plate for a part of each turn.
LOOSE_G = 0.8
MOST_UNCERTAIN = 0.10


def check_sampling(rate_hz: float, set_hz: float) -> None:
    """Refuse a panel's frequency that the sampling cannot see."""
    seen = SEEN_SHARE * rate_hz
    if set_hz > seen:
        raise BadRecording(
            f"This instrument samples {rate_hz:.0f} times a second and cannot see above "
            f"{seen:.0f} Hz; the panel was set to {set_hz:g} Hz. A faster one is needed: a motion "
            "that is too quick for it looks like a slower one."
        )


def near_panel(hz: FloatArray, power: FloatArray, set_hz: float, rate_hz: float) -> float:
    """Return the strongest line near what the panel shows; refuse where another is the plate's."""
    low, high = (set_hz * ratio for ratio in PANEL_RATIO)
    near = peak_hz(hz, power, low, min(high, 0.49 * rate_hz))
    strongest = peak_hz(hz, power, LOWEST_HZ, 0.49 * rate_hz)
    times = strongest / near
    is_harmonic = times > 1.5 and abs(times - round(times)) < 0.05
    at_near, at_most = (float(np.interp(one, hz, power)) for one in (near, strongest))
    if low <= strongest <= high or is_harmonic or at_most < _STRONGER * at_near:
        return near
    raise BadRecording(
        f"The strongest motion is at {strongest:.1f} Hz, and the panel was set to {set_hz:g} Hz. "
        "Was it this setting, and did the plate run?"
    )


def check_tone(tone: Tone, step_m_s2: float) -> None:
    """Refuse where there is no clear tone to measure."""
    size = float(tone.sizes[0])
    if tone.noise_m_s2 > float(np.sqrt(np.sum(tone.sizes**2) / 2)):
        raise BadRecording(
            "The plate’s tone is drowned in other motion or noise, or does not stand still. Did "
            "the plate run evenly, and was the instrument fixed to it?"
        )
    if step_m_s2 > _COARSEST * size:
        raise BadRecording(
            f"The instrument’s steps of {step_m_s2 / GRAVITY_M_S2:.3f} g are too coarse for a "
            f"motion of {size / GRAVITY_M_S2:.2f} g. Use a finer range or another instrument."
        )
    if tone.wander_hz > MOST_WANDER * tone.hz:
        raise BadRecording(
            f"The frequency does not stand still: it wanders over {tone.wander_hz:.1f} Hz. Measure "
            "while the plate runs evenly."
        )


def check_folding(hz: float, rate_hz: float, seconds: float) -> None:
    """Refuse where a harmonic that is too quick for the sampling would look like the tone."""
    for number in _FOLDING:
        quick = number * hz
        if quick < rate_hz / 2:
            continue
        folded = abs(quick - round(quick / rate_hz) * rate_hz)
        if abs(folded - hz) < _NEAR_WIDTHS / seconds:
            raise BadRecording(
                f"At {rate_hz:.1f} samples a second motion at {number} times the plate’s "
                f"{hz:.2f} Hz cannot be told from the tone itself. Sample faster, or set the "
                "plate 1 Hz higher or lower."
            )


def check_fixed(tone: Tone, fixed: bool) -> None:
    """Refuse an instrument that lies loose where it cannot have stayed on the plate."""
    size = float(np.sum(tone.sizes)) / GRAVITY_M_S2
    if not fixed and size > LOOSE_G:
        raise BadRecording(
            f"The instrument lay loose, and at {size:.1f} g it leaves the plate in each turn. Tape "
            "it down flat and measure again."
        )


def check_certain(value: float, half: float) -> None:
    """Refuse a displacement that is hardly known."""
    if half > MOST_UNCERTAIN * value:
        raise BadRecording(
            f"The displacement is known only to {half / value:.0%}, and {MOST_UNCERTAIN:.0%} is "
            "the most that counts. Record longer, faster, or with a better instrument."
        )
