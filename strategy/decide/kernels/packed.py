"""Points and the shot table as the kernels of the whole hole take them."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.arrays import FloatArray
from strategy.codes import Lie, Surface
from strategy.decide.kernels.flat_map import ROW
from strategy.outcome.points import make_points
from strategy.outcome.table import Row
from strategy.outcome.today import HoleToday

_HEADINGS: Final = 72  # rows of 5 degrees


def points_of(size: int, seed: int) -> tuple[NDArray[np.float32], int]:
    """Core points and a quarter as many mishits (4, N), and how many are core."""
    core = make_points(size, seed).stacked[:size]
    mishit = make_points(max(size // 4, 1), seed).stacked[max(size // 4, 1) :]
    return np.ascontiguousarray(np.vstack((core, mishit)).T, dtype=np.float32), size


def table_of(today: HoleToday) -> tuple[FloatArray, NDArray[np.float32], NDArray[np.bool_]]:
    """The shot table as the kernels take it, lengths in cells.

    A kernel takes the nearest heading, so a table that depends on the heading is first made denser.

    Returns
    -------
    rows : ndarray (S, L, H, ROW)
        Carry, shortest carry, mean (2), factor (3), mishit shift (2) and scale, bend, mishit share, rise (2),
        cosine and sine of the run's turn, climb (3), whether short, `shrink`.
    roll : ndarray of float32 (S L H, 3, 16)
        Mean, s.d. and `fall` of the run by surface.
    allowed : ndarray of bool (S, L)
    """
    table, per_m = today.shots, 1.0 / today.cell_m
    bins = 1 if table.carry.shape[2] == 1 else _HEADINGS
    shot, lie, heading = np.ix_(np.arange(table.shots), np.arange(len(Lie)), np.arange(bins) * (360.0 / bins))
    t = table.at(shot, lie, heading)
    factor = np.linalg.cholesky(t.covariance)
    out = np.empty((*t.carry.shape, ROW))
    out[..., 0], out[..., 1] = t.carry * per_m, t.least * per_m
    out[..., 2:4] = t.mean * per_m
    out[..., 4], out[..., 5], out[..., 6] = (factor[..., i, j] * per_m for i, j in ((0, 0), (1, 0), (1, 1)))
    out[..., 7:9] = t.mishit_shift * per_m
    out[..., 9] = t.mishit_scale
    out[..., 10] = -4.0 * t.bend[..., 1] * per_m
    out[..., 11] = t.mishit_share
    out[..., 12:14] = t.rise * per_m
    turn = np.radians(t.run_turn)
    out[..., 14], out[..., 15] = np.cos(turn), np.sin(turn)
    out[..., 16:19] = t.climb
    out[..., 19], out[..., 20] = table.short[shot], table.shrink[shot]
    roll = rolls_of(t, per_m).reshape(-1, 3, 16).astype(np.float32)
    return out, roll, np.ascontiguousarray(table.allowed)


def rolls_of(row: Row, per_m: float) -> FloatArray:
    """Mean, s.d. and `fall` of runs by surface (..., 3, 16), padded. [cells]"""
    out = np.zeros((*row.run.shape[:-1], 3, 16))
    n = len(Surface)
    out[..., 0, :n], out[..., 1, :n], out[..., 2, :n] = row.run * per_m, row.run_sd * per_m, row.fall
    return out
