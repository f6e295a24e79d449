"""A hole solved backwards, said and drawn: strokes along the line of play, and a sheet of contours."""

from __future__ import annotations

import math
import textwrap
from pathlib import Path
from typing import Any, Final

import numpy as np

from strategy.decide.option import Option
from strategy.plan.solved import Solved
from strategy.report.picture_ground import INK, PAPER, SOFT_INK, draw_ground
from strategy.report.picture_words import credit_words
from strategy.report.png import write_png
from strategy.units import YARD_M

_DPI: Final = 170
_PAGE_IN: Final = (5.5, 9.0)
_SAID: Final = 3
_WIDE: Final = 90


def solved_text(solved: Solved) -> str:
    """What the solver found, in lines of at most 90 characters."""
    name = f", {solved.name}" if solved.name else ""
    lines = [
        f"Hole {solved.label}{name}   par {solved.par}, {solved.length_yd:.0f} yards",
        "",
        f"Every following shot this player's own best: {solved.whole[0].strokes:.2f} from the tee.",
        *_answers(solved.whole),
        "",
        f"What follows counted by the published table: {solved.one_stroke[0].strokes:.2f}.",
        *_answers(solved.one_stroke),
        _difference(solved),
        "",
        "Along the line of play, from the lies that the ground gives",
        "  off the tee  to the hole  ground             strokes   table",
    ]
    lines += [
        f"  {r.from_tee:>11.0f}  {r.to_hole:>11.0f}  {r.ground:<16}  "
        f"{_strokes(r.whole):>8}  {_strokes(r.table):>6}"
        for r in solved.rows[1:]
    ]
    lines += ["", *textwrap.wrap(f"{_near(solved)} {_passes(solved)}", _WIDE)]
    return "\n".join(lines)


def _near(solved: Solved) -> str:
    if solved.own_short_game:
        return "Shots round the green are this player's own, down to the cup; putts are those of the level."
    return (
        f"This player's file has no shots round the green: inside {solved.inner_yd:.0f} yards of the hole "
        "the published table stands."
    )


def _passes(solved: Solved) -> str:
    most = _most(solved.bound)
    return f"{solved.sweeps} passes; more would change no value of the shots chosen by over {most}."


def _answers(found: tuple[Option, ...]) -> list[str]:
    lines = []
    for k, o in enumerate(found[:_SAID]):
        cost = "" if k == 0 else f": costs {o.cost:.2f} ({o.word})"
        balls = ", ".join(f"{n} {what}" for what, n in o.counts.items())
        said = f"{o.label}, {o.carry_m / YARD_M:.0f} to carry{cost}. Of 20: {balls}."
        lines += textwrap.wrap(said, _WIDE, initial_indent="  ", subsequent_indent="    ")
    return lines


def _difference(solved: Solved) -> str:
    best, plain = solved.whole[0], solved.one_stroke[0]
    if best.label == plain.label:
        moved = math.dist(best.aim, plain.aim) / YARD_M
        apart = "within a yard of each other" if moved < 1.5 else f"{moved:.0f} yards apart"
        return f"Both say {best.label}; their aims are {apart}."
    for o in solved.whole:
        if o.label == plain.label:
            return f"The table says {plain.label}: counted through, that costs {o.cost:.2f} ({o.word})."
    return f"The table says {plain.label}: counted through, it is not among the first choices."


def _strokes(value: float) -> str:
    return "-" if math.isnan(value) else f"{value:.2f}"


def _most(bound: float) -> str:
    return f"{max(bound, 0.001):.3f} strokes"


def write_solved(solved: Solved, path: Path) -> None:
    """Write the sheet of contours as PNG: a temporary file, then renamed."""
    write_png(_figure(solved), path, _DPI)


def _figure(solved: Solved) -> Any:
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    wide, high = (72.0 * v for v in _PAGE_IN)
    figure = Figure(figsize=_PAGE_IN, dpi=_DPI, facecolor=PAPER)
    FigureCanvasAgg(figure)

    def text(x: float, y: float, said: str, size: float, **how: Any) -> None:
        figure.text(x / wide, y / high, said, fontsize=size, **{"color": INK, "va": "center", **how})

    text(24, high - 38, solved.label, 32, weight="bold")
    name = f"{solved.name} · " if solved.name else ""
    text(80, high - 30, f"{name}par {solved.par} · {solved.length_yd:.0f} yd", 14)
    text(80, high - 48, "strokes to hole out, every following shot this player's own best", 9, color=SOFT_INK)

    # The map keeps its scale: as tall as the page allows, or as wide.
    low, right, short, far = solved.window
    scale = min((high - 140.0) / (far - short), (wide - 110.0) / (right - low))
    across, along = scale * (right - low), scale * (far - short)
    left, bottom = 0.5 * (wide - across), 62.0 + 0.5 * (high - 140.0 - along)
    ax = figure.add_axes((left / wide, bottom / high, across / wide, along / high), gid="map")
    ax.set_xlim(low, right)
    ax.set_ylim(short, far)
    ax.set_xticks([])
    for spine in ax.spines.values():
        spine.set(linewidth=0.7, color=SOFT_INK)
    draw_ground(ax, solved.pieces, (scale, scale))
    ticks = [r.from_tee for r in solved.rows if r.from_tee % 100.0 == 0.0 and r.from_tee > 0.0]
    ax.set_yticks(ticks, [f"{t:.0f}" for t in ticks])
    ax.tick_params(labelsize=9, color=SOFT_INK, labelcolor=SOFT_INK)
    text(left - 6, bottom + along + 9, "off the tee", 9, color=SOFT_INK, ha="right")
    _lines(ax, solved, scale)
    ax.plot(*solved.pin, marker="o", markersize=5, color=PAPER, markeredgecolor=INK, zorder=6)
    ax.plot(0.0, 0.0, marker="o", markersize=5, color=INK, zorder=6)
    text(
        24,
        40,
        "Lines: strokes to hole out from a ball in play there. Not for use during a round.",
        8,
        color=SOFT_INK,
    )
    text(24, 26, f"Prepared before the round (Rule 4.3). {credit_words(solved.credit)}", 8, color=SOFT_INK)
    return figure


def _lines(ax: Any, solved: Solved, scale: float) -> None:
    """Contours, whole strokes heavy; each long one carries its number where it is straight and free."""
    taken: list[tuple[float, float]] = []
    for level, line in solved.contours:
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
