import pytest

from kiosk.rules.lengths import System, from_mm, parse, show
from kiosk.rules.tape import Toward, drill, on_tape


@pytest.mark.parametrize(
    ("millimetres", "less", "nearest", "more"),
    [
        (114, '4 7/16"', '4 1/2"', '4 1/2"'),  # a screw sold as 4 1/2" long: 4.488"
        (102, '4"', '4"', '4 1/16"'),  # 4.016"
        (10, '3/8"', '3/8"', '7/16"'),  # 0.394"
        (16, '5/8"', '5/8"', '11/16"'),  # 0.630"
        (1, '0"', '1/16"', '1/16"'),
        (25.4, '1"', '1"', '1"'),
    ],
)
def test_an_inch_length_is_told_on_a_mark_of_a_tape(millimetres, less, nearest, more):
    length = from_mm(millimetres)
    said = [on_tape(length, System.INCH, toward=toward) for toward in Toward]
    assert said == [nearest, less, more]
    assert on_tape(length, System.MM, toward=Toward.LESS) == show(length, System.MM)


def test_what_was_written_in_64ths_stays_on_the_tape():
    length, _ = parse('3 5/64"')
    assert on_tape(length, System.INCH) == '3 5/64"'


def test_a_drill_bit_is_told_in_64ths():
    assert drill(2.7, System.INCH, toward=Toward.LESS) == '3/32"'  # 0.106"
    assert drill(5.0, System.INCH, toward=Toward.MORE) == '13/64"'  # 0.197"
    assert drill(2.7, System.MM, toward=Toward.LESS) == "2.7 mm"
