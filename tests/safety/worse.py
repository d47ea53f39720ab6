"""Facts made worse: one answer from no to yes or unknown, or one number the wrong way."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from copy import deepcopy
from typing import Any

from hypothesis import strategies as st

from patients.facts import codes
from tests.documents import AS_OF, Document, some_fractures

#: A change draws what it needs and returns False where it finds nothing to make worse.
Change = Callable[[Document, st.DrawFn], bool]


def _no_becomes(draw: st.DrawFn) -> str:
    return draw(st.sampled_from(["yes", "unknown"]))


def _answer_of(answers: Document, code: str) -> Any:
    given = answers.get(code, answers.get("otherwise", "unknown"))
    return given.get("answer", "unknown") if isinstance(given, dict) else given


def _turned(key: str, labels: Any) -> Change:
    def change(document: Document, draw: st.DrawFn) -> bool:
        answers = document.setdefault(key, {})
        code = draw(st.sampled_from(sorted(labels)))
        if _answer_of(answers, code) != "no":
            return False
        answers[code] = _no_becomes(draw)
        return True

    return change


def _tests_of_one_day(document: Document) -> Document:
    """Return the tests; nothing where there are several days, of which an older one may count."""
    tests = document.get("tests", {})
    return tests if isinstance(tests, dict) else {}


def _steroid(document: Document, draw: st.DrawFn) -> bool:
    medicines = document.setdefault("medicines", {})
    steroid = medicines.get("glucocorticoid", medicines.get("otherwise", "unknown"))
    if steroid == "no":
        dose = {"mg_per_day": draw(st.sampled_from([4.9, 5, 7.5, 30])), "months": 3}
        medicines["glucocorticoid"] = draw(
            st.sampled_from(["yes", "unknown", {"answer": "yes", **dose}])
        )
        return True
    if not isinstance(steroid, dict) or "mg_per_day" not in steroid:
        return False
    more = steroid["mg_per_day"] + draw(st.sampled_from([0.1, 2.5, 25]))
    medicines["glucocorticoid"] = {**steroid, "mg_per_day": round(more, 1)}
    return True


def _one_more_fracture(document: Document, draw: st.DrawFn) -> bool:
    if "fractures" not in document:
        return False
    document["fractures"].append(draw(some_fractures))
    return True


def _fractures_unasked(document: Document, draw: st.DrawFn) -> bool:
    return document.get("fractures") == [] and document.pop("fractures") is not None


def _less_healed(document: Document, draw: st.DrawFn) -> bool:
    for fracture in document.get("fractures", ()):
        now = fracture.get("healed", "unknown")
        if now != "no":
            fracture["healed"] = "no" if now == "unknown" else _no_becomes_healed(draw)
            return True
    return False


def _no_becomes_healed(draw: st.DrawFn) -> str:
    return draw(st.sampled_from(["no", "unknown"]))


def _undated(document: Document, draw: st.DrawFn) -> bool:
    """Forget the date of a fracture: of one that is not fresh, for only its date tells that."""
    for fracture in document.get("fractures", ()):
        kept = fracture.get("healed", "unknown") != "yes" or _old(fracture)
        if "date" in fracture and not _fresh(fracture) and kept:
            del fracture["date"]
            return True
    return False


def _days(fracture: Document) -> int:
    return (AS_OF - dt.date.fromisoformat(fracture["date"])).days


def _fresh(fracture: Document) -> bool:
    return len(fracture["date"]) < 10 or _days(fracture) < 28


def _old(fracture: Document) -> bool:
    """Tell whether it is past mending, so that healed without its date says no more."""
    return len(fracture["date"]) == 10 and _days(fracture) > 84


def _coarser(document: Document, draw: st.DrawFn) -> bool:
    """Tell of a broken bone only the year, or year and month."""
    for fracture in document.get("fractures", ()):
        if len(fracture.get("date", "")) == 10:
            fracture["date"] = fracture["date"][: draw(st.sampled_from([4, 7]))]
            return True
    return False


def _height_unmeasured(document: Document, draw: st.DrawFn) -> bool:
    return document["person"].pop("height_cm", None) is not None


def _dose_unknown(document: Document, draw: st.DrawFn) -> bool:
    steroid = document.get("medicines", {}).get("glucocorticoid")
    if not isinstance(steroid, dict) or "mg_per_day" not in steroid:
        return False
    del steroid["mg_per_day"]
    return True


def _dose_told(document: Document, draw: st.DrawFn) -> bool:
    """Tell the dose of a glucocorticoid that is taken; the highest is no better than unknown."""
    medicines = document.setdefault("medicines", {})
    steroid = medicines.get("glucocorticoid", medicines.get("otherwise", "unknown"))
    if steroid != "yes" and not (isinstance(steroid, dict) and "mg_per_day" not in steroid):
        return False
    medicines["glucocorticoid"] = {"answer": "yes", "mg_per_day": 30, "months": 12}
    return True


def _older_scans(document: Document, draw: st.DrawFn) -> bool:
    for scan in document.get("scans", ()):
        scan["date"] = "2020-01-01"
    return bool(document.get("scans"))


def _drowsy(document: Document, draw: st.DrawFn) -> bool:
    medicines = document.setdefault("medicines", {})
    code = draw(st.sampled_from(codes.SEDATING))
    if medicines.get(code, medicines.get("otherwise")) != "no":
        return False
    medicines[code] = _no_becomes(draw)
    return True


def _denosumab(document: Document, draw: st.DrawFn) -> bool:
    """Forget the last dose of denosumab."""
    medicine = document.get("medicines", {}).get("bone_medicine")
    if not isinstance(medicine, dict) or medicine.get("kind") != "denosumab":
        return False
    return medicine.pop("last_dose_on", None) is not None


def _frame(document: Document, draw: st.DrawFn) -> bool:
    if document["person"].get("mobility") not in ("independent", "stick"):
        return False
    document["person"]["mobility"] = "frame"
    return True


def _limited(document: Document, draw: st.DrawFn) -> bool:
    """Take "no limit is needed" from every clearance."""
    found = [one for one in _given(document) if one.pop("limits", None) == "none"]
    return bool(found)


def _low_trauma(document: Document, draw: st.DrawFn) -> bool:
    for fracture in document.get("fractures", ()):
        if fracture.get("low_trauma") == "no":
            fracture["low_trauma"] = _no_becomes(draw)
            return True
    return False


def _higher_pressure(document: Document, draw: st.DrawFn) -> bool:
    pressure = _tests_of_one_day(document).get("resting_bp")
    if pressure is None or pressure[0] <= 90:
        return False
    more = draw(st.sampled_from([1, 4, 34, 54]))
    pressure[draw(st.integers(0, 1))] += more
    return bool(pressure[1] < pressure[0] <= 300 and pressure[1] <= 200)


def _pressure_unmeasured(document: Document, draw: st.DrawFn) -> bool:
    pressure = _tests_of_one_day(document).get("resting_bp")
    standing = _tests_of_one_day(document).get("standing_bp")
    if pressure is None or pressure[0] <= 90 or pressure[0] > 160 or pressure[1] > 100:
        return False
    falls = standing and (pressure[0] - standing[0] >= 20 or pressure[1] - standing[1] >= 10)
    if not falls:
        del document["tests"]["resting_bp"]
    return not falls


def _lower_scores(document: Document, draw: st.DrawFn) -> bool:
    less = draw(st.sampled_from([0.1, 0.5, 1, 2]))
    for scan in document.get("scans", ()):
        for score in ("t", "z"):
            if score in scan:
                scan[score] = max(-8, round(scan[score] - less, 1))
    return bool(document.get("scans"))


def _more_falls(document: Document, draw: st.DrawFn) -> bool:
    falls = document.setdefault("falls", {})
    count = falls.get("last_12_months")
    falls["last_12_months"] = min(200, (count or 0) + draw(st.integers(1, 3)))
    return count != 200


def _worse_fall(document: Document, draw: st.DrawFn) -> bool:
    falls = document.setdefault("falls", {})
    about = draw(st.sampled_from(["injury", "long_lie", "blackout", "unsteady"]))
    if falls.get(about, "unknown") != "no":
        return False
    falls[about] = _no_becomes(draw)
    return True


#: Test, and the direction in which it is worse.
_WORSE = {
    "up_and_go_s": 4,
    "walk_4m_s": 2,
    "tandem_s": -3,
    "semi_tandem_s": -3,
    "side_by_side_s": -3,
    "chair_stands_30s": -5,
}


def _worse_test(document: Document, draw: st.DrawFn) -> bool:
    tests = _tests_of_one_day(document)
    code = draw(st.sampled_from(sorted(_WORSE)))
    if code not in tests:
        return False
    if draw(st.booleans()):
        tests["unable"] = [*tests.get("unable", ()), code]
    else:
        tests[code] = max(0, tests[code] + _WORSE[code])
    return True


def _pregnant(document: Document, draw: st.DrawFn) -> bool:
    if document["person"].get("pregnant") != "no":
        return False
    document["person"]["pregnant"] = _no_becomes(draw)
    return True


def _likelier(document: Document, draw: st.DrawFn) -> bool:
    chances = document.setdefault("probability_10y", {})
    which = draw(st.sampled_from(["major_percent", "hip_percent"]))
    more = draw(st.sampled_from([0.1, 3, 4.5, 10, 20, 30]))
    chances[which] = min(100, round(chances.get(which, 0) + more, 1))
    return True


def _shorter(document: Document, draw: st.DrawFn) -> bool:
    person = document["person"]
    if "height_cm" not in person:
        return False
    person["height_cm"] = round(person["height_cm"] - draw(st.sampled_from([0.1, 2, 4])), 1)
    return True


def _no_image(document: Document, draw: st.DrawFn) -> bool:
    return document.pop("spine_image", None) is not None


def _given(document: Document) -> list[Document]:
    given = [
        answer["cleared"]
        for answer in document.get("conditions", {}).values()
        if isinstance(answer, dict) and "cleared" in answer
    ]
    return given + list(document.get("clearances", []))


def _clearance_lost(document: Document, draw: st.DrawFn) -> bool:
    given = _given(document)
    for clearance in given:
        clearance["on"] = "2020-01-01"
        clearance["until"] = (AS_OF - dt.timedelta(days=1)).isoformat()
    return bool(given)


def _nobody_beside(document: Document, draw: st.DrawFn) -> bool:
    resources = document.setdefault("resources", {})
    who = draw(st.sampled_from(["supervised", "watcher"]))
    if resources.get(who) != "yes":
        return False
    resources[who] = draw(st.sampled_from(["no", "unknown"]))
    return True


CHANGES: dict[str, Change] = {
    "condition": _turned("conditions", codes.CONDITIONS),
    "symptom": _turned("symptoms", codes.SYMPTOMS),
    "steroid": _steroid,
    "fracture": _one_more_fracture,
    "fractures unasked": _fractures_unasked,
    "less healed": _less_healed,
    "fracture undated": _undated,
    "fracture of a year": _coarser,
    "height unmeasured": _height_unmeasured,
    "steroid dose unknown": _dose_unknown,
    "steroid dose told": _dose_told,
    "older scans": _older_scans,
    "drowsy": _drowsy,
    "denosumab": _denosumab,
    "frame": _frame,
    "limits": _limited,
    "low trauma": _low_trauma,
    "higher pressure": _higher_pressure,
    "pressure unmeasured": _pressure_unmeasured,
    "lower scores": _lower_scores,
    "more falls": _more_falls,
    "worse fall": _worse_fall,
    "worse test": _worse_test,
    "pregnant": _pregnant,
    "likelier": _likelier,
    "shorter": _shorter,
    "no image": _no_image,
    "clearance lost": _clearance_lost,
    "nobody beside": _nobody_beside,
}


_CLEARED = {"modalities": ["plate", "resistance"], "by": "clinic", "on": "2026-01-01"}
_FREE = {**_CLEARED, "until": "2026-12-31", "limits": "none"}
_STEROID = {"answer": "yes", "mg_per_day": 30, "months": 6}
_DENOSUMAB = {"answer": "yes", "kind": "denosumab", "last_dose_on": "2026-01-10"}
_BROKEN = {"site": "hip", "date": "2020-01-01"}
#: What must be there to be made worse, laid over the document at random.
RIPE: dict[str, Document] = {
    "fracture undated": {"fractures": [{**_BROKEN, "healed": "unknown"}]},
    "fracture of a year": {"fractures": [{**_BROKEN, "healed": "yes"}]},
    "steroid dose unknown": {"medicines": {"glucocorticoid": _STEROID}},
    "steroid dose told": {"medicines": {"glucocorticoid": "yes"}},
    "denosumab": {"medicines": {"bone_medicine": _DENOSUMAB}},
    "frame": {"person": {"mobility": "independent"}},
    "limits": {"conditions": {"other_metalwork": {"answer": "yes", "cleared": _FREE}}},
    "less healed": {"fractures": [{**_BROKEN, "healed": "yes"}]},
    "low trauma": {"fractures": [{**_BROKEN, "low_trauma": "no", "healed": "yes"}]},
    "nobody beside": {"resources": {"supervised": "yes"}, "falls": {"last_12_months": 2}},
    "no image": {"spine_image": {"answer": "yes", "on": "2026-01-01"}},
    "clearance lost": {
        "conditions": {
            "stones": {"answer": "yes", "cleared": {**_CLEARED, "until": "2026-12-31"}},
            "hernia": {"answer": "yes", "cleared": {**_CLEARED, "until": "2026-12-31"}},
        }
    },
}


def made_worse(document: Document, name: str, draw: st.DrawFn) -> Document | None:
    """Return the document with one fact worse, or None where it has no such fact."""
    worse = deepcopy(document)
    return worse if CHANGES[name](worse, draw) else None
