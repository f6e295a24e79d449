"""Density and pressure of air against printed tables, half the last printed digit."""

import numpy as np
import pytest

from strategy.ball.air import STANDARD_AIR, TEST_AIR, density, isa_pressure_hpa, isa_temperature_c, viscosity


# ISO 2533:1975 / ICAO Doc 7488, standard atmosphere: density 1.2250, 1.1116, 1.0065 kg/m³.
@pytest.mark.parametrize(("height", "printed"), [(0, 1.2250), (1000, 1.1116), (2000, 1.0065)])
def test_standard_atmosphere_density(height, printed):
    got = density(isa_temperature_c(height), height, humidity=0.0)
    assert float(got) == pytest.approx(printed, abs=0.00005)


# The same tables: 1013.25, 898.75, 794.95 hPa; geopotential height.
@pytest.mark.parametrize(("height", "printed"), [(0, 1013.25), (1000, 898.75), (2000, 794.95)])
def test_standard_atmosphere_pressure(height, printed):
    assert float(isa_pressure_hpa(height)) == pytest.approx(printed, abs=0.01)


def test_standard_atmosphere_viscosity():
    # The same tables, sea level: 1.7894e-5 Pa s.
    assert float(viscosity(15.0)) == pytest.approx(1.7894e-5, abs=0.00005e-5)


def test_moist_air():
    # 20 °C, 50 %, 1013.25 hPa by CIPM-2007 (Picard et al., Metrologia 45 (2008) 149): 1.1993 kg/m³; ideal
    # gases 1.1989, within 0.06 %.
    got = float(density(20.0, pressure_hpa=1013.25, humidity=0.5))
    assert got == pytest.approx(1.1989, abs=0.00005)
    assert got == pytest.approx(1.1993, rel=0.0006)


def test_the_airs_in_use():
    # Air of the governing bodies' tests: 75 °F, 50 %, 30 inHg (from memory). Standard: 70 °F at sea level.
    assert float(TEST_AIR.density) == pytest.approx(1.1849, abs=0.00005)
    assert float(STANDARD_AIR.density) == pytest.approx(1.194, abs=0.0005)


def test_damp_air_is_lighter_and_warm_air_thinner():
    assert density(30.0, 0.0, humidity=1.0) < density(30.0, 0.0, humidity=0.0)
    assert np.all(np.diff(density(np.array([0.0, 10.0, 20.0, 30.0]), 0.0)) < 0.0)
