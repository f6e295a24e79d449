r"""Bounce and run: how far a ball goes on after it lands, and which way.

Theory
------
Penner's landing [1]_ (formulae from memory; they agree with each other, and in kind with the more than
1,000 bounces of [2]_). At each impact, with speed v at an angle phi from the NORMAL of the turf, the ball
digs a dent and meets a wall that leans against it by

.. math:: \theta_c = 15.4° \frac{v}{18.6} \frac{\phi}{44.4°}.

In axes turned by that angle: restitution e = 0.510 - 0.0375 v_n + 0.000903 v_n² (0.120 above 20 m/s);
friction mu against :math:`\mu_c = 2 |u + r w| / (7 (1 + e) v_n)`, w the backspin. If mu suffices the ball
leaves rolling, :math:`u' = (5u - 2rw)/7,\ w' = -u'/r`; otherwise it slides,
:math:`u' = u - \mu v_n (1 + e),\ w' = w - 5 \mu v_n (1 + e)/(2r)`. Then a parabola to the next impact.
Hopping ends below 0.35 m/s upwards, or after the fifteenth hop, when hops are a few centimetres high and
the ball in truth rolls; it settles to (5u - 2rw)/7 and rolls out at the deceleration of the turf.

A slope turns the frame: impacts in the plane of the turf, gravity along it while in the air, and
(5/7) g times the slope while rolling. A ball that rolls for T seconds along its line at a net deceleration
A against a friction a, with gravity c across, drifts c T²/(2 (1 + a/A)).

Firmness f is one number (-1 soft or wet, 0 normal, +1 firm and dry, +2 baked): the dent shrinks by
exp(-0.28 f), e grows by exp(0.30 f) (never above 0.70), fairway rolling falls by exp(-0.35 f). That scaling,
and the numbers of the first cut, rough and sand, are engineering choices, made to span published
run-outs. A soft inland green is about f = -0.5.

Greens decelerate a ball by v0²/2S, S the stimpmeter's reading and v0 = 1.83 m/s (6.00 ft/s) the speed at
which it lets the ball go; from the mechanics of the groove `stimpmeter_release_mps` gives 1.829.

References
----------
.. [1] A. R. Penner, "The run of a golf ball", Canadian Journal of Physics 80 (2002) 931.
.. [2] S. W. Biber, K. M. Jones, A. R. Champneys, A. Green and M. Szalai, "Measurements and linearized models
   for golf ball bounce", Sports Engineering 26 (2023), doi 10.1007/s12283-023-00442-4.
.. [3] A. D. Brede, "Measuring green speed on sloped putting greens", USGA Green Section Record 28 (1990).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.ball.check import within
from strategy.ball.flight import Flights
from strategy.ball.law import GRAVITY, RADIUS_M
from strategy.codes import Surface
from strategy.errors import PhysicsError
from strategy.units import FOOT_M, YARD_M

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

STIMP_MPS: Final = 1.83
# Speed of a normal green. The model's runs on greens were fitted at it, and a run that a player states is
# taken to be on such a green.
NORMAL_STIMP_FT: Final = 10.5
LEAST_HOP_MPS: Final = 0.35
MOST_BOUNCES: Final = 15
MOST_RESTITUTION: Final = 0.70
MOST_RUN_M: Final = 120.0  # where a slope is too steep for a ball to stop
RUN_SD_SHARE: Final = 0.30  # a fair random part of a run; engineering choice
RUN_SD_M: Final = 1.0 * YARD_M
FIRMNESS: Final = (-2.0, 2.5)

# dent, restitution, rolling deceleration [m/s²], friction by surface; the green's comes from its speed.
_FAIRWAY = (1.0, 1.0, 1.30, 0.40)
_ROUGH = (1.3, 0.6, 5.0, 0.50)
_TURF: Final = np.array(
    [
        {
            Surface.TEE: _FAIRWAY,
            Surface.FAIRWAY: _FAIRWAY,
            Surface.FIRST_CUT: (1.12, 0.85, 2.2, 0.45),
            Surface.GREEN: (1.0, 1.0, np.nan, 0.40),
        }.get(surface, _ROUGH)
        for surface in Surface
    ]
)
_FIRM_ROLL: Final = np.array([s in (Surface.TEE, Surface.FAIRWAY) for s in Surface])
_STAYS: Final = np.array([s in (Surface.BUNKER, Surface.YELLOW, Surface.RED) for s in Surface])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Runs:
    """What balls do after landing; every array has the broadcast shape of what was asked.

    Attributes
    ----------
    depth_m, side_m : ndarray
        From the landing to the rest, along the target line and to its right. [m]
    along_m, across_m : ndarray
        The same along the landing direction (negative: spun back) and to its right. [m]
    sd_m : ndarray
        Standard deviation of the run along the landing direction: 30 % + 1 yd. [m]
    stops : ndarray of bool
        False where the slope is too steep for a ball to stop on; such a run is cut at 120 m.
    """

    depth_m: FloatArray
    side_m: FloatArray
    along_m: FloatArray
    across_m: FloatArray
    sd_m: FloatArray
    stops: NDArray[np.bool_]


def run(
    velocity_mps: ArrayLike,
    spin_rad_s: ArrayLike,
    surface: ArrayLike,
    *,
    firmness: ArrayLike = 0.0,
    stimp_ft: ArrayLike = NORMAL_STIMP_FT,
    slope: ArrayLike = (0.0, 0.0),
    reached: ArrayLike = True,
) -> Runs:
    """Bounce and run of balls that have just come down.

    Parameters
    ----------
    velocity_mps : array_like (..., 3)
        Depth, side, up, as in `Flights.velocity_mps`. [m/s]
    spin_rad_s : array_like
        Backspin. [rad/s]
    surface : array_like of int
        `codes.Surface` of the landing. Sand and water hold a ball where it lands; trees, out of bounds
        and off the map run as rough.
    firmness : array_like
        f, within [-2, 2.5].
    stimp_ft : array_like
        Speed of the green. [ft]
    slope : array_like (..., 2)
        Rise of the ground a metre along depth and side.
    reached : array_like of bool
        `Flights.reached`; a ball that did not get up to its target stays where it met the ground.

    Raises
    ------
    PhysicsError
        If firmness, green speed or slope cannot be meant, or a ball is not falling.
    """
    v = np.asarray(velocity_mps, dtype=np.float64)
    tilt = within(
        slope, -0.8, 0.8, "slope", "", [("per cent", lambda s: s / 100.0)], "Write rise over distance"
    )
    f = within(firmness, *FIRMNESS, "firmness", "", mend="-1 is soft, 0 normal, +1 firm, +2 baked")
    stimp = check_stimp(stimp_ft)
    whole = np.broadcast_arrays(
        v[..., 0], v[..., 1], v[..., 2], spin_rad_s, surface, f, stimp, tilt[..., 0], tilt[..., 1], reached
    )
    shape = whole[0].shape
    vx, vy, vz, w, f, stimp, rise_x, rise_y = (
        whole[i].ravel().astype(np.float64) for i in (0, 1, 2, 3, 5, 6, 7, 8)
    )
    code, moves = whole[4].ravel().astype(np.int64), whole[9].ravel().astype(np.bool_)
    moves = moves & ~_STAYS[code]
    if bool(np.any((vz >= 0.0) & moves)):
        raise PhysicsError(
            "landing", "a ball that rises cannot land", "Give the velocity at landing, up positive"
        )
    dent, restitution, rolling, friction = _TURF[code].T
    rolling = np.where(_FIRM_ROLL[code], rolling * np.exp(-0.35 * f), rolling)
    rolling = np.where(code == Surface.GREEN, green_deceleration(stimp), rolling)

    # Along and across the landing direction.
    level = np.hypot(vx, vy)
    cos, sin = np.where(level > 1e-9, vx, 1.0), np.where(level > 1e-9, vy, 0.0)
    cos, sin = cos / np.hypot(cos, sin), sin / np.hypot(cos, sin)
    up_along, up_across = rise_x * cos + rise_y * sin, rise_y * cos - rise_x * sin
    along, across, stops = _bounce_and_roll(
        level,
        -vz,
        w,
        (up_along, up_across),
        dent * np.exp(-0.28 * f),
        restitution * np.exp(0.30 * f),
        rolling,
        friction,
    )
    along, across = np.where(moves, along, 0.0), np.where(moves, across, 0.0)
    sd = np.where(moves, RUN_SD_SHARE * np.abs(along) + RUN_SD_M, 0.0)
    return Runs(
        depth_m=(along * cos - across * sin).reshape(shape),
        side_m=(along * sin + across * cos).reshape(shape),
        along_m=along.reshape(shape),
        across_m=across.reshape(shape),
        sd_m=sd.reshape(shape),
        stops=(stops | ~moves).reshape(shape),
    )


def run_of(
    flights: Flights,
    surface: ArrayLike,
    *,
    firmness: ArrayLike = 0.0,
    stimp_ft: ArrayLike = NORMAL_STIMP_FT,
    slope: ArrayLike = (0.0, 0.0),
) -> Runs:
    """Bounce and run of flights that landed on a surface; parameters and errors as of `run`."""
    return run(
        flights.velocity_mps,
        flights.spin_rad_s,
        surface,
        firmness=firmness,
        stimp_ft=stimp_ft,
        slope=slope,
        reached=flights.reached,
    )


def _bounce_and_roll(
    level: FloatArray,
    fall: FloatArray,
    w: FloatArray,
    up: tuple[FloatArray, FloatArray],
    dent: FloatArray,
    restitution: FloatArray,
    rolling: FloatArray,
    friction: FloatArray,
) -> tuple[FloatArray, FloatArray, NDArray[np.bool_]]:
    """Distance along and across the landing direction, over the ground, and whether the ball stops.

    `up` is the slope along and across. Shape (n,) each.
    """
    up_along, up_across = up
    angle = np.arctan(up_along)
    cos, sin = np.cos(angle), np.sin(angle)
    u, fall = level * cos - fall * sin, level * sin + fall * cos  # in the plane of the turf, and into it
    pull_u, pull_n = -GRAVITY * sin, GRAVITY * cos
    pull_a = -GRAVITY * up_across / np.hypot(1.0, up_across)
    along, across, aside = np.zeros_like(u), np.zeros_like(u), np.zeros_like(u)
    w, hopping = w.copy(), np.ones(len(u), dtype=np.bool_)
    for _ in range(MOST_BOUNCES):
        speed = np.hypot(u, fall)
        phi = np.degrees(np.arctan2(np.abs(u), fall))
        lean = np.radians(15.4 * dent * speed / 18.6 * phi / 44.4) * np.sign(u)
        c, s = np.cos(lean), np.sin(lean)
        ut, into = u * c - fall * s, u * s + fall * c
        e = np.where(into <= 20.0, 0.510 - 0.0375 * into + 0.000903 * into * into, 0.120)
        e = np.minimum(e * restitution, MOST_RESTITUTION)
        slip = ut + RADIUS_M * w
        impulse = friction * into * (1.0 + e)
        grips = impulse >= 2.0 / 7.0 * np.abs(slip)
        rolls = (5.0 * ut - 2.0 * RADIUS_M * w) / 7.0
        slid = ut - np.sign(slip) * impulse
        after = np.where(grips, rolls, slid)
        spin = np.where(grips, -rolls / RADIUS_M, w - np.sign(slip) * 2.5 * impulse / RADIUS_M)
        out = e * into
        u, rise = np.where(hopping, after * c - out * s, u), after * s + out * c
        w = np.where(hopping, spin, w)
        aside = np.where(hopping & grips, aside * 5.0 / 7.0, aside)
        hopping = hopping & (rise >= LEAST_HOP_MPS)
        if not hopping.any():
            break
        t = np.where(hopping, 2.0 * rise / pull_n, 0.0)
        along += u * t + 0.5 * pull_u * t * t
        across += aside * t + 0.5 * pull_a * t * t
        u, aside = u + pull_u * t, aside + pull_a * t  # t = 0 for those that hop no more
        fall = np.where(hopping, rise, fall)
    v = (5.0 * u - 2.0 * RADIUS_M * w) / 7.0
    way = np.where(v < 0.0, -1.0, 1.0)
    brake = rolling * cos - way * 5.0 / 7.0 * pull_u
    steep = brake <= 0.02 * rolling
    brake = np.maximum(brake, 0.02 * rolling)
    t = np.abs(v) / brake
    along += way * 0.5 * np.abs(v) * t
    ratio = rolling / brake
    across += (aside * t + 5.0 / 7.0 * pull_a * t * t / 2.0) / (1.0 + ratio)
    # Where the slope, along or across, is steeper than rolling friction holds, the ball does not stop.
    steep |= np.hypot(up_along, up_across) * 5.0 / 7.0 * GRAVITY >= rolling * np.hypot(
        1.0, np.hypot(up_along, up_across)
    )
    return np.clip(along * cos, -MOST_RUN_M, MOST_RUN_M), np.clip(across, -MOST_RUN_M, MOST_RUN_M), ~steep


# ---------------------------------------------------------------------------------------------- greens


def check_stimp(stimp_ft: ArrayLike) -> FloatArray:
    """Stimpmeter readings as an array [ft].

    Raises
    ------
    PhysicsError
        If one is outside 4 to 16 ft.
    """
    return within(
        stimp_ft,
        4.0,
        16.0,
        "green speed",
        "ft",
        [
            ("metres", lambda m: m / FOOT_M),
            ("inches", lambda i: i / 12.0),
            # Slower than 2.5 m nobody mows: then it is something else.
            ("metres without their point", lambda m: m / 10.0 / FOOT_M if m >= 25.0 else np.nan),
            ("a slipped point", lambda s: s / 10.0),
        ],
        "Tour greens run 10 to 13 ft",
    )


def green_deceleration(stimp_ft: ArrayLike) -> FloatArray:
    """Deceleration of a ball rolling on a level green [ft -> m/s²].

    >>> green_deceleration([8.0, 10.0, 12.0, 14.0]).round(3).tolist()
    [0.687, 0.549, 0.458, 0.392]
    """
    return np.asarray(STIMP_MPS**2 / (2.0 * FOOT_M * np.asarray(stimp_ft, dtype=np.float64)))


def stopping_slope(stimp_ft: ArrayLike) -> FloatArray:
    """Slope above which a ball does not stop on a green: rise over distance.

    >>> (100 * stopping_slope([8.0, 10.0, 12.0, 14.0])).round(1).tolist()
    [9.9, 7.9, 6.5, 5.6]
    """
    sine = 7.0 / 5.0 * green_deceleration(stimp_ft) / GRAVITY
    return np.asarray(sine / np.sqrt(1.0 - sine * sine))


def stimp_along(stimp_ft: ArrayLike, slope: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """What a stimpmeter reads down and up a slope of a green that runs `stimp_ft` on the level [ft].

    Parameters
    ----------
    stimp_ft : array_like
    slope : array_like
        Rise over distance, below `stopping_slope`; at and above it the downhill reading is infinite.
    """
    a = green_deceleration(stimp_ft)
    pull = 5.0 / 7.0 * GRAVITY * np.abs(np.asarray(slope, dtype=np.float64))
    with np.errstate(divide="ignore"):
        down = np.where(a > pull, STIMP_MPS**2 / (2.0 * np.maximum(a - pull, 0.0)), np.inf) / FOOT_M
    return np.asarray(down), np.asarray(STIMP_MPS**2 / (2.0 * (a + pull)) / FOOT_M)


def two_way_stimp(down_ft: ArrayLike, up_ft: ArrayLike) -> FloatArray:
    """Green speed on the level from the readings down and up one slope: 2ab/(a + b) (Brede 1990) [ft].

    >>> round(float(two_way_stimp(14.0, 9.0)), 2)
    10.96
    """
    a, b = np.asarray(down_ft, dtype=np.float64), np.asarray(up_ft, dtype=np.float64)
    return np.asarray(2.0 * a * b / (a + b))


def stimpmeter_release_mps(
    angle_deg: float = 20.0, notch_m: float = 0.762, groove_deg: float = 145.0
) -> float:
    """Speed of a ball once it rolls off a stimpmeter, from first principles [m/s].

    Rolling down the groove on two lines of contact, the ball turns about a radius smaller than its own.
    At the toe the downward part of its velocity is lost, and the spin, too great for a flat green, is
    taken up while it slips to a roll. The angle of the groove is from memory.

    >>> round(stimpmeter_release_mps(), 3)
    1.829
    """
    part = np.sin(np.radians(groove_deg / 2.0))  # radius of turning / radius of the ball
    fall = np.radians(angle_deg)
    groove = np.sqrt(2.0 * GRAVITY * notch_m * np.sin(fall) / (1.0 + 0.4 / part**2))
    return float((5.0 * groove * np.cos(fall) + 2.0 * groove / part) / 7.0)
