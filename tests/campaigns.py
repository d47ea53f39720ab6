"""All long runs: ./check --campaign prints their counts, and exits 1 on any breach."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable

from tests.campaign import Campaign, run
from tests.programs.draft.campaigns import CAMPAIGNS as OF_DRAFTS
from tests.programs.papers.campaigns import CAMPAIGNS as OF_PAPERS
from tests.programs.plates.campaigns import CAMPAIGNS as OF_PLATES
from tests.safety.campaigns import CAMPAIGNS as OF_SCREENS

CAMPAIGNS = (*OF_SCREENS, *OF_DRAFTS, *OF_PAPERS, *OF_PLATES)


def main(chosen: Iterable[Campaign], write: Callable[[str], object] = print) -> int:
    """Run campaigns whole; print the counts of each; return 1 where anything was broken."""
    broken = 0
    for campaign in chosen:
        outcome = run(campaign, campaign.many)
        broken += outcome.breaches.total()
        write(f"{campaign.name}: {outcome.tried} tried, {outcome.breaches.total()} breaches")
        for name, count in sorted(outcome.breaches.items()):
            write(f"  {name}: {count}")
        for words in outcome.shown:
            write(f"  {words}")
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main(CAMPAIGNS))
