"""What the picture of one answer needs, worked out once: no arithmetic is left to the drawing.

Play frame of a sheet, in yards (or metres, `Sheet.unit_m`), order (side, depth)::

        depth
          ^         the ball lies at (0, 0); the axis leads to the line of play where the best option
          |         finishes, or to the middle of the green when the green is played at
        (ball)--> side, positive right

The map window has a fixed shape, so that every sheet is drawn to equal scale on the same place of a
page. CostField between the ball and the window is kept too: it is drawn squeezed, so that the start
line and the flight can be seen to leave the ball together.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely

from strategy.arrays import FloatArray
from strategy.codes import Lie, Spot, Surface
from strategy.course.model import Hole
from strategy.course.pins import pin_text
from strategy.course.playline import along_side, front_point, line_length, point_at
from strategy.decide.cost_field import CostField
from strategy.decide.option import Option
from strategy.errors import RequestError
from strategy.outcome.play import Choice, dialled, finishes, track, well_struck
from strategy.outcome.points import Stream, scrambles
from strategy.outcome.today import HoleToday
from strategy.plan.document import ANSWERS
from strategy.plan.drawing.costs import Contour, contours_of, even_of, strip_of
from strategy.plan.drawing.outlines import (
    IN_PLAY,
    HazardNumber,
    Piece,
    PlayFrame,
    Window,
    numbers_of,
    pieces_of,
    shows,
)
from strategy.units import MPH_MPS, YARD_M

MAP_SHAPE: Final = 3.95 / 3.3  # depth over side of the window
_LEAST_LANDING_M: Final = 120.0 * YARD_M
_LEAST_GREEN_M: Final = 58.0 * YARD_M
_MOST_M: Final = 230.0 * YARD_M


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnAnswer:
    """One answer, to be written beside the left ruler at the depth where it finishes."""

    club: str
    shot: str
    carry: float
    depth: float
    side: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WindFacts:
    """Wind of the hour. [mph]

    Attributes
    ----------
    into : float
        Component against the shot; negative helps.
    from_right : float
        Component from the right; negative from the left.
    clock : int
        Where it comes from as an hour, 12 = straight into the face.
    """

    speed: float
    gust: float
    into: float
    from_right: float
    clock: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sheet:
    """Everything the picture of one answer shows. Picklable and small; lengths in `unit_m`.

    Attributes
    ----------
    label, par, name, length : str, int, str, float
        The hole, measured along the line of play from the markers in use.
    tee : str
        Those markers, as said: "back tee, markers 22 up"; "" where nobody said.
    course, player, credit, round : str, str, str, int
        For the foot of the page.
    unit_m : float
        Length of one unit of everything here: a yard, or 1. [m]
    from_tee, lie, at_green : bool, str, bool
        Played from the tee; how the ball lies; played at the green (then the window
        shows it, and the right ruler counts paces on).
    to_front, to_hole : float
        From the ball, straight.
    location : str
        Hole location as a sheet writes it.
    heading : float
        Of the axis of the picture, clockwise from true north. [°]
    window : tuple of four floats
        Least and greatest side, least and greatest depth of the map.
    pieces : tuple of Piece
        In the order of painting; out of bounds and what is not mapped come last.
    outline : ndarray (n, 2)
        Holds 2 of 3 balls of the best option; `ticks` (m, 2, 2) are the marks across it.
    flight : ndarray (n, 2)
        From the ball to the landing; `aim` is where a well-struck ball finishes.
    start : ndarray (2, 2)
        Start line, from the ball.
    contours : tuple of Contour
        Cost of the best option's shot finishing there.
    strip_side, strip_cost : ndarray (n,)
        Cost of the same shot on another line, by the side on which it finishes.
    even : tuple of two floats
        Sides between which that cost is under 0.02.
    zero : tuple of str and float
        What the strip counts left and right from ("fairway": its middle, "line", "hole"), and its side.
    left_ticks, right_ticks : tuple of (float, int)
        Depth and number of each tick of the rulers.
    decisions : tuple of DrawnAnswer
        Best first, at most three.
    """

    label: str
    par: int
    name: str
    length: float
    tee: str
    course: str
    player: str
    credit: str
    round: int
    unit_m: float
    from_tee: bool
    lie: str
    at_green: bool
    to_front: float
    to_hole: float
    location: str
    heading: float
    window: Window
    pieces: tuple[Piece, ...]
    green_shown: bool
    hole_at: tuple[float, float]
    marks: tuple[tuple[str, float, float], ...]
    outline: FloatArray
    ticks: FloatArray
    flight: FloatArray
    start: FloatArray
    aim: tuple[float, float]
    contours: tuple[Contour, ...]
    strip_side: FloatArray
    strip_cost: FloatArray
    even: tuple[float, float]
    zero: tuple[str, float]
    left_ticks: tuple[tuple[float, int], ...]
    right_ticks: tuple[tuple[float, int], ...]
    decisions: tuple[DrawnAnswer, ...]
    numbers: tuple[HazardNumber, ...]
    wind: WindFacts | None
    wind_counts: bool
    out_known: bool


def hole_sheet(
    hole: Hole,
    today: HoleToday,
    field: CostField,
    spot: Spot,
    options: Sequence[Option],
    *,
    tee: str = "",
    course: str = "",
    player: str = "",
    credit: str = "",
    reference: str = "line of play",
    location: str = "",
    finish: tuple[str, float] | None = None,
    unit_m: float = YARD_M,
    seed: int = 1,
) -> Sheet:
    """Everything the picture of one answer shows.

    Parameters
    ----------
    hole : Hole
        The hole as assembled, for its outlines.
    today : HoleToday
        The same hole under today's conditions.
    field : CostField
        ``cost_field(today, to_go)`` of it.
    spot : Spot
        Where the ball is and how it lies.
    options : sequence of Option
        Best first, as `strategy.options` gives them; the first three are shown.
    tee : str
        The tee and markers in use, as said.
    course, player, credit : str
        For the foot of the page.
    reference : str
        Front reference of the week's pin sheet.
    location : str
        Hole location in the words of that sheet; worked out where it gives none.
    finish : tuple of str and float, optional
        What the sentence says the finish from ("fairway", "line" or "hole"), and how far right of it the
        ball finishes, so that the strip counts from the same place; without it from the hole when the
        green is played at, else from the line of play. [m]
    unit_m : float
        Length of a unit of the sheet: a yard, or 1 for metres. [m]
    seed : int
        Seed of all points.

    Returns
    -------
    Sheet

    Raises
    ------
    RequestError
        If there is no option to show.
    """
    if not options:
        raise RequestError(f"hole {today.label}: no option to draw")
    best = options[0]
    green = shapely.Polygon(today.green)
    at_green = today.at_green(best.aim)
    axes = PlayFrame((spot.x, spot.y), _heading(today, spot, best, green, at_green=at_green), unit_m)
    rings, radius = spreads(today, spot, options[:ANSWERS], axes, seed)
    outline = rings[0] * radius + axes.point(best.aim)
    around = [r * IN_PLAY + axes.point(o.aim) for r, o in zip(rings, options[:ANSWERS], strict=True)]
    landing, flight = _flight(today, spot, best, axes)
    window = _window(hole, today, axes, outline, around, at_green=at_green)
    front = front_point(hole.green, today.line, reference)
    pieces = pieces_of(hole, axes, window)
    side, cost = strip_of(field, spot, best, axes, window, seed)
    ball = np.array([spot.x, spot.y])
    heading = np.radians(best.start_line)
    away = np.array([np.sin(heading), np.cos(heading)]) * best.carry_m
    return Sheet(
        label=today.label,
        par=today.par,
        name=hole.name,
        length=axes.units(line_length(today.line)),
        tee=tee,
        course=course,
        player=player,
        credit=credit,
        round=today.round,
        unit_m=unit_m,
        from_tee=spot.lie == Lie.TEE,
        lie=spot.lie.said,
        at_green=at_green,
        to_front=float(np.hypot(*(np.asarray(front) - ball))) / unit_m,
        to_hole=float(np.hypot(*(np.asarray(today.hole) - ball))) / unit_m,
        location=location or _location(hole, today, reference),
        heading=axes.heading,
        window=window,
        pieces=pieces,
        green_shown=any(p.surface == Surface.GREEN and shows(p, window) for p in pieces),
        hole_at=axes.point(today.hole),
        marks=tuple((name, *axes.point((x, y))) for name, x, y in hole.sight_marks),
        outline=outline,
        ticks=_ticks(outline, np.asarray(axes.point(best.aim))),
        flight=flight,
        start=np.vstack((axes.to_sheet(ball[None]), axes.to_sheet((ball + away)[None]))),
        aim=axes.point(best.aim),
        contours=contours_of(field, spot, best, axes, window, seed),
        strip_side=side,
        strip_cost=cost,
        even=even_of(side, cost, axes.point(best.aim)[0]),
        zero=_zero(today, best, axes, finish, at_green=at_green),
        left_ticks=_round_ticks(lambda depth: depth, window, 10 if window[3] - window[2] < 90.0 else 20),
        right_ticks=_right_ticks(today, axes, window, front, at_green=at_green),
        decisions=tuple(_decision(o, axes) for o in options[:ANSWERS]),
        numbers=numbers_of(hole, axes, window, around, landing, np.asarray(axes.point(best.aim))),
        wind=_wind(today, axes.heading),
        wind_counts=today.wind_counts,
        out_known=hole.out_of_bounds is not None,
    )


def _heading(today: HoleToday, spot: Spot, best: Option, green: shapely.Polygon, *, at_green: bool) -> float:
    """Direction of the axis: to the green, or to the line of play where the best option finishes. [°]"""
    ball = np.array([spot.x, spot.y])
    if at_green:
        target = shapely.get_coordinates(shapely.centroid(green))[0]
    else:
        depth = along_side(today.line, np.asarray(best.aim))[0, 1]
        target = point_at(today.line, 0.0, depth)[0]
    if np.hypot(*(target - ball)) < 5.0:
        target = np.asarray(best.aim, dtype=np.float64)
    out = target - ball
    return float(np.degrees(np.arctan2(out[0], out[1])) % 360.0)


def spreads(
    today: HoleToday, spot: Spot, options: Sequence[Option], axes: PlayFrame, seed: int
) -> tuple[list[FloatArray], float]:
    """Ellipses of one s.d. about each aim (n, 2), and the factor at which the first holds 2 of 3 balls.

    The shape is that of the well-struck balls with their run; the factor counts every ball where it
    rests, mishits too.
    """
    circle = np.linspace(0.0, 2.0 * np.pi, 97)[:-1]
    rings, radius = [], 0.0
    for number, option in enumerate(options):
        a = np.radians(option.heading - axes.heading)
        turn = np.array([[np.cos(a), np.sin(a)], [-np.sin(a), np.cos(a)]])  # shot axes to the sheet's
        factor = turn @ _rest_scatter(today, spot, option.choice) / axes.unit_m
        rings.append(np.column_stack((np.sin(circle), np.cos(circle))) @ factor.T)
        if number == 0:
            ends = [finishes(today, spot, option.choice, p) for p in scrambles(512, Stream.DRAWN.of(seed), 4)]
            off = axes.to_sheet(np.vstack([e.rest for e in ends])) - axes.point(option.aim)
            away = np.hypot(*np.linalg.solve(factor, off.T))
            weight = np.concatenate([e.weight for e in ends])
            order = np.argsort(away)
            share = np.cumsum(weight[order]) / weight.sum()
            radius = float(away[order][np.searchsorted(share, 2.0 / 3.0)])
    return rings, radius


def _rest_scatter(today: HoleToday, spot: Spot, choice: Choice) -> FloatArray:
    """Core scatter where well-struck balls rest (2, 2), a factor of its covariance, as (side, depth). [m]

    Balls run on along their own lines from the ball: the run spreads them aside as the flight does.
    """
    stroke = dialled(today, spot, choice)
    struck = well_struck(today, spot, choice)
    surface = int(today.surface_at(struck[0])[0])
    landing, rest = PlayFrame((spot.x, spot.y), choice.heading, 1.0).to_sheet(struck)
    far = float(np.hypot(*landing))
    line = landing / far
    aside = np.array([line[1], -line[0]])
    run = rest - landing
    core = (np.eye(2) + float(run @ line) / far * np.outer(aside, aside)) @ stroke.factor()
    length = float(np.hypot(*run))
    along = (run / length if length > 0.0 else line) * stroke.row.run_sd[surface] * stroke.run_share
    return np.asarray(np.linalg.cholesky(core @ core.T + np.outer(along, along)))


def _ticks(outline: FloatArray, aim: FloatArray) -> FloatArray:
    """Marks across the outline, every sixth of its points, 7 % of its size long (m, 2, 2)."""
    at = outline[::6] - aim
    return np.stack((aim + 0.95 * at, aim + 1.05 * at), axis=1)


def _flight(today: HoleToday, spot: Spot, option: Option, axes: PlayFrame) -> tuple[FloatArray, FloatArray]:
    """Mean landing (2,) and the flight to it (n, 2)."""
    landing = well_struck(today, spot, option.choice)[0]
    bend = float(dialled(today, spot, option.choice).bend)
    path = track(spot, landing, bend, np.linspace(0.0, 1.0, 41))
    return axes.to_sheet(landing[None])[0], axes.to_sheet(path)


def _window(
    hole: Hole,
    today: HoleToday,
    axes: PlayFrame,
    outline: FloatArray,
    around: Sequence[FloatArray],
    *,
    at_green: bool,
) -> tuple[float, float, float, float]:
    """Least window of the fixed shape that shows the answer and what it is played round."""
    parts = [outline]
    if at_green:
        parts.append(axes.to_sheet(shapely.get_coordinates(hole.green.exterior)))
        parts.append(axes.to_sheet(np.array([today.hole])))
        least, margin = axes.units(_LEAST_GREEN_M), 7.0
    else:
        # The alternatives by their middle and a little round it; their whole reach would shrink the map.
        parts += [0.45 * (r - r.mean(axis=0)) + r.mean(axis=0) for r in around]
        least, margin = axes.units(_LEAST_LANDING_M), 10.0
    shown = np.vstack(parts)
    low, high = shown.min(axis=0) - margin, shown.max(axis=0) + margin
    middle = 0.5 * (low + high)
    deep = float(min(max(high[1] - low[1], (high[0] - low[0]) * MAP_SHAPE, least), axes.units(_MOST_M)))
    wide = deep / MAP_SHAPE
    side = float(np.clip(middle[0], -0.4 * wide, 0.4 * wide))  # the ball's own side stays in the window
    if not at_green:
        # Look further on than back: what lies beyond the shot is trouble, what lies short was carried.
        middle[1] = max(middle[1], float(outline[:, 1].max()) + 25.0 - 0.5 * deep)
    depth = max(float(middle[1]), 0.5 * deep)
    return side - 0.5 * wide, side + 0.5 * wide, depth - 0.5 * deep, depth + 0.5 * deep


def _zero(
    today: HoleToday, best: Option, axes: PlayFrame, finish: tuple[str, float] | None, *, at_green: bool
) -> tuple[str, float]:
    own, depth = axes.point(best.aim)
    if finish is not None:
        return finish[0], own - axes.units(finish[1])
    if not at_green:
        return "line", 0.0
    side, to_hole = axes.point(today.hole)
    return "hole", side * depth / max(to_hole, 1.0)  # on the line from the ball over the hole


def _round_ticks(
    number: Callable[[FloatArray], FloatArray], window: Window, every: int
) -> tuple[tuple[float, int], ...]:
    """Depths at which a number that changes with depth is a whole multiple of `every`."""
    depth = np.linspace(window[2], window[3], 801)
    value = np.asarray(number(depth), dtype=np.float64)
    ticks = []
    for v in range(int(np.floor(value.min() / every)) * every, int(value.max()) + 1, every):
        for i in np.flatnonzero((value[:-1] <= v) != (value[1:] <= v)):
            t = (v - value[i]) / (value[i + 1] - value[i])
            ticks.append((float(depth[i] + t * (depth[i + 1] - depth[i])), v))
    return tuple(sorted(ticks))


def _right_ticks(
    today: HoleToday,
    axes: PlayFrame,
    window: Window,
    front: tuple[float, float],
    *,
    at_green: bool,
) -> tuple[tuple[float, int], ...]:
    """Paces on the green, or yards to its front from where the line of play crosses each depth."""
    if at_green:
        start = axes.point(front)[1]
        return _round_ticks(lambda depth: depth - start, window, 10)
    length = line_length(today.line)
    path = axes.to_sheet(point_at(today.line, 0.0, np.linspace(0.0, length, 400)))
    ahead = np.maximum.accumulate(path[:, 1])
    forward = np.concatenate(([True], np.diff(ahead) > 1e-6))  # where the line turns back it is left
    goal = np.asarray(axes.point(front))

    def to_front(depth: FloatArray) -> FloatArray:
        side = np.interp(depth, path[forward, 1], path[forward, 0])
        return np.asarray(np.hypot(side - goal[0], depth - goal[1]), dtype=np.float64)

    return _round_ticks(to_front, window, 20)


def _decision(option: Option, axes: PlayFrame) -> DrawnAnswer:
    side, depth = axes.point(option.aim)
    return DrawnAnswer(
        club=option.club,
        shot="" if option.label == option.club else option.shot,
        carry=axes.units(option.carry_m),
        depth=depth,
        side=side,
    )


def _wind(today: HoleToday, heading: float) -> WindFacts | None:
    if today.wind is None or today.wind.speed_mps <= 0.0:
        return None
    speed = today.wind.speed_mps / MPH_MPS
    off = np.radians(today.wind.blows_from - heading)
    return WindFacts(
        speed=speed,
        gust=today.wind.gust_mps / MPH_MPS,
        into=float(speed * np.cos(off)),
        from_right=float(speed * np.sin(off)),
        clock=round(float(np.degrees(off)) / 30.0) % 12 or 12,
    )


def _location(hole: Hole, today: HoleToday, reference: str) -> str:
    try:
        return pin_text(hole, today.line, today.hole, reference)
    except RequestError:
        return ""  # off the green as drawn: the sentence says so, a number would be invented
