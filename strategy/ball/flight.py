r"""Flight of a ball: where it comes down, how steeply, how fast and with how much spin left.

Theory
------
State: position r, velocity v, spin rate w about an axis a that stays fixed in space. With the wind W,
u = v - W and V = abs(u),

.. math::

    \dot v &= \frac{\rho A V}{2m} \left(-C_D u + C_L\, a \times u\right) - g \hat z \\
    \dot w &= -R_1 \frac{\rho}{1.185} \frac{V w}{r_b}, \qquad R_1 = 2 \cdot 10^{-5} \\
    C_L &= 0.548 \frac{S}{S + 0.217}, \qquad S = w r_b / V \\
    C_D &= 0.127 + 0.624\, C_L + \frac{0.139}{1 + (Re / 65000)^8}, \qquad Re = \rho V d / \mu

The drag is a polar (induced drag proportional to lift) plus the drag-crisis step of a dimpled ball below
24 m/s. Its six constants were fitted to tour averages by radar measurement and to published changes with
wind, height above sea and temperature, with the wind-tunnel table of Bearman & Harvey [1]_ as a weak
prior; spin decay is that of Smits & Smith [2]_ (from memory). The law has no table, power or sine, so
Runge-Kutta of order four keeps 0.001 yd with steps of 0.25 s in a uniform wind.

Frame
-----
x = depth along the target line, y = side to the right, z = up. That frame is left-handed, and the cross
product above is taken by components in it: pure backspin is a = (0, -1, 0) and lifts; a positive tilt
curves to the right. The axis is square to the velocity at launch.

Landing
-------
The first time a falling ball is level with the target height, from the cubic Hermite of the last step;
the velocity is that cubic's derivative. A ball that never gets as high as its target has not `reached` it. It
comes down short: at the top of its flight, the limit of the landings as the target rises. No value is nan.

Speed
-----
Batches of at least `KERNEL_FROM` shots go through a compiled kernel (`strategy.ball.kernel`), smaller ones
through numpy as long as the kernel is not loaded, so that a single number needs no compiler. The
numpy form is the specification; the kernel is tested equal to it to 1e-9 m.

References
----------
.. [1] P. W. Bearman and J. K. Harvey, "Golf ball aerodynamics", Aeronautical Quarterly 27 (1976) 112.
.. [2] A. J. Smits and D. R. Smith, "A new aerodynamic model of a golf ball in flight", Science and Golf II
   (1994) 340.
"""

from __future__ import annotations

import dataclasses
import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from strategy.arrays import FloatArray
from strategy.ball.air import MOST_WIND_MPS, STANDARD_AIR, Air
from strategy.ball.check import Guess, within
from strategy.ball.law import LAW, BallLaw
from strategy.units import MPH_MPS, RPM_RAD_S, YARD_M

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

STEP_S: Final = 0.25
CHUNK: Final = 5_000  # more falls out of the processor's cache: -35 % at 50,000
KERNEL_FROM: Final = 512
MOST_STEPS: Final = 480  # two minutes; nothing stays up for one

Engine = Literal["auto", "numpy", "kernel"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Launch:
    """How balls leave the face: scalars, or arrays that broadcast with each other.

    Attributes
    ----------
    speed_mps : ndarray
        Ball speed. [m/s]
    launch_deg : ndarray
        Launch angle above level. [°]
    spin_rad_s : ndarray
        Total spin. [rad/s]
    start_deg : ndarray
        Start line from the target line, positive right. [°]
    tilt_deg : ndarray
        Tilt of the spin axis, positive curves right. [°]
    drag : ndarray
        Drag as a share of the law's: what the law misses of a club's published carry
        (`strategy.ball.clubs`).

    Raises
    ------
    PhysicsError
        If a value cannot be meant (a speed in mph, a spin in rpm).
    """

    speed_mps: FloatArray
    launch_deg: FloatArray
    spin_rad_s: FloatArray
    start_deg: FloatArray = dataclasses.field(default_factory=lambda: np.zeros(()))
    tilt_deg: FloatArray = dataclasses.field(default_factory=lambda: np.zeros(()))
    drag: FloatArray = dataclasses.field(default_factory=lambda: np.ones(()))

    def __post_init__(self) -> None:
        checks: tuple[tuple[str, float, float, str, str, list[Guess]], ...] = (
            ("speed_mps", 2.0, 110.0, "ball speed", "m/s", [("miles an hour", lambda v: v * MPH_MPS)]),
            ("launch_deg", 0.01, 80.0, "launch angle", "°", []),
            ("spin_rad_s", 0.0, 1600.0, "spin", "rad/s", [("revolutions a minute", lambda v: v * RPM_RAD_S)]),
            ("start_deg", -60.0, 60.0, "start line", "°", []),
            ("tilt_deg", -75.0, 75.0, "axis tilt", "°", []),
            ("drag", 0.5, 2.0, "share of the drag", "", []),
        )
        for name, least, most, what, unit, guesses in checks:
            object.__setattr__(self, name, within(getattr(self, name), least, most, what, unit, guesses))

    @property
    def spin_rpm(self) -> FloatArray:
        """Spin as the trade says it [rpm]."""
        return np.asarray(self.spin_rad_s / RPM_RAD_S)

    def replace(self, **changes: ArrayLike) -> Launch:
        """The same launch with some fields changed."""
        return dataclasses.replace(self, **changes)  # type: ignore[arg-type]

    def __getitem__(self, index: object) -> Launch:
        whole = np.broadcast_arrays(*(getattr(self, f.name) for f in dataclasses.fields(self)))
        return Launch(
            **{f.name: a[index] for f, a in zip(dataclasses.fields(self), whole, strict=True)}  # type: ignore[call-overload]
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Flights:
    """Where and how balls come down; every array has the broadcast shape of what was flown.

    Attributes
    ----------
    carry_m, side_m : ndarray
        Landing along the target line, and positive right of it. [m]
    apex_m : ndarray
        Greatest height above the launch. [m]
    descent_deg : ndarray
        Angle below level at landing. [°]
    speed_mps : ndarray
        Speed at landing, over the ground. [m/s]
    velocity_mps : ndarray (..., 3)
        Velocity at landing: depth, side, up. [m/s]
    spin_rad_s : ndarray
        Spin left at landing. [rad/s]
    time_s : ndarray
        Time in the air. [s]
    reached : ndarray of bool
        Whether the ball got up to the height of its target; where not it is short (module docstring).
    """

    carry_m: FloatArray
    side_m: FloatArray
    apex_m: FloatArray
    descent_deg: FloatArray
    speed_mps: FloatArray
    velocity_mps: FloatArray
    spin_rad_s: FloatArray
    time_s: FloatArray
    reached: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]

    @property
    def carry_yd(self) -> FloatArray:
        """Carry in yards."""
        return self.carry_m / YARD_M

    def __getitem__(self, i: object) -> Flights:
        return Flights(**{f.name: getattr(self, f.name)[i] for f in dataclasses.fields(self)})


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Track:
    """Positions of a ball at n fractions of its time in the air, evenly spaced from 0 to 1.

    Attributes
    ----------
    depth_m, side_m, height_m : ndarray (..., n)
        [m]
    """

    depth_m: FloatArray
    side_m: FloatArray
    height_m: FloatArray

    def at_depth(self, fractions: ArrayLike) -> tuple[FloatArray, FloatArray]:
        """Side and height where the ball has made these fractions of its carry: two (..., k) [m].

        Linear between the track's points. A ball that a wind blows back passes a depth twice; the first
        pass counts.
        """
        u = np.atleast_1d(np.asarray(fractions, dtype=np.float64))
        shape = self.depth_m.shape[:-1]
        n = self.depth_m.shape[-1]
        flat = [a.reshape(-1, n) for a in (self.depth_m, self.side_m, self.height_m)]
        side, height = np.empty((len(flat[0]), len(u))), np.empty((len(flat[0]), len(u)))
        for row, (depth, s, h) in enumerate(zip(*flat, strict=True)):
            furthest = np.maximum.accumulate(depth)
            new = np.concatenate(([True], np.diff(furthest) > 0.0))
            wanted = u * depth[-1]
            side[row] = np.interp(wanted, depth[new], s[new])
            height[row] = np.interp(wanted, depth[new], h[new])
        return side.reshape(*shape, len(u)), height.reshape(*shape, len(u))


def fly(
    launch: Launch,
    *,
    head_mps: ArrayLike = 0.0,
    cross_mps: ArrayLike = 0.0,
    rise_m: ArrayLike = 0.0,
    air: Air = STANDARD_AIR,
    law: BallLaw = LAW,
    engine: Engine = "auto",
) -> Flights:
    """Fly balls to the height of their targets.

    Parameters
    ----------
    launch : Launch
    head_mps, cross_mps : array_like
        Uniform wind: positive into the player's face, positive towards the right (`air.wind_on_shot`). [m/s]
    rise_m : array_like
        Height of the landing above the launch, negative below. [m]
    air : Air
    law : BallLaw
    engine : "auto", "numpy" or "kernel"
        "auto" takes the kernel for `KERNEL_FROM` shots and more, and for any number once it is loaded.

    Returns
    -------
    flights : Flights
        In the broadcast shape of all of the above.

    Raises
    ------
    PhysicsError
        If a wind is above 40 m/s or a height difference above 400 m.
    """
    shape, columns = _columns(launch, head_mps, cross_mps, rise_m, air)
    numbers = law.numbers()
    n = columns.shape[1]
    out = np.empty((9, n))
    loaded = "strategy.ball.kernel" in sys.modules
    if engine == "kernel" or (engine == "auto" and (loaded or n >= KERNEL_FROM)):
        from strategy.ball.kernel import fly_all

        fly_all(columns, np.array(numbers), STEP_S, MOST_STEPS, out)
    else:
        for first in range(0, n, CHUNK):
            part = slice(first, first + CHUNK)
            out[:, part] = _fly_chunk(columns[:, part], numbers)
    x, y, apex, vx, vy, vz, spin, time, reached = (out[i].reshape(shape) for i in range(9))
    level = np.hypot(vx, vy)
    return Flights(
        carry_m=x,
        side_m=y,
        apex_m=apex,
        descent_deg=np.degrees(np.arctan2(-vz, level)),
        speed_mps=np.hypot(level, vz),
        velocity_mps=np.stack((vx, vy, vz), axis=-1),
        spin_rad_s=spin,
        time_s=time,
        reached=reached > 0.5,
    )


def track(
    launch: Launch,
    points: int = 25,
    *,
    head_mps: ArrayLike = 0.0,
    cross_mps: ArrayLike = 0.0,
    rise_m: ArrayLike = 0.0,
    air: Air = STANDARD_AIR,
    law: BallLaw = LAW,
) -> Track:
    """Positions of balls along their flight; parameters and errors as of `fly`.

    Parameters
    ----------
    points : int
        How many, 2 or more; the first is the launch, the last the landing. They lie on the cubic Hermite
        of each step, as the landing does.
    """
    if points < 2:
        raise ValueError(f"a track needs 2 points or more, not {points}")
    shape, columns = _columns(launch, head_mps, cross_mps, rise_m, air)
    numbers = law.numbers()
    share = np.linspace(0.0, 1.0, points)
    way = np.empty((3, columns.shape[1], points))
    for first in range(0, columns.shape[1], CHUNK):
        part = slice(first, first + CHUNK)
        chunk = columns[:, part]
        when = _fly_chunk(chunk, numbers)[7][:, None] * share  # (n, points)
        step = np.minimum((when / STEP_S).astype(np.int64), MOST_STEPS - 1)
        s = when / STEP_S - step
        state, rows = chunk[:7].copy(), chunk[7:]
        for i in range(int(step.max(initial=0)) + 1):
            after = _step(state, rows, numbers)
            ball, point = np.nonzero(step == i)
            for axis in range(3):
                way[axis, first + ball, point] = _hermite(
                    state[axis, ball],
                    state[axis + 3, ball],
                    after[axis, ball],
                    after[axis + 3, ball],
                    s[ball, point],
                )
            state = after
    depth, side, height = (w.reshape(*shape, points) for w in way)
    return Track(depth_m=depth, side_m=side, height_m=height)


def _columns(
    launch: Launch, head_mps: ArrayLike, cross_mps: ArrayLike, rise_m: ArrayLike, air: Air
) -> tuple[tuple[int, ...], FloatArray]:
    """Rows of start state (7), axis (3), wind (2), rise, density, viscosity, drag: (16, n), and the shape."""
    most = MOST_WIND_MPS
    mph = [("miles an hour", lambda v: v * MPH_MPS), ("kilometres an hour", lambda v: v / 3.6)]
    head = within(head_mps, -most, most, "head wind", "m/s", mph)
    cross = within(cross_mps, -most, most, "crosswind", "m/s", mph)
    rise = within(rise_m, -400.0, 400.0, "height difference", "m")
    whole = np.broadcast_arrays(
        launch.speed_mps,
        np.radians(launch.launch_deg),
        launch.spin_rad_s,
        np.radians(launch.start_deg),
        np.radians(launch.tilt_deg),
        head,
        cross,
        rise,
        np.asarray(air.density),
        np.asarray(air.viscosity),
        launch.drag,
    )
    speed, up, spin, start, tilt, head, cross, rise, rho, mu, share = (a.ravel() for a in whole)
    place = np.zeros((3, len(speed)))
    level = speed * np.cos(up)
    velocity = (level * np.cos(start), level * np.sin(start), speed * np.sin(up))
    # The axis is square to the launch velocity: (0, -1, 0) turned by the tilt about that velocity.
    lean = np.sin(tilt) * np.sin(up)
    axis = (
        np.cos(tilt) * np.sin(start) - lean * np.cos(start),
        -np.cos(tilt) * np.cos(start) - lean * np.sin(start),
        np.sin(tilt) * np.cos(up),
    )
    return whole[0].shape, np.stack((*place, *velocity, spin, *axis, -head, cross, rise, rho, mu, share))


def _rates(state: FloatArray, rows: FloatArray, numbers: tuple[float, ...]) -> FloatArray:
    """Time derivative of states (7, n)."""
    drag, per_lift, slow, d_re, lift_r, radius, s0, decay, k, g = numbers
    ax, ay, az, wind_x, wind_y, _, rho, mu, share = rows
    vx, vy, uz, w = state[3:7]
    ux, uy = vx - wind_x, vy - wind_y
    speed = np.sqrt(ux * ux + uy * uy + uz * uz)
    lift = lift_r * w / (radius * w + s0 * speed + 1e-12)
    re8 = (d_re * rho / mu * speed) ** 2
    re8 *= re8
    re8 *= re8
    kv = k * rho * speed
    back = share * kv * (drag + per_lift * lift + slow / (1.0 + re8))
    up = kv * lift
    rates = np.empty_like(state)
    rates[0:3] = state[3:6]
    rates[3] = up * (ay * uz - az * uy) - back * ux
    rates[4] = up * (az * ux - ax * uz) - back * uy
    rates[5] = up * (ax * uy - ay * ux) - back * uz - g
    rates[6] = -decay * rho * speed * w
    return rates


def _step(state: FloatArray, rows: FloatArray, numbers: tuple[float, ...]) -> FloatArray:
    """One Runge-Kutta step of order four."""
    half = 0.5 * STEP_S
    k1 = _rates(state, rows, numbers)
    k2 = _rates(state + half * k1, rows, numbers)
    k3 = _rates(state + half * k2, rows, numbers)
    k4 = _rates(state + STEP_S * k3, rows, numbers)
    k2 += k3
    k2 *= 2.0
    k2 += k1
    k2 += k4
    k2 *= STEP_S / 6.0
    return state + k2


def _hermite(p0: FloatArray, v0: FloatArray, p1: FloatArray, v1: FloatArray, s: FloatArray) -> FloatArray:
    """Cubic through two positions and velocities one step apart, at fraction s of the step."""
    m0, m1, rise = STEP_S * v0, STEP_S * v1, p1 - p0
    return np.asarray(p0 + s * (m0 + s * (3.0 * rise - 2.0 * m0 - m1 + s * (m0 + m1 - 2.0 * rise))))


def _slope(p0: FloatArray, v0: FloatArray, p1: FloatArray, v1: FloatArray, s: FloatArray) -> FloatArray:
    """Time derivative of `_hermite`."""
    m0, m1, rise = STEP_S * v0, STEP_S * v1, p1 - p0
    return np.asarray(
        (m0 + s * (2.0 * (3.0 * rise - 2.0 * m0 - m1) + 3.0 * s * (m0 + m1 - 2.0 * rise))) / STEP_S
    )


def _fly_chunk(columns: FloatArray, numbers: tuple[float, ...]) -> FloatArray:
    """Fly one chunk (16, n); rows out: x, y, apex, velocity (3), spin, time, reached."""
    n = columns.shape[1]
    # States before and after the step that holds the top of the flight, and the one that lands.
    around_top, around_end = np.zeros((2, 7, n)), np.zeros((2, 7, n))
    top_step, end_step = np.zeros(n), np.zeros(n)
    state, rows, ball = columns[:7].copy(), columns[7:], np.arange(n)
    for i in range(MOST_STEPS):
        after = _step(state, rows, numbers)
        falling = after[5] <= 0.0
        at_top = np.flatnonzero(falling & (state[5] > 0.0))
        if at_top.size:
            around_top[0][:, ball[at_top]] = state[:, at_top]
            around_top[1][:, ball[at_top]] = after[:, at_top]
            top_step[ball[at_top]] = i
        down = falling & (after[2] <= rows[5])
        if down.any():
            around_end[0][:, ball[down]] = state[:, down]
            around_end[1][:, ball[down]] = after[:, down]
            end_step[ball[down]] = i
            stay = ~down
            state, rows, ball = after[:, stay], rows[:, stay], ball[stay]
            if not ball.size:
                break
        else:
            state = after
    else:
        raise RuntimeError(f"{len(ball)} balls are still in the air after {MOST_STEPS * STEP_S:g} s")

    rise = columns[12]
    s = _top(around_top[0], around_top[1])
    top = np.vstack((_between(around_top[0], around_top[1], s), (top_step + s) * STEP_S))
    reached = top[2] >= rise
    s = _landing(around_end[0], around_end[1], rise, np.where(end_step == top_step, s, 0.0))
    end = np.where(
        reached, np.vstack((_between(around_end[0], around_end[1], s), (end_step + s) * STEP_S)), top
    )
    return np.vstack((end[:2], top[2], end[3:8], reached))


def _between(a: FloatArray, b: FloatArray, s: FloatArray) -> FloatArray:
    """State (7, n) at fractions s of a step. The spin is interpolated linearly, which is near enough."""
    middle = np.empty_like(a)
    for axis in range(3):
        middle[axis] = _hermite(a[axis], a[axis + 3], b[axis], b[axis + 3], s)
        middle[axis + 3] = _slope(a[axis], a[axis + 3], b[axis], b[axis + 3], s)
    middle[6] = a[6] + s * (b[6] - a[6])
    return middle


def _top(a: FloatArray, b: FloatArray) -> FloatArray:
    """Fraction of the step at which the height is greatest: the root of a quadratic."""
    m0, m1, rise = STEP_S * a[5], STEP_S * b[5], b[2] - a[2]
    # slope = m0 - 2 h s + 3 q s²; written so that nothing cancels whichever sign q has
    h, q = 2.0 * m0 + m1 - 3.0 * rise, m0 + m1 - 2.0 * rise
    return np.asarray(np.clip(m0 / (h + np.sqrt(np.maximum(h * h - 3.0 * q * m0, 0.0))), 0.0, 1.0))


def _landing(a: FloatArray, b: FloatArray, rise: FloatArray, low: FloatArray) -> FloatArray:
    """Fraction of the step, past `low`, at which a falling ball is level with `rise`.

    Newton from the end of the step: there the height is below `rise`, and a falling ball's height is
    concave, so that the iteration comes down on the root from the right.
    """
    s = np.ones_like(rise)
    for _ in range(40):
        above = _hermite(a[2], a[5], b[2], b[5], s) - rise
        fall = np.minimum(_slope(a[2], a[5], b[2], b[5], s), -1e-9) * STEP_S
        new = np.clip(s - above / fall, low, 1.0)
        moved = np.abs(new - s).max(initial=0.0)
        s = new
        if moved < 1e-13:
            break
    return s
