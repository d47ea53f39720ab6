"""What is newly open of one person: only what concerns her, and nothing that is on record."""

from typing import Any

import pytest

from patients.facts.codes import CONDITIONS, DATED_CONDITIONS
from patients.facts.newly_asked import (
    NEW_CONDITIONS,
    is_bone_medicine_open,
    is_fracture_open,
    is_mobility_open,
    open_conditions,
)


@pytest.mark.parametrize(
    ("answers", "opened"),
    [({}, True), ({"person": {}}, True), ({"person": {"mobility": "stick"}}, False)],
)
def test_mobility(answers: dict[str, Any], opened: bool) -> None:
    assert is_mobility_open(answers) is opened


def test_each_new_condition_is_one() -> None:
    assert set(NEW_CONDITIONS) <= set(CONDITIONS)
    assert len(NEW_CONDITIONS) == 5


@pytest.mark.parametrize(
    ("held", "opened"),
    [
        (None, NEW_CONDITIONS),
        ({"stroke": "no"}, NEW_CONDITIONS),
        # Said of all others before these were asked.
        ({"otherwise": "no"}, NEW_CONDITIONS),
        (dict.fromkeys(NEW_CONDITIONS, "no"), ()),
        (dict.fromkeys(NEW_CONDITIONS[1:], "unknown"), NEW_CONDITIONS[:1]),
        ({**dict.fromkeys(NEW_CONDITIONS, "no"), "stones": "yes"}, ("stones",)),
        ({**dict.fromkeys(NEW_CONDITIONS, "no"), "stones": {"answer": "yes"}}, ("stones",)),
        ({**dict.fromkeys(NEW_CONDITIONS, "no"), "stones": {"answer": "yes", "on": "2019"}}, ()),
        ({**dict.fromkeys(NEW_CONDITIONS, "no"), "stones": "no"}, ()),
    ],
)
def test_conditions(held: Any, opened: tuple[str, ...]) -> None:
    answers = {} if held is None else {"conditions": held}
    assert open_conditions(answers) == opened


def test_what_cannot_concern_her_is_not_asked() -> None:
    assert "recent_birth" not in open_conditions({}, ("recent_birth",))
    assert set(open_conditions({})) & set(DATED_CONDITIONS) == {"recent_birth"}


@pytest.mark.parametrize(
    ("held", "opened"),
    [
        (None, False),
        ("no", False),
        ("yes", True),
        ({"answer": "yes"}, True),
        ({"answer": "yes", "kind": "bisphosphonate"}, False),
        ({"answer": "yes", "kind": "denosumab"}, True),
        ({"answer": "yes", "kind": "denosumab", "last_dose_on": "2026-01"}, False),
    ],
)
def test_the_medicine_for_bone(held: Any, opened: bool) -> None:
    answers = {} if held is None else {"medicines": {"bone_medicine": held}}
    assert is_bone_medicine_open(answers) is opened


@pytest.mark.parametrize(
    ("site", "dated", "opened"),
    [
        ("wrist", True, False),
        ("wrist", False, True),
        ("other", True, True),
        ("finger_toe_face", True, True),
    ],
)
def test_fractures(site: str, dated: bool, opened: bool) -> None:
    assert is_fracture_open(site, dated=dated) is opened
