"""Turns OpenStreetMap elements into features: the only place where ways become lines and areas.

Overpass JSON, OSM XML and OSM PBF all give nodes, ways and relations. They may be in any order, and an
extract may have cut some off.

- A closed way is an area, unless its tags say that it is a line (a line of play, a fence).
- A multipolygon relation is assembled from the ways of its members: outer rings less inner rings, and outer
rings
  inside inner rings added again (even-odd rule). An older relation without tags of its own has the tags of
  its outer way (OpenStreetMap wiki, Relation:multipolygon, "old-style").
- Geometry that is missing or cannot be closed is left out and reported.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import shapely

from strategy.course.model import Feature, Finding, FindingKind, short_list
from strategy.course.readers.geojson import Position, check_position
from strategy.errors import CourseError

_LINE_TAGS = {
    "golf": {"hole", "path", "cartpath", "out_of_bounds"},
    "natural": {"tree_row", "cliff", "coastline"},
}
_LINE_KEYS = ("barrier", "highway", "waterway", "power", "railway")
# Tags that do not say what a feature is.
_ABOUT_DATA = {"source", "created_by", "note", "fixme", "attribution"}
# Two ends of a ring that are so near are one corner that is drawn twice (engineering choice).
_GAP_DEG = 2e-5
_HOW_TO_ASK = " (ask Overpass for `out geom` or `out body; >;`)"
_MOST_LISTED = 5  # up to so many incomplete features are reported one by one


class Elements:
    """Collects elements by type and number. An element may come twice, with tags and without.

    Parameters
    ----------
    file : str
        Path of the file as the user wrote it, for messages.
    """

    def __init__(self, file: str) -> None:
        self.file = file
        self.rows: dict[tuple[str, int], dict[str, Any]] = {}
        self.order: list[tuple[str, int]] = []
        self.findings: list[Finding] = []
        # Of old-style relations: the outer way and its tags, by number of the relation.
        self.inherited: dict[int, tuple[int, dict[str, str]]] = {}
        # Of incomplete features: points that are missing, and all points, by identifier.
        self.missing_points: dict[str, tuple[int, int]] = {}
        self.left_out: set[str] = set()

    def add(self, number: int, row: Any) -> None:
        """Add one element in the form that Overpass writes; `number` is its position in the file.

        Raises
        ------
        CourseError
            If it is no node, way or relation with a whole-number id.
        """
        kind = row.get("type") if isinstance(row, Mapping) else None
        ident = row.get("id") if isinstance(row, Mapping) else None
        if kind not in ("node", "way", "relation") or not isinstance(ident, int):
            raise CourseError(
                self.file,
                f"element {number}",
                f"type {kind!r} with id {ident!r} is no OpenStreetMap element",
                "Elements are nodes, ways and relations with whole-number ids",
            )
        key = (str(kind), ident)
        if key not in self.rows:
            self.order.append(key)
            self.rows[key] = {}
        self.rows[key].update({k: v for k, v in row.items() if v is not None})

    def features(self) -> Iterator[Feature]:
        """Every element with tags and geometry, in file order. It may be called once only.

        Raises
        ------
        CourseError
            For tags or coordinates that are not valid.
        """
        outer_ways = self._find_old_style_relations()
        for kind, ident in self.order:
            if (kind, ident) in outer_ways:
                continue
            feature = self._feature(kind, ident)
            if feature is not None:
                yield feature
        self._report_missing_points()

    def _report_missing_points(self) -> None:
        """Report each incomplete feature, or all in one question when there are many."""
        if len(self.missing_points) <= _MOST_LISTED:
            for fid, (missing, total) in self.missing_points.items():
                end = f"; left out{_HOW_TO_ASK}" if fid in self.left_out else ""
                text = f"{missing} of its {total} points are not in the file{end}"
                self._add_finding(FindingKind.MISSING, fid, text)
            return
        missing, total = (sum(column) for column in zip(*self.missing_points.values(), strict=True))
        count = f"{missing} of the {total} points of {len(self.missing_points)} features"
        missing_words = f"{count} are not in the file ({short_list([*self.missing_points])})"
        harm = f"their outlines are wrong, {len(self.left_out)} are left out"
        text = f"{missing_words}: {harm}. Extract the course again with whole ways"
        self.findings.insert(0, Finding(kind=FindingKind.QUESTION, text=text))

    def _find_old_style_relations(self) -> set[tuple[str, int]]:
        """Note the tags that old-style relations inherit, and give the ways that are part of them only."""
        outer_ways: set[tuple[str, int]] = set()
        for kind, ident in self.order:
            if kind != "relation" or set(self._tags(kind, ident)) - _ABOUT_DATA != {"type"}:
                continue
            members = [m for m in self.rows[kind, ident].get("members") or [] if isinstance(m, Mapping)]
            outer = [m.get("ref", 0) for m in members if m.get("role") != "inner"]
            if len(outer) == len(members):
                continue  # without inner rings the way alone is the whole feature
            tagged = [way for way in outer if ("way", way) in self.rows and self._has_content("way", way)]
            if len(tagged) == 1:
                self.inherited[ident] = (tagged[0], self._tags("way", tagged[0]))
                outer_ways.add(("way", tagged[0]))
        return outer_ways

    def _tags(self, kind: str, ident: int) -> dict[str, str]:
        tags = self.rows[kind, ident].get("tags") or {}
        if not isinstance(tags, Mapping):
            raise CourseError(self.file, f"{kind}/{ident}", f"tags are {tags!r}", "Tags are key-value pairs")
        return {str(k): str(v) for k, v in tags.items()}

    def _has_content(self, kind: str, ident: int) -> bool:
        """Whether an element has a tag that says what it is."""
        return bool(set(self._tags(kind, ident)) - _ABOUT_DATA)

    def _feature(self, kind: str, ident: int) -> Feature | None:
        """An element as a feature; None when it has no tags or no geometry."""
        row, fid = self.rows[kind, ident], f"{kind}/{ident}"
        tags = self._tags(kind, ident)
        if kind == "relation" and ident in self.inherited:
            way, inherited = self.inherited[ident]
            tags = {**inherited, **tags}
            text = f"has no tags of its own; those of its outline way/{way} count"
            self._add_finding(FindingKind.REPAIRED, fid, text)
        if not set(tags) - _ABOUT_DATA - {"type"}:
            return None
        if kind == "node":
            shape: shapely.Geometry | None = self._node(row, fid)
        elif kind == "way":
            shape = self._way(row, fid, tags)
        else:
            shape = self._relation(row, fid, tags)
        return None if shape is None else Feature(fid=fid, tags=tags, geometry=shape)

    def _add_finding(self, kind: FindingKind, fid: str, text: str) -> None:
        self.findings.append(Finding(kind=kind, text=f"{fid}: {text}", feature=fid))

    def _node(self, row: Mapping[str, Any], fid: str) -> shapely.Point | None:
        if "lon" not in row or "lat" not in row:
            self._add_finding(FindingKind.MISSING, fid, "the node has no coordinates; left out")
            return None
        return shapely.Point(check_position(self.file, fid, row["lon"], row["lat"]))

    def _way(self, row: Mapping[str, Any], fid: str, tags: Mapping[str, str]) -> shapely.Geometry | None:
        """A way as a line or an area; None when it has fewer than two points."""
        points = self._path(row, fid)
        if len(points) < 2:
            if fid in self.missing_points:
                self.left_out.add(fid)
            else:
                text = f"the way has no geometry{_HOW_TO_ASK}; left out"
                self._add_finding(FindingKind.MISSING, fid, text)
            return None
        is_line = any(tags.get(key) in values for key, values in _LINE_TAGS.items()) or (
            any(key in tags for key in _LINE_KEYS) and "golf" not in tags and "natural" not in tags
        )
        if points[0] == points[-1] and len(points) >= 4 and not is_line:
            return shapely.Polygon(points)
        return shapely.LineString(points)

    def _path(self, row: Mapping[str, Any], fid: str) -> list[Position]:
        """Coordinates of a way, or of a member of a relation that has its own geometry."""
        geometry = row.get("geometry")
        if geometry is not None:
            known = [p for p in geometry if p is not None]
            if len(known) < len(geometry):
                self._count_missing(fid, len(geometry) - len(known), len(geometry))
            if not all(isinstance(p, Mapping) and "lon" in p and "lat" in p for p in known):
                raise CourseError(
                    self.file,
                    fid,
                    "its geometry is no list of lat, lon",
                    "Ask Overpass again with `out geom`",
                )
            return [check_position(self.file, fid, p["lon"], p["lat"]) for p in known]
        refs = list(row.get("nodes") or [])
        nodes = [self.rows.get(("node", ref)) for ref in refs]
        known_nodes = [n for n in nodes if n is not None and "lon" in n and "lat" in n]
        if refs and len(known_nodes) < len(refs):
            self._count_missing(fid, len(refs) - len(known_nodes), len(refs))
        points = [check_position(self.file, fid, n["lon"], n["lat"]) for n in known_nodes]
        if len(points) >= 3 and len(refs) > 3 and refs[0] == refs[-1] and points[0] != points[-1]:
            points.append(points[0])  # the extract has lost the corner that closes the ring
        return points

    def _count_missing(self, fid: str, missing: int, total: int) -> None:
        before = self.missing_points.get(fid, (0, 0))
        self.missing_points[fid] = (before[0] + missing, before[1] + total)

    def _relation(self, row: Mapping[str, Any], fid: str, tags: Mapping[str, str]) -> shapely.Geometry | None:
        """The area of a multipolygon relation; None for other relations, and when no ring can be closed."""
        if tags.get("type") not in ("multipolygon", "boundary"):
            text = f"a relation of type {tags.get('type', 'unknown')!r} has no outline"
            self._add_finding(FindingKind.IGNORED, fid, text)
            return None
        ways: dict[str, list[shapely.LineString]] = {"outer": [], "inner": []}
        seen: set[object] = set()
        for member in row.get("members") or []:
            if not isinstance(member, Mapping) or member.get("type") != "way" or member.get("ref") in seen:
                continue
            seen.add(member.get("ref", id(member)))
            way = member if "geometry" in member else self.rows.get(("way", member.get("ref", 0)))
            points = self._path(way, fid) if way is not None else []
            if len(points) < 2:
                text = f"its member way/{member.get('ref')} is not in the file"
                self._add_finding(FindingKind.MISSING, fid, text)
                continue
            role = "inner" if member.get("role") == "inner" else "outer"
            ways[role].append(shapely.LineString(points))
        area: shapely.Geometry = shapely.Polygon()
        for role, lines in ways.items():
            for ring in self._rings(lines, fid, role):
                # Even-odd over all rings: an outer ring inside an inner ring is added again.
                area = shapely.symmetric_difference(area, ring)
        if area.is_empty or not ways["outer"]:
            self._add_finding(FindingKind.MISSING, fid, "no outer ring could be closed; left out")
            return None
        return area

    def _rings(self, lines: list[shapely.LineString], fid: str, role: str) -> list[shapely.Geometry]:
        """The filled rings that some lines make end to end."""
        if not lines:
            return []
        # The lines are noded first, so that a ring that crosses itself becomes several loops and is not lost.
        faces, _, dangles, _ = shapely.polygonize_full(shapely.get_parts(shapely.union_all(lines)))
        rings = [shapely.Polygon(face.exterior) for face in shapely.get_parts(faces)]
        not_closed = 0
        loose = shapely.get_parts(shapely.line_merge(shapely.union_all(shapely.get_parts(dangles))))
        for part in loose:
            ends = shapely.Point(part.coords[0]), shapely.Point(part.coords[-1])
            if len(part.coords) >= 3 and shapely.distance(*ends) <= _GAP_DEG:
                text = f"an {role} ring did not quite end where it starts; closed"
                self._add_finding(FindingKind.REPAIRED, fid, text)
                rings.append(shapely.make_valid(shapely.Polygon(part.coords)))
            else:
                not_closed += 1
        if not_closed:
            text = f"{not_closed} {role} ring{'s are' if not_closed > 1 else ' is'} not closed; left out"
            self._add_finding(FindingKind.MISSING, fid, text)
        return rings
