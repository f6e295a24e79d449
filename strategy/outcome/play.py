"""Playing one stroke out, in plain numpy: the specification that every kernel is tested against.

A stroke is a *choice*: a shot, a heading, a carry. For every sample point it gives a landing, a run, a
place of rest, and from there every legal way on. A *way* is one alternative of one ball (play it,
take a drop, go back); the ball is worth its cheapest way, and a way is worth the chance-weighted mean
of its rows.

Track of a ball: from the spot to the landing along a parabola of sideways offset bend (u^2 - u), u
the fraction of carry (a flight that bends after Magnus's force with constant curvature), then straight
on for the run, in the direction spot -> landing turned by the table's `run_turn`. A running ball stops in
the first bunker or penalty area it meets. Where heights are known a ball lands earlier on rising ground
and later on falling ground by the table's `rise`, runs less uphill and more downhill by its `fall`, runs off
to the low side of ground that falls across its way, and rolls on from ground too steep to hold it
(`rolled_off`). A tree stops a ball in the air (`trees`); where a stopped ball drops counts as its landing.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strategy.arrays import FloatArray, IntArray
from strategy.codes import Lie, Spot, Surface
from strategy.outcome.points import Points
from strategy.outcome.relief import legal_drops
from strategy.outcome.stance import Stance, along
from strategy.outcome.table import Dialled
from strategy.outcome.today import HoleToday
from strategy.outcome.trees import DROP_SD_M, stopped_at

# Tracks are walked in steps of one cell, because the surface map has no finer detail.
TRACK_STEP_CELLS: Final = 1.0
MOST_SLOPE: Final = 0.08  # ground that is steeper changes a run as much as this slope does
LEAST_RUN_M: Final = 0.5  # the slope along a run is taken over this length at least
# Of `fall`, what a slope across the way takes a run aside: by the ball model (`ball.ground`) 0.26 to 0.36 on
# greens and 0.17 to 0.30 on fairway, over a tour player's bag. One figure for all is an engineering choice; a
# slope of 5 % takes a run of 10 yd on a green 2 yd aside.
ASIDE: Final = 0.27
ACROSS_M: Final = 2.0  # to each side of the middle of a run, where the slope across it is read
STOPPERS: Final = (Surface.BUNKER, Surface.YELLOW, Surface.RED)


class Held(Enum):
    """What of a choice stays the same in another wind."""

    LANDING = "landing"
    SWING = "swing"


@dataclass(frozen=True, slots=True)
class Choice:
    """A stroke as chosen.

    Attributes
    ----------
    shot : int
        Row of the shot table.
    heading : float
        From the spot to the target, clockwise from north. [°]
    carry : float
        Mean landing depth asked for; between the shot's shortest dial and its full carry. [m]
    held : Held
        What it means in another wind: the same landing, or the same swing along the same start line.
    """

    shot: int
    heading: float
    carry: float
    held: Held = Held.LANDING


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Finishes:
    """Where 2 K balls land and rest: first the core, then the mishit stratum.

    Attributes
    ----------
    landing, rest : ndarray (2 K, 2)
        Course frame; the landing of a ball stopped by a tree is where it was stopped. [m]
    surface : ndarray (2 K,)
        Surface code at rest.
    weight : ndarray (2 K,)
        Sums to 1.
    flown : ndarray (2 K,)
        Fraction of its flight that a ball made: 1, less where a tree stopped it.
    """

    landing: FloatArray
    rest: FloatArray
    surface: NDArray[np.uint8]
    weight: FloatArray
    flown: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outcomes:
    """Every legal way on of every ball, one row for each lie it may find.

    Attributes
    ----------
    ball : ndarray (N,)
        Which ball; its rows are its alternatives.
    way : ndarray (N,)
        Alternative of that ball, 0, 1, ...
    xy : ndarray (N, 2)
        Where the next stroke is played from. [m]
    lie : ndarray (N,)
        Lie code there.
    penalty : ndarray (N,)
        Penalty strokes of this way.
    returns : ndarray (N,)
        Plays again from where this stroke was played.
    weight : ndarray (N,)
        Weight of the ball times the chance of this lie within the way.
    """

    ball: IntArray
    way: IntArray
    xy: FloatArray
    lie: IntArray
    penalty: FloatArray
    returns: NDArray[np.bool_]
    weight: FloatArray


def dialled(today: HoleToday, spot: Spot, choice: Choice) -> Dialled:
    """The shot of a choice at its carry."""
    return today.shots_from(spot).dialled(choice.shot, int(spot.lie), choice.heading, choice.carry)


def finishes(today: HoleToday, spot: Spot, choice: Choice, points: Points) -> Finishes:
    """Landing and rest of every ball of a stroke."""
    stroke = dialled(today, spot, choice)
    row, factor, target = stroke.row, stroke.factor(), stroke.target()
    core = target + points.core @ factor.T
    mishit = target + stroke.mishit_shift + row.mishit_scale * (points.mishit @ factor.T)
    share = float(row.mishit_share)
    weight = np.repeat([(1 - share) / points.size, share / points.size], points.size)

    a = np.radians(choice.heading)
    forward, right = np.array([np.sin(a), np.cos(a)]), np.array([np.cos(a), -np.sin(a)])
    shot_axes = np.vstack((core, mishit))
    origin = np.array([spot.x, spot.y])
    landing = origin + shot_axes[:, :1] * right + shot_axes[:, 1:] * forward
    landing = _on_the_ground(today, spot, landing, row.rise)

    stands = np.concatenate((points.core_pass, points.mishit_pass))
    bend = float(stroke.bend)
    flown = stopped_at(today, origin, landing, bend, row.flight_height, stands)
    stopped = flown < 1.0
    landing[stopped] = _on_track(spot, landing[stopped], bend, flown[stopped])

    first = today.surface_at(landing)
    deviate = np.concatenate((points.core_run, points.mishit_run))
    run = (row.run[first] + row.run_sd[first] * deviate) * stroke.run_share
    run[stopped] = DROP_SD_M * deviate[stopped]
    along = _turned(_unit(landing - origin), float(row.run_turn))
    way = _on_the_slope(today, landing, along, run, np.where(stopped, 0.0, row.fall[first]))
    rest = rolled_off(today, _run_out(today, landing, way))
    return Finishes(landing=landing, rest=rest, surface=today.surface_at(rest), weight=weight, flown=flown)


def well_struck(today: HoleToday, spot: Spot, choice: Choice) -> FloatArray:
    """Landing and finish (2, 2) of a ball struck as meant: the core's mean, past any tree and trap. [m]"""
    stroke = dialled(today, spot, choice)
    row = stroke.row
    origin = np.array([spot.x, spot.y])
    level = origin + mean_landing(today, spot, choice)
    landing = _on_the_ground(today, spot, level[None], row.rise)
    first = today.surface_at(landing)
    run = row.run[first] * stroke.run_share
    along = _turned(_unit(landing - origin), float(row.run_turn))
    return np.vstack((landing, landing + _on_the_slope(today, landing, along, run, row.fall[first])))


def on_the_ground(today: HoleToday, spot: Spot, choice: Choice) -> tuple[float, float]:
    """How much further than on level ground a well-struck ball lands, and how far above the ball. [m]

    Both are 0 where no heights are known.
    """
    if today.height is None:
        return 0.0, 0.0
    landing = well_struck(today, spot, choice)[0]
    far = np.hypot(*(landing - np.array([spot.x, spot.y]))) - np.hypot(*mean_landing(today, spot, choice))
    low, high = today.height_at(np.stack(((spot.x, spot.y), landing)))
    return float(far), float(high - low)


def stance_of(today: HoleToday, spot: Spot, choice: Choice) -> Stance | None:
    """What the slope under the player does to a stroke; None from a level stance."""
    sloped, level, lie = today.shots_from(spot), today.shots, int(spot.lie)
    if sloped is level:
        return None
    stroke = choice.shot, lie, choice.heading, choice.carry
    ahead, right = along(today.slope_under(spot), np.array(choice.heading))
    return Stance(
        ahead=float(ahead),
        right=float(right),
        above=(float(right) > 0.0) == today.right_handed,
        side_m=float(sloped.dialled(*stroke).target()[0] - level.dialled(*stroke).target()[0]),
        number_m=sloped.playing(*stroke) - level.playing(*stroke),
    )


def mean_landing(today: HoleToday, spot: Spot, choice: Choice) -> FloatArray:
    """The core's mean landing on ground level with the spot, seen from there: (east, north). [m]"""
    side, depth = dialled(today, spot, choice).target()
    a = np.radians(choice.heading)
    return np.array([side * np.cos(a) + depth * np.sin(a), depth * np.cos(a) - side * np.sin(a)])


def play(today: HoleToday, spot: Spot, choice: Choice, points: Points) -> Outcomes:
    """Every legal way on after a stroke: the specification.

    Parameters
    ----------
    today : HoleToday
        The hole under today's conditions.
    spot : Spot
        Where the ball is and how it lies.
    choice : Choice
        The stroke.
    points : Points
        K points of each stratum.

    Returns
    -------
    outcomes : Outcomes
        Rows of 2 K balls. Way 0 is the ball played as it lies where that is possible; drops follow;
        stroke and distance (Rule 18.1) closes every ball's list.
    """
    end = finishes(today, spot, choice, points)
    rows: list[tuple[int, int, float, float, int, float, bool, float]] = []
    for ball, (xy, code, weight) in enumerate(zip(end.rest, end.surface, end.weight, strict=True)):
        surface = Surface(int(code))
        way = 0
        if surface < Surface.YELLOW:
            rows += _lies(today, ball, way, xy, surface, 0.0, weight)
            way += 1
        elif surface.penalty_area:
            bend = dialled(today, spot, choice).bend * end.flown[ball] ** 2  # what is left of a parabola
            crossing = last_crossing(today, spot, end.landing[ball], xy, bend)
            drops = [] if crossing is None else legal_drops(today, crossing, surface)
            for drop in drops:
                ground = Surface(int(today.surface_at((drop.x, drop.y))[0]))
                rows += _lies(today, ball, way, np.array([drop.x, drop.y]), ground, 1.0, weight)
                way += 1
        rows.append((ball, way, spot.x, spot.y, int(spot.lie), 1.0, True, weight))
    table = np.array(rows, dtype=np.float64)
    return Outcomes(
        ball=table[:, 0].astype(np.int64),
        way=table[:, 1].astype(np.int64),
        xy=table[:, 2:4],
        lie=table[:, 4].astype(np.int64),
        penalty=table[:, 5],
        returns=table[:, 6].astype(bool),
        weight=table[:, 7],
    )


def last_crossing(
    today: HoleToday, spot: Spot, landing: FloatArray, rest: FloatArray, bend: FloatArray
) -> tuple[float, float] | None:
    """X of Rule 17.1d: where a ball at rest in a penalty area last crossed its edge.

    The track is walked backwards from the rest until it leaves the area.

    Parameters
    ----------
    landing, rest : ndarray (2,)
        Course frame. [m]
    bend : ndarray ()
        Sideways bend of this flight, positive right. [m]

    Returns
    -------
    crossing : tuple of two floats or None
        Centre of the last cell outside; None if the whole track lies inside the area. [m]
    """
    area = _area_at(today, rest[None])[0]
    for piece in (_straight(today, rest, landing), _flight_back(today, spot, landing, float(bend))):
        outside = np.flatnonzero(_area_at(today, piece) != area)
        if outside.size:
            return _cell_centre(today, piece[outside[0]])
    return None


def track(spot: Spot, landing: ArrayLike, bend: float, u: ArrayLike) -> FloatArray:
    """Points of a flight in plan at fractions u of the carry (K, 2). [m]"""
    start = np.array([spot.x, spot.y])
    chord = np.asarray(landing, dtype=np.float64) - start
    along = np.asarray(u, dtype=np.float64)[:, None]
    e = _unit(chord[None])[0]
    right = np.array([e[1], -e[0]])
    return np.asarray(start + along * chord + bend * (along**2 - along) * right)


def _on_track(spot: Spot, landing: FloatArray, bend: float, u: FloatArray) -> FloatArray:
    """Where each ball (K,) is at its own fraction of its own flight (K, 2). [m]"""
    start = np.array([spot.x, spot.y])
    e = _unit(landing - start)
    right = np.column_stack((e[:, 1], -e[:, 0]))
    return np.asarray(start + u[:, None] * (landing - start) + (bend * (u * u - u))[:, None] * right)


def rolled_off(today: HoleToday, rest: FloatArray) -> FloatArray:
    """Balls (K, 2) rolled on from ground too steep to hold them, to the centres of cells that do. [m]"""
    if today.rolls_to is None:
        return rest
    row, col, inside = today.cells(rest)
    nx = today.surface.shape[1]
    cell = np.where(inside, row * nx + col, 0)
    to = today.rolls_to[cell]
    rolls = inside & (to != cell)
    centre = np.column_stack((to % nx + 0.5, to // nx + 0.5)) * today.cell_m + np.asarray(today.corner)
    return np.where(rolls[:, None], centre, rest)


def _on_the_slope(
    today: HoleToday, landing: FloatArray, along: FloatArray, run: FloatArray, fall: FloatArray
) -> FloatArray:
    """Ways (K, 2) of level runs (K,) on the ground's own slope.

    Along the run the slope is that between the landing and the end of the level run; across it, that at the
    middle of the run.
    """
    if today.height is None:
        return along * run[:, None]
    rise = today.height_at(landing + along * run[:, None]) - today.height_at(landing)
    slope = rise / np.maximum(np.abs(run), LEAST_RUN_M)
    # A ball that spins back runs the other way along its line, and uphill slows it as well.
    run = run * np.exp(-fall * np.clip(slope, -MOST_SLOPE, MOST_SLOPE))
    right = np.column_stack((along[:, 1], -along[:, 0]))
    middle = landing + along * (0.5 * run)[:, None]
    rise = today.height_at(middle + ACROSS_M * right) - today.height_at(middle - ACROSS_M * right)
    across = np.clip(rise / (2.0 * ACROSS_M), -MOST_SLOPE, MOST_SLOPE)
    aside = -ASIDE * fall * across * np.abs(run)
    return np.asarray(along * run[:, None] + right * aside[:, None])


def _lies(
    today: HoleToday, ball: int, way: int, xy: FloatArray, surface: Surface, penalty: float, weight: float
) -> list[tuple[int, int, float, float, int, float, bool, float]]:
    chances = today.lie_chance[surface]
    return [
        (ball, way, float(xy[0]), float(xy[1]), int(lie), penalty, False, weight * chances[lie])
        for lie in Lie
        if chances[lie] > 0.0
    ]


def _unit(v: FloatArray) -> FloatArray:
    length = np.hypot(v[:, 0], v[:, 1])[:, None]
    return np.divide(v, length, out=np.zeros_like(v), where=length > 0.0)


def _on_the_ground(today: HoleToday, spot: Spot, landing: FloatArray, rise: FloatArray) -> FloatArray:
    """Landing of balls that would land at `landing` on ground level with the spot."""
    if today.height is None:
        return landing
    level = today.height_at((spot.x, spot.y))[0]
    line = _unit(landing - np.array([spot.x, spot.y]))
    ground = landing
    for _ in range(3):
        up = today.height_at(ground) - level
        ground = landing + (rise[0] * up + rise[1] * up**2)[:, None] * line
    return ground


def _turned(v: FloatArray, degrees: float) -> FloatArray:
    """Vectors turned clockwise. [°]"""
    a = np.radians(degrees)
    return np.column_stack(
        (np.cos(a) * v[:, 0] + np.sin(a) * v[:, 1], np.cos(a) * v[:, 1] - np.sin(a) * v[:, 0])
    )


def _run_out(today: HoleToday, landing: FloatArray, run: FloatArray) -> FloatArray:
    """Rest of running balls: at the end of the run, or in the first stopper on the way."""
    rest = landing + run
    length = np.hypot(run[:, 0], run[:, 1])
    step = TRACK_STEP_CELLS * today.cell_m
    stops = np.zeros(len(Surface), dtype=bool)
    stops[list(STOPPERS)] = True
    going = np.flatnonzero(length > 0.0)
    i = 0
    while going.size:
        i += 1
        fraction = np.minimum(i * step, length[going]) / length[going]
        here = landing[going] + fraction[:, None] * run[going]
        stopped = stops[today.surface_at(here)]
        rest[going[stopped]] = here[stopped]
        going = going[~stopped & (i * step < length[going])]
    return rest


def _straight(today: HoleToday, start: FloatArray, end: FloatArray) -> FloatArray:
    length = float(np.hypot(*(end - start)))
    step = TRACK_STEP_CELLS * today.cell_m
    s = np.arange(0.0, length, step) / length if length > 0.0 else np.zeros(0)
    return np.asarray(start + s[:, None] * (end - start))


def _flight_back(today: HoleToday, spot: Spot, landing: FloatArray, bend: float) -> FloatArray:
    length = float(np.hypot(landing[0] - spot.x, landing[1] - spot.y))
    step = TRACK_STEP_CELLS * today.cell_m
    u = 1.0 - np.arange(0.0, length, step) / length if length > 0.0 else np.zeros(0)
    return track(spot, landing, bend, u)


def _area_at(today: HoleToday, xy: FloatArray) -> NDArray[np.int64]:
    row, col, inside = today.cells(xy)
    area = np.full(len(xy), -1, dtype=np.int64)
    area[inside] = today.area[row[inside], col[inside]]
    return area


def _cell_centre(today: HoleToday, xy: FloatArray) -> tuple[float, float]:
    row, col, _ = today.cells(xy[None])
    return (
        today.corner[0] + (int(col[0]) + 0.5) * today.cell_m,
        today.corner[1] + (int(row[0]) + 0.5) * today.cell_m,
    )
