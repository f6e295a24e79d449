"""Heights of the ground on a grid: at points between its cells, as slopes, on another grid.

Cells as in `strategy.course.maps.surface`: row index grows north, column index grows east, heights stand at
cell centres. Between them heights are bilinear, which is exact for a plane; up to one cell beyond the
outermost centres the slope goes on, further out the height of the rim is kept.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strategy.arrays import FloatArray
from strategy.course.origin import Origin


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HeightMap:
    """Heights of the ground on a grid.

    Attributes
    ----------
    heights : ndarray of float32 (ny, nx)
        Above the level of the source. Only differences mean anything. [m]
    corner : tuple of two floats
        South-west corner of cell [0, 0]. [m]
    cell_m : float
        Cell size. [m]
    origin : Origin
        Published for a model, traced for heights in the outlines, assumed for a sketch.
    error_m : float
        Standard error of a height against its neighbours. [m]
    source : str
        In words: the file, or the sketch.
    """

    heights: NDArray[np.float32]
    corner: tuple[float, float]
    cell_m: float
    origin: Origin
    error_m: float
    source: str = ""

    def at(self, xy: ArrayLike) -> FloatArray:
        """Heights at points (K, 2). [m]"""
        row, col, v, u = self._cells(xy)
        z = self.heights.astype(np.float64, copy=False)
        low = z[row, col] * (1.0 - u) + z[row, col + 1] * u
        high = z[row + 1, col] * (1.0 - u) + z[row + 1, col + 1] * u
        return np.asarray(low * (1.0 - v) + high * v)

    def on_grid(self, corner: tuple[float, float], shape: tuple[int, int], cell_m: float) -> HeightMap:
        """The same ground on another grid: (rows, columns) cells from a south-west corner. [m]"""
        if (corner, shape, cell_m) == (self.corner, self.heights.shape, self.cell_m):
            return self
        x = corner[0] + (np.arange(shape[1]) + 0.5) * cell_m
        y = corner[1] + (np.arange(shape[0]) + 0.5) * cell_m
        new = np.empty(shape, dtype=np.float32)
        for i, north in enumerate(y):
            new[i] = self.at(np.column_stack((x, np.full(len(x), north))))
        return dataclasses.replace(self, heights=new, corner=corner, cell_m=float(cell_m))

    def _cells(self, xy: ArrayLike) -> tuple[NDArray[np.intp], NDArray[np.intp], FloatArray, FloatArray]:
        p = np.atleast_2d(np.asarray(xy, dtype=np.float64))
        ny, nx = self.heights.shape
        at = (p - np.asarray(self.corner)) / self.cell_m - 0.5
        at = np.clip(at, -1.0, np.array([nx, ny], dtype=np.float64))
        col = np.clip(np.floor(at[:, 0]), 0, nx - 2).astype(np.intp)
        row = np.clip(np.floor(at[:, 1]), 0, ny - 2).astype(np.intp)
        return row, col, at[:, 1] - row, at[:, 0] - col
