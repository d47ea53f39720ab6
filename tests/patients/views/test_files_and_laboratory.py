"""The pages of measures, laboratory and files: what a click does and what it does not."""

import csv
import datetime as dt
import io
from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from patients.actions.scanners import MarkerFigures, record_marker_error
from patients.measured.worry import ITEMS
from patients.models.patient import FunctionTestDay, MarkerRow, ScanRow
from patients.models.scanners import MarkerError, ParkedFile, Scanner
from tests.conftest import MarkedClient
from tests.factories import (
    AssessmentFactory,
    FractureFactory,
    FunctionTestDayFactory,
    MarkerFactory,
    PatientFactory,
    ScanFactory,
    SizeFactory,
    UserFactory,
)
from tests.patients.pages import filled, text_of, url
from tests.programs.rows import plan, signed

pytestmark = pytest.mark.django_db
ROWS = "\n".join(["0.900;0.910"] * 15 + ["0.800;0.820"] * 15)


@pytest.fixture
def scanner():
    return Scanner.objects.create(name="Room 2")


class TestMeasures:
    def test_a_small_early_gain_is_called_what_it_is(self, signed_in):
        """Common practice: a hip gain of 1.5 % after six months lies within the error."""
        first = ScanFactory(date=dt.date(2025, 1, 10), bmd_g_cm2=Decimal("0.800"))
        ScanFactory(patient=first.patient, date=dt.date(2025, 7, 10), bmd_g_cm2=Decimal("0.812"))
        html = text_of(signed_in.get(url("measures", first.patient_id)))
        assert "a gain of 1.5 % after 6 months lies within the error of the scan (5.0 %)." in html
        assert "default, not this clinic’s" in html

    def test_the_scanner_s_own_study_decides(self, signed_in, scanner):
        sent = {"site": "total_hip", "made_on": "2025-05-01", "rms_sd": "0.005", "freedom": "30"}
        signed_in.post(url("scanner", scanner.pk), sent)
        first = ScanFactory(date=dt.date(2024, 1, 10), bmd_g_cm2=Decimal("0.700"), scanner="Room 2")
        row = {"patient": first.patient, "scanner": "room 2", "date": dt.date(2025, 7, 10)}
        ScanFactory(**row, bmd_g_cm2=Decimal("0.715"))
        html = text_of(signed_in.get(url("measures", first.patient_id)))
        assert "passes the error of the scan (2.0 %)" in html
        assert "this clinic's own precision study" in html

    def test_nothing_measured(self, signed_in):
        html = text_of(signed_in.get(url("measures", PatientFactory().pk)))
        assert "Nothing is measured yet" in html

    def test_facts_that_do_not_fit_together_are_named(self, signed_in):
        patient = SizeFactory(height_cm="170.0").patient
        AssessmentFactory(patient=patient, answers={"person": {"tallest_height_cm": 160}})
        assert "do not fit together" in text_of(signed_in.get(url("measures", patient.pk)))


class TestMarksAndWorry:
    def test_treatment_and_signed_programs_are_marked_in_every_picture(self, signed_in, clinician):
        patient = AssessmentFactory(
            answers={"medicines": {"bone_medicine": {"answer": "yes", "months": 12}}},
            answered={"medicines": "2026-03-02"},
        ).patient
        for day in (dt.date(2024, 6, 3), dt.date(2025, 6, 3)):
            ScanFactory(patient=patient, date=day)
            MarkerFactory(patient=patient, date=day)
        for version in (1, 2):
            signed(plan(patient, clinician, version=version, state="signed"), clinician)
        signed(plan(PatientFactory(), clinician, version=9), clinician)
        html = text_of(signed_in.get(url("measures", patient.pk)))
        assert html.count("bone medicine, about</text>") == 2
        # Of the two measures, and of the picture of all of them.
        for mark in ("program 1 signed</text>", "program 2 signed</text>"):
            assert html.count(mark) == 3, mark
        assert html.count("bone medicine begun</text>") == 1
        assert "program 9" not in html

    def test_without_the_apps_further_on_no_mark(self, signed_in, clinician, settings):
        settings.MEASURES_MARKS = []
        patient = ScanFactory().patient
        signed(plan(patient, clinician), clinician)
        assert "program 1" not in text_of(signed_in.get(url("measures", patient.pk)))

    def test_the_worry_scale_entered_and_read(self, signed_in):
        patient = PatientFactory()
        page = url("section", patient.pk, "tests")
        answers = {f"worry-{code}": "2" for code in ITEMS}
        typed = filled(signed_in, page, **{"tests-date": "2026-03-02", **answers})
        assert signed_in.post(page, typed).status_code == 302
        assert "worry about falling 14 of 28, high" in text_of(signed_in.get(page))
        html = text_of(signed_in.get(url("measures", patient.pk)))
        assert "<td>14 of 28, high</td>" in html
        assert "Function tests</h2>" not in html

    def test_a_year_only_is_said_so(self, signed_in):
        row = FractureFactory(date=dt.date(2011, 12, 31), date_is="year")
        html = text_of(signed_in.get(url("measures", row.patient_id)))
        assert "2011 (year only)" in html
        assert "at least" in html
        section = text_of(signed_in.get(url("section", row.patient_id, "fractures")))
        assert "2011\u00a0(year\u00a0only)" in section


class TestLaboratory:
    def test_reached_from_the_scanners(self, signed_in):
        assert url("laboratory") in text_of(signed_in.get(url("scanners")))

    def test_defaults_are_marked_as_not_this_laboratory_s(self, signed_in):
        html = text_of(signed_in.get(url("laboratory")))
        # CTX 56 and P1NP 38 % (IOF and ECTS), osteocalcin 29, bone ALP 24 %.
        assert all(f"{least}.0 %" in html for least in (56, 38, 29, 24))
        assert html.count("default, not this laboratory\u2019s") == 4

    def test_the_laboratory_s_own_decides_on_measures(self, signed_in):
        patient = MarkerFactory(value=500, date=dt.date(2025, 1, 1)).patient
        MarkerFactory(patient=patient, value=300, date=dt.date(2025, 8, 1))
        page = url("measures", patient.pk)
        assert "within the error" in text_of(signed_in.get(page))
        sent = {"laboratory": "North", "marker": "ctx", "told_on": "2026-01-05", "lsc": "39.9"}
        assert signed_in.post(url("laboratory"), sent).status_code == 302
        html = text_of(signed_in.get(page))
        assert "within the error<" not in html
        assert "more than 39.9 % (laboratory North, told 5 Jan 2026)." in html

    @pytest.mark.parametrize(
        ("change", "said"),
        [
            ({"cv_analytical": "5"}, "both CVs, or else the LSC"),
            ({"cv_analytical": "5", "cv_within": "12.4", "lsc": "30"}, "the LSC alone"),
            ({}, "both CVs, or else the LSC"),
            ({"cv_analytical": "31", "cv_within": "12.4"}, "0.1 to 30 %"),
            ({"lsc": "0.9"}, "1 to 99.9 %"),
            ({"lsc": "30", "laboratory": ""}, "Write the name."),
            ({"lsc": "30", "marker": ""}, "Choose the marker."),
            ({"lsc": "30", "told_on": ""}, "Write the day."),
            ({"lsc": "30", "told_on": "2199-01-01"}, "cannot lie after today"),
        ],
    )
    def test_what_is_wrong_is_said(self, signed_in, change, said):
        sent = {"laboratory": "North", "marker": "ctx", "told_on": "2026-01-05", **change}
        response = signed_in.post(url("laboratory"), sent)
        assert response.status_code == 422
        assert said in text_of(response)
        assert not MarkerError.objects.exists()

    def test_entered_in_error(self, signed_in):
        sent = {"laboratory": "North", "marker": "p1np", "told_on": "2026-01-05"}
        signed_in.post(url("laboratory"), sent | {"cv_analytical": "5.8", "cv_within": "12.4"})
        page = url("marker_error_withdraw", MarkerError.objects.get().pk)
        assert "worked out from its CV of 5.8 % and 12.4 %" in text_of(signed_in.get(page))
        assert signed_in.post(page, {"reason": ""}).status_code == 422
        assert signed_in.post(page, {"reason": "Another method"}).status_code == 302
        html = text_of(signed_in.get(url("laboratory")))
        assert "Another method" in html
        assert html.count("default, not this laboratory\u2019s") == 4
        assert "struck out already" in text_of(signed_in.get(page))


def test_few_queries_on_measures_and_laboratory(signed_in, clinician):
    patient = ScanFactory().patient
    for marker in ("ctx", "p1np"):
        MarkerFactory(patient=patient, marker=marker)
        figures = MarkerFigures(
            laboratory="North", marker=marker, told_on=dt.date(2026, 1, 5), lsc_percent=30.0
        )
        record_marker_error(figures=figures, by=clinician, at=timezone.now())
    for version in (1, 2, 3):
        signed(plan(patient, clinician, version=version, state="signed"), clinician)
    # Measures: eleven of its own, five for who is signed in, her rights and the row of steps,
    # two for the state of the program in her hands, and one for its line in the record.
    for page, most in ((url("measures", patient.pk), 19), (url("laboratory"), 13)):
        with CaptureQueriesContext(connection) as captured:
            assert signed_in.get(page).status_code == 200
        asked = [q["sql"] for q in captured if q["sql"].split()[0] == "SELECT"]
        asked = [sql for sql in asked if "patients_look" not in sql]
        assert len(asked) <= most, (page, asked)


class TestExport:
    @pytest.mark.parametrize(
        ("factory", "of", "model"),
        [
            (ScanFactory, "scan", ScanRow),
            (MarkerFactory, "marker", MarkerRow),
            (FunctionTestDayFactory, "tests", FunctionTestDay),
        ],
    )
    def test_what_goes_out_comes_in_again_with_no_change(self, signed_in, factory, of, model):
        patient = PatientFactory(record_number="=000123")
        kept = factory(patient=patient).fact()
        factory(patient=patient, withdrawn=True)
        response = signed_in.get(url("export", patient.pk), {"of": of})
        assert response["Content-Type"] == "text/csv; charset=utf-8"
        data = response.content
        known = sent(signed_in, data)
        assert 'Known already</th><td class="num">1<' in known
        # The same file for somebody who has none of it yet.
        other = PatientFactory(record_number="X")
        head, row = csv.reader(io.StringIO(data.decode("utf-8-sig"), newline=""))
        row[:3] = ["", "X", ""]
        out = io.StringIO(newline="")
        csv.writer(out).writerows([head, row])
        html = sent(signed_in, out.getvalue().encode())
        assert "Take 1 row" in html
        page = url("import_file", ParkedFile.objects.latest("pk").pk)
        signed_in.post(page, {"take": "yes", "expected": "1"})
        assert model.objects.get(patient=other).fact() == kept

    def test_no_such_file(self, signed_in):
        page = url("export", PatientFactory().pk)
        assert signed_in.get(page, {"of": "plates"}).status_code == 404


def sent(client, data, **choices):
    """Send a file, and return the page that shows what becomes of it."""
    name = SimpleUploadedFile("scans.csv", data, content_type="text/csv")
    response = client.post(url("import"), {"file": name})
    assert response.status_code == 302
    return text_of(client.get(response.url, choices))


HEAD = "record number;date;site;bmd\n"


class TestImport:
    @pytest.mark.parametrize("data", [None, b""])
    def test_no_file(self, signed_in, data):
        files = {} if data is None else {"file": SimpleUploadedFile("a.csv", data)}
        response = signed_in.post(url("import"), files)
        assert response.status_code == 422
        assert "Choose a file" in text_of(response)

    def test_too_large(self, signed_in):
        large = SimpleUploadedFile("a.csv", b"x" * (5 * 1024 * 1024 + 1))
        response = signed_in.post(url("import"), {"file": large})
        assert "larger than 5 MB" in text_of(response)
        assert not ParkedFile.objects.exists()

    def test_a_score_that_looks_mistyped_is_asked_about_and_can_be_taken(self, signed_in):
        """T -2.0 goes with 0.620 at the neck (NHANES III, Looker 1998)."""
        PatientFactory(record_number="X")
        head = "record number,date,site,BMD g/cm2,T-score\n"
        rows = "X,2026-01-20,femoral neck,0.620,2.0\nX,2026-01-21,femoral neck,0.620,-2.0\n"
        html = sent(signed_in, (head + rows).encode())
        assert "Take 2 rows" in html
        assert html.count("Is its minus sign missing?") == 1

    @pytest.mark.counted
    def test_a_file_that_cannot_be_taken_says_why(self, signed_in):
        assert "whose rows these are" in sent(signed_in, b"date;site\n1;2")

    def test_looked_at_then_taken(self, signed_in):
        PatientFactory(record_number="000123")
        data = f"{HEAD}000123;2025-01-20;total hip;0,681\n000123;x;total hip;0,681\n"
        html = sent(signed_in, data.encode())
        assert "Take 1 row, leave the 1 out" in html
        assert "date: Write the date as year-month-day" in html
        assert not ScanRow.objects.exists()
        page = url("import_file", ParkedFile.objects.get().pk)
        assert signed_in.post(page, {"take": "yes", "expected": "1"}).status_code == 302
        assert ScanRow.objects.get().bmd_g_cm2 == Decimal("0.681")
        assert "no longer here" in text_of(signed_in.get(page, follow=True))

    def test_a09_the_order_is_asked_with_both_counts(self, signed_in):
        PatientFactory(record_number="000123")
        rows = "000123;15/04/1991;total hip;0,7\n000123;03/04/1991;total hip;0,7\n"
        html = sent(signed_in, (HEAD + rows).encode())
        assert "day first: 2 of 2" in html
        assert "month first: 1 of 2" in html
        assert "Take" not in html
        page = url("import_file", ParkedFile.objects.get().pk)
        assert "Take 2 rows" in text_of(signed_in.get(page, {"order": "day_first"}))
        signed_in.post(page, {"take": "yes", "expected": "2", "order": "day_first"})
        days = ScanRow.objects.order_by("date").values_list("date", flat=True)
        assert list(days) == [dt.date(1991, 4, 3), dt.date(1991, 4, 15)]

    def test_e03_the_letters_are_asked_about(self, signed_in):
        PatientFactory(record_number="Müller")
        data = (HEAD + "Müller;2025-01-20;total hip;0,681\n").encode("cp1252")
        html = sent(signed_in, data)
        assert "Müller;2025-01-20" in html
        page = url("import_file", ParkedFile.objects.get().pk)
        assert "Take 1 row" in text_of(signed_in.get(page, {"encoding": "cp1252"}))

    def test_the_comma_is_asked_about_after_the_letters_and_the_order(self, signed_in):
        PatientFactory(record_number="000123")
        data = "record number;date;marker;value;unit;ü\n000123;03/04/2025;CTX;1,020;ng/L;\n"
        html = sent(signed_in, data.encode("cp1252"), encoding="cp1252")
        assert "thousands separator" in html
        assert 'name="encoding" value="cp1252"' in html
        page = url("import_file", ParkedFile.objects.get().pk)
        chosen = {"encoding": "cp1252", "order": "day_first", "decimal": "point"}
        assert "Take 1 row" in text_of(signed_in.get(page, chosen))
        half = text_of(signed_in.get(page, chosen | {"decimal": "nonsense"}))
        assert 'name="order" value="day_first"' in half

    def test_a_record_changed_meanwhile(self, signed_in):
        sent(signed_in, f"{HEAD}000123;2025-01-20;total hip;0,681\n".encode())
        page = url("import_file", ParkedFile.objects.get().pk)
        response = signed_in.post(page, {"take": "yes", "expected": "nonsense"})
        assert response.status_code == 409
        assert "Look at the file again" in text_of(response)

    def test_thrown_away(self, signed_in):
        sent(signed_in, HEAD.encode() + b"1;2;3;4")
        page = url("import_file", ParkedFile.objects.get().pk)
        assert "Nothing of the file was taken" in text_of(
            signed_in.post(page, {"drop": "yes"}, follow=True)
        )
        assert not ParkedFile.objects.exists()

    def test_nobody_else_s_file(self, signed_in):
        sent(signed_in, HEAD.encode() + b"1;2;3;4")
        other = MarkedClient()
        other.force_login(UserFactory())
        page = url("import_file", ParkedFile.objects.get().pk)
        assert other.get(page).status_code == 302
        assert other.post(page, {"drop": "yes"}).status_code == 302
        assert ParkedFile.objects.exists()

    def test_a_cell_is_text_and_never_markup(self, signed_in):
        html = sent(signed_in, (HEAD + "<b>;2025-01-20;total hip;0,7\n").encode())
        assert "No patient has record number <b>" in html
        raw = signed_in.get(url("import_file", ParkedFile.objects.get().pk)).content
        assert b"<b>" not in raw
