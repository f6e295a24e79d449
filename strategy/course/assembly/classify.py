"""Finds out from its tags what each drawn feature is on a golf course, and transforms it to the course frame.

Tags follow the OpenStreetMap wiki, Key:golf and Tag:golf=hole (read 2025). The wiki leaves some questions
open. They are answered as follows, and the answers are reported as findings:

- Water without a golf tag is a penalty area, and so is a ditch or a stream that is drawn as a line (Rules of
  Golf 2023, Definitions, "Penalty Area": any body of water on the course, marked or not). Without a colour it
  is red (same place: if the colour is not marked or indicated, it is treated as red).
- A line of water is 2 m wide and a tree has a radius of 4 m, unless tags state other values. `natural=sand`
over
  3,000 m² is a beach or a dune and no bunker (engineering choices).
- A green over 6,000 m² or 150 m long, and a tee over 3,000 m² or 150 m long, are drawn wrongly. Their ground
  counts as fairway. (The largest double greens are near 3,500 m²; from memory.)
- A green that is drawn as a point is round and has 6,000 sq ft. An outline that is not closed is closed when
the
  gap is less than a tenth of its length. Of a loop with a tail the loop counts.
- Greens and tees on a practice ground, driving range or miniature golf course belong to no hole.
- Of a list of values ("green;fairway") the first that is known counts.
- Heights of trees are described in `strategy.course.maps.canopy`. A hedge reaches 1 m to each side of its
line
  unless `width` states more (engineering choice).
- `leisure=golf_course` encloses car parks and gardens too, so it is not the boundary of the course.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import shapely

from strategy.codes import Surface
from strategy.course.assembly.match import listed
from strategy.course.assembly.outlines import length_of, outline
from strategy.course.frame import Frame
from strategy.course.maps.canopy import tree_fields
from strategy.course.model import Area, Feature, FeatureTable, Finding, FindingKind, short_list
from strategy.course.readers.notes import CourseNotes
from strategy.course.stated import parse_length
from strategy.tomlfile import nearest
from strategy.units import YARD_M

WATER_LINE_M = 2.0
CANOPY_M = 4.0
HEDGE_M = 1.0
SAND_LIMIT_M2 = 3000.0
ASSUMED_GREEN_RADIUS_M = 13.3  # 6,000 sq ft, the size quoted for the tour (GCSAA tour facts)
# Least and greatest area, and greatest length. An outline beyond the greatest is not what its tag says; one
# below the least is asked about. Engineering choices. [m²], [m²], [m]
_GREEN_LIMITS = (50.0, 6000.0, 150.0)
_TEE_LIMITS = (0.0, 3000.0, 150.0)
_FAIRWAY_LEAST_M2 = 300.0
_BUNKER_MOST_M2 = 10_000.0
_PRACTICE = {
    "driving_range",
    "practice",
    "practice_area",
    "practice_green",
    "putting_green",
    "chipping_green",
}

_GOLF_SURFACE = {
    "fairway": Surface.FAIRWAY,
    "rough": Surface.ROUGH,
    "first_cut": Surface.FIRST_CUT,
    "semi_rough": Surface.FIRST_CUT,
    "fringe": Surface.FIRST_CUT,
    "bunker": Surface.BUNKER,
    "green": Surface.GREEN,
    "tee": Surface.TEE,
    "water_hazard": Surface.YELLOW,
    "lateral_water_hazard": Surface.RED,
    "penalty_area": Surface.RED,
}
_WATERWAYS = {"ditch", "stream", "river", "drain", "canal"}
_TREE_AREAS = {"natural": {"wood", "scrub", "tree_group"}, "landuse": {"forest"}}


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassifiedFeatures:
    """All features of a course by what they are, in the course frame. [m]

    Attributes
    ----------
    lines : tuple of (Feature, LineString)
        Lines of play, in file order.
    greens, tees : tuple of (Feature, geometry)
        Greens are polygons. Tees are polygons or points.
    areas : tuple of Area
        All other ground.
    boundaries : tuple of (Feature, geometry)
        Out-of-bounds lines and outlines.
    findings : tuple of Finding
        Repairs, assumptions and questions.
    hole_areas : tuple of (Feature, Polygon)
        Holes that are drawn as areas and not as lines of play.
    point_greens : frozenset of str
        Identifiers of greens that were drawn as points, so that their outline is assumed.
    """

    lines: tuple[tuple[Feature, shapely.LineString], ...]
    greens: tuple[tuple[Feature, shapely.Polygon], ...]
    tees: tuple[tuple[Feature, shapely.Geometry], ...]
    areas: tuple[Area, ...]
    boundaries: tuple[tuple[Feature, shapely.Geometry], ...]
    findings: tuple[Finding, ...]
    hole_areas: tuple[tuple[Feature, shapely.Polygon], ...] = ()
    point_greens: frozenset[str] = frozenset()


def classify(table: FeatureTable, notes: CourseNotes, frame: Frame) -> ClassifiedFeatures:
    """Find out what each feature of a table is on a golf course.

    Parameters
    ----------
    table : FeatureTable
        The features as read.
    notes : CourseNotes
        course.toml as read, for colours, boundaries and heights of trees.
    frame : Frame
        The course frame.

    Returns
    -------
    ClassifiedFeatures
    """
    classifier = _Classifier(notes, frame, practice=_practice_ground(table, frame))
    for feature in table.features:
        classifier.add(feature)
    classifier.finish()
    return ClassifiedFeatures(
        lines=tuple(classifier.lines),
        greens=tuple(classifier.greens),
        tees=tuple(classifier.tees),
        areas=tuple(classifier.areas),
        boundaries=tuple(classifier.boundaries),
        findings=tuple(classifier.findings),
        hole_areas=tuple(classifier.hole_areas),
        point_greens=frozenset(classifier.point_greens),
    )


@dataclass(slots=True)
class _Classifier:
    """Classifies features one by one and collects them.

    Attributes
    ----------
    practice : shapely geometry
        Practice grounds. [m]
    on_practice_ground : list of (Surface, Feature, geometry)
        Greens and tees on them, which are decided when all lines of play are known.
    ignored : dict of str to list of str
        Identifiers of features that are not used, by the reason.
    assumed_crowns : list of str
        Identifiers of trees without a crown width.
    """

    notes: CourseNotes
    frame: Frame
    practice: shapely.Geometry
    hole_areas: list[tuple[Feature, shapely.Polygon]] = field(default_factory=list)
    point_greens: list[str] = field(default_factory=list)
    on_practice_ground: list[tuple[Surface, Feature, shapely.Geometry]] = field(default_factory=list)
    lines: list[tuple[Feature, shapely.LineString]] = field(default_factory=list)
    greens: list[tuple[Feature, shapely.Polygon]] = field(default_factory=list)
    tees: list[tuple[Feature, shapely.Geometry]] = field(default_factory=list)
    areas: list[Area] = field(default_factory=list)
    boundaries: list[tuple[Feature, shapely.Geometry]] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    ignored: dict[str, list[str]] = field(default_factory=dict)
    assumed_crowns: list[str] = field(default_factory=list)

    def add(self, feature: Feature) -> None:
        tags, golf = feature.tags, self.golf_tag(feature)
        if golf == "hole":
            self.add_line(feature)
        elif golf == "out_of_bounds" or feature.fid in {b.feature for b in self.notes.out_of_bounds}:
            # course.toml may name any drawn line as a boundary: a wall, a road, the outline of the grounds.
            self.boundaries.append((feature, self.frame.project(feature.geometry)))
        elif golf in _GOLF_SURFACE:
            self.add_golf(feature, golf)
        elif golf:
            if close := nearest(golf, (*_GOLF_SURFACE, "hole", "out_of_bounds")):
                text = f"golf={golf} is not known and not used: is golf={close} meant?"
                self.add_finding(FindingKind.QUESTION, feature, text)
            else:
                self.ignore(f"golf={golf}", feature)
        elif tags.get("leisure") == "golf_course":
            reason = "leisure=golf_course (the outline of the grounds is not the boundary of play)"
            self.ignore(reason, feature)
        elif tags.get("natural") == "sand":
            self.add_sand(feature)
        elif water := _water(tags):
            self.add_water(feature, water)
        elif (
            any(tags.get(key) in values for key, values in _TREE_AREAS.items())
            or tags.get("natural") in ("tree", "tree_row")
            or tags.get("barrier") == "hedge"
        ):
            self.add_trees(feature)
        else:
            self.ignore(_kind(tags), feature)

    def golf_tag(self, feature: Feature) -> str:
        """The golf tag; of a list of values the first that is known."""
        values = listed(feature.tags.get("golf", ""))
        if len(values) < 2:
            return values[0] if values else ""
        known = [v for v in values if v in _GOLF_SURFACE or v in ("hole", "out_of_bounds")]
        chosen = known[0] if known else values[0]
        text = f"golf={feature.tags['golf']}: taken for golf={chosen}"
        self.add_finding(FindingKind.QUESTION, feature, text)
        return chosen

    def add_finding(self, kind: FindingKind, feature: Feature, text: str) -> None:
        self.findings.append(Finding(kind=kind, text=f"{feature.fid}: {text}", feature=feature.fid))

    def ignore(self, reason: str, feature: Feature) -> None:
        self.ignored.setdefault(reason, []).append(feature.fid)

    def add_area(self, surface: Surface, feature: Feature, shape: shapely.Geometry) -> None:
        self.areas.append(Area(surface=surface, shape=shape, fid=feature.fid))

    def add_line(self, feature: Feature) -> None:
        """Add a line of play, or a hole that is drawn as an area."""
        line = self.frame.project(feature.geometry)
        if line.geom_type in ("Polygon", "MultiPolygon"):
            self.hole_areas.append((feature, line))
            return
        if line.geom_type == "MultiLineString":
            line = shapely.line_merge(line)
        if line.geom_type != "LineString":
            text = f"a hole drawn as {line.geom_type}; only a line of play counts"
            self.add_finding(FindingKind.IGNORED, feature, text)
            return
        line = shapely.remove_repeated_points(line, 0.01)
        if line.is_closed and len(line.coords) >= 4:
            self.hole_areas.append((feature, shapely.Polygon(line)))
            return
        if shapely.covers(self.practice, line):
            self.ignore("golf=hole on a practice ground or miniature golf course", feature)
            return
        if line.length < 20.0:
            text = f"a line of play of {line.length:.1f} m is no hole"
            self.add_finding(FindingKind.IGNORED, feature, text)
            return
        if not line.is_simple:
            text = "the line of play crosses itself: draw it again"
            self.add_finding(FindingKind.QUESTION, feature, text)
        self.lines.append((feature, line))

    def add_golf(self, feature: Feature, golf: str) -> None:
        """Add a feature whose golf tag names a surface."""
        surface = _GOLF_SURFACE[golf]
        if golf == "rough" and feature.tags.get("rough") in ("first_cut", "semi", "intermediate"):
            surface = Surface.FIRST_CUT
        if surface.penalty_area:
            colour = feature.tags.get("penalty_area") if golf == "penalty_area" else golf
            self.add_water(feature, "penalty area", surface if colour in ("red", golf) else None, colour)
            return
        shape = self.frame.project(feature.geometry)
        if shape.geom_type == "Point" and surface in (Surface.TEE, Surface.GREEN):
            self.add_point(feature, surface, shape)
            return
        shape = self.outline(feature, shape)
        if shape is None:
            text = f"golf={golf} drawn as {feature.geometry.geom_type}: it has no outline"
            self.add_finding(FindingKind.IGNORED, feature, text)
        elif surface in (Surface.TEE, Surface.GREEN):
            self.add_green_or_tee(feature, surface, shape)
        else:
            size = f"golf={golf} of {shape.area:.0f} m²"
            if surface == Surface.FAIRWAY and shape.area < _FAIRWAY_LEAST_M2:
                text = f"{size}: is it a fairway, or a slip of the pen?"
                self.add_finding(FindingKind.QUESTION, feature, text)
            if surface == Surface.BUNKER and shape.area > _BUNKER_MOST_M2:
                self.add_finding(FindingKind.QUESTION, feature, f"{size}: is all of it a bunker?")
            self.add_area(surface, feature, shape)

    def add_point(self, feature: Feature, surface: Surface, shape: shapely.Point) -> None:
        """Add a tee, or a green of assumed size, that is drawn as a point."""
        if surface == Surface.GREEN:
            across = 2.0 * ASSUMED_GREEN_RADIUS_M / YARD_M
            text = f"the green is drawn as a point: a round one {across:.0f} yd across is taken there"
            self.add_finding(FindingKind.ASSUMED, feature, text)
            self.point_greens.append(feature.fid)
            shape = shapely.buffer(shape, ASSUMED_GREEN_RADIUS_M)
        if shapely.intersects(self.practice, shape):
            self.on_practice_ground.append((surface, feature, shape))
        else:
            (self.greens if surface == Surface.GREEN else self.tees).append((feature, shape))

    def add_green_or_tee(self, feature: Feature, surface: Surface, shape: shapely.Geometry) -> None:
        """Add a green or tee with an outline, or fairway when it is too large."""
        word = surface.label
        least, most, longest = _GREEN_LIMITS if surface == Surface.GREEN else _TEE_LIMITS
        length = length_of(shape)
        if shape.area > most or length > longest:
            text = f"a {word} {length:.0f} m long, of {shape.area:.0f} m², is no {word}: taken for fairway"
            self.add_finding(FindingKind.QUESTION, feature, text)
            self.add_area(Surface.FAIRWAY, feature, shape)
            return
        if shape.area < least:
            text = f"a {word} of {shape.area:.0f} m²: is it one, or a slip of the pen?"
            self.add_finding(FindingKind.QUESTION, feature, text)
        is_practice = _yes(feature.tags.get("practice")) or shapely.contains_xy(
            self.practice, *shapely.get_coordinates(shapely.centroid(shape))[0]
        )
        if is_practice:
            self.on_practice_ground.append((surface, feature, shape))
        elif surface == Surface.TEE:
            self.tees.append((feature, shape))
        else:
            parts = sorted(shapely.get_parts(shape), key=shapely.area, reverse=True)
            if len(parts) > 1:
                text = f"a green in {len(parts)} pieces; the largest counts"
                self.add_finding(FindingKind.REPAIRED, feature, text)
            self.greens.append((feature, parts[0]))

    def add_sand(self, feature: Feature) -> None:
        """Add sand without a golf tag."""
        shape = self.outline(feature, self.frame.project(feature.geometry))
        if shape is None:
            self.ignore("natural=sand without an outline", feature)
            return
        if shape.area > SAND_LIMIT_M2:
            self.ignore(f"natural=sand over {SAND_LIMIT_M2:.0f} m² (a beach or a dune, no bunker)", feature)
            return
        text = "natural=sand without a golf tag is taken for a bunker; is it one?"
        self.add_finding(FindingKind.QUESTION, feature, text)
        self.add_area(Surface.BUNKER, feature, shape)

    def add_water(
        self, feature: Feature, word: str, tagged: Surface | None = None, colour_tag: str | None = None
    ) -> None:
        """Add a penalty area.

        Parameters
        ----------
        word : str
            What it is called in findings.
        tagged : Surface, optional
            Its colour, when a tag states it.
        colour_tag : str, optional
            The tag of a penalty area that may state its colour.
        """
        colour = self.notes.penalty_areas.get(feature.fid)
        if colour is not None:
            surface, known = (Surface.YELLOW if colour == "yellow" else Surface.RED), True
        elif tagged is not None:
            surface, known = tagged, True
        elif colour_tag == "yellow":
            surface, known = Surface.YELLOW, True
        else:
            surface, known = Surface.RED, False
        shape = self.frame.project(feature.geometry)
        if shape.geom_type in ("LineString", "MultiLineString"):
            width = _metres(feature.tags.get("width")) or WATER_LINE_M
            shape = shapely.buffer(shape, width / 2.0, cap_style="flat")
            text = f"{word} drawn as a line: a penalty area {width:.0f} m wide"
            self.add_finding(FindingKind.ASSUMED, feature, text)
        else:
            shape = self.outline(feature, shape)
        if shape is None:
            self.ignore(f"{word} without an outline", feature)
            return
        self.areas.append(Area(surface=surface, shape=shape, fid=feature.fid, colour_known=known))

    def add_trees(self, feature: Feature) -> None:
        """Add an area or a row of trees, a single tree, scrub or a hedge."""
        shape = self.frame.project(feature.geometry)
        if shape.geom_type in ("Point", "MultiPoint", "LineString", "MultiLineString"):
            is_hedge = feature.tags.get("barrier") == "hedge"
            width = _metres(feature.tags.get("width" if is_hedge else "diameter_crown"))
            if width is None and not is_hedge:
                self.assumed_crowns.append(feature.fid)
            shape = shapely.buffer(shape, width / 2.0 if width else HEDGE_M if is_hedge else CANOPY_M)
        else:
            shape = self.outline(feature, shape)
        if shape is None:
            self.ignore("trees without an outline", feature)
            return
        fields = tree_fields(feature, self.notes, _metres(feature.tags.get("height")))
        self.areas.append(Area(surface=Surface.TREES, shape=shape, fid=feature.fid, **fields))

    def outline(self, feature: Feature, shape: shapely.Geometry) -> shapely.Geometry | None:
        """The valid outline of a shape; its repairs are reported. None when it has no outline."""
        valid, repairs = outline(shape)
        for repair in repairs:
            self.add_finding(FindingKind.REPAIRED, feature, repair)
        return valid

    def finish(self) -> None:
        """Decide about greens and tees on practice grounds, and report in one line what happened often."""
        self.resolve_practice_grounds()
        for reason, fids in self.ignored.items():
            text = f"{reason}: not used ({short_list(fids)})"
            self.findings.append(Finding(kind=FindingKind.IGNORED, text=text, feature=fids[0]))
        if self.assumed_crowns:
            trees = f"{len(self.assumed_crowns)} trees or rows without a crown width"
            text = f"{trees} ({short_list(self.assumed_crowns)}): {CANOPY_M:.0f} m to each side is taken"
            self.findings.append(Finding(kind=FindingKind.ASSUMED, text=text))

    def resolve_practice_grounds(self) -> None:
        """Greens and tees on practice grounds become fairway, unless a line of play ends at them."""
        ends = [shapely.Point(line.coords[k]) for _, line in self.lines for k in (0, -1)]
        for surface, feature, shape in self.on_practice_ground:
            if any(shapely.distance(shape, end) <= 3.0 for end in ends):
                (self.greens if surface == Surface.GREEN else self.tees).append((feature, shape))
                continue
            self.ignore(f"golf={surface.label} on a practice ground: no hole's", feature)
            if shape.geom_type != "Point":
                self.add_area(Surface.FAIRWAY, feature, shape)


def _practice_ground(table: FeatureTable, frame: Frame) -> shapely.Geometry:
    """Ground of driving ranges, practice areas and miniature golf courses. [m]"""
    shapes = [
        shapely.make_valid(frame.project(f.geometry))
        for f in table.features
        if (f.tags.get("golf") in _PRACTICE or f.tags.get("leisure") == "miniature_golf")
        and f.geometry.geom_type in ("Polygon", "MultiPolygon")
    ]
    ground = shapely.union_all(shapes) if shapes else shapely.Polygon()
    shapely.prepare(ground)
    return ground


def _yes(text: str | None) -> bool:
    """Whether a tag is set and does not say no."""
    return text is not None and text not in ("no", "false", "0", "")


def _water(tags: Mapping[str, str]) -> str:
    """The kind of water of a feature without a golf tag; "" for no water, and for water underground."""
    if tags.get("tunnel") in ("culvert", "yes") or tags.get("covered") == "yes":
        return ""
    if "water" in listed(tags.get("natural", "")) or tags.get("landuse") in ("reservoir", "basin"):
        return "water"
    if tags.get("waterway") in _WATERWAYS | {"riverbank"}:
        return tags["waterway"]
    return "ditch" if tags.get("barrier") == "ditch" else ""


def _kind(tags: Mapping[str, str]) -> str:
    """The tag that a feature is called by in a finding."""
    for key in (
        "leisure",
        "building",
        "barrier",
        "natural",
        "landuse",
        "highway",
        "waterway",
        "amenity",
        "surface",
    ):
        if key in tags:
            return f"{key}={tags[key]}"
    return next((f"{k}={v}" for k, v in tags.items()), "no tags")


def _metres(text: str | None) -> float | None:
    """A tag as a length; None when it is missing or cannot be read. [m]"""
    return None if text is None else parse_length(text)[0]
