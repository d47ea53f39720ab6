"""Scanners, precision studies and parked files: what is written, refused and recorded."""

import datetime as dt
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import DatabaseError, models, transaction

from patients import audit
from patients.actions import scanners
from patients.actions.refusals import Conflict, Refused
from patients.actions.scanners import (
    MarkerFigures,
    Study,
    held_rows,
    record_marker_error,
    record_study,
    save_scanner,
)
from patients.actions.withdrawing import withdraw
from patients.files.columns import Unfit
from patients.files.rows import Choices
from patients.measured.turnover import lsc_percent
from patients.models.patient import Audit, ScanRow
from patients.models.scanners import (
    MarkerError,
    ParkedFile,
    PrecisionStudy,
    Scanner,
    errors_in_use,
    marker_lscs,
)
from tests.factories import (
    DAY,
    MOMENT,
    FunctionTestDayFactory,
    PatientFactory,
    ScanFactory,
    UserFactory,
)

pytestmark = pytest.mark.django_db
#: Constructed: 15 pairs 0.010 apart, 15 pairs 0.020 apart give RMS-SD 0.01118 (ISCD formula).
PEOPLE = [(0.9, 0.91)] * 15 + [(0.8, 0.82)] * 15


@pytest.fixture
def by():
    return UserFactory()


@pytest.fixture
def scanner(by):
    return save_scanner(scanner=None, name=" Room 2 ", note="", by=by, at=MOMENT)


def study(scanner, by, site="total_hip", people=PEOPLE, **more):
    values = {"made_on": DAY, "people": people, **more}
    return record_study(scanner=scanner, study=Study(site=site, **values), by=by, at=MOMENT)


class TestScanner:
    def test_added_once_under_one_name(self, scanner, by):
        assert (scanner.name, scanner.key) == ("Room 2", "room 2")
        with pytest.raises(Refused, match="here already"):
            save_scanner(scanner=None, name="ROOM 2", note="", by=by, at=MOMENT)
        assert [line.action for line in Audit.objects.all()] == ["add scanner"]

    def test_the_same_form_twice_is_one_scanner(self, by):
        sent = {"scanner": None, "name": "A", "note": "", "by": by, "at": MOMENT, "token": uuid4()}
        assert save_scanner(**sent) == save_scanner(**sent)
        assert Scanner.objects.count() == 1

    def test_changed_with_old_and_new_on_record(self, scanner, by):
        changed = save_scanner(
            scanner=scanner, name="Room 3", note="moved", version=1, by=by, at=MOMENT
        )
        assert (changed.name, changed.note, changed.version) == ("Room 3", "moved", 2)
        line = Audit.objects.last()
        assert line.action == "change scanner"
        assert "Room 2" in line.old
        assert "Room 3" in line.new

    def test_a_second_change_meanwhile_is_a_conflict(self, scanner, by):
        save_scanner(scanner=scanner, name="Room 3", note="", version=1, by=by, at=MOMENT)
        with pytest.raises(Conflict):
            save_scanner(scanner=scanner, name="Room 4", note="", version=1, by=by, at=MOMENT)
        scanner.refresh_from_db()
        assert scanner.name == "Room 3"

    def test_never_deleted(self, scanner):
        with pytest.raises(DatabaseError), transaction.atomic():
            scanner.delete()


class TestStudy:
    def test_worked_out_from_the_people(self, scanner, by):
        made = study(scanner, by)
        made.refresh_from_db()
        assert made.rms_sd_g_cm2 == Decimal("0.011180")
        assert (made.freedom, len(made.people)) == (30, 30)
        assert errors_in_use() == {"room 2": {"total_hip": 0.01118}}
        assert Audit.objects.last().action == "add precision study"

    def test_known_from_a_report(self, scanner, by):
        study(scanner, by, people=None, rms_sd_g_cm2=0.0123, freedom=45)
        assert errors_in_use()["room 2"]["total_hip"] == 0.0123

    @pytest.mark.parametrize(("freedom", "used"), [(29, False), (30, True)])
    def test_a_small_study_is_kept_and_not_used(self, scanner, by, freedom, used):
        """30 people twice or 15 three times (ISCD)."""
        study(scanner, by, people=PEOPLE[:freedom])
        assert bool(errors_in_use()) == used
        assert PrecisionStudy.objects.count() == 1

    def test_the_newest_that_stands_is_used(self, scanner, by):
        study(scanner, by, people=None, rms_sd_g_cm2=0.02, freedom=30)
        old = DAY - dt.timedelta(days=900)
        study(scanner, by, people=None, rms_sd_g_cm2=0.01, freedom=30, made_on=old)
        newest = study(scanner, by, people=None, rms_sd_g_cm2=0.03, freedom=30)
        assert errors_in_use()["room 2"]["total_hip"] == 0.03
        withdraw(row=newest, reason="Wrong machine", by=by, at=MOMENT)
        assert errors_in_use()["room 2"]["total_hip"] == 0.02

    def test_struck_out_once_and_only_with_a_reason(self, scanner, by):
        made = study(scanner, by)
        with pytest.raises(Refused, match="Say why"):
            withdraw(row=made, reason=" ", by=by, at=MOMENT)
        withdraw(row=made, reason="Wrong", by=by, at=MOMENT)
        withdraw(row=made, reason="Again", by=by, at=MOMENT)
        made.refresh_from_db()
        assert made.withdrawn_reason == "Wrong"
        assert Audit.objects.filter(action="withdraw precision study").count() == 1

    def test_never_after_today(self, scanner, by):
        with pytest.raises(Refused, match="after today"):
            study(scanner, by, made_on=DAY + dt.timedelta(days=1))

    def test_the_same_form_twice_is_one_study(self, scanner, by):
        sent = {
            "scanner": scanner,
            "study": Study(site="total_hip", made_on=DAY, people=PEOPLE),
            "by": by,
            "at": MOMENT,
            "token": uuid4(),
        }
        assert record_study(**sent) == record_study(**sent)

    def test_never_deleted(self, scanner, by):
        made = study(scanner, by)
        with pytest.raises(DatabaseError), transaction.atomic():
            # Past the row's own refusal, to the database's.
            models.Model.delete(made)


def told(by, marker="ctx", **more):
    values = {"laboratory": "North", "told_on": DAY, "lsc_percent": 30.0, **more}
    figures = MarkerFigures(marker=marker, **values)
    return record_marker_error(figures=figures, by=by, at=MOMENT)


class TestLaboratory:
    def test_worked_out_from_the_cvs_and_not_rounded(self, by):
        made = told(by, "p1np", cv_percent=(5.8, 12.4), lsc_percent=None)
        made.refresh_from_db()
        assert made.lsc_percent is None
        assert marker_lscs()["p1np"].percent == lsc_percent(5.8, 12.4)
        assert Audit.objects.last().action == "add marker error"

    def test_the_newest_that_stands_is_used(self, by):
        told(by, lsc_percent=30.0)
        told(by, lsc_percent=20.0, told_on=DAY - dt.timedelta(days=900))
        newest = told(by, lsc_percent=40.0)
        told(by, "p1np", lsc_percent=25.0)
        assert {m: lsc.percent for m, lsc in marker_lscs().items()} == {"ctx": 40.0, "p1np": 25.0}
        withdraw(row=newest, reason="Another method", by=by, at=MOMENT)
        assert marker_lscs()["ctx"].percent == 30.0

    def test_struck_out_once_and_only_with_a_reason(self, by):
        made = told(by)
        with pytest.raises(Refused, match="Say why"):
            withdraw(row=made, reason=" ", by=by, at=MOMENT)
        withdraw(row=made, reason="Wrong", by=by, at=MOMENT)
        withdraw(row=made, reason="Again", by=by, at=MOMENT)
        made.refresh_from_db()
        assert made.withdrawn_reason == "Wrong"
        assert Audit.objects.filter(action="withdraw marker error").count() == 1

    def test_never_after_today(self, by):
        told(by, told_on=DAY)
        with pytest.raises(Refused, match="after today"):
            told(by, told_on=DAY + dt.timedelta(days=1))

    def test_the_same_form_twice_is_one(self, by):
        figures = MarkerFigures(laboratory="North", marker="ctx", told_on=DAY, lsc_percent=30.0)
        sent = {"figures": figures, "by": by, "at": MOMENT, "token": uuid4()}
        assert record_marker_error(**sent) == record_marker_error(**sent)
        assert MarkerError.objects.count() == 1

    def test_never_deleted(self, by):
        made = told(by)
        with pytest.raises(DatabaseError), transaction.atomic():
            # Past the row's own refusal, to the database's.
            models.Model.delete(made)


def test_a_day_of_the_worry_scale_alone_is_no_row_of_a_file():
    day = FunctionTestDayFactory()
    blank = dict.fromkeys(("up_and_go_s", "chair_stands_30s", "walk_4m_s", "resting_bp"))
    FunctionTestDayFactory(patient=day.patient, worry=[1] * 7, **blank)
    assert [row.fact for row in held_rows("tests", [day.patient_id])] == [day.fact()]


HEAD = b"record number,date,site,side,BMD g/cm2\n"


def park(by, content, at=MOMENT):
    return scanners.park(name="scans.csv", content=content, by=by, at=at)


def take(parked, by, expected, **more):
    sent = {"parked": parked, "choices": Choices(), "expected": expected, "by": by, "at": MOMENT}
    return scanners.take(**(sent | more))


class TestFile:
    def test_nothing_is_kept_before_it_is_taken(self, by):
        PatientFactory(record_number="0001")
        parked = park(by, HEAD + b"0001,2026-01-20,total hip,left,0.681\n")
        assert len(scanners.look(parked, Choices(), DAY).taken) == 1
        assert not ScanRow.objects.exists()

    def test_taken_with_one_line_of_the_record_for_each_patient(self, by):
        ann, bea = (PatientFactory(record_number=n) for n in ("0001", "0002"))
        rows = b"0001,2026-01-20,total hip,left,0.681\n0002,2026-01-20,spine,,1.034\n"
        parked = park(by, HEAD + rows + b"0001,2025-01-20,total hip,left,0.7\n")
        assert take(parked, by, 3) == 3
        row = ScanRow.objects.filter(patient=ann).latest("date")
        assert (row.side, row.bmd_g_cm2, row.entered_by) == ("left", Decimal("0.681"), by)
        lines = Audit.objects.filter(action="import scan")
        assert {line.object_id for line in lines} == {str(ann.pk), str(bea.pk)}
        assert audit.verify_chain() is None
        assert not ParkedFile.objects.exists()

    def test_taken_twice_counts_once(self, by):
        PatientFactory(record_number="0001")
        parked = park(by, HEAD + b"0001,2026-01-20,total hip,left,0.681\n")
        token = uuid4()
        assert take(parked, by, 1, token=token) == take(parked, by, 1, token=token) == 1
        assert ScanRow.objects.count() == 1

    def test_a_record_changed_meanwhile_is_looked_at_again(self, by):
        patient = PatientFactory(record_number="0001")
        parked = park(by, HEAD + b"0001,2026-01-20,total hip,left,0.681\n")
        fact = {"patient": patient, "t": None, "z": None, "scanner": None}
        ScanFactory(**fact, bmd_g_cm2=Decimal("0.681"))
        with pytest.raises(Refused, match="changed in the meantime"):
            take(parked, by, 1)
        assert ScanRow.objects.count() == 1

    @pytest.mark.parametrize("content", [HEAD + b"X,2026-01-20,total hip,,0.7\n"])
    def test_nothing_to_take_is_refused(self, by, content):
        with pytest.raises(Refused):
            take(park(by, content), by, 0)

    def test_a_file_that_still_asks_is_not_taken(self, by):
        PatientFactory(record_number="0001")
        asks_order = park(by, HEAD + b"0001,03/04/2025,total hip,,0.7\n")
        asks_letters = park(by, HEAD + "0001,2026-01-01,hüfte,,0.7\n".encode("cp1252"))
        for parked in (asks_order, asks_letters):
            assert scanners.look(parked, Choices(), DAY) is None
            with pytest.raises(Refused):
                take(parked, by, 1)
        assert take(asks_order, by, 1, choices=Choices(order="day_first")) == 1

    def test_a_file_that_is_none_is_unfit(self, by):
        with pytest.raises(Unfit):
            scanners.look(park(by, b"a\0"), Choices(), DAY)

    def test_thrown_away(self, by):
        parked = park(by, HEAD)
        scanners.drop(parked=parked, by=by, at=MOMENT)
        assert not ParkedFile.objects.exists()
        assert Audit.objects.last().action == "drop file"

    def test_a_day_later_it_is_gone(self, by):
        first = park(by, HEAD)
        park(by, HEAD, at=MOMENT + dt.timedelta(hours=24))
        assert ParkedFile.objects.filter(pk=first.pk).exists()
        park(by, HEAD, at=MOMENT + dt.timedelta(hours=24, seconds=1))
        assert not ParkedFile.objects.filter(pk=first.pk).exists()

    def test_struck_out_rows_are_held_as_such(self, by):
        row = ScanFactory(withdrawn=True)
        (held,) = scanners.held_rows("scan", [row.patient_id])
        assert held.struck
        assert held.beside == {"side": "left", "vertebrae": ""}


@pytest.mark.slow
def test_five_thousand_scans_with_thirty_seven_bad_rows(by):
    """Exactly the bad rows are reported, by line and reason, and nothing else is left out."""
    for number in range(50):
        PatientFactory(record_number=f"{number:06d}")
    wrong = {
        0: ("X", "No patient has record number X"),
        1: ("bmd", "is not a number"),
        2: ("low", "Check this"),
        3: ("day", "The calendar has no day"),
    }
    lines, expected = [HEAD], {}
    for n in range(5000):
        day = dt.date(2015, 1, 1) + dt.timedelta(days=n // 50)
        cells = [f"{n % 50:06d}", day.isoformat(), "total hip", "left", f"0.{600 + n % 300}"]
        if n % 135 == 7:
            kind = n % 4
            cells[{0: 0, 1: 4, 2: 4, 3: 1}[kind]] = ("X", "o.7", "0.07", "2015-02-30")[kind]
            expected[n + 2] = wrong[kind][1]
        lines.append(",".join(cells).encode() + b"\n")
    assert len(expected) == 37
    parked = park(by, b"".join(lines))
    checked = scanners.look(parked, Choices(), DAY)
    assert [row.line for row in checked.bad] == sorted(expected)
    assert all(expected[row.line] in row.reasons[0] for row in checked.bad)
    assert len(checked.taken) == 4963
    assert not ScanRow.objects.exists()
    assert take(parked, by, 4963) == 4963
    assert ScanRow.objects.count() == 4963
    assert audit.verify_chain() is None
