"""Each screen, draft and first week of a review is made once, and is the whole draft's own."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from programs.draft.draft import draft, draft_of, first_week_of
from programs.draft.resume import Resume
from programs.review import drafts
from programs.review.drafts import Drafts
from safety.findings import Modality
from safety.screen import screen
from tests.campaign import Campaign, run
from tests.documents import Document
from tests.people import facts, steady
from tests.programs.draft.campaigns import revisions

FOUR = Resume(done_weeks={Modality.RESISTANCE: 4, Modality.BALANCE: 2})


def _other_first_week(case: tuple[Document, dict[Modality, int]]) -> Iterator[str]:
    document, done = case
    known, resume = facts(document), Resume(done_weeks=done)
    weeks = draft(known, resume).weeks
    if first_week_of(screen(known, resume.lifted), resume) != (weeks[0] if weeks else None):
        yield "first week: another than the draft's"


def test_the_first_week_alone_is_that_of_the_draft() -> None:
    assert run(Campaign(name="first", cases=revisions, breaches=_other_first_week), 40).shown == []


def test_a_draft_of_a_screen_is_the_draft() -> None:
    assert draft_of(screen(steady()), FOUR) == draft(steady(), FOUR)


def test_each_is_made_once(monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[str] = []
    for name in ("screen", "draft_of", "first_week_of"):
        do = getattr(drafts, name)
        monkeypatch.setattr(
            drafts, name, lambda *asked, do=do, name=name: made.append(name) or do(*asked)
        )
    held = Drafts(steady())
    again = Resume(done_weeks=dict(FOUR.done_weeks))
    assert held.draft(FOUR) is held.draft(again)
    assert held.first_week(FOUR) == held.draft(FOUR).weeks[0]
    assert held.first_week(again) is held.first_week(FOUR)
    assert made == ["screen", "draft_of", "first_week_of"]


def test_what_is_lifted_and_where_it_takes_up_tell_them_apart() -> None:
    held = Drafts(steady(conditions={"chronic_back_pain": "yes"}))
    lifted = Resume(lifted=frozenset({"chronic_back_pain.plate"}))
    assert held.screen() != held.screen(lifted.lifted)
    assert held.draft(lifted).screen is held.screen(lifted.lifted)
    assert held.draft(FOUR) != held.draft(Resume())


def test_nobody_who_is_blocked_has_a_first_week() -> None:
    assert Drafts(steady(symptoms={"fever": "yes"})).first_week(Resume()) is None
