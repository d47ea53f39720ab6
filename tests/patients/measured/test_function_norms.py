import pytest

from patients.measured.function_norms import Norm, norm


@pytest.mark.parametrize(
    "measure, age, mean",
    [
        ("five_stands_s", 59, None),
        ("five_stands_s", 60, 11.4),  # public summary of functional assessments
        ("five_stands_s", 79, 12.6),
        ("five_stands_s", 80, 14.8),
        ("five_stands_s", 90, None),
        ("one_leg_s", 17, None),
        ("one_leg_s", 59, 37.0),  # Springer 2007, from memory
        ("one_leg_s", 60, 27.0),  # Bohannon 2006
        ("one_leg_s", 70, 17.2),
        ("one_leg_s", 99, 8.5),
        ("up_and_go_s", 69, 8.1),  # Bohannon 2006, from memory
        ("up_and_go_s", 70, 9.2),
        ("up_and_go_s", 80, 11.3),
        ("grip_kg", 70, None),
    ],
)
def test_mean_of_the_age(measure, age, mean):
    found = norm(measure, age, "female")
    assert (found and found.low) == (found and found.high) == mean


@pytest.mark.parametrize(
    "age, sex, low, high",
    [
        (60, "male", 14, 19),
        (64, "female", 12, 17),
        (65, "male", 12, 18),
        (69, "female", 11, 16),
    ],
)
def test_usual_range_of_chair_stands(age, sex, low, high):
    # STEADI, CDC
    assert norm("chair_stands_30s", age, sex) == Norm(low, high, "", "STEADI, CDC; middle half")


@pytest.mark.parametrize("age", [59, 70])
def test_no_range_of_chair_stands_at_other_ages(age):
    assert norm("chair_stands_30s", age, "female") is None


def test_what_comes_from_memory_says_so():
    assert "from memory" in norm("up_and_go_s", 65, "male").source
    assert "from memory" in norm("one_leg_s", 45, "male").source
    assert "from memory" not in norm("one_leg_s", 65, "male").source
