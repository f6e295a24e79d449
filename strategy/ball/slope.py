r"""A ball struck from ground that slopes: the strike is that of level ground, turned with the ground.

Theory
------
A player who stands on a slope soles the club on it, and face, swing plane and spin axis turn as the ground
does: by the least rotation R that takes the vertical to the normal of the ground, n,

.. math:: R v = v - \frac{(z + n) \cdot v}{1 + z \cdot n} (z + n) + 2 (z \cdot v) n.

Speed and spin stay. Two things follow:

* Ground that rises along the line by the angle a adds a to the launch angle.
* Ground that rises to the right of the line by the angle s turns whatever stands up at an angle L, a face of
  dynamic loft L as well as the ball that leaves it at a launch angle L, to the left, the low side, by
  :math:`\arctan(\tan L \sin s)`, and it tilts the spin axis by s to the same side. So the ball starts and
  bends to the low side, more of its carry with a lofted club.

The second holds for a right-hander whose ball lies above the feet and for a left-hander whose ball lies below
them: sides are absolute here as everywhere.

Derived, from geometry alone: no published table of flights off slopes was found. Players meet a slope in
their own way (choke down, swing flatter, hold the face), so a player file may state what a slope does instead
(`strategy.player.model.SlopeEffect`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.ball.flight import Launch

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

LEAST_LAUNCH_DEG: Final = 1.0  # lower than that no ball clears the slope it is struck down
_MOST_DEG: Final = 75.0  # of launch and tilt, see `Launch`


def turn_deg(up_deg: ArrayLike, rise_right: ArrayLike) -> FloatArray:
    """How far a slope across the line turns what stands up at an angle, a face or a ball; left is negative.

    Parameters
    ----------
    up_deg : array_like
        Dynamic loft of the face, or launch angle of the ball. [°]
    rise_right : array_like
        Rise of the ground over distance to the right of the line.

    Returns
    -------
    ndarray
        -arctan(tan L sin s). [°]

    Examples
    --------
    >>> turn_deg([30.0, 30.0, 12.0], [0.1, -0.1, 0.1]).round(2).tolist()
    [-3.29, 3.29, -1.21]
    """
    sine = np.sin(np.arctan(np.asarray(rise_right, dtype=np.float64)))
    return np.asarray(-np.degrees(np.arctan(np.tan(np.radians(up_deg)) * sine)))


def on_slope(launch: Launch, rise_ahead: ArrayLike, rise_right: ArrayLike) -> Launch:
    """Launches from ground that rises along and to the right of their target line.

    Parameters
    ----------
    launch : Launch
        From level ground.
    rise_ahead, rise_right : array_like
        Rise over distance along the target line and to its right; they broadcast with the launch.

    Returns
    -------
    launch : Launch
        Of the same speed and spin. A ball that would start into the slope leaves at `LEAST_LAUNCH_DEG`.
    """
    ahead, right = (np.asarray(rise, dtype=np.float64) for rise in (rise_ahead, rise_right))
    size = np.sqrt(1.0 + ahead**2 + right**2)
    normal = (-ahead / size, -right / size, 1.0 / size)
    up, start, tilt = (np.radians(a) for a in (launch.launch_deg, launch.start_deg, launch.tilt_deg))
    sin_up, cos_up = np.sin(up), np.cos(up)
    sin_start, cos_start = np.sin(start), np.cos(start)
    lean = np.sin(tilt) * sin_up
    flight = _turned((cos_up * cos_start, cos_up * sin_start, sin_up), normal)
    # The axis as `flight._columns` has it: level and square to the start line, then tilted about the flight.
    axis = _turned(
        (
            np.cos(tilt) * sin_start - lean * cos_start,
            -np.cos(tilt) * cos_start - lean * sin_start,
            np.sin(tilt) * cos_up,
        ),
        normal,
    )
    level = np.hypot(flight[0], flight[1])
    start, up = np.arctan2(flight[1], flight[0]), np.arctan2(flight[2], level)
    untilted = axis[0] * np.sin(start) - axis[1] * np.cos(start)
    upright = axis[2] * np.cos(up) - (axis[0] * np.cos(start) + axis[1] * np.sin(start)) * np.sin(up)
    degrees = np.degrees((up, start, np.arctan2(upright, untilted)))
    return launch.replace(
        launch_deg=np.clip(degrees[0], LEAST_LAUNCH_DEG, _MOST_DEG),
        start_deg=degrees[1],
        tilt_deg=np.clip(degrees[2], -_MOST_DEG, _MOST_DEG),
    )


def _turned(
    v: tuple[FloatArray, FloatArray, FloatArray], normal: tuple[FloatArray, FloatArray, FloatArray]
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """A vector turned as the vertical is turned to the normal (depth, side, up)."""
    nx, ny, nz = normal
    along = (v[0] * nx + v[1] * ny + v[2] * (1.0 + nz)) / (1.0 + nz)
    twice = 2.0 * v[2]
    return (
        np.asarray(v[0] - along * nx + twice * nx),
        np.asarray(v[1] - along * ny + twice * ny),
        np.asarray(v[2] - along * (1.0 + nz) + twice * nz),
    )
