"""The line before the presses: a page is put into it, taken by a press, and given when it is there.

Where no press serves the line (tests, commands) a page is printed at once, as it always was.
Whoever asks again for what says the same gets what was printed: whether it may be handed out is
asked by whoever asks, each time. Pages and papers are sealed with the key outside the database.
"""

from __future__ import annotations

import datetime as dt
import json
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.staticfiles import finders
from django.db import IntegrityError, transaction
from django.db.models import Q, QuerySet
from django.utils import timezone
from django.utils.crypto import salted_hmac

from patients.actions.sealed_secret import NotOpened, sealed, unsealed
from patients.audit import canonical
from programs.actions import clinic_letters, pdf_process
from programs.actions.pdf_process import Order, PaperUnavailable
from programs.models.press import PressOrder

#: For how long a press has a page before it says that it is still at it, or another takes it.
HELD = dt.timedelta(seconds=15)
#: After this time what was printed is gone; and so many presses try a page that ends them.
KEPT, MOST_TRIES = dt.timedelta(days=1), 3
ENDED_PRESSES = "This paper ended the press that made it, again and again. It is not printed."
NOT_AS_ASKED = "The page that waited for the press is not the one that was asked for. Ask again."
LACKS_A_TYPEFACE = "The machine that prints lacks a typeface of the clinic (CALCAR_FONTS)."
_KEY, _PAGE, _PAPER = "calcar.press.key", "calcar.press.page", "calcar.press.paper"


class BeingMade(Exception):
    """A page waits for a press or is being printed; ask again."""

    def __init__(self, order: int) -> None:
        super().__init__(f"order {order}")
        self.order = order


@dataclass(frozen=True, kw_only=True)
class Line:
    """How a page stands in line.

    patient   whose paper it is; None: nobody's
    wanted    somebody waits for it; else it is printed ahead of need, after all others
    """

    patient: int | None = None
    wanted: bool = True


@dataclass(frozen=True, kw_only=True)
class Place:
    """How far a page is: before, how many others are still to be printed before it."""

    ready: bool
    printing: bool = False
    before: int = 0


@dataclass(frozen=True, kw_only=True)
class Job:
    """A page that a press has taken."""

    pk: int
    key: str
    press: str
    page: bytes


class _Served:
    """Whether presses serve the line, in this process."""

    now = False


def serve_line(served: bool) -> None:
    """Let what is asked for wait in line, for presses serve it; or print it at once."""
    _Served.now = served


def is_served() -> bool:
    """Tell whether presses serve the line."""
    return _Served.now


def paper_of(order: Order, *, anchor: str, line: Line) -> bytes:
    """Return the PDF of a page.

    anchor   what the page says of the record's head: what was printed a little before is the same
             paper, though it bears an older one
    Raises BeingMade where presses serve the line and it is not printed yet, PaperRefused and
    PaperUnavailable.
    """
    if not is_served():
        return pdf_process.apart(order)
    key = _key_of(order, anchor)
    row = PressOrder.objects.filter(key=key).first()
    if row is not None and row.paper is not None:
        try:
            return unsealed(bytes(row.paper), salt=_PAPER, proves=key)
        except NotOpened:
            row.delete()
            row = None
    if row is not None and row.refused:
        row.delete()
        raise PaperUnavailable(row.refused)
    if row is None:
        row = _put(order, key, line)
    elif line.wanted and not row.wanted:
        PressOrder.objects.filter(pk=row.pk).update(wanted=True)
    raise BeingMade(row.pk)


def _put(order: Order, key: str, line: Line) -> PressOrder:
    """Put a page into the line, once."""
    at = timezone.now()
    told = json.dumps(asdict(order) | {"files": sorted(order.files)})
    page = sealed(zlib.compress(told.encode(), 1), salt=_PAGE, proves=key)
    throw_away_old(at)
    with transaction.atomic():
        row, _ = PressOrder.objects.get_or_create(
            key=key,
            defaults={
                "patient_id": line.patient,
                "wanted": line.wanted,
                "asked_at": at,
                "page": page,
            },
        )
    return row


def throw_away_old(at: dt.datetime) -> None:
    """Throw away what has been there for too long, printed or not."""
    PressOrder.objects.filter(asked_at__lt=at - KEPT).delete()


def _key_of(order: Order, anchor: str) -> str:
    """Return a keyed digest of a page but for its anchor, and of the files that it may use."""
    text = order.text.replace(anchor, "") if anchor else order.text
    files = {
        name: _digest(place, Path(place).stat().st_mtime_ns) for name, place in order.files.items()
    }
    told = canonical({"text": text, "sheet": order.sheet, "files": files})
    return salted_hmac(_KEY, told, secret=settings.SECRET_KEY, algorithm="sha256").hexdigest()


@lru_cache(maxsize=64)
def _digest(place: str, changed_ns: int) -> str:
    return sha256(Path(place).read_bytes()).hexdigest()


def place_of(order: int) -> Place:
    """Return how far a page is; whoever finds it ready asks for the paper again."""
    row = PressOrder.objects.filter(pk=order, waiting=True).values("wanted", "press").first()
    if row is None:
        return Place(ready=True)
    ahead = Q(wanted=True, pk__lt=order) if row["wanted"] else Q(wanted=True) | Q(pk__lt=order)
    before = PressOrder.objects.filter(Q(press="") & ahead | ~Q(press=""), waiting=True)
    found = 0 if row["press"] else before.exclude(pk=order).count()
    return Place(ready=False, printing=bool(row["press"]), before=found)


# --- For the presses ----------------------------------------------------------------------------


def take(presses: Sequence[str], at: dt.datetime) -> Job | None:
    """Take the next page for one of these presses that is free; None: no page, or no press.

    presses   the names of all presses of this machine: none prints two pages, whichever process
              asks, for the database holds each name once

    A page whose press has said nothing for too long comes first.
    """
    line = PressOrder.objects.filter(waiting=True).order_by("-wanted", "pk")
    rows = [*line.values("pk", "press", "until", "tries")]
    names = [name for name in presses if name not in {row["press"] for row in rows}]
    lapsed = [row for row in rows if row["until"] and row["until"] < at]
    for row in (*lapsed, *(row for row in rows if not row["press"])):
        if row["tries"] >= MOST_TRIES:
            _as_it_stands(row).update(waiting=False, press="", refused=ENDED_PRESSES)
            continue
        name = row["press"] if row["press"] in presses else next(iter(names), None)
        if name and (job := _taken(row, name, at)):
            return job
    return None


def _as_it_stands(row: Mapping[str, Any]) -> QuerySet[PressOrder]:
    """Return the row, unless somebody has taken it since it was read."""
    seen = {name: row[name] for name in ("pk", "press", "until")}
    return PressOrder.objects.filter(waiting=True, **seen)


def _taken(row: Mapping[str, Any], press: str, at: dt.datetime) -> Job | None:
    try:
        with transaction.atomic():
            mine = {"press": press, "until": at + HELD, "tries": row["tries"] + 1}
            if not _as_it_stands(row).update(**mine):
                return None
    except IntegrityError:
        # Another process let this press take something else meanwhile.
        return None
    held = PressOrder.objects.values("key", "page").get(pk=row["pk"])
    return Job(pk=row["pk"], key=held["key"], press=press, page=bytes(held["page"]))


def order_of(job: Job) -> Order:
    """Return what is to be printed. Raises PaperUnavailable where it is not as it was asked for."""
    try:
        told = json.loads(zlib.decompress(unsealed(job.page, salt=_PAGE, proves=job.key)))
    except NotOpened as error:
        raise PaperUnavailable(NOT_AS_ASKED) from error
    return Order(**told | {"files": {name: _place(name) for name in told["files"]}})


def _place(name: str) -> str:
    """Return where a file lies on this machine, which need not be the one that asked."""
    own = clinic_letters.places()
    if name.startswith("fonts/clinic/") and name not in own:
        raise PaperUnavailable(LACKS_A_TYPEFACE)
    return own.get(name) or str(finders.find(name))


def still_at_it(job: Job, at: dt.datetime) -> bool:
    """Say that a press is still printing a page; tell whether the page is still its own."""
    return bool(_mine(job).update(until=at + HELD))


def keep_printed(job: Job, paper: bytes) -> None:
    """Keep what was printed, for whoever asks, unless another press has taken the page since."""
    held = sealed(paper, salt=_PAPER, proves=job.key)
    _mine(job).update(waiting=False, press="", until=None, paper=held)


def keep_refused(job: Job, why: str) -> None:
    """Keep why there is no paper, for whoever asks next."""
    _mine(job).update(waiting=False, press="", until=None, refused=why)


def put_back(job: Job) -> None:
    """Let another press take a page whose press ended."""
    _mine(job).update(press="", until=None)


def _mine(job: Job) -> QuerySet[PressOrder]:
    return PressOrder.objects.filter(pk=job.pk, waiting=True, press=job.press)
