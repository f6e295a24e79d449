r"""Putts from places on the green of one hole today: published averages, moved by slope, side and speed.

.. math:: E = P(d) + m(d, s, \varphi, S) - m(d, \mathrm{average}, 11)

P are the published putts of the player's level (`baseline.putts`), m the putting model (`putting.Putting`) of
the same level at slope s, direction :math:`\varphi` and green speed S. On an average green of average speed
the published means come out exactly; the model only says by how much this putt differs from the average.

Slope and direction
    The plane of the ground between ball and hole, from heights smoothed over `SMOOTHED_M`: along the line the
    difference of the two heights over the distance, so that a tier in between counts in full; across it the
    mean of the slopes met on the way. A putt over a tier is then one on an even slope as high: the model
    knows no other. Where heights are not known every green is the average one, and `words` says so.

Chances
    Those of the model, tilted: :math:`p_k \propto q_k t^k` with the one t > 0 for which their mean is E. Of
    all chances with that mean these are nearest to the model's (least relative entropy), none leaves [0, 1],
    and none that the model has is lost. Three or more count as three; E is therefore never above 3, which
    only greens as steep as a ball just stops on come near. Next to the hole the model misses nothing and
    the published putts do: two putts have a chance of `_LEAST` there before the tilt.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import ArrayLike

from strategy.arrays import FloatArray
from strategy.codes import Surface
from strategy.strokes.baseline import putts
from strategy.strokes.putting import AVERAGE_STIMP_FT, Putting

if TYPE_CHECKING:
    from strategy.outcome.today import HoleToday

SMOOTHED_M: Final = 1.5  # heights are averaged over about so much: a Gaussian of half that deviation
MOST: Final = 3.0
_ON_THE_WAY: Final = 16  # places between ball and hole where the slope across is read
_MARGIN_M: Final = 6.0  # of ground round the green that is kept
_LEAST: Final = np.array([1e-9, 1e-4, 1e-9])


class Greens:
    """Putts on the greens of one hole today, to its hole. Picklable.

    Parameters
    ----------
    today : HoleToday
        Its hole location, heights, green speed and level.

    Attributes
    ----------
    known : bool
        Whether the heights of the green are known; False = every putt is one on the average green.
    words : str
        What that means, in words.
    """

    __slots__ = ("_average", "_cell_m", "_corner", "_heights", "_model", "hole", "known", "level", "words")

    def __init__(self, today: HoleToday) -> None:
        self.hole, self.level = today.hole, float(today.level)
        self._model = Putting(today.stimp_ft, self.level)
        self._average = Putting(AVERAGE_STIMP_FT, self.level)
        self._cell_m = today.cell_m
        self._heights, self._corner = _smoothed(today)
        self.known = self._heights is not None
        speed = f"green speed {today.stimp_ft:g} ft"
        self.words = (
            f"putts count slope and side from the heights of the green; {speed}"
            if self.known
            else f"heights of the green unknown: putts count as on an average green, "
            f"above the hole as below; {speed}"
        )

    def expected(self, xy: ArrayLike) -> FloatArray:
        """Expected putts from K places on the green (K, 2), 1 to 3. [m]"""
        return self._expected(*self._putt(xy))

    def chances(self, xy: ArrayLike) -> FloatArray:
        """Chances of one, two and three or more putts (K, 3) from K places; their mean is `expected`. [m]"""
        putt = self._putt(xy)
        return _tilted(self._model.chances(*putt), self._expected(*putt))

    def slopes(self, xy: ArrayLike) -> tuple[FloatArray, FloatArray]:
        """Slope and direction of the putts from K places: rise over distance, and 0 downhill to 180 uphill.

        Both (K,); nan where heights are not known. [m -> 1, deg]
        """
        p = np.asarray(xy, dtype=np.float64).reshape(-1, 2)
        if self._heights is None:
            return np.full(len(p), np.nan), np.full(len(p), np.nan)
        out = np.asarray(self.hole) - p
        d = np.hypot(out[:, 0], out[:, 1])
        ahead = out / np.maximum(d, 1e-9)[:, None]
        uphill = (self._height(np.asarray(self.hole)[None]) - self._height(p)) / np.maximum(d, 1e-9)
        # The slope across at even steps of the way, over a cell to each side.
        share = (np.arange(_ON_THE_WAY) + 0.5) / _ON_THE_WAY
        way = p[:, None] + share[:, None] * out[:, None]
        aside = self._cell_m * np.column_stack((ahead[:, 1], -ahead[:, 0]))[:, None]
        rise = self._height(way + aside) - self._height(way - aside)
        across = rise.mean(axis=1) / (2.0 * self._cell_m)
        return np.hypot(uphill, across), np.degrees(np.arctan2(np.abs(across), -uphill))

    def field(self, today: HoleToday) -> FloatArray:
        """Expected putts from the centre of every cell of green (ny, nx); nan elsewhere.

        Raises
        ------
        ValueError
            If `today` has another hole location.
        """
        if today.hole != self.hole:
            raise ValueError("these greens are of another hole location")
        row, col = np.nonzero(today.surface == Surface.GREEN)
        out = np.full(today.surface.shape, np.nan)
        place = np.column_stack((col, row)) + 0.5
        out[row, col] = self.expected(np.asarray(today.corner) + place * today.cell_m)
        return out

    def _putt(self, xy: ArrayLike) -> tuple[FloatArray, FloatArray | None, FloatArray | None]:
        """Distance, slope and direction of the putts from K places, as the model takes them."""
        p = np.asarray(xy, dtype=np.float64).reshape(-1, 2)
        d = np.hypot(p[:, 0] - self.hole[0], p[:, 1] - self.hole[1])
        return (d, *self.slopes(p)) if self.known else (d, None, None)

    def _expected(self, d: FloatArray, slope: FloatArray | None, direction: FloatArray | None) -> FloatArray:
        moved = self._model.expected(d, slope, direction) - self._average.expected(d)
        return np.clip(putts(d, self.level) + moved, 1.0, MOST)

    def _height(self, xy: FloatArray) -> FloatArray:
        """Smoothed heights at places (..., 2), bilinear; the rim goes on outside. [m]"""
        z = self._heights
        assert z is not None
        ny, nx = z.shape
        at = (xy - np.asarray(self._corner)) / self._cell_m - 0.5
        x, y = np.clip(at[..., 0], 0.0, nx - 1.0), np.clip(at[..., 1], 0.0, ny - 1.0)
        i, j = np.minimum(x.astype(np.int64), nx - 2), np.minimum(y.astype(np.int64), ny - 2)
        x, y = x - i, y - j
        flat, at0 = z.ravel(), j * nx + i
        low = flat[at0] + x * (flat[at0 + 1] - flat[at0])
        high = flat[at0 + nx] + x * (flat[at0 + nx + 1] - flat[at0 + nx])
        return np.asarray(low + y * (high - low))


def _smoothed(today: HoleToday) -> tuple[FloatArray | None, tuple[float, float]]:
    """Smoothed heights of the green and some ground round it, and the corner of their cell [0, 0]. [m]"""
    if today.height is None:
        return None, today.corner
    from scipy.ndimage import gaussian_filter

    row, col = np.nonzero(today.surface == Surface.GREEN)
    (r,), (c,), _ = today.cells(np.array([today.hole]))
    margin = int(np.ceil(_MARGIN_M / today.cell_m))
    ny, nx = today.surface.shape
    low = np.clip(
        (min(row.min(initial=r), r) - margin, min(col.min(initial=c), c) - margin), 0, (ny - 2, nx - 2)
    )
    high = np.minimum(
        (max(row.max(initial=r), r) + margin + 1, max(col.max(initial=c), c) + margin + 1), (ny, nx)
    )
    z = np.asarray(today.height[low[0] : high[0], low[1] : high[1]], dtype=np.float64)
    z = gaussian_filter(z - z.mean(), 0.5 * SMOOTHED_M / today.cell_m, mode="nearest")
    corner = (today.corner[0] + float(low[1]) * today.cell_m, today.corner[1] + float(low[0]) * today.cell_m)
    return np.asarray(z), corner


def _tilted(q: FloatArray, mean: FloatArray) -> FloatArray:
    """Chances (K, 3) of 1, 2, 3 nearest to q with the mean asked for (K,): q_k t^k, t by a quadratic."""
    q = np.maximum(q, _LEAST)
    # (1 - E) q1 + (2 - E) q2 t + (3 - E) q3 t² = 0 has one positive root while 1 < E < 3; its stable form.
    e = np.clip(mean, 1.0 + 1e-12, MOST - 1e-12)
    a, b, c = (3.0 - e) * q[:, 2], (2.0 - e) * q[:, 1], (1.0 - e) * q[:, 0]
    root = np.sqrt(b * b - 4.0 * a * c)
    t = np.where(b > 0.0, -2.0 * c / (b + root), (root - b) / (2.0 * a))
    p = q * np.stack([np.ones_like(t), t, t * t], axis=-1)
    p = p / p.sum(axis=-1, keepdims=True)
    # The difference that rounding leaves in the mean is moved between one, two and three putts.
    off = mean - (2.0 + p[:, 2] - p[:, 0])
    one = np.clip(p[:, 0] - np.where(mean < 2.0, off, 0.0), 0.0, 1.0)
    three = np.clip(p[:, 2] + np.where(mean < 2.0, 0.0, off), 0.0, 1.0)
    return np.stack([one, np.clip(1.0 - one - three, 0.0, 1.0), three], axis=-1)
