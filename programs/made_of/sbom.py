"""The list of what the product is made of, in the form CycloneDX 1.6, made from the app's lock.

Made here and not by CycloneDX's own command, which knows of no licence from a lock, of no script
or typeface that a package or a folder carries, and writes a random number and the time of day.
The same lock gives the same bytes.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from programs.made_of.licences import OF_THE_APP
from safety.hazards.intended_use import VERSION

_PIN = re.compile(r"^([A-Za-z0-9._-]+)==([^\s;\\]+)(?: ; ([^\\\n]+?))? *\\?$")
_VIA = re.compile(r"^    #(?: via|  ) ([a-z0-9]\S*)")
#: How the lock calls the product itself.
_ROOT = "calcar"


@dataclass(frozen=True, kw_only=True)
class Pin:
    """One package of a lock.

    when       for which machines; empty for all
    needed_by  the packages that ask for it, and the product by its name
    """

    name: str
    version: str
    when: str
    needed_by: tuple[str, ...]

    @property
    def purl(self) -> str:
        """Return its address among packages."""
        return f"pkg:pypi/{self.name}@{self.version}"


@dataclass(frozen=True, kw_only=True)
class Carried:
    """Something of others that comes inside a package or lies in the product's own folders.

    where   the package, or the file's name below static/
    """

    name: str
    version: str
    licence: str
    what: str
    where: str
    is_file: bool


def _font(name: str, licence: str) -> Carried:
    return Carried(
        name=name,
        version="",
        licence=licence,
        what="typeface of the papers",
        where=f"fonts/{name}",
        is_file=True,
    )


CARRIED: tuple[Carried, ...] = (
    Carried(
        name="bootstrap",
        version="5.3.3",
        licence="MIT",
        what="style sheet of the pages",
        where="django-js-lib-bootstrap5",
        is_file=False,
    ),
    Carried(
        name="htmx.org",
        version="2.0.10",
        licence="0BSD",
        what="swaps parts of a page; none needs it",
        where="django-htmx",
        is_file=False,
    ),
    _font("AtkinsonHyperlegible-Bold.ttf", "OFL-1.1"),
    _font("AtkinsonHyperlegible-BoldItalic.ttf", "OFL-1.1"),
    _font("AtkinsonHyperlegible-Italic.ttf", "OFL-1.1"),
    _font("AtkinsonHyperlegible-Regular.ttf", "OFL-1.1"),
    _font("DejaVuSans-Bold.ttf", "Bitstream-Vera"),
    _font("DejaVuSans.ttf", "Bitstream-Vera"),
)


def pins(lock: str) -> tuple[Pin, ...]:
    """Return the packages of a lock with hashes, as `uv pip compile` writes it."""
    found: list[Pin] = []
    for line in lock.splitlines():
        if (pin := _PIN.match(line)) is not None:
            found.append(Pin(name=pin[1], version=pin[2], when=pin[3] or "", needed_by=()))
        elif found and (via := _VIA.match(line)) is not None:
            last = found[-1]
            found[-1] = Pin(
                name=last.name,
                version=last.version,
                when=last.when,
                needed_by=(*last.needed_by, via[1]),
            )
    return tuple(found)


def sbom(lock: str, sums: Mapping[str, str]) -> dict[str, Any]:
    """Return the list.

    lock   the text of the app's lock
    sums   the SHA-256 of each file of CARRIED, by its name below static/
    Raises KeyError for a package without a licence, or a file without a sum.
    """
    held = pins(lock)
    root = f"pkg:generic/{_ROOT}@{VERSION}"
    return {
        "bomFormat": "CycloneDX",
        "specVersion": "1.6",
        "version": 1,
        "metadata": {
            "component": {
                "type": "application",
                "bom-ref": root,
                "name": _ROOT,
                "version": VERSION,
            }
        },
        "components": [
            *(_package(pin) for pin in held),
            *(_carried(one, sums) for one in CARRIED),
        ],
        "dependencies": [
            {"ref": root, "dependsOn": _needs(_ROOT, held)},
            *({"ref": pin.purl, "dependsOn": _needs(pin.name, held)} for pin in held),
        ],
    }


def text_of(made: Mapping[str, Any]) -> str:
    """Return the file's text."""
    return json.dumps(made, indent=1, ensure_ascii=False) + "\n"


def _needs(name: str, held: Sequence[Pin]) -> list[str]:
    return sorted(pin.purl for pin in held if name in pin.needed_by)


def _package(pin: Pin) -> dict[str, Any]:
    when = [{"name": "calcar:when", "value": pin.when}] if pin.when else []
    return {
        "type": "library",
        "bom-ref": pin.purl,
        "name": pin.name,
        "version": pin.version,
        "licenses": _licences(OF_THE_APP[pin.name]),
        "purl": pin.purl,
        **({"properties": when} if when else {}),
    }


def _carried(one: Carried, sums: Mapping[str, str]) -> dict[str, Any]:
    told = {
        "type": "file" if one.is_file else "library",
        "bom-ref": f"carried:{one.name}",
        "name": one.name,
        **({"version": one.version} if one.version else {}),
        "description": one.what,
        "licenses": _licences(one.licence),
        "properties": [{"name": "calcar:carried-by", "value": one.where}],
    }
    if one.is_file:
        told["hashes"] = [{"alg": "SHA-256", "content": sums[one.where]}]
    return told


def _licences(expression: str) -> list[dict[str, Any]]:
    """Return a licence as CycloneDX has it: one by its name, several as an expression."""
    if " " in expression:
        return [{"expression": expression}]
    return [{"license": {"id": expression}}]
