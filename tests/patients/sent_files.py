"""A file looked at without a database, with a few invented people on record."""

import datetime as dt

from patients.files.file import looked_at, opened
from patients.files.reading import EncodingAsked
from patients.files.rows import Choices
from patients.files.what_can_be_taken import Person

AS_OF = dt.date(2026, 3, 2)
ANN = Person(7, "000123", dt.date(1950, 4, 3))
MUELLER = Person(8, "Müller", dt.date(1951, 1, 1))
PEOPLE = (
    ANN,
    MUELLER,
    Person(9, "B-1", dt.date(1960, 1, 1)),
    Person(10, "b 1", ANN.born),
    Person(11, "", ANN.born),
)
SCAN = "record number,date,site,BMD g/cm2,T-score,scanner"


def look(text, held=(), choices=None, people=PEOPLE):
    """Return what of a file can be taken; held are the rows on record."""
    data = text if isinstance(text, bytes) else text.encode()
    file = opened(data, choices or Choices())
    assert not isinstance(file, EncodingAsked)
    assert not file.asks, (file.dates, file.decimal)
    return looked_at(file, people, lambda ids: [h for h in held if h.patient_id in ids], AS_OF)


def bad(*rows, head=SCAN, **more):
    """Return line and reasons of rows none of which can be taken."""
    found = look("\n".join((head, *rows)), **more)
    assert not found.taken
    return [(row.line, " ".join(row.reasons)) for row in found.bad]
