"""Trials of plates on the map: peak g at the plate times minutes of vibration in all."""

from __future__ import annotations

from collections.abc import Mapping

from programs.dose.vibration import PEAK, PEAK_TO_PEAK, Vibration
from programs.plates.evidence import TRIALS, Agreement, Measure, Printed, Trial, direction
from programs.trial_map.published import SITES, Found, Published, Span

#: Pairs of peak g and minutes in all, where the settings ran for different times or the list of
#: trials has no minutes: 52 weeks a year. A g that is printed peak to peak is halved.
_PAIRS: Mapping[str, tuple[tuple[float, float], ...]] = {
    "beck_2010": ((0.3, 15 * 2 * 35), (1, 6 * 2 * 35)),
    "torvinen_2003": ((2, 4 * 3 * 35), (8, 4 * 5 * 35)),
    "slatkovska_2011": ((0.3, 20 * 364),),
    "rubin_2004": ((0.1, 20 * 364),),
}
#: Peak g in place of what follows from the printed numbers, which cannot be right.
_G_READ: Mapping[str, tuple[float, float]] = {"gusi_2006": (0.96, 1.92)}
#: What the others stood on, where that looked the same.
_SHAM: Mapping[str, str] = {
    "rubin_2004": "against a plate that did not move (from memory, to be confirmed)",
    "kiel_2015": "against a plate that did not move (from memory, to be confirmed)",
}


def on_plates() -> tuple[Published, ...]:
    """Return the trials that measured density at hip or spine, but for those retracted."""
    return tuple(
        _published(trial)
        for trial in TRIALS
        if trial.retracted_on is None and any(direction(trial, site) for site in SITES)
    )


def _published(trial: Trial) -> Published:
    amount = _amount(trial)
    return Published(
        key=trial.key,
        citation=trial.citation,
        source=trial.identifier,
        known=trial.checked,
        who=trial.who,
        people=trial.people,
        did=trial.dose,
        months=trial.months,
        by_site={site: said for site in SITES if (said := _found(trial, site))},
        amount=amount,
        lacks="" if amount else _lacks(trial),
        sham=_SHAM.get(trial.key, ""),
        note=trial.note,
    )


def _found(trial: Trial, site: str) -> Found | None:
    found = direction(trial, site)
    if found is None:
        return None
    told = dict.fromkeys(
        one.effect for one in trial.outcome(site) if one.measure is Measure.DENSITY
    )
    return Found(direction=found, effect="; ".join(told))


def _amount(trial: Trial) -> Span | None:
    pairs = _PAIRS.get(trial.key) or tuple(
        (g, trial.minutes) for g in _peaks(trial) if trial.minutes is not None
    )
    products = [g * minutes for g, minutes in pairs]
    return Span(low=min(products), high=max(products)) if products else None


def _peaks(trial: Trial) -> tuple[float, ...]:
    return _G_READ.get(trial.key) or tuple(g for one in trial.printed for g in _readings(one))


def _readings(one: Printed) -> tuple[float, ...]:
    """Return every peak g that a printed motion can mean."""
    printed = () if one.g is None else (one.g if one.g_reads_as == PEAK else one.g / 2,)
    settled = (Agreement.PEAK_TO_PEAK, Agreement.ZERO_TO_PEAK)
    if one.mm is None or one.agreement in settled:
        return printed
    whole = Vibration.shown(one.hz, one.mm, reads_as=PEAK_TO_PEAK).peak_g
    return (*printed, whole, 2 * whole)


def _lacks(trial: Trial) -> str:
    lacking = [] if _peaks(trial) else ["its g"]
    lacking += [] if trial.minutes else ["its minutes"]
    return " and ".join(lacking)
