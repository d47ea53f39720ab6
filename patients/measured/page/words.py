"""Changes and verdicts in words, as the measures page says them."""

from __future__ import annotations

from types import MappingProxyType

from patients.facts.units import show_against, show_number
from patients.measured import density_history
from patients.scanners.precision import FIRST_LOOK_MONTHS, Change, Lsc, per_year

#: The verdict on a change in words, and the class of the sign that stands with it.
VERDICTS = MappingProxyType(
    {
        "gain": ("gain", "fine"),
        "loss": ("loss", "needs_clearance"),
        "rise": ("rise", "refer"),
        "fall": ("fall", "refer"),
        "within_error": ("within the error", "plain"),
        "not_comparable": ("not comparable", "missing"),
        "better": ("better", "fine"),
        "worse": ("worse", "needs_clearance"),
        "no_clear_change": ("no clear change", "plain"),
    }
)
_DAYS_A_MONTH = 30.4375


def signed(value: float, decimals: int) -> str:
    """Return a change with its sign, plus or minus; nought has none."""
    shown = show_number(value, decimals)
    return f"+{shown}" if shown.strip("0.") and not shown.startswith("\u2212") else shown


def density_change(found: Change) -> str:
    """Return a change of density in g/cm2, percent and percent a year; "" without one."""
    if found.g_cm2 is None or found.percent is None:
        return ""
    sizes = [f"{signed(found.g_cm2, 3)} g/cm²", f"{signed(found.percent, 1)} %"]
    yearly_g = per_year(found.g_cm2, found.days)
    if found.percent_per_year is not None and yearly_g is not None:
        yearly = f"{signed(found.percent_per_year, 1)} % ({signed(yearly_g, 3)} g/cm²) a year"
        sizes.append(yearly)
    return ", ".join(sizes)


def density_sentence(found: Change) -> str:
    """Return what a change of density comes to, to stand after "Since 3 May 2025:"."""
    if found.g_cm2 is None or found.percent is None or found.lsc_g_cm2 is None:
        return f"not comparable. {' '.join(found.reasons)}"
    size, error = _sizes(found.g_cm2, found.percent, found.lsc_g_cm2)
    how = "lies within" if found.verdict == "within_error" else "passes"
    sentence = f"{size} {after(found.days)} {how} the error of the scan ({error})."
    if not density_history.is_too_soon(found):
        return sentence
    return f"{sentence} Density is first looked at after {FIRST_LOOK_MONTHS} months."


def _sizes(g_cm2: float, percent: float, lsc_g_cm2: float) -> tuple[str, str]:
    """Return change and LSC in words, with the decimals it takes to tell them apart."""
    if not g_cm2:
        return "no change", f"{show_number(lsc_g_cm2, 3)} g/cm²"
    least = abs(lsc_g_cm2 * percent / g_cm2)
    kind = "gain" if g_cm2 > 0 else "loss"
    return f"a {kind} of {show_against(abs(percent), least, 1)} %", f"{show_number(least, 1)} %"


def after(days: int) -> str:
    """Return a span for reading: days, months under two years, else years."""
    months = round(days / _DAYS_A_MONTH)
    if days < 60:
        return f"after {days} day{'' if days == 1 else 's'}"
    if months < 24:
        return f"after {months} months"
    return f"after {show_number(days / 365.25, 1)} years"


def lsc_words(least: Lsc | None) -> str:
    """Return from what size a change counts, and whose figure it is."""
    if least is None:
        return "No least significant change is known for this site, so there is no verdict."
    size = (
        f"{show_number(least.g_cm2, 3)} g/cm²"
        if least.g_cm2 is not None
        else f"{show_number(least.percent or 0, 1)} %"
    )
    return f"A change counts from {size} (95 %): {least.source}."
