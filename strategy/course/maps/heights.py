"""The heights of the ground of a hole, with their origin and error. A hole without heights is flat.

Heights come from a height model or lidar raster (GeoTIFF), from heights in the outlines, or from the green as
sketched. Sources are never mixed, because a model counts heights from sea level and RFC 7946 (section 4) from
the ellipsoid, which are tens of metres apart. One exception is a green that was rebuilt since the heights
were flown: it is sketched, and goes over into the ground around it. Only differences of heights have a
meaning.

Heights of trees above the ground come from a raster of their own (`canopy.file` in course.toml), which is
read in the same way. `strategy.course.maps.canopy` makes a map of them.

Grids are as in `strategy.course.height_map`.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

import numpy as np
import shapely

from strategy.arrays import FloatArray
from strategy.course.frame import Frame
from strategy.course.green_sketch import GreenSketch
from strategy.course.height_map import HeightMap
from strategy.course.maps.sketch import (
    ERROR_M,
    FRONT_FOOT_M,
    false_front_drop,
    run_off_drop,
    sketch_height,
)
from strategy.course.maps.surface import grid, rasterize
from strategy.course.model import Hole
from strategy.course.origin import Origin
from strategy.course.playline import front_point
from strategy.errors import CourseError
from strategy.units import FOOT_M, LENGTHS_M

# Vertical root-mean-square error of airborne lidar of quality level 2, about 10 cm (Lidar Base Specification
# v2.1, by way of the shared facts, rules and standards, section 4). course.toml may state another.
MODEL_ERROR_M: Final = 0.1
OUTLINE_ERROR_M: Final = 0.5
_LARGEST_GAP: Final = 0.2  # share of a hole; a model that leaves out more is not used for the hole
_TALLEST_M: Final = 120.0  # no tree is higher; such a value marks missing data that the file does not declare
_FEWEST_POINTS: Final = 10
_NODES: Final = 50  # cells
FADES_M: Final = 12.0  # a green that is sketched goes over into the ground around it over this distance
REBUILT: Final = "the green in words, for it was rebuilt since"
_US_FOOT_M: Final = 1200.0 / 3937.0
HEIGHT_UNITS: Final = {"metres": 1.0, "feet": FOOT_M, "us survey feet": _US_FOOT_M}


def height_map(hole: Hole, cell_m: float = 0.5) -> HeightMap | None:
    """The heights of a hole on the grid of its surface map.

    Parameters
    ----------
    hole : Hole
        Hole with `heights` from a file, or with a `sketch` of its green.
    cell_m : float
        Cell size. [m]

    Returns
    -------
    HeightMap or None
        None when the hole has neither, so that it is flat.
    """
    return heights_on(hole, *grid(hole, cell_m), cell_m)


def heights_on(
    hole: Hole, corner: tuple[float, float], shape: tuple[int, int], cell_m: float
) -> HeightMap | None:
    """The same on any grid of (rows, columns) cells from a south-west corner. [m]"""
    if hole.heights is None:
        if hole.sketch is None:
            return None
        return _heights_from_sketch(hole, hole.sketch, corner, shape, cell_m)[0]
    ground = hole.heights.on_grid(corner, shape, cell_m)
    if hole.sketch is None or not hole.sketch.rebuilt:
        return ground
    # The green as sketched stands on the height that its front has, and fades into the ground around it.
    green, away = _heights_from_sketch(hole, hole.sketch, corner, shape, cell_m)
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


def _heights_from_sketch(
    hole: Hole, sketch: GreenSketch, corner: tuple[float, float], shape: tuple[int, int], cell_m: float
) -> tuple[HeightMap, FloatArray]:
    """The green as sketched, and how far from it each cell is. [m]"""
    from scipy import ndimage

    rows, cols, mask = rasterize(hole.green, corner, cell_m, shape)
    green = np.zeros(shape, dtype=bool)
    green[rows, cols] = mask
    to_green, (near_row, near_col) = ndimage.distance_transform_edt(~green, return_indices=True)
    to_edge = ndimage.distance_transform_edt(green)
    x = corner[0] + (np.arange(shape[1]) + 0.5) * cell_m
    y = corner[1] + (np.arange(shape[0]) + 0.5) * cell_m
    # Heights are worked out on the green, which is a small part of the hole, and carried outwards from its
    # edge.
    height = np.zeros(shape)
    cells = np.argwhere(green)
    height[green] = sketch_height(hole, sketch, np.column_stack((x[cells[:, 1]], y[cells[:, 0]])))
    height = height[near_row, near_col]
    edge = np.column_stack((x[near_col.ravel()], y[near_row.ravel()]))
    height -= false_front_drop(hole, sketch, edge, to_green.ravel() * cell_m).reshape(shape)
    if sketch.run_offs:
        grid_x, grid_y = np.meshgrid(x, y)
        outside = np.where(green, 0.5 - to_edge, to_green - 0.5) * cell_m
        places = np.column_stack((grid_x.ravel(), grid_y.ravel()))
        height -= run_off_drop(hole, sketch, places, outside.ravel()).reshape(shape)
    sketched = HeightMap(
        heights=height.astype(np.float32),
        corner=corner,
        cell_m=float(cell_m),
        origin=Origin.ASSUMED,
        error_m=ERROR_M,
        source="the green as sketched; level elsewhere",
    )
    return sketched, np.asarray(to_green * cell_m)


def can_read_rasters() -> bool:
    """Whether rasterio, which reads GeoTIFF, is installed."""
    try:
        import rasterio  # noqa: F401
    except ImportError:
        return False
    return True


class HeightModel:
    """A raster of heights (GeoTIFF). It stays open while the holes of a course are read from it.

    Parameters
    ----------
    path : Path
        The file.
    unit_m : float or None
        Unit of the heights; None for the unit that the file states, or metres when it states none. [m]
    crs : str
        Coordinate system ("EPSG:32631"), for a file that does not state it.
    error_m : float
        Standard error of the heights. [m]
    key : str
        Table of course.toml that names the file.

    Raises
    ------
    CourseError
        If rasterio is not installed, or the file does not exist, is no raster or states no coordinate system.
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
            reason = str(error).replace(f"'{path}'", "it").strip().rstrip(".")
            raise CourseError(
                path, "", f"is no raster that can be read: {reason}", "Give a GeoTIFF"
            ) from None
        self.path, self.error_m, self.key = path, error_m, key
        if not crs and self.raster.crs is None:
            raise CourseError(
                path, "", "does not say its coordinates", f'Write {key}.crs = "EPSG:..." in course.toml'
            )
        self.crs = self._horizontal_system(crs)
        self.unit_m = self._height_unit() if unit_m is None else unit_m

    def close(self) -> None:
        """Close the file."""
        self.raster.close()

    def ground(self, hole: Hole) -> tuple[HeightMap | None, float]:
        """The ground of a hole, and the share of the hole that has no height in the raster.

        The ground is None when that share is more than a fifth. In smaller gaps the nearest height is used.
        """
        corner, cell_m, heights = self._sample_hole(hole)
        rows, cols, mask = rasterize(hole.mapped, corner, cell_m, heights.shape)
        gap = float(np.isnan(heights[rows, cols][mask]).mean())
        if gap > _LARGEST_GAP:
            return None, gap
        return self._height_map(corner, cell_m, _fill_gaps(heights)), gap

    def above_ground(self, hole: Hole) -> HeightMap | None:
        """Heights on a hole with nan in the gaps, for a raster of treetops; None when all is a gap."""
        corner, cell_m, heights = self._sample_hole(hole)
        heights[heights > _TALLEST_M] = np.nan
        return None if np.isnan(heights).all() else self._height_map(corner, cell_m, heights)

    def _height_map(self, corner: tuple[float, float], cell_m: float, heights: FloatArray) -> HeightMap:
        return HeightMap(
            heights=heights.astype(np.float32),
            corner=corner,
            cell_m=cell_m,
            origin=Origin.PUBLISHED,
            error_m=self.error_m,
            source=self.path.name,
        )

    def _sample_hole(self, hole: Hole) -> tuple[tuple[float, float], float, FloatArray]:
        """Corner and cell size of a grid over a hole [m], and its heights with nan in the gaps [m]."""
        from pyproj import Transformer

        to_model = Transformer.from_crs("OGC:CRS84", self.crs, always_xy=True)
        west, south, east, north = shapely.bounds(hole.mapped)
        middle = hole.frame.to_lonlat([[(west + east) / 2.0, (south + north) / 2.0]])[0]
        cell_m = self._cell_size(to_model, middle)
        corner, shape = grid(hole, cell_m)
        # The two systems are turned and stretched against each other, hardly bent: between nodes 50 cells
        # apart straight lines are right to a few millimetres, and only the nodes are transformed.
        along_y, along_x = (_between_nodes(n) for n in shape)
        node_y, node_x = (np.arange(part.shape[1]) * _NODES * cell_m for part in (along_y, along_x))
        grid_x, grid_y = np.meshgrid(corner[0] + node_x, corner[1] + node_y)
        lonlat = hole.frame.to_lonlat(np.column_stack((grid_x.ravel(), grid_y.ravel())))
        model_x, model_y = to_model.transform(lonlat[:, 0], lonlat[:, 1])
        a, b, c, d, e, f = (~self.raster.transform)[:6]
        nodes = a * model_x + b * model_y + c, d * model_x + e * model_y + f
        col, row = (along_y @ np.reshape(node, grid_x.shape) @ along_x.T for node in nodes)
        heights = self._sample(row.ravel() - 0.5, col.ravel() - 0.5).reshape(shape)
        return corner, cell_m, heights * self.unit_m

    def _sample(self, row: FloatArray, col: FloatArray) -> FloatArray:
        """Bilinear heights at fractional rows and columns; nan where one of the four cells has no height."""
        from rasterio.windows import Window

        height, width = self.raster.shape
        is_finite = np.isfinite(row) & np.isfinite(col)
        if not is_finite.any():
            return np.full(len(row), np.nan)
        rows, cols = row[is_finite], col[is_finite]
        r0, r1 = max(int(np.floor(rows.min())), 0), min(int(np.floor(rows.max())) + 2, height)
        c0, c1 = max(int(np.floor(cols.min())), 0), min(int(np.floor(cols.max())) + 2, width)
        if r1 - r0 < 2 or c1 - c0 < 2:
            return np.full(len(row), np.nan)
        band = self.raster.read(1, window=Window(c0, r0, c1 - c0, r1 - r0), masked=True)
        z = np.ma.filled(band.astype(np.float64), np.nan)
        z = z * self.raster.scales[0] + self.raster.offsets[0]  # small files count in centimetres, say
        # Some files do not declare the value that marks missing data. No ground is so low or so high.
        z[(z < -1000.0) | (z > 10_000.0 / min(self.unit_m, 1.0))] = np.nan
        inside = is_finite & (row >= r0) & (row <= r1 - 1) & (col >= c0) & (col <= c1 - 1)
        heights = np.full(len(row), np.nan)
        r, c = row[inside] - r0, col[inside] - c0
        i = np.minimum(r.astype(np.intp), z.shape[0] - 2)
        j = np.minimum(c.astype(np.intp), z.shape[1] - 2)
        v, u = r - i, c - j
        heights[inside] = (z[i, j] * (1 - u) + z[i, j + 1] * u) * (1 - v) + (
            z[i + 1, j] * (1 - u) + z[i + 1, j + 1] * u
        ) * v
        return heights

    def _cell_size(self, to_model: Any, middle: FloatArray) -> float:
        """Cell size of the raster on the ground, rounded to half a metre, from half a metre to 5 m. [m]"""
        from pyproj import Geod

        model_x, model_y = to_model.transform(middle[0], middle[1])
        step = abs(self.raster.transform.e)
        lon, lat = to_model.transform(model_x, model_y + step, direction="INVERSE")
        size = float(Geod(ellps="WGS84").inv(middle[0], middle[1], lon, lat)[2])
        return float(np.clip(round(size * 2.0) / 2.0, 0.5, 5.0))

    def _horizontal_system(self, crs: str) -> Any:
        """The horizontal coordinate system, as course.toml or the file states it."""
        from pyproj import CRS
        from pyproj.exceptions import CRSError

        try:
            whole = CRS.from_user_input(crs) if crs else CRS.from_wkt(self.raster.crs.to_wkt())
        except CRSError:
            crs_text = crs or "not known"
            raise CourseError(
                self.path,
                "",
                f"its coordinates are {crs_text!r}",
                f'Write {self.key}.crs = "EPSG:..." in course.toml',
            ) from None
        self.whole_crs = whole
        # The vertical part is left out, because it would change the heights.
        parts = whole.sub_crs_list
        return parts[0] if parts else whole

    def _height_unit(self) -> float:
        """Unit of the heights as the file states it: that of the vertical axis, or else of the band. [m]"""
        if len(self.whole_crs.sub_crs_list) > 1:
            axes = self.whole_crs.sub_crs_list[1].axis_info
            if axes:
                return float(axes[0].unit_conversion_factor)
        unit = str((self.raster.units or ("",))[0] or "").strip().casefold()
        return LENGTHS_M.get(unit, _US_FOOT_M if "survey" in unit else 1.0)


def heights_from_outlines(hole: Hole, points: FloatArray) -> HeightMap | None:
    """Interpolate the ground of a hole between points of the outlines that have heights.

    Parameters
    ----------
    hole : Hole
        The hole.
    points : array (K, 3)
        Points in the course frame, with heights above the ellipsoid (RFC 7946, section 4). [m]

    Returns
    -------
    HeightMap or None
        None when fewer than ten points are on the hole, or all of them are on one line.
    """
    from scipy.interpolate import LinearNDInterpolator
    from scipy.spatial import QhullError

    inside = shapely.contains_xy(shapely.buffer(hole.mapped, 20.0), points[:, 0], points[:, 1])
    near = points[inside]
    if len(near) < _FEWEST_POINTS:
        return None
    cell_m = 1.0
    corner, shape = grid(hole, cell_m)
    x = corner[0] + (np.arange(shape[1]) + 0.5) * cell_m
    y = corner[1] + (np.arange(shape[0]) + 0.5) * cell_m
    grid_x, grid_y = np.meshgrid(x, y)
    try:
        heights = LinearNDInterpolator(near[:, :2], near[:, 2])(grid_x, grid_y)
    except QhullError:  # all points are on one line
        return None
    return HeightMap(
        heights=_fill_gaps(heights).astype(np.float32),
        corner=corner,
        cell_m=cell_m,
        origin=Origin.TRACED,
        error_m=OUTLINE_ERROR_M,
        source="heights in the outlines",
    )


def points_with_height(geometries: Sequence[shapely.Geometry], frame: Frame) -> FloatArray:
    """Positions with a height, of geometries in longitude and latitude; in the course frame (K, 3). [m]"""
    xyz = [shapely.get_coordinates(shape, include_z=True) for shape in geometries if shapely.has_z(shape)]
    if not xyz:
        return np.empty((0, 3))
    points = np.vstack(xyz)
    points = points[np.isfinite(points[:, 2])]
    return np.column_stack((frame.to_xy(points[:, :2]), points[:, 2])) if len(points) else np.empty((0, 3))


def _between_nodes(cells: int) -> FloatArray:
    """Weights (cells, nodes) of the nodes of a grid, `_NODES` cells apart, for the centres of its cells."""
    at = (np.arange(cells) + 0.5) / _NODES
    node = np.arange(int(np.floor(at[-1])) + 2)
    return np.asarray(np.maximum(1.0 - np.abs(at[:, None] - node), 0.0))


def _fill_gaps(heights: FloatArray) -> FloatArray:
    """Fill cells without a height (nan) with the nearest height."""
    is_gap = np.isnan(heights)
    if not is_gap.any():
        return heights
    from scipy import ndimage

    rows, cols = ndimage.distance_transform_edt(is_gap, return_distances=False, return_indices=True)
    return np.asarray(heights[rows, cols])
