"""What is kept of a person: each table once, as the export and its paper hold it.

A table from which a foreign key leads to a person, however far, stands in TABLES or in MADE_ANEW:
a test reads the models and fails where one stands in neither.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from programs.export.table import Table
from programs.export.tables_of_her import OF_HER
from programs.export.tables_of_programs import OF_PROGRAMS

TABLES: tuple[Table, ...] = (*OF_HER, *OF_PROGRAMS)

#: Tables of hers that hold nothing but what the program works out from the others, and why.
MADE_ANEW: Mapping[str, str] = MappingProxyType(
    {
        "patients.findable": "the name folded for the search, made anew from the name",
        "patients.trigrams": "three letters each of the same, kept by the database for the search",
        "patients.possibledouble": "a list of records that look alike, made anew from the names",
        "programs.pressorder": "a paper that waits for the press, or was printed ahead of "
        "need; each that somebody was given is kept as a paper",
        "programs.rescreentolookat": "which row of “rescreened” nobody has looked at yet",
    }
)
#: What the record of who did what says of her and the export does not hold, and why.
NOT_IN_THE_RECORD: Mapping[str, str] = MappingProxyType(
    {
        "exports": "that an export was made is written with the export itself, which would make "
        "each export another one than the last; the page from which it is taken lists them"
    }
)
