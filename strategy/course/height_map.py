"""Heights of the ground on a grid.

Cells are as in `strategy.course.maps.surface`: the row index grows to the north and the column index to the
east. Heights are those of cell centres. Between the centres heights are bilinear, which is exact for a plane.
The slope continues for one cell beyond the outermost centres; farther out the height stays constant.
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
        Heights above the zero level of the source. Use differences only, because sources have different zero
        levels. [m]
    corner : tuple of two floats
        South-west corner of cell [0, 0]. [m]
    cell_m : float
        Cell size. [m]
    origin : Origin
        Published for a height model, traced for heights in the outlines, assumed for a sketch.
    error_m : float
        Standard error of a height relative to its neighbours. [m]
    source : str
        The source in words: the name of a file, or the sketch.
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
        """Interpolate the heights on another grid.

        Parameters
        ----------
        corner : tuple of two floats
            South-west corner of the new grid. [m]
        shape : tuple of two ints
            Rows and columns of the new grid.
        cell_m : float
            Cell size of the new grid. [m]
        """
        if (corner, shape, cell_m) == (self.corner, self.heights.shape, self.cell_m):
            return self
        x = corner[0] + (np.arange(shape[1]) + 0.5) * cell_m
        y = corner[1] + (np.arange(shape[0]) + 0.5) * cell_m
        heights = np.empty(shape, dtype=np.float32)
        for i, north in enumerate(y):
            heights[i] = self.at(np.column_stack((x, np.full(len(x), north))))
        return dataclasses.replace(self, heights=heights, corner=corner, cell_m=float(cell_m))

    def _cells(self, xy: ArrayLike) -> tuple[NDArray[np.intp], NDArray[np.intp], FloatArray, FloatArray]:
        """Row and column of the lower left of the four centres round each point, and the shares past it."""
        points = np.atleast_2d(np.asarray(xy, dtype=np.float64))
        ny, nx = self.heights.shape
        at = (points - np.asarray(self.corner)) / self.cell_m - 0.5
        at = np.clip(at, -1.0, np.array([nx, ny], dtype=np.float64))
        col = np.clip(np.floor(at[:, 0]), 0, nx - 2).astype(np.intp)
        row = np.clip(np.floor(at[:, 1]), 0, ny - 2).astype(np.intp)
        return row, col, at[:, 1] - row, at[:, 0] - col
