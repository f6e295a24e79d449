r"""How a shot leaves the face, inferred from what its player states of it.

What is known            what is done
-----------------------  -------------------------------------------------------------------------------
carry alone              the ball speed on the club's line (`strategy.ball.clubs`) that carries it; the line
                         passes through the launches that the tour's carries were published with
+ low / normal / high    one tick is 2.5° of launch and 8 % of spin off that line
+ apex                   the likeliest launch and spin: Gauss-Newton on (speed, launch, spin), stated
                         carry ±1 yd, stated apex ±2 yd, launch ±2° and spin ±15 % round the line
measured                 speed, launch and spin as stated
+ start line and curve   start line from the bend, tilt of the spin axis so that the ball ends on target
-----------------------  -------------------------------------------------------------------------------

The stated carry always rules: last, the ball speed (and the tilt) is solved so that the ball lands on the
stated carry in the air in which the carries were measured. Where speed was stated too and has to move by
more than `SPEED_NOTE`, a note says so.

Error of a predicted shift, for 3,000 invented clubs of players stated to ±2 yd (yards r.m.s.):

                    mean size   carry only   + tick   + apex
20 mph into              -27        4.9        3.1      3.2
10 mph into              -11        2.4        1.5      1.6
10 mph crosswind        10.8        1.2        0.8      0.8

A weak or low shot answers wind strongly non-linearly, so shifts are flown, never scaled.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from strategy.ball.air import STANDARD_AIR, Air
from strategy.ball.clubs import Lines, anchor
from strategy.ball.flight import Flights, Launch, fly
from strategy.errors import PhysicsError
from strategy.units import FOOT_M, MPH_MPS, RPM_RAD_S, YARD_M

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from strategy.arrays import FloatArray

Height = Literal["low", "normal", "high"]

TICK_LAUNCH_DEG: Final = 2.5
TICK_SPIN: Final = 0.08
LAUNCH_SD_DEG: Final = 2.0
SPIN_SD: Final = 0.15
CARRY_SD_M: Final = 1.0 * YARD_M
APEX_SD_M: Final = 2.0 * YARD_M
LEAST_LAUNCH_DEG: Final = 2.0
MOST_TILT_DEG: Final = 45.0
MOST_SPIN_RAD_S: Final = 1500.0
SPEED_NOTE: Final = 0.04
CARRY_TOLERANCE_M: Final = 0.01  # well inside the promised 0.05 yd
_TICK: Final = {"low": -1.0, "normal": 0.0, "high": 1.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What a player knows of one shot, in calm air on level ground.

    Attributes
    ----------
    club : str
        As the player calls it (`strategy.ball.clubs.anchor`).
    carry_m : float or None
        Along the target line; None only with measured speed, launch and spin. [m]
    height : "low", "normal" or "high"
        Flight compared with others of the same carry.
    apex_m : float or None
        Greatest height. [m]
    speed_mps, launch_deg, spin_rad_s : float or None
        Measured launch, each as far as it is known. [m/s], [°], [rad/s]
    bend_m : float
        Curve at landing, positive to the right: how far right of its start line the ball comes down.
        It starts left of its target by as much. [m]
    """

    club: str
    carry_m: float | None = None
    height: Height = "normal"
    apex_m: float | None = None
    speed_mps: float | None = None
    launch_deg: float | None = None
    spin_rad_s: float | None = None
    bend_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Inferred:
    """Launches of n shots, and the notes that a plan prints on each.

    Attributes
    ----------
    launch : Launch
        Arrays (n,).
    calm : Flights
        Their flights in the air of the measurement, level and calm.
    notes : tuple of tuples of str, length n
        What the player should check.
    """

    launch: Launch
    calm: Flights
    notes: tuple[tuple[str, ...], ...]


def infer(shots: Sequence[Known], air: Air = STANDARD_AIR) -> Inferred:
    """Launches that reproduce what a player knows, all shots of a bag at once.

    Parameters
    ----------
    shots : sequence of Known, length n
    air : Air
        In which the carries were measured; scalars.

    Raises
    ------
    PhysicsError
        Naming the shot, if no launch of its club carries what is stated, or curves as stated.

    Examples
    --------
    >>> bag = infer([Known(club="7-iron", carry_m=160.0), Known(club="driver", carry_m=250.0, bend_m=6.0)])
    >>> bag.calm.carry_m.round(2).tolist(), abs(bag.calm.side_m.round(2)).tolist()
    ([160.0, 250.0], [0.0, 0.0])
    """
    if not shots:
        nothing = Launch(speed_mps=np.zeros(0), launch_deg=np.zeros(0), spin_rad_s=np.zeros(0))
        return Inferred(launch=nothing, calm=fly(nothing, air=air), notes=())
    for shot in shots:
        _check(shot)
    bag = _Bag(shots)
    has_carry = np.array([s.carry_m is not None for s in shots])
    carry = np.array([np.nan if s.carry_m is None else s.carry_m for s in shots])
    speed = np.where(bag.has_speed, bag.stated_speed, _first_speed(bag, carry))
    speed = _solve_speed(bag, speed, carry, has_carry & ~bag.has_speed, air)
    if bag.has_apex.any():
        _fit_apex(bag, speed, carry, air)
    launch = _bend(bag, speed, carry, has_carry, air)
    calm = fly(launch, air=air)
    notes = []
    for i, shot in enumerate(shots):
        off = abs(calm.carry_m[i] - carry[i]) if has_carry[i] else 0.0
        if off > CARRY_TOLERANCE_M or abs(calm.side_m[i]) > CARRY_TOLERANCE_M:
            _say_impossible(shot, calm, i)
        notes.append(tuple(_notes(shot, bag, launch, calm, i)))
    return Inferred(launch=launch, calm=calm, notes=tuple(notes))


def respun(bag: Inferred, share: float, air: Air = STANDARD_AIR) -> Inferred:
    """The same shots with another spin, struck so that they carry as far: from a lie with grass on the face.

    Start line and axis stay, so that a shaped shot, which curves less with less spin, ends off its target.
    Where no strike carries so, the nearest one stands: compare with its own `calm`.

    Parameters
    ----------
    bag : Inferred
        Launches and their flights in `air`.
    share : float
        Of the spin; no ball spins more than 1500 rad/s.
    air : Air
        In which the carries were measured.

    Examples
    --------
    >>> clean = infer([Known(club="9-iron", carry_m=130.0)])
    >>> jumper = respun(clean, 0.6)
    >>> [bool(v) for v in (abs(jumper.calm.carry_m - 130.0) < 0.02, jumper.calm.apex_m < clean.calm.apex_m)]
    [True, True]
    """
    wanted = bag.calm.carry_m
    spun = bag.launch.replace(spin_rad_s=np.minimum(bag.launch.spin_rad_s * share, MOST_SPIN_RAD_S))

    def miss(speed: FloatArray) -> FloatArray:
        return np.asarray(fly(spun.replace(speed_mps=speed), air=air).carry_m - wanted)

    speed = _root(miss, bag.launch.speed_mps, np.ones(len(wanted), dtype=np.bool_))
    launch = spun.replace(speed_mps=speed)
    return Inferred(launch=launch, calm=fly(launch, air=air), notes=bag.notes)


@dataclass(frozen=True, slots=True)
class Default:
    """Carry assumed for a variation that is not stated: share of the stock carry, and words for it."""

    share: float
    words: str


# Common practice in sign, an engineering choice in size: the player's own number replaces it.
VARIATIONS: Final = {
    "draw": Default(1.01, "a draw goes 1 % further than straight"),
    "straight": Default(1.0, "as the stock shot"),
    "fade": Default(0.975, "a fade goes 2.5 % shorter than straight"),
    "flighted": Default(0.94, "a flighted shot goes 6 % shorter"),
    "low": Default(0.94, "a low shot goes 6 % shorter"),
    "high": Default(0.985, "a high shot goes 1.5 % shorter"),
}


def default_carry(stock_carry_m: float, variation: str, stock: str = "straight") -> tuple[float, str]:
    """Assumed carry of a variation whose carry is not stated, and the sentence that says so [m].

    Parameters
    ----------
    stock_carry_m : float
        Carry of the club's stock shot. [m]
    variation, stock : str
        Keys of `VARIATIONS`: what is wanted, and what the stock shot is.

    Raises
    ------
    PhysicsError
        If there is no default for such a variation.

    Examples
    --------
    >>> carry, words = default_carry(200.0, "fade", stock="draw")
    >>> round(carry, 1), words
    (193.1, 'carry assumed: a fade goes 2.5 % shorter than straight; state your own number')
    """
    for word in (variation, stock):
        if word not in VARIATIONS:
            raise PhysicsError("shot", f"no default carry for {word!r}", "State its carry")
    chosen = VARIATIONS[variation]
    carry = stock_carry_m * chosen.share / VARIATIONS[stock].share
    return carry, f"carry assumed: {chosen.words}; state your own number"


class _Bag:
    """The shots as arrays: prior line, deviations from it, what was stated."""

    def __init__(self, shots: Sequence[Known]) -> None:
        self.lines = Lines([anchor(s.club) for s in shots])
        self.anchor_speed = self.lines.speed_mps
        tick = np.array([_TICK[s.height] for s in shots])
        self.more_launch = TICK_LAUNCH_DEG * tick
        self.more_spin = np.log1p(TICK_SPIN * tick)
        self.bend = np.array([s.bend_m for s in shots])
        self.stated_speed = _stated([s.speed_mps for s in shots])
        self.stated_launch = _stated([s.launch_deg for s in shots])
        self.stated_spin = _stated([s.spin_rad_s for s in shots])
        self.apex = _stated([s.apex_m for s in shots])
        self.has_speed = np.isfinite(self.stated_speed)
        self.has_apex = np.isfinite(self.apex)

    def launch(
        self, speed: FloatArray, tilt: FloatArray | float = 0.0, start: FloatArray | float = 0.0
    ) -> Launch:
        """The launches at given ball speeds: on the line where nothing was stated."""
        # A measured speed that the carry overrules stands for the strike, not for another swing.
        q = np.where(self.has_speed, self.stated_speed, speed) / self.anchor_speed
        launch, spin, drag = self.lines.at(q)
        launch, spin = launch + self.more_launch, spin * np.exp(self.more_spin)
        return Launch(
            speed_mps=speed,
            drag=drag,
            launch_deg=np.where(
                np.isfinite(self.stated_launch), self.stated_launch, np.maximum(launch, LEAST_LAUNCH_DEG)
            ),
            spin_rad_s=np.where(
                np.isfinite(self.stated_spin), self.stated_spin, np.minimum(spin, MOST_SPIN_RAD_S)
            ),
            start_deg=np.broadcast_to(np.asarray(start, dtype=np.float64), speed.shape),
            tilt_deg=np.broadcast_to(np.asarray(tilt, dtype=np.float64), speed.shape),
        )


def _stated(values: Sequence[float | None]) -> FloatArray:
    return np.array([np.nan if v is None else v for v in values])


def _check(shot: Known) -> None:
    """Refuse what cannot be meant, naming the club."""
    where = f"{shot.club} carry"
    if shot.carry_m is None:
        if None in (shot.speed_mps, shot.launch_deg, shot.spin_rad_s):
            raise PhysicsError(where, "not stated", "State the carry, or ball speed, launch and spin")
    elif not 5.0 <= shot.carry_m <= 350.0:
        raise PhysicsError(
            where, f"{shot.carry_m:g} m is outside 5 to 350 m", "Check the number and its unit"
        )
    if shot.apex_m is not None and not 1.0 <= shot.apex_m <= 70.0:
        feet = f"{shot.apex_m:g} looks like feet: that would be {shot.apex_m * FOOT_M:.1f} m"
        mend = feet if 70.0 < shot.apex_m <= 200.0 else "Check the number and its unit"
        raise PhysicsError(f"{shot.club} apex", f"{shot.apex_m:g} m is outside 1 to 70 m", mend)
    if shot.speed_mps is not None and not 5.0 <= shot.speed_mps <= 105.0:
        mend = (
            f"{shot.speed_mps:g} looks like miles an hour: that would be {shot.speed_mps * MPH_MPS:.1f} m/s"
        )
        raise PhysicsError(f"{shot.club} ball speed", f"{shot.speed_mps:g} m/s is outside 5 to 105 m/s", mend)
    if shot.spin_rad_s is not None and not 0.0 <= shot.spin_rad_s <= 1500.0:
        mend = f"{shot.spin_rad_s:g} looks like rpm: that would be {shot.spin_rad_s * RPM_RAD_S:.0f} rad/s"
        raise PhysicsError(f"{shot.club} spin", f"{shot.spin_rad_s:g} rad/s is outside 0 to 1500 rad/s", mend)


def _first_speed(bag: _Bag, carry: FloatArray) -> FloatArray:
    """A ball speed to start from: carry grows a little faster than speed."""
    whole = fly(bag.launch(bag.anchor_speed), air=STANDARD_AIR).carry_m
    return np.asarray(bag.anchor_speed * np.clip(carry / whole, 0.02, 1.4) ** 0.7)


def _root(
    miss: Callable[[FloatArray], FloatArray],
    start: FloatArray,
    wanted: np.ndarray[tuple[int], np.dtype[np.bool_]],
) -> FloatArray:
    """Speeds at which `miss` is 0, by the secant method inside a bracket. `miss` grows with log(speed)."""
    low, high = np.full_like(start, np.log(3.0)), np.full_like(start, np.log(108.0))
    s = np.log(np.clip(start, 3.5, 105.0))
    value = miss(np.exp(s))
    rate = np.full_like(s, np.nan)
    for _ in range(60):
        # Each shot stops for itself, so that its launch does not depend on the other shots of the bag.
        moving = wanted & (np.abs(value) >= 0.2 * CARRY_TOLERANCE_M) & (high - low >= 1e-9)
        if not moving.any():
            break
        low, high = np.where(value < 0.0, s, low), np.where(value >= 0.0, s, high)
        with np.errstate(invalid="ignore", divide="ignore"):
            new = s - value / np.where(np.isfinite(rate), rate, 250.0)
        new = np.where((new > low) & (new < high), new, 0.5 * (low + high))
        new = np.where(moving, new, s)
        fresh = miss(np.exp(new))
        with np.errstate(invalid="ignore", divide="ignore"):
            slope = (fresh - value) / (new - s)
        rate = np.where(slope > 1.0, slope, rate)
        s, value = new, fresh
    return np.asarray(np.where(wanted, np.exp(s), start))


def _solve_speed(
    bag: _Bag,
    speed: FloatArray,
    carry: FloatArray,
    wanted: np.ndarray[tuple[int], np.dtype[np.bool_]],
    air: Air,
) -> FloatArray:
    """Ball speeds at which straight shots carry what is stated."""
    return _root(lambda v: np.where(wanted, fly(bag.launch(v), air=air).carry_m - carry, 0.0), speed, wanted)


def _fit_apex(bag: _Bag, speed: FloatArray, carry: FloatArray, air: Air) -> None:
    """Gauss-Newton for the deviations from the line where an apex is stated; changes `bag` in place."""
    n = len(speed)
    free = [  # a stated value does not move
        ~bag.has_speed & bag.has_apex,
        ~np.isfinite(bag.stated_launch) & bag.has_apex,
        ~np.isfinite(bag.stated_spin) & bag.has_apex,
    ]
    prior_launch, prior_spin = bag.more_launch.copy(), bag.more_spin.copy()
    x = np.stack((np.log(speed), prior_launch, prior_spin))
    has_carry = np.isfinite(carry)

    def residuals(at: FloatArray) -> FloatArray:
        bag.more_launch, bag.more_spin = at[1], at[2]
        there = fly(bag.launch(np.exp(at[0])), air=air)
        return np.stack(
            (
                np.where(has_carry, there.carry_m - carry, 0.0) / CARRY_SD_M,
                np.where(bag.has_apex, there.apex_m - bag.apex, 0.0) / APEX_SD_M,
                (at[1] - prior_launch) / LAUNCH_SD_DEG,
                (at[2] - prior_spin) / SPIN_SD,
            )
        )

    steps = (1e-4, 1e-3, 1e-3)
    moving = bag.has_apex.copy()
    for _ in range(12):
        r = residuals(x)
        jacobian = np.zeros((n, 4, 3))
        for k, h in enumerate(steps):
            moved = x.copy()
            moved[k] += np.where(free[k], h, 0.0)
            jacobian[:, :, k] = ((residuals(moved) - r) / h).T
        normal = np.einsum("nij,nik->njk", jacobian, jacobian) + 1e-9 * np.eye(3)
        change = -np.linalg.solve(normal, np.einsum("nij,in->nj", jacobian, r)[:, :, None])[:, :, 0]
        change = np.clip(change, [-0.15, -3.0, -0.2], [0.15, 3.0, 0.2]).T
        x = x + np.where(np.stack(free) & moving, change, 0.0)
        moving &= np.abs(change).max(axis=0) >= 1e-5
        if not moving.any():
            break
    bag.more_launch, bag.more_spin = x[1], x[2]
    speed[:] = np.where(free[0], np.exp(x[0]), speed)


def _bend(
    bag: _Bag,
    speed: FloatArray,
    carry: FloatArray,
    has_carry: np.ndarray[tuple[int], np.dtype[np.bool_]],
    air: Air,
) -> Launch:
    """Solve start line for the bend, tilt to end on target, and speed to carry what is stated."""
    tilt = np.zeros_like(speed)
    shaped = bag.bend != 0.0
    for _ in range(12):
        carries = (
            carry
            if has_carry.all()
            else np.where(has_carry, carry, fly(bag.launch(speed, tilt), air=air).carry_m)
        )
        start = -np.degrees(np.arctan2(bag.bend, carries))
        here, now = start, tilt
        speed = _root(
            lambda v: np.where(has_carry, fly(bag.launch(v, now, here), air=air).carry_m - carry, 0.0),  # noqa: B023
            speed,
            has_carry,
        )
        at = fly(bag.launch(speed, tilt, start), air=air)
        moving = shaped & (np.abs(at.side_m) >= 0.2 * CARRY_TOLERANCE_M)
        if not moving.any():
            break
        more = np.copysign(0.1, bag.bend)  # outwards for both hands, so that a draw mirrors a fade exactly
        rate = (fly(bag.launch(speed, tilt + more, start), air=air).side_m - at.side_m) / more
        tilt = np.clip(tilt - np.where(moving, at.side_m / rate, 0.0), -MOST_TILT_DEG, MOST_TILT_DEG)
    return bag.launch(speed, tilt, start)


def _say_impossible(shot: Known, calm: Flights, i: int) -> None:
    if shot.carry_m is not None and abs(calm.carry_m[i] - shot.carry_m) > CARRY_TOLERANCE_M:
        raise PhysicsError(
            f"{shot.club} carry",
            f"no strike of this club carries {shot.carry_m:.1f} m ({shot.carry_m / YARD_M:.0f} yd)",
            f"The model gets {calm.carry_m[i]:.1f} m. Check club, carry and its unit",
        )
    raise PhysicsError(
        f"{shot.club} bend",
        f"a curve of {abs(shot.bend_m):.1f} m ({abs(shot.bend_m) / YARD_M:.0f} yd) is more than a ball does"
        f" with its axis tilted {MOST_TILT_DEG:g}°",
        "State the curve at landing, not the whole miss",
    )


def _notes(shot: Known, bag: _Bag, launch: Launch, calm: Flights, i: int) -> list[str]:
    """Notes on one shot: a stated number that the model contradicts."""
    notes = []
    if shot.speed_mps is not None and shot.carry_m is not None:
        moved = float(launch.speed_mps[i]) / shot.speed_mps - 1.0
        if abs(moved) > SPEED_NOTE:
            notes.append(
                f"the stated carry rules: it takes a ball speed {abs(moved):.0%}"
                f" {'above' if moved > 0 else 'below'} the measured one;"
                " was it measured in other air, or with other balls?"
            )
    far = abs(bag.more_launch[i]) > 3.0 * LAUNCH_SD_DEG or abs(bag.more_spin[i]) > 3.0 * SPIN_SD
    if shot.apex_m is not None and (far or abs(calm.apex_m[i] - shot.apex_m) > 2.0 * APEX_SD_M):
        notes.append(
            f"an apex of {shot.apex_m / YARD_M:.0f} yd hardly goes with this club and carry;"
            f" {calm.apex_m[i] / YARD_M:.0f} is used. Was it in feet?"
        )
    return notes
