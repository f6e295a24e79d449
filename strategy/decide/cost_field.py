"""What the kernels see of a hole: strokes to go from everywhere, packed surfaces, relief remembered."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strategy.arrays import FloatArray
from strategy.codes import Spot, Surface
from strategy.decide.kernels.arguments import NO_CROSSINGS, StrikePoint, ToGo
from strategy.decide.kernels.flat_map import NO_TREES, Land, TreeMap, trees_of
from strategy.outcome.play import STOPPERS
from strategy.outcome.table import ShotTable
from strategy.outcome.today import Canopy, HoleToday
from strategy.strokes.protocol import StrokesToGo


@dataclass(slots=True, eq=False)
class Unplayable:
    """Cells (M,) whose balls are better dropped for a stroke, and the cells (M,) where they go."""

    cells: NDArray[np.int32] = dataclasses.field(default_factory=lambda: np.zeros(0, np.int32))
    to: NDArray[np.int32] = dataclasses.field(default_factory=lambda: np.zeros(0, np.int32))

    def clear(self) -> None:
        """Every ball is played as it lies."""
        self.cells, self.to = self.cells[:0], self.to[:0]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CostField:
    """One hole today with one way of counting strokes, laid out for the kernels.

    All maps are flat and carry a border of one cell that is off the map; positions are in cells.

    Attributes
    ----------
    to_go : StrokesToGo
        What the field was laid out from.
    rows, columns : int
        Size with the border.
    values : ndarray of float32 (rows * columns,)
        Strokes to go from a ball at rest in a cell; nan in penalty areas, where the track decides; inf out
        of bounds and off the map, where only going back is left.
    packed : ndarray of uint32 (rows * columns,)
        Surface in the low four bits; in the next twelve the free distance in quarter cells (too short
        by up to a cell's diagonal, never too long); above them 1 + the number of the penalty area.
    relief : ndarray of float32 (2, rows * columns)
        Value of relief by crossing cell, yellow and red; nan until first needed.
    height : ndarray of float32 (rows * columns,) or (0,)
        Height of the ground; empty where it is taken for flat. [m]
    rolls_to : ndarray of int32 (rows * columns,) or (0,)
        Cell where a ball that stops in a cell comes to rest; empty where each holds it.
    steep : ndarray of int32 (n,)
        Cells that do not hold a ball; their strokes to go are those of where it comes to rest.
    trees : TreeMap
        What stops a ball in the air.
    zones : ndarray (Z, 2)
        Drop zones, in cells.
    hole : tuple of two floats
        Hole location, in cells.
    unplayable : Unplayable
        While solving; a solved hole's field has it already.
    """

    today: HoleToday
    to_go: StrokesToGo
    rows: int
    columns: int
    values: NDArray[np.float32]
    packed: NDArray[np.uint32]
    relief: NDArray[np.float32]
    height: NDArray[np.float32]
    rolls_to: NDArray[np.int32]
    steep: NDArray[np.int32]
    trees: TreeMap
    zones: NDArray[np.float64]
    hole: tuple[float, float]
    unplayable: Unplayable = dataclasses.field(default_factory=Unplayable)

    @property
    def land(self) -> Land:
        """All but the strokes to go, as the kernels take it."""
        return Land(
            self.rows, self.columns, self.today.cell_m, *self.hole, self.today.longest_club_m,
            self.zones, self.packed, self.relief, self.height, self.rolls_to, self.trees,
        )  # fmt: skip

    def to_gather(self, pages: Any = None, crossings: NDArray[np.int32] = NO_CROSSINGS) -> ToGo:
        """The strokes to go as the kernels take them; by default every wet ball's track is walked."""
        return ToGo(self.values, self.values[None] if pages is None else pages, crossings)

    def strike_point(self, spot: Spot) -> StrikePoint:
        """A spot as the kernels take it."""
        return StrikePoint(*self.cells(spot.x, spot.y), float(self.today.height_at((spot.x, spot.y))[0]))

    def value_moved_balls(self) -> None:
        """Strokes to go of balls that are dropped or roll on, after the field changed."""
        cells, to = self.unplayable.cells, self.unplayable.to
        self.values[cells] = np.minimum(self.values[cells], 1.0 + self.values[to])
        self.values[self.steep] = self.values[self.rolls_to[self.steep]]

    def cells(self, x: float, y: float) -> tuple[float, float]:
        """A place in cells of the bordered map. [m -> cells]"""
        return _pair(to_cells(self.today, (x, y)))


def to_cells(today: HoleToday, xy: ArrayLike) -> FloatArray:
    """Places (..., 2) in cells of the bordered map. [m -> cells]"""
    off = np.asarray(xy, dtype=np.float64) - np.asarray(today.corner)
    return np.asarray(off / today.cell_m + 1.0)


def to_metres(today: HoleToday, place: ArrayLike) -> FloatArray:
    """Places (..., 2) of the bordered map in the course frame. [cells -> m]"""
    off = (np.asarray(place, dtype=np.float64) - 1.0) * today.cell_m
    return np.asarray(off + np.asarray(today.corner))


def _pair(place: FloatArray) -> tuple[float, float]:
    return float(place[0]), float(place[1])


def cost_field(today: HoleToday, to_go: StrokesToGo, *, like: CostField | None = None) -> CostField:
    """Lay out a hole for the kernels: once for each hole location and way of counting.

    Parameters
    ----------
    like : CostField, optional
        A hole laid out before; what both share is taken from it.

    Raises
    ------
    ValueError
        If `to_go` was solved for another hole today.
    """
    values = np.pad(to_go.field(today).astype(np.float32), 1)
    surface = np.pad(today.surface, 1, constant_values=Surface.OFF_MAP)
    values[surface >= Surface.OUT] = np.inf
    values[(surface == Surface.YELLOW) | (surface == Surface.RED)] = np.nan
    area = np.pad(today.area, 1, constant_values=-1)
    height = np.zeros(0, np.float32) if today.height is None else np.pad(today.height, 1, mode="edge")
    zones = np.array([(x, y) for _, x, y in today.drop_zones], dtype=np.float64).reshape(-1, 2)
    rolls_to, steep = _rolls_to(today)
    laid_out = CostField(
        today=today,
        to_go=to_go,
        rows=values.shape[0],
        columns=values.shape[1],
        values=values.ravel(),
        packed=like.packed
        if like is not None and same_map(today, like.today)
        else _packed(surface.tobytes(), area.tobytes(), surface.shape),
        relief=np.full((2, values.size), np.nan, dtype=np.float32),
        height=height.ravel(),
        rolls_to=rolls_to,
        steep=steep,
        trees=_trees(today) if like is None else trees_like(today, like),
        zones=to_cells(today, zones),
        hole=_pair(to_cells(today, today.hole)),
    )
    laid_out.value_moved_balls()
    return laid_out


_MAPS: Final = dict.fromkeys(("surface", "area", "corner", "cell_m"), "another map")
# What strokes to go depend on, and the words for it when it differs from what was solved.
_PLACES: Final = {
    **_MAPS,
    **dict.fromkeys(("height", "rolls_to"), "other heights"),
    **dict.fromkeys(("longest_club_m", "level"), "another player"),
    "lie_chance": "other lies",
    "hole": "another hole location",
    "drop_zones": "other drop zones",
    "stimp_ft": "another green speed",
}
_PLAY: Final = {"shots": "other shots or another wind", "canopy": "other trees"}


def same_map(today: HoleToday, other: HoleToday) -> bool:
    """Whether two holes today have the same surfaces on the same cells."""
    return not _otherwise(today, other, _MAPS)


def same_ground(today: HoleToday, other: HoleToday) -> bool:
    """Whether places are the same in two holes today: all but markers, shots, trees and the day."""
    return not _otherwise(today, other, _PLACES)


def otherwise(today: HoleToday, other: HoleToday) -> tuple[str, ...]:
    """What changes this player's strokes to go between two holes today, in words; empty where nothing does.

    Markers do not, nor does a wind that is only said.
    """
    return _otherwise(today, other, {**_PLACES, **_PLAY})


def _otherwise(today: HoleToday, other: HoleToday, words: Mapping[str, str]) -> tuple[str, ...]:
    changed = (text for name, text in words.items() if not _same(getattr(today, name), getattr(other, name)))
    return tuple(dict.fromkeys(changed))


def _same(one: object, other: object) -> bool:
    """Whether two parts of a hole today hold the same, array by array."""
    if one is other:
        return True
    if one is None or other is None:
        return False
    if isinstance(one, np.ndarray):
        return np.array_equal(one, other)  # type: ignore[arg-type]
    if isinstance(one, Canopy | ShotTable):
        names = [f.name for f in dataclasses.fields(one)]
        return all(_same(getattr(one, name), getattr(other, name)) for name in names)
    return one == other


def trees_like(today: HoleToday, like: CostField) -> TreeMap:
    """The trees of a hole today, with all that still holds of those of a hole laid out before."""
    canopy, before = today.canopy, like.today.canopy
    if canopy is before and _same(today.height, like.today.height):
        return like.trees
    if canopy is None or before is None or not _same(today.height, like.today.height):
        return trees_of(today)
    if canopy.top is not before.top or canopy.base is not before.base or canopy.cell_m != before.cell_m:
        return trees_of(today)
    # Only the chance that a ball comes through has changed.
    return like.trees._replace(crown=canopy.cell_m / canopy.crown_m, stems=canopy.cell_m / canopy.stems_m)


def _rolls_to(today: HoleToday) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """`HoleToday.rolls_to` on the bordered map, and the cells that do not hold a ball."""
    if today.rolls_to is None:
        return np.zeros(0, np.int32), np.zeros(0, np.int32)
    ny, nx = today.surface.shape
    inner = (today.rolls_to // nx + 1) * (nx + 2) + today.rolls_to % nx + 1
    to = np.arange((ny + 2) * (nx + 2), dtype=np.int32)
    to.reshape(ny + 2, nx + 2)[1:-1, 1:-1] = inner.reshape(ny, nx)
    return to, np.flatnonzero(to != np.arange(to.size)).astype(np.int32)


_LAST_TREES: list[tuple[Canopy, object, TreeMap]] = []


def _trees(today: HoleToday) -> TreeMap:
    """`trees_of`, remembered for the last canopy and ground under it: hole locations of a hole share them."""
    if today.canopy is None:
        return NO_TREES
    if not _LAST_TREES or _LAST_TREES[0][0] is not today.canopy or _LAST_TREES[0][1] is not today.height:
        _LAST_TREES[:] = [(today.canopy, today.height, trees_of(today))]
    return _LAST_TREES[0][2]


@lru_cache(maxsize=2)
def _packed(surface: bytes, area: bytes, shape: tuple[int, int]) -> NDArray[np.uint32]:
    """`_pack` remembered by content: the rounds of a hole differ in wind and hole location only."""
    codes = np.frombuffer(surface, dtype=np.uint8).reshape(shape)
    return _pack(codes, np.frombuffer(area, dtype=np.int16).reshape(shape)).ravel()


def _pack(surface: NDArray[np.uint8], area: NDArray[np.int16]) -> NDArray[np.uint32]:
    from scipy.ndimage import distance_transform_edt, find_objects

    def free(inside: NDArray[np.bool_]) -> NDArray[np.float64]:
        # Two points in two cells are nearer than the cells' centres by at most one diagonal.
        return np.asarray(np.maximum(np.asarray(distance_transform_edt(inside)) - np.sqrt(2.0), 0.0))

    stopper = np.isin(surface, [int(s) for s in STOPPERS])
    cells = free(~stopper) if stopper.any() else np.full(surface.shape, np.inf)
    for number, box in enumerate(find_objects(area.astype(np.int32) + 1), start=1):
        if box is not None:
            grown = tuple(slice(max(s.start - 1, 0), s.stop + 1) for s in box)
            own = area[grown] == number - 1
            cells[grown] = np.where(own, free(own), cells[grown])
    quarters = np.minimum(np.floor(cells * 4.0), 4095.0).astype(np.uint32)
    numbers = (area.astype(np.int32) + 1).astype(np.uint32)
    return np.ascontiguousarray((numbers << 16) | (quarters << 4) | surface.astype(np.uint32))
