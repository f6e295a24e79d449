"""The numbers of a hole, as a caddie notes them: from each tee and landmark, every one with its origin.

To reach and to carry each bunker and water edge near the line, run-outs, the width of the fairway, front,
middle and back, and the depth of the green where the hole is cut (trade conventions, rules and standards,
section 5). Distances are straight and level; how they are measured is said in `edges`.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely

from strategy.arrays import FloatArray
from strategy.ball.ground import NORMAL_STIMP_FT
from strategy.codes import Surface
from strategy.course import edges
from strategy.course.edges import Edge
from strategy.course.maps.least_landing import LeastLanding, least_landing
from strategy.course.model import FindingKind, Hole, Landmark, Tee
from strategy.course.named_features import Thing
from strategy.course.origin import Origin
from strategy.course.pins import green_numbers, pin_xy
from strategy.course.playline import last_leg, line_from, line_length
from strategy.units import YARD_M

NEAR_LINE_M: Final = 45.0 * YARD_M
_PAST_M: Final = 2.0  # a place nearer than this is where one stands


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """One distance and where it comes from. [m]"""

    value_m: float
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class ThingNumbers:
    """To reach and to carry one thing; None where its edge is not in sight from there."""

    name: str
    kind: str
    reach: Number | None
    carry: Number | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Width:
    """The fairway across the line of play.

    Attributes
    ----------
    at_m : float
        Along the line from the source. [m]
    label : str
        The shot that lands there; "" for a plain distance.
    left_m, right_m : float
        From the line of play to the edges; negative when the fairway lies wholly on the other side. [m]
    """

    at_m: float
    label: str
    width_m: float
    left_m: float
    right_m: float
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class PinNumbers:
    """The hole location from one place: front edge and back edge on the hole's own line, and the hole. [m]"""

    front: Number
    hole: Number
    back: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceNumbers:
    """Everything from one tee or landmark.

    Attributes
    ----------
    name : str
        "back tee", or the landmark.
    length : Number or None
        Along the line of play to the middle of the green, from a tee: the length of the hole.
    run_out : tuple of (str, Number)
        "run-out" on the line of play; "straight on" past a turn.
    least_landing : Number or None
        To where a ball has to land so as not to come back off the front; None where none does.
    """

    name: str
    length: Number | None
    things: tuple[ThingNumbers, ...]
    run_out: tuple[tuple[str, Number], ...]
    widths: tuple[Width, ...]
    front: Number
    middle: Number
    back: Number
    pin: PinNumbers | None = None
    least_landing: Number | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleNumbers:
    """The numbers of one hole.

    Attributes
    ----------
    pin : str
        Hole location as on the sheet; "" when none is given.
    pin_depth, pin_on, pin_width : Number or None
        At the hole location: depth of the green on the hole's line, how far on the hole is on that line,
        width at its depth.
    least_landing : Number or None
        How far on a ball has to land so as not to come back off the front; None where none does.
    asked : tuple of str
        Measurements that are still a question.
    """

    label: str
    name: str
    par: int
    depth: Number
    width: Number
    sources: tuple[SourceNumbers, ...]
    pin: str = ""
    pin_depth: Number | None = None
    pin_on: Number | None = None
    pin_width: Number | None = None
    green: str = ""
    notes: tuple[str, ...] = ()
    asked: tuple[str, ...] = ()
    least_landing: Number | None = None


def thing_numbers(hole: Hole, thing: Thing, line: FloatArray, *, assumed: bool = False) -> ThingNumbers:
    """To reach and to carry one thing: the numbers that everything else quotes.

    Parameters
    ----------
    hole : Hole
        Whose measurements say where an edge was walked.
    thing : Thing
        Of ``edges.named(hole)``.
    line : ndarray (n, 2)
        ``playline.line_from(hole.line, xy)`` of the place the numbers are from. [m]
    assumed : bool
        That place is only assumed, so the numbers are too.
    """

    def number(edge: Edge | None) -> Number | None:
        if edge is None:
            return None
        origin = Origin.ASSUMED if assumed else edge_origin(hole, thing, edge.xy)
        return Number(value_m=edge.value_m, origin=origin)

    return ThingNumbers(
        name=edges.called(thing.name),
        kind=thing.kind,
        reach=number(edges.reach(thing, line)),
        carry=number(edges.carry(thing, line)),
    )


def edge_origin(hole: Hole, thing: Thing, xy: tuple[float, float]) -> Origin:
    """Where a place on the edge of something comes from. [m]"""
    nearest = min(thing.areas, key=lambda a: float(shapely.distance(a.shape, shapely.Point(xy))))
    return edges.origin_at(hole, xy, nearest.origin)


def hole_numbers(
    hole: Hole,
    *,
    sources: Sequence[Tee | Landmark] | None = None,
    pin: str = "",
    pin_line: FloatArray | None = None,
    widths: Iterable[tuple[str, float]] = (),
    reference: str = "line of play",
    stimp_ft: float = NORMAL_STIMP_FT,
) -> HoleNumbers:
    """Work out the numbers of a hole.

    Parameters
    ----------
    hole : Hole
        As read, measurements and all.
    sources : sequence of Tee and Landmark, optional
        Where from; by default every tee and landmark of the hole.
    pin : str
        Hole location as a sheet writes it, "" for none.
    pin_line : ndarray (n, 2), optional
        Line of play that its "on" counts along: from the markers in use; else from the back tee. [m]
    widths : iterable of (label, distance)
        Where from each tee the fairway is measured across: a shot and its carry, or "" and a distance. [m]
    reference : str
        What "on" and the front count from; see `pins`.
    stimp_ft : float
        Green speed: a fast green sends more balls back off its front. [ft]

    Raises
    ------
    RequestError
        If the hole location cannot be read or is not on the green.
    """
    places: list[Tee | Landmark] = list(sources or (*hole.tees, *hole.landmarks))
    line = hole.line if pin_line is None else pin_line
    spot = pin_xy(hole, line, pin, reference) if pin else None
    least = least_landing(hole, stimp_ft)
    here = _Here(hole, edges.named(hole), edges.fairway_of(hole), reference, least)
    # The size of a green is the green's: it does not change with the place it is looked at from.
    green = green_numbers(hole, hole.line, hole.tees[0].xy, reference)
    origin = here.green_origin(edges.depth(hole.green, hole.line).xy)
    found = HoleNumbers(
        label=hole.label,
        name=hole.name,
        par=hole.par,
        depth=Number(value_m=green.depth_m, origin=origin),
        width=Number(value_m=green.width_m, origin=here.green_origin(None)),
        sources=tuple(here.source(place, spot, tuple(widths)) for place in places),
        green=hole.sketch.text if hole.sketch is not None else "",
        least_landing=None if least is None else Number(value_m=least.on_m, origin=least.origin),
        notes=hole.notes,
        asked=tuple(
            f.text
            for f in hole.findings
            if f.kind == FindingKind.QUESTION and (f.feature or "").startswith("measurements")
        ),
    )
    if spot is None:
        return found
    front, back, wide = _through(hole, line, spot)
    ahead, _ = last_leg(line)
    on = float((np.asarray(spot) - front) @ ahead)
    return _with_pin(found, pin, Number(value_m=back, origin=origin), on, wide, here.green_origin(None))


def _with_pin(
    found: HoleNumbers, pin: str, depth: Number, on_m: float, width_m: float, origin: Origin
) -> HoleNumbers:
    return dataclasses.replace(
        found,
        pin=pin,
        pin_depth=depth,
        pin_on=Number(value_m=on_m, origin=depth.origin),
        pin_width=Number(value_m=width_m, origin=origin),
    )


def _through(hole: Hole, line: FloatArray, spot: tuple[float, float]) -> tuple[FloatArray, float, float]:
    """Front edge of the green on the line through the hole location, depth there, and width at its depth."""
    ahead, right = last_leg(line)
    here = np.asarray(spot)
    deep = _cut(hole.green, here, ahead)
    across = _cut(hole.green, here, right)
    return here + deep[0] * ahead, deep[1] - deep[0], across[1] - across[0]


def _cut(green: shapely.Polygon, here: FloatArray, way: FloatArray) -> tuple[float, float]:
    """Edges of the green before and behind a place on it, along a direction. [m]"""
    met = shapely.intersection(shapely.LineString([here - 200.0 * way, here + 200.0 * way]), green)
    for part in shapely.get_parts(met):
        t = (shapely.get_coordinates(part) - here) @ way
        if t.min() <= 1e-6 and t.max() >= -1e-6:
            return float(t.min()), float(t.max())
    return 0.0, 0.0


class _Here:
    """One hole with what its numbers need again and again."""

    def __init__(
        self,
        hole: Hole,
        named: Sequence[Thing],
        fairway: shapely.Geometry,
        reference: str,
        least: LeastLanding | None,
    ) -> None:
        self.hole, self.fairway, self.reference, self.least = hole, fairway, reference, least
        path = shapely.LineString(hole.line)
        walked = {edges.called(m.what).partition(" ")[2] for m in hole.measured}
        self.things = [
            t
            for t in named
            if t.kind in ("sand", "water")
            and (shapely.distance(t.shape, path) < NEAR_LINE_M or edges.called(t.name) in walked)
        ]
        self.greens = [a for a in hole.areas if a.surface == Surface.GREEN]
        self.fairways = [a for a in hole.areas if a.surface == Surface.FAIRWAY]

    def green_origin(self, xy: tuple[float, float] | None) -> Origin:
        """Origin of the green's outline, at a place of its edge or in general."""
        own = [a for a in self.greens if shapely.intersects(a.shape, self.hole.green)]
        drawn = own[0].origin if own else Origin.ASSUMED
        return edges.origin_at(self.hole, xy if xy is not None else (np.inf, np.inf), drawn)

    def source(
        self, place: Tee | Landmark, spot: tuple[float, float] | None, widths: Sequence[tuple[str, float]]
    ) -> SourceNumbers:
        hole = self.hole
        line = line_from(hole.line, place.xy)
        tee = isinstance(place, Tee)
        front, back = edges.front(hole.green, line, self.reference), edges.back(hole.green, line)
        middle = float(np.hypot(*(line[-1] - line[0])))
        drawn = self.green_origin(None)
        to_front = self.number(place, front, self.green_origin(front.xy))
        if isinstance(place, Landmark) and place.front_m is not None:
            to_front = Number(value_m=place.front_m, origin=place.origin)
        return SourceNumbers(
            name=edges.tee_words(place.name) if tee else place.name,
            length=self.number(place, Edge(xy=front.xy, value_m=line_length(line), push=front.push), drawn)
            if tee
            else None,
            things=tuple(self.thing_numbers(place, line)),
            run_out=tuple(self.run_out(place, line)),
            widths=tuple(self.width(place, line, label, at) for label, at in widths if self.crosses(line, at))
            if tee
            else (),
            front=to_front,
            middle=self.number(place, Edge(xy=front.xy, value_m=middle, push=front.push), drawn),
            back=self.number(place, back, self.green_origin(back.xy)),
            pin=None if spot is None else self.pin(place, line, spot),
            least_landing=self.least_landing(place),
        )

    def least_landing(self, place: Tee | Landmark) -> Number | None:
        if self.least is None:
            return None
        away = float(np.hypot(*np.subtract(self.least.xy, place.xy)))
        return self.number(place, Edge(xy=self.least.xy, value_m=away, push=(0.0, 1.0)), self.least.origin)

    def number(self, place: Tee | Landmark, edge: Edge, origin: Origin) -> Number:
        """A number of an edge; from a place that is only assumed it is assumed itself."""
        if place.origin == Origin.ASSUMED:
            origin = Origin.ASSUMED
        return Number(value_m=edge.value_m, origin=origin)

    def thing_numbers(self, place: Tee | Landmark, line: FloatArray) -> Iterable[ThingNumbers]:
        assumed = place.origin == Origin.ASSUMED
        found = (thing_numbers(self.hole, thing, line, assumed=assumed) for thing in self.things)
        rows = [row for row in found if _is_ahead(row)]
        rows.sort(
            key=lambda row: (row.reach or row.carry or Number(value_m=0, origin=Origin.ASSUMED)).value_m
        )
        return rows

    def run_out(self, place: Tee | Landmark, line: FloatArray) -> Iterable[tuple[str, Number]]:
        if self.hole.par == 3:
            return  # what fairway there is belongs to other holes
        for edge in edges.run_outs(self.fairway, self.hole.green, line):
            yield "run-out", self.number(place, edge, self.fairway_origin(edge))
        on = edges.straight_on(self.fairway, line) if isinstance(place, Tee) else None
        if on is not None:
            yield "straight on", self.number(place, on, self.fairway_origin(on))

    def fairway_origin(self, edge: Edge) -> Origin:
        if not self.fairways:
            return Origin.ASSUMED
        point = shapely.Point(edge.xy)
        nearest = min(self.fairways, key=lambda a: float(shapely.distance(a.shape, point)))
        return edges.origin_at(self.hole, edge.xy, nearest.origin)

    def crosses(self, line: FloatArray, at_m: float) -> bool:
        short_of_green = at_m < line_length(line) - 20.0
        return short_of_green and edges.width(self.fairway, line, at_m) is not None

    def width(self, place: Tee | Landmark, line: FloatArray, label: str, at_m: float) -> Width:
        both = edges.width(self.fairway, line, at_m)
        assert both is not None  # `crosses` was asked first
        left, right = both
        order = list(Origin)
        # Both edges have to be walked for the width to be.
        origin = max(self.fairway_origin(left), self.fairway_origin(right), key=order.index)
        if place.origin == Origin.ASSUMED:
            origin = Origin.ASSUMED
        return Width(
            at_m=at_m,
            label=label,
            width_m=right.value_m - left.value_m,
            left_m=-left.value_m,
            right_m=right.value_m,
            origin=origin,
        )

    def pin(self, place: Tee | Landmark, line: FloatArray, spot: tuple[float, float]) -> PinNumbers:
        ahead, _ = last_leg(line)
        here = np.asarray(spot)
        low, high = _cut(self.hole.green, here, ahead)

        def to(xy: FloatArray) -> Number:
            at = (float(xy[0]), float(xy[1]))
            size = float(np.hypot(*(xy - line[0])))
            return self.number(place, Edge(xy=at, value_m=size, push=(0.0, 1.0)), self.green_origin(at))

        return PinNumbers(front=to(here + low * ahead), hole=to(here), back=to(here + high * ahead))


def _is_ahead(row: ThingNumbers) -> bool:
    return not (row.reach is None and row.carry is None) and (
        row.carry is None or row.carry.value_m >= _PAST_M
    )


def default_widths(hole: Hole, unit_m: float = YARD_M) -> list[tuple[str, float]]:
    """Where tee shots finish: every 20 from 220 to 320 in the unit given, nothing on a par 3. [m]"""
    return [] if hole.par == 3 else [("", at * unit_m) for at in range(220, 321, 20)]
