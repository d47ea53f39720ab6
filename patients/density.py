"""Density category from reported scores, and checks of a score against its density."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from types import MappingProxyType

from patients.ages import age_on
from patients.codes import SCAN_SITES
from patients.facts import Facts, Fracture, Scan
from patients.units import round_half_away, show_number

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
#: A T this far above its Z is asked about (common practice).
T_ABOVE_Z = 1.0
#: Fractures at this site never count as a fracture of weak bone.
NOT_COUNTED = "finger_toe_face"


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
    """

    category: str
    site: str | None
    score: float | None
    by: str
    scan: Scan | None


def one_decimal(score: float) -> float:
    """Round a score to the one decimal that it is reported and read at, half from zero."""
    return round_half_away(score, 1)


def uses_t(facts: Facts) -> bool:
    """Tell whether T is read for this person; else Z (ISCD positions)."""
    person = facts.person
    age = age_on(person.born, facts.as_of)
    if person.sex == "male":
        return age >= T_AGE_MEN
    if person.menopause in ("after", "transition"):
        return True
    return person.menopause != "before" and age >= T_AGE_WOMEN_MENOPAUSE_UNKNOWN


def density(facts: Facts) -> Density:
    """Return the density category: the lowest of the newest scores of the four sites.

    Of each site the newest scan that reports the score in use; of several on that day the
    lowest. Read at one decimal.
    """
    by = "t" if uses_t(facts) else "z"
    newest = [s for site in SITES if (s := _newest(facts.scans or (), site, by)) is not None]
    if not newest:
        return Density("unknown", None, None, by, None)
    scan = min(newest, key=lambda s: _score(s, by))
    score = _score(scan, by)
    return Density(_category(facts, score, by), scan.site, score, by, scan)


def counts_as_low_trauma(fracture: Fracture) -> bool:
    """Tell whether a fracture counts as one of weak bone; not known counts as yes."""
    return fracture.site != NOT_COUNTED and fracture.low_trauma is not False


def computed_t(bmd_g_cm2: float, site: str) -> float | None:
    """Return the T of a hip density by the NHANES III women; None at other sites.

    Only to check a reported T: other makers' machines read on other scales.
    """
    reference = NHANES_III_FEMALE.get(site)
    return None if reference is None else reference.t(bmd_g_cm2)


def score_slips(scan: Scan) -> tuple[str, ...]:
    """Return a question for each value of a scan that looks mistyped; () where none does."""
    asked = (_t_against_density(scan), _t_against_z(scan))
    return tuple(question for question in asked if question is not None)


def asked_of(scan: Scan) -> tuple[str, ...]:
    """Return the same questions, each with the site that it is about."""
    site = SCAN_SITES[scan.site].capitalize()
    return tuple(f"{site}: {question}" for question in score_slips(scan))


def asked_of_newest(facts: Facts) -> tuple[str, ...]:
    """Return the questions about the newest scans of each site: what the category may rest on."""
    found: list[str] = []
    for site in SITES:
        scans = [scan for scan in facts.scans or () if scan.site == site]
        newest = max((scan.date for scan in scans), default=None)
        found.extend(q for scan in scans if scan.date == newest for q in asked_of(scan))
    return tuple(found)


def _newest(scans: Iterable[Scan], site: str, by: str) -> Scan | None:
    reported = [s for s in scans if s.site == site and getattr(s, by) is not None]
    if not reported:
        return None
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


def _apart(reported: float, computed: float) -> bool:
    return abs(reported - computed) > APART_T


def _other_hip_site(site: str) -> str:
    return "total_hip" if site == "femoral_neck" else "femoral_neck"
