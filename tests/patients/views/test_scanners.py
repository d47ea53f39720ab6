"""The pages of scanners: their names, precision studies and errors."""

import pytest

from patients.models.scanners import PrecisionStudy, Scanner
from tests.factories import ScanFactory
from tests.patients.pages import text_of, url

pytestmark = pytest.mark.django_db
ROWS = "\n".join(["0.900;0.910"] * 15 + ["0.800;0.820"] * 15)


@pytest.fixture
def scanner():
    return Scanner.objects.create(name="Room 2")


class TestScanners:
    def test_defaults_are_marked_as_not_this_clinic_s(self, signed_in):
        html = text_of(signed_in.get(url("scanners")))
        assert "default, not this clinic’s" in html
        # 2.77 x 1.9 / 1.8 / 2.5 % (ISCD, from memory).
        assert all(f"{least} %" in html for least in ("5.3", "5.0", "6.9"))
        assert "none known: no verdict on a change" in html

    def test_add_one(self, signed_in):
        response = signed_in.post(url("scanners"), {"name": "Room 2", "note": "ground floor"})
        kept = Scanner.objects.get()
        assert response.url == url("scanner", kept.pk)
        again = signed_in.post(url("scanners"), {"name": "room 2"})
        assert again.status_code == 422
        assert "here already" in text_of(again)
        assert "Write the name" in text_of(signed_in.post(url("scanners"), {"name": " "}))

    def test_names_of_scans_that_are_on_no_list_are_said(self, signed_in, scanner):
        ScanFactory(scanner="ROOM 2")
        assert "Not on the list" not in text_of(signed_in.get(url("scanners")))
        ScanFactory(scanner="A")
        html = text_of(signed_in.get(url("scanners")))
        assert "Not on the list: A." in html.replace("</strong>", "")

    def test_a_pasted_study_gives_error_and_both_lscs(self, signed_in, scanner):
        sent = {"site": "total_hip", "made_on": "2025-05-01", "rows": ROWS, "note": "two of us"}
        assert signed_in.post(url("scanner", scanner.pk), sent).status_code == 302
        html = text_of(signed_in.get(url("scanner", scanner.pk)))
        # RMS-SD 0.01118, LSC 0.0310 (ISCD formula on a constructed study).
        assert all(shown in html for shown in ("0.01118", "0.0310", "0.0202", "two of us"))
        assert "study of 1 May 2025, 30 degrees of freedom" in html

    def test_a_small_study_is_marked(self, signed_in, scanner):
        sent = {"site": "total_hip", "made_on": "2025-05-01", "rows": "0.9;0.91\n0.8;0.81"}
        signed_in.post(url("scanner", scanner.pk), sent)
        assert "too small, not used" in text_of(signed_in.get(url("scanner", scanner.pk)))

    @pytest.mark.parametrize(
        ("change", "said"),
        [
            ({"rows": ""}, "the densities, or else the error"),
            ({"rms_sd": "0.01"}, "not both"),
            ({"rows": "", "rms_sd": "0.01"}, "Write the degrees of freedom"),
            ({"rows": "", "rms_sd": "1.8", "freedom": "30"}, "Check this"),
            ({"rows": "0.9;0.91\n0.9;x"}, "Line 2: “x” is not a number"),
            ({"site": ""}, "Choose the site"),
            ({"made_on": ""}, "Write the day"),
            ({"made_on": "1/5/2025"}, "can be two days"),
            ({"made_on": "2126-05-01"}, "after today"),
        ],
    )
    def test_what_is_wrong_with_a_study_is_said(self, signed_in, scanner, change, said):
        sent = {"site": "total_hip", "made_on": "2025-05-01", "rows": ROWS} | change
        response = signed_in.post(url("scanner", scanner.pk), sent)
        assert response.status_code == 422
        assert said in text_of(response)
        assert not PrecisionStudy.objects.exists()

    def test_a_study_entered_in_error(self, signed_in, scanner):
        sent = {"site": "total_hip", "made_on": "2025-05-01", "rms_sd": "0.012", "freedom": "31"}
        signed_in.post(url("scanner", scanner.pk), sent)
        page = url("study_withdraw", PrecisionStudy.objects.get().pk)
        assert "Say what was wrong" in text_of(signed_in.post(page, {"reason": " "}))
        assert signed_in.post(page, {"reason": "of another room"}).status_code == 302
        html = text_of(signed_in.get(url("scanner", scanner.pk)))
        assert "of another room" in html
        assert "31 degrees of freedom" not in html
        assert "struck out already" in text_of(signed_in.get(page))

    def test_change_and_conflict(self, signed_in, scanner):
        page = url("scanner_change", scanner.pk)
        sent = {"name": "Room 3", "note": "", "version": "1"}
        assert signed_in.post(page, sent).status_code == 302
        late = signed_in.post(page, {"name": "Room 4", "version": "1"})
        assert "Changed in the meantime to “Room 3”" in text_of(late)
        Scanner.objects.create(name="Room 9")
        assert "here already" in text_of(signed_in.post(page, {"name": "room 9", "version": "2"}))
