"""The readers of these tests would notice a text that became more than text."""

from __future__ import annotations

import datetime as dt

import pytest

from programs.papers import ENGLISH
from programs.papers.sessions_calendar import sessions
from tests.hostile.reading import (
    Page,
    cells_of_table,
    squeezed,
    wrong_with_calendar,
    wrong_with_table,
)
from tests.hostile.texts import TEXTS, marked
from tests.programs.sample_papers import DIGEST, program_of, snapshot_of


@pytest.mark.parametrize(
    "page",
    [
        "<p><zq1z></p>",
        "<p zq1z=1>x</p>",
        "<p>x</zq1z>",
        "<!-- zq1z -->",
        "<p onclick='zq1z()'>x</p>",
        "<p style='zq1z'>x</p>",
        "<a href='javascript:zq1z()'>x</a>",
        "<script>let x = 'zq1z'</script>",
        "<style>zq1z{}</style>",
        "<?zq1z?><p>x</p>",
        "<!zq1z><p>x</p>",
    ],
)
def test_a_mark_that_is_more_than_text(page: str) -> None:
    assert len(Page(page).wrong) == 1


def test_a_mark_that_is_text() -> None:
    page = Page(
        "<p title='zq1z'>zq2z &lt;zq3z&gt;</p><a href='/x?q=zq4z'>x</a>"
        '<script type="application/json">{"zq5z": ["zq6z"]}</script>'
    )
    assert page.wrong == []
    assert page.texts == ["zq1z", "zq2z <zq3z>", "/x?q=zq4z", "zq5z", "zq6z"]


def test_most_texts_would_be_seen_where_a_page_escaped_nothing() -> None:
    broken = [name for name in TEXTS if Page(f"<p>{marked(name, 'zq1z')}</p>").wrong]
    in_attributes = [
        name for name in TEXTS if Page(f'<p title="{marked(name, "zq1z")}">x</p>').wrong
    ]
    assert len({*broken, *in_attributes}) >= 7


def test_a_table_that_is_broken_or_reckons() -> None:
    assert [*wrong_with_table('\ufeffa,b\r\n1,-2.5\r\n"x\ny","\'=1"\r\n')] == []
    assert [*wrong_with_table("a,b\r\n1\r\n")] == ["row 2 has 1 cells, the head 2"]
    assert [*wrong_with_table("a\r\n=1\r\n")] == ["row 2 sets off a formula: '=1'"]
    assert cells_of_table("a\r\n'=1\r\n") == ["a", "=1"]


def test_a_calendar_that_is_broken_or_tells() -> None:
    at = dt.datetime(2026, 3, 2, tzinfo=dt.UTC)
    made = sessions(program_of(snapshot_of()), ENGLISH, digest=DIGEST, stamped_at=at)
    assert [*wrong_with_calendar(made)] == []
    assert [*wrong_with_calendar(made.replace(b"Exercises", b"zq1z"))]
    assert [*wrong_with_calendar(made.replace(b"Exercises", b"x\nE:y"))]
    assert [*wrong_with_calendar(made.replace(b"Exercises", b"x" * 80))]


def test_spaces_and_signs_that_nobody_sees_do_not_count() -> None:
    assert squeezed(" a\u202e\tb\r\nc\u200b ") == "abc"
