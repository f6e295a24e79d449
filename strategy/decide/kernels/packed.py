"""Points and the shot table as the kernels of the whole hole take them."""

from __future__ import annotations

from typing import Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.codes import Lie, Surface
from strategy.decide.kernels.arguments import (
    ROW,
    ROW_BEND,
    ROW_CARRY,
    ROW_COS,
    ROW_DD,
    ROW_DEPTH,
    ROW_DS,
    ROW_HEIGHT,
    ROW_HEIGHT_2,
    ROW_LEAST,
    ROW_MISHIT_DEPTH,
    ROW_MISHIT_SCALE,
    ROW_MISHIT_SHARE,
    ROW_MISHIT_SIDE,
    ROW_RISE,
    ROW_RISE_2,
    ROW_SHORT,
    ROW_SHRINK,
    ROW_SIDE,
    ROW_SIN,
    ROW_SS,
    Bag,
    Sample,
)
from strategy.outcome.points import make_points
from strategy.outcome.table import Row
from strategy.outcome.today import HoleToday

_HEADINGS: Final = 72  # rows of 5 degrees


def points_of(size: int, seed: int) -> Sample:
    """Core points and a quarter as many mishits."""
    core = make_points(size, seed).stacked[:size]
    mishit = make_points(max(size // 4, 1), seed).stacked[max(size // 4, 1) :]
    return Sample(np.ascontiguousarray(np.vstack((core, mishit)).T, dtype=np.float32), size)


def table_of(today: HoleToday) -> Bag:
    """The shot table as the kernels take it, lengths in cells.

    A kernel takes the nearest heading, so a table that depends on the heading is first made denser.
    """
    table, per_m = today.shots, 1.0 / today.cell_m
    bins = 1 if table.carry.shape[2] == 1 else _HEADINGS
    shot, lie, heading = np.ix_(np.arange(table.shots), np.arange(len(Lie)), np.arange(bins) * (360.0 / bins))
    t = table.at(shot, lie, heading)
    factor = np.linalg.cholesky(t.covariance)
    out = np.empty((*t.carry.shape, ROW))
    out[..., ROW_CARRY], out[..., ROW_LEAST] = t.carry * per_m, t.least * per_m
    out[..., ROW_SIDE : ROW_DEPTH + 1] = t.mean * per_m
    for column, i, j in ((ROW_SS, 0, 0), (ROW_DS, 1, 0), (ROW_DD, 1, 1)):
        out[..., column] = factor[..., i, j] * per_m
    out[..., ROW_MISHIT_SIDE : ROW_MISHIT_DEPTH + 1] = t.mishit_shift * per_m
    out[..., ROW_MISHIT_SCALE], out[..., ROW_MISHIT_SHARE] = t.mishit_scale, t.mishit_share
    out[..., ROW_BEND] = -4.0 * t.bend[..., 1] * per_m
    out[..., ROW_RISE : ROW_RISE_2 + 1] = t.rise * per_m
    turn = np.radians(t.run_turn)
    out[..., ROW_COS], out[..., ROW_SIN] = np.cos(turn), np.sin(turn)
    out[..., ROW_HEIGHT : ROW_HEIGHT_2 + 1] = t.flight_height
    out[..., ROW_SHORT], out[..., ROW_SHRINK] = table.short[shot], table.shrink[shot]
    roll = rolls_of(t, per_m).reshape(-1, 3, 16).astype(np.float32)
    return Bag(out, roll, np.ascontiguousarray(table.allowed))


def rolls_of(row: Row, per_m: float) -> FloatArray:
    """Mean, s.d. and `fall` of runs by surface (..., 3, 16), padded. [cells]"""
    out = np.zeros((*row.run.shape[:-1], 3, 16))
    n = len(Surface)
    out[..., 0, :n], out[..., 1, :n], out[..., 2, :n] = row.run * per_m, row.run_sd * per_m, row.fall
    return out
