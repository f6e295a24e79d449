"""What stands round the map of a picture: both rulers with the answers, the cost strip, the arrows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
import shapely

from strategy.decide.option import EVEN
from strategy.plan.drawing.rulers import left_ticks, right_ticks
from strategy.report.pictures.ground import INK, SHOT, SOFT_INK
from strategy.report.pictures.labels import stacked
from strategy.report.pictures.page import Page
from strategy.report.words.lengths import Units
from strategy.report.words.picture_words import RulerAnswer, even_words, strip_origin

_STRIP_TOP_COST: Final = 0.25


def draw_rulers(page: Page, answers: Sequence[RulerAnswer], units: Units) -> None:
    """Yards from the ball with the decisions on the left; to the front, or on, at the right."""
    lay = page.layout
    sheet = page.sheet
    short = sheet.window[2]

    def y_of(depth: float) -> float:
        return lay.map[0] + (depth - short) * page.along

    top = lay.map[1] + 8.0
    page.text(
        lay.left,
        top,
        "off the tee" if page.from_tee else "from the ball",
        8.0,
        ha="right",
        color=SOFT_INK,
    )
    page.text(
        lay.right,
        top,
        f"{units} on" if sheet.at_green else "to the front",
        8.0,
        color=SOFT_INK,
    )
    depths = [depth for _, depth in sheet.aims]
    marks = [y_of(depth) for depth in depths]
    low, high = sheet.window[2:]
    said = [
        _on_ruler(page, answer) + (" \u2193" if depth < low else " \u2191" if depth > high else "")
        for answer, depth in zip(answers, depths, strict=True)
    ]
    heights = [page.size(s, lay.answer_pt)[1] + 3.0 for s in said]
    centres = stacked(marks, heights, lay.map[0], lay.map[1])
    low, high = (y_of(float(f(sheet.outline[:, 1]))) for f in (np.min, np.max))
    page.line(
        [
            (lay.left - 2.5, max(low, lay.map[0])),
            (lay.left - 2.5, min(high, lay.map[1])),
        ],
        color=SHOT,
        linewidth=2.4,
    )
    taken: list[shapely.Geometry] = []
    for number, (mark, words, at) in enumerate(zip(marks, said, centres, strict=True)):
        half, right = (
            0.5 * page.size(words, lay.answer_pt)[1],
            10.0 + page.size(words, lay.answer_pt, "bold")[0],
        )
        taken.append(shapely.box(8.0, at - half, right, at + half))
        colour, weight = (SHOT, "bold") if number == 0 else (SOFT_INK, "normal")
        page.text(8.0, at, words, lay.answer_pt, color=colour, weight=weight, gid="decision")
        if lay.map[0] <= mark <= lay.map[1]:
            taken.append(
                shapely.LineString([(right, at), (max(right, 56.0) + 2.0, mark), (lay.left - 4.0, mark)])
            )
            page.line(
                shapely.get_coordinates(taken[-1]),
                color=colour, linewidth=1.1 if number == 0 else 0.7, gid="decision-line",
            )  # fmt: skip
    for depth, value in left_ticks(sheet, units.metres):
        y = y_of(depth)
        page.line([(lay.left - 5.0, y), (lay.left, y)])
        wide = page.size(str(value), 8.5)[0]
        box = shapely.box(lay.left - 9.0 - wide, y - 5.0, lay.left - 7.0, y + 5.0)
        if not any(shapely.intersects(box, other) for other in taken):  # the answer matters more
            page.text(lay.left - 8.0, y, str(value), 8.5, ha="right", gid="ruler")
    for depth, value in right_ticks(sheet, units.metres):
        y = y_of(depth)
        words = "front" if sheet.at_green and value == 0 else str(value).replace("-", "\N{MINUS SIGN}")
        page.line([(lay.right, y), (lay.right + 5.0, y)])
        page.text(lay.right + 8.0, y, words, 8.5, gid="ruler")


def _on_ruler(page: Page, answer: RulerAnswer) -> str:
    """Club, shot and number in lines that leave the ruler's own numbers room."""
    lines: list[str] = []
    for part in answer.shot:
        lines += page.wrapped(part, page.layout.answer_pt, 50.0)
    return "\n".join([*lines, answer.number])


def draw_strip(page: Page, units: Units) -> None:
    """Cost of finishing there, against left and right, in line with the map."""
    lay = page.layout
    sheet = page.sheet
    ax = page.axes(lay.left, *lay.strip[:1], lay.right, lay.strip[1], "strip")
    ax.set_ylim(-0.012, _STRIP_TOP_COST)
    ax.set_facecolor("none")
    for spine in ("top", "right"):
        ax.spines[spine].set_visible(False)
    low, high = sheet.even
    ax.axvspan(
        low, high, ymax=0.62, facecolor="#dfe0d4", edgecolor="#a9a99c", linewidth=0.0, hatch="///",
        zorder=1, gid="even",
    )  # fmt: skip
    ax.axhline(EVEN, color=SOFT_INK, linewidth=0.6, linestyle=(0, (1, 2)), zorder=2)
    ax.plot(sheet.strip_side, sheet.strip_cost, color=INK, linewidth=1.6, zorder=3, gid="cost")
    ax.plot(sheet.aim[0], 0.0, "+", markersize=9.0, markeredgewidth=1.8, color=INK, zorder=4, clip_on=False)
    per_stroke = (lay.strip[1] - lay.strip[0]) / (_STRIP_TOP_COST + 0.012)
    for cost in (0.0, 0.1, 0.2):
        y = lay.strip[0] + (cost + 0.012) * per_stroke
        page.line([(lay.left - 4.0, y), (lay.left, y)])
        page.text(lay.left - 7.0, y, f"{cost:.1f}", 8.0, ha="right", gid="strip-number")
    unit = units.metres
    every = 10 if sheet.window[1] - sheet.window[0] > 60.0 * unit else 5
    zero, middle = sheet.zero[1], strip_origin(sheet)
    first = int(np.ceil((sheet.window[0] - zero) / unit / every)) * every
    for side in range(first, int(np.floor((sheet.window[1] - zero) / unit)) + 1, every):
        x = lay.left + (side * unit + zero - sheet.window[0]) * page.across
        page.line([(x, lay.strip[0]), (x, lay.strip[0] - 3.5)])
        crowded = abs(side) == every and every * unit * page.across < 30.0
        if crowded or not lay.left + 8.0 < x < lay.right - 8.0:
            continue
        words = middle if side == 0 else str(abs(side))
        page.text(x, lay.strip[0] - 9.0, words, 8.0, ha="center", gid="strip-number")
    page.text(lay.left, lay.strip[1] + 12.0, "cost there, strokes", 8.0, color=SOFT_INK)
    page.text(
        lay.right,
        lay.strip[1] + 12.0,
        even_words(sheet, units),
        lay.answer_pt,
        ha="right",
        gid="even-name",
    )
    page.text(lay.left - 7.0, lay.strip[0] - 9.0, "left", 8.0, ha="right", color=SOFT_INK)
    page.text(lay.right + 7.0, lay.strip[0] - 9.0, "right", 8.0, color=SOFT_INK)


def draw_arrows(page: Page) -> None:
    """Direction of play, and north."""
    from matplotlib.patches import FancyArrowPatch

    lay = page.layout
    a = np.radians(-page.sheet.heading)
    x, y = lay.right + 16.0, 0.5 * sum(lay.foot)
    north = np.array([np.sin(a), np.cos(a)])
    page_pt = (lay.wide, lay.high)
    for name, (cx, way), half in (
        ("play", (x, np.array([0.0, 1.0])), 14.0),
        ("N", (x + 24.0, north), 11.0),
    ):
        tail, head = np.array([cx, y + 2.0]) - half * way, np.array([cx, y + 2.0]) + half * way
        page.figure.add_artist(
            FancyArrowPatch(
                tuple(tail / page_pt), tuple(head / page_pt), transform=page.figure.transFigure,
                arrowstyle="-|>", mutation_scale=8.0, linewidth=1.1, color=INK, gid=f"arrow-{name}",
            )
        )  # fmt: skip
        page.text(cx, y - 20.0, name, 8.0, ha="center")
