"""Pictures of practice: one a shot, its balls and the outline of its spread, and the carry ladder.

Balls are drawn here, because this is a fit and not advice. The outline holds 2 of 3 well-struck balls, as on
every picture of a plan. Mishits are crosses.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.player.fit.practice import FittedShot, PracticeFit
from strategy.reference.spread import TWO_THIRDS
from strategy.report.pictures.ground import INK, PAPER, SHOT, SOFT_INK
from strategy.report.pictures.layout import PRINT
from strategy.report.pictures.page import Paper
from strategy.report.pictures.png import write_png
from strategy.report.words.lengths import Units
from strategy.report.words.practice_words import picture_lines, session_name

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# Place of the plots on the page. [pt]
_LEFT, _RIGHT, _BOTTOM = 52.0, PRINT.wide - 22.0, 82.0
_GROUND: Final = "#f3f1e6"
# A sign for each session, told apart without colour, and the same in letters.
_MARKS: Final = ("o", "s", "^", "D", "v")
_SIGNS: Final = ("●", "□", "▲", "◇", "▼")
_MOST_SD: Final = 4.5  # a ball further off than this many standard deviations is counted, not drawn
_LABEL_STEP: Final = 13.0  # of the names beside the ladder [pt]
_MIDDLE, _HALF, _NAMES = 150.0, 82.0, 248.0  # of the ladder: middle and half width of rungs, names [pt]


def write_practice_pictures(fit: PracticeFit, folder: Path, units: Units = Units.YARDS) -> list[Path]:
    """Write one picture a shot and the ladder as PNG into a folder.

    Parameters
    ----------
    fit : PracticeFit
        What is drawn.
    folder : Path
        Made if need be.
    units : Units
        Of the rulers and sentences.
    """
    files: list[Path] = []
    for shot in fit.shots:
        name = re.sub(r"[^\w]+", "-", shot.label.casefold()).strip("-") or f"shot-{len(files) + 1}"
        files.append(folder / f"{name}.png")
        write_png(shot_picture(fit, shot, units), files[-1], PRINT.dpi)
    files.append(folder / "ladder.png")
    write_png(ladder_picture(fit, units), files[-1], PRINT.dpi)
    return files


def _page() -> tuple[Figure, Paper]:
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=PRINT.inches, dpi=PRINT.dpi, facecolor=PAPER)
    FigureCanvasAgg(figure)
    return figure, Paper(figure, PRINT)


def shot_picture(fit: PracticeFit, shot: FittedShot, units: Units) -> Figure:
    """The balls of one shot, seen from above: the target line goes up the page."""
    figure, page = _page()
    size = page.shrunk(shot.label, 18.0, PRINT.wide - 2 * PRINT.margin, "bold")
    page.text(PRINT.margin, PRINT.high - 28.0, shot.label, size, weight="bold", gid="shot")
    y = PRINT.high - 50.0
    for sentence in picture_lines(fit, shot, units):
        for line in page.wrapped(sentence, PRINT.answer_pt):
            page.text(PRINT.margin, y, line, PRINT.answer_pt, gid="answer")
            y -= 12.0
    unit = units.metres
    x = (shot.calm.spread.x + np.array([0.0, shot.calm.spread.carry_m])) / unit
    middle = np.array([shot.fit.posterior.mean[0], shot.carry_m]) / unit
    covariance = shot.covariance / unit**2
    sd = np.sqrt(np.diag(covariance))
    near = (np.abs(x - middle) < _MOST_SD * sd).all(axis=1)
    ax = _ground(figure, np.vstack((x[near], middle - 2.6 * sd, middle + 2.6 * sd)), x[:, 1].min(), y - 22.0)
    (left, right), (short, far) = ax.get_xlim(), ax.get_ylim()
    drawn = (x[:, 0] > left) & (x[:, 0] < right) & (x[:, 1] > short) & (x[:, 1] < far)
    sessions = list(dict.fromkeys(str(s) for s in shot.balls.session))
    marked = sessions if 1 < len(sessions) <= len(_MARKS) else []
    _balls(ax, x, drawn, shot, marked)
    _outline(ax, middle, covariance)
    _rulers(page, ax, units)
    page.small_print(_remarks(fit, shot, drawn, marked), 50.0, 8.0)
    return figure


def _remarks(fit: PracticeFit, shot: FittedShot, drawn: Any, marked: list[str]) -> list[str]:
    """What the signs of a picture mean."""
    remarks = [
        "Outline: 2 of 3 well-struck balls; its cross: their middle. Crosses: mishits, not in the outline."
    ]
    if (shot.calm.factor > 1.0).any():
        remarks.append(
            f"Balls off a range or a mat are drawn {shot.calm.factor.max():g} times as far from the middle "
            "as they lay: so they scatter on a course."
        )
    if not drawn.all():
        count = int((~drawn).sum())
        remarks.append(f"{count} {'ball lies' if count == 1 else 'balls lie'} outside the picture.")
    if marked:
        names = [f"{_SIGNS[k]} {session_name(s, fit.logs)}" for k, s in enumerate(marked)]
        remarks.append(f"Sessions: {', '.join(names)}.")
    return remarks


def _balls(ax: Axes, x: FloatArray, drawn: Any, shot: FittedShot, marked: list[str]) -> None:
    is_mishit = shot.fit.mishit > 0.5
    session = np.array([str(s) for s in shot.balls.session])
    how: dict[str, Any] = {"markersize": 4.2, "markeredgecolor": INK, "linestyle": "none", "zorder": 4}
    for k, name in enumerate(marked or [""]):
        own = drawn & ~is_mishit & ((session == name) if marked else True)
        fill = _GROUND if k % 2 else SOFT_INK
        ax.plot(*x[own].T, marker=_MARKS[k], color=fill, markeredgewidth=0.7, **how)
    ax.plot(*x[drawn & is_mishit].T, marker="x", color=INK, markeredgewidth=1.2, **how)


def _ground(figure: Figure, cover: FloatArray, shortest: float, top: float) -> Axes:
    """Axes of equal scale that hold some points, as large as the page allows, down to the shortest ball."""
    low, high = cover.min(axis=0) - 1.0, cover.max(axis=0) + 1.0
    wide, tall = high - low
    scale = min((_RIGHT - _LEFT) / wide, (top - _BOTTOM) / tall)
    # Room that is left goes to the short balls.
    tall = min(max(tall, high[1] - shortest + 2.0), (top - _BOTTOM) / scale)
    centre, half = 0.5 * (low[0] + high[0]), 0.5 * (_RIGHT - _LEFT) / scale
    box = (
        _LEFT / PRINT.wide,
        (top - tall * scale) / PRINT.high,
        (_RIGHT - _LEFT) / PRINT.wide,
        tall * scale / PRINT.high,
    )
    ax = figure.add_axes(box, facecolor=_GROUND, gid="balls")
    ax.set_xlim(centre - half, centre + half)
    ax.set_ylim(high[1] - tall, high[1])
    for spine in ax.spines.values():
        spine.set(linewidth=0.7, color=SOFT_INK)
    return ax


def _outline(ax: Axes, middle: FloatArray, covariance: FloatArray) -> None:
    """The outline of a spread with its tick marks."""
    around = np.linspace(0.0, 2.0 * np.pi, 181)
    root = np.linalg.cholesky(covariance)
    ring = middle + TWO_THIRDS * np.column_stack((np.cos(around), np.sin(around))) @ root.T
    ax.plot(*ring.T, color=SHOT, linewidth=1.6, zorder=5)
    sd = np.sqrt(np.diag(covariance))
    for axis in (0, 1):
        tick = np.zeros((2, 2))
        tick[:, axis] = (-0.18 * sd[axis], 0.18 * sd[axis])
        ax.plot(*(middle + tick).T, color=SHOT, linewidth=1.6, zorder=6)


def _rulers(page: Paper, ax: Any, units: Units) -> None:
    from matplotlib.ticker import FuncFormatter, MaxNLocator

    def side(value: float, _: object) -> str:
        return "line" if abs(value) < 1e-9 else f"{abs(value):.0f} {'R' if value > 0 else 'L'}"

    ax.axvline(0.0, color=SOFT_INK, linewidth=0.7, linestyle=(0, (5, 3)), zorder=1)
    ax.xaxis.set_major_locator(MaxNLocator(7, integer=True))
    ax.yaxis.set_major_locator(MaxNLocator(9, integer=True))
    ax.xaxis.set_major_formatter(FuncFormatter(side))
    ax.yaxis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:.0f}"))
    ax.tick_params(labelsize=9, color=SOFT_INK, labelcolor=INK)
    box = ax.get_position()
    page.text(PRINT.margin, box.y1 * PRINT.high + 8.0, f"carry [{units.short}]", 9.0, color=SOFT_INK)


def ladder_picture(fit: PracticeFit, units: Units) -> Figure:
    """All shots by carry: a rung each, as long as its 2 of 3 balls are wide; gaps and overlaps named."""
    figure, page = _page()
    page.text(
        PRINT.margin, PRINT.high - 28.0, f"{page.named(fit.player.name)}carry ladder", 16.0, weight="bold"
    )
    unit = units.metres
    fitted = {(s.club.casefold(), s.name.casefold()) for s in fit.shots}
    rungs = [(s.carry_m / unit, TWO_THIRDS * s.scatter[0] / unit, s.label, True) for s in fit.shots]
    rungs += [
        (s.carry_m / unit, TWO_THIRDS * s.spread.side_m / unit, s.label, False)
        for s in fit.player.practised
        if (s.club.casefold(), s.name.casefold()) not in fitted
    ]
    rungs.sort(reverse=True)
    top, bottom = PRINT.high - 66.0, 72.0
    most, least = rungs[0][0] + 4.0, rungs[-1][0] - 4.0
    scale = (top - bottom) / (most - least)
    heights = {label: bottom + (carry - least) * scale for carry, _, label, _ in rungs}
    across = _HALF / max(half for _, half, _, _ in rungs)
    page.line([(_LEFT, bottom), (_LEFT, top)])
    step = 10 if most - least < 150 else 20
    for mark in np.arange(np.ceil(least / step) * step, most, step):
        y = bottom + (mark - least) * scale
        page.line([(_LEFT - 4.0, y), (_LEFT, y)])
        page.text(_LEFT - 7.0, y, f"{mark:.0f}", 9.0, ha="right")
    page.text(PRINT.margin, top + 12.0, f"carry [{units.short}]", 9.0, color=SOFT_INK)
    names = _spread_out(list(heights.values()), bottom, top)
    for (carry, half, label, measured), at in zip(rungs, names, strict=True):
        y, end = heights[label], _MIDDLE + half * across
        colour, width = (SHOT, 1.8) if measured else (SOFT_INK, 0.9)
        page.line([(_MIDDLE - half * across, y), (end, y)], color=colour, linewidth=width)
        page.line([(end + 2.0, y), (_NAMES - 4.0, at)], linewidth=0.4)
        text = f"{carry:.0f}  {label}"
        size = page.shrunk(text, 9.0, PRINT.wide - _NAMES - 10.0, "bold" if measured else "normal", least=6.0)
        page.text(_NAMES, at, text, size, weight="bold" if measured else "normal")
    for found in fit.steps:
        if {found.longer, found.shorter} <= set(heights):
            low, high = heights[found.shorter], heights[found.longer]
            page.line([(_LEFT + 5.0, low), (_LEFT + 5.0, high)], color=INK, linewidth=2.4)
            word = f"{'gap' if found.wide else 'same'} {found.step_m / unit:.0f}"
            page.text(_LEFT + 9.0, 0.5 * (low + high), word, 9.0)
    remarks = [
        (
            "Rungs are as long as 2 of 3 well-struck balls are wide. Bold: from these logs; the others "
            "stand as the player file has them."
        )
    ]
    if fit.steps:
        remarks.append("gap: nothing of yours carries in between. same: two clubs that carry the same.")
    page.small_print(remarks, 44.0, 8.0)
    return figure


def _spread_out(places: list[float], bottom: float, top: float) -> list[float]:
    """Heights of names at least a line apart, near to their rungs; both go down the page. [pt]"""
    found = list(places)
    for _ in range(400):
        for i in range(len(found) - 1):
            overlap = _LABEL_STEP - (found[i] - found[i + 1])
            if overlap > 0.0:
                found[i], found[i + 1] = found[i] + 0.5 * overlap, found[i + 1] - 0.5 * overlap
        # The names keep on the page: the first no higher than the top, the last no lower than the bottom.
        found[0], found[-1] = min(found[0], top), max(found[-1], bottom)
    return found
