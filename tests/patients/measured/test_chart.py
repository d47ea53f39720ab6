import datetime as dt
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patients.measured.chance_chart import chance_chart
from patients.measured.chance_of_seeing import chances
from patients.measured.chart import HEIGHT, WIDTH, Mark, chart, day_ticks, element, value_ticks
from patients.measured.series import Point, Series
from patients.scanners.precision import Lsc

SVG = "{http://www.w3.org/2000/svg}"
#: What an SVG may carry under a policy without inline style and script.
LOOKS = {
    *("fill", "stroke", "stroke-width", "stroke-dasharray", "font-size", "font-weight"),
    *(
        "text-anchor",
        "paint-order",
        "x",
        "y",
        "x1",
        "x2",
        "y1",
        "y2",
        "cx",
        "cy",
        "r",
        "d",
        "points",
    ),
    *("width", "height", "viewBox", "role", "aria-labelledby", "id"),
}


def series(*points, band=(0.66, 0.74), unit="g/cm²", label="total hip", decimals=3):
    points = points or (Point(dt.date(2024, 1, 1), 0.7), Point(dt.date(2026, 1, 1), 0.72))
    return Series(
        measure="total_hip",
        label=label,
        unit=unit,
        decimals=decimals,
        points=points,
        baseline=points[0],
        band=band,
        against_baseline=None,
        against_last=None,
        cautions=(),
    )


def drawn(text):
    return ElementTree.fromstring(text)


def texts(root):
    return [t.text for t in root.iter(f"{SVG}text")]


def test_title_first_then_the_values_in_words():
    root = drawn(chart(series(), name="c1"))
    assert [child.tag for child in root][:2] == [f"{SVG}title", f"{SVG}desc"]
    assert root[0].text == "Total hip over time"
    assert root[1].text == "Values in g/cm²: 1 Jan 2024 0.700, 1 Jan 2026 0.720."
    assert root.get("aria-labelledby") == f"{root[0].get('id')} {root[1].get('id')}"


SEEN = chances("lumbar_spine", Lsc("clinic", g_cm2=0.028), 0.88, 1.0)


def test_presentation_attributes_only():
    for text in (chart(series(), [Mark(dt.date(2025, 1, 1), "signed")]), chance_chart(SEEN, "c")):
        for node in drawn(text).iter():
            assert set(node.attrib) <= LOOKS, node.tag


def test_what_cannot_be_compared_is_hollow_and_off_the_line():
    points = (
        Point(dt.date(2020, 1, 1), 0.8, comparable=False),
        Point(dt.date(2022, 1, 1), 0.7),
        Point(dt.date(2024, 1, 1), 0.71),
    )
    root = drawn(chart(series(*points)))
    dots = root.findall(f"{SVG}circle")
    assert [d.get("fill") == d.get("stroke") for d in dots] == [False, True, True]
    (line,) = root.findall(f"{SVG}polyline")
    assert len(line.get("points").split()) == 2
    assert "0.800 (not comparable)" in root[1].text


def test_the_band_lies_around_the_baseline():
    root = drawn(chart(series()))
    (band,) = root.findall(f"{SVG}rect")
    first = root.findall(f"{SVG}circle")[0]
    top, height = float(band.get("y")), float(band.get("height"))
    assert float(first.get("cy")) == pytest.approx(top + height / 2, abs=0.2)
    assert "error around the baseline" in texts(root)


def test_without_an_error_no_band():
    assert not drawn(chart(series(band=None))).findall(f"{SVG}rect")


def labels_of(marks):
    root = drawn(chart(series(), marks))
    wanted = {mark.label for mark in marks}
    return {t.text: t for t in root.iter(f"{SVG}text") if t.text in wanted}


def test_marks_stand_on_their_day_and_read_into_the_picture():
    marks = [Mark(dt.date(2026, 6, 1), "version 2"), Mark(dt.date(2023, 6, 1), "a <drug>")]
    labels = labels_of(marks)
    # There is room for both on one row; the one at the right reads to the left.
    assert labels["a <drug>"].get("y") == labels["version 2"].get("y")
    assert labels["version 2"].get("text-anchor") == "end"
    assert labels["a <drug>"].get("text-anchor") is None


def test_marks_close_together_read_to_both_sides_and_then_take_another_row():
    marks = [Mark(dt.date(2025, 6, day), f"mark {day}") for day in (1, 2, 3)]
    placed = {
        label: (text.get("text-anchor"), float(text.get("y")))
        for label, text in labels_of(marks).items()
    }
    assert placed["mark 3"] == (None, 42)
    assert placed["mark 2"] == ("end", 42)
    assert placed["mark 1"] == (None, 58)


def test_a_label_that_fits_on_neither_side_is_left_out():
    long = Mark(dt.date(2025, 1, 1), "long " * 40)
    assert not labels_of([long])
    assert labels_of([Mark(dt.date(2025, 1, 1), "short")])


def test_more_marks_than_rows_keep_their_lines_and_are_said():
    marks = [Mark(dt.date(2025, 6, day), f"mark {day}") for day in range(1, 11)]
    root = drawn(chart(series(), marks))
    assert set(labels_of(marks)) == {f"mark {day}" for day in range(3, 11)}
    dashed = [n for n in root.iter(f"{SVG}line") if n.get("stroke-dasharray") == "6 3"]
    assert len(dashed) == 10
    assert root[1].text.endswith("9 Jun 2025 mark 9, 10 Jun 2025 mark 10.")
    assert " Marked: 1 Jun 2025 mark 1," in root[1].text


def test_labels_that_would_run_together_are_left_to_the_table():
    days = (dt.date(2024, 1, 1), dt.date(2025, 12, 20), dt.date(2026, 1, 1))
    shown = texts(drawn(chart(series(*(Point(d, 0.7 + i / 100) for i, d in enumerate(days))))))
    assert "0.720" in shown
    assert "0.710" not in shown
    assert "0.700" in shown


def test_a_lone_point_and_a_measure_without_unit():
    lone = series(Point(dt.date(2024, 1, 1), 0.0), band=None, unit="", label="SPPB", decimals=0)
    root = drawn(chart(lone))
    assert root[1].text == "Values: 1 Jan 2024 0."
    assert "SPPB" in texts(root)


def test_years_where_all_ticks_are_januaries():
    points = (Point(dt.date(2014, 1, 1), 0.7), Point(dt.date(2026, 1, 1), 0.72))
    assert "2020" in texts(drawn(chart(series(*points))))
    near = (Point(dt.date(2026, 1, 1), 0.7), Point(dt.date(2026, 4, 1), 0.72))
    assert "Feb 2026" in texts(drawn(chart(series(*near))))


@given(
    st.lists(
        st.tuples(st.dates(dt.date(1990, 1, 1), dt.date(2150, 1, 1)), st.floats(-10, 5000)),
        min_size=1,
        max_size=8,
        unique_by=lambda pair: pair[0],
    )
)
def test_every_point_lies_inside_the_picture(pairs):
    root = drawn(chart(series(*(Point(*pair) for pair in sorted(pairs)), band=None)))
    for dot in root.findall(f"{SVG}circle"):
        assert 0 < float(dot.get("cx")) < WIDTH
        assert 0 < float(dot.get("cy")) < HEIGHT


@given(st.floats(-1000, 1000), st.floats(0.001, 5000))
def test_value_ticks_are_round_and_between(low, span):
    ticks = value_ticks(low, low + span)
    assert 2 <= len(ticks) <= 6
    assert low - span * 1e-6 <= ticks[0] <= ticks[-1] <= low + span * (1 + 1e-6)


@given(st.dates(dt.date(1905, 1, 1), dt.date(2100, 1, 1)), st.integers(20, 40_000))
def test_day_ticks_are_few_firsts_of_months(first, days):
    ticks = day_ticks(first, first + dt.timedelta(days=days))
    assert len(ticks) <= 7
    assert all(day.day == 1 for day in ticks)


def test_a_span_beyond_reckoning_has_no_ticks():
    assert day_ticks(dt.date(1, 1, 1), dt.date(9000, 1, 1)) == ()


def test_text_is_escaped():
    assert element("text", "&lt;", title='"<') == '<text title="&quot;&lt;">&lt;</text>'
