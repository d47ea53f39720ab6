"""What every resource is made of: ids, references, dates, codes and quantities."""

from __future__ import annotations

import datetime as dt
import hashlib
import re
from collections.abc import Iterable, Mapping
from typing import Any

Resource = dict[str, Any]

#: The namespace of all ids, and the system of all codes of our own; drawn once, never changed.
NAMESPACE = "2f0a5c1e-7d0e-4b55-9a0c-5a3e2d7b6c41"
OWN_CODES = "urn:uuid:b1f8b7de-3c53-4a0e-8f47-0c7d7f6a9e12"
LOINC, UCUM = "http://loinc.org", "http://unitsofmeasure.org"

#: A day, month or year; and a moment, whose zone is told (FHIR R4, datatypes date and instant).
_DATE = re.compile(r"[0-9]{4}(-[0-9]{2}(-[0-9]{2})?)?")
_MOMENT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]+)?Z")


class NotAFhirDate(ValueError):
    """Raised for a text that is no date in FHIR."""


def uuid_of(name: str, namespace: str = NAMESPACE) -> str:
    """Return the UUID of a name in a namespace (version 5, RFC 9562): the same each time."""
    hashed = hashlib.sha1(bytes.fromhex(namespace.replace("-", "")) + name.encode())
    digits = bytearray(hashed.digest()[:16])
    digits[6] = digits[6] & 0x0F | 0x50
    digits[8] = digits[8] & 0x3F | 0x80
    text = digits.hex()
    return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))


class Ids:
    """The ids of one clinic's resources.

    clinic   the seal of the first line of its record, so that two clinics never share an id
    """

    def __init__(self, clinic: str) -> None:
        self._namespace = uuid_of(clinic)

    def of(self, kind: str, number: int | str) -> str:
        """Return the id of what is made of a row."""
        return uuid_of(f"{kind}/{number}", self._namespace)

    def reference(self, kind: str, number: int | str) -> dict[str, str]:
        """Return a reference to it within the bundle."""
        return {"reference": f"urn:uuid:{self.of(kind, number)}"}


def date(text: str) -> str:
    """Return a day, month or year as FHIR takes it. Raises NotAFhirDate for any other text."""
    if not _DATE.fullmatch(text):
        raise NotAFhirDate(text)
    try:
        dt.date.fromisoformat(text + "-01" * (2 - text.count("-")))
    except ValueError as error:
        raise NotAFhirDate(text) from error
    return text


def moment(text: str) -> str:
    """Return a moment with its zone as FHIR takes it. Raises NotAFhirDate for any other text."""
    if not _MOMENT.fullmatch(text):
        raise NotAFhirDate(text)
    try:
        dt.datetime.fromisoformat(text)
    except ValueError as error:
        raise NotAFhirDate(text) from error
    return text


def coding(system: str, code: str, display: str = "") -> dict[str, str]:
    """Return a code of a system."""
    return {"system": system, "code": code} | ({"display": display} if display else {})


def concept(text: str, *codings: Mapping[str, str]) -> dict[str, Any]:
    """Return something in words, with codes of it where there are any."""
    return ({"coding": list(codings)} if codings else {}) | {"text": text}


def own(text: str, code: str) -> dict[str, Any]:
    """Return something in words with a code of our own."""
    return concept(text, coding(OWN_CODES, code))


def quantity(value: str | int, ucum: str, unit: str) -> dict[str, Any]:
    """Return a number with its unit; FHIR's numbers carry no trailing zeros here."""
    number = float(value)
    told = int(number) if number.is_integer() else number
    return {"value": told, "unit": unit, "system": UCUM, "code": ucum}


def notes(texts: Iterable[str]) -> dict[str, Any]:
    """Return the notes of a resource; nothing where there are none."""
    told = [{"text": text} for text in texts if text.strip()]
    return {"note": told} if told else {}
