"""From tags to ground: what each drawn feature is on a golf course, in the course frame.

Tags follow the OpenStreetMap wiki, Key:golf and Tag:golf=hole (read 2025). Where the wiki leaves a gap
the choice is stated and reported:

- Water without a golf tag is a penalty area, and so is a ditch or stream, drawn as a line (Rules of
  Golf 2023, Definitions, "Penalty Area": any body of water on the course, marked or not); without a
  colour it is red (same place: if the colour is not marked or indicated, it is treated as red).
- A line of water is 2 m wide, a canopy 4 m in radius, unless tags say more, and `natural=sand` over
  3,000 m² is a beach or a dune, no bunker (engineering choices).
- A green over 6,000 m² or 150 m long, and a tee over 3,000 m² or 150 m, are slips of the pen: the ground
  counts as fairway (the largest double greens are near 3,500 m²; from memory).
- A green drawn as a point is round and 6,000 sq ft. An outline that does not close is closed over a gap
  under a tenth of its length; of a loop with a tail the loop counts.
- Greens and tees on a practice ground, driving range or miniature golf course belong to no hole.
- Of a list of values ("green;fairway") the first that is known counts.
- Trees have the height that course.toml states for the feature, else that of their tag, else the default of
  course.toml; where nothing is said `strategy.course.maps.canopy` assumes one. Scrub and hedges are low
  growth, no default of course.toml counts for them; a hedge is 1 m to each side of its line unless `width`
  says more (engineering choice).
- `leisure=golf_course` encloses car parks and gardens too: it is not the boundary.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np
import shapely

from strategy.codes import Surface
from strategy.course.assembly.match import listed
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
# Beyond these an outline cannot be what its tag says, or is asked about: least and most area, length.
# Engineering choices; [m²], [m].
_GREEN_LIMITS = (50.0, 6000.0, 150.0)
_TEE_LIMITS = (0.0, 3000.0, 150.0)
_FAIRWAY_LEAST_M2 = 300.0
_BUNKER_MOST_M2 = 10_000.0
_GAP_SHARE = 0.1
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
_WET_LINES = {"ditch", "stream", "river", "drain", "canal"}
_WOODS = {"natural": {"wood", "scrub", "tree_group"}, "landuse": {"forest"}}


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """Everything drawn, sorted by what it is. Course frame. [m]

    Attributes
    ----------
    lines : tuple of (Feature, LineString)
        Lines of play, in file order.
    greens, tees : tuple of (Feature, geometry)
        Greens are polygons; tees are polygons or points.
    areas : tuple of Area
        All other ground.
    hole_areas : tuple of (Feature, Polygon)
        Holes drawn as an area instead of a line of play.
    point_greens : frozenset of str
        Greens that were drawn as points: their outline is assumed.
    boundaries : tuple of (Feature, geometry)
        Out-of-bounds lines and outlines.
    """

    lines: tuple[tuple[Feature, shapely.LineString], ...]
    greens: tuple[tuple[Feature, shapely.Polygon], ...]
    tees: tuple[tuple[Feature, shapely.Geometry], ...]
    areas: tuple[Area, ...]
    boundaries: tuple[tuple[Feature, shapely.Geometry], ...]
    findings: tuple[Finding, ...]
    hole_areas: tuple[tuple[Feature, shapely.Polygon], ...] = ()
    point_greens: frozenset[str] = frozenset()


def classify(table: FeatureTable, notes: CourseNotes, frame: Frame) -> Drawn:
    """Sort the features of a table by what they are on a golf course.

    Parameters
    ----------
    table : FeatureTable
        What a reader gave.
    notes : CourseNotes
        Colours and heights stated by the caddie.
    frame : Frame
        The course frame.

    Returns
    -------
    Drawn
    """
    sorter = _Sorter(notes, frame, practice=_practice(table, frame))
    for feature in table.features:
        sorter.put(feature)
    sorter.sum_up()
    return Drawn(
        lines=tuple(sorter.lines),
        greens=tuple(sorter.greens),
        tees=tuple(sorter.tees),
        areas=tuple(sorter.areas),
        boundaries=tuple(sorter.boundaries),
        findings=tuple(sorter.findings),
        hole_areas=tuple(sorter.hole_areas),
        point_greens=frozenset(sorter.point_greens),
    )


@dataclass(slots=True)
class _Sorter:
    notes: CourseNotes
    frame: Frame
    practice: shapely.Geometry
    hole_areas: list[tuple[Feature, shapely.Polygon]] = field(default_factory=list)
    point_greens: list[str] = field(default_factory=list)
    off_holes: list[tuple[Surface, Feature, shapely.Geometry]] = field(default_factory=list)
    lines: list[tuple[Feature, shapely.LineString]] = field(default_factory=list)
    greens: list[tuple[Feature, shapely.Polygon]] = field(default_factory=list)
    tees: list[tuple[Feature, shapely.Geometry]] = field(default_factory=list)
    areas: list[Area] = field(default_factory=list)
    boundaries: list[tuple[Feature, shapely.Geometry]] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    ignored: dict[str, list[str]] = field(default_factory=dict)
    canopies: list[str] = field(default_factory=list)

    def put(self, feature: Feature) -> None:
        tags, golf = feature.tags, self.golf(feature)
        if golf == "hole":
            self.put_line(feature)
        elif golf == "out_of_bounds" or feature.fid in {b.feature for b in self.notes.out_of_bounds}:
            # course.toml may call any drawn line a boundary: a wall, a road, the outline of the grounds.
            self.boundaries.append((feature, self.frame.project(feature.geometry)))
        elif golf in _GOLF_SURFACE:
            self.put_golf(feature, golf)
        elif golf:
            if close := nearest(golf, (*_GOLF_SURFACE, "hole", "out_of_bounds")):
                text = f"golf={golf} is not known and not used: is golf={close} meant?"
                self.say(FindingKind.QUESTION, feature, text)
            else:
                self.skip(f"golf={golf}", feature)
        elif tags.get("leisure") == "golf_course":
            self.skip("leisure=golf_course (the outline of the grounds is not the boundary of play)", feature)
        elif tags.get("natural") == "sand":
            self.put_sand(feature)
        elif wet := _water(tags):
            self.put_water(feature, wet)
        elif (
            any(tags.get(key) in values for key, values in _WOODS.items())
            or tags.get("natural")
            in (
                "tree",
                "tree_row",
            )
            or tags.get("barrier") == "hedge"
        ):
            self.put_trees(feature)
        else:
            self.skip(_kind(tags), feature)

    def golf(self, feature: Feature) -> str:
        """The golf tag; of a list of values the first that is known."""
        values = listed(feature.tags.get("golf", ""))
        if len(values) < 2:
            return values[0] if values else ""
        known = [v for v in values if v in _GOLF_SURFACE or v in ("hole", "out_of_bounds")]
        chosen = known[0] if known else values[0]
        self.say(FindingKind.QUESTION, feature, f"golf={feature.tags['golf']}: taken for golf={chosen}")
        return chosen

    def say(self, kind: FindingKind, feature: Feature, text: str) -> None:
        self.findings.append(Finding(kind=kind, text=f"{feature.fid}: {text}", feature=feature.fid))

    def skip(self, kind: str, feature: Feature) -> None:
        self.ignored.setdefault(kind, []).append(feature.fid)

    def put_line(self, feature: Feature) -> None:
        line = self.frame.project(feature.geometry)
        if line.geom_type in ("Polygon", "MultiPolygon"):
            self.hole_areas.append((feature, line))
            return
        if line.geom_type == "MultiLineString":
            line = shapely.line_merge(line)
        if line.geom_type != "LineString":
            self.say(
                FindingKind.IGNORED, feature, f"a hole drawn as {line.geom_type}; only a line of play counts"
            )
            return
        line = shapely.remove_repeated_points(line, 0.01)
        if line.is_closed and len(line.coords) >= 4:
            self.hole_areas.append((feature, shapely.Polygon(line)))
            return
        if shapely.covers(self.practice, line):
            self.skip("golf=hole on a practice ground or miniature golf course", feature)
            return
        if line.length < 20.0:
            self.say(FindingKind.IGNORED, feature, f"a line of play of {line.length:.1f} m is no hole")
            return
        if not line.is_simple:
            self.say(FindingKind.QUESTION, feature, "the line of play crosses itself: draw it again")
        self.lines.append((feature, line))

    def put_golf(self, feature: Feature, golf: str) -> None:
        surface = _GOLF_SURFACE[golf]
        if golf == "rough" and feature.tags.get("rough") in ("first_cut", "semi", "intermediate"):
            surface = Surface.FIRST_CUT
        if surface.penalty_area:
            stated = feature.tags.get("penalty_area") if golf == "penalty_area" else golf
            self.put_water(feature, "penalty area", surface if stated in ("red", golf) else None, stated)
            return
        shape = self.frame.project(feature.geometry)
        if shape.geom_type == "Point" and surface in (Surface.TEE, Surface.GREEN):
            self.put_point(feature, surface, shape)
            return
        shape = self.outline(feature, shape)
        if shape is None:
            self.say(
                FindingKind.IGNORED,
                feature,
                f"golf={golf} drawn as {feature.geometry.geom_type}: it has no outline",
            )
        elif surface in (Surface.TEE, Surface.GREEN):
            self.put_target(feature, surface, shape)
        else:
            size = f"golf={golf} of {shape.area:.0f} m²"
            if surface == Surface.FAIRWAY and shape.area < _FAIRWAY_LEAST_M2:
                self.say(FindingKind.QUESTION, feature, f"{size}: is it a fairway, or a slip of the pen?")
            if surface == Surface.BUNKER and shape.area > _BUNKER_MOST_M2:
                self.say(FindingKind.QUESTION, feature, f"{size}: is all of it a bunker?")
            self.areas.append(Area(surface=surface, shape=shape, fid=feature.fid))

    def put_point(self, feature: Feature, surface: Surface, shape: shapely.Point) -> None:
        """A tee, or a green of assumed size, drawn as a point."""
        if surface == Surface.GREEN:
            across = 2.0 * ASSUMED_GREEN_RADIUS_M / YARD_M
            text = f"the green is drawn as a point: a round one {across:.0f} yd across is taken there"
            self.say(FindingKind.ASSUMED, feature, text)
            self.point_greens.append(feature.fid)
            shape = shapely.buffer(shape, ASSUMED_GREEN_RADIUS_M)
        if shapely.intersects(self.practice, shape):
            self.off_holes.append((surface, feature, shape))
        else:
            (self.greens if surface == Surface.GREEN else self.tees).append((feature, shape))

    def put_target(self, feature: Feature, surface: Surface, shape: shapely.Geometry) -> None:
        """A green or tee with an outline, unless it is none by its size."""
        word = surface.label
        least, most, longest = _GREEN_LIMITS if surface == Surface.GREEN else _TEE_LIMITS
        length = _length(shape)
        if shape.area > most or length > longest:
            text = f"a {word} {length:.0f} m long, of {shape.area:.0f} m², is no {word}: taken for fairway"
            self.say(FindingKind.QUESTION, feature, text)
            self.areas.append(Area(surface=Surface.FAIRWAY, shape=shape, fid=feature.fid))
            return
        if shape.area < least:
            text = f"a {word} of {shape.area:.0f} m²: is it one, or a slip of the pen?"
            self.say(FindingKind.QUESTION, feature, text)
        practice = _yes(feature.tags.get("practice")) or shapely.contains_xy(
            self.practice, *shapely.get_coordinates(shapely.centroid(shape))[0]
        )
        if practice:
            self.off_holes.append((surface, feature, shape))
        elif surface == Surface.TEE:
            self.tees.append((feature, shape))
        else:
            parts = sorted(shapely.get_parts(shape), key=shapely.area, reverse=True)
            if len(parts) > 1:
                self.say(FindingKind.REPAIRED, feature, f"a green in {len(parts)} pieces; the largest counts")
            self.greens.append((feature, parts[0]))

    def settle_practice(self) -> None:
        """What lies on a practice ground is cut short, but no hole's, unless a line of play ends there."""
        ends = [shapely.Point(line.coords[k]) for _, line in self.lines for k in (0, -1)]
        for surface, feature, shape in self.off_holes:
            if any(shapely.distance(shape, end) <= 3.0 for end in ends):
                (self.greens if surface == Surface.GREEN else self.tees).append((feature, shape))
                continue
            self.skip(f"golf={surface.label} on a practice ground: no hole's", feature)
            if shape.geom_type != "Point":
                self.areas.append(Area(surface=Surface.FAIRWAY, shape=shape, fid=feature.fid))

    def put_sand(self, feature: Feature) -> None:
        shape = self.outline(feature, self.frame.project(feature.geometry))
        if shape is None:
            self.skip("natural=sand without an outline", feature)
            return
        if shape.area > SAND_LIMIT_M2:
            self.skip(f"natural=sand over {SAND_LIMIT_M2:.0f} m² (a beach or a dune, no bunker)", feature)
            return
        self.say(
            FindingKind.QUESTION, feature, "natural=sand without a golf tag is taken for a bunker; is it one?"
        )
        self.areas.append(Area(surface=Surface.BUNKER, shape=shape, fid=feature.fid))

    def put_water(
        self, feature: Feature, what: str, tagged: Surface | None = None, stated: str | None = None
    ) -> None:
        colour = self.notes.penalty_areas.get(feature.fid)
        if colour is not None:
            surface, known = (Surface.YELLOW if colour == "yellow" else Surface.RED), True
        elif tagged is not None:
            surface, known = tagged, True
        elif stated == "yellow":
            surface, known = Surface.YELLOW, True
        else:
            surface, known = Surface.RED, False
        shape = self.frame.project(feature.geometry)
        if shape.geom_type in ("LineString", "MultiLineString"):
            width = _metres(feature.tags.get("width")) or WATER_LINE_M
            shape = shapely.buffer(shape, width / 2.0, cap_style="flat")
            self.say(
                FindingKind.ASSUMED, feature, f"{what} drawn as a line: a penalty area {width:.0f} m wide"
            )
        else:
            shape = self.outline(feature, shape)
        if shape is None:
            self.skip(f"{what} without an outline", feature)
            return
        self.areas.append(Area(surface=surface, shape=shape, fid=feature.fid, colour_known=known))

    def put_trees(self, feature: Feature) -> None:
        shape = self.frame.project(feature.geometry)
        if shape.geom_type in ("Point", "MultiPoint", "LineString", "MultiLineString"):
            hedge = feature.tags.get("barrier") == "hedge"
            crown = _metres(feature.tags.get("width" if hedge else "diameter_crown"))
            if crown is None and not hedge:
                self.canopies.append(feature.fid)
            shape = shapely.buffer(shape, crown / 2.0 if crown else HEDGE_M if hedge else CANOPY_M)
        else:
            shape = self.outline(feature, shape)
        if shape is None:
            self.skip("trees without an outline", feature)
            return
        stand = tree_fields(feature, self.notes, _metres(feature.tags.get("height")))
        self.areas.append(Area(surface=Surface.TREES, shape=shape, fid=feature.fid, **stand))

    def outline(self, feature: Feature, shape: shapely.Geometry) -> shapely.Geometry | None:
        """The polygonal part of a shape, valid; None when there is none."""
        if shape.geom_type == "LineString" and len(shape.coords) >= 3:
            shape = self.closed(feature, shape)
        whole = _polygons([shape])
        if not whole:
            return None
        shape = whole[0] if len(whole) == 1 else shapely.MultiPolygon(whole)
        if shape.is_valid:
            return shape if shape.area > 0.0 else None
        why = shapely.is_valid_reason(shape).split("[")[0]
        parts = _polygons([shapely.make_valid(shape)])
        if not parts:
            return None
        mended = shapely.union_all(parts)
        self.say(
            FindingKind.REPAIRED,
            feature,
            f"the outline was not valid ({why.lower()}); mended to {mended.area:.0f} m²",
        )
        return mended

    def closed(self, feature: Feature, line: shapely.LineString) -> shapely.Geometry:
        """An outline drawn as a line: closed if it is, or nearly, or has a loop; else the line."""
        if line.is_closed:
            return shapely.Polygon(line) if len(line.coords) >= 4 else line
        loops = shapely.get_parts(shapely.polygonize([shapely.union_all(line)]))
        if len(loops):
            loop = max(loops, key=shapely.area)
            self.say(FindingKind.REPAIRED, feature, "the outline is a loop with a tail; the loop counts")
            return loop
        gap = float(shapely.distance(shapely.Point(line.coords[0]), shapely.Point(line.coords[-1])))
        if gap <= _GAP_SHARE * line.length:
            text = f"the outline did not end where it starts; closed over {gap:.1f} m"
            self.say(FindingKind.REPAIRED, feature, text)
            return shapely.Polygon([*line.coords, line.coords[0]])
        return line

    def sum_up(self) -> None:
        """One finding a kind for what is ignored or assumed many times."""
        self.settle_practice()
        for kind, fids in self.ignored.items():
            self.findings.append(
                Finding(
                    kind=FindingKind.IGNORED, text=f"{kind}: not used ({short_list(fids)})", feature=fids[0]
                )
            )
        if self.canopies:
            met = f"{len(self.canopies)} trees or rows without a crown width ({short_list(self.canopies)})"
            text = f"{met}: {CANOPY_M:.0f} m to each side is taken"
            self.findings.append(Finding(kind=FindingKind.ASSUMED, text=text))


def _practice(table: FeatureTable, frame: Frame) -> shapely.Geometry:
    """Ground of driving ranges, practice areas and miniature golf. [m]"""
    found = [
        shapely.make_valid(frame.project(f.geometry))
        for f in table.features
        if (f.tags.get("golf") in _PRACTICE or f.tags.get("leisure") == "miniature_golf")
        and f.geometry.geom_type in ("Polygon", "MultiPolygon")
    ]
    ground = shapely.union_all(found) if found else shapely.Polygon()
    shapely.prepare(ground)
    return ground


def _yes(text: str | None) -> bool:
    return text is not None and text not in ("no", "false", "0", "")


def _length(shape: shapely.Geometry) -> float:
    """The longer side of the narrowest rectangle round a shape. [m]"""
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(shape))
    return float(np.hypot(*np.diff(corners[:3], axis=0).T).max()) if len(corners) > 2 else 0.0


def _water(tags: Mapping[str, str]) -> str:
    """What kind of water a feature without a golf tag is; "" for none, or none in the open."""
    if tags.get("tunnel") in ("culvert", "yes") or tags.get("covered") == "yes":
        return ""
    if "water" in listed(tags.get("natural", "")) or tags.get("landuse") in ("reservoir", "basin"):
        return "water"
    if tags.get("waterway") in _WET_LINES | {"riverbank"}:
        return tags["waterway"]
    return "ditch" if tags.get("barrier") == "ditch" else ""


def _kind(tags: Mapping[str, str]) -> str:
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


def _polygons(shapes: Iterable[shapely.Geometry]) -> list[shapely.Polygon]:
    found: list[shapely.Polygon] = []
    for shape in shapes:
        if shape.geom_type == "Polygon":
            found.extend([] if shape.is_empty else [shape])
        elif shape.geom_type in ("MultiPolygon", "GeometryCollection"):
            found.extend(_polygons(shapely.get_parts(shape)))
    return found


def _metres(text: str | None) -> float | None:
    """A length tag in metres unless it says feet or yards; None when it cannot be read."""
    return None if text is None else parse_length(text)[0]
