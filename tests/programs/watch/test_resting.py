"""Every paper that a declaration names is watched, with what rests on it."""

from __future__ import annotations

import re
from pathlib import Path

from programs.watch.identifiers import goes_by, names_in, shown
from programs.watch.resting import papers, unnamed

ROOT = Path(__file__).resolve().parents[3]
BY_NAME = {paper.name: paper for paper in papers()}
#: A name for good as a declaration writes it; the watch's own code gives how it looks.
WRITTEN = re.compile(r"10\.\d{4,9}/[^\s;,()\"'<>]+|PMID:? ?\d+|\bPMC\d+|\bNBK\d+")


def test_no_name_in_the_source_escapes_the_watch() -> None:
    missing = {}
    for room in ("patients", "safety", "programs"):
        for file in (ROOT / room).rglob("*.py"):
            if "migrations" in file.parts or "watch" in file.parts:
                continue
            for written in WRITTEN.findall(file.read_text(encoding="utf-8")):
                (name,) = names_in(written)
                if name not in BY_NAME:
                    missing[name] = file.name
    assert missing == {}
    assert len(BY_NAME) > 60


def test_a_rule_a_limit_a_trial_and_a_gain_lead_to_their_paper() -> None:
    """UK consensus 2022; Gusi 2006; Watson 2018: as safety.sources and the evidence give them."""
    uk = BY_NAME["doi:10.1136/bjsports-2021-104634"]
    assert {"rule"} <= {one.kind for one in uk.rests}
    assert any("fracture.not_asked.plate" in one.what for one in uk.rests)
    gusi = BY_NAME["doi:10.1186/1471-2474-7-92"]
    assert {"limit", "trial listed"} <= {one.kind for one in gusi.rests}
    watson = BY_NAME["doi:10.1002/jbmr.3284"]
    assert {one.kind for one in watson.rests} == {
        *("training without a plate", "gain on a scanner", "trial on the map")
    }


def test_a_retracted_trial_says_that_nothing_of_it_is_used() -> None:
    (row,) = BY_NAME["doi:10.1007/bf03324589"].rests
    assert row.what.endswith("nothing of it is used")


def test_a_source_that_nothing_else_names_stands_for_itself() -> None:
    """Deutz 2014 is read by the prompts, by its key."""
    (row,) = BY_NAME["doi:10.1016/j.clnu.2014.04.007"].rests
    assert row.kind == "declared source"


def test_sources_without_a_name_are_told_and_no_paper_stands_in_both() -> None:
    assert "Bautmans 2005, BMC Geriatr 5:17" in unnamed()
    assert not any(names_in(one) for one in unnamed())
    assert not any(one.startswith("Common practice") for one in unnamed())


def test_one_paper_goes_by_one_name() -> None:
    assert names_in("Front Physiol, doi 10.3389/FPHYS.2019.01122; PMID 31543827.") == (
        "doi:10.3389/fphys.2019.01122",
    )
    assert names_in("J Bone Miner Res 33:211") == ("doi:10.1002/jbmr.3284",)
    assert goes_by("pmid:1") == "pmid:1"
    assert names_in("in 10.5 minutes, 1990/91") == ()


def test_names_as_a_page_shows_them() -> None:
    assert shown("doi:10.1000/182") == "doi 10.1000/182"
    assert [shown(one) for one in ("pmid:7", "pmc:8", "nbk:9")] == ["PMID 7", "PMC8", "NBK9"]
