"""The numbers of a hole as a caddie notes them, from each tee and landmark, each with its origin.

They are: to reach and to carry each bunker and water near the line, run-outs, widths of the fairway, front,
middle and back, and the depth of the green at the hole location (conventions of the trade; shared facts,
rules and standards, section 5). Distances are straight and horizontal. `strategy.course.edges` defines each.
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
from strategy.course.named_features import NamedFeature, name_features
from strategy.course.origin import Origin
from strategy.course.pins import green_numbers, pin_xy
from strategy.course.playline import last_leg, line_from, line_length
from strategy.units import YARD_M

NEAR_LINE_M: Final = 45.0 * YARD_M
_PAST_M: Final = 2.0  # an edge nearer than this is no longer ahead of the source


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """One distance and its origin. [m]"""

    value_m: float
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class FeatureNumbers:
    """To reach and to carry one named feature; None for an edge that is not ahead of the source."""

    name: str
    kind: str
    reach: Number | None
    carry: Number | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Width:
    """The width of the fairway across the line of play.

    Attributes
    ----------
    at_m : float
        Distance along the line from the source. [m]
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
    """Distances to the hole, and to the front and back edge of the green on the line through the hole. [m]"""

    front: Number
    hole: Number
    back: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceNumbers:
    """All numbers from one tee or landmark.

    Attributes
    ----------
    name : str
        "back tee", or the name of the landmark.
    length : Number or None
        From a tee: the length of the hole, along the line of play to the middle of the green.
    features : tuple of FeatureNumbers
        Bunkers and water near the line, the nearest first.
    run_out : tuple of (str, Number)
        "run-out" is on the line of play, "straight on" is past a turn of it.
    widths : tuple of Width
        From a tee: widths of the fairway.
    least_landing : Number or None
        To where a ball has to land so as not to come back off the front; None where none does.
    """

    name: str
    length: Number | None
    features: tuple[FeatureNumbers, ...]
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
        On the line through the hole: depth of the green, and how far on the hole is. Across that line: width
        of the green at the hole.
    green : str
        The green in the caddie's words.
    questions : tuple of str
        Measurements that need an answer from the caddie.
    least_landing : Number or None
        How far on a ball has to land so as not to come back off the front; None where none does.
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
    questions: tuple[str, ...] = ()
    least_landing: Number | None = None


def feature_numbers(
    hole: Hole, feature: NamedFeature, line: FloatArray, *, assumed: bool = False
) -> FeatureNumbers:
    """To reach and to carry one feature. Everything else that prints these numbers takes them from here.

    Parameters
    ----------
    hole : Hole
        Hole with its measurements, which give the origins.
    feature : NamedFeature
        A feature of ``name_features(hole)``.
    line : ndarray (n, 2)
        ``playline.line_from(hole.line, xy)`` for a source at `xy`. [m]
    assumed : bool
        True when the place of the source is assumed. The numbers are then assumed too.
    """

    def number(edge: Edge | None) -> Number | None:
        if edge is None:
            return None
        origin = Origin.ASSUMED if assumed else edge_origin(hole, feature, edge.xy)
        return Number(value_m=edge.value_m, origin=origin)

    return FeatureNumbers(
        name=edges.normalize_name(feature.name),
        kind=feature.kind,
        reach=number(edges.reach(feature, line)),
        carry=number(edges.carry(feature, line)),
    )


def edge_origin(hole: Hole, feature: NamedFeature, xy: tuple[float, float]) -> Origin:
    """Origin of a place (x, y) on the edge of a feature. [m]"""
    nearest = min(feature.areas, key=lambda a: float(shapely.distance(a.shape, shapely.Point(xy))))
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
        As read, with its measurements.
    sources : sequence of Tee and Landmark, optional
        Where the numbers are from; by default every tee and landmark of the hole.
    pin : str
        Hole location as a sheet writes it; "" for none.
    pin_line : ndarray (n, 2), optional
        Line of play that the hole location counts along, from the markers in use; by default the line from
        the back tee. [m]
    widths : iterable of (label, distance)
        Where the fairway is measured across, from each tee: a shot and its carry, or "" and a distance. [m]
    reference : str
        Where "on" and the front count from; see `strategy.course.pins`.
    stimp_ft : float
        Green speed: a fast green sends more balls back off its front. [ft]

    Raises
    ------
    RequestError
        If the hole location cannot be read or is not on the green.
    """
    places: list[Tee | Landmark] = list(sources or (*hole.tees, *hole.landmarks))
    line = hole.line if pin_line is None else pin_line
    pin_place = pin_xy(hole, line, pin, reference) if pin else None
    least = least_landing(hole, stimp_ft)
    context = _HoleContext(hole, reference, least)
    # The size of the green is measured along the hole's own line, so that it is the same from every source.
    green = green_numbers(hole, hole.line, hole.tees[0].xy, reference)
    origin = context.green_origin(edges.depth(hole.green, hole.line).xy)
    numbers = HoleNumbers(
        label=hole.label,
        name=hole.name,
        par=hole.par,
        depth=Number(value_m=green.depth_m, origin=origin),
        width=Number(value_m=green.width_m, origin=context.green_origin(None)),
        sources=tuple(context.source_numbers(place, pin_place, tuple(widths)) for place in places),
        green=hole.sketch.text if hole.sketch is not None else "",
        least_landing=None if least is None else Number(value_m=least.on_m, origin=least.origin),
        notes=hole.notes,
        questions=tuple(
            f.text
            for f in hole.findings
            if f.kind == FindingKind.QUESTION and (f.feature or "").startswith("measurements")
        ),
    )
    if pin_place is None:
        return numbers
    ahead, right = last_leg(line)
    at_hole = np.asarray(pin_place)
    front, back = _chord(hole.green, at_hole, ahead)
    left_edge, right_edge = _chord(hole.green, at_hole, right)
    return dataclasses.replace(
        numbers,
        pin=pin,
        pin_depth=Number(value_m=back - front, origin=origin),
        pin_on=Number(value_m=-front, origin=origin),
        pin_width=Number(value_m=right_edge - left_edge, origin=context.green_origin(None)),
    )


def _chord(green: shapely.Polygon, place: FloatArray, direction: FloatArray) -> tuple[float, float]:
    """Edges of the green behind a place on it (0 or negative) and ahead of it, along a direction. [m]"""
    section = shapely.LineString([place - 200.0 * direction, place + 200.0 * direction])
    for part in shapely.get_parts(shapely.intersection(section, green)):
        t = (shapely.get_coordinates(part) - place) @ direction
        if t.min() <= 1e-6 and t.max() >= -1e-6:
            return float(t.min()), float(t.max())
    return 0.0, 0.0


class _HoleContext:
    """One hole with what the numbers from every source need."""

    def __init__(self, hole: Hole, reference: str, least: LeastLanding | None) -> None:
        self.hole, self.reference, self.least = hole, reference, least
        self.fairway = edges.fairway_of(hole)
        path = shapely.LineString(hole.line)
        measured = {edges.normalize_name(m.what).partition(" ")[2] for m in hole.measurements}
        self.features = [
            feature
            for feature in name_features(hole)
            if feature.kind in ("sand", "water")
            and (
                shapely.distance(feature.shape, path) < NEAR_LINE_M
                or edges.normalize_name(feature.name) in measured
            )
        ]
        self.greens = [a for a in hole.areas if a.surface == Surface.GREEN]
        self.fairways = [a for a in hole.areas if a.surface == Surface.FAIRWAY]

    def green_origin(self, xy: tuple[float, float] | None) -> Origin:
        """Origin of a place on the edge of the green; of the whole outline for None."""
        own = [a for a in self.greens if shapely.intersects(a.shape, self.hole.green)]
        outline = own[0].origin if own else Origin.ASSUMED
        return edges.origin_at(self.hole, xy if xy is not None else (np.inf, np.inf), outline)

    def fairway_origin(self, edge: Edge) -> Origin:
        """Origin of a place on the edge of the fairway."""
        if not self.fairways:
            return Origin.ASSUMED
        point = shapely.Point(edge.xy)
        nearest = min(self.fairways, key=lambda a: float(shapely.distance(a.shape, point)))
        return edges.origin_at(self.hole, edge.xy, nearest.origin)

    def number(self, place: Tee | Landmark, value_m: float, origin: Origin) -> Number:
        """A number from a place; it is assumed when the place is."""
        return Number(value_m=value_m, origin=Origin.ASSUMED if place.origin == Origin.ASSUMED else origin)

    def source_numbers(
        self, place: Tee | Landmark, pin: tuple[float, float] | None, widths: Sequence[tuple[str, float]]
    ) -> SourceNumbers:
        """All numbers from one tee or landmark."""
        hole = self.hole
        line = line_from(hole.line, place.xy)
        front, back = edges.front(hole.green, line, self.reference), edges.back(hole.green, line)
        outline = self.green_origin(None)
        if isinstance(place, Landmark) and place.front_m is not None:
            to_front = Number(value_m=place.front_m, origin=place.origin)
        else:
            to_front = self.number(place, front.value_m, self.green_origin(front.xy))
        is_tee = isinstance(place, Tee)
        return SourceNumbers(
            name=edges.tee_words(place.name) if is_tee else place.name,
            length=self.number(place, line_length(line), outline) if is_tee else None,
            features=tuple(self.feature_numbers(place, line)),
            run_out=tuple(self.run_outs(place, line)),
            widths=tuple(self.widths(place, line, widths)) if is_tee else (),
            front=to_front,
            middle=self.number(place, float(np.hypot(*(line[-1] - line[0]))), outline),
            back=self.number(place, back.value_m, self.green_origin(back.xy)),
            pin=None if pin is None else self.pin_numbers(place, line, pin),
            least_landing=self.least_landing(place),
        )

    def least_landing(self, place: Tee | Landmark) -> Number | None:
        """To where a ball has to land so as not to come back off the front of the green."""
        if self.least is None:
            return None
        away = float(np.hypot(*np.subtract(self.least.xy, place.xy)))
        return self.number(place, away, self.least.origin)

    def feature_numbers(self, place: Tee | Landmark, line: FloatArray) -> list[FeatureNumbers]:
        """Numbers of the features that are ahead, the nearest first."""
        assumed = place.origin == Origin.ASSUMED
        numbers = (feature_numbers(self.hole, one, line, assumed=assumed) for one in self.features)

        def nearest_edge(feature: FeatureNumbers) -> float:
            edge = feature.reach or feature.carry
            return 0.0 if edge is None else edge.value_m

        return sorted((one for one in numbers if _is_ahead(one)), key=nearest_edge)

    def run_outs(self, place: Tee | Landmark, line: FloatArray) -> Iterable[tuple[str, Number]]:
        """Ends of the fairway on the line of play, and straight on past a turn."""
        if self.hole.par == 3:
            return  # fairway on a par 3 belongs to other holes
        for edge in edges.run_outs(self.fairway, self.hole.green, line):
            yield "run-out", self.number(place, edge.value_m, self.fairway_origin(edge))
        straight_on = edges.straight_on(self.fairway, line) if isinstance(place, Tee) else None
        if straight_on is not None:
            yield "straight on", self.number(place, straight_on.value_m, self.fairway_origin(straight_on))

    def widths(
        self, place: Tee | Landmark, line: FloatArray, wanted: Sequence[tuple[str, float]]
    ) -> Iterable[Width]:
        """Widths of the fairway at distances along the line; those near the green are left out."""
        order = list(Origin)
        for label, at_m in wanted:
            both = edges.width(self.fairway, line, at_m) if at_m < line_length(line) - 20.0 else None
            if both is None:
                continue
            left, right = both
            # A width is measured only when both edges are.
            origin = max(self.fairway_origin(left), self.fairway_origin(right), key=order.index)
            width = self.number(place, right.value_m - left.value_m, origin)
            yield Width(
                at_m=at_m,
                label=label,
                width_m=width.value_m,
                left_m=-left.value_m,
                right_m=right.value_m,
                origin=width.origin,
            )

    def pin_numbers(self, place: Tee | Landmark, line: FloatArray, pin: tuple[float, float]) -> PinNumbers:
        """Distances to the hole and to the edges of the green before and behind it."""
        ahead, _ = last_leg(line)
        at_hole = np.asarray(pin)
        front, back = _chord(self.hole.green, at_hole, ahead)

        def distance(xy: FloatArray) -> Number:
            origin = self.green_origin((float(xy[0]), float(xy[1])))
            return self.number(place, float(np.hypot(*(xy - line[0]))), origin)

        return PinNumbers(
            front=distance(at_hole + front * ahead),
            hole=distance(at_hole),
            back=distance(at_hole + back * ahead),
        )


def _is_ahead(feature: FeatureNumbers) -> bool:
    """Whether a feature is still ahead of the source, by its far edge."""
    if feature.carry is None:
        return feature.reach is not None
    return feature.carry.value_m >= _PAST_M


def default_widths(hole: Hole, unit_m: float = YARD_M) -> list[tuple[str, float]]:
    """Where tee shots come to rest: every 20 from 220 to 320 in the unit given; nothing on a par 3. [m]"""
    return [] if hole.par == 3 else [("", at * unit_m) for at in range(220, 321, 20)]
