"""Writes a features table: GeoJSON as RFC 7946 says, or a GeoPackage that any GIS opens.

Both read back without loss: identifiers, tags, geometry to the last digit, order and credit line (without
blanks round it, which a GeoPackage does not keep).
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import shapely

from strategy.course.model import FeatureTable
from strategy.course.readers.geopackage import ID_COLUMN, PLACE_COLUMN, TAGS_COLUMN
from strategy.writing import replacing, write_text

# A GIS wants one kind of geometry a layer.
_LAYERS = {0: "points", 1: "lines", 3: "areas", 4: "points", 5: "lines", 6: "areas", 7: "mixed"}
_RESERVED = {ID_COLUMN, PLACE_COLUMN, TAGS_COLUMN, "id", "fid", "geom", "tags", "all_tags", "hstore", "@id"}
_COLUMNS = 200


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


def write_geopackage(table: FeatureTable, path: str | Path) -> None:
    """Write a features table as a GeoPackage: layers `points`, `lines`, `areas`, one column a tag.

    Tags whose key cannot be a column of its own (SQLite does not tell capitals apart) stand together in
    `other_tags`.

    Parameters
    ----------
    table : FeatureTable
        What any reader gave.
    path : str or Path
        Target; an existing file is replaced.
    """
    import pyogrio.raw

    shapes = np.array([feature.geometry for feature in table.features], dtype=object)
    layers = np.array([_LAYERS.get(int(kind), "lines") for kind in shapely.get_type_id(shapes)])
    columns = _columns(table)
    credit = table.credit.strip()
    with replacing(Path(path)) as work:
        for layer in sorted(set(layers)):
            rows = np.flatnonzero(layers == layer)
            features = [table.features[i] for i in rows]
            packed = [_packed({k: v for k, v in f.tags.items() if k not in columns}) for f in features]
            data: list[Any] = [np.array([f.fid for f in features], dtype=object), rows.astype(np.int64)]
            data += [np.array([f.tags.get(key) for f in features], dtype=object) for key in columns]
            data.append(np.array(packed, dtype=object))
            pyogrio.raw.write(
                work,
                geometry=shapely.to_wkb(shapes[rows]),
                field_data=data,
                fields=[ID_COLUMN, PLACE_COLUMN, *columns, TAGS_COLUMN],
                layer=str(layer),
                driver="GPKG",
                geometry_type="Unknown",
                crs="OGC:CRS84",
                dataset_metadata={"attribution": credit} if credit else None,
                append=False,
            )


def rounded(shape: shapely.Geometry, decimals: int) -> shapely.Geometry:
    """A geometry with its longitudes and latitudes rounded; heights stay."""

    def near(xy: np.ndarray[Any, np.dtype[np.float64]]) -> np.ndarray[Any, np.dtype[np.float64]]:
        return np.column_stack((np.round(xy[:, :2], decimals), xy[:, 2:]))

    return shapely.transform(shape, near, include_z=bool(shape.has_z))


def _columns(table: FeatureTable) -> list[str]:
    """Keys that can be columns, commonest first; the first spelling of a key keeps the column."""
    count: dict[str, int] = {}
    for feature in table.features:
        for key in feature.tags:
            count[key] = count.get(key, 0) + 1
    taken: set[str] = set()
    columns: list[str] = []
    for key in sorted(count, key=lambda k: (-count[k], k)):
        folded = key.casefold()
        if folded in taken or folded in _RESERVED or len(columns) == _COLUMNS or not _plain_key(key):
            continue
        taken.add(folded)
        columns.append(key)
    return columns


def _plain_key(key: str) -> bool:
    return 0 < len(key) <= 60 and key.isascii() and key.isprintable() and key.strip() == key


def _packed(tags: dict[str, str]) -> str | None:
    """Tags as hstore text; None for none."""
    return ",".join(f"{_quoted(key)}=>{_quoted(value)}" for key, value in tags.items()) or None


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


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
