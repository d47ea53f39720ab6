import pytest

from patients.scanners.precision import least_significant, precision
from patients.scanners.precision_sheet import StudySheet, read_sheet


def people(text):
    found = read_sheet(text)
    assert isinstance(found, StudySheet), found
    return found.people


@pytest.mark.parametrize(
    "text",
    [
        "0.912\t0.921\n0.703\t0.700",
        "0.912;0.921\n0.703;0.700",
        "0,912;0,921\n0,703;0,700",
        "0,912\t0,921\n0,703\t0,700",
        "0.912, 0.921\n0.703,0.700",
        "0.912 0.921\n0.703 0.700",
        "0,912 0,921\n0,703 0,700",
        "0,912, 0,921\n0,703, 0,700",
        "first;second\n\n0.912;0.921\n 0.703;0.700 \n",
        "0.912\t0.921\t\n0.703\t0.700\t",
    ],
)
def test_as_it_is_pasted(text):
    assert people(text) == ((0.912, 0.921), (0.703, 0.7))


def test_three_repeats_and_a_density_over_one():
    assert people("1,034 1,040 1,029\n0,9 0,91 0,92")[0] == (1.034, 1.04, 1.029)


def test_thirty_pairs_give_the_published_arithmetic():
    # Constructed study: 15 pairs 0.010 apart, 15 pairs 0.020 apart (ISCD formula).
    rows = ["0.900;0.910"] * 15 + ["0.800;0.820"] * 15
    found = precision(people("\n".join(rows)))
    assert found.rms_sd_g_cm2 == pytest.approx(0.01118, abs=5e-6)
    assert least_significant(found.rms_sd_g_cm2) == pytest.approx(0.0310, abs=5e-5)
    assert found.freedom == 30


def problems(text):
    found = read_sheet(text)
    assert isinstance(found, tuple), found
    return [(p.at, p.text) for p in found]


def test_commas_that_can_be_read_two_ways_are_refused():
    ((at, text),) = problems("0,912,0,921\n0,703,0,700")
    assert at == ""
    assert "two ways" in text


@pytest.mark.parametrize("text", ["", "0.9;0.91", "first;second\n0.9;0.9"])
def test_too_few_people(text):
    assert "one for each person" in problems(text)[0][1]


def test_too_many_people():
    assert "2 to 500" in problems("0.9;0.9\n" * 501)[0][1]
    assert len(people("0.9;0.9\n" * 500)) == 500


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("0.912", "Two or three densities"),
        ("0.912;0.913;0.914;0.915", "Two or three densities"),
        ("0.912;x", "is not a number"),
        ("0.912;9.12", "not a believable density"),
        ("0.19;0.2", "not a believable density"),
        ("1;0.912;0.921", None),
        ("2;0.912;0.921", "Too far apart"),
        ("0.700;0.821", "Too far apart"),
        ("0.700;0.820", None),
    ],
)
def test_what_is_wrong_is_said_by_line(row, said):
    found = read_sheet(f"0.9;0.9\n{row}")
    if said is None:
        assert isinstance(found, StudySheet)
    else:
        assert [p.at for p in found] == ["line 2"]
        assert said in found[0].text


def test_words_without_separators():
    assert [at for at, _ in problems("1\n2")] == ["line 1", "line 2"]
