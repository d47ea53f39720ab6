"""Every paper of the demo clinic as a digest, and the comparison of two such lists.

    python -m benchmarks.papers_compare write FILE [--pdf PROGRAMS] [--today YYYY-MM-DD]
    python -m benchmarks.papers_compare compare BEFORE AFTER

Writes the digest of each paper of each program to a JSON file: all kinds, languages, sizes of
paper and of letters, and the sheet of each week; the calendar files; the proposal of the
review. Open drafts are printed as drafts and then signed, so that they have papers too. A paper
is the page that goes to the press, which is quick; --pdf adds the finished files of so many
programs, minutes for each.
The comparison names each paper that differs or is in one list alone, and ends with 1 for any.

For a change that must leave every paper as it is: write before it, write after it, compare.
"""

from __future__ import annotations

import argparse
import datetime as dt
import hashlib
import json
import os
import re
import sys
from collections.abc import Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from itertools import product
from pathlib import Path
from typing import Any
from unittest import mock

import django
from django.core.management import call_command

TODAY = dt.date(2026, 11, 25)
ANEW = dt.datetime(2026, 11, 25, 12, 0, tzinfo=dt.UTC)
WEEKS = range(1, 27)
#: Given to each file, since several are made at once.
LONGEST_S = 600
#: Of the sheets of the weeks only the first is made as a file.
LATER_WEEK = re.compile(r", sheets, (?!1-1,)")


def ready() -> None:
    """Set the framework up, with a database of its own."""
    os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings_test"
    django.setup()


def digests(today: dt.date, pdf: int) -> dict[str, str]:
    """Return the digest of each paper, by its name."""
    from django.db import connection

    ordered: dict[bytes, Any] = {}

    def page(order: Any) -> bytes:
        """Stand in for the press: give back what it would print, the page and its sheet."""
        text = json.dumps([order.text, order.sheet]).encode()
        ordered[text] = order
        return text

    made = connection.creation.create_test_db(verbosity=0, autoclobber=True)
    try:
        with mock.patch("programs.actions.pdf_process.apart", page):
            call_command("demo", today=today, password="long enough for a demo")
            _sign_drafts(today)
            found = dict(_all(today))
    finally:
        connection.creation.destroy_test_db(made, verbosity=0)
    told = {name: hashlib.sha256(held).hexdigest() for name, held in found.items()}
    return told | _printed(found, ordered, pdf)


def _printed(
    found: Mapping[str, bytes], ordered: Mapping[bytes, Any], programs: int
) -> dict[str, str]:
    """Return the digests of the files of the first programs, each different page printed once."""
    from programs.actions.pdf_process import apart

    first = list(dict.fromkeys(name.partition(",")[0] for name in found))[:programs]
    named = {
        held: name
        for name, held in found.items()
        if name.partition(",")[0] in first and not LATER_WEEK.search(name)
    }
    pages = [held for held in named if held in ordered]
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        files = pool.map(lambda held: apart(ordered[held], longest_s=LONGEST_S), pages)
        return {
            f"{named[held]}, as a file": hashlib.sha256(file).hexdigest()
            for held, file in zip(pages, files, strict=True)
        }


def _sign_drafts(today: dt.date) -> None:
    from django.contrib.auth.models import User

    from programs.actions.refusals import NotDone
    from programs.actions.signing import sign_plan
    from programs.demo.people import CLINIC, EMERGENCY
    from programs.models.program import Plan

    by = User.objects.get()
    for plan in Plan.objects.filter(state=Plan.DRAFT).order_by("pk"):
        try:
            sign_plan(
                plan=plan,
                lock=plan.lock,
                by=by,
                at=ANEW,
                today=today,
                starts_on=plan.starts_on,
                clinic=CLINIC | {"emergency": ": ".join(EMERGENCY["en"])},
            )
        except NotDone as refusal:
            sys.stdout.write(f"Not signed, so without papers: {plan.patient}: {refusal}\n")


def _all(today: dt.date) -> Iterator[tuple[str, bytes]]:
    from programs.models.program import SignedPlan

    for signed in SignedPlan.objects.order_by("pk"):
        who = f"{signed.patient.record_number}, program {signed.version}"
        for options in _options():
            yield from _paper(signed, who, options)
        yield from _calendars(signed, who)
        yield f"{who}, draft", _draft(signed.plan)
        yield f"{who}, review", _review(signed, today)


def _options() -> Iterator[dict[str, Any]]:
    from django.conf import settings

    from programs.actions.papers import KINDS
    from programs.actions.printing import PAPERS, TYPES_PT
    from programs.papers.kinds import SHEETS
    from programs.papers.span import Span

    languages = [code for code, _ in settings.LANGUAGES]
    for kind, language, paper, type_pt in product(KINDS, languages, PAPERS, TYPES_PT):
        for week in WEEKS if kind == SHEETS else (1,):
            yield {
                "kind": kind,
                "weeks": Span(first=week, last=week),
                "language": language,
                "paper": paper,
                "type_pt": type_pt,
            }


def _paper(signed: Any, who: str, options: Mapping[str, Any]) -> Iterator[tuple[str, bytes]]:
    from django.contrib.auth.models import User

    from programs.actions.papers import kept_bytes, make_paper
    from programs.actions.refusals import NotDone

    name = f"{who}, {', '.join(str(value) for value in options.values())}"
    try:
        row = make_paper(signed=signed, by=User.objects.get(), at=ANEW, **options)
        yield name, kept_bytes(row)
    except NotDone as refusal:
        yield name, str(refusal).encode()


def _calendars(signed: Any, who: str) -> Iterator[tuple[str, bytes]]:
    from django.conf import settings

    from programs.actions.as_signed import program_of
    from programs.actions.papers import words_of
    from programs.papers.sessions_calendar import sessions, taken_back

    for make, (language, _), at in product(
        (sessions, taken_back), settings.LANGUAGES, (None, dt.time(9, 30))
    ):
        yield (
            f"{who}, {make.__name__}, {language}, {at}",
            make(
                program_of(signed),
                words_of(language),
                digest=signed.digest,
                stamped_at=ANEW,
                starts_at=at,
            ),
        )


def _draft(plan: Any) -> bytes:
    from programs.actions.papers import draft_pdf
    from programs.demo.people import CLINIC, EMERGENCY

    return draft_pdf(plan=plan, clinic=CLINIC | {"emergency": ": ".join(EMERGENCY["en"])})


def _review(signed: Any, today: dt.date) -> bytes:
    """Return the review of a day in the program, and where each decision would take up."""
    from programs.actions.reviewing import next_resume, outlook
    from programs.review.charts import effort_strip, pain_strip
    from programs.review.next_steps import Next

    seen = outlook(signed, today)
    mine = [one.modality for one in seen.proposal.modalities]
    resumed = [next_resume(seen, dict.fromkeys(mine, chosen), {}) for chosen in Next]
    strips = [draw(seen.planned, today, seen.log) for draw in (pain_strip, effort_strip)]
    done = [(sorted(one.done_weeks.items()), sorted(one.lifted)) for one in resumed]
    proposed = [
        (one.modality, one.next, one.longest_gap, one.effort, one.flags, one.grounds, one.weeks)
        for one in seen.proposal.modalities
    ]
    events = [(one.on, one.text) for one in seen.proposal.events]
    return repr((proposed, events, seen.offered, done, strips)).encode()


def differences(before: Mapping[str, str], after: Mapping[str, str]) -> list[str]:
    """Return the names of what differs, or is in one of the two alone."""
    return sorted(n for n in before.keys() | after.keys() if before.get(n) != after.get(n))


def main() -> int:
    """Write or compare. Returns how the process ends."""
    told = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    ways = told.add_subparsers(dest="way", required=True)
    write = ways.add_parser("write")
    write.add_argument("file", type=Path)
    write.add_argument("--pdf", type=int, default=0, metavar="PROGRAMS")
    write.add_argument("--today", type=dt.date.fromisoformat, default=TODAY)
    compare = ways.add_parser("compare")
    compare.add_argument("before", type=Path)
    compare.add_argument("after", type=Path)
    asked = told.parse_args()
    if asked.way == "compare":
        before, after = (json.loads(file.read_text()) for file in (asked.before, asked.after))
        differing = differences(before, after)
        for name in differing:
            sys.stdout.write(f"{name}\n")
        sys.stdout.write(f"{len(differing)} of {len(before)} differ.\n")
        return 1 if differing else 0
    ready()
    found = digests(asked.today, asked.pdf)
    asked.file.write_text(json.dumps(found, indent=1, sort_keys=True))
    sys.stdout.write(f"{len(found)} digests in {asked.file}.\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
