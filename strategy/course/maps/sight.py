r"""What a player sees of a hole from where the ball lies: lines of sight over the ground and past the trees.

::

        eye o- - - - - - - - - - - - - - - -    over the crest: a post, tree tops, the sky
            |            .--crest--.
      ------+------------'          \
                                     '------+------      the landing behind it is not seen

A place is seen when no ground and no tree between stands above the straight line from the eye to it. Trees
hide what lies behind them from the ground to their tops: stems and undergrowth close what is open under the
branches. On a hole without heights the ground hides nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strategy.arrays import BoolArray, FloatArray
from strategy.course.height_map import HeightMap
from strategy.course.maps.canopy import canopy_map
from strategy.course.maps.heights import heights_on
from strategy.course.maps.surface import surface_map
from strategy.course.model import Hole

EYE_M: Final = 1.6  # of a player's eyes above the ground (engineering choice)
CELL_M: Final = 2.0  # lines are looked at so often; what is smaller hides nothing
_NEAR_M: Final = 4.0  # so near to a place the ground belongs to it


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sight:
    """Ground and trees of a hole, to look over. Made by `sight_of`.

    Attributes
    ----------
    ground : HeightMap or None
        None for a hole without heights: it is level.
    trees : ndarray of float32 (ny, nx) or None
        Height of the trees in each cell above the ground, 0 where none stands; None without trees. [m]
    corner : tuple of two floats
        South-west corner of cell [0, 0] of the trees. [m]
    """

    ground: HeightMap | None
    trees: NDArray[np.float32] | None
    corner: tuple[float, float]

    def sees(self, eye: ArrayLike, places: ArrayLike, above: ArrayLike = 0.0) -> BoolArray:
        """Which places are seen by a player.

        Parameters
        ----------
        eye : array (2,)
            Where the player stands. [m]
        places : array (K, 2)
            [m]
        above : array (K,) or float
            Height of what is looked at above the ground there. [m]

        Returns
        -------
        ndarray of bool (K,)
        """
        to = np.atleast_2d(np.asarray(places, dtype=np.float64))
        start = np.asarray(eye, dtype=np.float64)
        away = np.hypot(*(to - start).T)
        if not len(to) or (self.ground is None and self.trees is None):
            return np.ones(len(to), dtype=np.bool_)
        eye_z = self._ground_at(start[None])[0] + EYE_M
        rise = self._ground_at(to) + np.asarray(above, dtype=np.float64) - eye_z
        on = np.arange(CELL_M, float(away.max()), CELL_M)
        share = on / np.maximum(away, CELL_M)[:, None]  # (K, n), of the way to each place
        between = on < away[:, None] - _NEAR_M
        way = (start + share[..., None] * (to - start)[:, None]).reshape(-1, 2)
        top = (self._ground_at(way) + self._trees_at(way)).reshape(share.shape)
        return np.asarray(~np.any(between & (top > eye_z + share * rise[:, None]), axis=1))

    def _ground_at(self, xy: FloatArray) -> FloatArray:
        return np.zeros(len(xy)) if self.ground is None else self.ground.at(xy)

    def _trees_at(self, xy: FloatArray) -> FloatArray:
        if self.trees is None:
            return np.zeros(len(xy))
        ny, nx = self.trees.shape
        col, row = np.floor((xy - self.corner) / CELL_M).astype(np.int64).T
        there = (row >= 0) & (row < ny) & (col >= 0) & (col < nx)
        return np.where(there, self.trees[np.where(there, row, 0), np.where(there, col, 0)], 0.0)


def sight_of(hole: Hole) -> Sight:
    """Ground and trees of a hole, to look over."""
    cells = surface_map(hole, CELL_M)
    trees = canopy_map(hole, cells)
    return Sight(
        ground=heights_on(hole, cells.corner, cells.codes.shape, CELL_M),
        trees=None if trees is None else trees.top,
        corner=cells.corner,
    )
