"""Where the values of a whole hole are kept: one square lattice for each lie, over the ground near the line.

V of one lie is smooth in place, so it is kept every few metres; what is sharp, the edges between surfaces,
is left to the fine surface map. The lattice does not depend on where the hole is cut, so that every hole
location of a hole shares it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.arrays import FloatArray, IntArray
from strategy.codes import Lie, Surface
from strategy.course.playline import along_side, point_at
from strategy.decide.cost_field import to_metres
from strategy.decide.kernels.arguments import Mesh
from strategy.outcome.today import HoleToday

OFF_LINE_M: Final = 75.0  # beyond this distance from the line of play the published baseline is kept
LANDED: Final = 0.5  # share of the longest carry from the tee within which hardly any ball comes to rest
LED: Final = 3  # every third point each way is searched in full and leads the points around it
_TURNS: Final = 16
_LIES: Final = (
    Lie.FAIRWAY,
    Lie.FIRST_CUT,
    Lie.ROUGH_GOOD,
    Lie.ROUGH_POOR,
    Lie.JUMPER,
    Lie.SAND,
    Lie.RECOVERY,
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lattice:
    """Node-lies of a hole: N places with a lie each. Positions in cells of the bordered map.

    Attributes
    ----------
    spacing : float
        [cells]
    origin : tuple of two floats
        Place of point [0, 0]. The point in the middle lies in the middle of the map, so that the mirror
        image of a map has the mirror image of its lattice. [cells]
    landings : bool
        Only ground where a tee shot may come down, and further on.
    begin_m : float
        Nearer the hole, wherever it is cut, no point is needed.
    node_of : ndarray of int32 (9, gy, gx)
        Node-lie at each lattice point, -1 for none.
    spots : ndarray (N, 3)
        Place and height [m].
    lies : ndarray (N,)
        Lie codes.
    leaders : ndarray (N,)
        The node-lie that is searched in full for each; its own where it leads.
    neighbours : ndarray (N, 4)
        Node-lies of the same lie one step each way, -1 for none.
    cells : ndarray of int32 (M,)
        Cells within the lattice from which a ball is played.
    beyond, twins : ndarray of int32 (B,)
        Cells further from the line, and for each one within the lattice, in rough where there is any, that
        tells how much dearer this hole is today than the published strokes say.
    """

    spacing: float
    origin: tuple[float, float]
    landings: bool
    begin_m: float
    node_of: NDArray[np.int32]
    spots: FloatArray
    lies: IntArray
    leaders: IntArray
    neighbours: IntArray
    cells: NDArray[np.int32]
    beyond: NDArray[np.int32]
    twins: NDArray[np.int32]

    @property
    def mesh(self) -> Mesh:
        """Where the node-lies stand, as the kernels take it."""
        return Mesh(self.node_of, *self.origin, self.spacing)

    def at(self, value: FloatArray, place: FloatArray, lie: IntArray) -> FloatArray:
        """Values (N,) interpolated at K places (K, 2) and lies; nan where no node-lie is near. [cells]

        At the rim, where a corner is missing, those that are there count.
        """
        g = (place - self.origin) / self.spacing
        ny, nx = self.node_of.shape[1:]
        i = np.clip(np.floor(g[:, 0]).astype(int), 0, nx - 2)
        j = np.clip(np.floor(g[:, 1]).astype(int), 0, ny - 2)
        f = np.clip(g - np.column_stack((i, j)), 0.0, 1.0)
        total, known = np.zeros(len(place)), np.zeros(len(place))
        for dj in (0, 1):
            for di in (0, 1):
                node = self.node_of[lie, j + dj, i + di]
                # The only corner there is may be the one of weight zero: every corner weighs a little.
                weight = np.maximum((f[:, 0] if di else 1 - f[:, 0]) * (f[:, 1] if dj else 1 - f[:, 1]), 1e-9)
                weight = np.where(node >= 0, weight, 0.0)
                total += weight * value[node]
                known += weight
        return np.asarray(np.where(known > 0.0, total / np.maximum(known, 1e-12), np.nan))

    def fits(
        self, today: HoleToday, before: HoleToday, spacing_m: float, begin_m: float, *, landings: bool
    ) -> bool:
        """Whether the lattice of one hole today serves another: the same ground and line of play."""
        return (
            self.landings == landings
            and self.begin_m == begin_m
            and abs(self.spacing * before.cell_m - spacing_m) < 1e-9
            and today.corner == before.corner
            and today.cell_m == before.cell_m
            and np.array_equal(today.surface, before.surface)
            and np.array_equal(today.lie_chance > 0.0, before.lie_chance > 0.0)
            and np.array_equal(today.line[1:], before.line[1:])
        )

    def turns(self, today: HoleToday) -> FloatArray:
        """Headings of the line of play ahead of every node-lie (N, 1 + B), at even distances.

        First the spacing of those distances. [rad, cells]
        """
        metres = to_metres(today, self.spots[:, :2])
        longest = float(today.shots.carry.max()) * 1.05
        depth = along_side(today.line, metres)[:, 1]
        reach = np.linspace(0.0, longest, _TURNS)
        out = np.empty((len(metres), _TURNS + 1))
        out[:, 0] = longest / (_TURNS - 1) / today.cell_m
        for k, ahead in enumerate(np.maximum(reach, 5.0)):
            d = point_at(today.line, 0.0, depth + ahead) - metres
            out[:, 1 + k] = np.arctan2(d[:, 0], d[:, 1])
        return out


def lattice(today: HoleToday, spacing_m: float, begin_m: float, *, landings: bool = False) -> Lattice:
    """Lattice points whose four neighbouring squares hold ground of a lie, near the line of play.

    Parameters
    ----------
    today : HoleToday
        Its hole location does not matter.
    spacing_m : float
        [m]
    begin_m : float
        Nearer the hole than this no value is wanted. [m]
    landings : bool
        Leave out what lies nearer the tee than `LANDED` of the longest carry from it, or of the way to the
        green: hardly a ball comes to rest there.
    """
    h = spacing_m / today.cell_m
    surface = np.pad(today.surface, 1, constant_values=Surface.OFF_MAP)
    rows, columns = surface.shape
    origin, centre = _squares(today, h, (rows, columns))
    gy, gx = centre.shape[:2]
    side, depth = np.moveaxis(along_side(today.line, centre.reshape(-1, 2)).reshape(gy, gx, 2), -1, 0)
    # No point so near the middle of the green is needed, wherever the hole is cut.
    middle = today.green[:-1].mean(axis=0)
    green = float(np.hypot(*(today.green - middle).T).max())
    away = np.hypot(*np.moveaxis(centre - middle, -1, 0))
    near = np.abs(side) < OFF_LINE_M
    if landings:
        longest = float(
            np.where(today.shots.allowed[:, Lie.TEE, None], today.shots.carry[:, Lie.TEE], 0.0).max()
        )
        near &= depth > LANDED * min(longest, float(np.hypot(*(middle - np.asarray(today.tee)))))
    reached = near & (away > begin_m - green - spacing_m)
    return _laid(today, h, origin, surface, reached, ~near, begin_m, landings=landings)


def near_lattice(today: HoleToday, spacing_m: float, reach_m: float) -> Lattice:
    """Lattice points round the hole location, out to a little more than `reach_m` from it."""
    h = spacing_m / today.cell_m
    surface = np.pad(today.surface, 1, constant_values=Surface.OFF_MAP)
    origin, centre = _squares(today, h, surface.shape)
    away = np.hypot(*np.moveaxis(centre - np.asarray(today.hole), -1, 0))
    reached = away < reach_m + 1.5 * spacing_m
    return _laid(today, h, origin, surface, reached, np.zeros_like(reached), 0.0, landings=False)


def _squares(today: HoleToday, h: float, shape: tuple[int, ...]) -> tuple[tuple[float, float], FloatArray]:
    """Place of a lattice's first point over a map [cells], and the centres of its squares (gy, gx, 2) [m].

    The middle point is a leader (every `LED`-th point is), with as many points on either side of it.
    """
    rows, columns = shape
    mx, my = (LED * int(np.ceil(0.5 * n / h / LED)) for n in (columns, rows))
    origin = 0.5 * columns - mx * h, 0.5 * rows - my * h
    x, y = np.arange(2 * mx + 1) + 0.5, np.arange(2 * my + 1) + 0.5
    return origin, to_metres(today, np.stack(np.meshgrid(x, y), axis=-1) * h + origin)


def _laid(
    today: HoleToday,
    h: float,
    origin: tuple[float, float],
    surface: NDArray[np.uint8],
    reached: NDArray[np.bool_],
    outside: NDArray[np.bool_],
    begin_m: float,
    *,
    landings: bool,
) -> Lattice:
    """The lattice over the squares that are `reached`; cells of the squares `outside` get twins in it.

    Parameters
    ----------
    h, origin : float, tuple of two floats
        Spacing, and place of the first point. [cells]
    surface : ndarray of uint8 (rows, columns)
        With its border.
    reached, outside : ndarray of bool (gy, gx)
        By square.
    """
    (rows, columns), (gy, gx) = surface.shape, reached.shape
    column, row = (
        ((np.arange(n) + 0.5 - first) / h).astype(int)
        for n, first in zip((columns, rows), origin, strict=True)
    )
    played = surface < Surface.YELLOW
    cells = np.flatnonzero(reached[row[:, None], column[None, :]] & played).astype(np.int32)
    square = row[cells // columns] * gx + column[cells % columns]
    beyond = np.flatnonzero(outside[row[:, None], column[None, :]] & played).astype(np.int32)
    mid = [
        np.abs(((np.arange(n) + 0.5 - first) / h) % 1.0 - 0.5)
        for n, first in zip((columns, rows), origin, strict=True)
    ]
    out_of_middle = mid[0][cells % columns] + mid[1][cells // columns]
    twins = _twins(beyond, cells, square, out_of_middle, surface.ravel(), (gy, gx), row, column)
    holds = np.bincount(surface.ravel()[cells].astype(np.int64) * (gx * gy) + square, minlength=11 * gx * gy)
    wanted = (holds > 0).reshape(-1, gy, gx)
    node_of = np.full((len(Lie), gy, gx), -1, dtype=np.int32)
    spots, lies, count = [], [], 0
    for lie in _LIES:
        ground = np.any(wanted[np.flatnonzero(today.lie_chance[:, lie] > 0.0)], axis=0)
        corner = np.zeros((gy, gx), dtype=bool)
        for dj in (0, 1):
            for di in (0, 1):
                corner[dj:, di:] |= ground[: gy - dj, : gx - di]
        j, i = np.nonzero(corner)
        node_of[lie, j, i] = count + np.arange(len(j))
        count += len(j)
        spots.append(np.column_stack((i * h + origin[0], j * h + origin[1])))
        lies.append(np.full(len(j), int(lie)))
    place = np.vstack(spots)
    height = today.height_at(to_metres(today, place))
    return Lattice(
        spacing=h,
        origin=origin,
        landings=landings,
        begin_m=begin_m,
        node_of=node_of,
        spots=np.column_stack((place, height)),
        lies=np.concatenate(lies),
        leaders=_leaders(node_of, count),
        neighbours=_neighbours(node_of, count),
        cells=cells,
        beyond=beyond,
        twins=twins,
    )


def _twins(
    beyond: NDArray[np.int32],
    cells: NDArray[np.int32],
    square: IntArray,
    out_of_middle: FloatArray,
    surface: NDArray[np.uint8],
    shape: tuple[int, int],
    row: IntArray,
    column: IntArray,
) -> NDArray[np.int32]:
    """For each cell beyond the lattice one of the nearest square within it, near its middle."""
    from scipy.ndimage import distance_transform_edt

    if not len(cells) or not len(beyond):
        return np.zeros(len(beyond), dtype=np.int32)
    rough = surface[cells] == Surface.ROUGH
    some = np.flatnonzero(rough) if rough.any() else np.arange(len(cells))
    # Of the cells of a square the last one counts, which is the one nearest its middle.
    some = some[np.argsort((-1000.0 * out_of_middle[some]).astype(np.int16), kind="stable")]
    one = np.full(shape[0] * shape[1], -1, dtype=np.int64)
    one[square[some]] = cells[some]
    j, i = distance_transform_edt((one < 0).reshape(shape), return_distances=False, return_indices=True)
    nearest = one[(j * shape[1] + i).ravel()]
    columns = len(column)
    return np.asarray(nearest[row[beyond // columns] * shape[1] + column[beyond % columns]], dtype=np.int32)


def _leaders(node_of: NDArray[np.int32], count: int) -> IntArray:
    leaders, top = np.arange(count), np.array(node_of.shape[1:]) - 1
    for of_lie in node_of:
        j, i = np.nonzero(of_lie >= 0)
        half = LED // 2
        first = of_lie[
            np.minimum((j + half) // LED * LED, top[0]), np.minimum((i + half) // LED * LED, top[1])
        ]
        mine = of_lie[j, i]
        leaders[mine] = np.where(first >= 0, first, mine)
    return leaders


def _neighbours(node_of: NDArray[np.int32], count: int) -> IntArray:
    padded = np.pad(node_of, ((0, 0), (1, 1), (1, 1)), constant_values=-1)
    lie, j, i = np.nonzero(node_of >= 0)
    out = np.empty((count, 4), dtype=np.int64)
    for k, (dj, di) in enumerate(((0, 1), (2, 1), (1, 0), (1, 2))):
        out[node_of[lie, j, i], k] = padded[lie, j + dj, i + di]
    return out
