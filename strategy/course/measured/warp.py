"""A smooth displacement of the ground round the places that were measured.

Each pull moves one place p_j of the drawn ground by d_j. The ground between and beside these places moves by

    u(x) = sum_j a_j w(|x - p_j| / R_j),      w(r) = (1 - r)^4 (4 r + 1) for r < 1, else 0,

where the a_j are chosen so that u(p_i) = d_i. The weight is Wendland's compactly supported function of class
C2 (H. Wendland, "Piecewise polynomial, positive definite and compactly supported radial functions of minimal
degree", Advances in Computational Mathematics 4, 1995; from memory). Nothing beyond R_j moves.

The ground moves, not a single outline, so all outlines there move together. Outlines that were apart stay
apart and common edges stay common. No outline is turned inside out as long as x + u(x) does not fold, that
is, while its Jacobian determinant is positive. A steep weight folds: |w'| <= 2.11 / R, so one pull needs |d|
< R / 2.11. R is therefore 15 m, or more for a long pull.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from strategy.arrays import FloatArray

REACH_M: Final = 15.0
_REACH_PER_PULL: Final = 2.4  # a single pull folds the ground at 2.11
_STEP_M: Final = 0.5
_LEAST_JACOBIAN: Final = 0.1  # ground squeezed to a tenth of its area counts as folded


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Warp:
    """A displacement of the ground; see the module.

    Attributes
    ----------
    places : ndarray (n, 2)
        The places p_j, as drawn. [m]
    weights : ndarray (n, 2)
        The coefficients a_j. [m]
    reach : ndarray (n,)
        The radii R_j. [m]
    """

    places: FloatArray
    weights: FloatArray
    reach: FloatArray

    @classmethod
    def through(cls, places: ArrayLike, pulls: ArrayLike) -> Warp:
        """The displacement that moves each place (n, 2) by its pull (n, 2). [m]

        Raises
        ------
        ValueError
            If no smooth displacement meets all pulls, because pulls at nearly the same place disagree.
        """
        p = np.asarray(places, dtype=np.float64).reshape(-1, 2)
        d = np.asarray(pulls, dtype=np.float64).reshape(-1, 2)
        size = np.hypot(*d.T) if len(d) else np.empty(0)
        reach = np.maximum(REACH_M, _REACH_PER_PULL * size)
        if not len(p):
            return cls(places=p, weights=d, reach=reach)
        # Pulls that overlap get the widest reach among them, which keeps the matrix well conditioned.
        gap = np.hypot(*(p[:, None, :] - p[None, :, :]).transpose(2, 0, 1))
        for _ in range(len(p)):
            wider = np.where(gap < np.maximum(reach[:, None], reach[None, :]), reach[None, :], 0.0).max(
                axis=1
            )
            if np.array_equal(wider, reach):
                break
            reach = wider
        matrix = _weight(gap / reach[None, :])
        weights = np.asarray(np.linalg.lstsq(matrix, d, rcond=1e-9)[0], dtype=np.float64)
        if np.abs(matrix @ weights - d).max() > 0.02:
            raise ValueError("no smooth displacement meets all pulls")
        return cls(places=p, weights=weights, reach=reach)

    def shift(self, xy: ArrayLike) -> FloatArray:
        """Displacement u of points (K, 2) of the drawn ground. [m]"""
        x = np.atleast_2d(np.asarray(xy, dtype=np.float64))
        displacement = np.zeros_like(x)
        for p, a, r in zip(self.places, self.weights, self.reach, strict=True):
            displacement += _weight(np.hypot(*(x - p).T) / r)[:, None] * a
        return displacement

    def inverse(self, xy: ArrayLike) -> FloatArray:
        """Places on the drawn ground of points (K, 2) on the moved ground. [m]"""
        y = np.atleast_2d(np.asarray(xy, dtype=np.float64))
        x = y - self.shift(y)
        for _ in range(200):
            step = y - x - self.shift(x)
            if np.abs(step).max(initial=0.0) < 1e-9:
                break
            x = x + 0.7 * step
        return x

    def least_jacobian(self) -> FloatArray:
        """Least Jacobian determinant of the ground within reach of each place (n,).

        It is 1 where nothing is squeezed, and 0 or less where the ground folds.
        """
        least = np.ones(len(self.places))
        for j, (p, r) in enumerate(zip(self.places, self.reach, strict=True)):
            near = np.hypot(*(self.places - p).T) < r + self.reach
            axis = np.arange(-r, r + 0.5, 1.0)
            gx, gy = np.meshgrid(p[0] + axis, p[1] + axis)
            part = Warp(places=self.places[near], weights=self.weights[near], reach=self.reach[near])
            least[j] = part._jacobian(np.column_stack((gx.ravel(), gy.ravel()))).min()
        return least

    def folds(self) -> NDArray[np.bool_]:
        """Whether the ground near each place (n,) is turned inside out or squeezed to nearly nothing."""
        return np.asarray(self.least_jacobian() < _LEAST_JACOBIAN)

    def _jacobian(self, x: FloatArray) -> FloatArray:
        """Jacobian determinant of x + u(x) at points (K, 2)."""
        du = np.zeros((len(x), 2, 2))
        for p, a, r in zip(self.places, self.weights, self.reach, strict=True):
            out = x - p
            t = np.hypot(*out.T) / r
            slope = np.where(t < 1.0, -20.0 * (1.0 - np.minimum(t, 1.0)) ** 3 / r**2, 0.0)  # w'(t) / (t R²)
            du += slope[:, None, None] * a[None, :, None] * out[:, None, :]
        return (1.0 + du[:, 0, 0]) * (1.0 + du[:, 1, 1]) - du[:, 0, 1] * du[:, 1, 0]

    def moves(self, shape: shapely.Geometry) -> bool:
        """Whether a geometry lies on ground that moves."""
        if not len(self.places) or shape.is_empty:
            return False
        west, south, east, north = shapely.bounds(shape)
        near = (
            (self.places[:, 0] + self.reach > west)
            & (self.places[:, 0] - self.reach < east)
            & (self.places[:, 1] + self.reach > south)
            & (self.places[:, 1] - self.reach < north)
        )
        return any(
            shapely.distance(shape, shapely.Point(p)) < r
            for p, r in zip(self.places[near], self.reach[near], strict=True)
        )

    def move(self, shape: shapely.Geometry) -> shapely.Geometry:
        """Move a geometry with the ground. The same object is returned when nothing of it moves.

        Edges that move are divided into steps of half a metre, so that they bend with the ground.
        """
        if not self.moves(shape):
            return shape
        kind = shape.geom_type
        if kind == "Polygon":
            rings = [self._move_line(ring) for ring in (shape.exterior, *shape.interiors)]
            return shapely.Polygon(rings[0], rings[1:])
        if kind == "LineString":
            return shapely.LineString(self._move_line(shape))
        if kind in ("MultiPolygon", "MultiLineString", "GeometryCollection"):
            parts = [self.move(part) for part in shapely.get_parts(shape)]
            build = {"MultiPolygon": shapely.MultiPolygon, "MultiLineString": shapely.MultiLineString}
            return build.get(kind, shapely.GeometryCollection)(parts)
        points = shapely.get_coordinates(shape)
        return shapely.set_coordinates(shape, points + self.shift(points))

    def _move_line(self, line: shapely.LineString) -> FloatArray:
        """Divide a line where it moves, and move its points."""
        xy = shapely.get_coordinates(line)
        a, b = xy[:-1], xy[1:]
        size = np.hypot(*(b - a).T)
        count = np.where(self._near(a, b), np.maximum(np.ceil(size / _STEP_M), 1.0), 1.0).astype(np.intp)
        edge = np.repeat(np.arange(len(a)), count)
        step = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count)
        # An edge is divided in the same way from either end, so that a common edge of two outlines stays
        # common.
        flip = (a[:, 0] > b[:, 0]) | ((a[:, 0] == b[:, 0]) & (a[:, 1] > b[:, 1]))
        low, high = np.where(flip[:, None], b, a)[edge], np.where(flip[:, None], a, b)[edge]
        t = (np.where(flip[edge], count[edge] - step, step) / count[edge])[:, None]
        divided = np.vstack((low * (1.0 - t) + high * t, xy[-1:]))
        divided[np.flatnonzero(step == 0)] = a
        return divided + self.shift(divided)

    def _near(self, a: FloatArray, b: FloatArray) -> NDArray[np.bool_]:
        """Whether each edge from a to b (K, 2) comes within reach of a place."""
        along = b - a
        square = np.maximum(np.einsum("ki,ki->k", along, along), 1e-18)
        near = np.zeros(len(a), dtype=bool)
        for p, r in zip(self.places, self.reach, strict=True):
            t = np.clip(np.einsum("ki,ki->k", p - a, along) / square, 0.0, 1.0)
            near |= np.hypot(*(a + t[:, None] * along - p).T) < r
        return near


def _weight(r: FloatArray) -> FloatArray:
    """The weight w(r) of the module docstring."""
    inside = np.minimum(r, 1.0)
    return np.asarray((1.0 - inside) ** 4 * (4.0 * inside + 1.0))
