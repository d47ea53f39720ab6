"""The long run over screens: the index passes over no rule that has anything to say."""

from __future__ import annotations

from collections.abc import Iterator

from hypothesis import strategies as st

from patients.facts.declared import Facts
from safety.rules.all_rules import RULES
from safety.screen import Screen, most_serious_first, screen
from safety.situation import situation
from tests.campaign import Campaign
from tests.documents import Document, documents
from tests.people import facts

_LIFTABLE = sorted(rule.code for rule in RULES if rule.review_lifts)


def by_all_rules(known: Facts, lifted: frozenset[str] = frozenset()) -> Screen:
    """Return the screen at which every rule looks, whatever it reads."""
    seen = situation(known)
    looked = (rule.look(seen, lifted=rule.code in lifted) for rule in RULES)
    return Screen(situation=seen, findings=most_serious_first(f for f in looked if f is not None))


def otherwise_by_the_index(case: tuple[Document, frozenset[str]]) -> Iterator[str]:
    """Yield what the index finds otherwise than all rules do."""
    document, lifted = case
    known = facts(document)
    whole, indexed = by_all_rules(known, lifted), screen(known, lifted)
    if whole != indexed:
        told = {f.rule for f in set(whole.findings) ^ set(indexed.findings)}
        yield f"index: otherwise by {', '.join(sorted(told)) or 'their order'}"


CAMPAIGNS = (
    Campaign(
        name="each screen by the index",
        cases=st.tuples(documents, st.frozensets(st.sampled_from(_LIFTABLE), max_size=3)),
        breaches=otherwise_by_the_index,
    ),
)
