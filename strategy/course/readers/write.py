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
    """Write a features table as GeoJSON, one feature a line.

    Rings are wound as RFC 7946, 3.1.6, asks: exterior counter-clockwise, holes clockwise. The identifier
    stands in `id`, and again as property `@id`, which editors keep. What crosses the antimeridian is
    not cut (3.1.9 asks it of writers, but a cut outline would come back as two).

    Parameters
    ----------
    table : FeatureTable
        What any reader gave.
    path : str or Path
        Target; an existing file is replaced.
    decimals : int, optional
        Digits after the point; 7 are a centimetre. All when left out.
    """
    rows = []
    for feature in table.features:
        shape = feature.geometry if decimals is None else rounded(feature.geometry, decimals)
        row = {
            "type": "Feature",
            "id": feature.fid,
            "properties": {"@id": feature.fid, **feature.tags},
            "geometry": _geometry(shape),
        }
        rows.append(json.dumps(row, ensure_ascii=False, separators=(",", ":"), allow_nan=False))
    line = table.credit.strip()
    credit = f'"attribution":{json.dumps(line, ensure_ascii=False)},' if line else ""
    text = '{"type":"FeatureCollection",' + credit + '"features":[\n' + ",\n".join(rows) + "\n]}\n"
    write_text(Path(path), text)


def rounded(shape: shapely.Geometry, decimals: int) -> shapely.Geometry:
    """A geometry with its longitudes and latitudes rounded; heights stay."""

    def near(xy: np.ndarray[Any, np.dtype[np.float64]]) -> np.ndarray[Any, np.dtype[np.float64]]:
        return np.column_stack((np.round(xy[:, :2], decimals), xy[:, 2:]))

    return shapely.transform(shape, near, include_z=bool(shape.has_z))


def _geometry(shape: shapely.Geometry) -> dict[str, Any]:
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
    rings = [_path(ring) for ring in (polygon.exterior, *polygon.interiors)]
    return [
        ring if shapely.is_ccw(edge) == (place == 0) else ring[::-1]
        for place, (ring, edge) in enumerate(zip(rings, (polygon.exterior, *polygon.interiors), strict=True))
    ]
