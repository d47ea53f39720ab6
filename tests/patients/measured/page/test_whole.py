import datetime as dt

import pytest

from patients.facts.declared import Scan
from patients.facts.declared import Tests as Taken
from patients.measured.chart import Mark
from patients.measured.page.density import density_blocks, least_of
from patients.measured.page.function import function_page
from patients.measured.page.markers import marker_blocks
from patients.measured.page.whole import Beside, bone_medicine_mark, measures_page
from patients.measured.page.words import after, density_change, density_sentence, lsc_words, signed
from patients.measured.page.worry import worry_block
from patients.measured.turnover import laboratory_lsc
from patients.measured.worry import Answered
from patients.scanners.precision import CLINIC_SOURCE, DEFAULT_SOURCE, Change, Lsc, lsc
from tests.people import fracture, steady

ERRORS = {"room 2": {"total_hip": 0.010}}


def scan(on, bmd, scanner="Room 2", site="total_hip", t=None):
    return Scan(date=dt.date.fromisoformat(on), site=site, bmd_g_cm2=bmd, scanner=scanner, t=t)


def blocks(*scans, parts=(), errors=None, marks=()):
    return density_blocks(scans, parts or ["left"] * len(scans), errors or {}, marks)


class TestWords:
    @pytest.mark.parametrize(
        ("value", "shown"), [(0.04, "0.0"), (-0.04, "0.0"), (1.25, "+1.3"), (-1.25, "−1.3")]
    )
    def test_signs(self, value, shown):
        assert signed(value, 1) == shown

    def test_common_practice_a_hip_gain_of_1_5_percent_after_six_months(self):
        """Common practice: it lies within the error of the scan; the page says so."""
        (block,) = blocks(scan("2025-01-10", 0.700), scan("2025-07-10", 0.7105))
        assert block.sentences == (
            "Since 10 Jan 2025: a gain of 1.5 % after 6 months lies within the error of the scan "
            "(5.0 %). Density is first looked at after 12 months.",
        )

    def test_a_loss_that_passes(self):
        found = Change("loss", (), (), 800, -0.05, -6.25, -2.85, 0.028)
        assert density_sentence(found) == (
            "a loss of 6.3 % after 2.2 years passes the error of the scan (3.5 %)."
        )

    def test_sizes_that_round_alike_are_told_apart(self):
        found = Change("within_error", (), (), 800, 0.03496, 4.994, 2.2, 0.035)
        assert "a gain of 4.99 %" in density_sentence(found)

    def test_no_change(self):
        found = Change("within_error", (), (), 400, 0.0, 0.0, 0.0, 0.028)
        assert density_sentence(found) == (
            "no change after 13 months lies within the error of the scan (0.028 g/cm²)."
        )

    def test_not_comparable(self):
        found = Change("not_comparable", ("The sides differ.",), (), 400)
        assert density_sentence(found) == "not comparable. The sides differ."
        assert density_change(found) == ""

    def test_change_in_grams_percent_and_a_year(self):
        found = Change("gain", (), (), 731, 0.028, 4.0, 2.0, 0.028)
        assert density_change(found) == "+0.028 g/cm², +4.0 %, +2.0 % (+0.014 g/cm²) a year"
        same_day = Change("gain", (), (), 0, 0.028, 4.0, None, 0.028)
        assert density_change(same_day) == "+0.028 g/cm², +4.0 %"

    @pytest.mark.parametrize(
        ("days", "words"),
        [
            (1, "after 1 day"),
            (59, "after 59 days"),
            (60, "after 2 months"),
            (715, "after 23 months"),
            (731, "after 2.0 years"),
        ],
    )
    def test_spans(self, days, words):
        assert after(days) == words

    def test_whose_error(self):
        assert (
            lsc_words(lsc("total_hip")) == f"A change counts from 5.0 % (95 %): {DEFAULT_SOURCE}."
        )
        own = Lsc(CLINIC_SOURCE, g_cm2=0.031)
        assert lsc_words(own) == f"A change counts from 0.031 g/cm² (95 %): {CLINIC_SOURCE}."
        assert "no verdict" in lsc_words(None)


class TestDensity:
    def test_the_scanner_s_own_error_is_used_whatever_its_capitals(self):
        assert least_of(scan("2025-01-01", 0.7, "ROOM 2 "), ERRORS).source == CLINIC_SOURCE
        assert least_of(scan("2025-01-01", 0.7, None), ERRORS).source == DEFAULT_SOURCE
        assert least_of(scan("2025-01-01", 0.7, site="femoral_neck"), ERRORS).percent

    def test_rows_newest_first(self):
        scans = [
            scan("2022-01-01", 0.70),
            scan("2023-01-01", 0.71),
            scan("2024-01-01", 0.73, t=-1.8),
        ]
        (block,) = blocks(*scans, errors=ERRORS)
        assert [row.bmd for row in block.rows] == ["0.730", "0.710", "0.700"]
        assert [row.t for row in block.rows] == ["−1.8", "–", "–"]
        assert [row.is_baseline_the_last for row in block.rows] == [False, True, True]
        assert block.rows[0].against_baseline.verdict == "gain"
        assert block.rows[0].against_last.verdict == "within the error"
        assert block.rows[2].against_last is None
        assert len(block.sentences) == 2
        assert block.is_clinics
        assert not block.has_hollow

    def test_one_scan_shows_no_change_and_says_so(self):
        (block,) = blocks(scan("2022-01-01", 0.7))
        assert block.sentences == (
            "One scan so far. A change can be judged once there is a second.",
        )
        assert block.cautions == ()
        assert block.picture == ""
        assert block.chances

    def test_sides_not_recorded_are_said(self):
        (block,) = blocks(scan("2022-01-01", 0.7), scan("2024-01-01", 0.7), parts=["", ""])
        assert "sides must be the same" in block.cautions[0]

    def test_another_scanner_gives_no_verdict_and_no_percent(self):
        (block,) = blocks(scan("2022-01-01", 0.7, "old"), scan("2024-01-01", 0.8))
        assert block.has_hollow
        assert block.rows[0].against_baseline.text == ""
        assert "two different scanners" in block.rows[0].against_baseline.reasons[0]

    def test_a_site_without_an_error_has_no_look_and_no_verdict(self):
        radius = [scan(f"202{n}-01-01", 0.6, site="distal_third_radius") for n in (2, 4)]
        (block,) = blocks(*radius)
        assert (block.chances, block.chance_picture) == ((), "")
        assert block.rows[0].against_last.verdict == "not comparable"
        assert "no verdict" in block.error

    def test_marks_are_drawn(self):
        scans = scan("2022-01-01", 0.7), scan("2023-01-01", 0.7)
        (block,) = blocks(*scans, marks=[Mark(dt.date(2022, 2, 1), "signed")])
        assert block.picture.startswith("<svg")
        assert "signed" in block.picture

    def test_sites_in_their_order(self):
        sites = ("femoral_neck", "lumbar_spine")
        found = blocks(*(scan("2022-01-01", 0.7, site=site) for site in sites))
        assert [block.site for block in found] == ["lumbar_spine", "femoral_neck"]


def sample(on, value, unit="ng/L", marker="ctx"):
    return {"date": on, "marker": marker, "value": value, "unit": unit, "fasting_morning": "yes"}


class TestMarkers:
    def test_a_fall_beyond_the_error(self):
        taken = [sample("2025-01-01", 500), sample("2025-08-01", 0.21, "ng/mL")]
        (block,) = marker_blocks(steady(turnover=taken), {})
        newest, first = block.rows
        assert (newest.value, newest.against_first.verdict) == ("0.21 ng/mL", "fall")
        assert newest.against_last.text == "−58 %"
        assert newest.place == "within"
        assert first.against_first is None
        assert (
            block.usual
            == "Usual: 124 to 1020 ng/L (J Bone Metab 2020;27(1), women in Korea, fasting)."
        )
        assert "more than 56 %" in block.error

    def test_units_that_measure_different_things(self):
        taken = [
            sample("2025-01-01", 20, "U/L", "bone_alp"),
            sample("2025-08-01", 9, "ug/L", "bone_alp"),
        ]
        (block,) = marker_blocks(steady(turnover=taken), {})
        assert block.rows[0].against_last.text == ""
        assert block.rows[0].against_last.verdict == "not comparable"
        assert block.usual == ""
        assert block.rows[0].place == ""

    def test_a_unit_that_fits_no_usual_range_has_no_place(self):
        (block,) = marker_blocks(steady(turnover=[sample("2025-01-01", 20, "U/L")]), {})
        assert block.rows[0].place == ""

    def test_a_percent_that_rounds_to_the_lsc_shows_more(self):
        """P1NP 60 to 37 falls by 38.3 %, more than 38 % (IOF and ECTS, PMC5302161)."""
        taken = [sample(f"2025-0{n + 1}-01", v, "ug/L", "p1np") for n, v in enumerate((60, 37, 38))]
        (block,) = marker_blocks(steady(turnover=taken), {})
        held = [row.against_first for row in block.rows[:2]]
        assert [(one.verdict, one.text) for one in held] == [
            ("within the error", "−37 %"),
            ("fall", "−38.3 %"),
        ]

    def test_a_fall_of_the_lsc_itself_is_shown_short(self):
        """CTX 0.50 to 0.22 ng/mL is 56 %, not "more than 56 %" (IOF and ECTS, PMC5302161)."""
        taken = [sample(f"2025-0{n}-01", v, "ng/mL") for n, v in ((1, 0.5), (8, 0.22))]
        (block,) = marker_blocks(steady(turnover=taken), {})
        held = block.rows[0].against_first
        assert (held.verdict, held.text) == ("within the error", "−56 %")

    def test_one_sample_has_no_picture(self):
        (block,) = marker_blocks(steady(turnover=[sample("2025-01-01", 500)]), {})
        assert block.picture == ""

    def test_none(self):
        assert marker_blocks(steady(), {}) == ()

    @pytest.mark.parametrize(("lsc", "word"), [(57.9, "fall"), (58.0, "within the error")])
    def test_the_laboratory_s_own_lsc_goes_before_the_default(self, lsc, word):
        """500 to 210 is a fall of 58 % in the table, the picture and the sentence."""
        taken = [sample("2025-01-01", 500), sample("2025-08-01", 210)]
        own = {"ctx": laboratory_lsc("North", dt.date(2026, 1, 5), lsc)}
        (block,) = marker_blocks(steady(turnover=taken), own)
        assert block.rows[0].against_first.verdict == word
        assert block.error == (
            f"A change counts where it is more than {lsc:g} % (laboratory North, told 5 Jan 2026)."
        )

    def test_another_marker_s_own_lsc_changes_nothing(self):
        own = {"p1np": laboratory_lsc("North", dt.date(2026, 1, 5), 20.0)}
        (block,) = marker_blocks(steady(turnover=[sample("2025-01-01", 500)]), own)
        assert "more than 56 % (IOF and ECTS" in block.error
        assert "own figure would go before" in block.error


def taken(on, **results):
    return Taken(date=dt.date.fromisoformat(on), **results)


class TestFunction:
    def test_result_beside_cuts_norm_and_change(self):
        tests = [taken("2025-01-01", up_and_go_s=14.0), taken("2026-01-01", up_and_go_s=12.0)]
        (row,) = function_page(steady(), tests).rows
        assert (row.value, row.norm) == (
            "12.0 s",
            "8.1 s (Bohannon 2006, from memory, to be confirmed)",
        )
        assert [cut.met for cut in row.cuts] == [True, False, False, False]
        assert "12 s or more: at risk of falls (STEADI, CDC)" in row.cuts[0].words
        assert (row.change.verdict, row.change.text) == ("better", "−2.0 s")
        assert row.counts_from == "counts from 2\u00a0s"
        assert row.picture

    def test_a_rounded_result_on_the_wrong_side_shows_more(self):
        (row,) = function_page(steady(), [taken("2026-01-01", walk_4m_s=4.99)]).rows
        assert row.value == "0.80 m/s"
        (cut,) = row.cuts
        assert not cut.met
        assert "measured 0.802" in cut.words

    def test_the_newest_result_of_each_test_on_its_own_day(self):
        tests = [taken("2025-01-01", grip_kg=20, one_leg_s=5.0), taken("2026-01-01", grip_kg=21)]
        rows = {row.measure: row for row in function_page(steady(), tests).rows}
        assert rows["one_leg_s"].on == dt.date(2025, 1, 1)
        assert rows["one_leg_s"].picture == ""
        assert rows["one_leg_s"].change is None
        assert rows["one_leg_s"].counts_from == ""
        assert rows["grip_kg"].change_since == dt.date(2025, 1, 1)

    def test_a_range_of_chair_stands(self):
        (row,) = function_page(steady(), [taken("2026-01-01", chair_stands_30s=12)]).rows
        assert row.norm == "11 to 16 (STEADI, CDC; middle half)"

    def test_no_norm(self):
        (row,) = function_page(steady(), [taken("2026-01-01", grip_kg=12)]).rows
        assert row.norm == ""

    def test_sppb_worked_out(self):
        """8 of 12 (points and EWGSOP2's cut)."""
        stances = {"side_by_side_s": 10, "semi_tandem_s": 10, "tandem_s": 5}
        whole = taken("2026-01-01", **stances, walk_4m_s=5.0, five_stands_s=14.0)
        assert (
            function_page(steady(), [whole]).sppb == "balance 3 + gait 3 + chair 2 = 8 of 12, low."
        )
        part = taken("2026-01-01", **stances)
        assert function_page(steady(), [part]).sppb == (
            "balance 3 + gait ? + chair ?: no total, a part was not tested."
        )
        assert function_page(steady(), []).sppb == ""

    @pytest.mark.parametrize(
        ("resting", "standing", "said"),
        [
            # Orthostatic hypotension: a fall of 20 systolic or 10 diastolic.
            ((150, 80), (130, 75), "standing 130/75 mmHg: a fall that counts (20 systolic"),
            ((150, 80), (132, 72), "no fall that counts (20 systolic or 10 diastolic)"),
            ((150, 80), None, "standing not recorded: no fall can be read from one alone"),
            (None, (150, 80), "resting not recorded"),
            (None, None, ""),
        ],
    )
    def test_pressure(self, resting, standing, said):
        tests = [taken("2026-01-01", resting_bp=resting, standing_bp=standing)]
        found = function_page(steady(), tests).pressure
        assert said in found
        assert bool(said) == bool(found)

    def test_tried_and_not_possible(self):
        page = function_page(steady(), [taken("2026-01-01", unable=("tandem_s",))])
        assert page.unable == ("tandem",)


def answered(year, *answers):
    return Answered(dt.date(year, 2, 1), answers)


class TestWorry:
    def test_never_asked(self):
        assert worry_block([]) is None

    def test_totals_bands_and_change_newest_first(self):
        first, last = answered(2024, *[2] * 7), answered(2026, 1, 1, 1, 1, 1, 1, 2)
        found = worry_block([first, last], [Mark(dt.date(2025, 1, 1), "program 1 signed")])
        assert [(row.result, row.change) for row in found.rows] == [
            ("8 of 28, low", "\u22126 since 1 Feb 2024, from high to low"),
            ("14 of 28, high", ""),
        ]
        assert "program 1 signed" in found.picture

    def test_the_same_band_and_a_day_without_a_total_between(self):
        days = [
            answered(2024, *[1] * 7),
            answered(2025, 1, *[None] * 6),
            answered(2026, 2, *[1] * 6),
        ]
        rows = worry_block(days).rows
        assert [row.change for row in rows] == ["+1 since 1 Feb 2024, still low", "", ""]
        assert rows[1].result == "no total, 6 of 7 not answered"

    def test_one_total_has_no_picture(self):
        assert worry_block([answered(2024, *[1] * 7)]).picture == ""
        assert worry_block([answered(2024, *[None] * 6, 1)]).picture == ""


class TestPage:
    def test_all_together(self):
        facts = steady(fractures=[fracture("wrist", "2025-12-01")])
        page = measures_page(facts, Beside(parts=[""] * 3, tests=facts.tests))
        assert [block.site for block in page.density] == [
            "lumbar_spine",
            "total_hip",
            "femoral_neck",
        ]
        assert (page.look, len(page.losses), len(page.fractures)) == (False, 1, 1)
        assert not page.empty

    def test_nothing_measured(self):
        facts = steady(scans=None, tests=None, person={"tallest_height_cm": None})
        assert measures_page(facts, Beside()).empty
        worries = [Answered(dt.date(2026, 3, 1), (1,) * 7)]
        assert not measures_page(facts, Beside(worries=worries)).empty

    @pytest.mark.parametrize(
        ("answer", "told_on", "mark"),
        [
            ({"answer": "yes", "months": 18}, "2026-03-02", dt.date(2024, 9, 2)),
            ({"answer": "yes", "months": 18}, None, None),
            ({"answer": "yes"}, "2026-03-02", None),
            ("no", "2026-03-02", None),
        ],
    )
    def test_when_bone_medicine_began(self, answer, told_on, mark):
        facts = steady(medicines={"otherwise": "no", "bone_medicine": answer})
        found = bone_medicine_mark(facts, told_on and dt.date.fromisoformat(told_on))
        assert [m.on for m in found] == ([mark] if mark else [])


class TestSeenChanges:
    def test_a_marker_tells_both_directions(self):
        facts = steady(turnover=[sample("2026-01-05", 500)])
        (block,) = marker_blocks(facts, {})
        assert [row.label for row in block.seen.rows] == ["A fall", "A rise"]
        fall, rise = block.seen.rows
        assert (fall.half, fall.four_in_five) == ("56\u00a0%", "65\u00a0%")
        assert fall.by_chance == "less than 1 in 100"
        assert rise.by_chance == "about 6 in 100"

    def test_no_fall_is_larger_than_all(self):
        least = laboratory_lsc("Made up", dt.date(2026, 1, 1), (20.0, 50.0))
        facts = steady(turnover=[sample("2026-01-05", 500)])
        (block,) = marker_blocks(facts, {"ctx": least})
        assert [row.label for row in block.seen.rows] == ["A rise"]

    def test_only_tests_whose_error_is_known(self):
        day = Taken(date=dt.date(2026, 1, 5), up_and_go_s=11.0, walk_4m_s=5.0, chair_stands_30s=9)
        seen = function_page(steady(), [day]).seen
        assert [block.label for block in seen] == ["Timed Up and Go", "chair stands in 30 s"]
        assert seen[1].rows[0].half == "2.0\u00a0stands"
        assert seen[1].rows[0].by_chance == "about 6 in 100"
