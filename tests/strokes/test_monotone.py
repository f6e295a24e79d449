"""The curve through printed values, against scipy's."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from strategy.strokes.monotone import Monotone

VALUES = st.floats(-5.0, 5.0)


@given(st.lists(st.tuples(st.floats(0.1, 3.0), VALUES), min_size=3, max_size=12))
def test_it_is_the_curve_of_scipy_inside_and_beyond(points):
    x, y = np.cumsum([p[0] for p in points]), np.array([p[1] for p in points])
    at = np.concatenate((x, np.linspace(x[0] - 1.0, x[-1] + 1.0, 101)))
    np.testing.assert_allclose(Monotone(x, y)(at), PchipInterpolator(x, y)(at), rtol=1e-9, atol=1e-9)


@given(st.lists(st.floats(0.0, 2.0), min_size=3, max_size=12))
def test_rising_values_give_a_rising_curve(rises):
    y = np.cumsum(rises)
    curve = Monotone(np.arange(len(y)), y)(np.linspace(0.0, len(y) - 1.0, 200))
    assert np.diff(curve).min() >= -1e-12


@pytest.mark.parametrize("x", [(0.0, 1.0), (0.0, 1.0, 1.0), (0.0, 2.0, 1.0)])
def test_too_few_points_or_points_out_of_order_are_refused(x):
    with pytest.raises(ValueError, match="three points"):
        Monotone(x, np.zeros(len(x)))
