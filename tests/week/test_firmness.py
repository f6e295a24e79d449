"""Firmness as a caddie says it: every word for how a ball went on, and for where."""

import pytest
from pydantic_core import PydanticCustomError

from strategy.codes import Surface
from strategy.week.firmness import parse_sighting


@pytest.mark.parametrize(
    ("text", "paces", "surface"),
    [
        ("7-iron released 4 paces", 4, Surface.GREEN),
        ("wedge spun back 3", -3, Surface.GREEN),
        ("wedge came back 3 paces", -3, Surface.GREEN),
        ("wedge stopped dead", 0, Surface.GREEN),
        ("driver ran 18", 18, Surface.FAIRWAY),
        ("driver ran on 18 yards", 18, Surface.FAIRWAY),
        ("driver rolled out 18", 18, Surface.FAIRWAY),
        ("driver rolled 18 on the first cut", 18, Surface.FIRST_CUT),
        ("7-iron released 4 on the fairway", 4, Surface.FAIRWAY),
        ("5-iron ran 6 on the green", 6, Surface.GREEN),
    ],
)
def test_how_far_it_went_on_and_where(text, paces, surface):
    seen = parse_sighting(text)
    assert seen.run_m == pytest.approx(paces * 0.9144)
    assert seen.surface is surface
    assert seen.carry_share is None


def test_feet_and_metres_are_read_as_they_are_written():
    assert parse_sighting("7-iron released 12 feet").run_m == pytest.approx(3.6576)
    assert parse_sighting("7-iron released 4 metres").run_m == pytest.approx(4.0)


def test_a_ball_out_of_the_rough_says_a_share_of_its_carry():
    seen = parse_sighting("hole 7: 9-iron from rough came out 85 %")
    assert (seen.club, seen.hole, seen.surface, seen.carry_share) == ("9-iron", "7", Surface.ROUGH, 0.85)
    assert seen.run_m is None


@pytest.mark.parametrize("text", ["driver", "driver ran", "driver ran 400", "9-iron from rough came out 8 %"])
def test_what_says_no_run_is_refused(text):
    with pytest.raises(PydanticCustomError):
        parse_sighting(text)
