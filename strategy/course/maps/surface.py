"""The surface map of a hole: what the ground is, cell by cell.

A cell takes the surface at its centre. Where outlines overlap: green > bunker > penalty area > tee >
fairway > first cut > trees > rough; ground that is out of bounds is out whatever is drawn on it, and
what is not mapped is off the map. Rows grow north, columns east.

Filling is an even-odd scan line over all edges at once: for every edge the rows whose centre lies in
the half-open span of its ends, there the column after which the parity changes; a cumulative sum
along the row gives inside and outside. The crossing is computed in float64, so that a cell differs
from the exact answer only if its centre lies on the outline to within rounding.
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
from strategy.course.model import Area, Hole

# Later over earlier, in maps and in pictures.
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
# A ball that touches the edge of a penalty area is in it (Rules of Golf 2023, Rule 17.1a), so a
# centre exactly on the edge must count: a micrometre decides it without moving anything else.
_EDGE_M = 1e-6
BLOCK = 4  # cells: 2 m of a map of half a metre


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SurfaceMap:
    """What the ground of one hole is.

    Attributes
    ----------
    codes : ndarray of uint8 (ny, nx)
        Surface codes; row index grows north, column index grows east.
    area : ndarray of int16 (ny, nx)
        Number of the penalty area: k for the k-th area of `hole.areas` that is a penalty area
        (counted from 0), -1 elsewhere.
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
        """Surface codes at points (K, 2); beyond the map OFF_MAP. [m]"""
        p = np.atleast_2d(np.asarray(xy, dtype=np.float64))
        cell = np.floor((p - np.asarray(self.corner)) / self.cell_m)
        ny, nx = self.codes.shape
        inside = (cell[:, 0] >= 0) & (cell[:, 0] < nx) & (cell[:, 1] >= 0) & (cell[:, 1] < ny)
        found = np.full(len(p), Surface.OFF_MAP, dtype=np.uint8)
        col, row = cell[inside].astype(np.int64).T
        found[inside] = self.codes[row, col]
        return found


def surface_map(hole: Hole, cell_m: float = 0.5) -> SurfaceMap:
    """Surface map of a hole over its mapped ground.

    Parameters
    ----------
    hole : Hole
        An assembled hole.
    cell_m : float
        Cell size. [m]

    Returns
    -------
    SurfaceMap
    """
    if not cell_m > 0.0:
        raise ValueError(f"cell_m is {cell_m!r}: a cell has a size")
    places = [hole.mapped, hole.green, hole.out_of_bounds, *(a.shape for a in hole.areas)]
    kinds = tuple((int(a.surface), _known(a)) for a in hole.areas)
    return _drawn(_Drawn((cell_m, kinds, tuple(shapely.to_wkb(places))), hole))


class _Drawn:
    """A hole under the name of what is drawn on it: rounds and hole locations share one map."""

    __slots__ = ("hole", "key")

    def __init__(self, key: tuple[object, ...], hole: Hole) -> None:
        self.key, self.hole = key, hole

    def __hash__(self) -> int:
        return hash(self.key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Drawn) and self.key == other.key


@lru_cache(maxsize=2)
def _drawn(what: _Drawn) -> SurfaceMap:
    hole = what.hole
    cell_m = float(what.key[0])  # type: ignore[arg-type]
    corner, (ny, nx) = grid(hole, cell_m)
    codes = np.full((ny, nx), Surface.ROUGH, dtype=np.uint8)
    area = np.full((ny, nx), -1, dtype=np.int16)
    wet = [a for a in hole.areas if a.surface.penalty_area]
    number = {id(a): k for k, a in enumerate(wet)}
    for surface in PAINT_ORDER:
        # Known colours over assumed ones: a drawn hazard often lies over plain water.
        for one in sorted((a for a in hole.areas if a.surface == surface), key=_known):
            shape = (
                shapely.buffer(one.shape, _EDGE_M, join_style="mitre") if surface.penalty_area else one.shape
            )
            rows, cols, mask = fill(shape, corner, cell_m, (ny, nx))
            codes[rows, cols][mask] = surface
            area[rows, cols][mask] = number.get(id(one), -1)
        if surface == Surface.GREEN:
            rows, cols, mask = fill(hole.green, corner, cell_m, (ny, nx))
            codes[rows, cols][mask] = surface
            area[rows, cols][mask] = -1
    rows, cols, mask = fill(hole.mapped, corner, cell_m, (ny, nx))
    unmapped = np.ones((ny, nx), dtype=bool)
    unmapped[rows, cols][mask] = False
    codes[unmapped] = Surface.OFF_MAP
    area[unmapped] = -1
    if hole.out_of_bounds is not None:
        rows, cols, mask = fill(hole.out_of_bounds, corner, cell_m, (ny, nx))
        codes[rows, cols][mask] = Surface.OUT
        area[rows, cols][mask] = -1
    codes.setflags(write=False)
    area.setflags(write=False)
    return SurfaceMap(codes=codes, area=area, corner=corner, cell_m=float(cell_m))


def grid(hole: Hole, cell_m: float = 0.5) -> tuple[tuple[float, float], tuple[int, int]]:
    """South-west corner and (rows, columns) of a hole's grid: its mapped ground and a cell all round. [m]

    In whole blocks of `BLOCK` cells from the course's origin: coarser maps laid over it (of tree crowns,
    say) are then those of the mirror image too.

    Raises
    ------
    ValueError
        If the cell has no size.
    """
    if not cell_m > 0.0:
        raise ValueError(f"cell_m is {cell_m!r}: a cell has a size")
    west, south, east, north = shapely.bounds(hole.mapped)
    col0, row0 = (BLOCK * ((int(np.floor(v / cell_m)) - 1) // BLOCK) for v in (west, south))
    col1, row1 = (-BLOCK * ((-int(np.ceil(v / cell_m)) - 1) // BLOCK) for v in (east, north))
    nx, ny = col1 - col0, row1 - row0
    return (col0 * cell_m, row0 * cell_m), (ny, nx)


def fill(
    shape: shapely.Geometry, corner: tuple[float, float], cell_m: float, size: tuple[int, int]
) -> tuple[slice, slice, BoolArray]:
    """Cells of a grid whose centre lies inside a polygon or multipolygon.

    Parameters
    ----------
    shape : shapely Polygon or MultiPolygon
        Valid; holes are holes. [m]
    corner : tuple of two floats
        South-west corner of the grid. [m]
    cell_m : float
        Cell size. [m]
    size : tuple of two ints
        Rows, columns of the grid.

    Returns
    -------
    rows, cols : slice
        The window of the grid that the polygon can touch.
    mask : ndarray of bool
        Inside, over that window.
    """
    nothing = (slice(0, 0), slice(0, 0), np.zeros((0, 0), dtype=bool))
    starts, ends = _edges(shape)
    if not len(starts):
        return nothing
    # In units of cells, with centres at whole numbers.
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
    # Rows with a.y <= row < b.y: half-open, so that a vertex on a row counts once.
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
    """Start and end points of all ring edges."""
    polygons = [
        part for part in shapely.get_parts(shape) if part.geom_type == "Polygon" and not part.is_empty
    ]
    rings = shapely.get_rings(polygons) if polygons else np.empty(0, dtype=object)
    if not len(rings):
        return np.empty((0, 2)), np.empty((0, 2))
    points, ring = shapely.get_coordinates(rings, return_index=True)
    same = ring[:-1] == ring[1:]
    return points[:-1][same], points[1:][same]


def _known(area: Area) -> bool:
    return area.colour_known
