"""One hole: its line from the back tee to the middle of the green, par, ground and boundaries."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.ops import substring

from strategy.arrays import FloatArray
from strategy.codes import Surface
from strategy.course.assembly.boundary import out_side
from strategy.course.assembly.classify import ASSUMED_GREEN_RADIUS_M, Drawn
from strategy.course.assembly.match import listed
from strategy.course.frame import Frame
from strategy.course.model import Area, Feature, Finding, FindingKind, Hole, Tee
from strategy.course.origin import Origin
from strategy.course.playline import along_side, heading_at, line_length
from strategy.course.readers.notes import CourseNotes, PlaceEntry
from strategy.course.stated import StatedLength, compare_length, stated_lengths
from strategy.units import yards

MAPPED_M = 60.0
# Features stretch the map only so far: with the margin it ends 140 m off the line, where no shot that a
# plan weighs comes to rest (engineering choice).
FEATURE_REACH_M = 80.0
SNAP_M = 5.0
CLEAR_OF_TEE_M = 150.0
FAIRWAY_REACH_M = 100.0
# A fairway this small, this near to the start of a line without tee, may be its tee (engineering choice).
TEE_MOST_M2 = 1500.0
TEE_NEAR_M = 45.0

# Men's par ranges, Rules of Handicapping, Appendix F (World Handicap System): 3 to 260 yd, 4 240-490,
# 5 450-710, 6 670 and over. They overlap; the middle of each overlap divides.
_PAR_LIMITS_YD = ((250.0, 3), (470.0, 4), (690.0, 5))
PAR_RANGE_YD = {
    3: (0.0, 260.0),
    4: (240.0, 490.0),
    5: (450.0, 710.0),
    6: (670.0, 1000.0),
    7: (900.0, 1500.0),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleMatch:
    """What matching decided for one hole, before it is built.

    Attributes
    ----------
    line : LineString
        Line of play as drawn, in the direction of play. [m]
    turned : bool
        It was drawn from the green to the tee.
    green : int or None
        Index into `Drawn.greens`.
    green_shared : bool
        Another line of play ends in the same green.
    nearer_green : str
        Label of the hole whose green is nearer to the line's end; "" when its own is nearest.
    tees : tuple of int
        Indices into `Drawn.tees`.
    """

    label: str
    feature: Feature
    line: shapely.LineString
    turned: bool
    green: int | None
    green_shared: bool
    nearer_green: str
    tees: tuple[int, ...]


@dataclass(slots=True)
class _Say:
    """Findings of one hole."""

    label: str
    found: list[Finding] = field(default_factory=list)

    def __call__(self, kind: FindingKind, text: str, feature: str | None = None) -> None:
        self.found.append(Finding(kind=kind, text=text, hole=self.label, feature=feature))


def build_hole(
    plan: HoleMatch, plans: Sequence[HoleMatch], drawn: Drawn, notes: CourseNotes, frame: Frame
) -> Hole:
    """Build one hole.

    Parameters
    ----------
    plan : HoleMatch
        This hole.
    plans : sequence of HoleMatch
        All holes of the course: a feature stretches the map of the hole whose line is nearest.
    drawn : Drawn
        Everything on the course.
    notes : CourseNotes
        What the caddie adds.
    frame : Frame
        The course frame.

    Returns
    -------
    Hole
    """
    say = _Say(plan.label)
    said = notes.holes.get(plan.label)
    if plan.turned:
        say(
            FindingKind.REPAIRED,
            "the line of play was drawn from the green to the tee; turned round",
            plan.feature.fid,
        )
    green = _green(plan, drawn, say)
    tees = _tees(plan, drawn, notes, frame, say)
    line = _line(plan, drawn, tees, green, say)
    length = line_length(line)
    par, assumed = _par(plan, said.par if said else None, length, say)
    if par == 3 and len(line) > 2:
        line = _straight(plan, line, say)
        length = line_length(line)
    path = shapely.LineString(line)
    mapped = _mapped(plan, plans, drawn, tees, green, path)
    shapely.prepare(mapped)
    near = [
        area
        for area, is_near in zip(drawn.areas, shapely.intersects(_shapes(drawn.areas), mapped), strict=True)
        if is_near
    ]
    areas = _areas(plan, drawn, near, mapped, say)
    name = (said.name if said else "") or plan.feature.tags.get("name", "")
    if not name:
        say(FindingKind.MISSING, "the hole has no name", plan.feature.fid)
    stated = stated_lengths(plan.feature.tags)
    _check_dist(plan, stated, line, tees, say)
    _check_fairway(par, path, near, plan, say)
    return Hole(
        label=plan.label,
        frame=frame,
        par=par,
        line=line,
        tees=tees,
        green=green,
        areas=areas,
        mapped=mapped,
        name=name,
        par_assumed=assumed,
        out_of_bounds=_out(plan, drawn, notes, path, mapped, say),
        rough_known=any(a.surface == Surface.ROUGH for a in areas),
        drop_zones=_places(notes.drop_zones, plan.label, frame, "drop zone"),
        sight_marks=_places(notes.sight_marks, plan.label, frame, "mark"),
        notes=said.notes if said else (),
        findings=tuple(say.found),
        stated_lengths=stated,
    )


def infer_par(length_m: float) -> int:
    """Par from the length (Rules of Handicapping, Appendix F, men; overlaps divided in the middle).

    >>> from strategy.units import metres
    >>> [infer_par(metres(yd)) for yd in (180, 420, 560, 720)]
    [3, 4, 5, 6]
    """
    return next((par for limit, par in _PAR_LIMITS_YD if yards(length_m) < limit), 6)


def _green(plan: HoleMatch, drawn: Drawn, say: _Say) -> shapely.Polygon:
    if plan.green is None:
        say(
            FindingKind.ASSUMED,
            "no green is drawn at the end of the line: a round one 29 yd across is taken there",
            plan.feature.fid,
        )
        green: shapely.Polygon = shapely.buffer(shapely.Point(plan.line.coords[-1]), ASSUMED_GREEN_RADIUS_M)
        return green
    feature, shape = drawn.greens[plan.green]
    gap = float(shapely.distance(shape, shapely.Point(plan.line.coords[-1])))
    if gap > SNAP_M:
        say(
            FindingKind.REPAIRED,
            f"the line of play stops {gap:.0f} m short of the green {feature.fid}; drawn on",
            feature.fid,
        )
    if plan.nearer_green:
        text = f"the green of {plan.nearer_green} is nearer to the end of the line; {feature.fid} is taken"
        say(FindingKind.ASSUMED, text, feature.fid)
    if plan.green_shared:
        say(FindingKind.QUESTION, f"another line of play ends in the same green {feature.fid}", feature.fid)
    return shape


def _tees(plan: HoleMatch, drawn: Drawn, notes: CourseNotes, frame: Frame, say: _Say) -> tuple[Tee, ...]:
    """Tees of the hole, back tee first."""
    path = np.asarray(plan.line.coords, dtype=np.float64)
    tees = []
    for j in plan.tees:
        feature, shape = drawn.tees[j]
        name = feature.tags.get("tee") or feature.tags.get("name") or feature.tags.get("colour") or ""
        middle = _tee_middle(shape, path)
        tees += [Tee(name=each, xy=middle, fid=feature.fid) for each in listed(name) or [""]]
        if plan.label not in listed(feature.tags.get("ref", "")):
            say(
                FindingKind.ASSUMED,
                f"tee {feature.fid} has no ref of this hole; taken as its tee by position",
                feature.fid,
            )
    for place in notes.tees:
        if place.hole == plan.label:
            x, y = frame.to_xy(place.at)[0]
            tees.append(
                Tee(name=place.name, xy=(float(x), float(y)), fid="course.toml", origin=Origin.PUBLISHED)
            )
    if not tees:
        say(FindingKind.ASSUMED, "no tee is drawn: the start of the line of play is taken", plan.feature.fid)
        if (fid := _tee_as_fairway(plan, drawn)) is not None:
            ref = f" and ref={plan.label}" if plan.label else ""
            text = f"{fid}, tagged fairway, lies where the tee would be: is it the tee? Tag it golf=tee{ref}"
            say(FindingKind.QUESTION, text, fid)
        x, y = path[0]
        tees.append(
            Tee(name="line start", xy=(float(x), float(y)), fid=plan.feature.fid, origin=Origin.ASSUMED)
        )
    depth = along_side(path, [tee.xy for tee in tees])[:, 1]
    ordered = [tees[i] for i in np.argsort(depth, kind="stable")]
    names: set[str] = set()
    result = []
    for number, tee in enumerate(ordered, start=1):
        name = tee.name or ("back" if number == 1 else f"tee {number}")
        while name in names:
            name = f"{name} {number}"
        names.add(name)
        result.append(Tee(name=name, xy=tee.xy, fid=tee.fid, origin=tee.origin))
    return tuple(result)


def _tee_as_fairway(plan: HoleMatch, drawn: Drawn) -> str | None:
    """The fairway no larger than a tee that is nearest to the start of the line of play, if one is near."""
    start = shapely.Point(plan.line.coords[0])
    near = [
        (float(shapely.distance(area.shape, start)), area.fid)
        for area in drawn.areas
        if area.surface == Surface.FAIRWAY and area.shape.area <= TEE_MOST_M2
    ]
    away, fid = min(near, default=(np.inf, ""))
    return fid if away <= TEE_NEAR_M else None


def _tee_middle(shape: shapely.Geometry, path: FloatArray) -> tuple[float, float]:
    """Middle of a tee's front-to-back axis along the line of play."""
    centre = shapely.get_coordinates(shapely.centroid(shape))[0]
    if shape.geom_type not in ("Polygon", "MultiPolygon"):
        return (float(centre[0]), float(centre[1]))
    heading = np.radians(heading_at(path, float(along_side(path, centre)[0, 1])))
    ahead = np.array([np.sin(heading), np.cos(heading)])
    chord = shapely.intersection(shapely.LineString([centre - 500.0 * ahead, centre + 500.0 * ahead]), shape)
    if chord.is_empty:
        return (float(centre[0]), float(centre[1]))
    ends = shapely.get_coordinates(chord)
    depth = (ends - centre) @ ahead
    middle = centre + 0.5 * (depth.min() + depth.max()) * ahead
    return (float(middle[0]), float(middle[1]))


def _line(
    plan: HoleMatch, drawn: Drawn, tees: tuple[Tee, ...], green: shapely.Polygon, say: _Say
) -> FloatArray:
    """Line of play from the back tee over the drawn turns to the middle of the green."""
    path = np.asarray(plan.line.coords, dtype=np.float64)
    start = np.asarray(tees[0].xy)
    middle = (
        shapely.centroid(green)
        if shapely.contains(green, shapely.centroid(green))
        else shapely.point_on_surface(green)
    )
    end = shapely.get_coordinates(middle)[0]
    # To the tee's edge when it is drawn as an area; a start on the tee itself is no fault.
    shapes = [shape for feature, shape in drawn.tees if feature.fid == tees[0].fid] or [shapely.Point(start)]
    gap = float(shapely.distance(shapes[0], shapely.Point(path[0])))
    at = float(along_side(path, start)[0, 1])
    if gap > SNAP_M and tees[0].origin != Origin.ASSUMED:
        if at > 0.0:
            say(
                FindingKind.REPAIRED,
                f"the line of play starts {gap:.0f} m behind the tee; it now starts at the tee",
                plan.feature.fid,
            )
        else:
            say(
                FindingKind.REPAIRED,
                f"the line of play starts {gap:.0f} m ahead of the back tee; it now starts at the tee",
                plan.feature.fid,
            )
    depth = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(path, axis=0).T))))
    to_green = shapely.distance(shapely.points(path), green)
    # Turns between the tee and the green stay; the drawn ends give way to the tee and the middle.
    turns = path[1:-1][(depth[1:-1] > at + 1.0) & (to_green[1:-1] > 1.0)]
    last_apart = to_green[-1] > 40.0
    inner = [*turns, path[-1]] if last_apart else [*turns]
    return np.vstack([start, *inner, end])


def _straight(plan: HoleMatch, line: FloatArray, say: _Say) -> FloatArray:
    """A par 3 is played straight at the green, however its line is drawn (one leg: OpenStreetMap wiki)."""
    straight = line[[0, -1]]
    off = float(np.abs(along_side(straight, line[1:-1])[:, 0]).max())
    if off > SNAP_M:
        text = f"the line of play of a par 3 bends by {off:.0f} m; it now runs straight"
        say(FindingKind.REPAIRED, text, plan.feature.fid)
    return straight


def _par(plan: HoleMatch, stated: int | None, length: float, say: _Say) -> tuple[int, bool]:
    if stated is not None:
        return stated, False
    text = plan.feature.tags.get("par", "").strip()
    values = listed(text)
    if len(values) > 1:
        say(FindingKind.QUESTION, f"par={text}: {values[0]} is taken", plan.feature.fid)
    par = int(values[0]) if values and values[0].isdecimal() else None
    if par is None or not 3 <= par <= 7:
        inferred = infer_par(length)
        met = f"par {text!r} cannot be read" if text else "par is missing"
        say(
            FindingKind.ASSUMED,
            f"{met}: par {inferred} is taken from the length of {yards(length):.0f} yd",
            plan.feature.fid,
        )
        return inferred, True
    low, high = PAR_RANGE_YD[par]
    if not low * 0.9 <= yards(length) <= high * 1.1:
        say(
            FindingKind.QUESTION,
            f"par {par} at {yards(length):.0f} yd: is the line of play right?",
            plan.feature.fid,
        )
    return par, False


def _check_dist(
    plan: HoleMatch, stated: Sequence[StatedLength], line: FloatArray, tees: Sequence[Tee], say: _Say
) -> None:
    """Every stated length against the line from its tee; from the back tee when it names none."""
    by_name = {tee.name.casefold(): tee for tee in tees}
    for one in stated:
        start = (
            along_side(line, by_name[one.tee.casefold()].xy)[0, 1] if one.tee.casefold() in by_name else 0.0
        )
        if one.tee and one.tee.casefold() not in by_name:
            continue
        if wrong := compare_length(one, line_length(line) - float(start)):
            say(FindingKind.QUESTION, wrong, plan.feature.fid)


def _check_fairway(
    par: int, path: shapely.LineString, areas: Sequence[Area], plan: HoleMatch, say: _Say
) -> None:
    """A par 4 or longer is played over a fairway: say when there is none, or when the line misses it."""
    if par < 4:
        return
    cut = [area.shape for area in areas if area.surface == Surface.FAIRWAY]
    ground = shapely.union_all(cut) if cut else shapely.Polygon()
    # From where a fairway can be expected to the green; both ends need not be cut short.
    played = substring(path, CLEAR_OF_TEE_M, max(path.length - CLEAR_OF_TEE_M / 2.0, CLEAR_OF_TEE_M))
    share = float(shapely.intersection(played, ground).length) / max(float(played.length), 1e-9)
    away = float(shapely.distance(played, ground)) if cut else np.inf
    if away > FAIRWAY_REACH_M:
        say(FindingKind.MISSING, "no fairway is drawn: ground between the outlines counts as rough")
    elif share < 0.3 and (len(path.coords) == 2 or share == 0.0):
        text = "the line of play runs mostly beside the fairway: draw its turns, or the fairway"
        say(FindingKind.QUESTION, text, plan.feature.fid)


def _mapped(
    plan: HoleMatch,
    plans: Sequence[HoleMatch],
    drawn: Drawn,
    tees: tuple[Tee, ...],
    green: shapely.Polygon,
    path: shapely.LineString,
) -> shapely.Geometry:
    """60 m round the line, the tees, the green and the features that lie nearest to this line."""
    others = np.array([p.line for p in plans if p is not plan], dtype=object)
    reach = shapely.buffer(path, FEATURE_REACH_M)
    own: list[shapely.Geometry] = [path, green, shapely.MultiPoint([tee.xy for tee in tees])]
    own += [drawn.tees[j][1] for j in plan.tees]
    distance = shapely.distance(_shapes(drawn.areas), path)
    for area, mine in zip(drawn.areas, distance, strict=True):
        if mine <= MAPPED_M and not (len(others) and _nearer(area, plan.line, float(mine), others)):
            own.append(shapely.intersection(area.shape, reach))
    return shapely.buffer(shapely.union_all(own), MAPPED_M)


def _shapes(areas: Sequence[Area]) -> NDArray[np.object_]:
    return np.array([area.shape for area in areas], dtype=object)


def _nearer(area: Area, line: shapely.LineString, mine: float, others: NDArray[np.object_]) -> bool:
    """Whether a feature is another hole's: that line is nearer to its middle, and this one misses it."""
    if mine == 0.0:
        return False
    middle = shapely.centroid(area.shape)
    return bool(shapely.distance(middle, others).min() < shapely.distance(middle, line))


def _areas(
    plan: HoleMatch, drawn: Drawn, found: Sequence[Area], mapped: shapely.Geometry, say: _Say
) -> tuple[Area, ...]:
    tagged = [a for a in found if a.surface.penalty_area and a.colour_known]
    kept = []
    for k, one in enumerate(tagged):
        for other in tagged[k + 1 :]:
            both = float(shapely.intersection(one.shape, other.shape).area)
            if one.surface != other.surface and both > 0.5 * min(one.shape.area, other.shape.area):
                text = f"penalty areas {one.fid} and {other.fid} lie over each other, one yellow, one red"
                say(FindingKind.QUESTION, f"{text}: say the colour in course.toml", one.fid)
    for area in found:
        if area.surface.penalty_area and not area.colour_known:
            twin = next(
                (t for t in tagged if shapely.intersection(t.shape, area.shape).area > 0.9 * area.shape.area),
                None,
            )
            if twin is not None:
                say(
                    FindingKind.IGNORED,
                    f"water {area.fid} lies in the penalty area {twin.fid}: one area, not two",
                    area.fid,
                )
                continue
            say(FindingKind.ASSUMED, f"penalty area {area.fid} has no colour: red is assumed", area.fid)
        kept.append(area)
    for j, (feature, shape) in enumerate(drawn.greens):
        if shapely.intersects(shape, mapped):
            surface = Surface.GREEN if j == plan.green else Surface.FAIRWAY
            origin = Origin.ASSUMED if feature.fid in drawn.point_greens else Origin.TRACED
            kept.append(Area(surface=surface, shape=shape, fid=feature.fid, origin=origin))
    if plan.green is None:
        shape = _green(plan, drawn, _Say(plan.label))
        kept.append(Area(surface=Surface.GREEN, shape=shape, fid=plan.feature.fid, origin=Origin.ASSUMED))
    for j, (feature, shape) in enumerate(drawn.tees):
        if shape.geom_type in ("Polygon", "MultiPolygon") and shapely.intersects(shape, mapped):
            kept.append(
                Area(surface=Surface.TEE if j in plan.tees else Surface.FAIRWAY, shape=shape, fid=feature.fid)
            )
    fairways = [a for a in found if a.surface == Surface.FAIRWAY]
    for sand in (a for a in found if a.surface == Surface.BUNKER):
        around = next((f for f in fairways if shapely.contains(f.shape, sand.shape)), None)
        if around is not None:
            say(
                FindingKind.ASSUMED,
                f"bunker {sand.fid} is drawn inside fairway {around.fid}: sand counts there",
                sand.fid,
            )
    return tuple(kept)


def _out(
    plan: HoleMatch,
    drawn: Drawn,
    notes: CourseNotes,
    path: shapely.LineString,
    mapped: shapely.Geometry,
    say: _Say,
) -> shapely.Geometry | None:
    """Out-of-bounds ground near the hole; None when none is drawn on the whole course."""
    if not drawn.boundaries:
        return None
    window = shapely.box(*shapely.bounds(shapely.buffer(mapped, 30.0)))
    ground: list[shapely.Geometry] = []
    for feature, boundary in drawn.boundaries:
        stated = [b for b in notes.out_of_bounds if b.feature == feature.fid]
        if stated and stated[0].holes and plan.label not in stated[0].holes:
            continue
        out = out_side(boundary, path, window, stated[0].out if stated else None)
        if out is None:
            text = f"the line of play crosses the out-of-bounds line {feature.fid}"
            say(FindingKind.QUESTION, f"{text}: not used; name its side in course.toml", feature.fid)
        elif out.is_empty and shapely.intersection(_edge(boundary), mapped).length > 1.0:
            text = f"which side of the out-of-bounds line {feature.fid} is out cannot be told"
            say(FindingKind.QUESTION, f"{text}: not used; name it in course.toml", feature.fid)
        elif not out.is_empty:
            ground.append(out)
    return shapely.union_all(ground) if ground else shapely.Polygon()


def _edge(boundary: shapely.Geometry) -> shapely.Geometry:
    return shapely.boundary(boundary) if boundary.geom_type in ("Polygon", "MultiPolygon") else boundary


def _places(
    places: Sequence[PlaceEntry], label: str, frame: Frame, fallback: str
) -> tuple[tuple[str, float, float], ...]:
    found = []
    for place in places:
        if place.hole == label:
            x, y = frame.to_xy(place.at)[0]
            found.append((place.name or fallback, float(x), float(y)))
    return tuple(found)
