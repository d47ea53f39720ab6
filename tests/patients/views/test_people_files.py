"""The page for a list of people: shown, added, asked about, undone."""

from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from patients.models.patient import Audit, Patient
from patients.models.scanners import ParkedFile
from patients.models.standing import Closing
from patients.staff.rights import Role
from patients.views import people_files
from tests.conftest import MarkedClient
from tests.factories import PatientFactory, UserFactory
from tests.patients.pages import filled, text_of, url
from tests.staff import person_of

LIST = """Given name,Surname,Date of birth,Sex,Record number
Ines,O'Larkmere,14.03.1951,F,L-1
Inés,O'Larkmere,1951-03-14,female,
Bo,Tarnwick,29 Feb 1948,male,L-2
Cy,Weirstone,03/04/1950,m,
Dee,Upferry,about 70,female,
"""


def sent(client: MarkedClient, text: str = LIST, encoding: str = "utf-8") -> str:
    """Send a list; return where it is shown."""
    file = SimpleUploadedFile("people.csv", text.encode(encoding))
    answered = client.post(url("import_people"), {"file": file})
    assert answered.status_code == 302
    return str(answered["Location"])


def page(client: MarkedClient, address: str) -> str:
    return " ".join(text_of(client.get(address)).split())


def press(client: MarkedClient, address: str, **more: str) -> str:
    """Press a button; return what the page says then."""
    return " ".join(
        text_of(client.post(address, filled(client, address) | more, follow=True)).split()
    )


def test_a_list_is_shown_before_anybody_is_added(signed_in: MarkedClient) -> None:
    address = sent(signed_in)
    told = page(signed_in, address)
    assert "5 rows: <strong>3</strong> to be added, 1 to be asked about, 0 added before" in told
    assert "29 Feb 1948" in told
    assert "may be the person of line 2" in told.lower()
    assert "can be two days" in told
    assert "about 19" in told
    assert not Patient.objects.exists()


def test_added_and_sent_again_nobody_twice(signed_in: MarkedClient) -> None:
    address = sent(signed_in)
    told = press(signed_in, address, take="yes")
    assert "Added: 3." in told
    assert Patient.objects.count() == 3
    assert "3 added before" in told
    assert "Added: 0." in press(signed_in, address, take="yes")
    assert "3 added before" in page(signed_in, sent(signed_in))
    assert Patient.objects.count() == 3


def test_another_person_is_added_for_a_reason(signed_in: MarkedClient) -> None:
    PatientFactory(given_name="Bo", family_name="Tarnwick", born="1948-02-29", born_is="day")
    address = sent(signed_in)
    ticked = {"take": "yes", "other-4": "yes"}
    asked = signed_in.post(address, filled(signed_in, address) | ticked)
    assert asked.status_code == 422
    told = text_of(asked)
    assert "Say how it is known" in told
    assert 'name="other-4" value="yes" checked' in told
    assert Patient.objects.count() == 1
    press(signed_in, address, **ticked, reason="Seen side by side.")
    assert Patient.objects.filter(family_name="Tarnwick").count() == 2
    assert Audit.objects.filter(action="add patient", reason="Seen side by side.").count() == 1


def test_undone_as_a_whole_for_a_reason(signed_in: MarkedClient) -> None:
    address = sent(signed_in)
    press(signed_in, address, take="yes")
    refused = signed_in.post(address, filled(signed_in, address) | {"undo": "yes"})
    assert refused.status_code == 422
    assert "Say why the records are closed." in text_of(refused)
    assert not Closing.objects.exists()
    told = press(signed_in, address, undo="yes", note="The wrong file.")
    assert "Closed, as entered in error: 3." in told
    assert Closing.objects.count() == 3


def test_who_may_close_no_record_is_told_and_refused(db: None) -> None:
    assistant = person_of(Role.ASSISTANT, username="desk")
    client = MarkedClient()
    client.force_login(assistant)
    address = sent(client)
    assert "Your account may close no record." in press(client, address, take="yes")
    refused = client.post(address, filled(client, address) | {"undo": "yes", "note": "Wrong."})
    assert refused.status_code == 422
    assert not Closing.objects.exists()


def test_what_cannot_be_read_says_why(signed_in: MarkedClient, monkeypatch) -> None:
    for text, why in (
        ("Given name,Hat size\nAnn,7\n", "Unknown columns"),
        (LIST + "Él,Obo,1950-01-01,f,\n", "The file is not UTF-8"),
    ):
        told = signed_in.get(sent(signed_in, text, "latin-1"))
        assert told.status_code == 422
        assert why in text_of(told)
    monkeypatch.setattr(people_files, "MOST_ROWS", 3)
    assert "a list as long as that" in text_of(signed_in.get(sent(signed_in))).lower()
    empty = signed_in.post(url("import_people"), {"file": SimpleUploadedFile("a.csv", b"")})
    assert empty.status_code == 422
    assert "Choose a file that is not empty." in text_of(empty)
    monkeypatch.setattr(people_files, "LARGEST_BYTES", 10)
    long = {"file": SimpleUploadedFile("a.csv", LIST.encode())}
    assert "import_people" in text_of(signed_in.post(url("import_people"), long))


def test_a_list_is_for_her_alone_who_sent_it_and_goes_when_discarded(
    signed_in: MarkedClient,
) -> None:
    other = ParkedFile.objects.create(
        name="b.csv",
        content=LIST.encode(),
        digest="0",
        parked_by=UserFactory(),
        parked_at=timezone.now(),
        expires_at=timezone.now() + timezone.timedelta(hours=1),
    )
    gone = signed_in.get(url("import_people_file", other.pk), follow=True)
    assert "no longer here" in text_of(gone)
    address = sent(signed_in)
    assert "Discarded." in press(signed_in, address, drop="yes")
    assert not ParkedFile.objects.exclude(pk=other.pk).exists()
