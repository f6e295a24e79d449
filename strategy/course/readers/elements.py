"""From OpenStreetMap elements to features: the one place where ways become lines and areas.

Overpass JSON, OSM XML and OSM PBF all give nodes, ways and relations; here they become geometry,
whatever their order and whatever an extract has cut off:

- a way is an area when it is closed, unless its tags say that it is a line whatever its shape (a hole's
  line of play, a fence);
- a multipolygon relation is put together from its members' ways: outer rings less inner rings, islands
  in inner rings come back (even-odd rule). An older relation without tags of its own takes those of its
  outer way (OpenStreetMap wiki, Relation:multipolygon, "old-style");
- what cannot be closed or is missing is left out and reported.
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
_NO_CONTENT = {"source", "created_by", "note", "fixme", "attribution"}
# Two ends of a ring this near are one corner drawn twice (engineering choice).
_GAP_DEG = 2e-5
_ASK = " (ask Overpass for `out geom` or `out body; >;`)"
_FEW_LOST = 5  # so many incomplete features are named one by one


class Elements:
    """Elements by type and number; the same element may come twice, with tags and without.

    Parameters
    ----------
    file : str
        The file as the user named it, for messages.
    """

    def __init__(self, file: str) -> None:
        self.file = file
        self.rows: dict[tuple[str, int], dict[str, Any]] = {}
        self.order: list[tuple[str, int]] = []
        self.findings: list[Finding] = []
        self.bequeathed: dict[int, tuple[int, dict[str, str]]] = {}
        # What an extract has cut off: points gone and points asked for, by feature.
        self.lost: dict[str, tuple[int, int]] = {}
        self.left_out: set[str] = set()

    def put(self, number: int, row: Any) -> None:
        """Take in one element, as Overpass writes it; `number` is its place in the file.

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
        """Every element with tags that has a geometry, in file order; call it once.

        Raises
        ------
        CourseError
            For tags or coordinates that cannot be any.
        """
        heirs = self._old_style()
        for kind, ident in self.order:
            if (kind, ident) in heirs:
                continue
            feature = self._feature(kind, ident)
            if feature is not None:
                yield feature
        self._sum_up()

    def _sum_up(self) -> None:
        """One headline for an extract that has cut much off, else a line for each feature."""
        if len(self.lost) <= _FEW_LOST:
            for fid, (gone, asked) in self.lost.items():
                end = f"; left out{_ASK}" if fid in self.left_out else ""
                self._say(FindingKind.MISSING, fid, f"{gone} of its {asked} points are not in the file{end}")
            return
        gone, asked = (sum(column) for column in zip(*self.lost.values(), strict=True))
        met = f"{gone} of the {asked} points of {len(self.lost)} features are not in the file"
        harm = f"their outlines are wrong, {len(self.left_out)} are left out"
        text = f"{met} ({short_list([*self.lost])}): {harm}. Extract the course again with whole ways"
        self.findings.insert(0, Finding(kind=FindingKind.QUESTION, text=text))

    def _old_style(self) -> set[tuple[str, int]]:
        """Ways whose tags mean a whole relation: noted under the relation, and to be left out."""
        gone: set[tuple[str, int]] = set()
        for kind, ident in self.order:
            if kind != "relation" or set(self._tags(kind, ident)) - _NO_CONTENT != {"type"}:
                continue
            members = [m for m in self.rows[kind, ident].get("members") or [] if isinstance(m, Mapping)]
            outer = [m.get("ref", 0) for m in members if m.get("role") != "inner"]
            if len(outer) == len(members):
                continue  # nothing is cut out: the way alone says it all
            tagged = [way for way in outer if ("way", way) in self.rows and self._content("way", way)]
            if len(tagged) == 1:
                self.bequeathed[ident] = (tagged[0], self._tags("way", tagged[0]))
                gone.add(("way", tagged[0]))
        return gone

    def _tags(self, kind: str, ident: int) -> dict[str, str]:
        tags = self.rows[kind, ident].get("tags") or {}
        if not isinstance(tags, Mapping):
            raise CourseError(self.file, f"{kind}/{ident}", f"tags are {tags!r}", "Tags are key-value pairs")
        return {str(k): str(v) for k, v in tags.items()}

    def _content(self, kind: str, ident: int) -> set[str]:
        return set(self._tags(kind, ident)) - _NO_CONTENT

    def _feature(self, kind: str, ident: int) -> Feature | None:
        row, fid = self.rows[kind, ident], f"{kind}/{ident}"
        tags = self._tags(kind, ident)
        if kind == "relation" and ident in self.bequeathed:
            way, given = self.bequeathed[ident]
            tags = {**given, **tags}
            self._say(
                FindingKind.REPAIRED, fid, f"has no tags of its own; those of its outline way/{way} count"
            )
        if not set(tags) - _NO_CONTENT - {"type"}:
            return None
        if kind == "node":
            shape: shapely.Geometry | None = self._node(row, fid)
        elif kind == "way":
            shape = self._way(row, fid, tags)
        else:
            shape = self._relation(row, fid, tags)
        return None if shape is None else Feature(fid=fid, tags=tags, geometry=shape)

    def _say(self, kind: FindingKind, fid: str, text: str) -> None:
        self.findings.append(Finding(kind=kind, text=f"{fid}: {text}", feature=fid))

    def _node(self, row: Mapping[str, Any], fid: str) -> shapely.Point | None:
        if "lon" not in row or "lat" not in row:
            self._say(FindingKind.MISSING, fid, "the node has no coordinates; left out")
            return None
        return shapely.Point(check_position(self.file, fid, row["lon"], row["lat"]))

    def _way(self, row: Mapping[str, Any], fid: str, tags: Mapping[str, str]) -> shapely.Geometry | None:
        points = self._path(row, fid)
        if len(points) < 2:
            if fid in self.lost:
                self.left_out.add(fid)
            else:
                self._say(FindingKind.MISSING, fid, f"the way has no geometry{_ASK}; left out")
            return None
        is_line = any(tags.get(key) in values for key, values in _LINE_TAGS.items()) or (
            any(key in tags for key in _LINE_KEYS) and "golf" not in tags and "natural" not in tags
        )
        if points[0] == points[-1] and len(points) >= 4 and not is_line:
            return shapely.Polygon(points)
        return shapely.LineString(points)

    def _path(self, row: Mapping[str, Any], fid: str) -> list[Position]:
        """Coordinates of a way, or of a relation's member written out."""
        geometry = row.get("geometry")
        if geometry is not None:
            known = [p for p in geometry if p is not None]
            if len(known) < len(geometry):
                self._miss(fid, len(geometry) - len(known), len(geometry))
            if not all(isinstance(p, Mapping) and "lon" in p and "lat" in p for p in known):
                raise CourseError(
                    self.file,
                    fid,
                    "its geometry is no list of lat, lon",
                    "Ask Overpass again with `out geom`",
                )
            return [check_position(self.file, fid, p["lon"], p["lat"]) for p in known]
        nodes = list(row.get("nodes") or [])
        there = [self.rows.get(("node", n)) for n in nodes]
        known_nodes = [n for n in there if n is not None and "lon" in n and "lat" in n]
        if nodes and len(known_nodes) < len(nodes):
            self._miss(fid, len(nodes) - len(known_nodes), len(nodes))
        points = [check_position(self.file, fid, n["lon"], n["lat"]) for n in known_nodes]
        if len(points) >= 3 and len(nodes) > 3 and nodes[0] == nodes[-1] and points[0] != points[-1]:
            points.append(points[0])  # the corner that closes the ring is what the extract lost
        return points

    def _miss(self, fid: str, gone: int, asked: int) -> None:
        before = self.lost.get(fid, (0, 0))
        self.lost[fid] = (before[0] + gone, before[1] + asked)

    def _relation(self, row: Mapping[str, Any], fid: str, tags: Mapping[str, str]) -> shapely.Geometry | None:
        if tags.get("type") not in ("multipolygon", "boundary"):
            self._say(
                FindingKind.IGNORED, fid, f"a relation of type {tags.get('type', 'unknown')!r} has no outline"
            )
            return None
        rings: dict[str, list[shapely.LineString]] = {"outer": [], "inner": []}
        seen: set[object] = set()
        for member in row.get("members") or []:
            if not isinstance(member, Mapping) or member.get("type") != "way" or member.get("ref") in seen:
                continue
            seen.add(member.get("ref", id(member)))
            stone = member if "geometry" in member else self.rows.get(("way", member.get("ref", 0)))
            points = self._path(stone, fid) if stone is not None else []
            if len(points) < 2:
                self._say(FindingKind.MISSING, fid, f"its member way/{member.get('ref')} is not in the file")
                continue
            role = "inner" if member.get("role") == "inner" else "outer"
            rings[role].append(shapely.LineString(points))
        area: shapely.Geometry = shapely.Polygon()
        for role, ways in rings.items():
            for ring in self._closed(ways, fid, role):
                # Even-odd over all rings: an island (an outer ring inside an inner one) comes back.
                area = shapely.symmetric_difference(area, ring)
        if area.is_empty or not rings["outer"]:
            self._say(FindingKind.MISSING, fid, "no outer ring could be closed; left out")
            return None
        return area

    def _closed(self, ways: list[shapely.LineString], fid: str, role: str) -> list[shapely.Geometry]:
        """Rings put together from ways end to end, each filled."""
        if not ways:
            return []
        # Noded first: a ring that crosses itself falls into its loops instead of out of the drawing.
        faces, _, dangles, _ = shapely.polygonize_full(shapely.get_parts(shapely.union_all(ways)))
        rings = [shapely.Polygon(face.exterior) for face in shapely.get_parts(faces)]
        left = 0
        loose = shapely.get_parts(shapely.line_merge(shapely.union_all(shapely.get_parts(dangles))))
        for part in loose:
            ends = shapely.Point(part.coords[0]), shapely.Point(part.coords[-1])
            if len(part.coords) >= 3 and shapely.distance(*ends) <= _GAP_DEG:
                self._say(
                    FindingKind.REPAIRED, fid, f"an {role} ring did not quite end where it starts; closed"
                )
                rings.append(shapely.make_valid(shapely.Polygon(part.coords)))
            else:
                left += 1
        if left:
            self._say(
                FindingKind.MISSING,
                fid,
                f"{left} {role} ring{'s are' if left > 1 else ' is'} not closed; left out",
            )
        return rings
