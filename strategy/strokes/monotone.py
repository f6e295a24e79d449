"""A curve through printed values that rises and falls where they do and nowhere else.

Piecewise cubic, its slopes chosen after Fritsch and Butland [1]_ so that it never overshoots: the curve of
`scipy.interpolate.PchipInterpolator`, to which a test holds it. It stands here because that module takes a
fifth of a second to load, and every command reads these tables.

References
----------
.. [1] F. N. Fritsch and J. Butland, "A method for constructing local monotone piecewise cubic interpolants",
   SIAM J. Sci. Stat. Comput. 5 (1984) 300-304.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from strategy.arrays import FloatArray


class Monotone:
    """The curve through K points; beyond the ends the cubic of the last piece goes on.

    Parameters
    ----------
    x, y : array_like (K,)
        Three or more, `x` rising.

    Raises
    ------
    ValueError
        If there are fewer, or `x` does not rise.
    """

    def __init__(self, x: ArrayLike, y: ArrayLike) -> None:
        self.x, self.y = np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)
        if len(self.x) < 3 or not (np.diff(self.x) > 0.0).all():
            raise ValueError("a monotone curve needs three points or more, from left to right")
        self.step = np.diff(self.x)
        self.chord = np.diff(self.y) / self.step
        self.slope = self._slopes()

    def _slopes(self) -> FloatArray:
        h, d = self.step, self.chord
        out = np.zeros(len(self.x))
        # Inside: the weighted harmonic mean of both chords; level where they turn.
        first, second = 2.0 * h[1:] + h[:-1], h[1:] + 2.0 * h[:-1]
        same = d[:-1] * d[1:] > 0.0
        below, above = np.where(same, d[:-1], 1.0), np.where(same, d[1:], 1.0)
        out[1:-1] = np.where(same, (first + second) / (first / below + second / above), 0.0)
        out[0], out[-1] = _at_end(h[0], h[1], d[0], d[1]), _at_end(h[-1], h[-2], d[-1], d[-2])
        return out

    def __call__(self, at: ArrayLike) -> FloatArray:
        """Values at places of any shape."""
        t = np.asarray(at, dtype=np.float64)
        i = np.clip(np.searchsorted(self.x, t, side="right") - 1, 0, len(self.step) - 1)
        s, h, d = t - self.x[i], self.step[i], self.chord[i]
        c = (3.0 * d - 2.0 * self.slope[i] - self.slope[i + 1]) / h
        b = (self.slope[i] - 2.0 * d + self.slope[i + 1]) / (h * h)
        return np.asarray(self.y[i] + s * (self.slope[i] + s * (c + s * b)))


def _at_end(h: float, after: float, d: float, then: float) -> float:
    """Slope at an end: of the parabola through three points, held so that the curve does not turn there."""
    slope = ((2.0 * h + after) * d - h * then) / (h + after)
    if np.sign(slope) != np.sign(d):
        return 0.0
    if np.sign(d) != np.sign(then) and abs(slope) > abs(3.0 * d):
        return 3.0 * d
    return float(slope)
