"""Every form that a page shows, posted with bad values: refused or taken, never a failure."""

from __future__ import annotations

import random
import sys
from collections import Counter
from html.parser import HTMLParser
from typing import Any, NamedTuple
from urllib.parse import urljoin
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction
from django.test import Client
from django.urls import get_resolver, resolve, reverse

from patients.models.patient import FractureRow, Patient
from patients.models.scanners import Scanner
from patients.views.form_marks import mark_of
from programs.actions import drafting, pdf_process
from safety.findings import Modality
from tests.patients.pages import Inputs
from tests.programs import reviews, rows

SEED = 20261129
#: What no field is made for: signs of formats and addresses, numbers that are none, too much.
BAD = (
    *("", " ", "%", "%s", "%(x)s", "{0}", "{{ 7 }}", "x", "-1", "0", "1.5", "1e400", "NaN"),
    *("²", "٣", "9" * 30, "9" * 5000, "2026-02-30", "9999-12-31", "0001-01-01", "a\x00b"),
    *("é", "\ud7ff", "<b>", "'", '"', "\r\n", "/", "..", ",", "None", "true", "[]", "on"),
)
#: Fields that no page need show for somebody to send them.
HIDDEN = (
    *("version", "based_on", "lock", "plan", "corrects", "finding", "seal", "expected"),
    *("one", "other", "page", "q", "preview", "confirm", "open", "week", "on", "language"),
)
#: Inputs in which one types.
TYPED = ("text", "search", "tel", "email", "url", "password")
#: Ends the session of who tries, or asks for the password: tried by tests of their own.
LEFT_OUT = {"sign_in", "sign_out", "password_change"}


class Form(NamedTuple):
    """A form: where it is posted, its fields with what they hold, those in which one types."""

    address: str
    fields: dict[str, list[str]]
    typed: tuple[str, ...]


class Forms(HTMLParser):
    """The addresses and fields of all forms of a page that are posted."""

    def __init__(self, page: str, at: str) -> None:
        super().__init__()
        self.at, self.found, self.typed, self.open = at, [], set(), False
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        held = dict(attrs)
        if tag == "form":
            self.open = held.get("method", "").lower() == "post"
            if self.open:
                to = urljoin(self.at, held.get("action") or self.at).partition("#")[0]
                self.found.append((to, set()))
        elif self.open and tag in ("input", "select", "textarea", "button") and held.get("name"):
            self.found[-1][1].add(held["name"])
            if tag == "textarea" or (tag == "input" and held.get("type", "text") in TYPED):
                self.typed.add((self.found[-1][0], held["name"]))


def addresses(numbers: dict[str, int]) -> list[str]:
    """Return every address of the URL table, filled with rows that are there."""
    words = {"code": ["falls", *map(str, Modality)], "kind": ["fracture"], "name": ["bone.floor"]}
    found = []
    for spec in get_resolver().url_patterns:
        for pattern in getattr(spec, "url_patterns", [spec]):
            name = ":".join(filter(None, (getattr(spec, "app_name", None), pattern.name)))
            if name in LEFT_OUT or str(pattern.pattern).endswith(".pdf"):
                continue
            needed = pattern.pattern.converters
            values = {key: numbers.get(key, 1) for key in needed if key not in words}
            for word in words.get(next((key for key in needed if key in words), ""), [""]):
                chosen = {key: word for key in needed if key in words}
                found.append(reverse(name, kwargs=values | chosen))
    return found


def bit_of_everything(clinician: User) -> tuple[dict[str, int], list[str]]:
    """Make a clinic with a bit of everything.

    Return the numbers of its rows by the names that addresses have for them, and addresses
    beside those of the table: of a row of the log, and of somebody with an open draft.
    """
    signed = reviews.signed(clinician)
    other = rows.recorded(clinician)
    her = signed.patient
    kept = {"entered_by": clinician, "entered_at": rows.AT}
    row = FractureRow.objects.create(patient=her, site="wrist", date=rows.DAY, **kept)
    session = rows.session(signed, clinician)
    held = reviews.held(signed, clinician)
    numbers = {
        "patient_id": her.pk,
        "into_id": other.pk,
        "row_id": row.pk,
        "signed_id": signed.pk,
        "review_id": held.pk,
    }
    Scanner.objects.create(name="Room 2")
    log_row = reverse("programs:log_withdraw", args=[her.pk, session.pk])
    drafting.draft_plan(patient=other, as_of=rows.DAY, starts_on=rows.DAY, by=clinician, at=rows.AT)
    of_other = [one for one in addresses({"patient_id": other.pk}) if f"/{other.pk}/plan/" in one]
    return numbers, [log_row, *of_other]


@pytest.fixture
def forms(signed_in: Client, clinician: User, monkeypatch: pytest.MonkeyPatch) -> list[Form]:
    """Return each form of a clinic with a bit of everything."""
    monkeypatch.setattr(pdf_process, "apart", lambda order: b"%PDF")
    numbers, more = bit_of_everything(clinician)
    found, typed = {}, set()
    signed_in.raise_request_exception = False
    for address in [*addresses(numbers), *more]:
        answer = signed_in.get(address)
        assert answer.status_code < 500, address
        # What is sent in pieces is closed once it is read to its end.
        page = answer.getvalue().decode(errors="ignore")
        held_by_page = Inputs(page).sent if answer.status_code == 200 else {}
        on_page = Forms(page, address)
        typed |= on_page.typed
        for to, names in on_page.found:
            found[to] = found.get(to, {}) | {n: held_by_page.get(n, [""]) for n in names}
        # An address that takes forms, though no page shows one just now.
        found.setdefault(address, {"token": [str(uuid4())]})
    takes = []
    for address, fields in found.items():
        number = resolve(address.partition("?")[0]).kwargs.get("patient_id")
        if number is not None:
            fields["patient"] = [mark_of(Patient.objects.get(pk=number))]
        out = resolve(address.partition("?")[0]).view_name in LEFT_OUT
        if not out and "POST" in signed_in.put(address).headers.get("Allow", "POST"):
            held = tuple(name for to, name in sorted(typed) if to == address)
            takes.append(Form(address, fields, held))
    return takes


def tried(client: Client, address: str, form: dict[str, Any]) -> Any:
    """Return the answer to a form; what it wrote is taken back."""
    with transaction.atomic():
        answer = client.post(address, form)
        transaction.set_rollback(True)
    return answer


def sent(chance: random.Random, fields: dict[str, list[str]], used: list[str]) -> dict[str, Any]:
    """Return a form with some of its fields, or of those nobody sees, made bad."""
    form: dict[str, Any] = {name: [*values] for name, values in fields.items()}
    form["token"] = chance.choice([str(uuid4()), str(uuid4()), *used[-3:], "x"])
    open_to = [name for name in fields if name not in ("patient", "csrfmiddlewaretoken")]
    for name in chance.sample([*open_to, *HIDDEN], k=chance.randint(1, 4)):
        if "file" in name:
            form[name] = SimpleUploadedFile("f.csv", chance.choice(BAD).encode())
        else:
            form[name] = chance.choice(BAD)
    return form


@pytest.mark.long
@pytest.mark.no_cover
@pytest.mark.django_db
def test_no_form_makes_it_fail(
    signed_in: Client, forms: list[Form], pytestconfig: pytest.Config
) -> None:
    """Each post is taken back, so that the next meets the same clinic; some tokens were used."""
    chance, answers, failed = random.Random(SEED), Counter(), []
    used = [str(uuid4())]
    signed_in.post(reverse("patients:new"), NEW | {"token": used[0]})
    for number in range(max(pytestconfig.getoption("posts"), len(forms))):
        address, fields, _ = forms[number % len(forms)]
        form = sent(chance, fields, used)
        answer = tried(signed_in, address, form)
        answers[answer.status_code] += 1
        if answer.status_code >= 500:
            failed.append((address, {n: v for n, v in form.items() if fields.get(n) != v}))
    told = f"{answers.total()} posts to {len(forms)} forms: {dict(sorted(answers.items()))}\n"
    sys.stdout.write(told)
    assert not failed, failed[:5]
    assert len(forms) > 60


NEW = {"given_name": "Fictia", "family_name": "Usedtoken", "born": "1959", "sex": "female"}
