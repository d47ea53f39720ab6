"""The arithmetic on real scans: bone density of 112 girls, up to five visits in two years.

Data set "calcium" of the package lava (Debian r-cran-lava, GPL-3). Growing children: a check
of percent, yearly change and LSC counts, and never norms. Expected figures were worked out
from the opened data by other code.
"""

import datetime as dt
from collections import Counter
from itertools import pairwise
from statistics import fmean, stdev

import pytest
import rdata

import _setup
from patients.facts.declared import Scan
from patients.scanners.precision import Lsc, compare

LSC_28 = Lsc("made up for the count", g_cm2=0.028)
FIRST_DAY = dt.date(1960, 1, 1)  # ctime counts days from here; inferred from the ages


@pytest.fixture(scope="module")
def girls():
    """Each girl's group and scans, oldest first."""
    path = _setup.open_data()
    if path is None:
        pytest.fail(f"No open data. ./check unpacks {_setup.DATA_PACKAGE} where apt-get is.")
    rows = rdata.read_rda(path)["calcium"].sort_values(["person", "visit"])
    girls: dict[int, tuple[str, list[Scan]]] = {}
    for row in rows.itertuples():
        day = FIRST_DAY + dt.timedelta(days=int(row.ctime))
        scan = Scan(date=day, site="total_hip", bmd_g_cm2=float(row.bmd), scanner="one")
        girls.setdefault(int(row.person), (str(row.group), []))[1].append(scan)
    return girls


def first_to_last(girls):
    return {
        person: (group, compare(scans[0], scans[-1], LSC_28))
        for person, (group, scans) in girls.items()
        if len(scans) >= 2
    }


def test_there_are_as_many_as_were_opened(girls):
    assert (len(girls), sum(len(scans) for _, scans in girls.values())) == (112, 501)


def test_one_girl_over_two_years(girls):
    """Person 101: 0.815 on 1990-05-01 to 0.970 on 1992-04-29."""
    scans = girls[101][1]
    assert (scans[0].date, scans[-1].date) == (dt.date(1990, 5, 1), dt.date(1992, 4, 29))
    found = compare(scans[0], scans[-1], LSC_28)
    assert found.g_cm2 == pytest.approx(0.155)
    assert found.percent == pytest.approx(19.018, abs=5e-4)
    assert found.days == 729
    assert found.percent_per_year == pytest.approx(9.529, abs=5e-4)


def test_another_girl(girls):
    """Person 107: 0.777 to 0.823 in 712 days."""
    scans = girls[107][1]
    found = compare(scans[0], scans[-1], LSC_28)
    assert (scans[0].bmd_g_cm2, scans[-1].bmd_g_cm2, found.days) == (0.777, 0.823, 712)
    assert found.percent == pytest.approx(5.920, abs=5e-4)
    assert found.percent_per_year == pytest.approx(3.037, abs=5e-4)


def test_the_mean_change_of_all_and_of_each_group(girls):
    """105 girls with two visits or more: +10.241 %, SD 4.466; calcium 11.069, placebo 9.428."""
    changes = first_to_last(girls).values()
    percents = [found.percent for _, found in changes]
    assert len(percents) == 105
    assert fmean(percents) == pytest.approx(10.241, abs=5e-4)
    assert stdev(percents) == pytest.approx(4.466, abs=5e-4)
    by_group = {g: [f.percent for group, f in changes if group == g] for g in ("C", "P")}
    assert {g: len(p) for g, p in by_group.items()} == {"C": 52, "P": 53}
    assert fmean(by_group["C"]) == pytest.approx(11.069, abs=5e-4)
    assert fmean(by_group["P"]) == pytest.approx(9.428, abs=5e-4)


def test_verdicts_first_against_last(girls):
    """LSC 0.028: gain 96, loss 0, within the error 9."""
    counted = Counter(found.verdict for _, found in first_to_last(girls).values())
    assert counted == {"gain": 96, "within_error": 9}


def test_verdicts_of_visits_that_follow_each_other(girls):
    """LSC 0.028: 389 pairs, gain 170, loss 0, within the error 219."""
    pairs = [p for _, scans in girls.values() for p in pairwise(scans)]
    counted = Counter(compare(*pair, LSC_28).verdict for pair in pairs)
    assert counted == {"gain": 170, "within_error": 219}
