r"""A putt on a plane: its track, where it rests, how fast it may meet the hole, and where to aim it.

Theory
------
A rolling ball on a plane of steepness s loses speed to the grass, a = v0²/2S (`ball.ground`), and is pulled
downhill by c = (5/7) g s. With v its speed and theta the angle of its path from straight downhill,

.. math:: \dot v = c \cos\theta - a, \qquad \dot\theta = -c \sin\theta / v .

In u = tan(theta/2) and p = a/c that integrates by hand: v = K (1 + u²) u^(p-1), and from u0 to u1 the ball
moves, downhill and across,

.. math::
    x = \frac{K^2}{c} \left[\frac{u^{2p-2}}{2p-2} - \frac{u^{2p+2}}{2p+2}\right]_{u_1}^{u_0}, \qquad
    y = \frac{2K^2}{c} \left[\frac{u^{2p-1}}{2p-1} + \frac{u^{2p+1}}{2p+1}\right]_{u_1}^{u_0} .

On a slope on which a ball stops (p > 1) it slows all the way and rests at u = 0. So nothing is stepped in
time; the tests compare it with a step-by-step integration. A flat green is a slope of 0.002 %.

Axes here: x straight downhill, y across, the ball at the origin; `direction` is the angle of the line from
ball to hole from straight downhill: 0 a downhill putt (ball above the hole), pi an uphill one. [rad]

A ball that would pass the middle of the hole by delta drops at no more than
v_max = 1.63 (1 - (delta / 54 mm)²) m/s [1]_ [2]_ (formula from memory; it includes the far lip).

References
----------
.. [1] B. W. Holmes, "Putting: How a golf ball and hole interact", American Journal of Physics 59 (1991) 129.
.. [2] A. R. Penner, "The physics of putting", Canadian Journal of Physics 80 (2002) 83.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from strategy.arrays import FloatArray
from strategy.ball.ground import green_deceleration
from strategy.ball.law import GRAVITY

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

HOLE_RADIUS_M: Final = 0.054  # Rules of Golf, definition of Hole: 108 mm across
CAPTURE_MPS: Final = 1.63
FLAT: Final = 2e-5  # the slope that stands for a flat green; the track is singular at none
_EDGE: Final = 1e-6  # straight down and straight up are approached this closely [rad]
_ROUNDS: Final = 40
_MISS: Final = 1e-8  # of an aimed putt, as a share of the distance
_STEPS: Final = 4  # from flat to the slope asked for


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Aim:
    """Putts that pass the middle of the hole; every array has the broadcast shape of what was asked.

    Attributes
    ----------
    start : ndarray
        Angle of the start line from straight downhill. [rad]
    speed_mps : ndarray
        At the start. [m/s]
    hole_angle : ndarray
        Angle of the path from straight downhill where it meets the hole. [rad]
    hole_mps : ndarray
        Speed there. [m/s]
    spread_m : ndarray
        Metres by which the ball misses the middle of the hole, a radian of the start line. [m/rad]
    met : ndarray of bool
        False where no such putt was found.
    """

    start: FloatArray
    speed_mps: FloatArray
    hole_angle: FloatArray
    hole_mps: FloatArray
    spread_m: FloatArray
    met: NDArray[np.bool_]


def capture_speed(miss_m: ArrayLike) -> FloatArray:
    """Greatest speed at which the hole takes a ball that passes its middle by `miss_m`; 0 outside. [m/s]

    >>> float(capture_speed(0.0)), float(capture_speed(0.054))
    (1.63, 0.0)
    """
    share = np.asarray(miss_m, dtype=np.float64) / HOLE_RADIUS_M
    return CAPTURE_MPS * np.maximum(1.0 - share * share, 0.0)


def capture_half_width(speed_mps: ArrayLike) -> FloatArray:
    """Greatest miss of the hole's middle at which it takes a ball of that speed, 0 if too fast. [m]"""
    return HOLE_RADIUS_M * np.sqrt(
        np.maximum(1.0 - np.asarray(speed_mps, dtype=np.float64) / CAPTURE_MPS, 0.0)
    )


def pull(slope: ArrayLike) -> FloatArray:
    """Acceleration of a rolling ball straight downhill, never under that of `FLAT`. [m/s²]"""
    return 5.0 / 7.0 * GRAVITY * np.maximum(np.asarray(slope, dtype=np.float64), FLAT)


def track(
    start: ArrayLike, speed_mps: ArrayLike, slope: ArrayLike, stimp_ft: float, slowing: ArrayLike = np.inf
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Where a putt is when ln(u0/u) has grown to `slowing`; at infinity, where it rests.

    Parameters
    ----------
    start : array_like
        Angle of the start line from straight downhill, any sign. [rad]
    speed_mps : array_like
        At the start. [m/s]
    slope : array_like
        Rise over distance, less than the slope on which a ball stops.
    stimp_ft : float
        Speed of the green. [ft]
    slowing : array_like
        ln(u0/u) of the module's theory.

    Returns
    -------
    x, y, speed, angle : ndarray
        Downhill and across from the ball [m], speed [m/s] and angle of the path from downhill [rad].
    """
    turned = (np.asarray(start, dtype=np.float64) + np.pi) % (2.0 * np.pi) - np.pi
    side = np.where(turned < 0.0, -1.0, 1.0)
    u = np.tan(np.clip(np.abs(turned), _EDGE, np.pi - _EDGE) / 2.0)
    c = pull(slope)
    p = float(green_deceleration(stimp_ft)) / c
    v = np.asarray(speed_mps, dtype=np.float64)
    q = np.asarray(slowing, dtype=np.float64)
    x, y = _moved(u, v * v, c, p, q)
    after = u * np.exp(-q)
    speed = v * (1.0 + after * after) / (1.0 + u * u) * np.exp(-(p - 1.0) * q)
    return x, side * y, speed, side * 2.0 * np.arctan(after)


def _moved(
    u: FloatArray, energy: FloatArray, c: FloatArray, p: FloatArray, q: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Displacement downhill and across, by the formulas above."""
    u2 = u * u
    scale = energy / c / (1.0 + u2) ** 2
    once = np.exp(-q)
    kept = np.exp(-(2.0 * p - 2.0) * q)  # the powers of u1/u0 from two exponentials
    twice = once * once
    first, last = 1.0 - kept, 1.0 - kept * twice * twice
    low, high = 1.0 - kept * once, 1.0 - kept * once * twice
    x = scale * (first / (2.0 * p - 2.0) - u2 * u2 * last / (2.0 * p + 2.0))
    y = 2.0 * scale * u * (low / (2.0 * p - 1.0) + u2 * high / (2.0 * p + 1.0))
    return x, y


def aim(
    distance_m: ArrayLike,
    direction: ArrayLike,
    slope: ArrayLike,
    stimp_ft: float,
    *,
    past_m: ArrayLike | None = None,
    hole_mps: ArrayLike | None = None,
) -> Aim:
    """The putt that passes the middle of the hole at a stated pace.

    Parameters
    ----------
    distance_m, direction, slope : array_like
        From ball to hole [m], its angle from straight downhill [rad], rise over distance.
    stimp_ft : float
        Speed of the green. [ft]
    past_m : array_like, optional
        Pace: how far from the hole the ball would rest if it were covered. [m]
    hole_mps : array_like, optional
        Pace: speed at the hole. Exactly one of the two is given. [m/s]
    """
    if (past_m is None) == (hole_mps is None):
        raise ValueError("give the pace either as past_m or as hole_mps")
    pace = np.asarray(past_m if hole_mps is None else hole_mps, dtype=np.float64)
    given = np.broadcast_arrays(distance_m, direction, slope, pace)
    shape = given[0].shape
    d, phi, s, pace = (np.array(g, dtype=np.float64).ravel() for g in given)
    phi = (phi + np.pi) % (2.0 * np.pi) - np.pi
    side, phi = np.where(phi < 0.0, -1.0, 1.0), np.clip(np.abs(phi), _EDGE, np.pi - _EDGE)
    a = float(green_deceleration(stimp_ft))
    down = phi < np.pi / 2.0
    # Newton on (angle, ln of the speeds' ratio) from a flat green to the slope asked for; of the two ends
    # of the path the angle is that of the one that turns more.
    angle = phi.copy()
    ratio = 0.5 * np.log1p(2.0 * a * d / (2.0 * a * pace if hole_mps is None else pace * pace))
    slopes = FLAT + (np.maximum(s, FLAT) - FLAT) * np.linspace(0.0, 1.0, _STEPS + 1)[:, None]
    hx, hy = np.cos(phi), np.sin(phi)

    def path(
        t: FloatArray, g: FloatArray, c: FloatArray, k: NDArray[np.int64]
    ) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
        """Miss downhill and across as a share of the distance, and u and speed at the start, of putts k."""
        p = a / c
        q = g / p
        u = np.tan(t / 2.0)
        grown = np.exp(q)
        u0, u1 = np.where(down[k], u, u * grown), np.where(down[k], u / grown, u)
        if hole_mps is None:
            rx, ry = _moved(u1, np.ones_like(u1), c, p, np.full_like(u1, np.inf))
            at_hole = pace[k] / np.hypot(rx, ry)
        else:
            at_hole = pace[k] * pace[k]
        energy = at_hole * ((1.0 + u0 * u0) / (1.0 + u1 * u1) * np.exp(g) / grown) ** 2
        x, y = _moved(u0, energy, c, p, q)
        return x / d[k] - hx[k], y / d[k] - hy[k], u0, np.sqrt(energy)

    everyone = np.arange(len(d))
    for s_now in slopes:
        k = everyone
        for _ in range(_ROUNDS):
            t, g, c = angle[k], ratio[k], pull(s_now[k])
            fx, fy, _, _ = path(t, g, c, k)
            open_ = np.hypot(fx, fy) >= _MISS
            if not open_.any():
                break
            k = k[open_]
            t, g, c, fx, fy = (v[open_] for v in (t, g, c, fx, fy))
            h = 1e-6 * np.minimum(t, np.pi - t)
            ax, ay, _, _ = path(t + h, g, c, k)
            gx, gy, _, _ = path(t, g + 1e-6, c, k)
            ax, ay, gx, gy = (ax - fx) / h, (ay - fy) / h, (gx - fx) / 1e-6, (gy - fy) / 1e-6
            det = ax * gy - ay * gx
            det = np.where(np.abs(det) > 1e-300, det, 1e-300)
            step_t, step_g = -(fx * gy - fy * gx) / det, -(ax * fy - ay * fx) / det
            # never more than half of the way to straight up or down, nor a great change of pace, at once
            room = 0.5 * np.where(step_t < 0.0, t, np.pi - t)
            damp = np.minimum(1.0, room / np.maximum(np.abs(step_t), 1e-300))
            damp = np.minimum(damp, 1.0 / np.maximum(np.abs(step_g), 1e-300))
            angle[k] = t + damp * step_t
            ratio[k] = g + damp * step_g
    c = pull(s)
    fx, fy, u0, v0 = path(angle, ratio, c, everyone)
    start = 2.0 * np.arctan(u0)
    q = ratio * c / a
    _, _, at_hole, hole_angle = track(start, v0, s, stimp_ft, q)
    spread = _spread(u0, v0, c, a / c, q)
    out = [v.reshape(shape) for v in (side * start, v0, side * hole_angle, at_hole, spread)]
    met = (np.hypot(fx, fy) < 1e-5).reshape(shape)
    return Aim(start=out[0], speed_mps=out[1], hole_angle=out[2], hole_mps=out[3], spread_m=out[4], met=met)


def _spread(u: FloatArray, v: FloatArray, c: FloatArray, p: FloatArray, q: FloatArray) -> FloatArray:
    """Change of the ball's passage beside the hole with its start line, at one speed [m/rad]."""
    after = u * np.exp(-q)
    theta = 2.0 * np.arctan(after)
    passage = []
    for sign in (-1.0, 1.0):
        h = sign * 1e-5 * u  # a relative step keeps both ways off straight up and down
        x, y = _moved(u + h, v * v, c, p, q)
        passage.append(y * np.cos(theta) - x * np.sin(theta))
    # du/dtheta = (1 + u²)/2; moving along the path does not change the passage to first order
    return np.abs(passage[1] - passage[0]) / (2e-5 * u) * (1.0 + u * u) / 2.0
