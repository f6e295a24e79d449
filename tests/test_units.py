"""Conversion constants against their definitions, with numbers that stand nowhere in the package."""

import math

import pytest

from strategy import units
from strategy.course.pins import parse_pin
from strategy.course.readers.notes import length_m
from strategy.course.stated import parse_length
from strategy.errors import RequestError
from strategy.quantity import height
from strategy.units import FOOT_M, LENGTHS_M, PACES_M, YARD_M
from strategy.week.firmness import parse_sighting


def test_lengths_are_those_of_the_agreement_of_1959():
    # One inch is 25.4 mm exactly; 12 in a foot, 3 feet a yard, 1760 yards a mile.
    assert pytest.approx(25.4e-3, abs=1e-15) == units.INCH_M
    assert pytest.approx(12 * 25.4e-3, abs=1e-15) == units.FOOT_M
    assert pytest.approx(36 * 25.4e-3, abs=1e-15) == units.YARD_M
    assert pytest.approx(1760 * 36 * 25.4e-3 / 3600, abs=1e-12) == units.MPH_MPS


def test_turns_a_minute_are_radians_a_second():
    assert pytest.approx(2 * math.pi / 60, abs=1e-15) == units.RPM_RAD_S


def test_yards_and_metres_undo_each_other():
    assert units.yards(units.metres(287.0)) == pytest.approx(287.0)
    assert units.metres(100.0) == pytest.approx(91.44)


@pytest.mark.parametrize("word", LENGTHS_M)
def test_a_word_for_a_unit_means_the_same_to_every_reader(word):
    unit = LENGTHS_M[word]
    assert height(f"12 {word}") == pytest.approx(12 * unit)
    assert length_m(f"12 {word}", 0.5) == pytest.approx(12 * unit)
    assert parse_length(f"12 {word}") == (pytest.approx(12 * unit), True)
    assert parse_sighting(f"7-iron released 12 {word}").run_m == pytest.approx(12 * unit)


@pytest.mark.parametrize("word", PACES_M)
def test_a_pace_is_a_yard_where_things_are_paced(word):
    assert parse_sighting(f"7-iron released 4 {word}").run_m == pytest.approx(4 * YARD_M)
    assert parse_length(f"4 {word}") == (None, False)


@pytest.mark.parametrize("word", [*LENGTHS_M, *PACES_M, "y", "p"])
def test_a_pin_sheet_is_read_in_yards_paces_and_metres_and_not_in_feet(word):
    unit = {**LENGTHS_M, **PACES_M}.get(word, YARD_M)
    if unit == FOOT_M:
        with pytest.raises(RequestError, match="cannot be read"):
            parse_pin(f"12 {word} on, centre")
    else:
        assert parse_pin(f"12 {word} on, centre") == (pytest.approx(12 * unit), 0.0, "centre")
