"""The Bundle of a person: each row in its place, and nothing that a checker refuses."""

from __future__ import annotations

import json
from typing import Any

import pytest

from patients.facts.codes import CONDITIONS, MARKER_UNITS, MARKERS, SCAN_SITES
from programs.export.document import text_of
from programs.export.fhir.bundle import bundle
from programs.signed import snapshot
from tests.people import steady
from tests.programs.export.fhir.samples import (
    AT,
    STRUCK,
    broken,
    day_of_tests,
    held,
    marker,
    of,
    person,
    scan,
    signed,
    size,
    state,
    whole,
)
from tests.programs.sample_papers import snapshot_of

# --- The rows of known faults ----------------------------------------------------------------


def test_m01_a_day_is_a_date_without_a_time_wherever_the_server_is(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("TZ", "Asia/Tokyo")
    (t, bmd) = of(bundle(held(density_scans=(scan(bmd_g_cm2="0.681"),)), None), "Observation")
    assert t["effectiveDateTime"] == bmd["effectiveDateTime"] == "2005-06-30"


def test_m03_units_are_ucum_nothing_is_null_and_the_category_is_right() -> None:
    made = bundle(
        held(
            heights_and_weights=(size(),),
            density_scans=(scan(t=None),),
            bone_markers=(marker(),),
            function_tests=(day_of_tests(up_and_go_s="8.4", resting_bp=[126, 76]),),
        ),
        steady(probability_10y={"hip_percent": 3}),
    )
    told = {
        one["code"]["text"]: (one["category"][0]["coding"][0]["code"], _unit(one))
        for one in of(made, "Observation")
    }
    assert told == {
        "Height": ("vital-signs", "cm"),
        "Weight": ("vital-signs", "kg"),
        "DXA density (BMD), left total hip": ("imaging", "g/cm2"),
        "CTX in blood": ("laboratory", "ng/L"),
        "Timed Up and Go": ("exam", "s"),
        "Blood pressure, resting": ("vital-signs", "mm[Hg]"),
        "Ten-year probability of a hip fracture": ("survey", "%"),
    }
    assert "null" not in json.dumps(made)


def _unit(one: Any) -> str:
    held = one.get("valueQuantity") or one["component"][0]["valueQuantity"]
    return str(held["code"])


def test_m05_exported_twice_it_is_the_same_to_the_byte() -> None:
    assert text_of(whole()) == text_of(whole())


def test_m05_a_new_row_changes_no_id_of_what_was_there() -> None:
    before = {entry["fullUrl"] for entry in bundle(held(density_scans=(scan(),)), None)["entry"]}
    after = bundle(held(density_scans=(scan(), scan(date="2026-01-20"))), None)["entry"]
    assert before < {entry["fullUrl"] for entry in after}


# --- What each is made into ------------------------------------------------------------------


def test_who_she_is() -> None:
    (who,) = of(bundle(held(), None), "Patient")
    assert (who["gender"], who["birthDate"]) == ("female", "1959-08-14")
    assert who["name"] == [{"family": "Testwick", "given": ["Orla"]}]
    assert [one["value"] for one in who["identifier"]] == ["3", "T3"]
    assert {"link", "active", "deceasedDateTime"} & who.keys() == set()


def test_no_more_of_her_birth_is_told_than_is_known_and_no_number_that_she_has_not() -> None:
    (who,) = of(bundle(held(person(born_is="year", record_number="")), None), "Patient")
    assert who["birthDate"] == "1959"
    assert [one["value"] for one in who["identifier"]] == ["3"]


def test_a_record_under_hers_is_replaced_by_hers_and_keeps_its_rows() -> None:
    document = held(
        person(), person(id=4, given_name="Orlagh"), density_scans=(scan(patient_id=4),)
    )
    made = bundle(document, None)
    hers, other = of(made, "Patient")
    assert hers["link"][0] == {
        "other": {"reference": f"urn:uuid:{other['id']}"},
        "type": "replaces",
    }
    assert other["link"][0]["type"] == "replaced-by"
    assert other["active"] is False
    assert {one["subject"]["reference"] for one in of(made, "Observation")} == {
        f"urn:uuid:{other['id']}"
    }


def test_the_day_of_her_death() -> None:
    died = {"what": "died", "on": "2026-05-03"}
    (who,) = of(bundle(held(closings=(died,)), None), "Patient")
    assert who["deceasedDateTime"] == "2026-05-03"
    opened = {"what": "opened", "on": "2026-05-04"}
    (who,) = of(bundle(held(closings=(died, opened)), None), "Patient")
    assert "deceasedDateTime" not in who
    (who,) = of(bundle(held(closings=(died | {"patient_id": 4},)), None), "Patient")
    assert "deceasedDateTime" not in who


def codes(one: Any) -> list[str]:
    return [coded["code"] for coded in one["code"]["coding"]]


def test_a_standard_code_stands_only_for_exactly_what_was_measured() -> None:
    places = [
        ("total_hip", "left"),
        ("total_hip", "right"),
        ("total_hip", ""),
        ("femoral_neck", "left"),
    ]
    rows = tuple(scan(site=site, side=side, t=None) for site, side in places)
    told = of(bundle(held(density_scans=rows), None), "Observation")
    assert [codes(one) for one in told] == [
        ["46278-8", "dxa.total_hip.bmd_g_cm2"],
        ["dxa.total_hip.bmd_g_cm2"],
        ["dxa.total_hip.bmd_g_cm2"],
        ["dxa.femoral_neck.bmd_g_cm2"],
    ]
    assert [one["bodySite"]["text"] for one in told] == [
        *("left total hip", "right total hip", "total hip", "left femoral neck"),
    ]


def test_a_scan_keeps_its_vertebrae_and_scanner() -> None:
    row = scan(site="lumbar_spine", side="", vertebrae="L1-L4", scanner="A", bmd_g_cm2=None)
    (one,) = of(bundle(held(density_scans=(row,)), None), "Observation")
    assert [note["text"] for note in one["note"]] == ["Vertebrae L1-L4", "Scanner A"]
    assert one["valueQuantity"]["value"] == -2.1


@pytest.mark.parametrize("site", SCAN_SITES)
@pytest.mark.parametrize("side", ["left", "right", ""])
def test_every_site_is_told(site: str, side: str) -> None:
    row = scan(site=site, side=side, z="-0.6")
    assert len(of(bundle(held(density_scans=(row,)), None), "Observation")) == 3


@pytest.mark.parametrize("unit", MARKER_UNITS)
@pytest.mark.parametrize("which", MARKERS)
def test_every_marker_in_every_unit(which: str, unit: str) -> None:
    row = marker(marker=which, unit=unit, fasting_morning=None)
    (one,) = of(bundle(held(bone_markers=(row,)), None), "Observation")
    assert one["valueQuantity"]["code"] == unit
    assert "note" not in one


@pytest.mark.parametrize(
    ("fasting", "words"), [(True, "Fasting, before 10 in the morning"), (False, "Not fasting")]
)
def test_whether_she_was_fasting(fasting: bool, words: str) -> None:
    made = bundle(held(bone_markers=(marker(fasting_morning=fasting),)), None)
    assert of(made, "Observation")[0]["note"] == [{"text": words}]


def test_a_test_that_was_not_possible_has_no_value_but_why() -> None:
    made = bundle(held(function_tests=(day_of_tests(unable=["one_leg_s"], grip_kg="21.0"),)), None)
    able, unable = of(made, "Observation")
    assert able["valueQuantity"]["value"] == 21
    assert unable["dataAbsentReason"] == {"text": "Attempted, not possible"}


def test_a_pressure_has_its_two_parts_and_how_it_was_taken() -> None:
    row = day_of_tests(resting_bp=[132, 78], standing_bp=[110, 70])
    resting, standing = of(bundle(held(function_tests=(row,)), None), "Observation")
    assert resting["id"] != standing["id"]
    assert standing["code"]["text"] == "Blood pressure, after standing up"
    assert [one["valueQuantity"]["value"] for one in standing["component"]] == [110, 70]


def test_what_was_struck_out_is_told_to_be_wrong() -> None:
    made = bundle(
        held(heights_and_weights=(size(weight_kg=None, **STRUCK),), fractures=(broken(**STRUCK),)),
        None,
    )
    (one,) = of(made, "Observation")
    assert one["status"] == "entered-in-error"
    assert one["note"] == [{"text": "Struck out: Of another person"}]
    (bone,) = of(made, "Condition")
    assert bone["verificationStatus"]["coding"][0]["code"] == "entered-in-error"
    assert "clinicalStatus" not in bone


@pytest.mark.parametrize(("healed", "status"), [(True, "resolved"), (False, "active"), (None, "")])
def test_a_broken_bone(healed: bool | None, status: str) -> None:
    (bone,) = of(bundle(held(fractures=(broken(healed=healed),)), None), "Condition")
    assert bone.get("clinicalStatus", {}).get("text", "") == status
    assert bone["onsetDateTime"] == "2019-05"
    assert bone["recordedDate"] == AT
    assert bone["note"] == [{"text": "Low trauma"}]


def test_a_broken_bone_of_which_nothing_more_is_known() -> None:
    row = broken(date=None, low_trauma=None, atypical=True)
    (bone,) = of(bundle(held(fractures=(row,)), None), "Condition")
    assert "onsetDateTime" not in bone
    assert bone["note"] == [{"text": "Atypical"}]


def test_only_what_was_answered_yes_is_a_condition() -> None:
    answers = {
        "otherwise": "no",
        "heart_failure": {"answer": "yes", "degree": "mild", "on": "2020"},
        "recent_surgery": {"answer": "yes", "on": "2026-01-05"},
        "kidney_disease": "yes",
    }
    made = bundle(held(), steady(conditions=answers))
    told = {codes(one)[0]: one for one in of(made, "Condition")}
    assert {*told} == {
        "condition.heart_failure",
        "condition.recent_surgery",
        "condition.kidney_disease",
    }
    failure = told["condition.heart_failure"]
    assert failure["code"]["text"] == CONDITIONS["heart_failure"]
    assert failure["clinicalStatus"]["text"] == "active"
    assert failure["severity"] == {"text": "mild"}
    assert failure["onsetDateTime"] == "2020"
    assert failure["recordedDate"] == "2026-03-02"
    assert "clinicalStatus" not in told["condition.recent_surgery"]
    assert "onsetDateTime" not in told["condition.kidney_disease"]


def test_what_was_never_asked_is_in_no_bundle() -> None:
    made = bundle(held(), steady(conditions=None, medicines=None, probability_10y=None))
    assert [entry["resource"]["resourceType"] for entry in made["entry"]] == ["Patient"]


def test_a_medicine_for_bone() -> None:
    taken = {"answer": "yes", "kind": "denosumab", "since": "2024-01", "last_dose_on": "2026-01-12"}
    made = bundle(held(), steady(medicines={"otherwise": "no", "bone_medicine": taken}))
    (one,) = of(made, "MedicationStatement")
    assert one["medicationCodeableConcept"]["text"] == "Medicine for bone: denosumab"
    assert one["status"] == "active"
    assert one["effectivePeriod"] == {"start": "2024-01"}
    assert one["note"] == [{"text": "Last dose 2026-01-12"}]
    stopped = steady(medicines={"otherwise": "no", "bone_medicine": taken | {"stopped": "yes"}})
    assert of(bundle(held(), stopped), "MedicationStatement")[0]["status"] == "stopped"


def test_a_medicine_with_its_dose() -> None:
    taken = {"answer": "yes", "mg_per_day": 7.5, "months": 6}
    made = bundle(held(), steady(medicines={"otherwise": "no", "glucocorticoid": taken}))
    (one,) = of(made, "MedicationStatement")
    assert one["dosage"] == [{"text": "7.5 mg a day"}]
    assert one["note"] == [{"text": "For 6 months"}]
    assert "effectivePeriod" not in one


@pytest.mark.parametrize(
    ("states", "status", "activity"),
    [
        (("in force",), "active", "in-progress"),
        (("in force", "stopped"), "revoked", "stopped"),
        (("in force", "replaced"), "revoked", "stopped"),
        (("in force", "ended"), "completed", "completed"),
        ((), "unknown", "unknown"),
    ],
)
def test_a_program_by_its_state(states: tuple[str, ...], status: str, activity: str) -> None:
    document = held(signed_programs=(signed(),), program_states=tuple(state(one) for one in states))
    (plan,) = of(bundle(document, None), "CarePlan")
    assert plan["status"] == status
    assert {one["detail"]["status"] for one in plan["activity"]} == {activity}
    assert plan["period"] == {"start": "2026-03-02", "end": "2026-09-27"}


def test_a_program_of_which_one_kind_was_stopped() -> None:
    document = held(
        signed_programs=(signed(),),
        program_states=(state("in force"), state("stopped", modality="impact")),
    )
    (plan,) = of(bundle(document, None), "CarePlan")
    assert plan["status"] == "active"
    stopped = [one["detail"] for one in plan["activity"] if one["detail"]["status"] == "stopped"]
    assert [one["code"]["coding"][0]["code"] for one in stopped] == ["modality.impact"]


def test_what_is_done_in_which_weeks_and_on_which_days() -> None:
    (plan,) = of(bundle(held(signed_programs=(signed(),)), None), "CarePlan")
    details = {one["detail"]["code"]["text"]: one["detail"] for one in plan["activity"]}
    assert details["Balance"]["description"].startswith("Weeks 1 to ")
    assert "; Wednesday: " in plan["description"]
    assert plan["description"].startswith("Monday: ")


def test_a_week_of_its_own_and_a_kind_that_begins_later() -> None:
    body = snapshot_of(replaces=None)
    body["weeks"][0]["balance"] = None
    body["weeks"][1]["balance"]["minutes"] += 1
    text = snapshot.canonical(body)
    row = signed(body=text, digest=snapshot.digest_of(text))
    (plan,) = of(bundle(held(signed_programs=(row,)), None), "CarePlan")
    details = {one["detail"]["code"]["text"]: one["detail"] for one in plan["activity"]}
    assert details["Balance"]["description"].startswith("Week 2: ")


def test_what_was_left_out_of_a_program_is_told_with_its_reason() -> None:
    text = snapshot.canonical(snapshot_of(replaces=None, left_out={"impact": "Her knee."}))
    row = signed(body=text, digest=snapshot.digest_of(text))
    (plan,) = of(bundle(held(signed_programs=(row,)), None), "CarePlan")
    assert plan["note"][1]["text"].endswith(" was left out: Her knee.")


def test_who_signed_when_and_with_which_digest() -> None:
    document = held(signed_programs=(signed(1), signed(2)))
    made = bundle(document, None)
    first, second = of(made, "Provenance")
    assert first["agent"] == [{"who": {"display": "Marta Ferro"}}]
    assert first["recorded"] == first["signature"][0]["when"] == AT
    digest = document["tables"]["signed_programs"][0]["digest"]
    assert first["entity"][0]["what"]["identifier"]["value"] == digest
    # No key signed it, so there is nothing that a receiver could take for a signature's bytes.
    assert "data" not in first["signature"][0]
    old, new = of(made, "CarePlan")
    assert second["target"] == [{"reference": f"urn:uuid:{new['id']}"}]
    assert new["replaces"] == [{"reference": f"urn:uuid:{old['id']}"}]


def test_a_text_that_is_not_what_was_signed_is_in_no_bundle() -> None:
    document = held(signed_programs=(signed(),), holds=False)
    assert of(bundle(document, None), "CarePlan") == []
    unreadable = held(signed_programs=(signed(body="{}", digest=snapshot.digest_of("{}")),))
    assert of(bundle(unreadable, None), "Provenance") == []


def test_of_somebody_of_whom_nothing_is_known_there_is_her_name_alone() -> None:
    assert len(bundle(held(), None)["entry"]) == 1
