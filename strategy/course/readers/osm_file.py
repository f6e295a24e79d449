"""Reader for OpenStreetMap XML and PBF files: extracts of any size, in any order.

Elements come from `osmium.FileProcessor`; ways and relations become geometry in `elements`, as for
Overpass. (osmium's own area assembly gives nothing, silently, or raises when elements are unsorted;
GDAL's OSM driver drops closed ways that carry only golf=*, relations before ways, and everything when
ways precede nodes.)

A country holds millions of elements and a few courses. So the file is gone through several times, each
time for little: golf features first, then the nodes round them, then the ways and relations that touch
those nodes. Only what lies within some kilometres of golf is ever held in memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from strategy.course.model import FeatureTable
from strategy.course.readers.elements import Elements
from strategy.course.readers.geojson import OSM_CREDIT
from strategy.errors import CourseError

# Size of the squares in which ground near golf is noted; a square and its eight neighbours count. [°]
_CELL_DEG = 0.01
_CELL_E7 = round(_CELL_DEG * 1e7)
Row = dict[str, Any]
Cell = tuple[int, int]


def sniff_osm(raw: bytes) -> str | None:
    """The osmium name of the form ("pbf", "osm"), None when it is neither.

    >>> sniff_osm(b"<?xml version='1.0'?><osm version='0.6'/>"), sniff_osm(b"{}")
    ('osm', None)
    """
    if raw[4:].startswith(b"\x0a\x09OSMHeader"):
        return "pbf"
    start = raw[:4096].removeprefix(b"\xef\xbb\xbf").lstrip()
    return "osm" if start.startswith(b"<") and b"<osm" in start else None


def read_osm(file: str, raw: bytes, form: str) -> FeatureTable:
    """Features near golf of an OpenStreetMap file.

    Parameters
    ----------
    file : str
        The file as the user named it, for messages.
    raw : bytes
        Its content, unpacked.
    form : str
        As `sniff_osm` says.

    Raises
    ------
    CourseError
        If the file is damaged or cut off, or holds nothing of golf.
    """
    reader = _Reader(file, raw, form)
    stones, golf = Elements(file), _golf(reader)
    if not golf:
        raise CourseError(
            file,
            "",
            "holds nothing tagged golf=* or leisure=golf_course",
            "Extract the area of the course, and do not filter its tags",
        )
    nodes, ways, relations = _near(reader, golf)
    for number, row in enumerate((*nodes, *ways, *relations), start=1):
        stones.put(number, row)
    features = tuple(stones.features())
    return FeatureTable(file=file, features=features, credit=OSM_CREDIT, findings=tuple(stones.findings))


class _Reader:
    """Goes through one file again and again, and turns osmium's faults into ours."""

    def __init__(self, file: str, raw: bytes, form: str) -> None:
        self.file, self.raw, self.form = file, raw, form

    def go(self, kinds: str, *filters: Any) -> Iterator[Any]:
        """Elements of the kinds named by letter ("nwr"), through osmium's filters."""
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
            said = str(error).splitlines()[0] if str(error) else type(error).__name__
            raise CourseError(
                self.file,
                "",
                f"is damaged or cut off ({said})",
                "Download or extract it again",
            ) from None


def _golf(reader: _Reader) -> list[Row]:
    """Rows of everything that is golf, to say where courses lie."""
    import osmium

    return [
        _row(element)
        for element in reader.go("nwr", osmium.filter.KeyFilter("golf", "leisure"))
        if "golf" in element.tags or element.tags.get("leisure") == "golf_course"
    ]


def _near(reader: _Reader, golf: list[Row]) -> tuple[list[Row], list[Row], list[Row]]:
    """Nodes, ways and relations round the golf features, each with what it is made of."""
    import osmium

    members = {m["ref"] for row in golf for m in row.get("members", ()) if m["type"] == "way"}
    refs = {n for row in golf for n in row.get("nodes", ())}
    if members:
        refs.update(n for way in _by_id(reader, "w", members) for n in way["nodes"])
    cells = _round({_cell(n["lon"], n["lat"]) for n in golf if n["type"] == "node" and "lon" in n})
    cells |= _round(_cell(n["lon"], n["lat"]) for n in _by_id(reader, "n", refs) if "lon" in n)
    places: dict[int, Row] = {}
    for node in reader.go("n"):
        at = node.location
        if at.valid() and (int(at.x // _CELL_E7), int(at.y // _CELL_E7)) in cells:
            places[node.id] = _row(node)
    tagged = osmium.filter.EmptyTagFilter()
    ways: dict[int, Row] = {
        way.id: _row(way) for way in reader.go("w", tagged) if any(n.ref in places for n in way.nodes)
    }
    # Members without tags of their own touch the ground too.
    touching = set(ways)
    relations: dict[int, Row] = {}
    for relation in reader.go("r"):
        kind = relation.tags.get("type")
        if kind in ("multipolygon", "boundary") and relation.tags.get("boundary") is None:
            relations[relation.id] = _row(relation)
    stones = {m["ref"] for row in relations.values() for m in row["members"] if m["type"] == "way"} - touching
    loose: dict[int, Row] = {}
    if stones:
        loose = {row["id"]: row for row in _by_id(reader, "w", stones)}
        touching |= {i for i, row in loose.items() if any(n in places for n in row["nodes"])}
    golf_relations = {row["id"] for row in golf if row["type"] == "relation"}
    kept = [
        row
        for row in relations.values()
        if row["id"] in golf_relations or any(m["ref"] in touching for m in row["members"])
    ]
    kept += [row for row in golf if row["type"] == "relation" and row["id"] not in relations]
    used = {m["ref"] for row in kept for m in row["members"]}
    ways |= {i: row for i, row in loose.items() if i in used}
    # A golf way none of whose nodes is in the file is still said to be missing them.
    ways |= {row["id"]: row for row in golf if row["type"] == "way"}
    outside = {n for row in ways.values() for n in row["nodes"]} - set(places)
    places |= {row["id"]: row for row in _by_id(reader, "n", outside)}
    return list(places.values()), list(ways.values()), kept


def _by_id(reader: _Reader, kind: str, ids: set[int]) -> Iterator[Row]:
    """Elements by id. osmium's own filter takes no negative ids, which editors give to what is new."""
    import osmium

    if not ids:
        return
    filters = [] if min(ids) < 0 else [osmium.filter.IdFilter(ids)]
    for element in reader.go(kind, *filters):
        if element.id in ids:
            yield _row(element)


def _row(element: Any) -> Row:
    """An element as Overpass writes it."""
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
    return int(round(lon * 1e7) // _CELL_E7), int(round(lat * 1e7) // _CELL_E7)


def _round(cells: Iterable[Cell]) -> set[Cell]:
    """The cells and their neighbours; the last column of the map touches the first."""
    turn = round(360.0 / _CELL_DEG)
    half = turn // 2
    return {
        ((x + dx + half) % turn - half, y + dy)
        for x, y in set(cells)
        for dx in (-1, 0, 1)
        for dy in (-1, 0, 1)
    }
