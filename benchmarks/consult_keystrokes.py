"""How long the hands need for a first consult: four invented people, counted key by key.

    .venv/bin/python -m benchmarks.consult_keystrokes

Drives the page of the first consult in a browser, from the open page to the draft on screen, and
counts by the keystroke-level model of Card, Moran and Newell 1980 (values from memory): 0.28 s a
key of an average typist, 1.1 s to point and click, 1.35 s to decide. One decision is counted for
each question that is answered, and one for each row of numbers that is read off a sheet. What is
said, thought and examined meanwhile is not counted. Shift is a key.
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

KEY_S, CLICK_S, DECIDE_S = 0.28, 1.1, 1.35
ROOT = Path(__file__).resolve().parents[1]
TEST = "tests/browser/test_consult_keystrokes.py"


class Hands:
    """Hands at a keyboard and a mouse; counts what they do on the page."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self.keys = self.clicks = self.decisions = 0

    def answer(self, *keys: str) -> None:
        """Answer one question by these keys."""
        self.decisions += 1
        self.press(*keys)

    def press(self, *keys: str) -> None:
        """Press keys one after the other."""
        for key in keys:
            self.page.keyboard.press(key)
            self.keys += 1

    def read_off(self, *values: str) -> None:
        """Type one row of numbers off a sheet, Tab behind each; an empty one is passed over."""
        self.decisions += 1
        for value in values:
            self.page.keyboard.type(value)
            self.keys += len(value) + sum(sign.isupper() or sign in "/:" for sign in value)
            self.press("Tab")

    def tick(self, label: str) -> None:
        """Point at a name of a list and click."""
        self.decisions += 1
        self.page.get_by_label(label, exact=True).click()
        self.clicks += 1

    def click_field(self, name: str) -> None:
        """Point at a field and click."""
        self.page.locator(f"[name='{name}']").first.click()
        self.clicks += 1

    @property
    def seconds(self) -> float:
        """Return how long the hands took."""
        return self.keys * KEY_S + self.clicks * CLICK_S + self.decisions * DECIDE_S

    def told(self, who: str) -> str:
        """Return the count in a line."""
        counts = f"{self.keys} keys, {self.clicks} clicks, {self.decisions} decisions"
        return f"{who}: {counts}: {self.seconds:.0f} s"


def no_to_all_three(hands: Hands) -> None:
    """Answer no to each list, by the key of its head."""
    for _ in range(3):
        hands.answer("n")


def draft(hands: Hands) -> None:
    """Press the button that the keyboard has come to."""
    hands.answer("Enter")


def healthy(hands: Hands) -> None:
    """A healthy woman of 68 who wants to keep her hips strong."""
    no_to_all_three(hands)
    for key in ("0", "n", "n", "a", "w"):  # falls, unsteady, fractures, menopause, indoors
        hands.answer(key)
    hands.read_off("163", "62", "164")
    hands.read_off("126/76", "124/76")
    hands.read_off("8.4", "15", "10", "22", "")
    hands.read_off("20.1.2026", "-1.5", "-1.8", "-1.9", "")
    hands.press("Tab")  # past "no scan so far"
    hands.answer("h")
    hands.press("Tab")  # no second aim
    hands.answer("s")
    hands.answer("n")
    hands.answer("1", "3", "5", "Enter")
    hands.read_off("40")
    for key in ("n", "n", "y"):
        hands.answer(key)
    hands.answer("1", "4", "Enter")
    hands.answer("n")
    draft(hands)


def with_a_plate(hands: Hands) -> None:
    """(a) A woman alone at home with a plate that moves 2 or 4 mm; what the panel reads is open."""
    no_to_all_three(hands)
    for key in ("0", "n", "n", "a", "w"):
        hands.answer(key)
    hands.read_off("161", "64", "164")
    hands.read_off("132/78", "128/76")
    hands.read_off("9.8", "13", "10", "9", "")
    hands.read_off("3.2.2026", "-2.1", "-2.3", "-2.4", "")
    hands.press("Tab")
    hands.answer("h")
    hands.answer("s")
    hands.answer("n")
    hands.answer("n")
    hands.answer("1", "3", "5", "Enter")
    hands.read_off("40")
    for key in ("n", "n", "y"):
        hands.answer(key)
    hands.answer("1", "4", "Enter")
    hands.answer("y")
    hands.read_off("Home", "v")  # the list of motions goes by its first letter
    hands.read_off("20", "40", "1", "2/4", "")
    hands.answer("y")
    hands.press("Tab")  # its load limit is not known
    draft(hands)


def two_vertebrae(hands: Hands) -> None:
    """(b) A woman of 79 with two vertebral fractures, on an antihypertensive and alendronate."""
    hands.answer("n")
    hands.tick("Long-standing back pain")
    hands.click_field("conditions-rest_is_no")
    hands.press("Tab")
    hands.tick("Medicine for bone")
    hands.click_field("medicines-bone_medicine__kind")
    hands.read_off("b", "2023", "", "")
    hands.tick("Blood pressure medicine")
    hands.click_field("medicines-rest_is_no")
    hands.click_field("falls-last_12_months")
    hands.press("1")
    for key in ("n", "n", "n"):  # injury, long lie, blackout
        hands.answer(key)
    hands.answer("y")
    hands.answer("y")
    for year in ("2021", "2024"):
        hands.read_off("v", year)
        hands.answer("y")
        hands.answer("y")
    hands.answer("a")
    hands.answer("s")
    hands.read_off("152", "54", "158")
    hands.read_off("142/82", "136/80")
    hands.read_off("13.5", "9", "6", "3", "5.1")
    hands.read_off("12.11.2025", "-3.1", "-2.7", "-2.9", "")
    hands.press("Tab")
    hands.answer("f")
    hands.answer("s")
    hands.answer("n")
    hands.answer("n")
    hands.answer("1", "3", "5", "Enter")
    hands.read_off("20")
    for key in ("n", "y", "y"):
        hands.answer(key)
    hands.answer("1", "Enter")
    hands.answer("n")
    draft(hands)


def strong_man(hands: Hands) -> None:
    """(c) A man of 66, 4 cm shorter than he was, who lifts already; strength, then hip."""
    no_to_all_three(hands)
    for key in ("0", "n", "n", "w"):
        hands.answer(key)
    hands.read_off("174", "81", "178")
    hands.read_off("134/80", "130/80")
    hands.read_off("7.2", "17", "10", "25", "")
    hands.read_off("4.12.2025", "-1.4", "-1.9", "-2.0", "")
    hands.press("Tab")
    hands.answer("t")
    hands.answer("h")
    hands.answer("r")
    hands.answer("s")
    hands.answer("1", "3", "5", "Enter")
    hands.read_off("40")
    for key in ("n", "y", "y"):
        hands.answer(key)
    hands.answer("1", "3", "6", "Enter")
    hands.answer("n")
    draft(hands)


@dataclass(frozen=True, kw_only=True)
class Consult:
    """An invented person, how she is asked, and how long the hands may take at most."""

    who: str
    born: str
    sex: str
    asked: Callable[[Hands], None]
    most_s: float
    most_clicks: int = 25


CONSULTS = (
    Consult(who="healthy woman of 68", born="1957-08-14", sex="female", asked=healthy, most_s=60),
    Consult(
        who="(a) plate at home", born="1959-03-14", sex="female", asked=with_a_plate, most_s=150
    ),
    Consult(
        who="(b) two vertebrae", born="1946-05-02", sex="female", asked=two_vertebrae, most_s=150
    ),
    Consult(who="(c) strong man", born="1959-10-10", sex="male", asked=strong_man, most_s=150),
)


def main() -> int:
    """Run the browser test that plays them, and say what it counted."""
    done = subprocess.run([sys.executable, "-m", "pytest", TEST, "-q"], cwd=ROOT)
    for path in sorted((ROOT / "tests" / "output").glob("consult-keystrokes-*.txt")):
        sys.stdout.write(path.read_text())
    return done.returncode


if __name__ == "__main__":
    raise SystemExit(main())
