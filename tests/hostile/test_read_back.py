"""Each text that means to be more than text, in each place where somebody types one, read back.

Pages, papers, tables and calendars show it whole and as text alone; nothing answers 500.
"""

from __future__ import annotations

import io
import json
import re
import sys
import zipfile
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from html import unescape
from typing import Any
from unittest import mock

import pikepdf
import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import resolve, reverse
from django.utils import timezone

from patients.models.patient import Patient
from patients.models.unfinished import UnfinishedForm
from patients.views.unfinished import LEFT_UNFINISHED
from programs.actions import pdf_process
from programs.actions.phone_codes import make_code
from programs.actions.printing import printable
from programs.models.program import SignedPlan
from tests.hostile.clinic import WITH_HER_PHONE, a_clinic
from tests.hostile.places import IN_JSON, NOT_TYPED, SEEN_IN_PART, TYPED, columns_of_text
from tests.hostile.reading import (
    MARK,
    Page,
    cells_of_table,
    squeezed,
    words_of,
    wrong_with_calendar,
    wrong_with_table,
)
from tests.hostile.texts import TEXTS
from tests.hostile.writing import NAMES, PLACES, Written
from tests.programs.her_phone import get, new_phone, opened, write

LINK = re.compile(r'href="(/[^"#]*)')
FIRST = (
    *("/", "/patients/", "/people/", "/import/", "/plates/", "/scanners/", "/laboratory/"),
    *("/clinic/", "/clinic/record/?of=looks", "/clinic/record.csv?of=looks", "/rulebook/"),
)
#: Opened by nobody here: files of the product's own, what ends the session, and the caseload,
#: which screens everybody anew first.
LEFT_OUT = ("/static/", "/sign-out/", "/evidence/", "/what-changed/", "/clinic/made-of")
#: Read of each person; all other pages once, of whoever comes first.
OF_EACH = (
    *("patients:measures", "programs:timeline", "programs:log", "programs:log_table"),
    *("programs:review", "programs:person_export"),
)
#: What is read at a stop, of each person; at another one everything there is.
AT_STOP = {
    "before sign_plan": ("programs:plan", "programs:sign", "programs:draft_pdf"),
    "before leave_day": ("programs:log", "programs:log_phone", "programs:phone"),
    "before undo_join": ("patients:joined", "patients:kept"),
    "before set_keys": (),
    "after erase_person": ("patients:facts",),
}


class Seen:
    """What was read so far: where it stood whole or in part, and what was more than text."""

    def __init__(self, written: Written) -> None:
        self.written = written
        self.whole: dict[str, set[str]] = defaultdict(set)
        self.part: dict[str, set[str]] = defaultdict(set)
        self.wrong: list[tuple[str, str]] = []
        self.read: Counter[str] = Counter()

    def take(self, kind: str, where: str, texts: list[str], wrong: Any, printed: Any = str) -> None:
        """Take what was read at a place; printed: how a text is written there."""
        self.read[kind] += 1
        self.wrong += [(where, one) for one in wrong]
        for text in texts:
            marks = set(MARK.findall(text)) & self.written.texts.keys()
            held = squeezed(text) if marks else ""
            for mark in marks:
                column, whole = self.written.texts[mark]
                there = squeezed(printed(whole)) in held
                (self.whole if there else self.part)[column].add(kind)

    def page(self, where: str, html: str, kind: str = "page", printed: Any = str) -> None:
        page = Page(html)
        self.take(kind, where, page.texts, page.wrong, printed)

    def answer(self, where: str, answer: Any) -> str:
        """Take an answer of any kind; return its text where it is a page."""
        body, kind = answer.getvalue(), answer.headers["Content-Type"].partition(";")[0]
        if answer.status_code >= 500:
            self.wrong.append((where, f"answered {answer.status_code}"))
        if kind == "text/html":
            self.page(where, body.decode())
            return str(body.decode())
        if kind == "text/csv":
            text = body.decode()
            self.take("table", where, cells_of_table(text), wrong_with_table(text))
        elif kind == "text/calendar":
            self.take("calendar", where, [], wrong_with_calendar(body))
        elif kind == "application/zip":
            self.archive(where, body)
        return ""

    def archive(self, where: str, body: bytes) -> None:
        with zipfile.ZipFile(io.BytesIO(body)) as archive:
            for name in archive.namelist():
                if name.endswith(".json"):
                    held = json.loads(archive.read(name))
                    self.take("archive", f"{where} {name}", [*words_of(held)], ())


def addresses(stop: str, turn: int) -> Iterator[tuple[str, Callable[[str], None]]]:
    """Yield the addresses to read, and what takes the page of each: its links are followed.

    People come in another order each turn.
    """
    people = [*Patient._base_manager.order_by("pk").values_list("pk", flat=True)]
    people = people[turn % len(people) :] + people[: turn % len(people)]
    each = AT_STOP.get(stop, OF_EACH)
    waiting = [reverse(name, args=[pk]) for name in each for pk in people]
    waiting += UnfinishedForm.objects.values_list("page", flat=True)
    if stop in AT_STOP:
        everything = ("/clinic/record.csv?", *waiting)
        yield from ((address, lambda html: None) for address in everything)
        return
    signed = SignedPlan.objects.values_list("patient_id", "pk")
    waiting += [reverse("programs:session_calendar", args=of) for of in signed]
    waiting += [*FIRST, *(reverse("patients:facts", args=[pk]) for pk in people)]
    yield from _followed(waiting, each)


def _followed(
    waiting: list[str], each: tuple[str, ...]
) -> Iterator[tuple[str, Callable[[str], None]]]:
    """Yield the same of pages whose links are followed, each kind of page in each of its forms."""
    met = set()
    while waiting:
        address = unescape(waiting.pop())
        path, _, query = address.partition("?")
        if address.startswith(LEFT_OUT):
            continue
        found = resolve(path)
        form = [v for v in found.kwargs.values() if isinstance(v, str)]
        of = path if found.view_name in (*each, "programs:session_calendar") else ""
        key = (found.view_name, of, *form, *(one[:4] for one in query.split("&")))
        if key not in met:
            met.add(key)
            yield address, lambda html: waiting.extend(LINK.findall(html))


def her_phone(seen: Seen, by: User) -> None:
    """Read her week on her phone, and the day that she writes."""
    signed = SignedPlan.objects.latest("pk")
    code = make_code(signed=signed, language="en", by=by, at=timezone.now())[1]
    phone, day = new_phone(), timezone.localdate().isoformat()
    assert opened(phone, code).status_code == 302
    note = seen.written.text("programs.PhoneEntry.told")
    answers = [write(phone, day, day__note=note * 90), write(phone, day, day__note=note)]
    assert [one.status_code for one in answers] == [422, 302]
    for answer in (answers[0], get(phone), get(phone, f"/week/day/{day}/")):
        seen.answer("/week/", answer)


def sign_in(client: Client, by: User) -> None:
    """Sign in with something left unfinished, so that its page shows it."""
    client.force_login(by)
    session = client.session
    session[LEFT_UNFINISHED] = True
    session.save()


def read_all(client: Client, by: User, turn: int, orders: list[str]) -> Seen:
    """Let a clinic write the texts of a turn, and read everything at each stop."""
    seen = Seen(Written(turn))
    for stop, at in a_clinic(by, seen.written):
        with mock.patch.object(timezone, "now", return_value=at):
            if stop == WITH_HER_PHONE:
                her_phone(seen, by)
                continue
            sign_in(client, by)
            for address, follow in addresses(stop, turn):
                follow(seen.answer(address, client.get(address, follow=True)))
    for order in orders:
        seen.page("a paper", order, "paper", printable)
    return seen


def test_each_column_of_text_has_its_place() -> None:
    """A new one fails here until it is said whether somebody types into it."""
    placed = [*TYPED, *IN_JSON, *NOT_TYPED]
    assert sorted({*columns_of_text()} ^ {*placed}) == []
    assert len(placed) == len({*placed})


def test_there_are_texts_enough() -> None:
    assert len({*TEXTS.values()}) >= 25
    assert all("MARK" in text for text in TEXTS.values())


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Take one turn, or as many as are asked for: in all of them each text stood everywhere."""
    if "turn" in metafunc.fixturenames:
        metafunc.parametrize("turn", range(min(metafunc.config.getoption("turns"), len(NAMES))))


@pytest.mark.slow
@pytest.mark.django_db
def test_hostile_texts_are_read_back_as_text(
    turn: int, signed_in: Client, clinician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    orders: list[str] = []
    empty = io.BytesIO()
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        pdf.save(empty)

    def taken(order: pdf_process.Order) -> bytes:
        orders.append(order.text)
        return empty.getvalue()

    monkeypatch.setattr(pdf_process, "apart", taken)
    signed_in.raise_request_exception = False
    seen = read_all(signed_in, clinician, turn, orders)
    texts, read = len(seen.written.texts), dict(seen.read)
    sys.stdout.write(f"{texts} texts in {len(seen.whole)} columns, read: {read}\n")
    assert seen.wrong == []
    assert {*PLACES} - {place for place, _ in seen.written.texts.values()} == set()
    assert {*PLACES} - {*seen.whole} <= {*SEEN_IN_PART}
    assert set(read) == {"page", "paper", "table", "calendar", "archive"}
