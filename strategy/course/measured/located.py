"""A measurement on its hole: where it was taken from, and which edge of an outline it is about."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import shapely

from strategy.course import edges
from strategy.course.edges import Edge
from strategy.course.measured.measurements import MeasurementLine
from strategy.course.measured.warp import Warp
from strategy.course.model import Hole, Landmark, Measurement
from strategy.course.named_features import NamedFeature
from strategy.course.playline import along_side, from_front, line_from, point_at


@dataclass(slots=True, eq=False)
class LocatedMeasurement:
    """One line of measurements.csv on its hole, and what became of it.

    Attributes
    ----------
    row : MeasurementLine
        The line as read.
    hole : Hole
        The hole as drawn.
    source : str
        Name of the tee or landmark that it was taken from.
    xy : tuple of two floats
        Place of the source as drawn. [m]
    landmark : Landmark or None
        The source, when it is a landmark that is placed by its front number. It moves with the green.
    side_m : float
        Distance of that landmark from the line of play, positive to the right. [m]
    feature : NamedFeature or None
        The feature that the measurement is about, for reach and carry.
    fairway : shapely geometry or None
        The fairway of the hole, for run-outs and widths. [m]
    moved_m : float
        How far the outline was moved for it, at most. [m]
    marks : tuple of (x, y)
        Places on the moved outlines that it was measured to. [m]
    is_used : bool
        False when it became a question or another measurement is used in its place.
    """

    row: MeasurementLine
    hole: Hole
    source: str
    xy: tuple[float, float]
    landmark: Landmark | None = None
    side_m: float = 0.0
    feature: NamedFeature | None = None
    fairway: shapely.Geometry | None = None
    moved_m: float = 0.0
    marks: tuple[tuple[float, float], ...] = ()
    is_used: bool = True

    @property
    def edge_key(self) -> tuple[str, str, str, float]:
        """The edge that it is about; the same for all measurements of that edge."""
        target = self.row.target
        name = self.feature.name if self.feature is not None else ""
        return (self.hole.label, target.kind, name, target.at_m)

    @property
    def description(self) -> str:
        """The line in words and in its unit: "carry near left bunker 251 from back tee (paced)"."""
        text = self.row.text
        text = text[4:] if text.casefold().startswith("the ") else text
        return f"{text} {self.row.value_m / self.row.unit_m:.0f} from {self.source} ({self.row.how})"

    def start(self, warp: Warp) -> tuple[float, float]:
        """Place of the source after the ground has moved. [m]"""
        if self.landmark is None or self.landmark.front_m is None:
            return self.xy
        green = warp.move(self.hole.green)
        return place_by_front_number(self.hole, green, self.landmark.front_m, self.side_m)

    def residuals(self, warp: Warp) -> list[tuple[Edge, float]]:
        """The edges that it is about on the moved ground, each with its residual: measured less drawn. [m]

        A width has two edges, each with half the residual. The list is empty when there is no such edge.
        """
        target, line = self.row.target, line_from(self.hole.line, self.start(warp))
        edge: Edge | None = None
        if self.feature is not None:
            moved = dataclasses.replace(self.feature, shape=warp.move(self.feature.shape))
            edge = edges.reach(moved, line) if target.kind == "reach" else edges.carry(moved, line)
        elif target.kind in ("front", "back", "depth"):
            green = warp.move(self.hole.green)
            edge = {"front": edges.front, "back": edges.back, "depth": edges.depth}[target.kind](green, line)
        elif self.fairway is not None and target.kind == "run-out":
            ends = edges.run_outs(warp.move(self.fairway), warp.move(self.hole.green), line)
            edge = min(ends, key=lambda e: abs(e.value_m - self.row.value_m)) if ends else None
        elif self.fairway is not None:
            both = edges.width(warp.move(self.fairway), line, target.at_m)
            if both is None:
                return []
            residual = self.row.value_m - (both[1].value_m - both[0].value_m)
            return [(side, residual / 2.0) for side in both]
        return [] if edge is None else [(edge, self.row.value_m - edge.value_m)]

    def as_measurement(self) -> Measurement:
        """The record for the hole."""
        return Measurement(
            source=self.source,
            what=self._what(),
            value_m=self.row.value_m,
            origin=self.row.origin,
            line=self.row.line,
            counts=self.is_used,
            marks=self.marks if self.is_used else (),
        )

    def _what(self) -> str:
        """What was measured, in normal form, so that it can be looked up."""
        target = self.row.target
        if self.feature is not None:
            return f"{target.kind} {edges.normalize_name(self.feature.name)}"
        if target.kind == "width":
            return f"fairway width at {target.at_m / self.row.unit_m:g}"
        return target.kind


def place_by_front_number(
    hole: Hole, green: shapely.Polygon, front_m: float, side_m: float
) -> tuple[float, float]:
    """The place with a given front number and side.

    Parameters
    ----------
    hole : Hole
        Hole with the line of play.
    green : shapely Polygon
        Its green, perhaps moved. [m]
    front_m : float
        Distance to the front of the green, back along the line of play. [m]
    side_m : float
        Distance from the line of play, positive to the right. [m]

    Raises
    ------
    RequestError
        If the place is far behind the tee.
    """
    x, y = from_front(green, hole.line, front_m)
    depth = float(along_side(hole.line, (x, y))[0, 1])
    x, y = point_at(hole.line, side_m, depth)[0]
    return (float(x), float(y))
