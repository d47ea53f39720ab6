"""Function tests: points, cuts with whose they are, norms, and the change that counts."""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from patients.facts.codes import EITHER
from patients.facts.declared import Tests
from patients.facts.question import asks
from patients.facts.units import show_against

WALK_M = 4.0
FULL_STANCE_S = 10.0
FALL_SYSTOLIC_MMHG, FALL_DIASTOLIC_MMHG = 20, 10
#: Resting pressure above either is high, above either of the second too high to load; a systolic
#: at or under the third is low (rulebook row 6).
HIGH_MMHG, TOO_HIGH_MMHG = (160, 100), (180, 110)
LOW_RESTING_MMHG, LOW_STANDING_MMHG = 90, 80
STEADI = "STEADI, CDC"
EWGSOP2 = "EWGSOP2 2019"
WFG = "World Falls Guidelines 2022"
PROJECT = "project choice, for the clinic to confirm"

#: Fewer stands in 30 s than this is below average, by five-year band of age from 60 to 94
#: (STEADI, CDC; two copies agree).
CHAIR_STANDS = MappingProxyType(
    {
        "male": MappingProxyType({60: 14, 65: 12, 70: 12, 75: 11, 80: 10, 85: 8, 90: 7}),
        "female": MappingProxyType({60: 12, 65: 11, 70: 10, 75: 10, 80: 9, 85: 8, 90: 4}),
    }
)
#: Grip under this is low (EWGSOP2 2019), kg.
LOW_GRIP_KG = MappingProxyType({"male": 27.0, "female": 16.0})
#: Edges of the walking points of the SPPB, seconds, by the metres walked: under the first 4,
#: under the second 3, to the third 2, slower 1. The 4 m edges: public wiki of a UK follow-up
#: study. The 3 m edges: from memory, to be confirmed; one paper prints them as those of 4 m.
WALK_EDGES_S = MappingProxyType({4.0: (4.82, 6.21, 8.70), 3.0: (3.62, 4.66, 6.52)})
#: Edges of the chair points, seconds: under each 4, 3, 2, to the last 1 (two-decimal edges and
#: the last from memory, to be confirmed).
CHAIR_EDGES_S = (11.20, 13.70, 16.70, 60.0)

_TINY = 1e-9
#: Each measure in plain words.
LABELS = MappingProxyType(
    {
        **(asks(Tests)["unable"].choices or {}),
        "gait_m_s": "gait over 4 m",
        "sppb": "SPPB (balance, gait, chair)",
    }
)
_SIGNS: MappingProxyType[str, Callable[[float, float], bool]] = MappingProxyType(
    {"<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge}
)
_SIGN_WORDS = MappingProxyType(
    {"<": "under {}", "<=": "{} or less", ">": "over {}", ">=": "{} or more"}
)


@dataclass(frozen=True)
class Cut:
    """A published cut of one measure; beyond it a result is abnormal in its source's eyes."""

    measure: str
    sign: str
    limit: float
    unit: str
    decimals: int
    meaning: str
    source: str

    def met(self, value: float) -> bool:
        """Tell whether a value lies beyond the cut."""
        return _SIGNS[self.sign](value, self.limit)

    @property
    def words(self) -> str:
        """Return the cut in words, as "12 s or more"."""
        limit = f"{self.limit:g}"
        return _SIGN_WORDS[self.sign].format(f"{limit} {self.unit}".strip())


@dataclass(frozen=True)
class Against:
    """A measured value held against a cut."""

    cut: Cut
    value: float
    met: bool

    @property
    def shown(self) -> str:
        """Return the value with the decimals it takes to stand on its side of the cut."""
        return show_against(self.value, self.cut.limit, self.cut.decimals)


@dataclass(frozen=True)
class Sppb:
    """Short physical performance battery; a part not tested is None, and so is the total."""

    balance: int | None
    gait: int | None
    chair: int | None

    @property
    def total(self) -> int | None:
        """Return the points of the three parts together, 0 to 12."""
        if self.balance is None or self.gait is None or self.chair is None:
            return None
        return self.balance + self.gait + self.chair

    @property
    def band(self) -> str | None:
        """Return low (8 or less, EWGSOP2), borderline (9) or not low; None without a total.

        9 or less separates frail from not frail (BMC Geriatrics, s12877-019-1234-8).
        """
        if self.total is None:
            return None
        return "low" if self.total <= 8 else "borderline" if self.total == 9 else "not low"


@dataclass(frozen=True)
class Concern:
    """Short FES-I: total 7 to 28, its band, and whether one blank was filled in."""

    total: int
    band: str
    prorated: bool


@dataclass(frozen=True)
class ResultChange:
    """A later result against an earlier: better, worse or no_clear_change."""

    measure: str
    change: float
    counts_from: float
    verdict: str


CHANGE_SOURCE = (
    "Gait and SPPB: Perera 2006, substantial; up and go: PMC6521916; chair stands: hip arthritis, "
    "from memory; grip: Bohannon 2019, the low end of 5.0 to 6.5 kg"
)
#: The change that counts, and 1 where more is better, -1 where less is (CHANGE_SOURCE).
CHANGE_THAT_COUNTS = MappingProxyType(
    {
        "gait_m_s": (0.1, 1),
        "sppb": (1.0, 1),
        "up_and_go_s": (2.0, -1),
        "chair_stands_30s": (2.0, 1),
        "grip_kg": (5.0, 1),
    }
)

#: A result beyond one of these, or below the chair stand table, is abnormal for falls.
_FALL_CUTS = (
    Cut("up_and_go_s", ">=", 12, "s", 1, "at risk of falls", STEADI),
    Cut("tandem_s", "<", FULL_STANCE_S, "s", 1, "at risk of falls", STEADI),
    Cut("semi_tandem_s", "<", FULL_STANCE_S, "s", 1, "at risk of falls", PROJECT),
    Cut("side_by_side_s", "<", FULL_STANCE_S, "s", 1, "at risk of falls", PROJECT),
    Cut("one_leg_s", "<", 5, "s", 1, "proposed by several authors", "Bohannon 2006"),
    Cut("five_stands_s", ">", 15, "s", 1, "low strength", EWGSOP2),
    Cut("gait_m_s", "<=", 0.8, "m/s", 2, "slow gait", f"{WFG}; {EWGSOP2}"),
    Cut("sppb", "<=", 8, "", 0, "low performance", EWGSOP2),
)
_OTHER_CUTS = (
    Cut("up_and_go_s", ">", 13.5, "s", 1, "high risk of falls", "PMC6521916"),
    Cut("up_and_go_s", ">", 15, "s", 1, "slow gait", WFG),
    Cut("up_and_go_s", ">=", 20, "s", 1, "low performance", EWGSOP2),
)
#: Those of every age and sex.
CUTS = (*_FALL_CUTS, *_OTHER_CUTS)


def sppb(tests: Tests) -> Sppb:
    """Return the SPPB points of the parts that were tested."""
    return Sppb(
        _balance_points(tests),
        _timed(tests, "walk_4m_s", walk_points),
        _timed(tests, "five_stands_s", chair_points),
    )


def walk_points(seconds: float, metres: float = WALK_M) -> int:
    """Return the SPPB points, 1 to 4, of a walk of 4 m or 3 m.

    Raises ValueError for another distance: its edges would not fit.
    """
    if metres not in WALK_EDGES_S:
        raise ValueError(f"The walk has points over 3 or 4 m, not over {metres:g} m.")
    four, three, two = WALK_EDGES_S[metres]
    return 4 if seconds < four else 3 if seconds < three else 2 if seconds <= two else 1


def chair_points(seconds: float) -> int:
    """Return the SPPB points, 0 to 4, of five chair stands."""
    four, three, two, one = CHAIR_EDGES_S
    if seconds < three:
        return 4 if seconds < four else 3
    return 2 if seconds < two else 1 if seconds <= one else 0


def gait_m_s(tests: Tests) -> float | None:
    """Return the gait speed over 4 m; None where not tested or not possible."""
    return None if tests.walk_4m_s is None else WALK_M / tests.walk_4m_s


def chair_stand_cut(age: int, sex: str) -> int:
    """Return the stands in 30 s under which is below average.

    Under 60 the table's first row is read, over 94 its last (project choice). Where it is not
    settled which table is hers, the higher of both numbers counts (project choice).
    """
    row = min(max(age - age % 5, 60), 90)
    return max(CHAIR_STANDS[table][row] for table in _tables(sex))


def _tables(sex: str) -> tuple[str, ...]:
    return tuple(CHAIR_STANDS) if sex == EITHER else (sex,)


@cache
def fall_cuts(age: int, sex: str) -> tuple[Cut, ...]:
    """Return the cuts that make a result abnormal for falls (rulebook row 3)."""
    stands = chair_stand_cut(age, sex)
    return (*_FALL_CUTS, Cut("chair_stands_30s", "<", stands, "", 0, "below average", STEADI))


def cuts(age: int, sex: str) -> tuple[Cut, ...]:
    """Return every published cut for a person of this age and sex of the tables."""
    low = max(LOW_GRIP_KG[table] for table in _tables(sex))
    grip = Cut("grip_kg", "<", low, "kg", 1, "low strength", EWGSOP2)
    return (*fall_cuts(age, sex), *_OTHER_CUTS, grip)


def against(tests: Tests, cuts: Iterable[Cut]) -> tuple[Against, ...]:
    """Hold each measured result against every cut of it; what was not tested is left out."""
    values = measures(tests)
    return tuple(
        Against(cut, value, cut.met(value))
        for cut in cuts
        if (value := values[cut.measure]) is not None
    )


def measures(tests: Tests) -> dict[str, float | None]:
    """Return the results by measure: the timed tests, gait_m_s in place of the walk, sppb."""
    names = (
        *("up_and_go_s", "chair_stands_30s", "five_stands_s", "side_by_side_s"),
        *("semi_tandem_s", "tandem_s", "one_leg_s", "grip_kg"),
    )
    taken: dict[str, float | None] = {name: getattr(tests, name) for name in names}
    return {**taken, "gait_m_s": gait_m_s(tests), "sppb": sppb(tests).total}


def abnormal_codes(tests: Tests, age: int, sex: str) -> frozenset[str]:
    """Return the tests whose result counts as abnormal for falls, not possible included."""
    met = {a.cut.measure for a in against(tests, fall_cuts(age, sex)) if a.met}
    named = {"walk_4m_s" if measure == "gait_m_s" else measure for measure in met}
    return frozenset(named) | frozenset(tests.unable or ())


def abnormal_words(
    tests: Tests, age: int, sex: str, points: int | None, pair: Tests | None
) -> tuple[str, ...]:
    """Return in plain words each test that counts as abnormal for falls (rulebook row 3).

    points  of the SPPB; pair holds both pressures of one measurement.

    Sources: STEADI (up and go, tandem, chair stands), World Falls Guidelines 2022 (gait),
    EWGSOP2 2019 (five stands, SPPB), Bohannon 2006 (one leg), orthostatic definition
    (pressure); an easier stance or a test not possible: project choice, for the clinic to
    confirm.
    """
    values = {**vars(tests), "gait_m_s": gait_m_s(tests), "sppb": points}
    held = [(cut, values[cut.measure]) for cut in fall_cuts(age, sex)]
    beyond = [Against(cut, v, True) for cut, v in held if v is not None and cut.met(v)]
    return (
        *(_beyond(a) for a in beyond),
        *(f"{LABELS[code]}: attempted, not possible" for code in tests.unable or ()),
        *(_drop_words(pair) if pair else ()),
    )


def pressure_abnormal(which: str, pressure: tuple[int, int]) -> bool:
    """Tell whether a resting or standing pressure counts however old it is (rulebook row 6)."""
    if which == "standing_bp":
        return pressure[0] <= LOW_STANDING_MMHG
    high = pressure[0] > HIGH_MMHG[0] or pressure[1] > HIGH_MMHG[1]
    return high or pressure[0] <= LOW_RESTING_MMHG


def postural_drop(tests: Tests) -> bool | None:
    """Tell whether pressure falls by 20 systolic or 10 diastolic on standing.

    None where one of the two pressures was not taken.
    """
    if tests.resting_bp is None or tests.standing_bp is None:
        return None
    systolic = tests.resting_bp[0] - tests.standing_bp[0]
    diastolic = tests.resting_bp[1] - tests.standing_bp[1]
    return systolic >= FALL_SYSTOLIC_MMHG or diastolic >= FALL_DIASTOLIC_MMHG


def short_fes_i(answers: Sequence[int | None]) -> Concern | None:
    """Return the short FES-I of seven answers from 1 to 4; None is a blank.

    One blank is filled in from the other six and rounded up; with more there is no total.
    Raises ValueError for other answers. Items and range: Kempen 2008; bands: Delbaere 2010,
    and the rounding, from memory, to be confirmed.
    """
    given = [answer for answer in answers if answer is not None]
    if len(answers) != 7 or any(answer not in (1, 2, 3, 4) for answer in given):
        raise ValueError("The short FES-I has seven answers from 1 to 4.")
    if len(given) < 6:
        return None
    total = math.ceil(sum(given) * 7 / len(given) - _TINY)
    band = "low" if total <= 8 else "moderate" if total <= 13 else "high"
    return Concern(total, band, len(given) == 6)


def change(measure: str, before: float, after: float) -> ResultChange | None:
    """Return a result against an earlier one; None where no change that counts is known.

    A change as large as the one that counts is a change.
    """
    if measure not in CHANGE_THAT_COUNTS:
        return None
    counts_from, better = CHANGE_THAT_COUNTS[measure]
    change = after - before
    if abs(change) < counts_from - _TINY:
        return ResultChange(measure, change, counts_from, "no_clear_change")
    word = "better" if change * better > 0 else "worse"
    return ResultChange(measure, change, counts_from, word)


def _held_s(tests: Tests, stance: str) -> float | None:
    held: float | None = getattr(tests, stance)
    return 0.0 if held is None and stance in (tests.unable or ()) else held


def _balance_points(tests: Tests) -> int | None:
    side, semi, tandem = (
        _held_s(tests, stance) for stance in ("side_by_side_s", "semi_tandem_s", "tandem_s")
    )
    if side is not None and side < FULL_STANCE_S:
        return 0
    if semi is not None and semi < FULL_STANCE_S:
        return None if side is None else 1
    if tandem is None or (semi is None and tandem < FULL_STANCE_S):
        return None
    return 4 if tandem >= FULL_STANCE_S else 3 if tandem >= 3 else 2


def _timed(tests: Tests, test: str, points: Callable[[float], int]) -> int | None:
    seconds: float | None = getattr(tests, test)
    if seconds is not None:
        return points(seconds)
    return 0 if test in (tests.unable or ()) else None


def _beyond(found: Against) -> str:
    label = LABELS[found.cut.measure]
    shown = f"{found.shown} {found.cut.unit}".strip()
    return f"{label}: {shown} ({found.cut.words})"


def _drop_words(tests: Tests) -> tuple[str, ...]:
    if not postural_drop(tests) or tests.resting_bp is None or tests.standing_bp is None:
        return ()
    (lying, low), (standing, low_standing) = tests.resting_bp, tests.standing_bp
    return (
        f"pressure on standing: from {lying}/{low} to {standing}/{low_standing} "
        f"(a fall of {FALL_SYSTOLIC_MMHG}/{FALL_DIASTOLIC_MMHG} or more)",
    )
