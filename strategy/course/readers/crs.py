"""Geometry in any coordinate reference system to longitude and latitude (WGS 84, OGC:CRS84)."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from strategy.errors import CourseError


class ToLonLat:
    """Turns geometry of one system into longitude, latitude; x is always east, y north.

    Parameters
    ----------
    file : str
        The file as the user named it, for messages.
    crs : str
        As the user or the file names it: "EPSG:27700", a WKT, a PROJ string.

    Raises
    ------
    CourseError
        If nothing is known of that name, or it is no system on a horizontal plane or sphere.
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
        self.plain = source.to_epsg() == 4326 or (source.is_geographic and "CRS84" in source.to_wkt())

    def __call__(self, fid: str, shape: shapely.Geometry) -> shapely.Geometry:
        """One geometry in longitude, latitude; a third coordinate is kept as it is.

        Raises
        ------
        CourseError
            If a point lies where the system does not reach.
        """
        if not self.plain:
            shape = shapely.transform(shape, self._flat, include_z=bool(shape.has_z))
        flat = shapely.get_coordinates(shape)
        if not (np.isfinite(flat).all() and (np.abs(flat) <= (180.0, 90.0)).all()):
            raise CourseError(
                self.file,
                fid,
                f"its coordinates make no longitude and latitude in {self.crs[:60]}",
                "Give the system that the outlines were drawn in",
            )
        return shape

    def _flat(self, xy: NDArray[np.float64]) -> NDArray[np.float64]:
        lon, lat = self.transformer.transform(xy[:, 0], xy[:, 1])
        return np.column_stack((lon, lat, xy[:, 2:]))
