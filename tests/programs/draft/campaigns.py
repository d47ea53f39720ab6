"""The long runs over drafts: one person's, one fact worse, one fact unknown, more time."""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from typing import Any

from hypothesis import strategies as st

from programs.draft import person
from programs.draft.draft import Draft, draft
from programs.draft.resume import Resume
from programs.exercises import EXERCISES
from programs.week.week import Week, part_of
from safety.findings import Modality
from safety.screen import Status
from tests.campaign import Campaign
from tests.documents import Document, documents
from tests.people import facts, laid_over
from tests.programs.draft.holds import PERCENT, WEEKDAYS, Drafted, what_is_wrong
from tests.safety.worse import CHANGES, RIPE, made_worse

ENOUGH_TIME = {"days": list(WEEKDAYS), "minutes_per_day": 240}


def drafted(document: Document) -> Drafted:
    """Return the draft of a document."""
    known = facts(document)
    return Drafted(facts=known, made=draft(known))


def of_one(document: Document) -> Iterator[str]:
    """Yield what is wrong with one person's draft."""
    yield from what_is_wrong(drafted(document))


# --- A worse or unknown fact never loosens anything ----------------------------------------


def _one_fact_worse(draw: st.DrawFn) -> tuple[str, Document, Document | None]:
    name = draw(st.sampled_from(sorted(CHANGES)))
    better = laid_over(draw(documents), RIPE.get(name, {}))
    better = laid_over(better, {"resources": ENOUGH_TIME})
    return name, better, made_worse(better, name, draw)


#: A fact, and what it is when nobody knows: the draft may be no looser than for any answer.
UNKNOWN: dict[str, tuple[Document, Document]] = {
    "fracture undated": (
        {"fractures": [{"site": "wrist", "date": "2019-05-01", "low_trauma": "yes"}]},
        {"fractures": [{"site": "wrist", "low_trauma": "yes"}]},
    ),
    "fracture undated, healed": (
        {"fractures": [{"site": "hip", "date": "2019-05-01", "healed": "yes"}]},
        {"fractures": [{"site": "hip", "healed": "yes"}]},
    ),
    "height not measured, as it was": (
        {"person": {"height_cm": 163, "tallest_height_cm": 164}},
        {"person": {"height_cm": None, "tallest_height_cm": 164}},
    ),
    "height not measured, lost": (
        {"person": {"height_cm": 158, "tallest_height_cm": 164}},
        {"person": {"height_cm": None, "tallest_height_cm": 164}},
    ),
    **{
        f"steroid of {mg} mg, dose unknown": (
            {"medicines": {"glucocorticoid": {"answer": "yes", "mg_per_day": mg, "months": 12}}},
            {"medicines": {"glucocorticoid": {"answer": "yes"}}},
        )
        for mg in (2.5, 5, 7.5, 30)
    },
}


def _one_fact_unknown(draw: st.DrawFn) -> tuple[str, Document, Document | None]:
    name = draw(st.sampled_from(sorted(UNKNOWN)))
    known, unknown = UNKNOWN[name]
    whole = laid_over(draw(documents), {"resources": ENOUGH_TIME})
    for section in ("fractures", "medicines"):
        if section in known:
            whole[section] = {"otherwise": "no"} if section == "medicines" else []
    return name, laid_over(whole, known), laid_over(whole, unknown)


def never_looser(case: tuple[str, Document, Document | None]) -> Iterator[str]:
    """Yield what one fact worse, or unknown, has loosened."""
    name, better, worse = case
    if worse is None:
        return
    before, after = drafted(better).made, drafted(worse).made
    if after.issuable and not before.issuable and not any(_included(before)):
        yield f"issuable: by {name}"
    if not _sits_down(before, after):
        yield from _no_lower_group(before, after, name)
    elif after.group == "A":
        yield f"group: A in a seated program, by {name}"
    for modality in Modality:
        yield from _no_looser(modality, before, after, name)


def _sits_down(before: Draft, after: Draft) -> bool:
    """Tell whether the worse fact leads to a seated program, whose group is its own (row 3b)."""
    return after.screen.situation.seated and not before.screen.situation.seated


def _no_lower_group(before: Draft, after: Draft, name: str) -> Iterator[str]:
    if "ABC".index(after.group) < "ABC".index(before.group):
        yield f"group: {before.group} becomes {after.group} by {name}"
    barred = person.barred(before.screen) - person.barred(after.screen)
    if barred:
        yield f"barred: {sorted(barred)} no longer, by {name}"


def _included(made: Draft) -> Iterator[Modality]:
    return (m for m, one in made.standings.items() if one.status is Status.INCLUDED)


_ORDER = (Status.INCLUDED, Status.ON_HOLD, Status.EXCLUDED)


def _no_looser(modality: Modality, before: Draft, after: Draft, name: str) -> Iterator[str]:
    then, now = (_ORDER.index(made.standings[modality].status) for made in (before, after))
    if now < then:
        yield f"status: of {modality} is better by {name}"
    caps = [
        [cap for week in made.weeks for cap in _caps(modality, week)] for made in (before, after)
    ]
    higher = all(caps) and [max(new) > max(old) for old, new in zip(*_by_kind(caps), strict=True)]
    if higher and modality is Modality.IMPACT and _takes_its_turn(before, after):
        higher = higher[1:]
    if higher and any(higher):
        yield f"cap: of {modality} is higher by {name}"


def _takes_its_turn(before: Draft, after: Draft) -> bool:
    """Tell whether impact only rises earlier: of three, two rise in a week (row 22a).

    The worse fact holds the plate or the lifting; the force stays within what was hers before.
    """
    others = (Modality.PLATE, Modality.RESISTANCE)
    held = any(_reached(m, after) < _reached(m, before) for m in others)
    ceiling = person.impact_cap_bw(before.screen, before.group)
    return held and _reached(Modality.IMPACT, after) <= ceiling


def _reached(modality: Modality, made: Draft) -> float:
    """Return the most of a program: g of the plate, percent, force."""
    return max((cap[0] for week in made.weeks for cap in _caps(modality, week)), default=0)


def _by_kind(caps: list[list[tuple[float, ...]]]) -> tuple[list[Any], list[Any]]:
    old, new = ([list(kind) for kind in zip(*each, strict=True)] for each in caps)
    return old, new


def _caps(modality: Modality, week: Week) -> Iterator[tuple[float, ...]]:
    """Yield what is capped in a week: g of the plate, percent, force and free hands."""
    part = part_of(week, modality)
    if part is None:
        return
    if week.plate is part:
        yield (week.plate.peak_g, float(not week.plate.supervised))
    elif week.resistance is part:
        yield (float(PERCENT.get(week.resistance.could_lift or 0, 0)),)
    elif week.impact is part:
        yield (week.impact.peak_bw, float(week.impact.impacts or 0))
    elif week.balance is part:
        yield (float(not week.balance.near_support),)
    else:
        codes = week.posture.exercises if week.posture else ()
        yield (float(not all(EXERCISES[code].fragile_spine for code in codes)),)


# --- More minutes or more days never give less of what is worth most ------------------------


def _any_time(draw: st.DrawFn) -> Document:
    """Return somebody with any days and minutes, mostly few."""
    whole = deepcopy(draw(documents))
    resources = whole.setdefault("resources", {})
    days = draw(st.lists(st.sampled_from(WEEKDAYS), max_size=7, unique=True))
    resources["minutes_per_day"] = draw(st.integers(1, 90))
    resources["days"] = sorted(days, key=WEEKDAYS.index)
    return whole


of_any_time = st.composite(_any_time)()


def _more_time(draw: st.DrawFn) -> tuple[Document, Document]:
    less = draw(of_any_time)
    more = deepcopy(less)
    if draw(st.booleans()):
        more["resources"]["minutes_per_day"] += draw(st.integers(1, 30))
    else:
        also = draw(st.lists(st.sampled_from(WEEKDAYS), max_size=3))
        days = {*more["resources"]["days"], *also}
        more["resources"]["days"] = sorted(days, key=WEEKDAYS.index)
    return less, more


def never_less(case: tuple[Document, Document]) -> Iterator[str]:
    """Yield the weeks in which more time gives less of rank 1."""
    less, more = (drafted(one) for one in case)
    first = next(m for m in Modality if more.rank(m) == 1)
    if less.rank(first) != 1:
        yield f"rank: more time makes {first} the first"
    if first is Modality.RESISTANCE:
        yield from _lifting_never_less(less, more)
        return
    pairs = zip(less.minutes_of(first), more.minutes_of(first), strict=True)
    for week, (was, now) in enumerate(pairs if less.weeks and more.weeks else (), 1):
        if now < was - 1e-6 and more.is_whole(first, week):
            yield f"less: {first} has {now:g} min in week {week}, with less time {was:g}"


def _lifting_never_less(less: Drafted, more: Drafted) -> Iterator[str]:
    """Yield the weeks with fewer sets.

    Minutes do not tell: a set is shorter as its load rises. When the load rises is no matter of
    time but of how many kinds rise in a week (row 22a), of which more time may bring one more.
    """
    for before, after in zip(less.weeks, more.weeks, strict=False):
        if before.resistance is None or not more.is_whole(Modality.RESISTANCE, after.week):
            continue
        was, now = _sets(before), _sets(after)
        if now < was:
            yield f"less: {now} sets in week {after.week}, with less time {was}"


def _sets(week: Week) -> int:
    held = week.resistance
    return held.sessions * held.sets * len(held.exercises) if held else 0


# --- A revision from anywhere keeps what holds for a first draft ------------------------------


def of_revision(case: tuple[Document, dict[Modality, int]]) -> Iterator[str]:
    """Yield what is wrong with a draft that takes up so many places on."""
    document, done = case
    known = facts(document)
    yield from what_is_wrong(Drafted(facts=known, made=draft(known, Resume(done_weeks=done))))


revisions = st.tuples(
    st.one_of(documents, of_any_time),
    st.dictionaries(st.sampled_from(Modality), st.integers(0, 60)),
)

CAMPAIGNS = (
    Campaign(name="each draft", cases=st.one_of(documents, of_any_time), breaches=of_one),
    Campaign(name="each revision", cases=revisions, breaches=of_revision),
    Campaign(name="one fact worse", cases=st.composite(_one_fact_worse)(), breaches=never_looser),
    Campaign(
        name="one fact unknown", cases=st.composite(_one_fact_unknown)(), breaches=never_looser
    ),
    Campaign(name="more time", cases=st.composite(_more_time)(), breaches=never_less),
)
