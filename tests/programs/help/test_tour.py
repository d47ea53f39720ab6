"""The tour: three sentences for each page it knows, and none once they were put away."""

from django.urls import get_resolver

from programs.help.tour import ALL_PAGES, TOUR, tour_of


def test_each_page_has_three_sentences_that_end():
    for page, told in TOUR.items():
        assert len(told) == 3, page
        for sentence in told:
            assert sentence.endswith("."), (page, sentence)
            assert len(sentence) <= 110, (page, sentence)


def test_each_page_of_the_tour_is_one():
    names = set()
    for app in ("patients", "safety", "programs"):
        resolver = get_resolver().namespace_dict[app][1]
        names |= {f"{app}:{name}" for name in resolver.reverse_dict if isinstance(name, str)}
    assert set(TOUR) <= names


def test_what_was_put_away_is_not_told():
    page = "programs:plan"
    assert tour_of(page, frozenset()) == TOUR[page]
    assert tour_of(page, frozenset({page})) == ()
    assert tour_of(page, frozenset({ALL_PAGES})) == ()
    assert tour_of(page, frozenset({"programs:sign"})) == TOUR[page]
    assert tour_of("programs:nowhere", frozenset()) == ()
