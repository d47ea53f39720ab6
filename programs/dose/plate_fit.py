"""Whether a plate is fit to use for this person, and which plate of several."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from patients.facts import Plate
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
    fragile: bool,
    watched: bool | None,
    ceiling_g: float = TOP_G.value,
) -> PlateFit:
    """Judge one plate for one person.

    fragile: fall risk high, vertebral fracture, fracture risk very high, or age 80 and over.
    watched: a trained person, or another adult who has been shown how, watches each session.
    What is not known holds the plate; it never passes as fine.
    """
    verdicts = (
        _rail(plate, support_rail),
        _load(plate, weight_kg),
        _watch(watched) if fragile else _NOTHING,
        start_on(plate, cap_g(fragile=fragile, ceiling_g=ceiling_g)),
    )
    return PlateFit(
        plate=plate,
        fit=max((v.fit for v in verdicts), key=_ORDER.index),
        start=verdicts[-1].start,
        reasons=tuple(reason for v in verdicts for reason in v.reasons),
        missing=tuple(what for v in verdicts for what in v.missing),
    )


def cap_g(*, fragile: bool, ceiling_g: float = TOP_G.value) -> float:
    """Return the greatest peak in g that may be drafted for this person."""
    return min(ceiling_g, FRAGILE_G.value) if fragile else ceiling_g


def choose_plate(
    plates: Iterable[Plate],
    *,
    weight_kg: float | None,
    support_rail: bool | None,
    fragile: bool,
    watched: bool | None,
    ceiling_g: float = TOP_G.value,
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
            fragile=fragile,
            watched=watched,
            ceiling_g=ceiling_g,
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
            "Weight cannot be held against the load limit without",
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
