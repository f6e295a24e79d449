"""The surface map of a hole: the surface of the ground in each cell of a grid.

A cell has the surface at its centre. Where outlines overlap, the order is green, bunker, penalty area, tee,
fairway, first cut, trees, rough: the first of them counts. Ground out of bounds is out of bounds whatever is
drawn on it. Ground that is not mapped is off the map. Rows grow to the north, columns to the east.

Outlines are filled by an even-odd scan line over all edges at once. For every edge the rows are listed whose
centres lie in the half-open span of its ends, and for each row the column after which inside and outside
change. The parity of the changes along a row says which cells are inside. Crossings are computed in float64,
so a cell is wrong only if its centre lies on the outline within rounding.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from strategy.arrays import BoolArray
from strategy.codes import Surface
from strategy.course.model import Hole

# In maps and pictures a later surface covers an earlier one.
PAINT_ORDER: Final = (
    Surface.ROUGH,
    Surface.TREES,
    Surface.FIRST_CUT,
    Surface.FAIRWAY,
    Surface.TEE,
    Surface.RED,
    Surface.YELLOW,
    Surface.BUNKER,
    Surface.GREEN,
)
# A ball that touches the edge of a penalty area is in it (Rules of Golf 2023, Rule 17.1a). Penalty areas are
# therefore widened by a micrometre, so that a cell centre exactly on the edge counts.
_EDGE_M = 1e-6
BLOCK = 4  # cells; 2 m on a map with cells of half a metre


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SurfaceMap:
    """The surfaces of one hole on a grid.

    Attributes
    ----------
    codes : ndarray of uint8 (ny, nx)
        Surface codes. The row index grows to the north, the column index to the east.
    area : ndarray of int16 (ny, nx)
        Number of the penalty area, counted from 0 over the penalty areas of ``Hole.areas``; -1 elsewhere.
    corner : tuple of two floats
        South-west corner of cell [0, 0]; a whole multiple of the cell size. [m]
    cell_m : float
        Cell size. [m]
    """

    codes: NDArray[np.uint8]
    area: NDArray[np.int16]
    corner: tuple[float, float]
    cell_m: float

    def at(self, xy: ArrayLike) -> NDArray[np.uint8]:
        """Surface codes at points (K, 2); OFF_MAP beyond the map. [m]"""
        points = np.atleast_2d(np.asarray(xy, dtype=np.float64))
        cell = np.floor((points - np.asarray(self.corner)) / self.cell_m)
        ny, nx = self.codes.shape
        inside = (cell[:, 0] >= 0) & (cell[:, 0] < nx) & (cell[:, 1] >= 0) & (cell[:, 1] < ny)
        codes = np.full(len(points), Surface.OFF_MAP, dtype=np.uint8)
        col, row = cell[inside].astype(np.int64).T
        codes[inside] = self.codes[row, col]
        return codes


def surface_map(hole: Hole, cell_m: float = 0.5) -> SurfaceMap:
    """Surface map of a hole over its mapped ground. The last two maps are cached.

    Parameters
    ----------
    hole : Hole
        An assembled hole.
    cell_m : float
        Cell size. [m]

    Returns
    -------
    SurfaceMap

    Raises
    ------
    ValueError
        If the cell size is not positive.
    """
    if not cell_m > 0.0:
        raise ValueError(f"cell_m is {cell_m!r}: a cell has a size")
    shapes = [hole.mapped, hole.green, hole.out_of_bounds, *(a.shape for a in hole.areas)]
    kinds = tuple((int(a.surface), a.colour_known) for a in hole.areas)
    return _draw_map(_MapKey((cell_m, kinds, tuple(shapely.to_wkb(shapes))), hole))


class _MapKey:
    """Cache key of a surface map: two holes with the same outlines are equal, so rounds share one map."""

    __slots__ = ("hole", "key")

    def __init__(self, key: tuple[object, ...], hole: Hole) -> None:
        self.key, self.hole = key, hole

    def __hash__(self) -> int:
        return hash(self.key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _MapKey) and self.key == other.key


@lru_cache(maxsize=2)
def _draw_map(key: _MapKey) -> SurfaceMap:
    hole = key.hole
    cell_m = float(key.key[0])  # type: ignore[arg-type]
    corner, (ny, nx) = grid(hole, cell_m)
    codes = np.full((ny, nx), Surface.ROUGH, dtype=np.uint8)
    area = np.full((ny, nx), -1, dtype=np.int16)
    penalty_areas = [a for a in hole.areas if a.surface.penalty_area]
    number = {id(a): k for k, a in enumerate(penalty_areas)}
    for surface in PAINT_ORDER:
        # A penalty area of known colour covers one of assumed colour: it is often drawn over plain water.
        same = sorted((a for a in hole.areas if a.surface == surface), key=lambda a: a.colour_known)
        for one in same:
            shape = (
                shapely.buffer(one.shape, _EDGE_M, join_style="mitre") if surface.penalty_area else one.shape
            )
            rows, cols, mask = rasterize(shape, corner, cell_m, (ny, nx))
            codes[rows, cols][mask] = surface
            area[rows, cols][mask] = number.get(id(one), -1)
        if surface == Surface.GREEN:
            rows, cols, mask = rasterize(hole.green, corner, cell_m, (ny, nx))
            codes[rows, cols][mask] = surface
            area[rows, cols][mask] = -1
    rows, cols, mask = rasterize(hole.mapped, corner, cell_m, (ny, nx))
    unmapped = np.ones((ny, nx), dtype=bool)
    unmapped[rows, cols][mask] = False
    codes[unmapped] = Surface.OFF_MAP
    area[unmapped] = -1
    if hole.out_of_bounds is not None:
        rows, cols, mask = rasterize(hole.out_of_bounds, corner, cell_m, (ny, nx))
        codes[rows, cols][mask] = Surface.OUT
        area[rows, cols][mask] = -1
    codes.setflags(write=False)
    area.setflags(write=False)
    return SurfaceMap(codes=codes, area=area, corner=corner, cell_m=float(cell_m))


def grid(hole: Hole, cell_m: float = 0.5) -> tuple[tuple[float, float], tuple[int, int]]:
    """South-west corner [m] and (rows, columns) of a grid over a hole: the mapped ground and a cell round it.

    The grid consists of whole blocks of `BLOCK` cells from the origin of the course. A coarser map over it,
    for example of tree crowns, is then mirrored when the course is mirrored.

    Raises
    ------
    ValueError
        If the cell size is not positive.
    """
    if not cell_m > 0.0:
        raise ValueError(f"cell_m is {cell_m!r}: a cell has a size")
    west, south, east, north = shapely.bounds(hole.mapped)
    col0, row0 = (BLOCK * ((int(np.floor(v / cell_m)) - 1) // BLOCK) for v in (west, south))
    col1, row1 = (-BLOCK * ((-int(np.ceil(v / cell_m)) - 1) // BLOCK) for v in (east, north))
    nx, ny = col1 - col0, row1 - row0
    return (col0 * cell_m, row0 * cell_m), (ny, nx)


def rasterize(
    shape: shapely.Geometry, corner: tuple[float, float], cell_m: float, size: tuple[int, int]
) -> tuple[slice, slice, BoolArray]:
    """Find the cells of a grid whose centre lies inside a polygon or multipolygon.

    Parameters
    ----------
    shape : shapely Polygon or MultiPolygon
        A valid geometry; its inner rings are outside. [m]
    corner : tuple of two floats
        South-west corner of the grid. [m]
    cell_m : float
        Cell size. [m]
    size : tuple of two ints
        Rows, columns of the grid.

    Returns
    -------
    rows, cols : slice
        The window of the grid round the polygon.
    mask : ndarray of bool
        Which cells of that window are inside.
    """
    nothing = (slice(0, 0), slice(0, 0), np.zeros((0, 0), dtype=bool))
    starts, ends = _edges(shape)
    if not len(starts):
        return nothing
    # In units of cells, with cell centres at whole numbers.
    origin = np.asarray(corner) / cell_m + 0.5
    p, q = starts / cell_m - origin, ends / cell_m - origin
    ny, nx = size
    low, high = np.minimum(p, q).min(axis=0), np.maximum(p, q).max(axis=0)
    c0, c1 = max(int(np.ceil(low[0])), 0), min(int(np.floor(high[0])), nx - 1)
    r0, r1 = max(int(np.ceil(low[1])), 0), min(int(np.floor(high[1])), ny - 1)
    if c0 > c1 or r0 > r1:
        return nothing
    upward = p[:, 1] <= q[:, 1]
    a, b = np.where(upward[:, None], p, q), np.where(upward[:, None], q, p)
    # Rows with a.y <= row < b.y. The span is half-open, so that a vertex on a row counts once.
    first = np.maximum(np.ceil(a[:, 1]), r0).astype(np.int64)
    last = np.minimum(np.ceil(b[:, 1]) - 1, r1).astype(np.int64)
    count = np.maximum(last - first + 1, 0)
    edge = np.repeat(np.arange(len(a)), count)
    row = first[edge] + np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count)
    slope = (b[edge, 0] - a[edge, 0]) / (b[edge, 1] - a[edge, 1])
    x = a[edge, 0] + (row - a[edge, 1]) * slope
    column = np.clip(np.ceil(x), c0, c1 + 1).astype(np.int64)
    height, width = r1 - r0 + 1, c1 - c0 + 1
    flat = (row - r0) * (width + 1) + (column - c0)
    toggles = np.bincount(flat, minlength=height * (width + 1)).reshape(height, width + 1)
    parity = np.bitwise_xor.accumulate((toggles[:, :width] & 1).astype(np.uint8), axis=1)
    return slice(r0, r1 + 1), slice(c0, c1 + 1), parity.astype(bool)


def _edges(shape: shapely.Geometry) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Start and end points of the edges of all rings."""
    polygons = [
        part for part in shapely.get_parts(shape) if part.geom_type == "Polygon" and not part.is_empty
    ]
    rings = shapely.get_rings(polygons) if polygons else np.empty(0, dtype=object)
    if not len(rings):
        return np.empty((0, 2)), np.empty((0, 2))
    points, ring = shapely.get_coordinates(rings, return_index=True)
    same = ring[:-1] == ring[1:]
    return points[:-1][same], points[1:][same]
