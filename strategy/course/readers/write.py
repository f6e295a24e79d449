"""Writes a feature table as GeoJSON (RFC 7946).

The file reads back without loss: identifiers, tags, geometry to the last digit, order, and the credit line
without blanks round it.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import shapely

from strategy.course.model import FeatureTable
from strategy.writing import write_text


def write_geojson(table: FeatureTable, path: str | Path, decimals: int | None = None) -> None:
    """Write a feature table as GeoJSON, one feature on each line.

    Rings are wound as RFC 7946, 3.1.6, requires: outer rings counter-clockwise, inner rings clockwise. The
    identifier is in `id`, and again in the property `@id`, which editors keep. Geometry that crosses the
    antimeridian is not cut. (3.1.9 asks writers to cut it, but a cut outline would be read as two.)

    Parameters
    ----------
    table : FeatureTable
        The features.
    path : str or Path
        Where to write. An existing file is replaced.
    decimals : int, optional
        Digits after the decimal point; 7 are a centimetre. By default all digits.
    """
    lines = []
    for feature in table.features:
        shape = feature.geometry if decimals is None else rounded(feature.geometry, decimals)
        document = {
            "type": "Feature",
            "id": feature.fid,
            "properties": {"@id": feature.fid, **feature.tags},
            "geometry": _geometry(shape),
        }
        lines.append(json.dumps(document, ensure_ascii=False, separators=(",", ":"), allow_nan=False))
    credit = table.credit.strip()
    attribution = f'"attribution":{json.dumps(credit, ensure_ascii=False)},' if credit else ""
    text = '{"type":"FeatureCollection",' + attribution + '"features":[\n' + ",\n".join(lines) + "\n]}\n"
    write_text(Path(path), text)


def rounded(shape: shapely.Geometry, decimals: int) -> shapely.Geometry:
    """A geometry with rounded longitudes and latitudes; heights are not rounded."""

    def round_position(xy: np.ndarray[Any, np.dtype[np.float64]]) -> np.ndarray[Any, np.dtype[np.float64]]:
        return np.column_stack((np.round(xy[:, :2], decimals), xy[:, 2:]))

    return shapely.transform(shape, round_position, include_z=bool(shape.has_z))


def _geometry(shape: shapely.Geometry) -> dict[str, Any]:
    """A geometry in the form of GeoJSON."""
    kind = shape.geom_type
    if kind == "LinearRing":
        kind, shape = "LineString", shapely.LineString(shape.coords)
    if kind == "GeometryCollection":
        return {"type": kind, "geometries": [_geometry(part) for part in shape.geoms]}
    if kind == "Point":
        coordinates: list[Any] = list(shape.coords[0])
    elif kind == "LineString":
        coordinates = _path(shape)
    elif kind == "Polygon":
        coordinates = _rings(shape)
    else:
        coordinates = [_geometry(part)["coordinates"] for part in shape.geoms]
    return {"type": kind, "coordinates": coordinates}


def _path(line: shapely.LineString) -> list[list[float]]:
    return [list(point) for point in line.coords]


def _rings(polygon: shapely.Polygon) -> list[list[list[float]]]:
    """The rings of a polygon: the outer ring counter-clockwise, the inner rings clockwise."""
    outer = _path(polygon.exterior)
    rings = [outer if shapely.is_ccw(polygon.exterior) else outer[::-1]]
    for interior in polygon.interiors:
        inner = _path(interior)
        rings.append(inner[::-1] if shapely.is_ccw(interior) else inner)
    return rings
