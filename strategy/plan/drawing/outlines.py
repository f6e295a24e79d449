"""Ground of a sheet: outlines clipped to its map in the play frame, and numbers of the trouble in play."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely

from strategy.arrays import FloatArray
from strategy.codes import Surface
from strategy.course.maps.surface import PAINT_ORDER
from strategy.course.model import Hole
from strategy.course.named_features import name_features
from strategy.course.playline import line_from
from strategy.plan.advice.hazards import ALONG_M, OVER_M, shot_numbers
from strategy.plan.codec import Points
from strategy.units import YARD_M

Window = tuple[float, float, float, float]  # least and greatest side, least and greatest depth [m]

IN_PLAY: Final = 2.8  # an outline this many s.d. wide holds 98 of 100 well-struck balls
_BEHIND_BALL_M: Final = 11.0
_SIMPLER_M: Final = 0.14  # an outline is drawn with fewer corners, none of them further off than this
_LEAST_M2: Final = 0.5 * YARD_M**2
_BEYOND_M: Final = 60.0  # beyond the aim what lies on the line of the shot still counts
_FROM_M: Final = 15.0  # so far from the ball nothing has to be carried
_EDGE_M: Final = 2.0 * YARD_M  # an edge nearer to the end of the map is not shown as one


@dataclass(frozen=True, slots=True)
class PlayFrame:
    """The play frame of one sheet.

    Attributes
    ----------
    origin : tuple of two floats
        The ball. [m]
    heading : float
        Of its axis. [°]
    """

    origin: tuple[float, float]
    heading: float

    @property
    def _turn(self) -> FloatArray:
        a = np.radians(self.heading)
        return np.array([[np.cos(a), -np.sin(a)], [np.sin(a), np.cos(a)]])

    def to_sheet(self, xy: FloatArray) -> FloatArray:
        """East, north (K, 2) to side, depth. [m]"""
        moved: FloatArray = (np.asarray(xy, dtype=np.float64) - self.origin) @ self._turn.T
        return moved

    def to_course(self, sd: FloatArray) -> FloatArray:
        """Side, depth (K, 2) to east, north. [m]"""
        moved: FloatArray = np.asarray(sd, dtype=np.float64) @ self._turn + self.origin
        return moved

    def point(self, xy: Sequence[float]) -> tuple[float, float]:
        """Side and depth of one place. [m]"""
        side, depth = self.to_sheet(np.array([[xy[0], xy[1]]]))[0]
        return float(side), float(depth)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Piece:
    """One outline on the sheet: outer ring first, then holes in it."""

    surface: Surface
    rings: tuple[Points, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HazardNumber:
    """Numbers of one feature in play, sand or water, from the ball.

    Attributes
    ----------
    what : str
        Its name in the sentences.
    water : bool
        A penalty area; else sand.
    reach_m, carry_m : float or None
        To its near edge and over its far edge; None where the number decides nothing: `carry_m` of what
        lies beyond the landing or runs on out of the window, `reach_m` of what is carried. [m]
    reach_origin, carry_origin : str
        Where each number comes from ("traced", "paced", ...); an edge as walked differs from the rest.
    outline : ndarray (n, 2)
        What the label belongs to.
    squeezed : bool
        It lies between the ball and the window.
    own_line : bool
        Measured on the shot's own line; see `hazards`.
    """

    what: str
    water: bool
    reach_m: float | None
    carry_m: float | None
    reach_origin: str
    carry_origin: str
    outline: Points
    squeezed: bool
    own_line: bool = False


def pieces_of(hole: Hole, axes: PlayFrame, window: Window) -> tuple[Piece, ...]:
    """Outlines within the window and between it and the ball, in the order of painting."""
    low, high, _, far = window
    frame = shapely.box(low, -_BEHIND_BALL_M, high, far)
    drawn: list[tuple[Surface, shapely.Geometry]] = []
    for s in PAINT_ORDER:
        shapes = [a.shape for a in hole.areas if a.surface == s]
        # Hazards stay apart, as the Rules and the numbers take them; other ground joins where it meets.
        joined = shapes if s == Surface.BUNKER or s.penalty_area else [shapely.union_all(shapes)]
        drawn += [(s, shape) for shape in joined]
    drawn.append((Surface.GREEN, hole.green))
    drawn.append((Surface.OFF_MAP, shapely.difference(_to_course(frame, axes), hole.mapped)))
    if hole.out_of_bounds is not None:
        drawn.append((Surface.OUT, hole.out_of_bounds))
    pieces = []
    for surface, shape in drawn:
        clipped = shapely.intersection(shapely.transform(shape, axes.to_sheet), frame)
        for part in shapely.get_parts(shapely.simplify(clipped, _SIMPLER_M)):
            if part.geom_type == "Polygon" and part.area > _LEAST_M2:
                rings = (part.exterior, *part.interiors)
                pieces.append(Piece(surface=surface, rings=tuple(shapely.get_coordinates(r) for r in rings)))
    return tuple(pieces)


def _to_course(shape: shapely.Geometry, axes: PlayFrame) -> shapely.Geometry:
    return shapely.transform(shape, axes.to_course)


def shows(piece: Piece, window: Window) -> bool:
    """Whether a piece reaches into the map itself."""
    return bool(
        shapely.intersects(
            shapely.Polygon(piece.rings[0]), shapely.box(window[0], window[2], window[1], window[3])
        )
    )


def numbers_of(
    hole: Hole,
    axes: PlayFrame,
    window: Window,
    around: Sequence[FloatArray],
    landing: FloatArray,
    aim: FloatArray,
) -> tuple[HazardNumber, ...]:
    """Numbers of the sand and water that an answer may meet or has to carry, as sentences have them.

    A hazard that is carried has its number to carry, one beyond the landing its number to reach, one beside
    the landing both.
    """
    low, high, short, long = window
    frame = shapely.box(low, 0.0, high, long)
    map_ = shapely.box(low, short, high, long)
    near_any = shapely.union_all([shapely.Polygon(r) for r in around])
    size = float(np.hypot(*aim))
    way = shapely.LineString([aim * _FROM_M / size, aim * (1.0 + _BEYOND_M / size)])
    over = shapely.buffer(way, OVER_M, cap_style="flat")
    under = shapely.intersection(over, shapely.box(low, 0.0, high, short))
    goes = float(np.hypot(*landing))
    line = line_from(hole.line, axes.origin)
    x, y = axes.to_course(aim[None])[0]
    numbers = []
    for feature in name_features(hole):
        if feature.kind == "trees":
            continue
        whole = shapely.transform(feature.shape, axes.to_sheet)
        clipped = shapely.intersection(whole, frame)
        squeezed = not shapely.intersects(clipped, map_)
        flown = shapely.intersects(clipped, under)
        if clipped.is_empty or not (flown or (not squeezed and shapely.intersects(clipped, near_any))):
            continue
        shown = clipped if squeezed else shapely.intersection(clipped, map_)
        outlines = [part for part in shapely.get_parts(shown) if part.geom_type == "Polygon"]
        own = shot_numbers(hole, feature, line, (float(x), float(y)))
        near, far = (None if n is None else n.value_m for n in (own.reach, own.carry))
        beside = not shapely.intersects(whole, over) and (near is None or far is None or far - near > ALONG_M)
        carried = far is not None and far <= goes
        ends = far is not None and far < long - _EDGE_M and not beside
        if not outlines or (near is None and far is None):
            continue
        numbers.append(
            HazardNumber(
                what=feature.name,
                water=feature.kind == "water",
                reach_m=near if beside or not (carried and ends) else None,
                carry_m=far if ends and (near is None or near < goes) else None,
                reach_origin="" if own.reach is None else own.reach.origin.value,
                carry_origin="" if own.carry is None else own.carry.origin.value,
                outline=shapely.get_coordinates(max(outlines, key=lambda p: float(p.area)).exterior),
                squeezed=squeezed,
                own_line=own.own_line,
            )
        )
    # The nearest to the aim first: where room is short, these are labelled.
    return tuple(sorted(numbers, key=lambda n: float(np.hypot(*(n.outline - aim).T).min())))
