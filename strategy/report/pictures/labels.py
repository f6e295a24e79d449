"""Room for every label: none covers another, the aim, a number, or the outline of a hazard.

Leaders cross neither labels nor one another.

Everything here is in points of the page (1/72 in), so that the map and the squeezed ground below it
share one list of what is taken.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np
import shapely
from numpy.typing import NDArray

from strategy.arrays import FloatArray
from strategy.report.pictures.layout import Frame

STEP: Final = 4.0  # net on which room is looked for
CLEAR: Final = 1.6  # least gap between a label and anything it must not touch
FURTHEST: Final = 120.0  # nobody takes a label further from a feature for its label
_GAP: Final = 3.0  # more of it above and below
SHORTEST: Final = 2.5  # a label nearer than this needs no leader
LINE_COST: Final = 200.0  # a line under a label is as bad as this many points of distance
EDGE_COST: Final = 60.0
PATH_COST: Final = 150.0  # the same for a leader that passes over the flight or the start line
LEADER_COST: Final = 25.0  # for each line or hazard that a leader passes over
_FINE: Final = 0.4  # corners of a feature that make no difference to distances [pt]
_TOWARDS: Final = 0.2
_SHUNNED: Final = (1.5, 50.0)  # by how much each point nearer is worse, and how far that reaches [pt]
_AT_ONCE: Final = 300  # places judged together, nearest first


@dataclass(frozen=True, slots=True)
class Place:
    """Where a label stands: its centre, and the line that joins it to what it belongs to, if it needs one."""

    at: tuple[float, float]
    leader: shapely.Geometry | None


def box_at(at: tuple[float, float], size: tuple[float, float], clear: float = 0.0) -> shapely.Geometry:
    """The box of a label."""
    wide, high = 0.5 * size[0] + clear, 0.5 * size[1] + clear
    return shapely.box(at[0] - wide, at[1] - high, at[0] + wide, at[1] + high)


@dataclass(slots=True)
class Room:
    """Places of a page that are taken, and the search for free ones.

    Places are judged in a fixed order, so that the same sheet always has the same labels.

    Attributes
    ----------
    hard : list of shapely geometry
        Hazards, outlines, the flight and the start line, which no label may touch.
    signs : list of shapely geometry
        Round the aim and other signs: no label may touch them and no leader may run through them.
    lines : list of shapely geometry
        Lines that belong to the answer; a label covers one only when there is no other room.
    edges : list of shapely geometry
        Edges of mown ground, which a label had better not cover.
    paths : list of shapely geometry
        Flight and start line, which a leader had better not pass over.
    taken : list of shapely geometry
        Labels and leaders that are there already: nothing touches or crosses them.
    """

    hard: list[shapely.Geometry] = field(default_factory=list)
    signs: list[shapely.Geometry] = field(default_factory=list)
    lines: list[shapely.Geometry] = field(default_factory=list)
    edges: list[shapely.Geometry] = field(default_factory=list)
    paths: list[shapely.Geometry] = field(default_factory=list)
    taken: list[shapely.Geometry] = field(default_factory=list)
    _ready: set[int] = field(default_factory=set)

    def free(self, boxes: NDArray[np.object_]) -> NDArray[np.bool_]:
        """Which boxes touch nothing hard, no sign and no place that is taken."""
        clear = np.ones(len(boxes), dtype=bool)
        for shape in (*self._prepared(self.hard), *self._prepared(self.signs), *self.taken):
            clear[clear] = ~shapely.intersects(shape, boxes[clear])
        return clear

    def crossed(self, boxes: NDArray[np.object_]) -> FloatArray:
        """Penalty of each box for the lines and edges it covers, in points of distance."""
        bad = np.zeros(len(boxes))
        for shapes, cost in ((self.lines, LINE_COST), (self.edges, EDGE_COST)):
            for shape in self._prepared(shapes):
                bad += cost * shapely.intersects(shape, boxes)
        return bad

    def take(self, box: shapely.Geometry) -> None:
        """Mark a place as taken."""
        self.taken.append(box)

    def beside(
        self,
        feature: shapely.Geometry,
        size: tuple[float, float],
        frame: Frame,
        towards: tuple[float, float] | None = None,
        *,
        shun: tuple[float, float] | None = None,
        furthest: float = FURTHEST,
        led: bool = False,
    ) -> Place | None:
        """The best free place near a feature; it is taken then. None when there is no room.

        Parameters
        ----------
        feature : shapely geometry
            What the label belongs to.
        size : tuple of two floats
            Width and height of the label.
        frame : tuple of four floats
            Left, bottom, right, top within which it must lie.
        towards : tuple of two floats, optional
            Of places that are as good, the nearer to this one.
        shun : tuple of two floats, optional
            What is written here would be taken to belong to this place.
        furthest : float
            Greatest gap between label and feature.
        led : bool
            A leader joins them where the gap is wide. Without one no line may be covered: such a label can
            be left out.
        """
        wide, high = 0.5 * size[0] + CLEAR, 0.5 * size[1] + CLEAR
        left, bottom, right, top = frame
        x0, y0, x1, y1 = shapely.bounds(feature)
        xs = np.arange(
            max(left + wide, x0 - furthest - 2.0 * wide), min(right - wide, x1 + furthest + 2.0 * wide), STEP
        )
        ys = np.arange(
            max(bottom + high, y0 - furthest - 2.0 * high), min(top - high, y1 + furthest + 2.0 * high), STEP
        )
        if not len(xs) or not len(ys):
            return None
        x, y = (g.ravel() for g in np.meshgrid(xs, ys))
        boxes = shapely.box(x - wide, y - high, x + wide, y + high)
        away = np.asarray(shapely.distance(boxes, shapely.simplify(feature, _FINE)))
        fit = np.flatnonzero((away > 0.0) & (away < furthest))
        fit = fit[np.argsort(away[fit], kind="stable")]
        best, chosen = (np.inf if led else LINE_COST), -1
        for i in range(0, len(fit), _AT_ONCE):
            some = fit[i : i + _AT_ONCE]
            if away[some[0]] >= best:
                break
            some = some[self.free(boxes[some])]
            if not len(some):
                continue
            score = away[some] + self.crossed(boxes[some])
            if led:
                score = score + self._led_over(boxes[some], feature)
            if towards is not None:
                score = score + _TOWARDS * np.hypot(x[some] - towards[0], y[some] - towards[1])
            if shun is not None:
                near = np.asarray(shapely.distance(boxes[some], shapely.Point(shun)))
                score = score + _SHUNNED[0] * np.maximum(_SHUNNED[1] - near, 0.0)
            if score.min() < best:
                best, chosen = float(score.min()), int(some[np.argmin(score)])
        if chosen < 0:
            return None
        # Above and below a wider gap: two labels must not read as one.
        self.take(box_at((x[chosen], y[chosen]), (size[0], size[1] + 2.0 * _GAP), CLEAR))
        leader = None
        if led and away[chosen] > SHORTEST:
            leader = shapely.shortest_line(boxes[chosen], feature)
            self.take(leader)
        return Place((float(x[chosen]), float(y[chosen])), leader)

    def _led_over(self, boxes: NDArray[np.object_], feature: shapely.Geometry) -> FloatArray:
        """Penalty of each box for what its leader passes over; infinite where that is a sign or a label."""
        leaders = shapely.shortest_line(boxes, feature)
        bad = np.zeros(len(boxes))
        for shapes, cost in (
            (self.hard, LEADER_COST),
            (self.lines, LEADER_COST),
            (self.paths, PATH_COST),
            (self.signs, np.inf),
        ):
            for shape in self._prepared(shapes):
                bad[shapely.crosses(shape, leaders)] += cost
        for other in self.taken:
            bad[shapely.intersects(other, leaders)] = np.inf
        return bad

    def along(
        self, line: FloatArray, size: tuple[float, float], frame: Frame, *, crowded: bool = False
    ) -> tuple[float, float] | None:
        """A free place for a line's own number on the line, which is taken then; None when there is no room.

        It lies across another line only where `crowded`.
        """
        wide, high = 0.5 * size[0] + CLEAR, 0.5 * size[1] + CLEAR
        left, bottom, right, top = frame
        length = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))))
        s = np.arange(0.5 * size[1], length[-1] - 0.5 * size[1], 2.0)
        x, y = np.interp(s, length, line[:, 0]), np.interp(s, length, line[:, 1])
        inside = (x - wide > left) & (x + wide < right) & (y - high > bottom) & (y + high < top)
        x, y = x[inside], y[inside]
        if not len(x):
            return None
        boxes = shapely.box(x - wide, y - high, x + wide, y + high)
        score = self.crossed(boxes) - LINE_COST  # its own line always passes through
        score[~self.free(boxes)] = np.inf
        middle = 0.5 * (line.min(axis=0) + line.max(axis=0))
        score = score + 0.02 * np.abs(y - middle[1])
        i = int(np.argmin(score))
        if not np.isfinite(score[i]) or (score[i] >= LINE_COST and not crowded):
            return None
        self.take(boxes[i])
        return float(x[i]), float(y[i])

    def _prepared(self, shapes: list[shapely.Geometry]) -> list[shapely.Geometry]:
        for shape in shapes:
            if id(shape) not in self._ready:
                shapely.prepare(shape)
                self._ready.add(id(shape))
        return shapes


def stacked(wanted: Sequence[float], heights: Sequence[float], low: float, high: float) -> list[float]:
    """Centres of labels on a ruler, as near to where they are wanted as they can be without touching.

    Parameters
    ----------
    wanted : sequence of float
        Wanted centres.
    heights : sequence of float
        Heights of the labels.
    low, high : float
        Ends of the ruler.

    Examples
    --------
    >>> stacked([50.0, 54.0], [10.0, 10.0], 0.0, 100.0)
    [47.0, 57.0]
    """
    order = np.argsort(wanted, kind="stable")
    # Labels that touch are moved as one block to the mean of where its members want it.
    blocks: list[list[int]] = []
    for i in order:
        blocks.append([int(i)])
        while len(blocks) > 1 and _bottom(blocks[-1], wanted, heights, low, high) < _top(
            blocks[-2], wanted, heights, low, high
        ):
            last = blocks.pop()
            blocks[-1] += last
    placed = [0.0] * len(wanted)
    for block in blocks:
        at = _bottom(block, wanted, heights, low, high)
        for i in block:
            placed[i] = at + 0.5 * heights[i]
            at += heights[i]
    return placed


def _bottom(
    block: list[int], wanted: Sequence[float], heights: Sequence[float], low: float, high: float
) -> float:
    total = sum(heights[i] for i in block)
    below, starts = 0.0, []
    for i in block:
        starts.append(wanted[i] - 0.5 * heights[i] - below)
        below += heights[i]
    return float(np.clip(np.mean(starts), low, max(high - total, low)))


def _top(
    block: list[int], wanted: Sequence[float], heights: Sequence[float], low: float, high: float
) -> float:
    return _bottom(block, wanted, heights, low, high) + sum(heights[i] for i in block)
