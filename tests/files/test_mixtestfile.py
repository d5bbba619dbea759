"""Tests of the mix, read from a small table."""

import pytest

from slabwright.errors import InputError
from slabwright.files.mixtestfile import parse_mix_tests
from slabwright.files.sitefile import read_site
from slabwright.model.ground import Place
from slabwright.units import PSI_PA

GOOD = """test,age,value,temperature
# cylinders from the trial batch
break,3 d,2300 psi,68 degF
break,1 d,1150 psi,68 degF
initial set,5.2 h,,70 degF
final set,7.1 h,,70 degF
heat,12 h,95 kJ/kg,73 degF
"""


def test_every_kind_of_test_is_read_in_si():
    """Breaks in order of age, set times, heat."""
    found = parse_mix_tests("mix_tests.csv", GOOD)

    assert [86400.0, 3 * 86400.0] == [one.age_s for one in found.breaks]
    assert pytest.approx(1150 * PSI_PA) == found.breaks[0].strength_pa
    assert found.initial_set is not None and pytest.approx(5.2 * 3600) == found.initial_set.age_s
    assert found.final_set is not None and pytest.approx((70 - 32) / 1.8) == found.final_set.temp_c
    assert 95e3 == found.heat[0].heat_j_kg


def test_the_file_beside_a_job_is_taken(tmp_path):
    """As mix_tests.csv."""
    (tmp_path / "mix_tests.csv").write_text(GOOD, encoding="utf-8")

    assert read_site(tmp_path, Place())[0].mix_tests == parse_mix_tests("x", GOOD)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "must read test,age,value,temperature"),
        (GOOD.replace("break,1 d", "brake,1 d"), r'"brake" is none of break.*\(line 4\)'),
        (GOOD.replace("1150 psi", "1150"), "has no unit"),
        (GOOD.replace("1150 psi", "0 psi"), "must be above nought"),
        (GOOD.replace("5.2 h", "9 h"), "comes before initial set"),
        (GOOD.replace("68 degF\nbreak", "\nbreak"), "temperature"),
    ],
)
def test_what_is_wrong_is_named_with_its_line(text, message):
    """All at once."""
    with pytest.raises(InputError, match=message):
        parse_mix_tests("mix_tests.csv", text)
