"""Ground of a sheet: outlines clipped to its map in the play frame, and numbers of the trouble in play."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from strategy.codes import Surface
from strategy.course.model import Hole
from strategy.units import YARD_M

FloatArray = NDArray[np.float64]
Window = tuple[float, float, float, float]  # least and greatest side, least and greatest depth [yd]

IN_PLAY: Final = 2.8  # an outline this many s.d. wide holds 98 of 100 well-struck balls
_BEHIND_BALL_YD: Final = 12.0
# Painted in this order, later over earlier; the same as the surface map's.
_ORDER: Final = (
    Surface.ROUGH, Surface.TREES, Surface.FIRST_CUT, Surface.FAIRWAY, Surface.TEE, Surface.RED,
    Surface.YELLOW, Surface.BUNKER, Surface.GREEN,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class PlayFrame:
    """The play frame of one sheet: origin at the ball [m], heading of its axis [°]."""

    origin: tuple[float, float]
    heading: float

    @property
    def _turn(self) -> FloatArray:
        a = np.radians(self.heading)
        return np.array([[np.cos(a), -np.sin(a)], [np.sin(a), np.cos(a)]])

    def to_sheet(self, xy: FloatArray) -> FloatArray:
        """East, north (K, 2) to side, depth. [m -> yd]"""
        moved: FloatArray = (np.asarray(xy, dtype=np.float64) - self.origin) @ self._turn.T / YARD_M
        return moved

    def to_course(self, sd: FloatArray) -> FloatArray:
        """Side, depth (K, 2) to east, north. [yd -> m]"""
        moved: FloatArray = np.asarray(sd, dtype=np.float64) @ self._turn * YARD_M + self.origin
        return moved

    def point(self, xy: Sequence[float]) -> tuple[float, float]:
        """Side and depth of one place. [m -> yd]"""
        side, depth = self.to_sheet(np.array([[xy[0], xy[1]]]))[0]
        return float(side), float(depth)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Piece:
    """One outline on the sheet: outer ring first, then holes in it. [yd]"""

    surface: Surface
    rings: tuple[FloatArray, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HazardNumber:
    """Numbers of one bunker or penalty area in play, from the ball. [yd]

    Attributes
    ----------
    reach, carry : float or None
        To its near edge and over its far edge; None where the number decides nothing: `carry` of what
        lies beyond the shot, `reach` of what lies short of it, `carry` of what the window cuts off.
    origin : str
        Where the outline comes from ("traced", "paced", ...).
    outline : ndarray (n, 2)
        What the label belongs to.
    squeezed : bool
        It lies between the ball and the window.
    """

    surface: Surface
    reach: float | None
    carry: float | None
    origin: str
    outline: FloatArray
    squeezed: bool


def pieces_of(hole: Hole, axes: PlayFrame, window: Window) -> tuple[Piece, ...]:
    """Outlines within the window and between it and the ball, in the order of painting."""
    low, high, _, far = window
    frame = shapely.box(low, -_BEHIND_BALL_YD, high, far)
    drawn: list[tuple[Surface, shapely.Geometry]] = []
    for s in _ORDER:
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
        seen = shapely.intersection(shapely.transform(shape, axes.to_sheet), frame)
        for part in shapely.get_parts(shapely.simplify(seen, 0.15)):
            if part.geom_type == "Polygon" and part.area > 0.5:
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
    flight: FloatArray,
) -> tuple[HazardNumber, ...]:
    """Numbers of the bunkers and penalty areas that a shown answer may meet, or has to carry."""
    low, high, short, long = window
    frame = shapely.box(low, 0.0, high, long)
    map_ = shapely.box(low, short, high, long)
    reach = shapely.union_all([shapely.Polygon(r) for r in around])
    on_line = shapely.buffer(
        shapely.LineString(np.vstack((flight, aim * (1.0 + 30.0 / np.hypot(*aim))))), 5.0
    )
    under = shapely.intersection(on_line, shapely.box(low, 0.0, high, short))
    goes = float(np.hypot(*landing))
    found = []
    for area in hole.areas:
        if area.surface != Surface.BUNKER and not area.surface.penalty_area:
            continue
        whole = shapely.transform(area.shape, axes.to_sheet)
        seen = shapely.intersection(whole, frame)
        squeezed = not shapely.intersects(seen, map_)
        flown = shapely.intersects(seen, under)
        if seen.is_empty or not (flown or (not squeezed and shapely.intersects(seen, reach))):
            continue
        part = max(shapely.get_parts(seen), key=lambda p: float(p.area))
        if part.geom_type != "Polygon":
            continue
        # Where the shot flies over it, the numbers are those of its own line.
        over = shapely.intersection(seen, on_line)
        crossed = not over.is_empty and float(np.hypot(*shapely.get_coordinates(over).T).min()) < goes
        away = np.hypot(*shapely.get_coordinates(over if crossed else seen).T)
        nearest, furthest = float(away.min()), float(away.max())
        beside = not crossed and furthest - nearest > 60.0  # along the hole: nobody carries that
        cut = furthest > long - 2.0
        found.append(
            HazardNumber(
                surface=area.surface,
                reach=nearest if nearest > goes - 20.0 or cut or beside else None,
                carry=furthest if nearest <= goes + 5.0 and not cut and not beside else None,
                origin=area.origin.value,
                outline=shapely.get_coordinates(part.exterior if squeezed else _within(part, map_)),
                squeezed=squeezed,
            )
        )
    # The nearest to the aim first: where room is short they are the ones to be labelled.
    return tuple(sorted(found, key=lambda n: float(np.hypot(*(n.outline - aim).T).min())))


def _within(part: shapely.Polygon, map_: shapely.Polygon) -> shapely.LinearRing:
    inside = max(shapely.get_parts(shapely.intersection(part, map_)), key=lambda p: float(p.area))
    return inside.exterior if inside.geom_type == "Polygon" else part.exterior
