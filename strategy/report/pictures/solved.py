"""A hole solved backwards, drawn: contours of the strokes to hole out."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from strategy.plan.solved import ContourMap, Solved
from strategy.report.pictures.fonts import LEFT_OUT_WORDS
from strategy.report.pictures.ground import INK, PAPER, SOFT_INK, draw_ground
from strategy.report.pictures.layout import PRINT
from strategy.report.pictures.page import Paper
from strategy.report.pictures.png import write_png
from strategy.report.words.picture_words import credit_words
from strategy.units import YARD_M

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def write_solved(solved: Solved, contours: ContourMap, path: Path) -> None:
    """Write the sheet of contours as PNG: a temporary file, then renamed."""
    write_png(solved_picture(solved, contours), path, PRINT.dpi)


def solved_picture(solved: Solved, contours: ContourMap) -> Figure:
    """Draw the sheet of contours; see `write_solved`."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=PRINT.inches, dpi=PRINT.dpi, facecolor=PAPER)
    FigureCanvasAgg(figure)
    page = Paper(figure, PRINT)
    big = page.shrunk(solved.label, 32.0, 0.4 * PRINT.wide, "bold", least=9.0)
    page.text(24.0, PRINT.high - 38.0, solved.label, big, weight="bold", gid="hole")
    x = max(24.0 + page.size(solved.label, big, "bold")[0] + 12.0, 80.0)
    short_unit = "yd" if solved.unit_m == YARD_M else "m"
    length = f"{solved.length:.0f} {short_unit} from {solved.tee}"
    for up, line, size, colour in (
        (30.0, f"{page.named(solved.name)}par {solved.par} · {length}", 14.0, INK),
        (48.0, "strokes to hole out, every following shot this player's own best", 9.0, SOFT_INK),
    ):
        fitting = page.shrunk(line, size, PRINT.wide - PRINT.margin - x)
        page.text(x, PRINT.high - up, line, fitting, color=colour, gid="title")

    # The map keeps its scale: as tall as the page allows, or as wide.
    low, right, short, far = contours.window
    scale = min((PRINT.high - 140.0) / (far - short), (PRINT.wide - 110.0) / (right - low))
    across, along = scale * (right - low), scale * (far - short)
    left, bottom = 0.5 * (PRINT.wide - across), 62.0 + 0.5 * (PRINT.high - 140.0 - along)
    ax = figure.add_axes(
        (left / PRINT.wide, bottom / PRINT.high, across / PRINT.wide, along / PRINT.high), gid="map"
    )
    ax.set_xlim(low, right)
    ax.set_ylim(short, far)
    ax.set_xticks([])
    for spine in ax.spines.values():
        spine.set(linewidth=0.7, color=SOFT_INK)
    draw_ground(ax, contours.pieces, (scale, scale))
    ticks = [r.from_tee for r in solved.rows if r.from_tee % 100.0 == 0.0 and r.from_tee > 0.0]
    ax.set_yticks([t * solved.unit_m for t in ticks], [f"{t:.0f}" for t in ticks])
    ax.tick_params(labelsize=9, color=SOFT_INK, labelcolor=SOFT_INK)
    page.text(left - 6.0, bottom + along + 9.0, "off the tee", 9.0, color=SOFT_INK, ha="right")
    _lines(ax, contours, scale)
    ax.plot(*contours.pin, marker="o", markersize=5, color=PAPER, markeredgecolor=INK, zorder=6)
    ax.plot(0.0, 0.0, marker="o", markersize=5, color=INK, zorder=6)
    page.small_print(
        [
            "Lines: strokes to hole out from a ball in play there. Not for use during a round.",
            LEFT_OUT_WORDS if page.left_out else "",
            f"Prepared before the round (Rule 4.3). {credit_words(solved.credit)}",
        ],
        40.0,
        8.0,
    )
    return figure


def _lines(ax: Any, contours: ContourMap, scale: float) -> None:
    """Contours, whole strokes heavy; each long one carries its number where it is straight and free."""
    taken: list[tuple[float, float]] = []
    for level, line in contours.contours:
        whole = abs(level - round(level)) < 1e-6
        ax.plot(line[:, 0], line[:, 1], color=INK, linewidth=1.5 if whole else 0.7, zorder=4)
        lengths = np.hypot(*np.diff(line, axis=0).T)
        if lengths.sum() * scale < 60.0:
            continue
        for at in _quiet_first(line):
            place = (float(line[at, 0]) * scale, float(line[at, 1]) * scale)
            if all(abs(place[0] - x) > 24.0 or abs(place[1] - y) > 11.0 for x, y in taken):
                taken.append(place)
                ax.text(
                    line[at, 0], line[at, 1], f"{level:.1f}", fontsize=9, color=INK, ha="center", va="center",
                    zorder=5, clip_on=True,
                    bbox={"boxstyle": "square,pad=0.1", "fc": PAPER, "ec": "none", "alpha": 0.85},
                )  # fmt: skip
                break


def _quiet_first(line: Any) -> list[int]:
    """Places of a line, those nearest the middle of the map first, none within a tenth of its ends."""
    n = len(line)
    inner = np.arange(n // 10, n - n // 10)
    return [int(k) for k in inner[np.argsort(np.abs(line[inner, 0]), kind="stable")]]
