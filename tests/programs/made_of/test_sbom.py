"""The kept list is what the lock makes; a package or a file that it does not know is refused."""

from __future__ import annotations

import json
import re
import tomllib
from typing import Any

import pytest
from packaging.markers import Marker
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from programs.actions.made_of import KEPT, kept, made_from_the_lock
from programs.made_of.sbom import CARRIED, pins, sbom, text_of
from tests.gate.project import ROOT

LOCK = (ROOT / "requirements.txt").read_text()
SUMS = {one.where: "0" * 64 for one in CARRIED}
#: CycloneDX 1.6: what a component has to have, and what it may be.
NEEDED, TYPES = {"type", "name"}, {"library", "file"}


def test_the_kept_list_is_what_the_lock_makes() -> None:
    """Where this fails: .venv/bin/python manage.py make_sbom."""
    assert KEPT.read_text() == made_from_the_lock()


def test_another_lock_makes_another_list() -> None:
    newer = LOCK.replace("waitress==", "waitress==9")
    assert newer != LOCK
    assert text_of(sbom(newer, SUMS)) != text_of(sbom(LOCK, SUMS))


def test_a_package_without_a_licence_is_refused() -> None:
    with pytest.raises(KeyError, match="newcomer"):
        sbom(LOCK + "newcomer==1.0 \\\n", SUMS)


def test_every_pin_is_in_it_once_and_every_part_has_a_licence() -> None:
    made = kept()
    packages = [one for one in made["components"] if "purl" in one]
    assert [(one["name"], one["version"]) for one in packages] == re.findall(
        r"^([^\s#=]+)==(\S+)", LOCK, re.MULTILINE
    )
    for one in made["components"]:
        assert one.keys() >= NEEDED
        assert one["type"] in TYPES
        assert one["licenses"]


def test_names_in_it_lead_to_something() -> None:
    made = kept()
    refs = [one["bom-ref"] for one in made["components"]]
    root = made["metadata"]["component"]["bom-ref"]
    assert len({root, *refs}) == len(refs) + 1
    for one in made["dependencies"]:
        assert {one["ref"], *one["dependsOn"]} <= {root, *refs}
    asked = {ref for one in made["dependencies"] for ref in one["dependsOn"]}
    assert {one["purl"] for one in made["components"] if "purl" in one} == asked


def test_it_tells_neither_the_day_nor_a_number_that_is_drawn() -> None:
    made = kept()
    assert "serialNumber" not in made
    assert "timestamp" not in made["metadata"]
    assert (made["bomFormat"], made["specVersion"]) == ("CycloneDX", "1.6")
    assert json.loads(text_of(made)) == made


def test_every_typeface_in_the_folder_is_in_it() -> None:
    there = {f"fonts/{path.name}" for path in (ROOT / "static" / "fonts").glob("*.ttf")}
    assert {one.where for one in CARRIED if one.is_file} == there


def test_what_a_package_carries_has_the_version_that_is_told() -> None:
    import django_htmx
    import js_lib_bootstrap5

    versions = {one.name: one.version for one in CARRIED}
    served = _beside(django_htmx, "static/django_htmx/htmx-2.js")
    assert f"version: '{versions['htmx.org']}'" in served
    served = _beside(js_lib_bootstrap5, "static/js-lib-bootstrap5/css/bootstrap.min.css")
    assert f"v{versions['bootstrap']} " in served


def _beside(package: Any, name: str) -> str:
    from pathlib import Path

    return (Path(package.__file__).parent / name).read_text()


@pytest.mark.parametrize("python", ["3.11", "3.12", "3.13", "3.14"])
@pytest.mark.parametrize("of", ["requirements.txt", "requirements-dev.txt"])
def test_each_dependency_is_locked_for_each_python(of: str, python: str) -> None:
    """A lock made anew on one Python may drop what only another one needs."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    asked = list(project["dependencies"])
    if of == "requirements-dev.txt":
        asked += project["optional-dependencies"]["dev"]
    machine = {
        "python_version": python,
        "python_full_version": f"{python}.0",
        "implementation_name": "cpython",
        "platform_python_implementation": "CPython",
        "sys_platform": "linux",
    }
    there = {
        pin.name
        for pin in pins((ROOT / of).read_text())
        if not pin.when or Marker(pin.when).evaluate(machine)
    }
    wanted = {canonicalize_name(Requirement(one).name) for one in asked}
    assert sorted(wanted - there) == []
