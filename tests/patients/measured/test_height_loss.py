import datetime as dt

import pytest

from patients.measured.height_loss import looks, losses
from safety.fracture_history import image_reasons
from tests.people import steady

BEFORE = {"date": "2025-03-02", "cm": 163}


def person(height, tallest=None, earlier=(), image=None):
    changes = {
        "person": {
            "height_cm": height,
            "tallest_height_cm": tallest,
            "earlier_heights": list(earlier),
        },
        "medicines": {"otherwise": "no"},
    }
    return steady(**changes, **({"spine_image": {"answer": "yes", "on": image}} if image else {}))


@pytest.mark.parametrize(
    ("height", "tallest", "earlier", "image", "look"),
    [
        # 4 cm under the tallest: BHOF 2022, from memory; 2 cm under an earlier height.
        (160, 164, (), None, True),
        (160.1, 164, (), None, False),
        (161, None, (BEFORE,), None, True),
        (161.1, None, (BEFORE,), None, False),
        (160, 164, (), "2024-03-02", False),
        (160, 164, (), "2024-03-01", True),
        (161, None, (BEFORE,), "2025-03-02", False),
        (161, None, (BEFORE,), "2025-03-01", True),
        (163, 164, (BEFORE,), None, False),
        (164, 164, (BEFORE,), None, False),
        (160, 164, (BEFORE, {"date": "2020-01-01", "cm": 163.9}), "2025-06-01", False),
    ],
)
def test_when_to_look_and_the_screen_agrees(height, tallest, earlier, image, look):
    facts = person(height, tallest, earlier, image)
    assert looks(losses(facts)) == look
    assert bool(image_reasons(facts)) == look


def test_losses_in_order_and_in_words():
    found = losses(person(161.5, 166, (BEFORE, {"date": "2020-01-01", "cm": 164.1})))
    assert [(loss.since, loss.cm) for loss in found] == [
        (None, 4.5),
        (dt.date(2025, 3, 2), 1.5),
        (dt.date(2020, 1, 1), 2.6),
    ]
    assert [loss.large for loss in found] == [True, False, True]


def test_nothing_to_hold_against():
    assert losses(person(161)) == ()
    assert losses(person(None, 166)) == ()


def test_an_image_answered_no_or_without_a_day_answers_nothing():
    for image in ({"answer": "no"}, {"answer": "yes"}):
        facts = steady(person={"height_cm": 160, "tallest_height_cm": 166}, spine_image=image)
        assert looks(losses(facts))
