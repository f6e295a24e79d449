"""The course as every other room sees it: holes, areas and findings in the course frame.

Axes of the course frame::

        y north [m]
        ^
        |        z up
        |
        +------> x east [m]      origin: centre of the course

    headings: degrees clockwise from true north, 0 = north, 90 = east
    side of a line of play: positive to the right of the direction of play
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Final, Literal

import shapely

from strategy.arrays import FloatArray
from strategy.codes import Surface
from strategy.course.frame import Frame
from strategy.course.green_sketch import GreenSketch
from strategy.course.height_map import HeightMap
from strategy.course.origin import Origin
from strategy.course.stated import StatedLength

HeightSource = Literal["measured", "given", "class", "assumed"]
# Heights of a young plantation or birches, of a mixed wood, and of old beeches or pines (engineering choice).
# [m]
TREE_CLASSES_M: Final = {"low": 8.0, "medium": 14.0, "tall": 22.0}


class FindingKind(StrEnum):
    """Kinds of findings that reading a course reports."""

    ASSUMED = "assumed"
    REPAIRED = "repaired"
    MISSING = "missing"
    IGNORED = "ignored"
    QUESTION = "question"


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """A note on the course as read: an assumption, a repair, a gap, or a question for the caddie.

    Attributes
    ----------
    text : str
        The note in words for the caddie.
    hole : str or None
        Label of the hole that the note is about; None for the whole course.
    feature : str or None
        Identifier, in the file, of the feature that the note is about.
    """

    kind: FindingKind
    text: str
    hole: str | None = None
    feature: str | None = None


def short_list(names: Sequence[str]) -> str:
    """Join the first three names, and say how many more there are.

    >>> short_list(["way/1", "way/2", "way/3", "way/4"])
    'way/1, way/2, way/3 and 1 more'
    """
    shown = ", ".join(names[:3])
    return shown if len(names) <= 3 else f"{shown} and {len(names) - 3} more"


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """One feature as a reader gives it, before the course is assembled.

    Attributes
    ----------
    fid : str
        Identifier in the file ("way/488340514").
    tags : mapping of str to str
        OpenStreetMap tags, unchanged.
    geometry : shapely geometry
        Longitude, latitude (OGC:CRS84). [°]
    """

    fid: str
    tags: Mapping[str, str]
    geometry: shapely.Geometry


@dataclass(frozen=True, slots=True, kw_only=True)
class FeatureTable:
    """All features of one file, in file order.

    Attributes
    ----------
    file : str
        Path of the file as the user wrote it.
    credit : str
        Credit line that the licence of the data asks for; "" when unknown.
    findings : tuple of Finding
        What the reader repaired or left out.
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
        For penalty areas: False when the colour is not stated and red is assumed.
    height_m : float or None
        For trees: their height; None when it is not known. [m]
    base_m : float or None
        For trees: height of the lowest branches; None when it is not known. [m]
    height_source : str
        For trees: where the height comes from, "measured" (a raster), "given", "class" or "assumed".
    low : bool
        For trees: True for scrub and hedges.
    original_shape : shapely geometry or None
        The outline as drawn, when a measurement has moved it; None when `shape` is as drawn. Features are
        named by the outline as drawn, so that a measurement does not rename them. [m]
    """

    surface: Surface
    shape: shapely.Geometry
    fid: str
    origin: Origin = Origin.TRACED
    colour_known: bool = True
    height_m: float | None = None
    base_m: float | None = None
    height_source: HeightSource = "assumed"
    low: bool = False
    original_shape: shapely.Geometry | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tee:
    """A teeing ground of a hole. `xy` is the middle of its front-to-back axis. [m]"""

    name: str
    xy: tuple[float, float]
    fid: str
    origin: Origin = Origin.TRACED


@dataclass(frozen=True, slots=True, kw_only=True)
class Landmark:
    """A fixed place on a hole that numbers are given from, such as a sprinkler head, a tree or a path.

    Attributes
    ----------
    xy : tuple of two floats
        Course frame. [m]
    front_m : float or None
        Stated distance along the line of play to the front of the green; None when only the place is
        stated. [m]
    """

    name: str
    xy: tuple[float, float]
    front_m: float | None = None
    origin: Origin = Origin.PUBLISHED


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """One distance that the caddie measured on the ground.

    Attributes
    ----------
    source : str
        Name of the tee or landmark that it was measured from.
    what : str
        What was measured, in the words of `strategy.course.measured.measurements`.
    value_m : float
        The distance. [m]
    line : int
        Line in measurements.csv, counted from 1.
    counts : bool
        True when the outlines were moved to agree with it. False when it became a question, or when its
        origin is not good enough to move an outline.
    marks : tuple of (x, y)
        Places on the outlines that it was measured to. [m]
    """

    source: str
    what: str
    value_m: float
    origin: Origin
    line: int
    counts: bool = True
    marks: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstruction:
    """A temporary immovable obstruction: a stand, a tower or a tent of this week. [m]"""

    name: str
    shape: shapely.Geometry


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """One hole, assembled.

    Attributes
    ----------
    label : str
        Number or name of the hole on the course; ``ref=16`` gives "16".
    frame : Frame
        The course frame of all coordinates below.
    par : int
        Par. `par_assumed` is True when it was inferred from the length.
    line : ndarray (n, 2)
        Line of play from the back tee to the middle of the green, n >= 2. [m]
    tees : tuple of Tee
        At least one; back tee first.
    green : shapely Polygon
        This hole's own green. [m]
    areas : tuple of Area
        All areas that touch the mapped ground, in no order. Greens and tees of other holes appear as
        fairway, because they are cut as short.
    out_of_bounds : shapely geometry or None
        Ground near the hole that is out of bounds; None when no boundary is drawn on the whole course. [m]
    mapped : shapely geometry
        The mapped ground: 60 m round the features and the line of the hole. Beyond it a ball is lost. [m]
    rough_known : bool
        False when no rough is drawn. The ground between the outlines is rough in either case.
    drop_zones, sight_marks : tuple of (name, x, y)
        Places that course.toml states. [m]
    notes : tuple of str
        The caddie's own notes from course.toml.
    landmarks : tuple of Landmark
        The landmark farthest from the green first.
    measurements : tuple of Measurement
        What the caddie measured on this hole, in file order.
    obstructions : tuple of Obstruction
        Obstructions count as rough in `areas`. Free relief from them is not part of the numbers.
    heights : HeightMap or None
        The ground, from a height model or from heights in the outlines; None when neither exists.
    stated_lengths : tuple of StatedLength
        Lengths that the tags of the outlines state.
    treetops : HeightMap or None
        Heights of trees above the ground from a raster, nan where the raster has none. Only `heights`,
        `corner` and `cell_m` have a meaning here.
    crown_m, stems_m : float
        Mean free path of a ball through a crown, and below the branches. [m]
    sketch : GreenSketch or None
        The green as the caddie describes it in words.
    card : tuple of str
        Labels of all holes of the course in the order of play; empty for a hole without a course.
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
    measurements: tuple[Measurement, ...] = ()
    obstructions: tuple[Obstruction, ...] = ()
    heights: HeightMap | None = None
    sketch: GreenSketch | None = None
    stated_lengths: tuple[StatedLength, ...] = ()
    treetops: HeightMap | None = None
    crown_m: float = 6.0
    stems_m: float = 70.0
    card: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """A whole course.

    Attributes
    ----------
    holes : tuple of Hole
        In the order of play.
    findings : tuple of Finding
        Findings on the course as a whole; each hole has its own.
    files : mapping of str to str
        SHA-256 of every file that was read, by its path as given.
    """

    name: str
    frame: Frame
    holes: tuple[Hole, ...]
    credit: str = ""
    findings: tuple[Finding, ...] = ()
    files: Mapping[str, str] = field(default_factory=dict)

    def hole(self, label: str) -> Hole:
        """The hole with this label.

        Raises
        ------
        RequestError
            If there is none. The message lists the labels of the course.
        """
        from strategy.errors import RequestError

        for hole in self.holes:
            if hole.label == label:
                return hole
        labels = ", ".join(h.label for h in self.holes)
        raise RequestError(f"{self.name} has no hole {label!r}; its holes are {labels}")
