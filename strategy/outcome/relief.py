"""Legal drops for a ball in a penalty area (Rules of Golf 2023, Rule 17.1d and definitions).

Listed here, chosen by value in `decide`. X is where the ball last crossed the edge of the penalty
area; on the surface map that is the centre of the last cell of its track outside the area, so it is
never nearer the water than half a cell.

* Back on the line (yellow and red): on the line hole -> X extended beyond X, no limit backwards
  (searched `LINE_REACH_M` far), outside every penalty area, in bounds.
* Lateral (red only): within two club-lengths of X, not nearer the hole than X, outside every penalty
  area, in bounds. A sliver too thin for a ball to stay in is not usable: a disk of `SLIVER_M` must fit.
* Drop zone, where the Committee has marked one (Model Local Rule E-1).

Stroke and distance is always open as well (Rule 18.1) and stands in `play` for every ball.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from strategy.codes import Surface
from strategy.outcome.today import HoleToday

LINE_STEP_M: Final = 1.0
LINE_REACH_M: Final = 60.0
SLIVER_M: Final = 0.3
LATERAL_ANGLES: Final = 24
LATERAL_RINGS: Final = 2


@dataclass(frozen=True, slots=True)
class LegalDrop:
    """One legal place to drop, one penalty stroke each.

    Attributes
    ----------
    x, y : float
        Course frame. [m]
    rule : str
        "back on the line", "lateral" or "drop zone".
    """

    x: float
    y: float
    rule: str


def legal_drops(today: HoleToday, crossing: tuple[float, float], colour: Surface) -> list[LegalDrop]:
    """Every legal place to drop that is worth considering.

    Parameters
    ----------
    today : HoleToday
        The hole.
    crossing : tuple of two floats
        X, where the ball last crossed the edge. [m]
    colour : Surface
        YELLOW or RED.
    """
    found = [*_on_the_line(today, crossing)]
    if colour == Surface.RED:
        found += _lateral(today, crossing)
    found += [LegalDrop(x, y, "drop zone") for _, x, y in today.drop_zones]
    return found


def _playable(today: HoleToday, xy: NDArray[np.float64]) -> NDArray[np.bool_]:
    return np.asarray(today.surface_at(xy) < Surface.YELLOW)


def _on_the_line(today: HoleToday, crossing: tuple[float, float]) -> list[LegalDrop]:
    x = np.asarray(crossing)
    away = x - np.asarray(today.hole)
    length = float(np.hypot(*away))
    if length == 0.0:
        return []
    steps = np.arange(0.0, LINE_REACH_M + 0.5 * LINE_STEP_M, LINE_STEP_M)
    spots = x + steps[:, None] * (away / length)
    return [LegalDrop(float(p[0]), float(p[1]), "back on the line") for p in spots[_playable(today, spots)]]


def _lateral(today: HoleToday, crossing: tuple[float, float]) -> list[LegalDrop]:
    x = np.asarray(crossing)
    hole = np.asarray(today.hole)
    limit = float(np.hypot(*(x - hole))) + SLIVER_M
    reach = 2.0 * today.longest_club_m - SLIVER_M
    angle = np.arange(LATERAL_ANGLES) * (2.0 * np.pi / LATERAL_ANGLES)
    ring = np.column_stack((np.sin(angle), np.cos(angle)))
    spots = np.vstack([x + reach * (i + 1) / LATERAL_RINGS * ring for i in range(LATERAL_RINGS)])
    usable = _playable(today, spots) & (np.hypot(*(spots - hole).T) >= limit)
    for step in ((SLIVER_M, 0.0), (-SLIVER_M, 0.0), (0.0, SLIVER_M), (0.0, -SLIVER_M)):
        usable &= _playable(today, spots + step)
    return [LegalDrop(float(p[0]), float(p[1]), "lateral") for p in spots[usable]]
