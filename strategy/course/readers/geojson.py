"""Reader for GeoJSON (RFC 7946) with OpenStreetMap golf tags.

Source: Butler et al., "The GeoJSON Format", RFC 7946 (IETF 2016): longitude before latitude (3.1.1), WGS 84
only (4), closed rings (3.1.6). A reader should not reject a ring because of its winding (3.1.6), and nothing
here depends on the winding. Geometry is built here and not by ``shapely.geometry.shape``, so that the message
of a fault can name the feature and the value.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from typing import Any

import shapely

from strategy.course.model import Feature, FeatureTable, Finding, FindingKind
from strategy.course.readers.crs import ToLonLat
from strategy.errors import CourseError

Position = tuple[float, float]
Point = tuple[float, ...]  # a position, perhaps with a height
OSM_CREDIT = "© OpenStreetMap contributors, ODbL, openstreetmap.org/copyright"
OSM_ID = re.compile(r"(?:node|way|relation)/-?\d+")

_TYPES = (
    "Point",
    "MultiPoint",
    "LineString",
    "MultiLineString",
    "Polygon",
    "MultiPolygon",
    "GeometryCollection",
)


def read_geojson(file: str, document: Mapping[str, Any], crs: str = "") -> FeatureTable:
    """Read the features of a GeoJSON document, in file order.

    Parameters
    ----------
    file : str
        Path of the file as the user wrote it, for messages.
    document : mapping
        The parsed JSON.
    crs : str
        Coordinate system ("EPSG:27700"), if the user states another than RFC 7946 allows; "" otherwise.

    Returns
    -------
    FeatureTable
        Heights (a third coordinate) stay in the geometry. Tags are the properties as text. Properties that
        are null, true, false or structured are left out.

    Raises
    ------
    CourseError
        If the document is no FeatureCollection, or a coordinate is not valid.
    """
    kind = document.get("type")
    if kind == "Feature":
        rows: Any = [document]
    elif kind == "FeatureCollection":
        rows = document.get("features")
    else:
        raise CourseError(
            file,
            "type",
            f"is {kind!r}, not a GeoJSON FeatureCollection",
            "Export the course as GeoJSON or as Overpass JSON",
        )
    if not isinstance(rows, Sequence) or isinstance(rows, str):
        raise CourseError(
            file, "features", f"is {rows!r}, not a list", "A FeatureCollection lists its features"
        )
    if not rows:
        raise CourseError(
            file, "features", "the collection is empty", "Export again with the golf features of the course"
        )
    stated = _stated_crs(document)
    if stated and not crs:
        raise CourseError(
            file,
            "crs",
            f"is {stated!r}, and RFC 7946 knows longitude and latitude only",
            'Export in WGS 84 (EPSG:4326), or declare it: crs = "EPSG:..." in course.toml, or --crs EPSG:...',
        )
    to_lonlat = ToLonLat(file, crs) if crs else None
    features: list[Feature] = []
    findings: list[Finding] = []
    identifiers: set[str] = set()
    for number, row in enumerate(rows, start=1):
        if not isinstance(row, Mapping) or row.get("type") != "Feature":
            raise CourseError(
                file, f"feature {number}", "is not a GeoJSON Feature", 'Each entry needs "type": "Feature"'
            )
        properties = row.get("properties") or {}
        if not isinstance(properties, Mapping):
            raise CourseError(
                file, f"feature {number}", f"properties are {properties!r}", "Properties are key-value pairs"
            )
        fid = _identifier(row, properties, number)
        if fid in identifiers:
            findings.append(
                Finding(kind=FindingKind.REPAIRED, text=f"{fid}: the identifier is used twice", feature=fid)
            )
            fid = f"{fid} (feature {number})"
        identifiers.add(fid)
        geometry = row.get("geometry")
        if geometry is None:
            findings.append(Finding(kind=FindingKind.IGNORED, text=f"{fid}: has no geometry", feature=fid))
            continue
        shape = _Shapes(file, fid, findings, projected=to_lonlat is not None).build(geometry)
        if shape.is_empty:
            findings.append(
                Finding(kind=FindingKind.IGNORED, text=f"{fid}: its geometry is empty", feature=fid)
            )
            continue
        shape = shape if to_lonlat is None else to_lonlat(fid, shape)
        features.append(Feature(fid=fid, tags=_tags(properties), geometry=shape))
    credit = str(document.get("attribution") or document.get("credit") or "").strip()
    if not credit and any(OSM_ID.fullmatch(feature.fid) for feature in features):
        credit = OSM_CREDIT
    return FeatureTable(file=file, features=tuple(features), credit=credit, findings=tuple(findings))


def check_position(file: str, fid: str, lon: object, lat: object) -> Position:
    """Check a longitude and a latitude, and give them as floats. [°]

    Raises
    ------
    CourseError
        If they are no finite numbers, or not within 180 and 90 degrees. The message names the likely mistake.
    """
    x, y = finite(file, fid, lon), finite(file, fid, lat)
    if abs(x) <= 180.0 and abs(y) <= 90.0:
        return x, y
    if abs(x) <= 90.0 and abs(y) <= 180.0:
        raise CourseError(
            file,
            fid,
            f"latitude {y:g} is beyond 90: the order looks like latitude, longitude",
            "RFC 7946 writes longitude first: swap the two",
        )
    raise CourseError(
        file,
        fid,
        f"coordinate ({x:g}, {y:g}) is no longitude and latitude: it looks projected, in metres or feet",
        "Export in WGS 84 (EPSG:4326, OGC:CRS84), or declare the system of the file: "
        'crs = "EPSG:..." in course.toml, or --crs EPSG:...',
    )


def finite(file: str, fid: str, value: object) -> float:
    """Check one number of a position, and give it as a float.

    Raises
    ------
    CourseError
        If it is no finite number.
    """
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise CourseError(file, fid, f"coordinate {value!r} is not a number", "Coordinates are degrees")
    return float(value)


class _Shapes:
    """Builds shapely geometry from the GeoJSON geometry of one feature; faults name the feature."""

    def __init__(self, file: str, fid: str, findings: list[Finding], *, projected: bool) -> None:
        self.file, self.fid, self.findings, self.projected = file, fid, findings, projected

    def build(self, geometry: Any) -> shapely.Geometry:
        """The geometry; an empty collection when it has no coordinates."""
        kind = geometry.get("type") if isinstance(geometry, Mapping) else None
        if kind not in _TYPES:
            raise self.fault(f"geometry type {kind!r} is unknown", f"Use one of {', '.join(_TYPES)}")
        if kind == "GeometryCollection":
            parts = self.listed(geometry.get("geometries"), "geometries")
            return shapely.GeometryCollection([self.build(part) for part in parts])
        raw = self.listed(geometry.get("coordinates"), "coordinates")
        if not raw:
            return shapely.GeometryCollection()
        if kind == "Point":
            return shapely.Point(self.position(raw))
        if kind == "MultiPoint":
            return shapely.MultiPoint([self.position(p) for p in raw])
        if kind == "LineString":
            return self.line(raw)
        if kind == "MultiLineString":
            return shapely.MultiLineString([self.line(part) for part in raw])
        if kind == "Polygon":
            return self.polygon(raw)
        return shapely.MultiPolygon([self.polygon(part) for part in raw])

    def fault(self, wrong: str, mend: str) -> CourseError:
        return CourseError(self.file, self.fid, wrong, mend)

    def listed(self, value: Any, name: str) -> Sequence[Any]:
        if not isinstance(value, Sequence) or isinstance(value, str):
            raise self.fault(f"{name} are {value!r}, not a list", "Write them as RFC 7946 says")
        return value

    def positions(self, raw: Any) -> list[Point]:
        """The points of a line, with heights if every point has one."""
        if not self.projected and _are_plain_lonlat(raw):
            return [(p[0], p[1]) for p in raw]
        points = [self.position(p) for p in self.listed(raw, "coordinates")]
        return points if all(len(p) == 3 for p in points) else [p[:2] for p in points]

    def position(self, raw: Any) -> Point:
        values = self.listed(raw, "coordinates")
        if len(values) < 2:
            raise self.fault(
                f"position {list(values)!r} has fewer than two numbers", "Write [longitude, latitude]"
            )
        if self.projected:
            east, north = (finite(self.file, self.fid, value) for value in values[:2])
        else:
            east, north = check_position(self.file, self.fid, values[0], values[1])
        height = values[2] if len(values) > 2 else None
        if isinstance(height, int | float) and not isinstance(height, bool) and math.isfinite(height):
            return east, north, float(height)
        return east, north

    def line(self, raw: Any) -> shapely.LineString:
        points = self.positions(raw)
        if len(points) < 2:
            raise self.fault("the line has fewer than two points", "Draw it again or delete it")
        return shapely.LineString(points)

    def polygon(self, raw: Any) -> shapely.Polygon:
        rings = [self.ring(part) for part in self.listed(raw, "coordinates")]
        if not all(len(ring[0]) == 3 for ring in rings):
            rings = [[p[:2] for p in ring] for ring in rings]
        return shapely.Polygon(rings[0], rings[1:]) if rings else shapely.Polygon()

    def ring(self, raw: Any) -> list[Point]:
        """The points of a ring; an open ring is closed and reported."""
        points = self.positions(raw)
        if len(points) >= 3 and points[0] != points[-1]:
            self.findings.append(
                Finding(
                    kind=FindingKind.REPAIRED,
                    text=f"{self.fid}: an outline did not end where it starts; closed",
                    feature=self.fid,
                )
            )
            points.append(points[0])
        if len(points) < 4:
            raise self.fault(
                f"an outline has {len(points)} points", "It needs at least four, the last equal to the first"
            )
        return points


def _are_plain_lonlat(raw: Any) -> bool:
    """Whether positions are lists of two floats within 180 and 90 degrees, so that they have no fault.

    Nearly all positions are. One test for a whole line halves the time that reading a course takes here.
    """
    return type(raw) is list and all(
        type(p) is list
        and len(p) == 2
        and type(p[0]) is type(p[1]) is float
        and -180.0 <= p[0] <= 180.0
        and -90.0 <= p[1] <= 90.0
        for p in raw
    )


def _stated_crs(document: Mapping[str, Any]) -> str:
    """The system that a `crs` member names, as older GeoJSON has it; "" for none and for WGS 84."""
    crs = document.get("crs")
    properties = crs.get("properties") if isinstance(crs, Mapping) else None
    name = str(properties.get("name", "")) if isinstance(properties, Mapping) else ""
    return "" if any(known in name.upper() for known in ("CRS84", "4326")) else name


def _identifier(row: Mapping[str, Any], properties: Mapping[str, Any], number: int) -> str:
    """The identifier of a feature, or its position in the file."""
    for value in (row.get("id"), properties.get("@id"), properties.get("id"), properties.get("fid")):
        if value not in (None, ""):
            return str(value)
    return f"feature {number}"


def _tags(properties: Mapping[str, Any]) -> dict[str, str]:
    """Properties as OpenStreetMap tags. Some exports have them in a table "tags"."""
    nested = properties.get("tags")
    flat = {**properties, **nested} if isinstance(nested, Mapping) else properties
    return {
        str(key): str(value)
        for key, value in flat.items()
        if isinstance(value, str | int | float)
        and not isinstance(value, bool)
        and not str(key).startswith("@")
    }
