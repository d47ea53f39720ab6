"""The codes a column may hold, as functions: a migration names the function, not the codes.

So a new code, or another label of one, needs no migration. Migrations find these functions by
their names, which therefore stay.
"""

from __future__ import annotations

from collections.abc import Mapping

from patients.facts import codes


def sexes() -> Mapping[str, str]:
    """Return the sexes that the norms know."""
    return codes.SEXES


def table_sexes() -> Mapping[str, str]:
    """Return by which risk tables somebody may be read."""
    return codes.TABLE_SEXES


def fracture_sites() -> Mapping[str, str]:
    """Return the bones of a fracture."""
    return codes.FRACTURE_SITES


def scan_sites() -> Mapping[str, str]:
    """Return the sites of a density scan."""
    return codes.SCAN_SITES


def markers() -> Mapping[str, str]:
    """Return the turnover markers."""
    return codes.MARKERS


def marker_units() -> Mapping[str, str]:
    """Return the units of the turnover markers."""
    return codes.MARKER_UNITS
