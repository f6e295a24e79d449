"""A hole solved backwards, said and drawn: strokes along the line of play, and a sheet of contours."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from strategy.decide.option import Option
from strategy.plan.document import ANSWERS
from strategy.plan.solved import ContourMap, Solved
from strategy.report.pictures.fonts import LEFT_OUT_WORDS
from strategy.report.pictures.ground import INK, PAPER, SOFT_INK, draw_ground
from strategy.report.pictures.page import DPI, HIGH, MARGIN, PAGE_IN, WIDE, Paper
from strategy.report.pictures.png import write_png
from strategy.report.words.costs import cost_words
from strategy.report.words.lines import wrapped
from strategy.report.words.picture_words import credit_words
from strategy.units import YARD_M

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def solved_text(solved: Solved) -> str:
    """What the solver found, in lines of text."""
    name = f", {solved.name}" if solved.name else ""
    long = f"{solved.length:.0f} {_unit(solved)}s"
    lines = [
        f"Hole {solved.label}{name}   par {solved.par}, {long} from {solved.tee}",
        "",
        f"Every following shot this player's own best: {solved.whole[0].strokes:.2f} from the tee.",
        *_answers(solved.whole, solved.unit_m),
        "",
        f"What follows counted by the published table: {solved.one_stroke[0].strokes:.2f}.",
        *_answers(solved.one_stroke, solved.unit_m),
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
    lines += ["", *wrapped(f"{_near(solved)} {_passes(solved)}")]
    return "\n".join(lines)


def _near(solved: Solved) -> str:
    if solved.own_short_game:
        return "Shots round the green are this player's own, down to the cup; putts are those of the level."
    return (
        f"This player's file has no shots round the green: inside {solved.inner:.0f} {_unit(solved)}s "
        "of the hole the published table stands."
    )


def _passes(solved: Solved) -> str:
    most = _most(solved.bound)
    return f"{solved.sweeps} passes; more would change no value of the shots chosen by over {most}."


def _unit(solved: Solved) -> str:
    return "yard" if solved.unit_m == YARD_M else "metre"


def _answers(found: tuple[Option, ...], unit_m: float) -> list[str]:
    lines = []
    for k, o in enumerate(found[:ANSWERS]):
        cost = "" if k == 0 else f" {cost_words(o.cost, o.word).removeprefix('is ')}."
        balls = ", ".join(f"{n} {what}" for what, n in o.counts.items())
        said = f"{o.label}, {o.carry_m / unit_m:.0f} to carry{':' if cost else '.'}{cost} Of 20: {balls}."
        lines += wrapped(said, "  ", "  ")
    return lines


def _difference(solved: Solved) -> str:
    best, plain = solved.whole[0], solved.one_stroke[0]
    if best.label == plain.label:
        moved, unit = math.dist(best.aim, plain.aim) / solved.unit_m, _unit(solved)
        apart = f"within a {unit} of each other" if moved < 1.5 else f"{moved:.0f} {unit}s apart"
        return f"Both say {best.label}; their aims are {apart}."
    for o in solved.whole:
        if o.label == plain.label:
            return f"The table says {plain.label}: counted through, that {cost_words(o.cost, o.word)}."
    return f"The table says {plain.label}: counted through, it is not among the first choices."


def _strokes(value: float) -> str:
    return "-" if math.isnan(value) else f"{value:.2f}"


def _most(bound: float) -> str:
    return f"{max(bound, 0.001):.3f} strokes"


def write_solved(solved: Solved, contours: ContourMap, path: Path) -> None:
    """Write the sheet of contours as PNG: a temporary file, then renamed."""
    write_png(solved_picture(solved, contours), path, DPI)


def solved_picture(solved: Solved, contours: ContourMap) -> Figure:
    """Draw the sheet of contours; see `write_solved`."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=PAGE_IN, dpi=DPI, facecolor=PAPER)
    FigureCanvasAgg(figure)
    page = Paper(figure)
    big = page.shrunk(solved.label, 32.0, 0.4 * WIDE, "bold", least=9.0)
    page.text(24.0, HIGH - 38.0, solved.label, big, weight="bold", gid="hole")
    x = max(24.0 + page.size(solved.label, big, "bold")[0] + 12.0, 80.0)
    short_unit = "yd" if solved.unit_m == YARD_M else "m"
    length = f"{solved.length:.0f} {short_unit} from {solved.tee}"
    for up, said, size, colour in (
        (30.0, f"{page.named(solved.name)}par {solved.par} · {length}", 14.0, INK),
        (48.0, "strokes to hole out, every following shot this player's own best", 9.0, SOFT_INK),
    ):
        fitting = page.shrunk(said, size, WIDE - MARGIN - x)
        page.text(x, HIGH - up, said, fitting, color=colour, gid="title")

    # The map keeps its scale: as tall as the page allows, or as wide.
    low, right, short, far = contours.window
    scale = min((HIGH - 140.0) / (far - short), (WIDE - 110.0) / (right - low))
    across, along = scale * (right - low), scale * (far - short)
    left, bottom = 0.5 * (WIDE - across), 62.0 + 0.5 * (HIGH - 140.0 - along)
    ax = figure.add_axes((left / WIDE, bottom / HIGH, across / WIDE, along / HIGH), gid="map")
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
