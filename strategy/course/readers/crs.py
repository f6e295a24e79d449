"""Transforms geometry from any coordinate reference system to longitude and latitude (WGS 84, OGC:CRS84)."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from strategy.errors import CourseError


class ToLonLat:
    """Transforms geometry of one system to longitude, latitude. In every system x is east and y is north.

    Parameters
    ----------
    file : str
        Path of the file as the user wrote it, for messages.
    crs : str
        The system as the user or the file names it: "EPSG:27700", a WKT, a PROJ string.

    Raises
    ------
    CourseError
        If the system is unknown, or is not a system of places on the ground.
    """

    def __init__(self, file: str, crs: str) -> None:
        from pyproj import CRS, Transformer
        from pyproj.exceptions import CRSError

        mend = 'Name it as "EPSG:27700" (the layer properties of a GIS show the number)'
        try:
            source = CRS.from_user_input(crs)
            transformer: Any = Transformer.from_crs(source, "OGC:CRS84", always_xy=True)
        except CRSError:
            raise CourseError(file, "crs", f"{crs!r} is no coordinate system known here", mend) from None
        if not (source.is_geographic or source.is_projected):
            raise CourseError(file, "crs", f"{crs!r} is no system of places on the ground", mend)
        self.file, self.crs, self.transformer = file, crs, transformer
        # Nothing is transformed when the system is longitude and latitude already.
        self.is_lonlat = source.to_epsg() == 4326 or (source.is_geographic and "CRS84" in source.to_wkt())

    def __call__(self, fid: str, shape: shapely.Geometry) -> shapely.Geometry:
        """Transform a geometry to longitude, latitude; heights are kept unchanged.

        Raises
        ------
        CourseError
            If a point lies outside the range of the system.
        """
        if not self.is_lonlat:
            shape = shapely.transform(shape, self._transform, include_z=bool(shape.has_z))
        lonlat = shapely.get_coordinates(shape)
        if not (np.isfinite(lonlat).all() and (np.abs(lonlat) <= (180.0, 90.0)).all()):
            raise CourseError(
                self.file,
                fid,
                f"its coordinates give no longitude and latitude in {self.crs[:60]}",
                "Give the system that the outlines were drawn in",
            )
        return shape

    def _transform(self, xy: NDArray[np.float64]) -> NDArray[np.float64]:
        lon, lat = self.transformer.transform(xy[:, 0], xy[:, 1])
        return np.column_stack((lon, lat, xy[:, 2:]))
