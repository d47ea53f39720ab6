"""How long the map of a plate's dose takes, alone and on its page, beside an almost empty page.

    python -m benchmarks.dose_map

Prints warm medians, and the page with the map as a multiple of one that holds only the form for
a new password, since milliseconds depend on the machine. Ends with 1 where map or page takes
longer than LIMIT_MS.
"""

import os
import statistics
import sys
import time
from collections.abc import Callable

import django
from django.conf import settings
from django.test import Client
from django.test.utils import get_runner, setup_test_environment
from django.urls import reverse

LIMIT_MS = 150.0
TIMES = 30


def median_ms(work: Callable[[], object]) -> float:
    """Return the median time of some runs, the first of all left out."""
    work()
    taken = []
    for _ in range(TIMES):
        begun = time.perf_counter()
        work()
        taken.append(1000 * (time.perf_counter() - begun))
    return statistics.median(taken)


def map_ms() -> dict[str, float]:
    """Return for each kind of plate the time of its fit, ramp, map and table."""
    from programs.dose.plate import ramp
    from programs.plates.dose_map import dose_map_rows, dose_map_svg
    from tests.programs.plates import GENTLE, TILTING, VERTICAL, judge

    def drawn(plate: object) -> None:
        fit = judge(plate)  # type: ignore[arg-type]
        steps = ramp(fit, fragile=False, start_dose_only=False)
        dose_map_svg(fit, steps, title="Dose map")
        dose_map_rows(fit, steps)

    return {p.name: median_ms(lambda p=p: drawn(p)) for p in (VERTICAL, TILTING, GENTLE)}


def page_ms() -> tuple[float, float]:
    """Return the time of the page with one plate's map, and of an almost empty page."""
    from patients.staff.rights import Role
    from tests.people import steady_document
    from tests.programs.rows import recorded
    from tests.staff import person_of

    by = person_of(Role.CLINICIAN, username="m.ferro")
    her = recorded(by, steady_document())
    client = Client()
    client.force_login(by)
    full, empty = reverse("programs:fit", args=[her.pk]), reverse("password_change")
    assert b"<svg" in client.get(full).content
    return median_ms(lambda: client.get(full)), median_ms(lambda: client.get(empty))


def main() -> int:
    """Measure and print; return 1 where it takes too long."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings_test")
    django.setup()
    setup_test_environment(debug=False)
    runner = get_runner(settings)(verbosity=0, interactive=False)
    made = runner.setup_databases()
    try:
        maps, (page, empty) = map_ms(), page_ms()
    finally:
        runner.teardown_databases(made)
    for name, taken in maps.items():
        sys.stdout.write(f"fit, ramp, map and table, {name} plate: {taken:.1f} ms\n")
    times = f"{page / empty:.1f} times an almost empty page ({empty:.1f} ms)"
    sys.stdout.write(f"the page with one plate: {page:.1f} ms, {times}\n")
    return int(max(page, *maps.values()) > LIMIT_MS)


if __name__ == "__main__":
    sys.exit(main())
