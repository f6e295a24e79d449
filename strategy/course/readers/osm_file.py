"""Reader for OpenStreetMap XML and PBF files: extracts of any size, with elements in any order.

`osmium.FileProcessor` gives the elements, and `strategy.course.readers.elements` turns ways and relations
into geometry, as for Overpass. Other means were tried: osmium's own assembly of areas gives nothing or raises
when the elements are not sorted; GDAL's OSM driver loses closed ways that have only golf=*, relations before
ways, and everything when ways come before nodes.

A country has millions of elements and a few courses. So the file is read several times, each time for a small
part: the golf features, then the nodes near them, then the ways and relations that touch those nodes. Only
what is within some kilometres of golf is held in memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from strategy.course.model import FeatureTable
from strategy.course.readers.elements import Elements
from strategy.course.readers.geojson import OSM_CREDIT
from strategy.errors import CourseError

# Ground near golf is noted in squares of this size. A square counts with its eight neighbours. [°]
_CELL_DEG = 0.01
_CELL_E7 = round(_CELL_DEG * 1e7)
Row = dict[str, Any]
Cell = tuple[int, int]


def sniff_osm(raw: bytes) -> str | None:
    """The name of the form in osmium ("pbf", "osm"); None when the content is neither.

    >>> sniff_osm(b"<?xml version='1.0'?><osm version='0.6'/>"), sniff_osm(b"{}")
    ('osm', None)
    """
    if raw[4:].startswith(b"\x0a\x09OSMHeader"):
        return "pbf"
    start = raw[:4096].removeprefix(b"\xef\xbb\xbf").lstrip()
    return "osm" if start.startswith(b"<") and b"<osm" in start else None


def read_osm(file: str, raw: bytes, form: str) -> FeatureTable:
    """Read the features near golf of an OpenStreetMap file.

    Parameters
    ----------
    file : str
        Path of the file as the user wrote it, for messages.
    raw : bytes
        Its content, unpacked.
    form : str
        The form that `sniff_osm` gives.

    Raises
    ------
    CourseError
        If the file is damaged or cut off, or has no golf feature.
    """
    reader = _Reader(file, raw, form)
    golf = _golf_rows(reader)
    if not golf:
        raise CourseError(
            file,
            "",
            "holds nothing tagged golf=* or leisure=golf_course",
            "Extract the area of the course, and do not filter its tags",
        )
    elements = Elements(file)
    for number, row in enumerate(_rows_near_golf(reader, golf), start=1):
        elements.add(number, row)
    features = tuple(elements.features())
    return FeatureTable(file=file, features=features, credit=OSM_CREDIT, findings=tuple(elements.findings))


class _Reader:
    """Reads one file as often as needed, and turns faults of osmium into a `CourseError`."""

    def __init__(self, file: str, raw: bytes, form: str) -> None:
        self.file, self.raw, self.form = file, raw, form

    def elements(self, kinds: str, *filters: Any) -> Iterator[Any]:
        """The elements of some kinds ("nwr" for nodes, ways and relations) that pass filters of osmium."""
        import osmium

        bits = {"n": osmium.osm.NODE, "w": osmium.osm.WAY, "r": osmium.osm.RELATION}
        wanted = osmium.osm.NOTHING
        for kind in kinds:
            wanted |= bits[kind]
        try:
            processor = osmium.FileProcessor(osmium.io.FileBuffer(self.raw, self.form), wanted)
            for one in filters:
                processor = processor.with_filter(one)
            element: Any
            for element in processor:
                if element.deleted or not element.visible:
                    continue
                yield element
        except (RuntimeError, ValueError, OSError, osmium.InvalidLocationError) as error:
            reason = str(error).splitlines()[0] if str(error) else type(error).__name__
            raise CourseError(
                self.file,
                "",
                f"is damaged or cut off ({reason})",
                "Download or extract it again",
            ) from None


def _golf_rows(reader: _Reader) -> list[Row]:
    """All golf features, which show where the courses are."""
    import osmium

    return [
        _row(element)
        for element in reader.elements("nwr", osmium.filter.KeyFilter("golf", "leisure"))
        if "golf" in element.tags or element.tags.get("leisure") == "golf_course"
    ]


def _rows_near_golf(reader: _Reader, golf: list[Row]) -> list[Row]:
    """The nodes, ways and relations near golf features, and the elements that they consist of."""
    import osmium

    cells = _cells_near(reader, golf)
    nodes: dict[int, Row] = {}
    for node in reader.elements("n"):
        at = node.location
        if at.valid() and (int(at.x // _CELL_E7), int(at.y // _CELL_E7)) in cells:
            nodes[node.id] = _row(node)
    tagged = osmium.filter.EmptyTagFilter()
    ways: dict[int, Row] = {
        way.id: _row(way) for way in reader.elements("w", tagged) if any(n.ref in nodes for n in way.nodes)
    }
    all_relations: dict[int, Row] = {}
    for relation in reader.elements("r"):
        kind = relation.tags.get("type")
        if kind in ("multipolygon", "boundary") and relation.tags.get("boundary") is None:
            all_relations[relation.id] = _row(relation)
    # Members of relations may have no tags of their own.
    members = {m["ref"] for row in all_relations.values() for m in row["members"] if m["type"] == "way"}
    untagged = {row["id"]: row for row in _by_id(reader, "w", members - set(ways))}
    near = {*ways, *(i for i, row in untagged.items() if any(n in nodes for n in row["nodes"]))}
    golf_relations = {row["id"]: row for row in golf if row["type"] == "relation"}
    relations = [
        row
        for row in all_relations.values()
        if row["id"] in golf_relations or any(m["ref"] in near for m in row["members"])
    ]
    relations += [row for number, row in golf_relations.items() if number not in all_relations]
    used = {m["ref"] for row in relations for m in row["members"]}
    ways |= {i: row for i, row in untagged.items() if i in used}
    # A golf way without any node in the file is kept, so that its missing points are reported.
    ways |= {row["id"]: row for row in golf if row["type"] == "way"}
    distant = {n for row in ways.values() for n in row["nodes"]} - set(nodes)
    nodes |= {row["id"]: row for row in _by_id(reader, "n", distant)}
    return [*nodes.values(), *ways.values(), *relations]


def _cells_near(reader: _Reader, golf: list[Row]) -> set[Cell]:
    """The squares with golf features, and their neighbours."""
    member_ways = {m["ref"] for row in golf for m in row.get("members", ()) if m["type"] == "way"}
    node_refs = {n for row in golf for n in row.get("nodes", ())}
    node_refs.update(n for way in _by_id(reader, "w", member_ways) for n in way["nodes"])
    nodes = [row for row in golf if row["type"] == "node"]
    nodes += _by_id(reader, "n", node_refs)
    return _with_neighbours(_cell(n["lon"], n["lat"]) for n in nodes if "lon" in n)


def _by_id(reader: _Reader, kind: str, ids: set[int]) -> Iterator[Row]:
    """Elements by id. The filter of osmium refuses negative ids, which editors give to new elements."""
    import osmium

    if not ids:
        return
    filters = [] if min(ids) < 0 else [osmium.filter.IdFilter(ids)]
    for element in reader.elements(kind, *filters):
        if element.id in ids:
            yield _row(element)


def _row(element: Any) -> Row:
    """An element in the form that Overpass writes."""
    tags = {tag.k: tag.v for tag in element.tags}
    row: Row = {"id": element.id, **({"tags": tags} if tags else {})}
    if element.is_node():
        row["type"] = "node"
        if element.location.valid():
            row |= {"lon": element.location.lon, "lat": element.location.lat}
    elif element.is_way():
        row |= {"type": "way", "nodes": [node.ref for node in element.nodes]}
    else:
        kinds = {"n": "node", "w": "way", "r": "relation"}
        row |= {
            "type": "relation",
            "members": [{"type": kinds[m.type], "ref": m.ref, "role": m.role} for m in element.members],
        }
    return row


def _cell(lon: float, lat: float) -> Cell:
    """The square of a place."""
    return int(round(lon * 1e7) // _CELL_E7), int(round(lat * 1e7) // _CELL_E7)


def _with_neighbours(cells: Iterable[Cell]) -> set[Cell]:
    """Squares and their neighbours. The last column of the map is beside the first."""
    turn = round(360.0 / _CELL_DEG)
    half = turn // 2
    return {
        ((x + dx + half) % turn - half, y + dy)
        for x, y in set(cells)
        for dx in (-1, 0, 1)
        for dy in (-1, 0, 1)
    }
