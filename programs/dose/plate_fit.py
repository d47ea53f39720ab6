"""Whether a plate is fit to use for this person, and which plate of several."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from patients.facts.declared_plate import Plate
from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.dose.plate_limits import FRAGILE_G, TOP_G
from programs.dose.plate_settings import LOW_MAGNITUDE, Setting
from programs.dose.plate_start import Fit, Verdict, not_fit, on_hold, start_on

_ORDER = tuple(Fit)
_NOTHING = Verdict(fit=Fit.FIT)


@dataclass(frozen=True, kw_only=True)
class PlateFit:
    """A plate judged for one person.

    start     the setting it starts on; None where it has none or it cannot be known yet
    reasons   why, in plain words for a clinician, with the numbers
    missing   what has to be asked or measured
    """

    plate: Plate
    fit: Fit
    start: Setting | None
    reasons: tuple[str, ...]
    missing: tuple[str, ...]


def fit_plate(
    plate: Plate,
    *,
    weight_kg: float | None,
    support_rail: bool | None,
    watch: bool,
    watched: bool | None,
    cap_g: float | None,
    clinic: Clinic = AS_PUBLISHED,
) -> PlateFit:
    """Judge one plate for one person.

    watch: each session has to be watched, as for a fragile person (rulebook row 14).
    watched: a trained person, or another adult who has been shown how, watches each session.
    cap_g: what the peak of a fragile person is held to; None: she is not held.
    What is not known holds the plate; it never passes as fine.
    """
    verdicts = (
        _rail(plate, support_rail),
        _load(plate, weight_kg),
        _watch(watched) if watch else _NOTHING,
        start_on(plate, top_g(cap_g, clinic), clinic),
    )
    return PlateFit(
        plate=plate,
        fit=max((v.fit for v in verdicts), key=_ORDER.index),
        start=verdicts[-1].start,
        reasons=tuple(reason for v in verdicts for reason in v.reasons),
        missing=tuple(what for v in verdicts for what in v.missing),
    )


def top_g(cap_g: float | None, clinic: Clinic = AS_PUBLISHED) -> float:
    """Return the greatest peak in g that may be drafted for a person held to cap_g, if to any."""
    top = clinic.value(TOP_G)
    return top if cap_g is None else min(cap_g, top)


def only_bouts_rise(cap_g: float | None) -> bool:
    """Tell whether neither frequency nor displacement rises for a person held to cap_g."""
    return cap_g is not None and cap_g <= FRAGILE_G.value


def choose_plate(
    plates: Iterable[Plate],
    *,
    weight_kg: float | None,
    support_rail: bool | None,
    watch: bool,
    watched: bool | None,
    cap_g: float | None,
    clinic: Clinic = AS_PUBLISHED,
) -> PlateFit | None:
    """Return the best plate for this person; None where there is no plate at all.

    Fit before on hold before not fit; among equals a plate of the bone trials' dose before a
    low-magnitude one, then as listed.
    """
    judged = [
        fit_plate(
            plate,
            weight_kg=weight_kg,
            support_rail=support_rail,
            watch=watch,
            watched=watched,
            cap_g=cap_g,
            clinic=clinic,
        )
        for plate in plates
    ]
    return min(judged, key=_preference, default=None)


def _preference(judged: PlateFit) -> tuple[int, bool]:
    return _ORDER.index(judged.fit), judged.plate.motion == LOW_MAGNITUDE


def _rail(plate: Plate, support_rail: bool | None) -> Verdict:
    if plate.rail or support_rail:
        return _NOTHING
    if plate.rail is False and support_rail is False:
        return not_fit("No rail on the plate and nothing fixed to hold beside it.")
    return on_hold(
        "It is not known what there is to hold",
        (
            (plate.rail, "whether the plate has a rail"),
            (support_rail, "whether something fixed to hold stands beside the plate"),
        ),
    )


def _load(plate: Plate, weight_kg: float | None) -> Verdict:
    limit_kg = plate.load_limit_kg
    if weight_kg is None or limit_kg is None:
        return on_hold(
            "It is not known whether the plate carries the person; still needed",
            ((weight_kg, "the person's weight"), (limit_kg, "the plate's load limit")),
        )
    if weight_kg > limit_kg:
        return not_fit(f"The person weighs {weight_kg:g} kg; the plate carries {limit_kg:g} kg.")
    return _NOTHING


def _watch(watched: bool | None) -> Verdict:
    if watched:
        return _NOTHING
    if watched is None:
        asked = "whether trained staff, or another adult shown how, can watch each session"
        return on_hold("Each session has to be watched, and it is not known", ((None, asked),))
    return not_fit("Each session has to be watched, and nobody is there to watch.")
