"""Conversion constants against their definitions, with numbers that stand nowhere in the package."""

import math

import pytest

from strategy import units


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
