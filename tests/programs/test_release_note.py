"""What rulebook 2027.1 changed, told to a clinician: a line each, with the numbers of the draft."""

from programs.release_note import CHANGES
from safety.rules.all_rules import RULEBOOK


def test_each_change_says_what_and_for_whom_in_a_line_or_two() -> None:
    assert RULEBOOK == "2027.1", "a newer rulebook has a note of its own"
    for change in CHANGES:
        assert change.row
        assert change.what.endswith((".", "?"))
        assert change.whom.endswith(".")
        assert len(change.what) <= 260, change.row
    assert len({change.what for change in CHANGES}) == len(CHANGES)


def test_the_numbers_are_those_of_the_draft() -> None:
    told = " ".join(change.what for change in CHANGES)
    for words in (
        "11 times is 80 %",
        "25 times about 60 %",
        "1 g at most",
        "to week 30",
        "at 80 % to 12",
        "70 %",
    ):
        assert words in told
    for condition in ("Gave birth", "Amputation", "Parkinson", "missed periods", "sex hormones"):
        assert condition in told
