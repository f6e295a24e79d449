"""The course as every other room sees it: holes, areas and findings, in one frame.

Frame (the only one inside)::

        y north [m]
        ^
        |        z up
        |
        +------> x east [m]      origin: centre of the course

    headings: degrees clockwise from true north, 0 = north, 90 = east
    side of a line of play: positive to the RIGHT of the direction of play
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Literal

import shapely

from strategy.arrays import FloatArray
from strategy.codes import Surface
from strategy.course.frame import Frame
from strategy.course.green_sketch import GreenSketch
from strategy.course.height_map import HeightMap
from strategy.course.origin import Origin
from strategy.course.stated import Stated

HeightSaid = Literal["measured", "given", "class", "assumed"]


class FindingKind(StrEnum):
    """What reading a course can have to say about itself."""

    ASSUMED = "assumed"
    REPAIRED = "repaired"
    MISSING = "missing"
    IGNORED = "ignored"
    QUESTION = "question"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that reading found, assumed, repaired or missed, in words for the caddie.

    Attributes
    ----------
    hole : str or None
        Label of the hole it concerns; None for the whole course.
    feature : str or None
        Identifier of the feature as the file names it.
    """

    kind: FindingKind
    text: str
    hole: str | None = None
    feature: str | None = None


def some(names: Sequence[str]) -> str:
    """The first three of a list of names, and how many more there are.

    >>> some(["way/1", "way/2", "way/3", "way/4"])
    'way/1, way/2, way/3 and 1 more'
    """
    shown = ", ".join(names[:3])
    return shown if len(names) <= 3 else f"{shown} and {len(names) - 3} more"


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """One row of the features table: what any reader gives, before anything is assembled.

    Attributes
    ----------
    fid : str
        Identifier as in the file ("way/488340514").
    tags : mapping of str to str
        OpenStreetMap tags, untouched.
    geometry : shapely geometry
        Longitude, latitude (OGC:CRS84). [°]
    """

    fid: str
    tags: Mapping[str, str]
    geometry: shapely.Geometry


@dataclass(frozen=True, slots=True, kw_only=True)
class FeatureTable:
    """What one file holds: features in file order, and what the reader had to say.

    Attributes
    ----------
    file : str
        The file as the user named it.
    credit : str
        Credit line the data asks for; "" when unknown.
    """

    file: str
    features: tuple[Feature, ...]
    credit: str = ""
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """One piece of ground with one surface, in the course frame.

    Attributes
    ----------
    surface : Surface
        What the ground is.
    shape : shapely Polygon or MultiPolygon
        Course frame. [m]
    fid : str
        The feature it came from.
    colour_known : bool
        For penalty areas: False when red was assumed because nothing says otherwise.
    height_m : float or None
        For trees: how high they stand, None when nothing says. [m]
    base_m : float or None
        For trees: where their branches begin, None when nothing says. [m]
    height_said : str
        For trees: where their height comes from, "measured" (a raster), "given", "class" or "assumed".
    low : bool
        For trees: scrub or a hedge.
    drawn : shapely geometry or None
        The outline before a measurement moved it; None when none did. Names go by what is drawn. [m]
    """

    surface: Surface
    shape: shapely.Geometry
    fid: str
    origin: Origin = Origin.TRACED
    colour_known: bool = True
    height_m: float | None = None
    base_m: float | None = None
    height_said: HeightSaid = "assumed"
    low: bool = False
    drawn: shapely.Geometry | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tee:
    """A teeing ground of a hole: `xy` is the middle of its front-to-back axis. [m]"""

    name: str
    xy: tuple[float, float]
    fid: str
    origin: Origin = Origin.TRACED


@dataclass(frozen=True, slots=True, kw_only=True)
class Landmark:
    """A place on a hole that numbers are given from: a sprinkler head, a tree, a path.

    Attributes
    ----------
    xy : tuple of two floats
        Course frame. [m]
    front_m : float or None
        As stated: along the line of play to the front of the green; None when only the place is known. [m]
    """

    name: str
    xy: tuple[float, float]
    front_m: float | None = None
    origin: Origin = Origin.PUBLISHED


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One number as walked, and what became of it.

    Attributes
    ----------
    source : str
        Tee or landmark it was taken from, as called on the hole.
    what : str
        What was measured, in the words of `strategy.course.measured.measurements`.
    value_m : float
        The number. [m]
    how : str
        As the caddie wrote it.
    line : int
        Line of the file, from 1.
    counts : bool
        The outline reproduces it; False when it is a question, or a number that does not beat the outline.
    moved_m : float
        How far the outline was moved for it, at most. [m]
    marks : tuple of (x, y)
        Where on the outlines it was taken. [m]
    """

    source: str
    what: str
    value_m: float
    origin: Origin
    how: str
    line: int
    counts: bool = True
    moved_m: float = 0.0
    marks: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstruction:
    """A stand, a tower or a tent that is not there every week (a temporary immovable obstruction). [m]"""

    name: str
    shape: shapely.Geometry


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """One hole, assembled.

    Attributes
    ----------
    label : str
        As the course calls it; ``ref=16`` stays "16".
    frame : Frame
        The course frame that every coordinate below is in.
    par : int
        Par; `par_assumed` says when it was inferred from the length.
    line : ndarray (n, 2)
        Line of play from the back tee to the middle of the green, n >= 2. [m]
    tees : tuple of Tee
        At least one; back tee first.
    green : shapely Polygon
        This hole's own green. [m]
    areas : tuple of Area
        Everything within the mapped margin, in no order; a neighbour's green and tee appear as
        fairway (they are cut as short), unless out of bounds.
    out_of_bounds : shapely geometry or None
        Ground that is out of bounds near the hole; None when nothing is known of it.
    mapped : shapely geometry
        The ground that is mapped: 60 m round the hole's features and line. Beyond it a ball is lost.
    rough_known : bool
        False when no rough is drawn: ground between outlines is taken for rough.
    notes : tuple of str
        The caddie's own notes from course.toml.
    landmarks : tuple of Landmark
        Farthest from the green first.
    measured : tuple of Measured
        What was walked on this hole, in file order.
    obstructions : tuple of Obstruction
        Drawn as rough in `areas`; a ball there has free relief by local rule, which is not in the numbers.
    heights : HeightMap or None
        Ground from a height model or from the outlines; None when nothing is known.
    stated : tuple of Stated
        Lengths that the outlines state.
    treetops : HeightMap or None
        Heights of crowns above the ground as a raster has them, nan where it has none; only `heights`,
        `corner` and `cell_m` mean anything.
    crown_m, stems_m : float
        Mean free way of a ball through a crown, and under the branches. [m]
    sketch : GreenSketch or None
        The green in the caddie's words.
    least_landing_m : float or None
        How far on a ball has to land to stay on the green, as course.toml states it. [m]
    card : tuple of str
        Labels of all holes of its course in the order of play; empty when it belongs to none.
    """

    label: str
    frame: Frame
    par: int
    line: FloatArray
    tees: tuple[Tee, ...]
    green: shapely.Polygon
    areas: tuple[Area, ...]
    mapped: shapely.Geometry
    name: str = ""
    par_assumed: bool = False
    out_of_bounds: shapely.Geometry | None = None
    rough_known: bool = False
    drop_zones: tuple[tuple[str, float, float], ...] = ()
    sight_marks: tuple[tuple[str, float, float], ...] = ()
    notes: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()
    landmarks: tuple[Landmark, ...] = ()
    measured: tuple[Measured, ...] = ()
    obstructions: tuple[Obstruction, ...] = ()
    heights: HeightMap | None = None
    sketch: GreenSketch | None = None
    least_landing_m: float | None = None
    stated: tuple[Stated, ...] = ()
    treetops: HeightMap | None = None
    crown_m: float = 6.0
    stems_m: float = 70.0
    card: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """A whole course: holes in playing order, one frame, and what reading found.

    Attributes
    ----------
    holes : tuple of Hole
        In the order of play.
    files : mapping of str to str
        Path (as given) to sha256 of every file that was read.
    """

    name: str
    frame: Frame
    holes: tuple[Hole, ...]
    credit: str = ""
    findings: tuple[Finding, ...] = ()
    files: Mapping[str, str] = field(default_factory=dict)

    def hole(self, label: str) -> Hole:
        """Give the hole with this label.

        Raises
        ------
        RequestError
            If there is none; the message lists the labels there are.
        """
        from strategy.errors import RequestError

        for hole in self.holes:
            if hole.label == label:
                return hole
        there = ", ".join(h.label for h in self.holes)
        raise RequestError(f"{self.name} has no hole {label!r}; its holes are {there}")
