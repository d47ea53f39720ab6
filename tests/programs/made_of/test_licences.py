"""Every package of either lock has its licence in the table, as the package itself tells it."""

from __future__ import annotations

import re
from importlib import metadata

import pytest

from programs.made_of.licences import ALLOWED, OF_THE_APP, OF_THE_TESTS, is_allowed
from programs.made_of.sbom import CARRIED, Pin, pins
from tests.gate.project import ROOT

APP, TESTS = ((ROOT / name).read_text() for name in ("requirements.txt", "requirements-dev.txt"))
LICENCES = {**OF_THE_APP, **OF_THE_TESTS}
#: What packages that use no SPDX name write of themselves, and what is meant by it.
TOLD = {
    "MIT": "MIT",
    "MIT License": "MIT",
    "BSD": "BSD-3-Clause",
    "BSD license": "BSD-3-Clause",
    "BSD License": "BSD-3-Clause",
    "BSD-3-Clause": "BSD-3-Clause",
    "BSD-2-Clause": "BSD-2-Clause",
    "BSD 2-Clause License": "BSD-2-Clause",
    "pytest-django is released under the BSD (3-clause)": "BSD-3-Clause",
    "Apache-2.0": "Apache-2.0",
    "Apache 2.0": "Apache-2.0",
    "Apache Software License": "Apache-2.0",
    "ZPL 2.1": "ZPL-2.1",
    "Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
    "BSD-3-Clause, Apache-2.0, dependency licenses": "BSD-3-Clause AND Apache-2.0",
    "Artistic License": "Artistic-1.0-Perl OR GPL-2.0-or-later",
    "GNU General Public License v2 or later (GPLv2+)": OF_THE_APP["pyphen"],
}
#: Those that say nothing of it but in a file of their own, which was read.
READ = {"axe-playwright-python": "MIT License"}


def told_by(name: str) -> str | None:
    """Return the licence that an installed package tells of itself; None where it is not here."""
    try:
        package = metadata.distribution(name)
    except metadata.PackageNotFoundError:
        return None
    if name in READ:
        texts = [file for file in package.files or () if "LICENSE" in file.name]
        return TOLD[READ[name]] if READ[name] in texts[0].read_text() else "another"
    words = package.metadata
    if expression := words.get("License-Expression"):
        return str(expression)
    classes = [c for c in words.get_all("Classifier") or () if c.startswith("License ::")]
    first_line = (words.get("License") or "").partition("\n")[0].strip()
    if first_line in TOLD:
        return TOLD[first_line]
    return TOLD[classes[0].rpartition(" :: ")[2]]


def without(lock: str, known: dict[str, str]) -> list[str]:
    return sorted({pin.name for pin in pins(lock)} - known.keys())


def refused(licences: dict[str, str]) -> list[str]:
    return [name for name, expression in licences.items() if not is_allowed(expression)]


def test_every_package_of_either_lock_is_in_the_table_and_no_other() -> None:
    assert without(APP, dict(OF_THE_APP)) == []
    assert without(TESTS, LICENCES) == []
    assert sorted(LICENCES.keys() - {pin.name for pin in pins(APP + TESTS)}) == []
    assert not OF_THE_APP.keys() & OF_THE_TESTS.keys()


def test_a_package_without_a_licence_is_named() -> None:
    new = "newcomer==1.0 \\\n    --hash=sha256:00\n    # via django\n"
    assert without(APP + new, dict(OF_THE_APP)) == ["newcomer"]


def test_every_licence_is_allowed() -> None:
    assert refused(LICENCES) == []
    assert refused({one.name: one.licence for one in CARRIED}) == []


@pytest.mark.parametrize(
    ("expression", "allowed"),
    [
        ("MIT", True),
        ("AGPL-3.0-only", False),
        ("GPL-2.0-or-later OR MPL-1.1", True),
        ("GPL-2.0-or-later OR AGPL-3.0-only", False),
        ("MIT AND PSF-2.0", True),
        ("MIT AND GPL-3.0-only", False),
        ("UNKNOWN", False),
        ("", False),
    ],
)
def test_what_is_allowed(expression: str, allowed: bool) -> None:
    assert is_allowed(expression) is allowed
    assert refused({"newcomer": expression}) == ([] if allowed else ["newcomer"])


def test_brackets_are_read_by_a_person() -> None:
    with pytest.raises(ValueError, match="Read by hand"):
        is_allowed("(MIT OR GPL-3.0-only) AND AGPL-3.0-only")


def test_the_table_is_what_the_installed_packages_tell_of_themselves() -> None:
    told = {name: told_by(name) for name in LICENCES}
    here = {name: licence for name, licence in told.items() if licence is not None}
    assert len(here) > 60
    assert {name: licence for name, licence in here.items() if LICENCES[name] != licence} == {}


def test_nothing_allowed_is_unused() -> None:
    names = " ".join([*LICENCES.values(), *(one.licence for one in CARRIED)])
    assert ALLOWED - set(re.split(" OR | AND | ", names)) == set()


def test_a_pin_knows_who_asks_for_it() -> None:
    lock = (
        "asgiref==3.13.0 \\\n    --hash=sha256:00\n    # via\n    #   django\n    #   django-htmx\n"
        "numpy==2.4.6 ; python_full_version < '3.12' \\\n    --hash=sha256:00\n"
        "    # via calcar (pyproject.toml)\n"
    )
    assert pins(lock) == (
        Pin(name="asgiref", version="3.13.0", when="", needed_by=("django", "django-htmx")),
        Pin(
            name="numpy",
            version="2.4.6",
            when="python_full_version < '3.12'",
            needed_by=("calcar",),
        ),
    )
    assert pins("# nothing\n") == ()
