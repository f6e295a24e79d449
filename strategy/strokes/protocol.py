"""What "strokes to go" means to every room that decides."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from numpy.typing import ArrayLike

from strategy.arrays import FloatArray

if TYPE_CHECKING:
    from strategy.outcome.today import HoleToday


class StrokesToGo(Protocol):
    """Expected strokes to hole out, the next stroke included; bound to one `HoleToday`."""

    def __call__(self, xy: ArrayLike, lie: ArrayLike) -> FloatArray:
        """Expected strokes from K spots.

        Parameters
        ----------
        xy : array_like (K, 2)
            Course frame. [m]
        lie : array_like (K,)
            Lie codes.

        Returns
        -------
        strokes : ndarray (K,)
            A ball on the green at the hole is 1, not 0: it is not holed yet.
        """
        ...

    def field(self, today: HoleToday) -> FloatArray:
        """Strokes from the centre of every cell, mean over the lies its surface gives (ny, nx).

        Cells where no ball is played from (penalty areas, out of bounds, off the map) are nan.
        """
        ...
