"""Reader for Overpass JSON, in both forms: `out geom` (coordinates inside) and `out body` (nodes apart).

A way is an area when it is closed, unless its tags say that it is a line whatever its shape (a hole's
line of play, a fence). A multipolygon relation is put together from its members' ways: outer rings
less inner rings. What cannot be closed or is missing is left out and reported.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import shapely

from strategy.course.geojson import Position, check_position
from strategy.course.model import Feature, FeatureTable, Finding, FindingKind
from strategy.errors import CourseError

_LINE_TAGS = {
    "golf": {"hole", "path", "cartpath", "out_of_bounds"},
    "natural": {"tree_row", "cliff", "coastline"},
}
_LINE_KEYS = ("barrier", "highway", "waterway", "power", "railway")
_NO_CONTENT = {"source", "created_by", "note", "fixme", "attribution"}


def read_overpass(file: str, document: Mapping[str, Any]) -> FeatureTable:
    """Features of an Overpass answer, in file order.

    Parameters
    ----------
    file : str
        The file as the user named it, for messages.
    document : mapping
        The parsed JSON.

    Returns
    -------
    FeatureTable
        Identifiers are "way/1", "node/1", "relation/1". Elements without tags are only building stones.

    Raises
    ------
    CourseError
        If there are no elements, or a coordinate cannot be one.
    """
    rows = document.get("elements")
    if not isinstance(rows, Sequence) or isinstance(rows, str):
        raise CourseError(file, "elements", f"is {rows!r}, not a list", "Save the Overpass answer as JSON")
    remark = document.get("remark")
    if not rows:
        said = f"; Overpass remarked {remark!r}" if remark else ""
        raise CourseError(file, "elements", f"the answer is empty{said}", "Ask Overpass again for the course")
    stones = _Stones(file)
    if remark:
        text = f"Overpass remarked {remark!r}: the extract may be incomplete"
        stones.findings.append(Finding(kind=FindingKind.MISSING, text=text))
    for number, row in enumerate(rows, start=1):
        stones.put(number, row)
    features = [feature for key in stones.order if (feature := stones.feature(*key)) is not None]
    osm = document.get("osm3s")
    credit = "© OpenStreetMap contributors, ODbL, openstreetmap.org/copyright" if osm else ""
    return FeatureTable(file=file, features=tuple(features), credit=credit, findings=tuple(stones.findings))


class _Stones:
    """Elements by type and number; the same element may come twice, with tags and without."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.rows: dict[tuple[str, int], dict[str, Any]] = {}
        self.order: list[tuple[str, int]] = []
        self.findings: list[Finding] = []

    def put(self, number: int, row: Any) -> None:
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

    def feature(self, kind: str, ident: int) -> Feature | None:
        row, fid = self.rows[kind, ident], f"{kind}/{ident}"
        tags = row.get("tags") or {}
        if not isinstance(tags, Mapping):
            raise CourseError(self.file, fid, f"tags are {tags!r}", "Tags are key-value pairs")
        tags = {str(k): str(v) for k, v in tags.items()}
        if not set(tags) - _NO_CONTENT:
            return None
        if kind == "node":
            shape: shapely.Geometry | None = self.node(row, fid)
        elif kind == "way":
            shape = self.way(row, fid, tags)
        else:
            shape = self.relation(row, fid, tags)
        return None if shape is None else Feature(fid=fid, tags=tags, geometry=shape)

    def say(self, kind: FindingKind, fid: str, text: str) -> None:
        self.findings.append(Finding(kind=kind, text=f"{fid}: {text}", feature=fid))

    def node(self, row: Mapping[str, Any], fid: str) -> shapely.Point | None:
        if "lon" not in row or "lat" not in row:
            self.say(FindingKind.MISSING, fid, "the node has no coordinates; left out")
            return None
        return shapely.Point(check_position(self.file, fid, row["lon"], row["lat"]))

    def way(self, row: Mapping[str, Any], fid: str, tags: Mapping[str, str]) -> shapely.Geometry | None:
        points = self.path(row, fid)
        if len(points) < 2:
            self.say(
                FindingKind.MISSING,
                fid,
                "the way has no geometry (ask for `out geom` or `out body; >;`); left out",
            )
            return None
        is_line = any(tags.get(key) in values for key, values in _LINE_TAGS.items()) or (
            any(key in tags for key in _LINE_KEYS) and "golf" not in tags and "natural" not in tags
        )
        if points[0] == points[-1] and len(points) >= 4 and not is_line:
            return shapely.Polygon(points)
        return shapely.LineString(points)

    def path(self, row: Mapping[str, Any], fid: str) -> list[Position]:
        """Coordinates of a way, or of a relation's member written out."""
        geometry = row.get("geometry")
        if geometry is not None:
            known = [p for p in geometry if p is not None]
            if len(known) < len(geometry):
                gone = len(geometry) - len(known)
                self.say(
                    FindingKind.MISSING, fid, f"{gone} of {len(geometry)} points were cut off by the extract"
                )
            if not all(isinstance(p, Mapping) and "lon" in p and "lat" in p for p in known):
                raise CourseError(
                    self.file,
                    fid,
                    "its geometry is no list of lat, lon",
                    "Ask Overpass again with `out geom`",
                )
            return [check_position(self.file, fid, p["lon"], p["lat"]) for p in known]
        nodes = row.get("nodes") or []
        there = [self.rows.get(("node", n)) for n in nodes]
        known_nodes = [n for n in there if n is not None and "lon" in n and "lat" in n]
        if nodes and len(known_nodes) < len(nodes):
            gone = len(nodes) - len(known_nodes)
            self.say(FindingKind.MISSING, fid, f"{gone} of its {len(nodes)} nodes are not in the file")
        return [check_position(self.file, fid, n["lon"], n["lat"]) for n in known_nodes]

    def relation(self, row: Mapping[str, Any], fid: str, tags: Mapping[str, str]) -> shapely.Geometry | None:
        if tags.get("type") not in ("multipolygon", "boundary"):
            self.say(
                FindingKind.IGNORED, fid, f"a relation of type {tags.get('type', 'unknown')!r} has no outline"
            )
            return None
        rings: dict[str, list[shapely.LineString]] = {"outer": [], "inner": []}
        for member in row.get("members") or []:
            if not isinstance(member, Mapping) or member.get("type") != "way":
                continue
            stone = member if "geometry" in member else self.rows.get(("way", member.get("ref", 0)))
            points = self.path(stone, fid) if stone is not None else []
            if len(points) < 2:
                self.say(FindingKind.MISSING, fid, f"its member way/{member.get('ref')} is not in the file")
                continue
            role = "inner" if member.get("role") == "inner" else "outer"
            rings[role].append(shapely.LineString(points))
        area: shapely.Geometry = shapely.Polygon()
        for role, ways in rings.items():
            for ring in self.closed(ways, fid, role):
                # Even-odd over all rings: an island (an outer ring inside an inner one) comes back.
                area = shapely.symmetric_difference(area, ring)
        if area.is_empty or not rings["outer"]:
            self.say(FindingKind.MISSING, fid, "no outer ring could be closed; left out")
            return None
        return area

    def closed(self, ways: list[shapely.LineString], fid: str, role: str) -> list[shapely.Geometry]:
        """Rings put together from ways end to end, each filled."""
        if not ways:
            return []
        faces, _, dangles, _ = shapely.polygonize_full(ways)
        left = len(shapely.get_parts(shapely.line_merge(shapely.union_all(shapely.get_parts(dangles)))))
        if left:
            self.say(
                FindingKind.MISSING,
                fid,
                f"{left} {role} ring{'s are' if left > 1 else ' is'} not closed; left out",
            )
        return [shapely.make_valid(shapely.Polygon(face.exterior)) for face in shapely.get_parts(faces)]
