"""One hole as the kernels see it: flat maps with a border, and the trees on them. Needs no compiler."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from strategy.outcome.today import HoleToday

# Of all kernels. Without "nnan": nan marks the cells that no ball is played from.
FAST: Final = {"contract", "reassoc", "nsz"}
DIRECTIONS: Final = 240  # of a screen, see `kernels.trees`: every 1.5 degrees
UNSEEN: Final = 0xFFFF  # in a screen: not looked at yet
WIDE_DIAL: Final = 0.8  # a shot dialled below this share of its full carry is one of many flights
NO_SCREEN: Final = np.zeros((0, 0), np.uint16)


class TreeMap(NamedTuple):
    """Trees on the canopy's own cells, with a border; flat, and empty where none stands.

    Attributes
    ----------
    rows, columns : int
        Size with the border.
    step : float
        A cell of the canopy, in cells of the map.
    free : uint8 (rows * columns,)
        Steps to the nearest tree that can be leapt whole.
    top, base : float32 (rows * columns,)
        Tops, and lowest branches, above the ground. [m]
    crown, stems : float
        What a step through a crown, and past stems, takes of what a ball can stand.
    highest : float
        A height that no tree reaches. [m]
    """

    rows: int
    columns: int
    step: float
    free: NDArray[np.uint8]
    top: NDArray[np.float32]
    base: NDArray[np.float32]
    crown: float
    stems: float
    highest: float


NO_TREES: Final = TreeMap(
    0, 0, 1.0, np.zeros(0, np.uint8), np.zeros(0, np.float32), np.zeros(0, np.float32), 0.0, 0.0, 0.0
)


class Land(NamedTuple):
    """One hole with one hole location as the kernels see it; positions in cells of the bordered map.

    Attributes
    ----------
    rows, columns : int
        Size ny, nx of the maps, which are flat.
    cell_m : float
        [m]
    hole_x, hole_y, club_m : float
        Hole location [cells], club-length of the Rules [m].
    zones : float64 (Z, 2)
        Drop zones.
    packed : uint32 (ny * nx,)
        Surface, free distance and penalty area, see the module's docstring.
    relief : float32 (2, ny * nx)
        Remembered value of relief by crossing cell, yellow and red.
    height : float32 (ny * nx,) or (0,)
        Height of the ground, empty where it is flat. [m]
    rolls_to : int32 (ny * nx,) or (0,)
        Cell where a ball that stops in a cell comes to rest; empty where each cell holds it.
    trees : TreeMap
        See `kernels.trees`.
    """

    rows: int
    columns: int
    cell_m: float
    hole_x: float
    hole_y: float
    club_m: float
    zones: NDArray[np.float64]
    packed: NDArray[np.uint32]
    relief: NDArray[np.float32]
    height: NDArray[np.float32]
    rolls_to: NDArray[np.int32]
    trees: TreeMap


class Nodes(NamedTuple):
    """Node-lies of one solved region, see `solver.lattice` and `solver.value_iteration`; lengths in cells.

    Attributes
    ----------
    node_of : int32 (9, gy, gx)
    x0, y0, spacing : float
    spots : float64 (N, 3)
    value, options : float64 (N,), float64 (N, 8, 4)
    covers : bool (ny * nx,)
        Cells of the region.
    inner, outer : float
        Between them the region is blended into what it stands on.
    """

    node_of: NDArray[np.int32]
    x0: float
    y0: float
    spacing: float
    spots: NDArray[np.float64]
    value: NDArray[np.float64]
    options: NDArray[np.float64]
    covers: NDArray[np.bool_]
    inner: float
    outer: float


def trees_of(today: HoleToday) -> TreeMap:
    """The trees of a hole as the kernels see them."""
    from scipy.ndimage import distance_transform_edt

    canopy = today.canopy
    if canopy is None or not (canopy.top > 0.0).any():
        return NO_TREES
    top, base = np.pad(canopy.top, 1), np.pad(canopy.base, 1)
    # Two points in two cells are nearer than the cells' centres by at most one diagonal.
    free = np.maximum(np.asarray(distance_transform_edt(top <= 0.0)) - np.sqrt(2.0), 0.0)
    stands = canopy.top > 0.0
    step = round(canopy.cell_m / today.cell_m)
    highest = canopy.top
    if today.height is not None:
        # Of the ground under a tree the highest cell of the map counts.
        (my, mx), (ny, nx) = canopy.top.shape, today.height.shape
        ground = np.pad(today.height, ((0, my * step - ny), (0, mx * step - nx)), mode="edge")
        highest = canopy.top + ground.reshape(my, step, mx, step).max(axis=(1, 3))
    return TreeMap(
        top.shape[0],
        top.shape[1],
        float(step),
        np.minimum(np.floor(free), 255.0).astype(np.uint8).ravel(),
        top.astype(np.float32).ravel(),
        base.astype(np.float32).ravel(),
        canopy.cell_m / canopy.crown_m,
        canopy.cell_m / canopy.stems_m,
        float(highest[stands].max()),
    )
