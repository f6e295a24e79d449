"""Points and the shot table as the kernels of the whole hole take them."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.codes import Lie, Surface
from strategy.outcome.points import make_points
from strategy.outcome.today import HoleToday

FloatArray = NDArray[np.float64]

_HEADINGS: Final = 72  # rows of 5 degrees


def points_of(size: int, seed: int) -> tuple[NDArray[np.float32], int]:
    """Core points and a quarter as many mishits (3, N), and how many are core."""
    core = make_points(size, seed).stacked[:size]
    mishit = make_points(max(size // 4, 1), seed).stacked[max(size // 4, 1) :]
    return np.ascontiguousarray(np.vstack((core, mishit)).T, dtype=np.float32), size


def table_of(
    today: HoleToday,
) -> tuple[FloatArray, NDArray[np.float32], NDArray[np.float32], NDArray[np.bool_]]:
    """The shot table as the kernels' rows (S, L, H, 16), lengths in cells; runs flat (S L H, 16).

    The kernel takes the nearest heading, so a table that depends on the heading is first made denser.
    """
    table, per_m = today.shots, 1.0 / today.cell_m
    bins = 1 if table.carry.shape[2] == 1 else _HEADINGS
    shot, lie, heading = np.ix_(np.arange(table.shots), np.arange(len(Lie)), np.arange(bins) * (360.0 / bins))
    t = table.at(shot, lie, heading)
    factor = np.linalg.cholesky(t.covariance)
    carry = t.carry
    out = np.empty((*carry.shape, 16))
    out[..., 0], out[..., 1] = carry * per_m, t.least * per_m
    out[..., 2:4] = t.mean * per_m
    out[..., 4], out[..., 5], out[..., 6] = (factor[..., i, j] * per_m for i, j in ((0, 0), (1, 0), (1, 1)))
    out[..., 7:9] = t.mishit_shift * per_m
    out[..., 9] = t.mishit_scale
    out[..., 10] = -4.0 * t.bend[..., 1] * per_m
    out[..., 11] = t.mishit_share
    out[..., 12:14] = t.rise * per_m
    turn = np.radians(t.run_turn)
    out[..., 14], out[..., 15] = np.cos(turn), np.sin(turn)
    rows = carry.size
    run = np.zeros((rows, 16), dtype=np.float32)
    run_sd = np.zeros((rows, 16), dtype=np.float32)
    run[:, : len(Surface)] = (t.run * per_m).reshape(rows, -1)
    run_sd[:, : len(Surface)] = (t.run_sd * per_m).reshape(rows, -1)
    return out, run, run_sd, np.ascontiguousarray(table.allowed)
