"""What kernels are given: named tuples of what belongs together, and the columns of what comes packed.

A named tuple of arrays costs a kernel nothing at its call from Python or once for each aim, but much once for
each ball: what is called for every ball takes its arrays one by one. Everything is in cells of the bordered
map and radians, heights in metres. Needs no compiler.
"""

from __future__ import annotations

from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from strategy.arrays import BoolArray, FloatArray, IntArray

NO_CROSSINGS: Final = np.empty((0, 0), dtype=np.int32)  # every wet ball's track is walked
# Columns of an aim, the affine map of the standard normals of one choice: see `decide.aims.pack`.
AIM: Final = 21
AIM_X, AIM_Y, AIM_MISHIT_X, AIM_MISHIT_Y, AIM_XX, AIM_XY, AIM_YX, AIM_YY = range(8)
AIM_CARRY, AIM_MISHIT_SCALE, AIM_BEND, AIM_MISHIT_SHARE, AIM_RISE, AIM_RISE_2 = range(8, 14)
AIM_COS, AIM_SIN, AIM_HEIGHT, AIM_HEIGHT_1, AIM_HEIGHT_2, AIM_RUN_SHARE, AIM_FULL = range(14, 21)
# Columns of a row of the shot table: see `kernels.packed.table_of`.
ROW: Final = 21
ROW_CARRY, ROW_LEAST, ROW_SIDE, ROW_DEPTH, ROW_SS, ROW_DS, ROW_DD = range(7)
ROW_MISHIT_SIDE, ROW_MISHIT_DEPTH, ROW_MISHIT_SCALE, ROW_BEND, ROW_MISHIT_SHARE = range(7, 12)
ROW_RISE, ROW_RISE_2, ROW_COS, ROW_SIN = range(12, 16)
ROW_HEIGHT, ROW_HEIGHT_1, ROW_HEIGHT_2, ROW_SHORT, ROW_SHRINK = range(16, 21)
# Columns of a kept option of a node-lie.
SHOT, HEADING, CARRY, STROKES = range(4)


class StrikePoint(NamedTuple):
    """Where balls are struck: its place [cells] and height [m]."""

    x: float
    y: float
    height: float


class ToGo(NamedTuple):
    """Strokes to go as kernels gather them.

    Attributes
    ----------
    values : float32 or float64 (ny * nx,)
        From a ball at rest in a cell; nan in penalty areas, where the track decides, inf where only going
        back is left.
    pages : float (P, ny * nx)
        What is gathered. One page: the values themselves, and every wet ball's track is walked. More: copies
        in which wet patches receive the value of the first ball that rests there (`decide.aims.Pages`).
    crossings : int32 (patches, arrivals) or (0, 0)
        From `map_crossings`, for solving: no track is walked. Empty otherwise.
    """

    values: Any
    pages: Any
    crossings: NDArray[np.int32]


class Sample(NamedTuple):
    """Common points of every aim.

    Attributes
    ----------
    deviates : float32 or float64 (4, N)
        Core first, then mishits; their type is the arithmetic's.
    core : int
        How many are core.
    """

    deviates: Any
    core: int


class Screens(NamedTuple):
    """What is remembered to stand in the way of shots from one place, for searching.

    Attributes
    ----------
    held : uint16 (S, DIRECTIONS) or (., 0)
        By shot and direction, `UNSEEN` where it was never asked; filled on the way. No columns: every flight
        is walked.
    row : int64 (A,)
        Row of each aim.
    """

    held: NDArray[np.uint16]
    row: IntArray


class Bag(NamedTuple):
    """The shot table: rows (S, L, H, ROW), runs float32 (S L H, 3, 16), shots allowed (S, L)."""

    table: FloatArray
    roll: NDArray[np.float32]
    allowed: BoolArray


class Net(NamedTuple):
    """Node-lies of a lattice.

    Attributes
    ----------
    spots, lies : float64 (N, 3), int64 (N,)
        Place and height [m] of every node-lie, and its lie.
    leaders : int64 (N,)
        When searching, a node-lie whose leader is another one starts from that one's options.
    turns : float64 (N, 1 + B)
        A distance, and from each node-lie the headings of the line of play at B multiples of it.
    """

    spots: FloatArray
    lies: IntArray
    leaders: IntArray
    turns: FloatArray


class Looking(NamedTuple):
    """How a sweep looks for options.

    Attributes
    ----------
    slots, worth, step, fan : int, float, float, int
        0 slots: search every shot over a fan of headings; a follower tries its leader's options within
        `worth`. Otherwise refine so many options, those within `worth` of the best, by `fan` steps to each
        side and one of carry; none only puts them in order.
    coarse, margin, past : float
        When searching: sideways step, sideways reach of the fan beyond the directions of hole and line of
        play, and how far past the hole a carry is tried.
    dials : int
        Carries tried of each shot when searching, 0.35 `past` apart.
    """

    slots: int
    worth: float
    step: float
    fan: int
    coarse: float
    margin: float
    past: float
    dials: int


class Remembered(NamedTuple):
    """Screens of the P places of a lattice, uint16 (P, S, DIRECTIONS); the place of each node-lie (N,)."""

    held: NDArray[np.uint16]
    place_of: IntArray


class Mesh(NamedTuple):
    """A lattice on the map: node-lie of each point, int32 (L, gy, gx), -1 for none; origin and spacing."""

    node_of: NDArray[np.int32]
    x0: float
    y0: float
    spacing: float


class Blend(NamedTuple):
    """Where a region is blended into what it stands on: the hole, and from how far till how far from it."""

    hole_x: float
    hole_y: float
    inner: float
    outer: float


class Size(NamedTuple):
    """Rows and columns of the bordered map, and its cell [m]."""

    rows: int
    columns: int
    cell_m: float


class Wood(NamedTuple):
    """Scalars of a `TreeMap`, and the height above a spot that no tree reaches [m]."""

    rows: int
    columns: int
    step: float
    crown: float
    stems: float
    clear: float


class Flight(NamedTuple):
    """Sideways bend of a flight [cells], and its row of `ShotTable.flight_height`."""

    bend: float
    k0: float
    k1: float
    k2: float


class Ended(NamedTuple):
    """How balls of a round end.

    Attributes
    ----------
    base : float32 (ny * nx,)
        Strokes to go that the rest of the hole stands on.
    putts : float32 (ny * nx, 2)
        Chances of one and of two putts, else three; both 0 off the green.
    dropped : int32 (ny * nx,)
        Cell where a ball is dropped that is unplayable in a cell, else -1.
    lie_chance : float64 (11, 9)
        Lies by surface.
    """

    base: NDArray[np.float32]
    putts: NDArray[np.float32]
    dropped: NDArray[np.int32]
    lie_chance: FloatArray


class TeeShot(NamedTuple):
    """The first stroke of a round: where from, its aim (AIM,), its runs (3, 16), and 1 + V of the tee."""

    start: StrikePoint
    aim: FloatArray
    roll: Any
    again: float


class Part(NamedTuple):
    """A part of the bordered map: its first cell, its size, and the step of a net over it. [cells]"""

    row: int
    column: int
    height: int
    width: int
    step: float
