"""The pictures of ramps and of a week: what stands in them, and that they stand in themselves."""

import datetime as dt
import re
from dataclasses import replace
from xml.etree import ElementTree

from programs.draft.resume import Resume
from programs.drawn import ramp_picture, week_picture
from programs.drawn.ramps import ramp
from programs.drawn.timetable import AT_CLINIC, HELPER, SOMEBODY, STAFF, Timetable, timetable
from programs.edit.base_draft import Basis
from programs.edit.changes import Edit, replay
from programs.week.week import Week
from safety.findings import Modality
from tests.people import steady
from tests.programs.drawn.test_ramps import MONDAY, STEADY, drawn

SHORT = Basis.of(steady(resources={"days": ["mon", "thu"], "minutes_per_day": 20}), Resume())


def words(picture: str) -> str:
    """Return the words that are drawn; what is no XML fails."""
    tree = ElementTree.fromstring(picture)
    return " | ".join(one.text or "" for one in tree.iter("{http://www.w3.org/2000/svg}text"))


def laid(week: Week, basis: Basis | None = STEADY, **more: object) -> Timetable:
    told = {"supervised": False, "watcher": False, "first_on_plate": week.week == 1} | more
    drafted = {day: tuple(map(str, held)) for day, held in STEADY.made.timetable.items()}
    return timetable(week, included=tuple(Modality), drafted=drafted, basis=basis, **told)  # type: ignore[arg-type]


def test_a_ramp_shows_its_kind_unit_ceiling_and_rises() -> None:
    shown = words(ramp_picture.picture(drawn(Modality.PLATE)))
    for told in ("Vibration plate: peak acceleration, g", "at most 4", "bouts", "frequency", "24"):
        assert told in shown
    assert "no room" not in shown
    assert "until" not in shown


def test_its_colours_are_those_of_the_text() -> None:
    for picture in (
        ramp_picture.picture(drawn(Modality.IMPACT)),
        week_picture.picture(laid(STEADY.made.weeks[0])),
    ):
        assert set(re.findall(r'(?:fill|stroke)="([^"]+)"', picture)) <= {"currentColor", "none"}


def test_no_room_and_the_last_day_stand_on_the_picture() -> None:
    weeks = tuple(replace(w, plate=None) if w.week > 3 else w for w in STEADY.made.weeks)
    full = ramp(weeks, Modality.PLATE, starts_on=MONDAY)
    assert full is not None
    assert "no room" in words(ramp_picture.picture(full))
    assert "no room in 23 of 26 weeks" in ramp_picture.said(full)
    for weeks_on in (3, 20):
        until = MONDAY + dt.timedelta(weeks=weeks_on, days=-1)
        ends = ramp(weeks, Modality.PLATE, starts_on=MONDAY, until=until)
        assert ends is not None
        assert f"only until {until:%-d %b %Y}" in words(ramp_picture.picture(ends))
        assert f"only until {until:%-d %B %Y}" in ramp_picture.said(ends)


def test_weeks_lead_to_their_change_beside_the_picture() -> None:
    found = drawn(Modality.BALANCE)
    picture = ramp_picture.picture(found, "/plan/?change=balance")
    links = re.findall(r'href="([^"]+)"', picture)
    assert links[0] == "/plan/?change=balance&amp;from=1&amp;to=1#change"
    assert len(links) == len(found.stretches)
    assert picture.count('tabindex="-1"') == len(links)
    assert "<a " not in ramp_picture.picture(found)
    gone = ramp(
        [replace(w, balance=None) if w.week == 1 else w for w in STEADY.made.weeks],
        Modality.BALANCE,
        starts_on=MONDAY,
    )
    assert gone is not None
    assert "from=1&" not in ramp_picture.picture(gone, "?a=b")


def test_a_line_breaks_where_the_kind_is_not_there() -> None:
    weeks = [replace(w, posture=None) if w.week == 5 else w for w in STEADY.made.weeks]
    found = ramp(weeks, Modality.POSTURE, starts_on=MONDAY)
    assert found is not None
    (path,) = re.findall(r'<path d="([^"]+)" fill="none"', ramp_picture.picture(found))
    assert path.count("M") == 2


def test_a_week_lies_on_her_days_with_its_minutes() -> None:
    for week in STEADY.made.weeks:
        table = laid(week)
        assert abs(table.minutes - week.minutes) < 0.5
        assert all(day.minutes <= 50 for day in table.days)
    assert table.most_min == 50
    fitted = STEADY.made.fitted[25]
    for m, days in fitted.days.items():
        on = {day.code for day in table.days if m in {one.modality for one in day.sessions}}
        assert on == set(days)


def test_the_minutes_of_a_changed_week_follow() -> None:
    fewer = Edit(path="resistance.sessions", new=1, week_from=1, week_to=26)
    longer = Edit(path="balance.minutes", new=60, week_from=1, week_to=26)
    changed = replay(STEADY.made.weeks, [fewer, longer], STEADY)
    table = laid(changed[0])
    lifting = [day for day in table.days for one in day.sessions if one.name == "Resistance"]
    assert len(lifting) == 1
    balance = sum(
        one.minutes for day in table.days for one in day.sessions if one.name == "Balance"
    )
    assert round(balance) == 60


def test_a_plan_that_is_drafted_no_more_keeps_its_drafted_days() -> None:
    table = laid(STEADY.made.weeks[0], basis=None)
    assert table.most_min is None
    shown = words(week_picture.picture(table))
    assert "Mon" in shown
    assert " min" not in shown.replace("minutes of", "")


def test_who_must_be_beside_the_plate() -> None:
    first, second = STEADY.made.weeks[0], STEADY.made.weeks[1]
    assert laid(first, supervised=True).present == STAFF
    assert laid(first, watcher=True).present == HELPER
    assert laid(first).present == AT_CLINIC
    watched = replace(first, week=2)
    assert laid(watched, first_on_plate=False).present == SOMEBODY
    assert laid(second).present == ""
    shown = words(week_picture.picture(laid(first)))
    assert "Plate, watched" in shown
    assert "Nobody who was shown how is on record" in shown


def test_what_has_no_room_in_a_week_stands_below_it() -> None:
    week = replace(STEADY.made.weeks[3], posture=None, plate=None)
    table = laid(week)
    assert table.notes == ("No room in this week: vibration plate, posture.",)
    assert "No room in this week" in words(week_picture.picture(table))
    assert "Monday: " in week_picture.said(table)


def test_a_short_week_is_drawn_too() -> None:
    table = laid(SHORT.made.weeks[0], SHORT)
    assert {day.name for day in table.days} <= {"Monday", "Thursday"}
    assert "20 min" in words(week_picture.picture(table))
