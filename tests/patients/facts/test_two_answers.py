"""Where two sets of answers differ. Pure."""

from patients.facts.two_answers import differing

KEYS = ("falls", "fractures", "person.mobility")


def test_each_answer_of_a_group_differs_by_itself() -> None:
    one = {"falls": {"injury": "no", "last_12_months": 0}}
    other = {"falls": {"injury": "no", "last_12_months": 2, "long_lie": "yes"}}
    assert [*differing(one, other, KEYS)] == ["falls.last_12_months", "falls.long_lie"]


def test_an_answer_of_one_alone_differs() -> None:
    answers = {"falls": {"injury": "no"}, "person": {"mobility": "cane"}, "fractures": []}
    found = ["falls.injury", "fractures", "person.mobility"]
    assert [*differing(answers, {}, KEYS)] == [*differing({}, answers, KEYS)] == found


def test_nothing_differs() -> None:
    answers = {"falls": {"injury": "no"}, "aims": ["hip"]}
    assert [*differing(answers, {**answers, "aims": ["spine"]}, KEYS)] == []
    assert [*differing({}, {}, KEYS)] == []
