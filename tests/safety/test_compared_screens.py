"""Two screens of one person beside each other: what changed, and in which direction."""

from typing import Any

from hypothesis import given, settings

from safety.compared_screens import (
    Change,
    Effect,
    as_kept,
    as_signed,
    change_as_kept,
    change_from_kept,
    compared,
    from_kept,
    said,
)
from safety.findings import Level
from safety.screen import screen
from tests.documents import Document, documents
from tests.people import clearance, facts, steady

STIMULATOR = "implanted_stimulator"


def changed(before: dict[str, Any], now: dict[str, Any]) -> tuple[Change, ...]:
    """Return what changed between two screens of the steady person."""
    old, new = ([said(f) for f in screen(steady(**of)).findings] for of in (before, now))
    return compared(old, new)


def conditions(answer: Any) -> dict[str, Any]:
    return {"conditions": {STIMULATOR: answer}}


CLEARED = {"answer": "yes", "cleared": [clearance("plate", "resistance")]}


def effects(before: dict[str, Any], now: dict[str, Any]) -> dict[str, tuple[Effect, Effect]]:
    return {one.rule: (one.before, one.after) for one in changed(before, now)}


def test_a_sign_stops_the_whole_program() -> None:
    first = changed({}, {"symptoms": {"chest_pain": "yes"}})[0]
    assert (first.after, first.is_harder) == (Effect.STOPPED, True)
    assert first.words.startswith("Nothing may be issued now: ")


def test_a_new_condition_that_wants_a_clearance_holds() -> None:
    first = changed({}, conditions("yes"))[0]
    assert (first.before, first.after) == (Effect.NOTHING, Effect.HELD)
    assert first.words.startswith("Now on hold, ")


def test_a_clearance_clears_and_its_end_holds_again() -> None:
    given = effects(conditions("yes"), conditions(CLEARED))
    assert given[f"{STIMULATOR}.plate"] == (Effect.HELD, Effect.CLEARED)
    (ended, *_) = changed(conditions(CLEARED), conditions("yes"))
    assert (ended.before, ended.after, ended.is_harder) == (Effect.CLEARED, Effect.HELD, True)
    (cleared, *_) = changed(conditions("yes"), conditions(CLEARED))
    assert cleared.words.startswith("Now cleared, ")
    assert not cleared.is_harder


def test_what_is_cleared_from_the_start_asks_for_no_more_care() -> None:
    found = [one for one in changed({}, conditions(CLEARED)) if one.after is not Effect.CARE]
    assert {one.rule for one in found} == {f"{STIMULATOR}.plate", f"{STIMULATOR}.resistance"}
    assert {one.after for one in found} == {Effect.CLEARED}
    assert not any(one.is_harder for one in found)


def test_what_is_gone_is_told_with_its_old_words() -> None:
    found = changed(conditions("yes"), {})
    assert {one.after for one in found} == {Effect.NOTHING}
    assert all(one.words.startswith("No longer, ") for one in found)


def test_what_is_eased_says_only() -> None:
    hard = as_signed(
        rule="r.plate", about="plate", level="needs_clearance", text="A", cleared=False
    )
    soft = as_signed(rule="r.plate", about="plate", level="precaution", text="B", cleared=False)
    (eased,) = compared([hard], [soft])
    assert eased.words == "Now only a precaution, vibration plate: B."
    (harder,) = compared([soft], [hard])
    assert harder.words == "Now on hold, vibration plate: A."


def test_contraindicated_is_left_out_and_unasked_is_asked() -> None:
    found = effects({}, {"conditions": {"acute_thrombosis": "yes"}})
    assert Effect.OUT in {now for _, now in found.values()}
    unasked = {"falls": {"unsteady": None, "worried": None}}
    assert all(before is Effect.NOTHING for before, _ in effects({}, unasked).values())


def test_what_asks_for_most_care_comes_first() -> None:
    found = changed(
        conditions("yes"),
        {"symptoms": {"chest_pain": "yes"}, "conditions": {"acute_thrombosis": "yes"}},
    )
    assert found[0].after is Effect.STOPPED
    harder = [one.is_harder for one in found]
    assert harder == sorted(harder, reverse=True)
    assert not harder[-1]


def test_of_equals_what_is_known_comes_first() -> None:
    found = changed({}, {"symptoms": {"fever": None, "otherwise": None, "chest_pain": "yes"}})
    stopped = [one.text for one in found if one.after is Effect.STOPPED]
    assert len(stopped) > 1
    assert not stopped[0].startswith("Not recorded")
    assert all(text.startswith("Not recorded") for text in stopped[1:])


def test_signed_texts_say_less_and_less_is_taken() -> None:
    """A change is told rather than missed: what a signed text does not say held is not held."""

    def of(rule: str, level: Level, *, cleared: bool = False) -> Effect:
        one = as_signed(rule=rule, about="plate", level=str(level), text="x", cleared=cleared)
        return one.effect

    assert of(f"{STIMULATOR}.plate", Level.MISSING) is Effect.HELD
    assert of("of.another.rulebook", Level.MISSING) is Effect.ASKED
    assert of("of.another.rulebook", Level.NEEDS_CLEARANCE) is Effect.HELD
    assert of("of.another.rulebook", Level.NEEDS_CLEARANCE, cleared=True) is Effect.CLEARED
    assert of("of.another.rulebook", Level.REFER) is Effect.CARE


@settings(max_examples=40)
@given(documents)
def test_a_screen_beside_itself_or_as_kept_differs_in_nothing(document: Document) -> None:
    now = [said(f) for f in screen(facts(document)).findings]
    kept = [from_kept({**as_kept(one), "place": 1}) for one in now]
    assert compared(now, kept) == ()
    # Each rule finds at most one thing, which is what they are told apart by.
    assert len({one.rule for one in now}) == len(now)


def test_a_change_is_read_back_as_it_was_kept() -> None:
    found = changed({}, conditions("yes"))
    assert tuple(change_from_kept(change_as_kept(one)) for one in found) == found
