"""The ground of a hole as one height surface, with its origin and error; flat when nothing is known.

Three origins: a height model or lidar raster (GeoTIFF), heights in the outlines themselves, the green as
sketched. They are never mixed, but for a green that was rebuilt since the heights were flown: it is sketched,
and goes over into the ground around it. A model counts heights from sea level, RFC 7946 (section 4) from the
ellipsoid, tens of metres apart: whichever is used is used alone, and only differences of its heights mean
anything.

Heights of trees above the ground come from a raster of their own, `canopy.file` of course.toml, read the same
way; `strategy.course.maps.canopy` makes a map of them.

Cells as in `surface`: row index grows north, column index grows east, heights stand at cell centres. Between
them heights are bilinear, which is exact for a plane; up to one cell beyond the outermost centres the slope
goes on, further out the height of the rim is kept.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

import numpy as np
import shapely

from strategy.arrays import FloatArray
from strategy.course.green_sketch import GreenSketch
from strategy.course.height_map import HeightMap
from strategy.course.maps.sketch import ERROR_M, FRONT_FOOT_M, foot_drop, run_off_drop, sketch_height
from strategy.course.maps.surface import fill, grid
from strategy.course.model import Hole
from strategy.course.origin import Origin
from strategy.course.playline import front_point
from strategy.errors import CourseError
from strategy.units import FOOT_M, LENGTHS_M

# Vertical root-mean-square error of airborne lidar, quality level 2, about 10 cm (Lidar Base Specification
# v2.1, by way of rules and standards, section 4); asked for in course.toml, assumed otherwise.
MODEL_ERROR_M: Final = 0.1
DRAWN_ERROR_M: Final = 0.5
_HOLES_SHARE: Final = 0.2  # more of a hole than this without height: the model does not count there
_TALLEST_M: Final = 120.0  # no tree is higher: a value for no data that the file does not declare
_FEW: Final = 10
FADES_M: Final = 12.0  # beyond its foot a green that is sketched goes over into the ground over this much
REBUILT: Final = "the green in words, for it was rebuilt since"
_US_FOOT_M: Final = 1200.0 / 3937.0
HEIGHT_UNITS: Final = {"metres": 1.0, "feet": FOOT_M, "us survey feet": _US_FOOT_M}


def height_map(hole: Hole, cell_m: float = 0.5) -> HeightMap | None:
    """The ground of a hole on the grid of its surface map; None when it counts as flat.

    Parameters
    ----------
    hole : Hole
        With `heights` from a file, or a `sketch` of its green.
    cell_m : float
        Cell size. [m]
    """
    return heights_on(hole, *grid(hole, cell_m), cell_m)


def heights_on(
    hole: Hole, corner: tuple[float, float], shape: tuple[int, int], cell_m: float
) -> HeightMap | None:
    """The same on any grid of (rows, columns) cells from a south-west corner. [m]"""
    if hole.heights is None:
        return None if hole.sketch is None else _sketched(hole, hole.sketch, corner, shape, cell_m)[0]
    ground = hole.heights.on_grid(corner, shape, cell_m)
    if hole.sketch is None or not hole.sketch.rebuilt:
        return ground
    # The green as sketched stands on the height that its front has, and fades into the ground around it.
    green, away = _sketched(hole, hole.sketch, corner, shape, cell_m)
    front = float(hole.heights.at([front_point(hole.green, hole.line)])[0])
    t = np.clip((away - FRONT_FOOT_M) / FADES_M, 0.0, 1.0)
    part = t * t * (3.0 - 2.0 * t)
    mixed = part * ground.heights + (1.0 - part) * (green.heights + front)
    return dataclasses.replace(
        ground,
        heights=mixed.astype(np.float32),
        origin=green.origin,
        error_m=max(ground.error_m, green.error_m),
        source=f"{ground.source}; {REBUILT}",
    )


def _sketched(
    hole: Hole, sketch: GreenSketch, corner: tuple[float, float], shape: tuple[int, int], cell_m: float
) -> tuple[HeightMap, FloatArray]:
    """The green as sketched, and how far from it each cell is. [m]"""
    from scipy import ndimage

    rows, cols, mask = fill(hole.green, corner, cell_m, shape)
    green = np.zeros(shape, dtype=bool)
    green[rows, cols] = mask
    away, (near_row, near_col) = ndimage.distance_transform_edt(~green, return_indices=True)
    deep = ndimage.distance_transform_edt(green)
    x = corner[0] + (np.arange(shape[1]) + 0.5) * cell_m
    y = corner[1] + (np.arange(shape[0]) + 0.5) * cell_m
    # Only a fraction of the hole is green: heights are worked out there and carried outwards.
    height = np.zeros(shape)
    on = np.argwhere(green)
    height[green] = sketch_height(hole, sketch, np.column_stack((x[on[:, 1]], y[on[:, 0]])))
    height = height[near_row, near_col]
    edge = np.column_stack((x[near_col.ravel()], y[near_row.ravel()]))
    height -= foot_drop(hole, sketch, edge, away.ravel() * cell_m).reshape(shape)
    if sketch.run_offs:
        gx, gy = np.meshgrid(x, y)
        outside = np.where(green, 0.5 - deep, away - 0.5) * cell_m
        height -= run_off_drop(
            hole, sketch, np.column_stack((gx.ravel(), gy.ravel())), outside.ravel()
        ).reshape(shape)
    sketched = HeightMap(
        heights=height.astype(np.float32),
        corner=corner,
        cell_m=float(cell_m),
        origin=Origin.ASSUMED,
        error_m=ERROR_M,
        source="the green as sketched; level elsewhere",
        system="the front of the green",
    )
    return sketched, np.asarray(away * cell_m)


def can_read_rasters() -> bool:
    """Whether rasterio, which reads GeoTIFF, is installed."""
    try:
        import rasterio  # noqa: F401
    except ImportError:
        return False
    return True


class HeightModel:
    """A GeoTIFF height model, open while the holes of a course are cut out of it.

    Parameters
    ----------
    path : Path
        As named in course.toml.
    unit_m : float or None
        Unit of its heights; None = as the file says, metres when it is silent. [m]
    crs : str
        Its coordinates, when the file does not say ("EPSG:32631").
    error_m : float
        Standard error of its heights. [m]
    key : str
        Table of course.toml that names it.

    Raises
    ------
    CourseError
        If rasterio is not installed, or the file is not there, no raster or without coordinates.
    """

    def __init__(
        self, path: Path, *, unit_m: float | None, crs: str, error_m: float, key: str = "heights"
    ) -> None:
        try:
            import rasterio
            from rasterio.errors import RasterioError
        except ImportError:
            raise CourseError(
                path,
                "",
                "height models are read with rasterio, which is not installed",
                f'Install it: pip install "course-strategy[heights]"; or take [{key}] out of course.toml',
            ) from None
        if not path.is_file():
            raise CourseError(path, "", "there is no such file", f"Correct {key}.file in course.toml")
        try:
            self.raster: Any = rasterio.open(path)
        except RasterioError as error:
            said = str(error).replace(f"'{path}'", "it").strip().rstrip(".")
            raise CourseError(path, "", f"is no raster that can be read: {said}", "Give a GeoTIFF") from None
        self.path, self.error_m, self.key = path, error_m, key
        if not crs and self.raster.crs is None:
            raise CourseError(
                path, "", "does not say its coordinates", f'Write {key}.crs = "EPSG:..." in course.toml'
            )
        self.crs = self._projected(crs)
        self.unit_m = self._vertical() if unit_m is None else unit_m

    def close(self) -> None:
        """Close the file."""
        self.raster.close()

    def cut(self, hole: Hole) -> tuple[HeightMap | None, float]:
        """The ground under a hole's map, and the share of it that the model leaves out.

        The heights are None when the model leaves out more than a fifth; smaller gaps take the
        nearest height.
        """
        corner, cell, z = self._over(hole)
        rows, cols, mask = fill(hole.mapped, corner, cell, z.shape)
        gap = float(np.isnan(z[rows, cols][mask]).mean())
        if gap > _HOLES_SHARE:
            return None, gap
        return self._map(corner, cell, _filled(z)), gap

    def above_ground(self, hole: Hole) -> HeightMap | None:
        """Heights over a hole's map as they are, nan where there is none; None when there is none at all."""
        corner, cell, z = self._over(hole)
        z[z > _TALLEST_M] = np.nan
        return None if np.isnan(z).all() else self._map(corner, cell, z)

    def _map(self, corner: tuple[float, float], cell: float, z: FloatArray) -> HeightMap:
        return HeightMap(
            heights=z.astype(np.float32),
            corner=corner,
            cell_m=cell,
            origin=Origin.PUBLISHED,
            error_m=self.error_m,
            source=self.path.name,
            system="the level of the height model",
        )

    def _over(self, hole: Hole) -> tuple[tuple[float, float], float, FloatArray]:
        """Corner and cell of a grid over a hole's map, and its heights there, nan in gaps. [m]"""
        from pyproj import Transformer

        to_model = Transformer.from_crs("OGC:CRS84", self.crs, always_xy=True)
        west, south, east, north = shapely.bounds(hole.mapped)
        middle = hole.frame.to_lonlat([[(west + east) / 2.0, (south + north) / 2.0]])[0]
        cell = self._cell(to_model, middle)
        corner, shape = grid(hole, cell)
        x = corner[0] + (np.arange(shape[1]) + 0.5) * cell
        y = corner[1] + (np.arange(shape[0]) + 0.5) * cell
        gx, gy = np.meshgrid(x, y)
        lonlat = hole.frame.to_lonlat(np.column_stack((gx.ravel(), gy.ravel())))
        mx, my = to_model.transform(lonlat[:, 0], lonlat[:, 1])
        a, b, c, d, e, f = (~self.raster.transform)[:6]
        col, row = a * mx + b * my + c, d * mx + e * my + f
        z = self._sample(np.asarray(row) - 0.5, np.asarray(col) - 0.5).reshape(shape) * self.unit_m
        return corner, cell, z

    def _sample(self, row: FloatArray, col: FloatArray) -> FloatArray:
        """Bilinear heights at fractional rows and columns; nan where any of the four is missing."""
        from rasterio.windows import Window

        height, width = self.raster.shape
        ok = np.isfinite(row) & np.isfinite(col)
        if not ok.any():
            return np.full(len(row), np.nan)
        r0, r1 = int(np.floor(row[ok].min())), int(np.floor(row[ok].max())) + 2
        c0, c1 = int(np.floor(col[ok].min())), int(np.floor(col[ok].max())) + 2
        r0, c0, r1, c1 = max(r0, 0), max(c0, 0), min(r1, height), min(c1, width)
        if r1 - r0 < 2 or c1 - c0 < 2:
            return np.full(len(row), np.nan)
        band = self.raster.read(1, window=Window(c0, r0, c1 - c0, r1 - r0), masked=True)
        z = np.ma.filled(band.astype(np.float64), np.nan)
        z = z * self.raster.scales[0] + self.raster.offsets[0]  # small files count in centimetres, say
        # Some files forget to declare their no-data value; no ground lies there.
        z[(z < -1000.0) | (z > 10_000.0 / min(self.unit_m, 1.0))] = np.nan
        inside = ok & (row >= r0) & (row <= r1 - 1) & (col >= c0) & (col <= c1 - 1)
        found = np.full(len(row), np.nan)
        r, c = row[inside] - r0, col[inside] - c0
        i = np.minimum(r.astype(np.intp), z.shape[0] - 2)
        j = np.minimum(c.astype(np.intp), z.shape[1] - 2)
        v, u = r - i, c - j
        found[inside] = (z[i, j] * (1 - u) + z[i, j + 1] * u) * (1 - v) + (
            z[i + 1, j] * (1 - u) + z[i + 1, j + 1] * u
        ) * v
        return found

    def _cell(self, to_model: Any, middle: FloatArray) -> float:
        """Cell of the model on the ground, rounded to a handy size between half a metre and 5 m."""
        from pyproj import Geod

        back = to_model.transform(middle[0], middle[1])
        step = abs(self.raster.transform.e)
        lon, lat = to_model.transform(back[0], back[1] + step, direction="INVERSE")
        size = float(Geod(ellps="WGS84").inv(middle[0], middle[1], lon, lat)[2])
        return float(np.clip(round(size * 2.0) / 2.0, 0.5, 5.0))

    def _projected(self, crs: str) -> Any:
        from pyproj import CRS
        from pyproj.exceptions import CRSError

        try:
            whole = CRS.from_user_input(crs) if crs else CRS.from_wkt(self.raster.crs.to_wkt())
        except CRSError:
            met = crs or "not known"
            raise CourseError(
                self.path,
                "",
                f"its coordinates are {met!r}",
                f'Write {self.key}.crs = "EPSG:..." in course.toml',
            ) from None
        self.whole = whole
        # Only the horizontal part is transformed: a vertical part would shift heights between systems.
        parts = whole.sub_crs_list
        return parts[0] if parts else whole

    def _vertical(self) -> float:
        """Unit of the heights as the file says it: its vertical axis, else the unit of the band."""
        if len(self.whole.sub_crs_list) > 1:
            axes = self.whole.sub_crs_list[1].axis_info
            if axes:
                return float(axes[0].unit_conversion_factor)
        unit = str((self.raster.units or ("",))[0] or "").strip().casefold()
        return LENGTHS_M.get(unit, _US_FOOT_M if "survey" in unit else 1.0)


def drawn_heights(hole: Hole, points: FloatArray) -> HeightMap | None:
    """The ground from heights in the outlines themselves; None when too few lie on the hole.

    Parameters
    ----------
    points : array (K, 3)
        Course frame, heights above the ellipsoid (RFC 7946, section 4). [m]
    """
    from scipy.interpolate import LinearNDInterpolator
    from scipy.spatial import QhullError

    inside = shapely.contains_xy(shapely.buffer(hole.mapped, 20.0), points[:, 0], points[:, 1])
    near = points[inside]
    if len(near) < _FEW:
        return None
    cell = 1.0
    corner, shape = grid(hole, cell)
    x = corner[0] + (np.arange(shape[1]) + 0.5) * cell
    y = corner[1] + (np.arange(shape[0]) + 0.5) * cell
    gx, gy = np.meshgrid(x, y)
    try:
        z = LinearNDInterpolator(near[:, :2], near[:, 2])(gx, gy)
    except QhullError:  # all on one line
        return None
    return HeightMap(
        heights=_filled(z).astype(np.float32),
        corner=corner,
        cell_m=cell,
        origin=Origin.TRACED,
        error_m=DRAWN_ERROR_M,
        source="heights in the outlines",
        system="the ellipsoid",
    )


def drawn_points(geometries: Sequence[shapely.Geometry], frame: Any) -> FloatArray:
    """Every position of some lon/lat geometries that has a height, in the course frame (K, 3). [m]"""
    xyz = [shapely.get_coordinates(shape, include_z=True) for shape in geometries if shapely.has_z(shape)]
    if not xyz:
        return np.empty((0, 3))
    points = np.vstack(xyz)
    points = points[np.isfinite(points[:, 2])]
    return np.column_stack((frame.to_xy(points[:, :2]), points[:, 2])) if len(points) else np.empty((0, 3))


def _filled(z: FloatArray) -> FloatArray:
    """Gaps take the nearest height."""
    gap = np.isnan(z)
    if not gap.any():
        return z
    from scipy import ndimage

    rows, cols = ndimage.distance_transform_edt(gap, return_distances=False, return_indices=True)
    return np.asarray(z[rows, cols])
