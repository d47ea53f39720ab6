"""The file of the watch is read against its format, and what is wrong with it is said in words."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any

import pytest

from programs.actions.evidence_watch import KEPT
from programs.watch import file
from programs.watch.file import BadFile, Look, Status, WatchFile, older, read, write
from programs.watch.resting import papers
from programs.watch.standing import by_status, noticed, watched
from tests.each import each

TODAY = dt.date(2026, 6, 1)
STANDS = {"paper": "doi:10.1186/1471-2474-7-92", "status": "standing", "looked_on": "2026-05-01"}
GONE = {"paper": "pmid:24676848", "status": "retracted", "notice": "Notice of May 2026"}


def told(*rows: Any, **more: Any) -> dict[str, Any]:
    whole = {"format": file.FORMAT, "as_of": "2026-05-02", "drawn_up_by": "Ada Example"}
    return {**whole, "papers": list(rows), **more}


def taken(*rows: Any, **more: Any) -> WatchFile:
    return read(json.dumps(told(*rows, **more)).encode(), TODAY)


def wrong(content: bytes) -> tuple[str, ...]:
    with pytest.raises(BadFile) as bad:
        read(content, TODAY)
    return bad.value.problems


def test_what_it_says_is_read_and_written_back() -> None:
    held = taken(STANDS, GONE)
    assert held.of("pmid:24676848").status is Status.RETRACTED
    assert held.of("doi:10.1186/1471-2474-7-92").looked_on == dt.date(2026, 5, 1)
    assert held.of("pmid:5") == Look(name="pmid:5")
    text = write(held, ["pmid:5", "pmid:24676848"])
    again = read(text.encode(), TODAY)
    assert again.looks["pmid:5"].status is Status.NOT_LOOKED_AT
    assert again.looks["pmid:24676848"] == held.looks["pmid:24676848"]
    assert read(b"\xef\xbb\xbf" + text.encode(), TODAY) == again


def test_a_name_is_read_whatever_its_letters_and_by_another_name_of_the_paper() -> None:
    held = taken(
        {**STANDS, "paper": "DOI:10.1186/1471-2474-7-92"}, {**GONE, "paper": "pmid:28975661"}
    )
    assert set(held.looks) == {"doi:10.1186/1471-2474-7-92", "doi:10.1002/jbmr.3284"}


ROWS = {
    "no object": ("x", "not an object"),
    "no name": ({**STANDS, "paper": "Gusi 2006"}, "“paper” must be like doi:10.1000/182"),
    "a number": ({**STANDS, "paper": 5}, "“paper” must be like"),
    "no status": ({**STANDS, "status": "fine"}, "“status” must be one of not_looked_at"),
    "a list": ({**STANDS, "status": []}, "“status” must be one of"),
    "no day": ({**STANDS, "looked_on": "1 May 2026"}, "“looked_on” must be a day"),
    "no such day": ({**STANDS, "looked_on": "2026-02-30"}, "“looked_on” must be a day"),
    "a day as a number": ({**STANDS, "looked_on": 20260501}, "“looked_on” must be a day"),
    "after the file": ({**STANDS, "looked_on": "2026-05-03"}, "after the day of the file"),
    "stands unseen": ({**STANDS, "looked_on": None}, "on which day that was seen"),
    "unseen on a day": ({**STANDS, "status": "not_looked_at"}, "must be null"),
    "no notice": ({**GONE, "notice": " "}, "it is retracted, so “notice” must say"),
    "notice no text": ({**GONE, "notice": 5}, "“notice” must be text"),
    "notice long": ({**GONE, "notice": "x" * 401}, "up to 400 characters"),
    "notice of two lines": ({**GONE, "notice": "x\ny"}, "on one line"),
    "unknown": ({**STANDS, "run": "this"}, "has “run”, which is not of the format"),
}


@each("row, said", ROWS.values(), ids=ROWS)
def test_what_is_wrong_with_a_paper_is_said(row: Any, said: str) -> None:
    (problem,) = wrong(json.dumps(told(row)).encode())
    assert problem.startswith("Paper 1")
    assert said in problem


FILES = {
    "format": (told(format="other/1"), "“format” must be"),
    "no day": (told(as_of="soon"), "“as_of” must be a day"),
    "to come": (told(as_of="2026-06-02"), "still to come"),
    "nobody": (told(drawn_up_by=" "), "must say who"),
    "no name": (told(drawn_up_by=None), "must say who"),
    "no list": (told(papers={}), "“papers” must be a list"),
    "too many": (told(papers=[0] * 2001), "2000 is the most"),
    "unknown": (told(run="this"), "The file has “run”"),
    "twice": (told(STANDS, STANDS), "the same paper as number 1"),
    "no object": ([], "not one object"),
}


@each("whole, said", FILES.values(), ids=FILES)
def test_what_is_wrong_with_a_file_is_said(whole: Any, said: str) -> None:
    (problem,) = wrong(json.dumps(whole).encode())
    assert said in problem


TEXTS = {
    "no text": (b"\xff{}", "not UTF-8"),
    "no JSON": (b"{", "not JSON"),
    "no number": (b'{"a": NaN}', "NaN is no number"),
    "two of a name": (b'{"as_of": 1, "as_of": 2}', "“as_of” stands twice"),
    "nested": (b"[" * 200_000, "nested too deep"),
    "large": (b" " * (1024**2 + 1), "larger than 1 MB"),
}


@each("content, said", TEXTS.values(), ids=TEXTS)
def test_what_is_no_data_is_refused(content: bytes, said: str) -> None:
    (problem,) = wrong(content)
    assert said in problem


def test_no_more_is_told_at_once_than_can_be_read() -> None:
    problems = wrong(json.dumps(told(*["x"] * 25)).encode())
    assert len(problems) == file.MOST_TOLD + 1
    assert problems[-1] == "And 5 more."


def test_a_file_is_older_by_its_day_by_a_look_or_by_a_notice_left_out() -> None:
    names = [STANDS["paper"], "pmid:24676848"]
    held = taken(STANDS, {**GONE, "looked_on": "2026-05-01"})
    assert older(held, held, names) == ()
    assert older(taken(as_of="2026-05-01"), taken(), names) == (
        "It is of 2026-05-01; the one in force is of 2026-05-02.",
    )
    earlier = {**STANDS, "looked_on": "2026-04-01"}
    look, notice = older(taken(earlier, as_of="2026-06-01"), held, names)
    assert "on 2026-05-01 in the one in force, on 2026-04-01 here" in look
    assert notice == "pmid:24676848 is retracted in the one in force, not looked at here."
    (unseen,) = older(
        taken({**GONE, "status": "retracted"}), taken(GONE | {"looked_on": "2026-05-01"}), names
    )
    assert "on no day here" in unseen
    # Of a paper that the product does not rest on nothing is asked.
    assert older(taken(), held, []) == ()


def test_the_products_own_file_holds_and_says_nothing_of_other_papers() -> None:
    """Retraction: link.springer.com/article/10.1007/BF03324589. Errata: Clin Interv Aging 2014;
    9:945, named in PubMed; J Bone Miner Res 34:572, PMID 30861219."""
    held = read(KEPT.read_bytes(), dt.date(2026, 12, 31))
    assert set(held.looks) <= {paper.name for paper in papers()}
    assert held.of("doi:10.1007/bf03324589").status is Status.RETRACTED
    assert held.of("doi:10.2147/cia.s53591").status is Status.CORRECTED
    assert held.of("doi:10.1002/jbmr.3284").status is Status.CORRECTED
    assert KEPT.read_text(encoding="utf-8") == write(held, [])


def test_the_gravest_stand_first_each_in_its_tone() -> None:
    concern = {**GONE, "status": "concern", "paper": "doi:10.1186/1471-2474-7-92"}
    corrected = {**GONE, "status": "corrected", "paper": "doi:10.1002/jbmr.3284"}
    found = noticed(taken(corrected, concern, GONE))
    assert [one.look.status.words for one in found] == ["retracted", "under concern", "corrected"]
    assert [one.tone for one in found] == ["contraindicated", "contraindicated", "precaution"]
    assert found[0].name == "PMID 24676848"
    every = watched(taken(STANDS, GONE))
    assert len(every) == len(papers())
    assert every[-1].tone == ""
    assert by_status(every) == (
        ("retracted", 1),
        ("stands, no notice found", 1),
        ("not looked at", len(papers()) - 2),
    )


def test_long_lists_of_what_rests_on_a_paper_are_told_in_two_parts() -> None:
    (one,) = noticed(taken({**GONE, "paper": "doi:10.1136/bjsports-2021-104634"}))
    assert len(one.in_sight) == 6
    assert len(one.in_sight) + len(one.further) <= len(one.paper.rests)
    assert one.further
