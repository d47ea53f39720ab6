"""What one plate is fit for in the hands of one person, with the setting and the reason."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import groupby

from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.dose.limit import DRAFT_WEEKS
from programs.dose.plate import PlateStep, ramp
from programs.dose.plate_edit import all_settings, allowed_settings
from programs.dose.plate_fit import PlateFit, fit_plate, only_bouts_rise
from programs.dose.plate_settings import (
    GENTLE_TRIALS,
    LOW_MAGNITUDE,
    SIDE_ALTERNATING,
    VERTICAL,
    Setting,
    frequencies,
    setting_words,
)
from programs.dose.plate_start import Fit
from programs.dose.vibration import Exposure, Vibration, displacement_for_g, exposure
from programs.draft.person import plate_cap_g
from programs.draft.resume import FROM_THE_START, Resume
from programs.draft.rises import by_calendar, dose_of
from programs.plates.in_words import reading_words, settings_in_words
from programs.plates.measured_motion import KnownPlate
from safety.findings import Finding, Modality
from safety.screen import Screen, Status
from safety.sources import SOURCES


@dataclass(frozen=True, kw_only=True)
class BoneDose:
    """The gentlest dose of one kind of plate with which a listed trial found a gain in density.

    key   of safety.sources
    """

    peak_g: float
    key: str
    found: str

    @property
    def source(self) -> str:
        """Return the trial and what it found, in one line."""
        trial = SOURCES[self.key]
        return f"{trial.title}, {trial.where}: {self.found}"


BONE_DOSE_NOTE = (
    "Bone dose here: the peak of the gentlest listed trial on this kind of plate that found a gain "
    "in density (project choice, for the clinic to confirm)."
)
BONE_DOSE = {
    VERTICAL: BoneDose(peak_g=3.2, key="lai2013", found="30 Hz, 3.2 g, gain at the spine"),
    SIDE_ALTERNATING: BoneDose(
        peak_g=0.95,
        key="gusi2006",
        found="12.6 Hz, gain at the femoral neck; it "
        "prints 3 cm, and 3 mm, which is taken here, gives 0.96 g",
    ),
}


@dataclass(frozen=True, kw_only=True)
class Person:
    """What of a person bears on a plate.

    watch             each session has to be watched
    cap_g             what the peak is held to until reviews lift it; None: it is not held
    start_dose_only   a precaution keeps the plate at its start
    watched           somebody is beside her; None where that was not asked
    blocked           nothing may be issued at all: a red flag, a fresh fracture
    status, findings  of the screen, about the plate or about everything
    """

    weight_kg: float | None
    support_rail: bool | None
    watched: bool | None
    watch: bool
    cap_g: float | None
    start_dose_only: bool
    clinic: Clinic
    blocked: bool
    status: Status
    findings: tuple[Finding, ...]

    @property
    def only_bouts_rise(self) -> bool:
        """Tell whether her cap leaves neither frequency nor displacement room to rise."""
        return only_bouts_rise(self.cap_g)


def person(
    screened: Screen, resume: Resume = FROM_THE_START, clinic: Clinic = AS_PUBLISHED
) -> Person:
    """Return what of a screened person bears on a plate."""
    s = screened.situation
    return Person(
        weight_kg=s.facts.person.weight_kg,
        support_rail=s.facts.resources.support_rail if s.facts.resources else None,
        watched=s.company,
        watch=screened.situation.fragile,
        cap_g=plate_cap_g(screened, resume, clinic),
        start_dose_only=screened.limits(Modality.PLATE).plate_start_dose,
        clinic=clinic,
        blocked=bool(screened.blocked),
        status=screened.status(Modality.PLATE),
        findings=screened.about(Modality.PLATE),
    )


@dataclass(frozen=True, kw_only=True)
class Use:
    """One thing that a plate may be fit for; the setting to use, or None, and why.

    panel   how the setting is set, by what the panel shows
    """

    what: str
    fit: Fit
    at: Setting | None
    why: tuple[str, ...]
    panel: str = ""


@dataclass(frozen=True, kw_only=True)
class Stay:
    """Weeks of the ramp in which nothing changes.

    panel_hz  what the panel shows; the setting itself holds the true frequency
    allowed   all that the plate may be set to next, in words, a line for each displacement
    """

    first: int
    last: int
    step: PlateStep
    panel_hz: float
    exposure: Exposure
    allowed: tuple[str, ...]

    @property
    def weeks(self) -> str:
        """Return the weeks in words."""
        return f"{self.first}" if self.first == self.last else f"{self.first} to {self.last}"


@dataclass(frozen=True, kw_only=True)
class PlateSheet:
    """A plate judged for a person.

    steps     the ramp, week by week, where nothing but steady weeks holds it up; empty where it
              has no start
    allowed   all settings within every ceiling, in words, whatever the ramp
    """

    known: KnownPlate
    fit: PlateFit
    uses: tuple[Use, ...]
    steps: tuple[PlateStep, ...]
    stays: tuple[Stay, ...]
    allowed: tuple[str, ...]


def _by_week(fit: PlateFit, who: Person) -> tuple[PlateStep, ...]:
    places = ramp(
        fit,
        cap_g=who.cap_g,
        start_dose_only=who.start_dose_only,
        places=DRAFT_WEEKS,
        clinic=who.clinic,
    )
    steps = (step for step in by_calendar(places, dose_of) if step is not None)
    return tuple(replace(step, place=week) for week, step in enumerate(steps, 1))


def plate_sheet(known: KnownPlate, who: Person) -> PlateSheet:
    """Judge a plate for a person, as it moves where that was measured."""
    fit = fit_plate(
        known.plate,
        weight_kg=who.weight_kg,
        support_rail=who.support_rail,
        watch=who.watch,
        watched=who.watched,
        cap_g=who.cap_g,
        clinic=who.clinic,
    )
    steps = _by_week(fit, who)
    return PlateSheet(
        known=known,
        fit=fit,
        uses=tuple(
            _with_panel(known, _beside_screen(use, who)) for use in _uses(known, fit, steps, who)
        ),
        steps=steps,
        stays=tuple(_stays(known, steps, who)),
        allowed=_in_words(
            known,
            allowed_settings(known.plate, cap_g=who.cap_g, clinic=who.clinic),
        ),
    )


# --- What it is fit for ---------------------------------------------------------------------


def _uses(
    known: KnownPlate, fit: PlateFit, steps: tuple[PlateStep, ...], who: Person
) -> tuple[Use, ...]:
    return (
        Use(what="to start on", fit=fit.fit, at=fit.start, why=fit.reasons),
        _bone(known, fit, steps, who),
        _gentle(known, fit, fit.start),
    )


_BARRED = (Fit.NOT_FIT, "The screen bars the plate for this person now.")
_HELD = (Fit.ON_HOLD, "The screen holds the plate until what it asks is answered.")
_BLOCKED = (Fit.ON_HOLD, "Nothing may be issued to this person now: see what the screen found.")
_ORDER = tuple(Fit)


def _by_screen(who: Person) -> tuple[Fit, str] | None:
    if who.status is Status.EXCLUDED:
        return _BARRED
    if who.blocked:
        return _BLOCKED
    return _HELD if who.status is Status.ON_HOLD else None


def _beside_screen(use: Use, who: Person) -> Use:
    """No plate is fit for somebody whom the screen bars or holds; what weighs most comes first."""
    found = _by_screen(who)
    if found is None:
        return use
    fit, said = found
    if _ORDER.index(use.fit) > _ORDER.index(fit):
        return replace(use, why=(*use.why, said))
    return replace(use, fit=fit, why=(said, *use.why))


def _bone(known: KnownPlate, fit: PlateFit, steps: tuple[PlateStep, ...], who: Person) -> Use:
    what = "for the bone dose"
    if known.plate.motion == LOW_MAGNITUDE:
        return Use(what=what, fit=Fit.NOT_FIT, at=None, why=("Below 1 g by design.", GENTLE_TRIALS))
    if fit.fit is not Fit.FIT:
        return Use(what=what, fit=fit.fit, at=None, why=("It cannot be started on yet.",))
    wanted = BONE_DOSE[known.plate.motion]
    top = max(steps, key=lambda step: step.setting.peak_g)
    reached = f"Week {top.place} reaches {setting_words(top.setting)}."
    if top.setting.peak_g >= wanted.peak_g:
        return Use(what=what, fit=Fit.FIT, at=top.setting, why=(reached, f"{wanted.source}."))
    held = _held(who)
    short = f"That is under {wanted.peak_g:g} g ({wanted.source})."
    return Use(
        what=what,
        fit=Fit.ON_HOLD if held else Fit.NOT_FIT,
        at=None,
        why=(*held, reached, short),
    )


def _held(who: Person) -> tuple[str, ...]:
    """Return what of the person, not of the plate, keeps the dose low."""
    if who.start_dose_only:
        return ("A precaution keeps the plate at its start dose until the next review.",)
    if who.cap_g is not None:
        return (f"Held to {who.cap_g:g} g until a review without problems lifts it.",)
    return ()


def _gentle(known: KnownPlate, fit: PlateFit, start: Setting | None) -> Use:
    what = "for low-magnitude use"
    if known.plate.motion == LOW_MAGNITUDE:
        return Use(what=what, fit=fit.fit, at=start, why=(*fit.reasons, GENTLE_TRIALS))
    said = (
        "Not a low-magnitude plate: those of the trials ran 0.2 to 0.3 g without a break, "
        "20 min a day."
    )
    peaks = [at.peak_g for at in all_settings(known.plate)]
    least = (f"Its gentlest setting is {min(peaks):.2f} g.",) if peaks else ()
    return Use(what=what, fit=Fit.NOT_FIT, at=None, why=(said, *least))


def _with_panel(known: KnownPlate, use: Use) -> Use:
    """Say what the panel is set to; a plate that is not fit has no setting to use."""
    if use.at is None or use.fit is Fit.NOT_FIT:
        return replace(use, at=None)
    foot = known.nominal.foot_distance_mm
    if use.at.panel is not None:
        reads = "" if known.is_measured else f" ({reading_words(known.nominal)})"
        rest = f" and {use.at.panel:g} mm{reads}"
    else:
        rest = f", feet {foot:g} mm from the axis" if use.at.displacement_mm else ""
    return replace(use, panel=f"{known.shown_hz(use.at.frequency_hz):g} Hz{rest}")


# --- The ramp -------------------------------------------------------------------------------


def _stays(known: KnownPlate, steps: tuple[PlateStep, ...], who: Person) -> Iterable[Stay]:
    for _, same in groupby(steps, key=lambda step: replace(step, place=0, changed="")):
        weeks = list(same)
        step = weeks[0]
        yield Stay(
            first=step.place,
            last=weeks[-1].place,
            step=step,
            panel_hz=known.shown_hz(step.setting.frequency_hz),
            exposure=exposure(_vibration(step.setting), seconds=60 * step.vibration_min),
            allowed=_in_words(known, _next(known, step.setting, who)),
        )


def _next(known: KnownPlate, after: Setting, who: Person) -> tuple[Setting, ...]:
    found = allowed_settings(known.plate, cap_g=who.cap_g, after=after, clinic=who.clinic)
    if not who.start_dose_only:
        return found
    return tuple(at for at in found if at.peak_g <= after.peak_g)


def _vibration(at: Setting) -> Vibration:
    mm = at.displacement_mm
    if mm is None:
        mm = displacement_for_g(at.frequency_hz, at.peak_g)
    return Vibration(frequency_hz=at.frequency_hz, displacement_mm=mm)


def _in_words(known: KnownPlate, found: Iterable[Setting]) -> tuple[str, ...]:
    """Return settings by the frequencies that the panel shows."""
    shown = [replace(at, frequency_hz=known.shown_hz(at.frequency_hz)) for at in found]
    return settings_in_words(shown, frequencies(known.nominal.frequency_hz))
