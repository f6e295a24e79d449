"""Writes layers of a GeoPackage as a GIS does."""

from __future__ import annotations

import numpy as np
import pyogrio.raw
import shapely


def put(path, layer, rows, crs="OGC:CRS84", columns=None, credit=None):
    """Add a layer: rows of (geometry, {column: value}); gives the path."""
    names = columns if columns is not None else sorted({k for _, tags in rows for k in tags})
    data = [np.array([tags.get(name) for _, tags in rows], dtype=object) for name in names]
    shapes = np.array([shape for shape, _ in rows], dtype=object)
    pyogrio.raw.write(
        path,
        geometry=shapely.to_wkb(shapes),
        field_data=data,
        fields=names,
        layer=layer,
        driver="GPKG",
        geometry_type="Unknown",
        crs=crs,
        dataset_metadata=None if credit is None else {"attribution": credit},
    )
    return path
