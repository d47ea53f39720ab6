"""Density category from reported scores, and checks of a score against its density."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from patients.facts.ages import add_months
from patients.facts.codes import SCAN_SITES
from patients.facts.declared import Facts, Fracture, Scan
from patients.facts.partial_dates import ages_on
from patients.facts.units import round_half_away, show_number

#: Sites that count, in the order that decides a tie. Lowest site of these: ISCD adult
#: positions, from memory, to be confirmed.
SITES = ("lumbar_spine", "total_hip", "femoral_neck", "distal_third_radius")
#: T at or above is normal, T at or below the second is osteoporosis (WHO criteria).
NORMAL_T, OSTEOPOROSIS_T = -1.0, -2.5
#: Z at or below is below the range expected for age (ISCD positions).
BELOW_EXPECTED_Z = -2.0
#: Men are read by T from this age (ISCD positions).
T_AGE_MEN = 50
#: A woman whose menopause is not known is read as after it from this age
#: (project choice, for the clinic to confirm).
T_AGE_WOMEN_MENOPAUSE_UNKNOWN = 45
#: A reported T further than this from the T of its density is asked about
#: (project choice, for the clinic to confirm).
APART_T = 0.3
#: A T above this is asked about where neither density nor Z bears it out (common practice).
HIGH_T = 1.0
#: A T this far above its Z is asked about (common practice).
T_ABOVE_Z = 1.0
#: Fractures at these sites never count as a fracture of weak bone.
NOT_COUNTED = frozenset({"finger", "toe", "face", "finger_toe_face"})
#: A scan older than this can raise the risk and never lower it; sooner on a glucocorticoid
#: (rulebook row 0, project choice).
OLD_SCAN_MONTHS, OLD_SCAN_MONTHS_ON_STEROID = 36, 12


@dataclass(frozen=True)
class Reference:
    """Mean and standard deviation of young adults' density, g/cm2."""

    mean_g_cm2: float
    sd_g_cm2: float

    def t(self, bmd_g_cm2: float) -> float:
        """Return the T-score of a density."""
        return (bmd_g_cm2 - self.mean_g_cm2) / self.sd_g_cm2

    def bmd_g_cm2(self, t: float) -> float:
        """Return the density that has a T-score."""
        return self.mean_g_cm2 + t * self.sd_g_cm2


#: White women of 20 to 29, NHANES III: Looker 1998, Osteoporos Int 8:468, as quoted by public
#: code that cites it. Used for women and men alike (ISCD 2023). Spine and forearm have each
#: maker's own reference, so no T is worked out there.
NHANES_III_FEMALE = MappingProxyType(
    {"femoral_neck": Reference(0.858, 0.120), "total_hip": Reference(0.942, 0.122)}
)


@dataclass(frozen=True)
class Density:
    """The density category and what it rests on.

    category  normal, low_bone_mass, osteoporosis, severe_osteoporosis,
              within_expected_range, below_expected_range or unknown
    site      site that decided; None where unknown
    score     its T or Z at one decimal; None where unknown
    by        "t" or "z": which score is read for this person
    scan      the scan that decided; None where unknown
    low_t     a reported T of osteoporosis where Z is read; None where there is none
    too_old   no scan is read, for those there are too old and fine
    """

    category: str
    site: str | None
    score: float | None
    by: str
    scan: Scan | None
    low_t: float | None = None
    too_old: bool = False


@lru_cache(maxsize=1024)
def one_decimal(score: float) -> float:
    """Round a score to the one decimal that it is reported and read at, half from zero."""
    return round_half_away(score, 1)


def scores_read(facts: Facts) -> tuple[str, ...]:
    """Return which score is read for this person, "t" or "z" (ISCD positions).

    Both where only the year of birth is known and either may be right: rules then take the
    one that makes them more careful.
    """
    ages = ages_on(facts.person.born, facts.as_of)
    return tuple(dict.fromkeys("t" if _uses_t(facts, age) else "z" for age in ages))


def _uses_t(facts: Facts, age: int) -> bool:
    person = facts.person
    if person.sex == "male":
        return age >= T_AGE_MEN
    if person.menopause in ("after", "transition"):
        return True
    return person.menopause != "before" and age >= T_AGE_WOMEN_MENOPAUSE_UNKNOWN


def density(facts: Facts, by: str = "") -> Density:
    """Return the density category: the lowest of the newest scores of the four sites.

    Of each site the newest scan that reports the score in use; of several on that day the
    lowest; one that is too old only where it is low. Read at one decimal. `by` is "t" or "z",
    where either may be read.
    """
    by = by or scores_read(facts)[-1]
    newest = _newest_of_sites(facts, by)
    read = [scan for scan in newest if _may_be_read(scan, by, facts)]
    low_t = _low_t(facts) if by == "z" else None
    if not read:
        return Density("unknown", None, None, by, None, low_t, bool(newest))
    scan = min(read, key=lambda s: _score(s, by))
    score = _score(scan, by)
    return Density(_category(facts, score, by), scan.site, score, by, scan, low_t)


def is_old(scan: Scan, facts: Facts) -> bool:
    """Tell whether a scan is too old to lower a risk."""
    steroid = facts.medicine("glucocorticoid").answer
    months = OLD_SCAN_MONTHS_ON_STEROID if steroid else OLD_SCAN_MONTHS
    return facts.as_of > add_months(scan.date, months)


def _newest_of_sites(facts: Facts, by: str) -> list[Scan]:
    return [s for site in SITES if (s := _newest(facts.scans or (), site, by)) is not None]


def _may_be_read(scan: Scan, by: str, facts: Facts) -> bool:
    low = OSTEOPOROSIS_T if by == "t" else BELOW_EXPECTED_Z
    return _score(scan, by) <= low or not is_old(scan, facts)


def _low_t(facts: Facts) -> float | None:
    scores = [_score(scan, "t") for scan in _newest_of_sites(facts, "t")]
    return min((score for score in scores if score <= OSTEOPOROSIS_T), default=None)


def counts_as_low_trauma(fracture: Fracture) -> bool:
    """Tell whether a fracture counts as one of weak bone; not known counts as yes."""
    return fracture.site not in NOT_COUNTED and fracture.low_trauma is not False


def computed_t(bmd_g_cm2: float, site: str) -> float | None:
    """Return the T of a hip density by the NHANES III women; None at other sites.

    Only to check a reported T: other makers' machines read on other scales.
    """
    reference = NHANES_III_FEMALE.get(site)
    return None if reference is None else reference.t(bmd_g_cm2)


def score_slips(scan: Scan, scans: Iterable[Scan] = ()) -> tuple[str, ...]:
    """Return a question for each value of a scan that looks mistyped; () where none does.

    scans   the other sites of that day, where they are known
    """
    asked = (_t_against_density(scan), _t_against_z(scan))
    found = tuple(question for question in asked if question is not None)
    return found or _t_without_its_sign(scan, scans)


def asked_of(scan: Scan, scans: Iterable[Scan] = ()) -> tuple[str, ...]:
    """Return the same questions, each with the site that it is about."""
    site = SCAN_SITES[scan.site].capitalize()
    return tuple(f"{site}: {question}" for question in score_slips(scan, scans))


def asked_of_newest(facts: Facts) -> tuple[str, ...]:
    """Return the questions about the newest scans of each site: what the category may rest on."""
    found: list[str] = []
    for site in SITES:
        scans = [scan for scan in facts.scans or () if scan.site == site]
        newest = max((scan.date for scan in scans), default=None)
        newly = [scan for scan in scans if scan.date == newest]
        found.extend(q for scan in newly for q in asked_of(scan, facts.scans or ()))
    return tuple(found)


def _newest(scans: Iterable[Scan], site: str, by: str) -> Scan | None:
    reported = [s for s in scans if s.site == site and getattr(s, by) is not None]
    if len(reported) < 2:
        return reported[0] if reported else None
    day: dt.date = max(s.date for s in reported)
    return min((s for s in reported if s.date == day), key=lambda s: _score(s, by))


def _score(scan: Scan, by: str) -> float:
    return one_decimal(getattr(scan, by))


def _category(facts: Facts, score: float, by: str) -> str:
    if by == "z":
        low = score <= BELOW_EXPECTED_Z
        return "below_expected_range" if low else "within_expected_range"
    if score >= NORMAL_T:
        return "normal"
    if score > OSTEOPOROSIS_T:
        return "low_bone_mass"
    broken = any(counts_as_low_trauma(f) for f in facts.fractures or ())
    return "severe_osteoporosis" if broken else "osteoporosis"


def _t_against_density(scan: Scan) -> str | None:
    if scan.t is None or scan.bmd_g_cm2 is None:
        return None
    computed = computed_t(scan.bmd_g_cm2, scan.site)
    if computed is None or not _apart(scan.t, computed):
        return None
    if scan.t > 0 and computed <= NORMAL_T:
        return f"T {show_number(scan.t, 1)} does not fit the density. Is its minus sign missing?"
    other = _other_hip_site(scan.site)
    if not _apart(scan.t, NHANES_III_FEMALE[other].t(scan.bmd_g_cm2)):
        return f"These values fit the {SCAN_SITES[other]}. Is the site right?"
    return (
        f"The density would give T {show_number(computed, 1)}, reported is "
        f"{show_number(scan.t, 1)}. Check both. Another maker's scanner can explain it."
    )


def _t_against_z(scan: Scan) -> str | None:
    if scan.t is None or scan.z is None or scan.t - scan.z <= T_ABOVE_Z:
        return None
    return (
        f"T {show_number(scan.t, 1)} is far above Z {show_number(scan.z, 1)}. "
        "Are the two swapped, or is a minus sign missing?"
    )


def _t_without_its_sign(scan: Scan, scans: Iterable[Scan]) -> tuple[str, ...]:
    """Return the question for a T above the usual that nothing of its own site bears out."""
    if scan.t is None or scan.t <= 0 or scan.z is not None or computed_of(scan) is not None:
        return ()
    score = show_number(scan.t, 1)
    others = [s.t for s in scans if s.date == scan.date and s.site != scan.site and s.t is not None]
    if others and max(others) <= NORMAL_T:
        return (f"T {score} where every other site is low. Is its minus sign missing?",)
    return (f"Plus {score}? Is its minus sign missing?",) if scan.t > HIGH_T else ()


def computed_of(scan: Scan) -> float | None:
    """Return the T that a scan's own density gives; None where there is none to hold against."""
    return None if scan.bmd_g_cm2 is None else computed_t(scan.bmd_g_cm2, scan.site)


def _apart(reported: float, computed: float) -> bool:
    return abs(reported - computed) > APART_T


def _other_hip_site(site: str) -> str:
    return "total_hip" if site == "femoral_neck" else "femoral_neck"
