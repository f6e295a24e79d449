"""A hole solved backwards, gathered for printing: value along the line of play, contours, both answers.

The whole hole counts every following shot as this player's own best; the one-stroke answer counts what
follows by the published table. Where the two differ in what they advise, the hole asks for something
that distance alone does not see.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.codes import Surface
from strategy.course.edges import the_tee
from strategy.course.model import Hole
from strategy.course.playline import along_side, line_length, point_at
from strategy.decide.option import Option
from strategy.decide.options import options
from strategy.decide.solver.whole_hole import solve
from strategy.outcome.today import HoleToday
from strategy.plan.drawing.outlines import Piece, PlayFrame, pieces_of
from strategy.strokes.baseline import Baseline
from strategy.units import YARD_M

STEP: Final = 20.0  # in the reader's unit
LEVEL: Final = 0.2  # strokes between two contours
_NET_M: Final = 2.5 * YARD_M
_SIDE_M: Final = 62.0 * YARD_M
_AHEAD_M: Final = 28.0 * YARD_M
_BEHIND_M: Final = 18.0 * YARD_M
_SHORTEST_M: Final = 12.0 * YARD_M  # a shorter contour is left out
_SMOOTH: Final = 1.4  # net steps; a contour is read by eye, not by the cell


@dataclass(frozen=True, slots=True, kw_only=True)
class AlongLine:
    """Strokes to hole out from one place on the line of play.

    Attributes
    ----------
    from_tee, to_hole : float
        In the reader's unit, see `Solved.unit_m`.
    ground : str
        What lies there, in a caddie's word.
    whole, table : float
        This player's own next shots, and the published table; nan where no ball is played from.
    """

    from_tee: float
    to_hole: float
    ground: str
    whole: float
    table: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Solved:
    """One hole solved, for printing.

    Attributes
    ----------
    tee : str
        The tee in use, as said behind "from"; `length` is from its markers along the line of play.
    whole, one_stroke : tuple of Option
        Tee options by the whole hole and by the one-stroke plan, best first.
    rows : tuple of AlongLine
        Every 20 from the tee.
    unit_m : float
        The reader's unit, of every length here: a yard or a metre. [m]
    inner : float
        Nearer the hole than this the strokes to go are those of the region round the hole. [yd]
    own_short_game : bool
        That is this player's own shots round the green, solved first; False = the published table.
    bound : float
        What further passes could still change in the values of the shots chosen. [strokes]
    field : ndarray (rows, columns)
        Strokes to go on the cells of the hole; nan where no ball is played from.
    """

    label: str
    name: str
    par: int
    tee: str
    length: float
    unit_m: float
    credit: str
    whole: tuple[Option, ...]
    one_stroke: tuple[Option, ...]
    rows: tuple[AlongLine, ...]
    inner: float
    own_short_game: bool
    sweeps: int
    bound: float
    field: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ContourMap:
    """What the picture of a solved hole shows: (side, depth) from the tee. [m]

    Attributes
    ----------
    contours : tuple of (float, ndarray (n, 2))
        Lines of equal strokes to go, for a ball in play.
    window : tuple of four floats
        Least and greatest side, least and greatest depth.
    """

    pieces: tuple[Piece, ...]
    contours: tuple[tuple[float, FloatArray], ...]
    pin: tuple[float, float]
    window: tuple[float, float, float, float]


def solved(
    hole: Hole,
    today: HoleToday,
    *,
    tee: str = "",
    credit: str = "",
    seed: int = 1,
    threads: int = 1,
    unit_m: float = YARD_M,
) -> Solved:
    """Solve a hole and gather what is said of it.

    Parameters
    ----------
    hole : Hole
        Its name and par.
    today : HoleToday
        The same hole under today's conditions.
    tee : str
        Name of the tee in use; the back tee when empty.
    credit : str
        Credit line of the data.
    seed : int
        Seed of all points.
    threads : int
        Threads of this process.
    unit_m : float
        The reader's unit. [m]
    """
    to_go = solve(today, seed=seed, threads=threads)
    table = Baseline(today)
    composed = to_go.field(today)
    return Solved(
        label=hole.label,
        name=hole.name,
        par=hole.par,
        tee=the_tee(tee or hole.tees[0].name),
        length=line_length(today.line) / unit_m,
        unit_m=unit_m,
        credit=credit,
        whole=options(today, today.tee_spot, to_go, seed=seed),
        one_stroke=options(today, today.tee_spot, table, seed=seed),
        rows=_along(today, composed, table.field(today), unit_m),
        inner=to_go.rest.region.inner_m / unit_m,
        own_short_game=to_go.near is not None,
        sweeps=to_go.rest.sweeps,
        bound=to_go.bound,
        field=composed,
    )


def contour_map(hole: Hole, today: HoleToday, field: FloatArray) -> ContourMap:
    """What the picture of a solved hole shows.

    Parameters
    ----------
    hole : Hole
        For its outlines.
    today : HoleToday
        The hole as it was solved.
    field : ndarray (rows, columns)
        `Solved.field`.
    """
    reach = np.subtract(today.hole, today.tee)
    axes = PlayFrame(today.tee, float(np.degrees(np.arctan2(reach[0], reach[1])) % 360.0))
    pin = axes.point(today.hole)
    line = axes.to_sheet(today.line)
    window = (
        min(-_SIDE_M, float(line[:, 0].min()) - _SIDE_M),
        max(_SIDE_M, float(line[:, 0].max()) + _SIDE_M),
        -_BEHIND_M,
        max(pin[1], float(line[:, 1].max())) + _AHEAD_M,
    )
    return ContourMap(
        pieces=pieces_of(hole, axes, window),
        contours=_contours(today, field, axes, window),
        pin=pin,
        window=window,
    )


def _along(today: HoleToday, whole: FloatArray, table: FloatArray, unit_m: float) -> tuple[AlongLine, ...]:
    end = float(along_side(today.line, today.hole)[0, 1])
    depths = np.arange(0.0, end / unit_m, STEP) * unit_m
    places = point_at(today.line, 0.0, depths)
    row, col, _ = today.cells(places)
    codes = today.surface_at(places)
    return tuple(
        AlongLine(
            from_tee=float(depths[k] / unit_m),
            to_hole=float(np.hypot(*(places[k] - np.asarray(today.hole))) / unit_m),
            ground=Surface(int(codes[k])).label,
            whole=float(whole[row[k], col[k]]),
            table=float(table[row[k], col[k]]),
        )
        for k in range(len(depths))
    )


def _contours(
    today: HoleToday, field: FloatArray, axes: PlayFrame, window: tuple[float, float, float, float]
) -> tuple[tuple[float, FloatArray], ...]:
    """Lines of equal strokes to go; gaps where no ball is played from are bridged, then left out."""
    from contourpy import contour_generator
    from scipy.ndimage import distance_transform_edt, gaussian_filter

    x = np.arange(window[0], window[1] + _NET_M, _NET_M)
    y = np.arange(window[2], window[3] + _NET_M, _NET_M)
    net = np.stack(np.meshgrid(x, y), axis=-1)
    row, col, inside = today.cells(axes.to_course(net.reshape(-1, 2)))
    flat = np.full(len(row), np.nan)
    flat[inside] = field[row[inside], col[inside]]
    strokes = flat.reshape(net.shape[:2])
    gap = np.isnan(strokes)
    if gap.all():
        return ()
    nearest = distance_transform_edt(gap, return_distances=False, return_indices=True)
    filled = gaussian_filter(strokes[tuple(nearest)], _SMOOTH, mode="nearest")
    lines = contour_generator(x, y, np.ma.masked_array(filled, gap))
    low, high = np.ceil(np.nanmin(filled) / LEVEL), np.floor(np.nanmax(filled) / LEVEL)
    contours = []
    for k in np.arange(low, high + 1.0):
        for one in lines.lines(k * LEVEL):
            points = np.asarray(one, dtype=np.float64)
            if np.hypot(*np.diff(points, axis=0).T).sum() > _SHORTEST_M:
                contours.append((float(round(k * LEVEL, 6)), points))
    return tuple(contours)
