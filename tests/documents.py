"""Facts documents at random, for properties that must hold for everyone.

Many are the steady person with a few entries changed, so that what is drafted is reached
often; the rest covers what is absent, unknown and at the ends of the believable range.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

from hypothesis import strategies as st

from patients.facts import codes
from tests.people import steady_document

AS_OF = dt.date(2026, 3, 2)
Document = dict[str, Any]
Documents = st.SearchStrategy[Document]


_ABSENT = object()


def rarely(usual: Any, *others: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """Return a strategy that is the usual value about four times in five."""
    return st.one_of(*(st.just(usual) for _ in range(4 * len(others))), *others)


def mostly_there(values: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """Return a strategy that is mostly one of the values, or else absent."""
    return st.one_of(*(values for _ in range(12)), st.just(_ABSENT))


def entry(
    always: dict[str, st.SearchStrategy[Any]],
    mostly: dict[str, st.SearchStrategy[Any]] | None = None,
) -> Documents:
    """Return an entry of which some keys are always there and the others mostly."""
    often = {key: mostly_there(values) for key, values in (mostly or {}).items()}
    return st.fixed_dictionaries({**always, **often}).map(
        lambda whole: {key: value for key, value in whole.items() if value is not _ABSENT}
    )


def coded(labels: Any) -> st.SearchStrategy[str]:
    """Return one of the codes."""
    return st.sampled_from(sorted(labels))


def tenths(low: float, high: float) -> st.SearchStrategy[float]:
    """Return a number of one decimal, both ends inside."""
    return st.integers(round(low * 10), round(high * 10)).map(lambda n: n / 10)


def days_ago(most: int) -> st.SearchStrategy[str]:
    """Return a day up to that many days before the assessment."""
    edges = st.sampled_from([n for n in (0, 27, 28, 84, 85, 181, 182, 365, 730) if n <= most])
    days = st.one_of(edges, st.integers(0, most))
    return days.map(lambda n: (AS_OF - dt.timedelta(days=n)).isoformat())


#: How many signs of a date are told: mostly all, else those of the year, or year and month.
_known = rarely(10, st.sampled_from([4, 7]))


def told_ago(most: int) -> st.SearchStrategy[str]:
    """Return the same, of which now and then only the year, or year and month, is told."""
    return st.builds(
        lambda day, known: day[:known], days_ago(most), rarely(10, st.sampled_from([4, 7]))
    )


answers = st.sampled_from(["no", "no", "no", "yes", "unknown"])
ages = st.builds(
    lambda age, days: (AS_OF.replace(year=2026 - age) - dt.timedelta(days=days)).isoformat(),
    st.one_of(
        st.sampled_from([17, 18, 44, 45, 49, 50, 55, 56, 59, 60, 74, 75, 79, 80]),
        st.integers(18, 104),
    ),
    st.integers(0, 364),
)
births = st.builds(lambda day, known: day[:known], ages, _known)

people: Documents = entry(
    {"born": births, "sex": st.sampled_from(["female", "female", "female", "male"])},
    mostly={
        "table_sex": rarely(_ABSENT, coded(codes.TABLE_SEXES)),
        "pregnant": rarely("no", answers),
        "menopause": rarely("after", coded(codes.MENOPAUSE), st.just("unknown")),
        "height_cm": tenths(140, 200),
        "weight_kg": rarely(62, tenths(25, 250)),
        "mobility": rarely("independent", coded(codes.MOBILITY), st.just("unknown")),
        "earlier_heights": st.lists(
            entry({"date": days_ago(5000), "cm": tenths(140, 205)}), max_size=2
        ),
    },
).map(lambda person: _taller_once(person))


def _taller_once(person: Document) -> Document:
    """Give most people a tallest height that agrees with their height today."""
    height = person.get("height_cm")
    lost = int(person["born"][3]) + int(person["born"][-1])
    return person if height is None else {**person, "tallest_height_cm": height + lost % 6}


def _scores(lowest: float) -> st.SearchStrategy[float]:
    edges = st.sampled_from([-3.5, -3.4, -3.0, -2.9, -2.5, -2.4, -2.0, -1.9, -1.1, -1.0])
    return st.one_of(edges, tenths(lowest, 2))


scans = st.lists(
    entry(
        {"date": days_ago(3000), "site": coded(codes.SCAN_SITES)},
        mostly={
            "t": _scores(-8),
            "z": _scores(-6),
            "bmd_g_cm2": st.just(0.7),
            "vertebrae": st.just("L1-L4"),
        },
    ),
    max_size=4,
)
some_fractures: Documents = entry(
    {"site": coded(codes.FRACTURE_SITES)},
    mostly={
        "date": rarely("2019-05-01", told_ago(6000)),
        "low_trauma": answers,
        "healed": rarely("yes", answers),
        "atypical": answers,
    },
)
falls: Documents = entry(
    {},
    mostly={
        "last_12_months": rarely(0, st.integers(0, 4), st.integers(0, 200)),
        **dict.fromkeys(("injury", "long_lie", "blackout"), rarely("no", answers)),
        "unsteady": answers,
        "worried": answers,
    },
)


def _pressures(draw: st.DrawFn) -> list[int]:
    upper = draw(rarely(126, st.sampled_from([160, 161, 180, 181]), st.integers(90, 250)))
    lower = draw(rarely(76, st.sampled_from([100, 101, 110, 111]), st.integers(40, 130)))
    return [max(upper, lower + 1), lower]


pressures = st.composite(_pressures)()
_one_day_of_tests: Documents = entry(
    {},
    mostly={
        "date": rarely(AS_OF.isoformat(), days_ago(500)),
        "up_and_go_s": rarely(8.4, tenths(2, 60)),
        "chair_stands_30s": rarely(15, st.integers(0, 30)),
        "five_stands_s": rarely(10.2, tenths(2, 90)),
        "side_by_side_s": rarely(10, tenths(0, 10)),
        "semi_tandem_s": rarely(10, tenths(0, 10)),
        "tandem_s": rarely(10, tenths(0, 10)),
        "one_leg_s": rarely(22, tenths(0, 45)),
        "walk_4m_s": rarely(3.6, tenths(1, 30)),
        "grip_kg": rarely(25, tenths(0, 90)),
        "resting_bp": pressures,
        "standing_bp": pressures,
        "unable": rarely(
            [],
            st.lists(st.sampled_from(["side_by_side_s", "tandem_s", "walk_4m_s", "grip_kg"])),
        ),
    },
)
function_tests: st.SearchStrategy[Any] = st.one_of(
    _one_day_of_tests, _one_day_of_tests, st.lists(_one_day_of_tests, max_size=3)
)


def clearances_of(*subjects: str) -> Documents:
    """Return a clearance, valid or not; of one of the subjects where any are named."""
    base = {
        "modalities": st.lists(coded(codes.MODALITIES), min_size=1, unique=True),
        "by": st.sampled_from(["cardiologist", "eye doctor", "spine clinic", "surgeon"]),
        "on": days_ago(200),
        "until": rarely(
            "2026-08-10", st.sampled_from(["2026-03-01", "2026-03-02", "2026-03-29", "2026-05-15"])
        ),
    }
    says = {
        "limits": rarely("as_precaution", coded(codes.CLEARANCE_LIMITS)),
        "eye_specialist": answers,
    }
    named = {"for": st.sampled_from(subjects)} if subjects else {}
    return entry({**base, **named}, mostly=says).map(_in_order)


def _in_order(clearance: Document) -> Document:
    return {**clearance, "until": max(clearance["on"], clearance["until"])}


some_conditions: st.SearchStrategy[Any] = st.one_of(
    answers,
    entry(
        {"answer": st.sampled_from(["yes", "yes", "no", "unknown"])},
        mostly={
            "on": told_ago(2000),
            "degree": coded(codes.DEGREES),
            "cleared": clearances_of(),
        },
    ),
)


def _answered(labels: Any, each: st.SearchStrategy[Any], most: int) -> Documents:
    """Return answers of which a few differ from how the others were answered."""
    few = st.dictionaries(coded(labels), each, max_size=most)
    otherwise = st.sampled_from(["no", "no", "no", "no", "no", "unknown"])
    return st.builds(lambda named, rest: {"otherwise": rest, **named}, few, otherwise)


steroids = entry(
    {"answer": st.just("yes")},
    mostly={
        "mg_per_day": st.sampled_from([2.5, 4.9, 5, 7.4, 7.5, 29.9, 30, 60]),
        "months": st.sampled_from([0, 2.9, 3, 12]),
    },
)
bone_medicines = entry(
    {"answer": st.just("yes")},
    mostly={
        "kind": rarely("denosumab", coded(codes.BONE_MEDICINES)),
        "since": told_ago(3000),
        "last_dose_on": told_ago(400),
        "stopped": answers,
    },
)
medicines = st.builds(
    lambda named, steroid, bone: {**named, "glucocorticoid": steroid, "bone_medicine": bone},
    _answered(codes.MEDICINES, answers, 2),
    rarely("no", steroids, answers),
    rarely("no", bone_medicines, answers),
)
spans = st.builds(
    lambda low, more, step: {"from": low, "to": low + more, "step": step},
    st.sampled_from([1, 5, 12, 12.5, 20, 25, 26, 30, 50]),
    st.sampled_from([0, 1, 5, 10, 25, 30, 70]),
    st.sampled_from([0.5, 1, 2.5, 5, 10, 60]),
)
plates: Documents = entry(
    {"name": st.sampled_from(["at home", "clinic"]), "motion": coded(codes.MOTIONS)},
    mostly={
        "frequency_hz": spans,
        "displacement_mm": entry(
            {
                "settings": st.lists(
                    st.sampled_from([0.1, 0.5, 1, 1.2, 1.5, 2, 2.4, 3, 4, 5, 8, 40]),
                    min_size=1,
                    max_size=4,
                ),
                "reads_as": st.sampled_from(
                    ["peak_to_peak", "peak_to_peak", "zero_to_peak", "unknown"]
                ),
            }
        ),
        "fixed_g": st.sampled_from([0.2, 0.3, 0.9, 1.0, 6.0]),
        "g_reads_as": st.sampled_from(["peak", "peak_to_peak", "unknown"]),
        "foot_distance_mm": st.sampled_from([60, 120]),
        "tilt_degrees": st.sampled_from([0.5, 1.2, 8]),
        "rail": rarely("yes", answers),
        "load_limit_kg": rarely(120, st.sampled_from([20, 500])),
    },
)
#: Plates that run and move otherwise than their panels show.
measured_plates: Documents = st.builds(
    lambda speed, travel: {
        "name": "measured",
        "motion": "vertical",
        "frequency_hz": {"from": round(20 * speed, 2), "to": round(50 * speed, 2), "step": speed},
        "displacement_mm": {"settings": [travel, 2 * travel], "reads_as": "peak_to_peak"},
        "rail": "yes",
        "load_limit_kg": 120,
        "panel": {
            "measured_on": "2026-01-05",
            "frequency_hz": {"from": 20, "to": 50, "step": 1},
            "displacement_mm": [1, 2],
        },
    },
    st.sampled_from([0.83, 1.03, 1.19]),
    st.sampled_from([0.625, 0.875, 1.125, 1.875]),
)
resources: Documents = entry(
    {},
    mostly={
        "days": st.lists(coded(codes.DAYS), max_size=7, unique=True),
        "minutes_per_day": st.one_of(st.sampled_from([1, 10, 20, 40, 60]), st.integers(1, 240)),
        "supervised": answers,
        "watcher": rarely("yes", answers),
        "support_rail": rarely("yes", answers),
        "equipment": st.lists(coded(codes.EQUIPMENT), unique=True),
        "load_step_kg": st.sampled_from([0.1, 0.5, 1, 2.5, 20]),
        "plates": st.lists(st.one_of(plates, plates, measured_plates), max_size=2),
    },
)
lifts = st.lists(
    entry(
        {
            "lift": st.sampled_from(["leg_press", "squat", "row", "a lift nobody lists"]),
            "kg": tenths(0.5, 500),
            "reps": st.integers(1, 60),
        },
        mostly={"on": told_ago(400)},
    ),
    max_size=3,
)
#: The entries of a document, each drawn apart: those that are always there, and mostly.
_always: dict[str, st.SearchStrategy[Any]] = {
    "format": st.just("facts/1"),
    "as_of": st.just(AS_OF.isoformat()),
    "person": people,
    "conditions": _answered(codes.CONDITIONS, some_conditions, 3),
    "symptoms": _answered(codes.SYMPTOMS, rarely("no", answers), 1),
    "medicines": medicines,
}
_mostly: dict[str, st.SearchStrategy[Any]] = {
    "scans": scans,
    "fractures": rarely([], st.lists(some_fractures, max_size=3)),
    "spine_image": entry({"answer": rarely("yes", answers)}, mostly={"on": told_ago(1000)}),
    "probability_10y": entry(
        {},
        mostly={
            "major_percent": st.sampled_from([0, 9.9, 10, 19.9, 20, 29.9, 30, 100]),
            "hip_percent": st.sampled_from([0, 2.9, 3, 4.4, 4.5, 100]),
        },
    ),
    "falls": falls,
    "tests": function_tests,
    "clearances": st.lists(clearances_of(*codes.CLEARANCE_SUBJECTS), max_size=2),
    "lifts": lifts,
    "aims": st.lists(coded(codes.AIMS), unique=True),
    "own_goal": st.sampled_from(["walk to the river", "carry my own bags, 2 at once"]),
    "experience": entry(
        {}, mostly=dict.fromkeys(("resistance", "impact"), coded(codes.EXPERIENCE))
    ),
    "resources": resources,
}
_often = {key: mostly_there(values) for key, values in _mostly.items()}
_STEADY = sorted(steady_document())


def _kept(draw: st.DrawFn) -> set[str]:
    """Draw which entries are the steady person's: all but a few, or any."""
    if draw(st.booleans()):
        return {*draw(st.lists(st.sampled_from(_STEADY), unique=True))}
    kept = list(_STEADY)
    for _ in range(draw(st.integers(0, 6))):
        kept.pop(draw(st.integers(0, len(kept) - 1)))
    return {*kept}


def _drawn(draw: st.DrawFn) -> Document:
    """Draw the other entries alone: drawing costs more than the draft that is then looked at."""
    kept, steady = _kept(draw), steady_document()
    whole: Document = {key: steady[key] for key in _STEADY if key in kept}
    for key, values in _always.items():
        if key not in kept:
            whole[key] = draw(values)
    for key, values in _often.items():
        if key not in kept and (value := draw(values)) is not _ABSENT:
            whole[key] = value
    return whole


#: Everyone: from the steady person with one thing changed to somebody wholly at random.
documents: Documents = st.composite(_drawn)()
