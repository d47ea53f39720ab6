"""Files of measurements: bytes, delimiter, heads, dates, numbers, guard.

The ids name the kind of complaint that a test answers.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patients.facts.units import NotADate, NotANumber
from patients.files import reading
from patients.files.columns import LAYOUTS, Unfit, heads_of
from patients.files.dates import count, read_date
from patients.files.decimal_sign import ASK, decimal_mark, read_number
from patients.files.file import opened
from patients.files.formula_guard import guarded, unguarded
from patients.files.reading import EncodingAsked, decoded, grid
from patients.files.rows import Choices
from tests.patients.sent_files import SCAN, look


class TestBytes:
    def test_e01_a_byte_order_mark_is_no_part_of_the_first_head(self):
        found = look("\ufeffpatient_id;date;site;bmd\n7;2026-01-20;total hip;0,681\n")
        assert [(t.line, t.patient_id, t.fact.bmd_g_cm2) for t in found.taken] == [(2, 7, 0.681)]

    def test_e03_windows_letters_are_asked_about_and_shown(self):
        data = "record number;date;site;bmd\nMüller;2026-01-20;hip;68,5\n".encode("cp1252")
        asked = opened(data, Choices())
        assert asked == EncodingAsked(((2, "Müller;2026-01-20;hip;68,5"),))

    def test_e03_with_the_encoding_chosen_the_name_is_itself(self):
        data = "record number;date;site;bmd\nMüller;2026-01-20;total hip;0,681\n"
        found = look(data.encode("cp1252"), choices=Choices(encoding="cp1252"))
        assert [t.patient_id for t in found.taken] == [8]

    def test_only_ten_foreign_lines_are_shown(self):
        data = ("ü\n" * 30).encode("cp1252")
        asked = decoded(data)
        assert isinstance(asked, EncodingAsked)
        assert [number for number, _ in asked.samples] == list(range(1, 11))

    @pytest.mark.parametrize(
        ("data", "encoding", "said"),
        [
            (b"a\0b", None, "not a plain text"),
            ("a;b".encode("utf-16"), None, "not a plain text"),
            (b"\x81\x8d", "cp1252", "not Windows"),
            (b"\xef\xbb\xbf\xff", None, "not UTF-8 throughout"),
            (b"x" * (reading.LARGEST_BYTES + 1), None, "larger than 5 MB"),
        ],
    )
    def test_what_is_no_text_is_refused(self, data, encoding, said):
        with pytest.raises(Unfit, match=said):
            decoded(data, encoding)

    def test_as_large_as_is_taken(self):
        assert len(decoded(b"x" * reading.LARGEST_BYTES)) == reading.LARGEST_BYTES


class TestGrid:
    @pytest.mark.parametrize("mark", [",", ";", "\t", "|"])
    def test_the_delimiter_is_seen(self, mark):
        text = f"record number{mark}date{mark}site{mark}bmd\n1{mark}2{mark}3{mark}4"
        assert grid(text).delimiter == mark
        assert grid(text).records[0].cells == ("1", "2", "3", "4")

    def test_a_comma_in_a_head_does_not_mislead(self):
        assert grid('"density, BMD";date;site\n1;2;3').delimiter == ";"

    def test_a_file_that_names_its_delimiter(self):
        found = grid("sep=;\r\nrecord number;date\r\n1;2\r\n")
        assert (found.delimiter, found.records[0].line) == (";", 3)

    def test_lines_are_those_of_the_file(self):
        found = grid('a,b\n\n1,2\n,\n"x\ny",3\n4,5\n')
        assert [r.line for r in found.records] == [3, 5, 7]

    @pytest.mark.parametrize("text", ["", "a,b", "a,b\n,\n\n"])
    def test_no_rows(self, text):
        with pytest.raises(Unfit, match="no rows"):
            grid(text)

    def test_a_quote_that_does_not_close(self):
        with pytest.raises(Unfit, match="from line 3 on"):
            grid('a,b\n1,2\n3,"4\n5,6\n')

    def test_most_rows_and_columns(self):
        assert len(grid("a\n" + "1\n" * reading.MOST_ROWS).records) == reading.MOST_ROWS
        with pytest.raises(Unfit, match="more than 20000 rows"):
            grid("a\n" + "1\n" * (reading.MOST_ROWS + 1))
        wide = ",".join("a" * reading.MOST_COLUMNS)
        assert len(grid(f"{wide}\n{wide}").head) == reading.MOST_COLUMNS
        with pytest.raises(Unfit, match="more than 50 columns"):
            grid(f"{wide},a\n{wide},a")


class TestHeads:
    @pytest.mark.parametrize(
        ("head", "kind"),
        [
            (("MRN", "Scan date", "Site", "Density (BMD)"), "scan"),
            (("id", "date", "marker", "result", "units"), "marker"),
            (("record_number", "test date", "TUG"), "tests"),
        ],
    )
    def test_the_kind_of_file_is_seen(self, head, kind):
        assert heads_of(head).layout.kind == kind

    def test_other_columns_are_named(self):
        assert heads_of(("id", "date", "TUG", "Doctor")).ignored == ("Doctor",)

    @pytest.mark.parametrize(
        ("head", "said"),
        [
            (("id", "date", "site", "marker"), "in one file"),
            (("date", "site"), "whose rows"),
            (("id", "site", "bmd"), "missing: date"),
            (("id", "date", "marker"), "missing: value, unit"),
            (("id", "date"), "missing: any test"),
            (("id", "date", "TUG", "up and go"), "both read as “timed up and go s”"),
        ],
    )
    def test_what_does_not_fit_is_refused(self, head, said):
        with pytest.raises(Unfit, match=said):
            heads_of(head)

    @pytest.mark.parametrize("layout", LAYOUTS.values(), ids=LAYOUTS)
    def test_no_name_means_two_columns(self, layout):
        names = [name for column in layout.columns for name in column.names]
        assert len(names) == len(set(names))


class TestDates:
    def test_a09_both_readings_are_counted_and_the_file_held(self):
        text = f"{SCAN}\n000123,15/04/1991,total hip,0.7,,A\n000123,03/04/1991,total hip,0.7,,A\n"
        file = opened(text.encode(), Choices())
        assert file.asks
        assert (file.dates.day_first, file.dates.month_first, file.dates.others) == (2, 1, 2)
        assert file.dates.sample == ("15/04/1991", "03/04/1991")

    def test_a09_the_order_chosen_reads_the_whole_file(self):
        rows = ("000123,15/04/1991,total hip,0.7,,A", "000123,03/04/1991,total hip,0.7,,A")
        text = "\n".join((SCAN, *rows))
        day_first = look(text, choices=Choices(order="day_first"))
        days = [t.fact.date.isoformat() for t in day_first.taken]
        assert days == ["1991-04-15", "1991-04-03"]
        month_first = look(text, choices=Choices(order="month_first"))
        assert [t.fact.date.isoformat() for t in month_first.taken] == ["1991-03-04"]
        assert [b.line for b in month_first.bad] == [2]
        assert "no day 1991-15-04" in month_first.bad[0].reasons[0]

    def test_year_first_asks_nothing(self):
        counted = count(["2026-01-20", "", "nonsense"])
        assert (counted.year_first, counted.in_doubt) == (1, False)

    def test_the_birthday_s_order_is_asked_too(self):
        text = "record number,date of birth,date,tug\n000123,03/04/1950,2026-01-01,9"
        assert opened(text.encode(), Choices()).dates.others == 1
        assert not look(text, choices=Choices(order="month_first")).taken
        assert look(text, choices=Choices(order="day_first")).taken

    @pytest.mark.parametrize("cell", ["03/04/91", "2026/01/20", "20.1.26", "45678", "Jan 2026"])
    def test_other_writings_are_refused(self, cell):
        with pytest.raises(NotADate):
            read_date(cell, "day_first")

    @pytest.mark.parametrize("cell", ["3.4.1991", "3/4/1991", "03-04-1991"])
    def test_points_strokes_and_hyphens(self, cell):
        assert read_date(cell, "day_first") == "1991-04-03"
        with pytest.raises(NotADate):
            read_date(cell, None)


class TestNumbers:
    @pytest.mark.parametrize(
        ("cells", "mark"),
        [
            (["0.681", "-2.1", "7"], "point"),
            (["0,681", "1,034"], "comma"),
            (["0,681", "1.034"], None),
            (["1,034", "520"], ASK),
            (["", "7"], "point"),
        ],
    )
    def test_the_mark_of_a_file(self, cells, mark):
        assert decimal_mark(cells) == mark

    @pytest.mark.parametrize(
        ("cell", "mark", "value"),
        [
            ("1,034", "comma", 1.034),
            ("1,034", "point", 1034),
            ("0,681", None, 0.681),
            ("−2.5", "point", -2.5),
            ("–2.5", "point", -2.5),
            ("−2,5", "comma", -2.5),
        ],
    )
    def test_b10_and_marks(self, cell, mark, value):
        assert read_number(cell, mark, 3) == value

    @pytest.mark.parametrize(
        ("cell", "mark", "said"),
        [
            ("1.034", "comma", "decimal commas"),
            ("1,034", None, "two ways"),
            ("1e3", "point", "not a number"),
            ("0.6814", "point", "more than 3 decimals"),
        ],
    )
    def test_what_is_not_certain_is_refused(self, cell, mark, said):
        with pytest.raises(NotANumber, match=said):
            read_number(cell, mark, 3)

    def test_p07_no_decimal_comma_is_dropped(self):
        """P07: an imported 11,5 became 115."""
        scan = "record number;date;site;bmd\n000123;2026-01-20;total hip;0,681"
        assert look(scan).taken[0].fact.bmd_g_cm2 == 0.681
        tests = "record number;date;timed up and go s\n000123;2026-01-20;11,5"
        assert look(tests).taken[0].fact.up_and_go_s == 11.5

    def test_a_file_of_doubtful_commas_is_asked_about(self):
        text = "record number;date;marker;value;unit\n000123;2026-01-01;CTX;1,020;ng/L"
        assert opened(text.encode(), Choices()).decimal
        values = [
            look(text, choices=Choices(decimal=mark)).taken[0].fact.value
            for mark in ("comma", "point")
        ]
        assert values == [1.02, 1020]


class TestGuard:
    @pytest.mark.parametrize(
        ("text", "cell"),
        [
            ("=1+1", "'=1+1"),
            ("+1", "'+1"),
            ("-1", "'-1"),
            ("@SUM(A1)", "'@SUM(A1)"),
            ("\tx", "'\tx"),
            ("＝1", "'＝1"),
            ("'=1", "''=1"),
            ("''", "'''"),
            ("'s Gravenhage", "'s Gravenhage"),
            ("A=1", "A=1"),
            ("", ""),
        ],
    )
    def test_what_sets_off_a_formula_is_guarded(self, text, cell):
        assert guarded(text) == cell
        assert unguarded(cell) == text

    @given(st.text(alphabet="'=+-@\t\ra1 ＝", max_size=6))
    def test_guarding_is_undone_and_leaves_no_formula(self, text):
        assert unguarded(guarded(text)) == text
        assert guarded(text)[:1] not in {*"=+-@\t\r＝"}

    def test_e07_a_guarded_head_is_read(self):
        assert grid("'=x,date\n1,2").head == ("=x", "date")
