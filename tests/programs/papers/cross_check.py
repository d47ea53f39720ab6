"""A paper's page held against the signed program: every number, day and date of it.

What is expected is worked out here from the signed text alone, by none of the papers' own code:
the days from the timetable, the dates from the first day, the counts from the minutes. A text
with a number in it that is none of these is one of the fixed texts of the catalogue, or differs.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Iterator
from itertools import takewhile
from typing import Any
from xml.etree.ElementTree import Element

import tinyhtml5

from programs.exercises import EXERCISES
from safety.findings import Modality
from safety.modalities import MODALITIES
from tests.programs.papers import signed_numbers as signed
from tests.programs.papers.other_numbers import unsigned
from tests.programs.papers.signed_numbers import KINDS, Numbers, numbers
from tests.programs.papers.under_check import DAY_NAMES, MONTHS, Check, of_class, text_of


def differences(html: str, check: Check) -> list[str]:
    """Return what of a handout, or of sheets of weeks, is not as signed."""
    # Pictures are most of a page; of the panel's the texts stay, the others hold no dose.
    bare = re.sub(r"<svg.*?</svg>", lambda svg: _of_panel(svg[0], check), html, flags=re.DOTALL)
    page = tinyhtml5.parse(bare, namespace_html_elements=False)
    body = page.find("body")
    assert body is not None
    _sheets(body, check)
    _chapters(body, check)
    _plate(body, check)
    _watch(body, check)
    _advice(body, check)
    _own_goal(body, check)
    unsigned(body, check)
    return check.differs


def _of_panel(svg: str, check: Check) -> str:
    told = check.words.gettext("The panel of the plate shows: {numbers}").partition("{")[0]
    texts = re.sub(r"<[^>]*>", " ", svg)
    return f'<span class="panel">{texts}</span>' if told in texts else ""


# --- The sheets of the weeks ----------------------------------------------------------------


def _sheets(body: Element, check: Check) -> None:
    fronts = [one for one in of_class(body, "week") if one.tag == "section"]
    backs = of_class(body, "plan-and-log")
    check.same("weeks with a sheet", len(fronts), len(check.weeks))
    for week, front, back in zip(check.weeks, fronts, backs, strict=True):
        _front(front, week, check)
        _back(back, week, check)
        _lifts([*of_class(front, "lifts"), *of_class(back, "lifts")], week, check)


def _front(front: Element, week: dict[str, Any], check: Check) -> None:
    number = week["week"]
    begins = check.starts_on + dt.timedelta(weeks=number - 1)
    (heading,) = front.iter("h1")
    said = text_of(heading)
    check.same(f"title of week {number}", numbers(said), [number, begins.day, begins.year])
    month = MONTHS[check.language].split()[begins.month - 1]
    check.same(f"month of week {number}", month in said.lower() or month in said, True)
    lines = [one for part in of_class(front, "changes") for one in part.iter("li")]
    told = [(text_of(one).partition(":")[0].strip(), numbers(text_of(one))) for one in lines]
    check.same(f"changes of week {number}", told, list(_changes(week, check)))
    check.take(heading, *lines)


def _changes(week: dict[str, Any], check: Check) -> Iterator[tuple[str, Numbers]]:
    """Yield what of a week is otherwise than in the one before: the kind, and the numbers told."""
    weeks = signed.cut_weeks(check.held)
    for kind in KINDS:
        held = [one["week"] for one in weeks if one[kind]]
        at = week["week"]
        if not held:
            continue
        if at in held:
            before = next((one for one in weeks if one["week"] == at - 1), None)
            name = title(kind, [week], check)
            if before is not None and not before[kind]:
                yield name, []
            elif before is not None and before[kind]["sessions"] != week[kind]["sessions"]:
                yield name, [week[kind]["sessions"], before[kind]["sessions"]]
            continue
        after, ended = [n for n in held if n > at], [n for n in held if n < at]
        yield check.words.gettext(MODALITIES[Modality(kind)].title), [(after or ended[-1:])[0]]


def title(kind: str, weeks: Iterable[dict[str, Any]], check: Check) -> str:
    counted = any(week["impact"] and week["impact"]["impacts"] is not None for week in weeks)
    english = MODALITIES[Modality(kind)].title
    if kind == "impact" and not counted:
        english = "Brisk walking"
    return check.words.gettext(english)


def _back(back: Element, week: dict[str, Any], check: Check) -> None:
    number = week["week"]
    tables = list(back.iter("table"))
    kinds = [kind for kind in KINDS if week[kind]]
    dates = sorted({day for kind in kinds for day in signed.days_of(check.held, week, kind)})
    heads = [text_of(one) for one in tables[0].iter("th") if one.get("scope") == "col"]
    check.same(f"days of week {number}", heads, [_day(day, check) for day in dates])
    groups = of_class(tables[0], "kind")
    check.same(f"kinds of week {number}", len(groups), len(kinds) + 1)
    for kind, group in zip(kinds, groups, strict=False):
        _kind(kind, group, week, dates, check)
    corners = of_class(tables[0], "corner")
    check.same(
        f"corners of week {number}",
        [numbers(text_of(one)) for one in corners],
        [[number]] * len(corners),
    )
    check.take(*corners, *(one for one in tables[0].iter("th") if one.get("scope") == "col"))


def _day(day: dt.date, check: Check) -> str:
    return f"{DAY_NAMES[check.language][day.weekday()]} {day.day}"


def _kind(
    kind: str, group: Element, week: dict[str, Any], dates: list[dt.date], check: Check
) -> None:
    where = f"{kind} in week {week['week']}"
    rows = list(group.iter("tr"))
    check.same(f"title of {where}", text_of(rows[0][0]), title(kind, [week], check))
    may = signed.days_of(check.held, week, kind)
    for row in (rows[0], *rows[2:]):
        check.same(f"boxes of {where}", list(_open(row)), [day in may for day in dates])
    said = text_of(rows[1])
    check.same(f"dose of {where}", numbers(said), list(_dose(kind, week, len(may), check)))
    check.take(rows[1])


def _open(row: Element) -> Iterator[bool]:
    """Yield for each day of a row whether it can be written in."""
    wide = 0
    for cell in row.iter("td"):
        wide += int(cell.get("colspan", "1"))
        if wide % 2 == 0:
            yield "write" in cell.get("class", "")


def _dose(kind: str, week: dict[str, Any], may: int, check: Check) -> Iterator[float]:
    """Yield the numbers of a kind's line, in the order in which they are told."""
    part = week[kind]
    if may != part["sessions"]:
        yield part["sessions"]
    match kind:
        case "plate":
            yield from signed.panel(part)
            yield from numbers(part["plate"])
        case "resistance":
            yield from signed.sets(part)
        case "impact":
            much = part["minutes"] if part["impacts"] is None else part["impacts"]
            for code in part["exercises"]:
                yield from _of_name(code, check)
                yield much
        case _:
            for code in part["exercises"]:
                yield from _of_name(code, check)
                yield from signed.shared(part, kind, code)


def _of_name(code: str, check: Check) -> Numbers:
    """Return the numbers in what an exercise is called: a step of 10 cm."""
    return numbers(check.words.gettext(EXERCISES[code].name))


def _lifts(tables: list[Element], week: dict[str, Any], check: Check) -> None:
    part, where = week["resistance"], f"lifts of week {week['week']}"
    weighed = [one for one in part["exercises"] if signed.is_weighed(one)] if part else []
    check.same(f"tables of {where}", len(tables), 1 if weighed else 0)
    if not tables or not weighed:
        return
    heads = [one for one in tables[0].iter("th") if one.get("scope") == "col"]
    days = sorted(signed.days_of(check.held, week, "resistance"))
    check.same(f"days of {where}", [text_of(one) for one in heads], [_day(d, check) for d in days])
    rows = [one for one in tables[0].iter("th") if one.get("scope") == "row"]
    told = [numbers(text_of(one)) for one in rows]
    check.same(where, told, [[one["load_kg"]] if one["load_kg"] else [] for one in weighed])
    names = [check.words.gettext(EXERCISES[one["exercise"]].name) for one in weighed]
    (corner,) = of_class(tables[0], "corner")
    check.same(f"corner of {where}", numbers(text_of(corner)), [week["week"]])
    check.same(f"names of {where}", [text_of(one).partition(":")[0].strip() for one in rows], names)
    check.take(corner, *heads, *rows)


# --- The exercises' own pages ---------------------------------------------------------------


def spread(weeks: str) -> list[int]:
    """Return the weeks of "Weeks 1 to 2, 9 to 10"."""
    spans = re.findall(r"(\d+)(?:\s(?:to|a|à)\s(\d+))?", weeks)
    return [n for first, last in spans for n in range(int(first), int(last or first) + 1)]


def _told(part: Element, check: Check) -> list[tuple[int, Numbers]]:
    """Return the numbers of each line of doses by week; that it has ended, as none at all."""
    found = []
    for line in part.iter("li"):
        (label,) = line.iter("strong")
        said = text_of(line).partition(":")[2]
        found += [(week, numbers(said)) for week in spread(text_of(label))]
        check.take(line)
    return found


def _chapters(body: Element, check: Check) -> None:
    blocks = of_class(body, "block")
    for n, block in enumerate(blocks):
        code = next((one.get("id", "")[3:] for one in block.iter("h3")), "")
        if code:
            # Where there is no room beside the picture, the doses stand in the block after it.
            holds = block if of_class(block, "doses") else blocks[n + 1]
            _block(code, holds, check)
    for chapter in of_class(body, "chapter"):
        _opening(chapter, check)


def _block(code: str, block: Element, check: Check) -> None:
    kind = str(EXERCISES[code].modality)
    expected = [
        (week["week"], signed.of_block(code, kind, week[kind]))
        for week in check.weeks
        if week[kind] and code in _codes(week[kind])
    ]
    found = [one for part in of_class(block, "doses") for one in _told(part, check)]
    check.same(f"doses of {code}", sorted(found), expected)


def _codes(part: dict[str, Any]) -> list[str]:
    return [one if isinstance(one, str) else one["exercise"] for one in part["exercises"]]


def _opening(chapter: Element, check: Check) -> None:
    """Hold that a kind has ended, and the table of lifting of format 1, against the weeks."""
    (opening, *_) = of_class(chapter, "opening")
    (heading,) = opening.iter("h2")
    named = {title(kind, check.weeks, check): kind for kind in KINDS}
    kind = named.get(text_of(heading))
    if kind is None:
        return
    found = [one for part in of_class(opening, "doses") for one in _told(part, check)]
    held = [week for week in check.weeks if week[kind]]
    ended = held and held[-1]["week"] != check.weeks[-1]["week"]
    check.same(f"the end of {kind}", found, [(held[-1]["week"] + 1, [])] if ended else [])
    tables = list(opening.iter("table"))
    old = kind == "resistance" and any(signed.has_spare(week[kind]) for week in held)
    check.same(f"tables of {kind}", len(tables), 1 if old else 0)
    for table in tables:
        _table(table, [(week["week"], signed.of_table(week[kind])) for week in held], check)


def _table(table: Element, expected: list[tuple[int, Numbers]], check: Check) -> None:
    """Hold the rows of a table, whose first cell names its weeks, against the weeks."""
    rows = [row for part in table.iter("tbody") for row in part.iter("tr")]
    found = [
        (week, [one for cell in row[1:] for one in numbers(text_of(cell))])
        for row in rows
        for week in spread(text_of(row[0]))
    ]
    check.same("a table", found, expected)
    check.take(*rows)


def _plate(body: Element, check: Check) -> None:
    held = [week for week in check.weeks if week["plate"]]
    chapters = [one for one in of_class(body, "chapter") if of_class(one, "plate-settings")]
    sheets_alone = not of_class(body, "chapter")
    check.same("the plate's page", len(chapters), 0 if sheets_alone or not held else 1)
    for chapter in chapters:
        (table,) = of_class(chapter, "plate-settings")
        _table(table, [(week["week"], signed.columns(week["plate"])) for week in held], check)
        _panel(chapter, held, check)
        *ended, watched = of_class(chapter, "doses")
        over = held[-1]["week"] != check.weeks[-1]["week"]
        found = [one for part in ended for one in _told(part, check)]
        check.same("the end of the plate", found, [(held[-1]["week"] + 1, [])] if over else [])
        weeks = [week["week"] for week in held]
        check.same("who is beside her", sorted(_told(watched, check)), [(n, []) for n in weeks])
        name = held[0]["plate"]["plate"]
        for line in chapter.iter("p"):
            if numbers(name) and text_of(line).endswith(name):
                check.take(line)


def _watch(body: Element, check: Check) -> None:
    """Hold the weeks in which somebody has to be there against the plate's."""
    for page in of_class(body, "watch"):
        lines = [one for one in page.iter("p") if numbers(text_of(one))]
        found = [week for line in lines for week in spread(text_of(line))]
        held = [one for one in check.weeks if one["plate"] and one["plate"]["supervised"]]
        check.same("watched", sorted(found), [one["week"] for one in held])
        check.take(*lines)


def _panel(chapter: Element, held: list[dict[str, Any]], check: Check) -> None:
    """Hold the panel, told and drawn, and the weeks above it against the first ones like it."""
    shown = signed.on_panel(held[0]["plate"])
    alike = takewhile(
        lambda one: (
            one[1]["week"] == held[0]["week"] + one[0] and signed.on_panel(one[1]["plate"]) == shown
        ),
        enumerate(held),
    )
    (picture,) = of_class(chapter, "panel")
    check.same("the panel", numbers(text_of(picture)), shown * 2)
    heading = next(one for one in chapter.iter("h3") if numbers(text_of(one)))
    check.same("its weeks", spread(text_of(heading)), [week["week"] for _, week in alike])
    check.take(picture, heading)


def _own_goal(body: Element, check: Check) -> None:
    """Hold her own words, which may have numbers in them, against those that were signed."""
    words = re.sub(r"\s", " ", check.words.gettext("You told us: “{goal}”"))
    before, after = words.split("{goal}")
    said = [one for one in body.iter("li") if text_of(one).startswith(before)]
    goal = check.held["facts"].get("own_goal")
    expected = [f"{before}{goal}{after}"] if goal and of_class(body, "sheet") else []
    check.same("her own goal", [text_of(one) for one in said], expected)
    first = of_class(body, "goal")
    told = [text_of(one).partition(". ")[2] for one in first] if goal else []
    check.same("her own goal on page one", told, expected)
    check.take(*said, *first)


# --- All other numbers ----------------------------------------------------------------------


def _advice(body: Element, check: Check) -> None:
    """Hold the dates of the visits against the first day: those of its weeks, and the next one."""
    # One visit alone stands in a line that is no list.
    lines = [one for one in body.iter() if one.tag in ("li", "p") and id(one) not in check.read]
    weeks = [one["week"] for one in check.held["draft"]["reviews"] if one["week"] >= check.first]
    later = [week for week in weeks if week > check.last][:1]
    visits = {}
    for week in [*(week for week in weeks if week <= check.last), *later]:
        day = check.starts_on + dt.timedelta(weeks=week - 1)
        visits[(week, day.day, day.year)] = day
    found = []
    for line in lines:
        day = visits.get(tuple(int(n) for n in numbers(text_of(line))))
        if day and MONTHS[check.language].split()[day.month - 1] in text_of(line):
            found.append(day)
            check.take(line)
    if of_class(body, "sheet"):
        check.same("visits", found, list(visits.values()))
