"""Ground on the page: map tints, each with a texture or a line of its own, so that grey print still tells.

=============  =======================================
water          level lines
sand           stipple
out of bounds  slanting lines behind a heavy boundary
trees          canopies: a dot in one, rings in a wood
first cut      broken edge
fairway        plain edge
green          double edge
not mapped     bare paper, dotted edge
=============  =======================================
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.codes import Surface
from strategy.plan.drawing.outlines import Piece
from strategy.units import YARD_M

if TYPE_CHECKING:
    from matplotlib.axes import Axes

PAPER: Final = "#fbf9f3"
ROUGH: Final = "#ecebdd"
INK: Final = "#25282c"
SOFT_INK: Final = "#5b5e60"
SHOT: Final = "#6d1b52"

_CANOPY_M2: Final = 160.0 * YARD_M**2  # a smaller outline is one tree

# Fill, edge, edge width, edge style.
_TINTS: Final[dict[Surface, tuple[str, str, float, Any]]] = {
    Surface.ROUGH: (ROUGH, "none", 0.0, "-"),
    Surface.TREES: ("#d5dbc9", "#66735a", 0.8, "-"),
    Surface.FIRST_CUT: ("#e2e6cd", "#93a06f", 0.7, (0, (4, 2))),
    Surface.FAIRWAY: ("#d6e1ba", "#7d9453", 0.9, "-"),
    Surface.TEE: ("#d6e1ba", "#7d9453", 0.7, "-"),
    Surface.RED: ("#d7e5ec", "#35627f", 1.1, "-"),
    Surface.YELLOW: ("#d7e5ec", "#35627f", 1.1, "-"),
    Surface.BUNKER: ("#f6ebcf", "#8f6f2f", 0.9, "-"),
    Surface.GREEN: ("#c6d9a2", "#4b6a2b", 1.2, "-"),
    Surface.OFF_MAP: (PAPER, SOFT_INK, 0.8, (0, (1, 2))),
    Surface.OUT: ("#f0e7e2", "#5a3a34", 1.8, "-"),
}


def draw_ground(ax: Axes, pieces: Sequence[Piece], per_metre: tuple[float, float]) -> None:
    """Paint the ground of a sheet.

    Parameters
    ----------
    ax : Axes
        Its limits are set, in metres.
    pieces : sequence of Piece
        In the order of painting.
    per_metre : tuple of two floats
        Points of the page for a metre sideways and along.
    """
    from matplotlib.patches import PathPatch

    ax.set_facecolor(ROUGH)
    low, high = ax.get_ylim()
    shown = [p for p in pieces if p.rings[0][:, 1].max() >= low and p.rings[0][:, 1].min() <= high]
    for order, piece in enumerate(shown):
        fill, edge, width, style = _TINTS[piece.surface]
        path = _path(piece)
        z = 1.0 + 0.01 * order
        patch = PathPatch(
            path, facecolor=fill, edgecolor=edge, linewidth=width, linestyle=style, zorder=z,
            gid=f"ground-{piece.surface.name.lower()}",
        )  # fmt: skip
        ax.add_artist(patch)
        if piece.surface == Surface.GREEN:
            inner = PathPatch(path, facecolor="none", edgecolor=PAPER, linewidth=0.5, zorder=z + 0.001)
            ax.add_artist(inner)
        _texture(ax, piece, path, patch, per_metre, z + 0.002)


def _texture(ax: Axes, piece: Piece, path: Any, patch: Any, per_metre: tuple[float, float], z: float) -> None:
    if piece.surface.penalty_area:
        _lines(ax, patch, per_metre, (3.4, 0.0), "#5d8aa6", 0.7, z, "texture-water")
    elif piece.surface == Surface.OUT:
        _lines(ax, patch, per_metre, (5.0, 1.0), "#a08078", 0.6, z, "texture-out")
    elif piece.surface == Surface.BUNKER:
        dots = _net(path, piece, per_metre, 3.2)
        _marks(ax, dots, "o", 0.9, "#8f6f2f", "#8f6f2f", z, "texture-sand")
    elif piece.surface == Surface.TREES:
        if _area(piece.rings[0]) < _CANOPY_M2:
            dots = piece.rings[0][:-1].mean(axis=0)[None]
            _marks(ax, dots, "o", 1.6, "#3d4636", "#3d4636", z, "texture-trees")
        else:
            dots = _net(path, piece, per_metre, 7.0)
            _marks(ax, dots, "o", 3.4, "none", "#7d886f", z, "texture-trees")


def _path(piece: Piece) -> Any:
    from matplotlib.path import Path

    return Path.make_compound_path(*[Path(r, closed=True) for r in piece.rings])


def _lines(
    ax: Axes, patch: Any, per_metre: tuple[float, float], pitch: tuple[float, float],
    colour: str, width: float, z: float, gid: str,
) -> None:  # fmt: skip
    """Parallel lines over an outline: pitch in points, slope in points a point; one grid for all outlines."""
    from matplotlib.collections import LineCollection

    every, slope = pitch
    (x0, y0), (x1, y1) = patch.get_path().get_extents().get_points()
    low, high = ax.get_ylim()
    y0, y1 = max(y0, low), min(y1, high)
    left, right = x0 * per_metre[0], x1 * per_metre[0]
    bottom, top = y0 * per_metre[1], y1 * per_metre[1]
    first = np.floor((bottom - slope * right) / every) * every if slope else np.ceil(bottom / every) * every
    start = np.arange(first, top - (slope * left if slope else 0.0) + every, every)
    ends = np.empty((len(start), 2, 2))
    ends[:, 0, 0], ends[:, 1, 0] = x0, x1
    ends[:, 0, 1], ends[:, 1, 1] = (
        (start + slope * left) / per_metre[1],
        (start + slope * right) / per_metre[1],
    )
    lines = LineCollection(list(ends), colors=colour, linewidths=width, zorder=z, gid=gid)
    ax.add_artist(lines)
    lines.set_clip_path(patch)


def _net(path: Any, piece: Piece, per_metre: tuple[float, float], pitch: float) -> FloatArray:
    """Points of a staggered net inside an outline, clear of its edge. [m]"""
    ring = piece.rings[0] * per_metre
    low, high = ring.min(axis=0), ring.max(axis=0)
    rows = np.arange(np.floor(low[1] / pitch), np.ceil(high[1] / pitch) + 1)
    columns = np.arange(np.floor(low[0] / pitch), np.ceil(high[0] / pitch) + 1)
    row, column = (g.ravel() for g in np.meshgrid(rows, columns, indexing="ij"))
    points = np.column_stack(((column + 0.5 * (row % 2)) * pitch, row * pitch)) / per_metre
    keep = path.contains_points(points)
    for shift in (0.35, -0.35):
        for axis in (0, 1):
            moved = points.copy()
            moved[:, axis] += shift * pitch / per_metre[axis]
            keep &= path.contains_points(moved)
    inside: FloatArray = points[keep]
    return inside if len(inside) else piece.rings[0][:-1].mean(axis=0)[None]


def _marks(
    ax: Axes, at: FloatArray, marker: str, size: float, face: str, edge: str, z: float, gid: str
) -> None:
    from matplotlib.lines import Line2D

    ax.add_artist(
        Line2D(
            at[:, 0], at[:, 1], linestyle="none", marker=marker, markersize=size, markerfacecolor=face,
            markeredgecolor=edge, markeredgewidth=0.6, zorder=z, gid=gid,
        )
    )  # fmt: skip


def _area(ring: FloatArray) -> float:
    x, y = ring.T
    return 0.5 * abs(float(np.dot(x[:-1], y[1:]) - np.dot(x[1:], y[:-1])))
