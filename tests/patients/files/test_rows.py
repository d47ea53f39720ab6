"""Rows of a file: whose, believable, known already, and out again as they were."""

import csv
import datetime as dt
import io

import pytest

from patients.facts.declared import Scan, Turnover
from patients.facts.declared import Tests as Taken
from patients.files.columns import LAYOUTS
from patients.files.what_can_be_taken import Held, Person
from patients.files.writing import cells, words, written
from tests.patients.sent_files import ANN, SCAN, bad, look


class TestRows:
    def test_b10_a_pasted_minus_stays_a_minus(self):
        rows = [f"000123,2026-01-{d},total hip,,{t},A" for d, t in ((20, "−2.5"), (21, "–2.5"))]
        found = look("\n".join((SCAN, *rows)))
        assert [t.fact.t for t in found.taken] == [-2.5, -2.5]

    def test_e05_zeros_of_a_record_number_count(self):
        assert bad("123,2026-01-20,total hip,0.7,,A") == [
            (2, "No patient has record number 123. 000123 is on record: were leading zeros lost?")
        ]

    @pytest.mark.parametrize("number", ["7.10E+16", "7,1e16", "1E5"])
    def test_e05_powers_of_ten_are_refused(self, number):
        ((_, why),) = bad(f'"{number}",2026-01-20,total hip,0.7,,A')
        assert "power of ten" in why

    @pytest.mark.parametrize(
        ("row", "said"),
        [
            ("X9,2026-01-20,total hip,0.7,,A", "No patient has record number X9."),
            ("B-1,2026-01-20,total hip,0.7,,A", "2 patients have record number B-1."),
            (",2026-01-20,total hip,0.7,,A", "Not said whose row"),
            ("000123,2026-01-20,total hip,0.7,,A,", "7 cells, where the heads have 6"),
            ("000123,2026-01-20,total hip", "3 cells, where"),
            ("000123,2026-01-20,ankle,0.7,,A", "site: “ankle” is not known here"),
            ("000123,2026-01-20,total hip,7,,A", "BMD g/cm2: Check this: 0.2 to 2.5"),
            ("000123,2026-03-03,total hip,0.7,,A", "date: This is after"),
            ("000123,1950-04-02,total hip,0.7,,A", "date: This is before the date of birth"),
            ("000123,,total hip,0.7,,A", "date: This is needed."),
            ("000123,2026-01-20,total hip,,,A", "No value is filled in."),
            (f"000123,2026-01-20,total hip,0.7,,{'x' * 201}", "Longer than 200"),
            (f"{'x' * 41},2026-01-20,total hip,0.7,,A", "Longer than 40"),
            ("000123,2026-02-30,spine,x,-9,A", "no day 2026-02-30"),
        ],
    )
    def test_each_bad_row_says_why(self, row, said):
        ((line, why),) = bad(row)
        assert line == 2
        assert said in why

    def test_all_that_is_wrong_in_a_row_is_said(self):
        ((_, why),) = bad("000123,2026-02-30,ankle,x,,A")
        assert all(head in why for head in ("date:", "site:", "BMD g/cm2:"))

    def test_id_number_and_birthday_must_agree(self):
        head = "id,record number,date of birth,date,tug"
        good = look(f"{head}\n7,000123,1950-04-03,2026-01-01,9\n8,,,2026-01-01,9")
        assert [t.patient_id for t in good.taken] == [7, 8]
        rows = ("7,Müller,,2026-01-01,9", "7,,1950-04-04,2026-01-01,9", "99,,,2026-01-01,9")
        whys = [why for _, why in bad(*rows, head=head)]
        assert "another record number" in whys[0]
        assert "date of birth is not" in whys[1]
        assert "No patient has the id 99" in whys[2]

    def test_markers_by_unit_and_answer(self):
        head = "id,date,marker,value,unit,fasting"
        rows = (
            "7,2026-01-01,P1NP,48,µg/L,Y",
            "7,2026-01-01,ctx,0.4,NG/ML,no",
            "7,2026-01-02,CTX,400,ng/L,",
        )
        found = look("\n".join((head, *rows)))
        assert [(t.fact.marker, t.fact.unit, t.fact.fasting_morning) for t in found.taken] == [
            ("p1np", "ug/L", True),
            ("ctx", "ng/mL", False),
            ("ctx", "ng/L", None),
        ]
        assert "unit: “mg” is not known" in bad("7,2026-01-01,CTX,4,mg,", head=head)[0][1]
        assert "fasting: “maybe”" in bad("7,2026-01-01,CTX,4,ng/L,maybe", head=head)[0][1]

    def test_tests_of_every_kind(self):
        head = "id;date;TUG;chair stands;grip;resting pressure;not possible"
        found = look(f"{head}\n7;2026-01-01;9,4;12;19,5;132/78;tandem, one leg\n")
        (taken,) = found.taken
        assert taken.fact == Taken(
            date=dt.date(2026, 1, 1),
            up_and_go_s=9.4,
            chair_stands_30s=12,
            grip_kg=19.5,
            resting_bp=(132, 78),
            unable=("tandem_s", "one_leg_s"),
        )
        whys = bad(
            "7;;9,4;;;;",
            "7;2026-01-01;;;;;",
            "7;2026-01-01;;;;78/132;",
            "7;2026-01-01;;;;;jump",
            head=head,
        )
        said = ("date: This is needed", "No value", "must be higher", "“jump” is not known")
        assert all(part in why for part, (_, why) in zip(said, whys, strict=True))

    def test_what_was_not_possible_by_todays_names_and_by_older_ones(self):
        for names in ("single-leg stance, 4 m walk", "one leg, walk of 4 m"):
            (taken,) = look(f"id;date;not possible\n7;2026-01-01;{names}\n").taken
            assert taken.fact.unable == ("one_leg_s", "walk_4m_s")

    @pytest.mark.parametrize(("side", "kept"), [("L", "left"), ("right", "right"), ("", "")])
    def test_side_and_vertebrae_are_kept_beside(self, side, kept):
        head = "id,date,site,side,vertebrae,bmd"
        (taken,) = look(f"{head}\n7,2026-01-01,neck,{side},,0.7").taken
        assert taken.beside == {"side": kept, "vertebrae": ""}
        assert "side: “both”" in bad("7,2026-01-01,neck,both,,0.7", head=head)[0][1]


def held(bmd=0.7, day=20, struck=False, side=""):
    fact = Scan(
        date=dt.date(2026, 1, day), site="total_hip", bmd_g_cm2=bmd, t=None, z=None, scanner="A"
    )
    return Held(7, fact, {"side": side, "vertebrae": ""}, struck)


class TestDuplicates:
    ROW = "000123,2026-01-20,total hip,0.7,,A"

    def test_on_record_already(self):
        found = look(f"{SCAN}\n{self.ROW}", held=[held()])
        assert [(k.line, k.where) for k in found.known] == [(2, "on record already")]
        assert not found.taken
        assert not found.bad

    def test_on_record_with_another_value(self):
        ((_, why),) = bad(self.ROW, held=[held(0.71)])
        assert "with other values" in why

    def test_struck_out_as_entered_in_error(self):
        ((_, why),) = bad(self.ROW, held=[held(struck=True)])
        assert "Struck out on record" in why
        assert look(f"{SCAN}\n{self.ROW}", held=[held(0.71, struck=True)]).taken

    def test_another_day_or_side_is_another_scan(self):
        assert look(f"{SCAN}\n{self.ROW}", held=[held(day=21), held(side="left")]).taken

    def test_twice_in_the_file(self):
        found = look("\n".join((SCAN, self.ROW, self.ROW)))
        assert [t.line for t in found.taken] == [2]
        assert [(k.line, k.where) for k in found.known] == [(3, "the same as line 2")]

    def test_twice_in_the_file_with_two_values(self):
        found = look("\n".join((SCAN, self.ROW, self.ROW.replace("0.7", "0.8"))))
        assert [t.line for t in found.taken] == [2]
        assert [(b.line, b.reasons[0]) for b in found.bad] == [
            (3, "Line 2 gives other values for this.")
        ]

    def test_a_bad_row_makes_no_later_row_known(self):
        assert [n for n, _ in bad(self.ROW, self.ROW, held=[held(0.71)])] == [2, 3]


SCANS = [
    Scan(
        date=dt.date(2026, 1, 20),
        site="total_hip",
        bmd_g_cm2=1.034,
        t=-2.5,
        z=0.0,
        scanner='=A; "B',
    ),
    Scan(date=dt.date(2026, 1, 21), site="lumbar_spine", t=-1.0, scanner="-é\"'"),
]
MARKERS = [
    Turnover(
        date=dt.date(2026, 1, 20), marker="ctx", value=1234.5, unit="ug/L", fasting_morning=False
    )
]
TESTS = [
    Taken(
        date=dt.date(2026, 1, 20),
        walk_4m_s=4.82,
        chair_stands_30s=0,
        standing_bp=(120, 70),
        unable=("walk_4m_s", "grip_kg"),
    ),
    Taken(date=dt.date(2026, 1, 21), unable=()),
]


class TestRoundTrip:
    @pytest.mark.parametrize(
        ("kind", "facts"), [("scan", SCANS), ("marker", MARKERS), ("tests", TESTS[:1])]
    )
    def test_what_was_written_reads_in_again_with_no_change(self, kind, facts):
        layout = LAYOUTS[kind]
        beside = {name: "left" if name == "side" else "L1-L4" for name in layout.beside}
        person = Person(7, "=000123", ANN.born)
        rows = [Held(7, fact, beside) for fact in facts]
        data = written(layout, person, rows)
        found = look(data, people=[person])
        assert [(t.fact, dict(t.beside)) for t in found.taken] == [(f, beside) for f in facts]
        again = look(data, held=rows, people=[person])
        assert (len(again.known), again.taken, again.bad) == (len(facts), (), ())

    def test_e07_no_cell_of_text_sets_off_a_formula_and_numbers_stand_bare(self):
        data = written(
            LAYOUTS["scan"],
            Person(7, "-1", ANN.born),
            [Held(7, SCANS[0], {"side": "", "vertebrae": "@x"})],
        )
        assert data.startswith(b"\xef\xbb\xbf")
        head, row = csv.reader(io.StringIO(data.decode("utf-8-sig"), newline=""))
        named = dict(zip(head, row, strict=True))
        assert (named["record number"], named["vertebrae"]) == ("'-1", "'@x")
        assert (named["T-score"], named["BMD g/cm2"]) == ("-2.5", "1.034")
        assert named["scanner"] == "'=A; \"B"
        assert not any(name[0] in "=+-@" for name in head)

    def test_a_row_for_reading_names_month_and_site_and_keeps_what_is_beside(self):
        scan = words(LAYOUTS["scan"], Held(7, SCANS[0], {"side": "left", "vertebrae": ""}))
        assert scan[1:4] == ["total hip", "left", ""]
        assert scan[0] == f"{SCANS[0].date:%-d %b %Y}".replace(" ", "\u00a0")
        assert scan[4:6] == ["1.034", "\u22122.5"]
        sample = Turnover(date=dt.date(2026, 1, 5), marker="ctx", value=0.21, unit="ng/mL")
        assert words(LAYOUTS["marker"], Held(7, sample, {}))[1:] == ["CTX", "0.21", "ng/mL", ""]

    def test_a_row_of_tests_as_written(self):
        assert cells(LAYOUTS["tests"], Held(7, TESTS[0], {}))[-2:] == [
            "120/70",
            "walk 4m s; grip kg",
        ]
