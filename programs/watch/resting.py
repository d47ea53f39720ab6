"""What in the product rests on which paper: gathered from the declarations themselves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from patients.measured.function_tests import CHANGE_SOURCE, CUTS
from patients.measured.trial_gains import TRIAL_GAINS
from patients.measured.turnover import DEFAULT_LSC
from patients.measured.worry import SOURCE as WORRY_SOURCE
from programs.dose.limit_tables import limit_tables
from programs.exercises.catalogue import EXERCISES
from programs.plates.evidence import ALTERNATIVES, AWAITED, POOLED, TRIALS
from programs.plates.measured_motion import NOMINAL_SOURCE
from programs.trial_map.of_impact_and_lifting import IMPACTS, LIFTING
from programs.watch.identifiers import names_in
from safety.rules.all_rules import RULES
from safety.sources import SOURCES

_EFFORT = "Effort of a set by the repetitions left: PMC11057620, PMC11603803"
_INDEX = "Planning number of impacts, force by the logarithm of contacts: PMC2465063, PMC3737855"


@dataclass(frozen=True, kw_only=True)
class Rest:
    """Something of the product that rests on a paper.

    kind    rule, limit, trial and so on, as the page says it
    what    which of them
    cited   the words by which it names the paper
    """

    kind: str
    what: str
    cited: str


@dataclass(frozen=True, kw_only=True)
class Paper:
    """A paper by its one name, how it is cited, and what rests on it."""

    name: str
    cited: str
    rests: tuple[Rest, ...]


@cache
def papers() -> tuple[Paper, ...]:
    """Return every paper that a declaration names for good, in the order of their citations."""
    found: dict[str, list[Rest]] = {}
    for rest in _all():
        for name in names_in(rest.cited):
            found.setdefault(name, []).append(rest)
    made = (_paper(name, rests) for name, rests in found.items())
    return tuple(sorted(made, key=lambda one: one.cited.casefold()))


def unnamed() -> tuple[str, ...]:
    """Return the declared sources that nobody can look up by a name for good."""
    cited = {rest.cited for rest in _all() if rest.kind in (_SOURCE, _TRIAL, _POOLED)}
    cited -= {SOURCES[key].text for key in ("common", "project")}
    return tuple(sorted((one for one in cited if not names_in(one)), key=str.casefold))


_SOURCE, _TRIAL, _POOLED = "declared source", "trial listed", "pooled analysis listed"


def _paper(name: str, rests: list[Rest]) -> Paper:
    # A source says the title; else the shortest words that name the paper say it.
    titled = [rest.cited for rest in rests if rest.kind == _SOURCE]
    others = [rest for rest in rests if rest.kind != _SOURCE] or rests
    cited = titled[0] if titled else min((rest.cited for rest in rests), key=len)
    return Paper(name=name, cited=cited, rests=tuple(dict.fromkeys(others)))


def _all() -> Iterator[Rest]:
    yield from _rules_and_limits()
    yield from _evidence()
    yield from _figures()
    for source in SOURCES.values():
        yield Rest(kind=_SOURCE, what=source.title, cited=source.text)


def _rules_and_limits() -> Iterator[Rest]:
    for rule in RULES:
        what = f"{rule.code}: {rule.reason or 'asks, for as long as it is not recorded'}"
        for line in (*rule.source, rule.evidence):
            yield Rest(kind="rule", what=what, cited=line)
    for table in limit_tables():
        for row in table.rows:
            for line in row.source.split(" · "):
                yield Rest(kind="limit", what=f"{table.name}: {row.text}, {row.value}", cited=line)


def _evidence() -> Iterator[Rest]:
    for trial in TRIALS:
        unused = ": nothing of it is used" if trial.retracted_on else ""
        cited = f"{trial.citation}; {trial.identifier}".removesuffix("; ")
        yield Rest(kind=_TRIAL, what=f"{trial.citation}{unused}", cited=cited)
    for pooled in POOLED:
        cited = f"{pooled.citation}; {pooled.identifier}".removesuffix("; ")
        yield Rest(kind=_POOLED, what=pooled.citation, cited=cited)
    for one in ALTERNATIVES:
        what = f"{one.what}, for the {one.aim}: {one.effect}"
        yield Rest(kind="training without a plate", what=what, cited=one.source)
    for program in (*IMPACTS, *LIFTING):
        yield Rest(kind="trial on the map", what=program.citation, cited=program.source)
    for line in AWAITED:
        yield Rest(kind="result awaited", what=line, cited=line)


def _figures() -> Iterator[Rest]:
    for site, gains in TRIAL_GAINS.items():
        for gain in gains:
            what = f"{site.replace('_', ' ')}, {gain.label}: {gain.words}"
            yield Rest(kind="gain on a scanner", what=what, cited=gain.source)
    for exercise in EXERCISES.values():
        if exercise.peak_bw_source:
            what = f"{exercise.name}: {exercise.peak_bw} body weights"
            yield Rest(kind="force of an exercise", what=what, cited=exercise.peak_bw_source)
    for marker, least in DEFAULT_LSC.items():
        what = f"{marker.replace('_', ' ')}: {least.percent:g} %"
        yield Rest(kind="change of a marker that counts", what=what, cited=least.source)
    for cut in CUTS:
        what = f"{cut.measure.replace('_', ' ')} {cut.sign} {cut.limit:g} {cut.unit}".strip()
        yield Rest(kind="cut of a test", what=what, cited=cut.source)
    for what, cited in (
        ("change of a test that counts", CHANGE_SOURCE),
        ("worry about falling", WORRY_SOURCE),
        ("what a plate’s panel may be off by", NOMINAL_SOURCE),
        ("effort of a set", _EFFORT),
        ("planning number of impacts", _INDEX),
    ):
        yield Rest(kind="figure", what=what, cited=cited)
