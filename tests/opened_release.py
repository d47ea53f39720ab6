"""Tells, as JSON, what a database of an older release holds once it is migrated to today.

A program of its own, so that key, settings and connection are those of a served app: the
environment names the state folder and, where it is not in there, the database.
"""

import datetime as dt
import hashlib
import io
import json
import re
import sys
from collections import Counter
from collections.abc import Iterator
from html import unescape
from math import inf
from typing import Any
from unittest import mock
from urllib.parse import urldefrag, urljoin, urlsplit

import django
from django.apps import apps
from django.contrib.auth import get_user_model
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, resolve, reverse
from django.urls.exceptions import Resolver404

from tests.schema import schema

#: A draft and all that is kept of a person take the press seconds, so that the first one linked
#: to stands for the others; the blank form of questions takes them too, and holds nothing of the
#: database.
OPENED_ONCE = {"programs:draft_pdf", "programs:person_export"}
NOT_OPENED = {"programs:questionnaire"}
#: Whoever came last has all that a release could hold of a person: her own pages are all opened,
#: and so many of each address that needs more (a section of her facts, a week of her log). Of all
#: others one of each address is opened, and of a page of the clinic with a filter a few. What is
#: asked of the database is alike for each of these: on the second one, fewer of them are enough.
CAME_LAST, OF_EACH, OF_OTHERS = {"sqlite": (7, 3, 1), "postgresql": (4, 3, 1)}[connection.vendor]
LINK = re.compile(r'(?:href|action)="([/?][^"]*)"')


def main() -> None:
    django.setup()
    call_command("migrate", verbosity=0)
    look_again = look_again_at()
    told = {
        "look_again": look_again,
        "rescreened": rescreened(),
        "printed": [printed(row) for row in rows("programs", "SignedPlan")],
        **chains(),
        "signed": [signed(row) for row in rows("programs", "SignedPlan")],
        "papers": [paper(row) for row in rows("programs", "Handout")],
        "rows": {table: count(table) for table in connection.introspection.table_names()},
        "refused": refused(),
        "schema": schema(),
        "pages": pages_without_the_press(),
        "addresses": sorted(name for name, _ in addresses()),
    }
    json.dump(told, sys.stdout)


def rows(app: str, model: str) -> Any:
    return apps.get_model(app, model).objects.order_by("pk")


# --- The record and what was signed -----------------------------------------------------------


def chains() -> dict[str, Any]:
    from patients import audit
    from programs.actions import signing

    return {
        "record_broken": repr(audit.verify_chain()),
        "record": dict(rows("patients", "Audit").values_list("seq", "hash")),
        "signed_broken": repr(signing.chain_break()),
    }


def signed(row: Any) -> dict[str, Any]:
    """Return a signed program's digest, that of its text, and a little that its reader tells."""
    from programs.signed import snapshot

    document = snapshot.read(row.body)
    weeks = document["weeks"]
    return {
        "digest": row.digest,
        "digest_of_text": hashlib.sha256(row.body.encode()).hexdigest(),
        "record_number": document["patient"]["record_number"],
        "version": document["version"],
        "replaces": document["replaces"],
        "starts_on": document["starts_on"],
        "signed_by": document["signer"]["name"],
        "signed_at": dt.datetime.fromisoformat(document["signer"]["at"]).isoformat(),
        "rulebook": document["rulebook"],
        "facts": sorted(document["facts"]),
        "changes": [[one["path"], one["new"], one["reason"]] for one in document["edits"]],
        "weeks": len(weeks),
        "plate": [week["plate"] and week["plate"]["frequency_hz"] for week in weeks],
        "lifting_percent": [(week["resistance"] or {}).get("percent_1rm") for week in weeks],
        "impacts": [(week["impact"] or {}).get("impacts") for week in weeks],
        "balance_min": [(week["balance"] or {}).get("minutes") for week in weeks],
        "posture_min": [(week["posture"] or {}).get("minutes") for week in weeks],
        "days": document["timetable"],
    }


def look_again_at() -> dict[str, Any]:
    """Hold what is in force against today's rulebook by its command, on a day it was in force.

    Returns what was said, what a second time says, and of each record number the words kept.
    """
    from programs.actions.rulebook_check import to_look_at

    at = last_moment()
    with mock.patch("django.utils.timezone.now", return_value=at):
        said = [told_by("hold_against_rulebook") for _ in range(2)]
    listed = {
        f"{one.signed.patient.record_number} {one.signed.version}": [d.words for d in one.differs]
        for one in to_look_at(at.date())
    }
    kept = rows("programs", "RulebookCheck")
    return {"said": said, "listed": listed, "held": kept.count(), "day": at.date().isoformat()}


def rescreened() -> dict[str, Any]:
    """Screen everybody anew by the command, twice; return what it says, and who was screened."""
    with mock.patch("django.utils.timezone.now", return_value=last_moment()):
        said = [told_by("rescreen") for _ in range(2)]
    kept = rows("programs", "Rescreen")
    return {"said": said, "kept": kept.count(), "people": rows("patients", "Patient").count()}


def last_moment() -> dt.datetime:
    """Return when the release last wrote into its record."""
    found: dt.datetime = rows("patients", "Audit").latest("at").at
    return found


def told_by(command: str) -> str:
    out = io.StringIO()
    call_command(command, stdout=out)
    return out.getvalue()


def printed(row: Any) -> dict[str, Any]:
    """Return why no paper of a signed program is made anew; the press itself is not asked."""
    from programs.actions import papers
    from programs.actions.refusals import NotDone

    options = {"kind": "summary", "paper": "Letter", "by": row.signed_by, "at": last_moment()}
    why = ""
    with mock.patch.object(papers, "pdf", return_value=b"%PDF"), transaction.atomic():
        try:
            papers.make_paper(signed=row, **options)
        except NotDone as refusal:
            why = str(refusal)
        transaction.set_rollback(True)
    of = f"{row.patient.record_number} {row.version}"
    return {"of": of, "why": why}


def paper(row: Any) -> dict[str, Any]:
    return {
        "kind": row.kind,
        "language": row.language,
        "digest": row.signed.digest,
        "sha256": row.sha256,
        "sha256_of_bytes": hashlib.sha256(bytes(row.pdf)).hexdigest(),
    }


# --- What the database itself holds and refuses -----------------------------------------------


def count(table: str) -> int:
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT COUNT(*) FROM {connection.ops.quote_name(table)}")
        found: int = cursor.fetchone()[0]
    return found


def refused() -> dict[str, list[str]]:
    """Return for each table what it refuses to do to rows that are there; all is taken back."""
    tables = connection.introspection.table_names()
    whole = "TRUNCATE" if connection.vendor == "postgresql" else "REPLACE"
    return {table: [what for what in ("UPDATE", "DELETE", whole) if is_refused(what, table)]
            for table in tables}  # fmt: skip


def is_refused(what: str, table: str) -> bool:
    name = connection.ops.quote_name(table)
    try:
        with transaction.atomic(), connection.cursor() as cursor:
            column = connection.introspection.get_table_description(cursor, table)[0].name
            same = f"{connection.ops.quote_name(column)} = {connection.ops.quote_name(column)}"
            sql = {
                "UPDATE": f"UPDATE {name} SET {same}",
                "DELETE": f"DELETE FROM {name}",
                "REPLACE": f"INSERT OR REPLACE INTO {name} SELECT * FROM {name}",
                "TRUNCATE": f"TRUNCATE {name} CASCADE",
            }
            cursor.execute(sql[what])
            transaction.set_rollback(True)
    except DatabaseError as error:
        return "kept as they are" in str(error)
    return False


# --- Pages ------------------------------------------------------------------------------------


def pages_without_the_press() -> dict[str, dict[str, str]]:
    """Open the pages; a paper is put together, and not printed: it is one of today's."""
    with mock.patch("programs.actions.pdf_process.apart", return_value=b"%PDF"):
        return pages()


def pages() -> dict[str, dict[str, str]]:
    """Open what links and forms lead to, from each patient's pages on.

    Returns for each name the answer at each path: the status, and where a redirect leads.
    """
    client = Client(SERVER_NAME="localhost", raise_request_exception=False)
    client.force_login(get_user_model().objects.filter(is_superuser=True).earliest("pk"))
    patients = list(rows("patients", "Patient").values_list("pk", flat=True))
    waiting, opened, times = list(first_pages(patients)), {}, Counter()
    seen = set(waiting)
    while waiting:
        path = waiting.pop()
        name, alike, most = kind_of(path, patients[-CAME_LAST:])
        times[alike] += 1
        if times[alike] > most:
            continue
        answer = client.get(path)
        place = answer.headers.get("Location", "")
        opened.setdefault(name, {})[path] = f"{answer.status_code} {place}".strip()
        linked = set(links(answer, path)) - seen
        seen |= linked
        waiting += sorted(linked)
    return opened


def kind_of(path: str, last: list[int]) -> tuple[str, object, float]:
    """Return the name of a page, which are like it, and how many of these are opened."""
    place = urlsplit(path)
    match = resolve(place.path)
    name, patient = match.view_name, match.kwargs.get("patient_id")
    if name in NOT_OPENED or name in OPENED_ONCE:
        return name, name, int(name in OPENED_ONCE)
    if patient not in {None, *last}:
        return name, (name, "of others"), OF_OTHERS
    if not place.query and set(match.kwargs) <= {"patient_id"}:
        return name, path, inf
    return name, (name, patient), OF_EACH


def first_pages(patients: list[int]) -> Iterator[str]:
    """Yield what needs nothing in its address but, at most, a patient."""
    for name, needed in addresses():
        if name in OPENED_ONCE:
            continue
        if not needed:
            yield reverse(name)
        elif needed == {"patient_id"}:
            yield from (reverse(name, args=[pk]) for pk in patients)
    yield from changes_of_open_drafts()


def changes_of_open_drafts() -> Iterator[str]:
    """Yield where an open draft is changed; one of an older rulebook links there no more."""
    from safety.findings import Modality

    drafts = rows("programs", "Plan").filter(state="draft").values_list("patient", flat=True)
    for patient in drafts:
        for name in ("programs:plan_edit", "programs:plan_leave_out"):
            yield from (reverse(name, args=[patient, str(modality)]) for modality in Modality)


def addresses() -> Iterator[tuple[str, set[str]]]:
    """Yield the name of every address and what it needs."""

    def within(patterns: Any, space: str) -> Iterator[tuple[str, set[str]]]:
        for one in patterns:
            if isinstance(one, URLResolver):
                inner = f"{one.namespace}:" if one.namespace else ""
                yield from within(one.url_patterns, space + inner)
            elif isinstance(one, URLPattern):
                yield f"{space}{one.name}", set(one.pattern.converters)

    yield from within(get_resolver().url_patterns, "")


def links(answer: Any, path: str) -> Iterator[str]:
    """Yield the app's own pages that a page links to."""
    found = [answer.headers.get("Location", "")]
    if answer.headers.get("Content-Type", "").startswith("text/html"):
        found += LINK.findall(answer.content.decode())
    for href in found:
        linked = urldefrag(urljoin(path, unescape(href))).url
        if href and is_page(linked):
            yield linked


def is_page(path: str) -> bool:
    try:
        resolve(urlsplit(path).path)
    except Resolver404:
        return False
    return True


if __name__ == "__main__":
    main()
