"""What a plate is fit for in the hands of one person, and how its settings are put."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from patients.facts.declared_plate import Plate
from programs.dose.clinic_limits import clinic
from programs.dose.in_force import Clinic
from programs.dose.in_force import Setting as ClinicSetting
from programs.dose.plate_settings import Setting
from programs.dose.plate_start import Fit
from programs.dose.vibration import PEAK_TO_PEAK, Vibration, exposure
from programs.draft.resume import FRAGILE_CAP, Resume
from programs.plates.evidence import TRIALS, Direction
from programs.plates.evidence.trial import Agreement
from programs.plates.fit_for_person import BONE_DOSE, PlateSheet, person, plate_sheet
from programs.plates.in_words import frequency_words, motion_words, settings_in_words
from programs.plates.measured_motion import Measurement, known_plate
from safety.screen import screen
from tests.people import fracture, steady
from tests.programs.sample_plates import GENTLE, TILTING, VERTICAL, shown, span

ON = dt.date(2026, 2, 10)


def sheet(plate: Plate, *measured: Measurement, **changes: object) -> PlateSheet:
    who = person(screen(steady(**changes)))
    return plate_sheet(known_plate(plate, measured), who)


def verdicts(of: PlateSheet) -> list[Fit]:
    return [use.fit for use in of.uses]


FRAIL = {"person": {"born": "1941-05-02"}, "resources": {"watcher": "yes"}}


def test_three_kinds_of_plate_for_a_steady_person() -> None:
    fit, no = Fit.FIT, Fit.NOT_FIT
    assert verdicts(sheet(VERTICAL)) == [fit, fit, no]
    assert verdicts(sheet(TILTING)) == [fit, fit, no]
    assert verdicts(sheet(GENTLE)) == [fit, no, fit]


def test_each_use_has_its_setting_by_the_panel_and_its_reason() -> None:
    start, bone, gentle = sheet(VERTICAL).uses
    assert (start.panel, start.why) == (
        "25 Hz and 1 mm (peak to peak)",
        ("Starts at 25 Hz and 1 mm peak to peak: 1.26 g peak.",),
    )
    assert bone.panel == "40 Hz and 1 mm (peak to peak)"
    assert bone.why[0] == "Week 17 reaches 40 Hz and 1 mm peak to peak: 3.22 g peak."
    assert "Clin Interv Aging 2013;8:1603" in bone.why[1]
    assert (gentle.at, gentle.panel) == (None, "")
    assert gentle.why[1] == "Its gentlest setting is 0.81 g."


def test_the_low_magnitude_plate_says_plainly_that_density_did_not_gain() -> None:
    _, bone, gentle = sheet(GENTLE).uses
    for use in (bone, gentle):
        assert any("found no gain in density (Leung 2014" in why for why in use.why)
    assert gentle.panel == "30 Hz"


def test_the_bone_dose_is_that_of_listed_trials_that_found_a_gain() -> None:
    """Lai 2013 prints 3.2 g; Gusi 2006 at 12.6 Hz and 3 mm gives 0.96 g."""
    by_key = {trial.key: trial for trial in TRIALS}
    lai, gusi = by_key["lai_2013"], by_key["gusi_2006"]
    assert BONE_DOSE["vertical"].peak_g == lai.printed[0].g
    meant = Vibration.shown(gusi.printed[0].hz, 3, reads_as=PEAK_TO_PEAK)
    assert meant.peak_g == pytest.approx(0.96, abs=0.005)
    assert BONE_DOSE["side_alternating"].peak_g == 0.95
    for trial in (lai, gusi):
        assert any(o.direction is Direction.BETTER for o in trial.outcomes)
    gentler = [
        trial.key
        for trial in TRIALS
        for printed in trial.printed
        if trial.motions == ("vertical",)
        and any(o.direction is Direction.BETTER and o.measure == "density" for o in trial.outcomes)
        and printed.agreement is not Agreement.NEITHER
        and (printed.g or 9) < 3.2
    ]
    assert gentler == []


def test_a_plate_that_stays_under_the_bone_dose_is_not_fit_for_it() -> None:
    weak = replace(VERTICAL, frequency_hz=span(25, 30))
    bone = sheet(weak).uses[1]
    assert bone.fit is Fit.NOT_FIT
    assert bone.why[-1].startswith("That is under 3.2 g")


def test_what_holds_her_and_not_the_plate_is_a_hold() -> None:
    frail = sheet(VERTICAL, **FRAIL)
    assert verdicts(frail) == [Fit.FIT, Fit.ON_HOLD, Fit.NOT_FIT]
    assert frail.uses[0].panel == "22 Hz and 1 mm (peak to peak)"
    assert frail.uses[1].why[0].startswith("Held to 1 g")
    sore = sheet(VERTICAL, conditions={"chronic_back_pain": "yes"})
    assert sore.uses[1].fit is Fit.ON_HOLD
    assert sore.uses[1].why[0].startswith("A precaution keeps the plate at its start dose")
    assert [stay.weeks for stay in sore.stays] == ["1 to 26"]
    assert sore.stays[0].allowed == ("1 mm (panel 1): 20 to 25 Hz",)


def test_a_review_lifts_the_cap() -> None:
    resume = Resume(lifted=frozenset({FRAGILE_CAP}))
    who = person(screen(steady(**FRAIL), lifted=resume.lifted), resume)
    assert who.cap_g is None
    assert not who.only_bouts_rise
    assert plate_sheet(known_plate(VERTICAL), who).uses[1].fit is Fit.FIT


@pytest.mark.parametrize(("cap_g", "top"), [(1.0, 0.97), (1.5, 1.47), (2.0, 1.93)])
def test_a_cap_that_reviews_have_lifted_a_step_holds_every_week(cap_g: float, top: float) -> None:
    """Row 14: under 1.5 and 2 g row 13's ramp goes on, no step past the cap."""
    who = replace(person(screen(steady(**FRAIL))), cap_g=cap_g)
    found = plate_sheet(known_plate(VERTICAL), who)
    assert who.only_bouts_rise == (cap_g == 1.0)
    assert max(step.setting.peak_g for step in found.steps) == pytest.approx(top, abs=0.005)
    assert found.uses[1].why[0] == f"Held to {cap_g:g} g until a review without problems lifts it."


def test_a_rise_that_is_due_in_a_steady_week_comes_a_week_later() -> None:
    """Rows 13 and 25; a clinic whose first rise is in week 4 waits for week 5."""
    usual = [stay.first for stay in sheet(VERTICAL).stays]
    assert usual == [1, 3, 5, 7, 9, 11, 13, 15, 17]
    own = Clinic(
        settings={
            "plate.first_rise_week": ClinicSetting(
                name="plate.first_rise_week", value=4, by="M. Ferro", on=ON
            )
        }
    )
    late = plate_sheet(known_plate(VERTICAL), person(screen(steady()), clinic=own))
    firsts = [stay.first for stay in late.stays]
    assert firsts[:3] == [1, 5, 7]
    assert not any(first % 4 == 0 for first in firsts)
    assert [step.place for step in late.steps] == list(range(1, 27))


def test_a_plate_that_cannot_be_started_on_has_no_ramp() -> None:
    strong = replace(VERTICAL, displacement_mm=shown(4.0))
    found = sheet(strong)
    assert verdicts(found) == [Fit.NOT_FIT] * 3
    assert found.uses[1].why == ("It cannot be started on yet.",)
    assert (found.steps, found.stays, found.uses[0].at) == ((), (), None)
    unknown = sheet(replace(VERTICAL, frequency_hz=None, displacement_mm=None))
    assert verdicts(unknown) == [Fit.ON_HOLD, Fit.ON_HOLD, Fit.NOT_FIT]
    assert len(unknown.uses[2].why) == 1
    assert unknown.allowed == ()


def test_the_screen_bars_every_use() -> None:
    found = sheet(VERTICAL, conditions={"bone_tumour": "yes"})
    assert verdicts(found) == [Fit.NOT_FIT] * 3
    assert found.uses[0].why[0].startswith("The screen bars the plate")
    assert found.uses[0].panel == ""


def test_the_screen_holds_what_would_be_fit() -> None:
    found = sheet(VERTICAL, conditions={"stones": "yes"})
    assert verdicts(found) == [Fit.ON_HOLD, Fit.ON_HOLD, Fit.NOT_FIT]
    assert found.uses[0].why[0].startswith("The screen holds the plate")
    assert found.uses[2].why[-1].startswith("The screen holds the plate")
    assert found.uses[0].panel == "25 Hz and 1 mm (peak to peak)"


def test_a_red_flag_holds_every_plate() -> None:
    who = person(screen(steady(symptoms={"chest_pain": "yes"})))
    assert who.blocked
    found = plate_sheet(known_plate(VERTICAL), who)
    assert Fit.FIT not in verdicts(found)
    assert found.uses[0].why[0].startswith("Nothing may be issued")


def test_what_is_not_recorded_of_her_is_not_known() -> None:
    who = person(screen(steady(resources=None)))
    assert (who.support_rail, who.watched) == (None, None)


def test_stays_cover_all_weeks_and_carry_their_exposure() -> None:
    found = sheet(VERTICAL)
    assert [stay.first for stay in found.stays][:2] == [1, 3]
    assert found.stays[-1].last == 26
    for before, after in zip(found.stays, found.stays[1:], strict=False):
        assert after.first == before.last + 1
        assert after.step.changed
    first = found.stays[0]
    assert first.exposure == exposure(Vibration(frequency_hz=25, displacement_mm=1), seconds=120)
    gentle = sheet(GENTLE).stays[-1]
    # 0.3 g at 30 Hz for 20 min: A(8) 0.181, VDV of the sinusoid 5.8 (by the formula).
    assert gentle.exposure.a8_m_s2 == pytest.approx(0.181, abs=5e-4)
    assert gentle.exposure.vdv_m_s175 == pytest.approx(5.8, abs=0.05)
    one = replace(found.stays[0], last=1)
    assert one.weeks == "1"


def test_settings_allowed_at_each_step() -> None:
    found = sheet(VERTICAL)
    assert found.stays[0].allowed == (
        "1 mm (panel 1): 20 to 30 Hz",
        "2 mm (panel 2): 20 to 21 Hz",
    )
    assert found.allowed[0] == "1 mm (panel 1): 20 to 40 Hz"
    assert sheet(GENTLE).allowed == ("30 to 37 Hz",)


def test_a_measured_plate_is_judged_as_it_moves_and_set_by_its_panel() -> None:
    measured = Measurement(on=ON, load_kg=68, set_hz=30, set_mm=1.0, hz=27, mm=1.2)
    found = sheet(VERTICAL, measured)
    assert found.uses[0].panel == "28 Hz and 1 mm"
    assert found.uses[0].why == ("Starts at 25.2 Hz and 1.2 mm peak to peak: 1.53 g peak.",)
    assert found.stays[0].panel_hz == 28
    assert found.stays[0].step.setting.panel == 1.0
    assert found.stays[0].allowed[0] == "1.2 mm (panel 1): 23 to 33 Hz"


def test_a_measured_peak_over_1_g_is_too_strong_for_the_frail() -> None:
    measured = Measurement(on=ON, load_kg=68, set_hz=30, set_mm=1.0, mm=1.6)
    assert sheet(VERTICAL, **FRAIL).uses[0].fit is Fit.FIT
    assert sheet(VERTICAL, measured, **FRAIL).uses[0].fit is Fit.NOT_FIT


def test_a_tilting_plate_without_settings_is_set_by_the_feet() -> None:
    plate = replace(TILTING, displacement_mm=None, foot_distance_mm=60, tilt_degrees=1.19)
    assert sheet(plate).uses[0].panel == "12 Hz, feet 60 mm from the axis"


def test_the_clinics_own_ceiling_holds() -> None:
    own = clinic([ClinicSetting(name="plate.top_g", value=1.0, by="M. Ferro", on=ON)])
    who = person(screen(steady()), clinic=own)
    found = plate_sheet(known_plate(VERTICAL), who)
    assert max(step.setting.peak_g for step in found.steps) <= 1.0
    assert found.uses[1].fit is Fit.NOT_FIT


def test_a_vertebral_fracture_shows_among_the_findings() -> None:
    who = person(screen(steady(fractures=[fracture("vertebra", "2024-06-01")])))
    assert (who.cap_g, who.watch, who.only_bouts_rise) == (1.0, True, True)
    assert any("ertebral fracture" in one.text for one in who.findings)


# --- Words ----------------------------------------------------------------------------------


def test_frequencies_in_words() -> None:
    assert frequency_words(VERTICAL) == "20 to 50 Hz by 1"
    assert frequency_words(replace(VERTICAL, frequency_hz=span(30, 30))) == "30 Hz"
    assert frequency_words(replace(VERTICAL, frequency_hz=None)) == ""


def test_motion_in_words() -> None:
    assert motion_words(VERTICAL) == "1, 2, 4 mm (peak to peak)"
    unread = replace(VERTICAL, displacement_mm=shown(1.5, reads_as=None))
    assert motion_words(unread) == "1.5 mm (reading not recorded)"
    assert motion_words(replace(GENTLE, g_reads_as="peak")) == "0.3 g (peak)"
    assert motion_words(GENTLE) == "0.3 g (kind of g not recorded)"
    assert motion_words(replace(GENTLE, fixed_g=None)) == ""
    bare = replace(TILTING, displacement_mm=None)
    assert motion_words(bare) == ""
    tilt = replace(bare, tilt_degrees=1.19, foot_distance_mm=60)
    assert motion_words(tilt) == "tilt 1.19°, foot 60 mm from the axis"
    assert motion_words(replace(bare, tilt_degrees=1.19)) == ""


def test_gaps_between_frequencies_are_seen() -> None:
    def at(hz: float, mm: float) -> Setting:
        return Setting(frequency_hz=hz, displacement_mm=mm, panel=None, peak_g=1)

    found = [at(20, 1), at(21, 1), at(23, 1), at(20, 2)]
    assert settings_in_words(found, (20, 21, 22, 23)) == ("1 mm: 20 to 21, 23 Hz", "2 mm: 20 Hz")
