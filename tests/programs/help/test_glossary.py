"""The glossary: made from declarations, each place once, and each page's terms lead to one."""

import re
from collections import Counter

from django.urls import get_resolver

from patients.facts import codes, declared
from patients.facts.question import Kind, asks
from patients.facts.sections import SECTIONS
from programs.help.glossary import by_anchor, groups, question_anchor
from programs.help.on_pages import _PAGES, SECTION_PAGE, terms_on
from programs.help.terms import KIND_MEANS, LEVEL_MEANS, TERMS
from safety.findings import Level, Modality
from safety.sources import SOURCES

ENTRIES = {one.anchor: one for group in groups() for one in group.entries}


def test_each_place_stands_once_and_can_be_an_id():
    places = [group.anchor for group in groups()]
    places += [one.anchor for group in groups() for one in group.entries]
    assert [place for place, times in Counter(places).items() if times > 1] == []
    assert all(re.fullmatch(r"[a-z0-9_-]+", place) for place in places)


def test_a_question_brings_its_unit_range_help_and_answers():
    t = ENTRIES[question_anchor(declared.Scan, "t")]
    assert (t.word, t.unit) == ("T-score", "\u22128 to 6")
    assert t.text == "As reported, with its minus sign"
    height = ENTRIES[question_anchor(declared.Person, "height_cm")]
    assert height.unit == "cm, 100 to 230"
    mobility = ENTRIES[question_anchor(declared.Person, "mobility")]
    assert mobility.answers == tuple(codes.MOBILITY.values())
    assert ENTRIES[question_anchor(declared.Falls, "unsteady")].answers == ("yes", "no")
    assert ENTRIES[question_anchor(declared.Resources, "minutes_per_day")].unit == "min, 1 to 240"


def test_every_question_code_level_kind_and_source_has_its_place():
    for group in (declared.Person, declared.Falls, declared.Tests, declared.Plate):
        for name, ask in asks(group).items():
            if ask.kind not in (Kind.GROUP, Kind.LIST):
                assert question_anchor(group, name) in ENTRIES
    for name, of in (("conditions", codes.CONDITIONS), ("symptoms", codes.SYMPTOMS)):
        assert {f"{name}-{code}" for code in of} <= set(ENTRIES)
    assert set(LEVEL_MEANS) == set(Level)
    assert set(KIND_MEANS) == set(Modality)
    assert {f"source-{key}" for key in SOURCES} <= set(ENTRIES)


def test_each_term_names_its_sources_and_what_is_from_memory_says_so():
    for term in TERMS:
        assert term.keys
        assert term.text.endswith("."), term.code
        told = " ".join(ENTRIES[term.code].sources)
        for key in term.keys:
            assert SOURCES[key].title in told
            assert SOURCES[key].checked or "From memory, to be confirmed." in told


def test_a_source_says_whether_it_was_read():
    assert "From memory, to be confirmed." in ENTRIES["source-bhof2022"].text
    assert "Read in a public text." in ENTRIES["source-wfg2022"].text


def test_the_terms_of_each_page_lead_to_a_place():
    for page in _PAGES:
        assert terms_on(page), page
    for code in SECTIONS:
        told = terms_on(SECTION_PAGE, code)
        assert told, code
        assert {anchor for anchor, _ in told} <= set(by_anchor.__wrapped__())


def test_the_terms_of_a_section_are_those_of_its_questions():
    told = dict(terms_on(SECTION_PAGE, "falls"))
    assert told["falls-unsteady"] == "Feels unsteady when standing or walking"
    assert told["long_lie"] == "Long lie"
    assert terms_on(SECTION_PAGE, "nowhere") == terms_on("programs:nowhere") == ()


def test_each_page_with_terms_is_one():
    names = set()
    for app in ("patients", "safety", "programs"):
        resolver = get_resolver().namespace_dict[app][1]
        names |= {f"{app}:{name}" for name in resolver.reverse_dict if isinstance(name, str)}
    assert set(_PAGES) <= names
