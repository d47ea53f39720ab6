"""DEVELOPERS.md tells the truth: its map of the folders is the folders' own words."""

import ast
import re

import pytest

from tests.gate.project import ROOT, files

GUIDE = (ROOT / "DEVELOPERS.md").read_text()
ROW = re.compile(r"^\| `([a-z_/]+)/` \| (.+) \|$", re.MULTILINE)


def folders() -> dict[str, str]:
    """Return the first line of each package's own words, by its folder."""
    found = {}
    for path in files("__init__.py"):
        if path.parts[0] != "tests" and "migrations" not in path.parts:
            words = ast.get_docstring(ast.parse((ROOT / path).read_text())) or ""
            found[str(path.parent)] = words.partition("\n")[0]
    return found


def test_the_map_is_the_folders_own_words() -> None:
    assert dict(ROW.findall(GUIDE)) == folders()


def test_no_folder_is_without_words() -> None:
    assert [folder for folder, words in folders().items() if not words] == []


def test_every_file_that_the_guide_names_is_there() -> None:
    named = set(re.findall(r"`([\w.-]+/[\w./*-]+)`", GUIDE))
    assert len(named) > 20
    made_by_tests = {"tests/output/"}
    gone = [n for n in named - made_by_tests if not [*ROOT.glob(n.rstrip("/"))]]
    assert gone == []


THINGS = (
    *("A fact", "A rule", "A source", "An exercise", "A limit", "A limit that a clinic may set"),
    *("A paper", "A modality's words", "A text for a patient", "A language", "A release"),
    "A hazard",
)


@pytest.mark.parametrize("thing", THINGS)
def test_the_guide_says_how_to_add(thing: str) -> None:
    paragraph = GUIDE.partition(f"**{thing}.**")[2].partition("\n\n**")[0]
    assert re.search(r"`[\w.-]+/[\w./*-]+`|`LIMITS`|`LANGUAGES`|`clinic=Range", paragraph)
