"""What the picture of one answer needs, worked out once: no arithmetic is left to the drawing.

A sheet is made with its decision, while the hole is laid out, and kept beside it in the plan folder: whoever
draws reads it there and sets nothing up. It holds what is drawn; what is written on the picture comes from
the plan document.

Play frame of a sheet, in metres, order (side, depth)::

        depth
          ^         the ball lies at (0, 0); the axis leads to the line of play where the best option
          |         finishes, or to the middle of the green when the green is played at
        (ball)--> side, positive right

The map window has a fixed shape, so that every sheet is drawn to equal scale on the same place of a
page. The ground between the ball and the window is kept too: it is drawn squeezed, so that the start
line and the flight can be seen to leave the ball together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely

from strategy.arrays import FloatArray
from strategy.codes import Spot, Surface
from strategy.course.model import Hole
from strategy.course.playline import along_side, front_point, point_at
from strategy.decide.cost_field import CostField
from strategy.decide.option import Option
from strategy.errors import RequestError
from strategy.outcome.play import Choice, dialled, finishes, track, well_struck
from strategy.outcome.points import Stream, scrambles
from strategy.outcome.today import HoleToday
from strategy.plan.codec import Points
from strategy.plan.document import ANSWERS, LocationPlan
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
from strategy.plan.quoted import Finish
from strategy.units import YARD_M

SHEETS_VERSION: Final = 1  # of the layout of `Sheets` as it is kept
MAP_SHAPE: Final = 3.95 / 3.3  # depth over side of the window
_LEAST_LANDING_M: Final = 120.0 * YARD_M
_LEAST_GREEN_M: Final = 58.0 * YARD_M
_MOST_M: Final = 230.0 * YARD_M
_MARGIN_GREEN_M: Final = 7.0 * YARD_M  # round what a map shows
_MARGIN_LANDING_M: Final = 10.0 * YARD_M
_AHEAD_M: Final = 25.0 * YARD_M  # at least so much is shown beyond the balls of a tee shot or lay-up


@dataclass(frozen=True, slots=True, kw_only=True)
class WindAlong:
    """Wind of the hour, as it meets the shot. [m/s]

    Attributes
    ----------
    into_mps : float
        Component against the shot; negative helps.
    from_right_mps : float
        Component from the right; negative from the left.
    clock : int
        Where it comes from as an hour, 12 = straight into the face.
    """

    speed_mps: float
    gust_mps: float
    into_mps: float
    from_right_mps: float
    clock: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sheet:
    """Everything that is drawn of one decision; lengths in metres, angles in degrees.

    Attributes
    ----------
    at_green : bool
        The green is played at: the window shows it, and the right ruler counts paces on.
    heading : float
        Of the axis of the picture, clockwise from true north. [°]
    window : tuple of four floats
        Least and greatest side, least and greatest depth of the map.
    pieces : tuple of Piece
        In the order of painting; out of bounds and what is not mapped come last.
    green_shown : bool
        The map shows some of the green.
    hole_at : tuple of two floats
        The hole.
    marks : tuple of (str, float, float)
        Sight marks: name, side, depth.
    outline : ndarray (n, 2)
        Holds 2 of 3 balls of the first option; `ticks` (m, 2, 2) are the marks across it.
    flight : ndarray (n, 2)
        From the ball to the landing.
    start : ndarray (2, 2)
        Start line, from the ball.
    aims : tuple of (float, float)
        Where a well-struck ball finishes, of each option that is said.
    contours : tuple of Contour
        Cost of the first option's shot finishing there.
    strip_side, strip_cost : ndarray (n,)
        Cost of the same shot on another line, by the side on which it finishes. [m], [strokes]
    even : tuple of two floats
        Sides between which that cost is under 0.02.
    zero : tuple of str and float
        What the strip counts left and right from ("fairway": its middle, "line", "hole"), and its side.
    front : tuple of two floats
        Front reference of the green.
    line : ndarray (n, 2)
        Line of play from the markers in use.
    numbers : tuple of HazardNumber
        Of the sand and water in play.
    wind : WindAlong or None
        None when it is calm, or no wind is given.
    wind_counts : bool
        The wind is in the numbers.
    out_known : bool
        Somebody drew out of bounds, or said there is none.
    """

    at_green: bool
    heading: float
    window: Window
    pieces: tuple[Piece, ...]
    green_shown: bool
    hole_at: tuple[float, float]
    marks: tuple[tuple[str, float, float], ...]
    outline: Points
    ticks: Points
    flight: Points
    start: Points
    aims: tuple[tuple[float, float], ...]
    contours: tuple[Contour, ...]
    strip_side: Points
    strip_cost: Points
    even: tuple[float, float]
    zero: tuple[str, float]
    front: tuple[float, float]
    line: Points
    numbers: tuple[HazardNumber, ...]
    wind: WindAlong | None
    wind_counts: bool
    out_known: bool

    @property
    def aim(self) -> tuple[float, float]:
        """Where a well-struck ball of the first option finishes."""
        return self.aims[0]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sheets:
    """The sheets of one hole location, one for each of its decisions; None where there is nothing to draw."""

    version: int
    sheets: tuple[Sheet | None, ...]


def location_sheets(
    hole: Hole, field: CostField, plan: LocationPlan, *, reference: str = "line of play", seed: int = 1
) -> Sheets:
    """The sheets of all decisions of a hole location; parameters of `hole_sheet`."""
    sheets: list[Sheet | None] = []
    for decision in plan.decisions:
        quoted = decision.options[0].quoted if decision.options else None
        if quoted is None:
            sheets.append(None)
            continue
        options = [planned.option for planned in decision.answers]
        sheets.append(
            hole_sheet(hole, field, decision.spot, options, quoted.finish, reference=reference, seed=seed)
        )
    return Sheets(version=SHEETS_VERSION, sheets=tuple(sheets))


def hole_sheet(
    hole: Hole,
    field: CostField,
    spot: Spot,
    options: Sequence[Option],
    finish: Finish,
    *,
    reference: str = "line of play",
    seed: int = 1,
) -> Sheet:
    """Everything that is drawn of one decision.

    Parameters
    ----------
    hole : Hole
        The hole as assembled, for its outlines.
    field : CostField
        The same hole laid out under today's conditions.
    spot : Spot
        Where the ball is and how it lies.
    options : sequence of Option
        In the order in which they are said; the first three are shown.
    finish : Finish
        Where the first option finishes in words: the strip counts from the same place.
    reference : str
        Front reference of the week's pin sheet.
    seed : int
        Seed of all points.

    Raises
    ------
    RequestError
        If there is no option to show.
    """
    today = field.today
    if not options:
        raise RequestError(f"hole {today.label}: no option to draw")
    best = options[0]
    green = shapely.Polygon(today.green)
    at_green = today.at_green(best.aim)
    axes = PlayFrame((spot.x, spot.y), _heading(today, spot, best, green, at_green=at_green))
    rings, radius = spreads(today, spot, options[:ANSWERS], axes, seed)
    outline = rings[0] * radius + axes.point(best.aim)
    around = [r * IN_PLAY + axes.point(o.aim) for r, o in zip(rings, options[:ANSWERS], strict=True)]
    landing, flight = _flight(today, spot, best, axes)
    window = _window(hole, today, axes, outline, around, at_green=at_green)
    pieces = pieces_of(hole, axes, window)
    side, cost = strip_of(field, spot, best, axes, window, seed)
    ball = np.array([spot.x, spot.y])
    heading = np.radians(best.start_line)
    away = np.array([np.sin(heading), np.cos(heading)]) * best.carry_m
    return Sheet(
        at_green=at_green,
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
        aims=tuple(axes.point(o.aim) for o in options[:ANSWERS]),
        contours=contours_of(field, spot, best, axes, window, seed),
        strip_side=side,
        strip_cost=cost,
        even=even_of(side, cost, axes.point(best.aim)[0]),
        zero=(finish.of, axes.point(best.aim)[0] - finish.side_m),
        front=axes.point(front_point(hole.green, today.line, reference)),
        line=axes.to_sheet(today.line),
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
        factor = turn @ _rest_scatter(today, spot, option.choice)
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
    landing, rest = PlayFrame((spot.x, spot.y), choice.heading).to_sheet(struck)
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
        least, margin = _LEAST_GREEN_M, _MARGIN_GREEN_M
    else:
        # Of the alternatives only the middle counts: with their whole spread the map would be too small.
        parts += [0.45 * (r - r.mean(axis=0)) + r.mean(axis=0) for r in around]
        least, margin = _LEAST_LANDING_M, _MARGIN_LANDING_M
    shown = np.vstack(parts)
    low, high = shown.min(axis=0) - margin, shown.max(axis=0) + margin
    middle = 0.5 * (low + high)
    deep = float(min(max(high[1] - low[1], (high[0] - low[0]) * MAP_SHAPE, least), _MOST_M))
    wide = deep / MAP_SHAPE
    side = float(np.clip(middle[0], -0.4 * wide, 0.4 * wide))  # the ball's own side stays in the window
    if not at_green:
        # More is shown beyond the shot than short of it: trouble there is still to come.
        middle[1] = max(middle[1], float(outline[:, 1].max()) + _AHEAD_M - 0.5 * deep)
    depth = max(float(middle[1]), 0.5 * deep)
    return side - 0.5 * wide, side + 0.5 * wide, depth - 0.5 * deep, depth + 0.5 * deep


def _wind(today: HoleToday, heading: float) -> WindAlong | None:
    if today.wind is None or today.wind.speed_mps <= 0.0:
        return None
    speed = float(today.wind.speed_mps)
    off = np.radians(today.wind.blows_from - heading)
    return WindAlong(
        speed_mps=speed,
        gust_mps=float(today.wind.gust_mps),
        into_mps=float(speed * np.cos(off)),
        from_right_mps=float(speed * np.sin(off)),
        clock=round(float(np.degrees(off)) / 30.0) % 12 or 12,
    )
