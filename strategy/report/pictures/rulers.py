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
from strategy.report.pictures.page import ANSWER_PT, FOOT, HIGH, LEFT, MAP, RIGHT, STRIP, WIDE, Page
from strategy.report.words.lengths import Units
from strategy.report.words.picture_words import RulerAnswer, even_words, strip_origin

_STRIP_TOP_COST: Final = 0.25


def draw_rulers(page: Page, answers: Sequence[RulerAnswer], units: Units) -> None:
    """Yards from the ball with the decisions on the left; to the front, or on, at the right."""
    sheet = page.sheet
    short = sheet.window[2]

    def y_of(depth: float) -> float:
        return MAP[0] + (depth - short) * page.along

    top = MAP[1] + 8.0
    page.text(LEFT, top, "off the tee" if page.from_tee else "from the ball", 8.0, ha="right", color=SOFT_INK)
    page.text(
        RIGHT,
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
    heights = [page.size(s, ANSWER_PT)[1] + 3.0 for s in said]
    centres = stacked(marks, heights, MAP[0], MAP[1])
    low, high = (y_of(float(f(sheet.outline[:, 1]))) for f in (np.min, np.max))
    page.line([(LEFT - 2.5, max(low, MAP[0])), (LEFT - 2.5, min(high, MAP[1]))], color=SHOT, linewidth=2.4)
    taken: list[shapely.Geometry] = []
    for number, (mark, words, at) in enumerate(zip(marks, said, centres, strict=True)):
        half, right = 0.5 * page.size(words, ANSWER_PT)[1], 10.0 + page.size(words, ANSWER_PT, "bold")[0]
        taken.append(shapely.box(8.0, at - half, right, at + half))
        colour, weight = (SHOT, "bold") if number == 0 else (SOFT_INK, "normal")
        page.text(8.0, at, words, ANSWER_PT, color=colour, weight=weight, gid="decision")
        if MAP[0] <= mark <= MAP[1]:
            taken.append(
                shapely.LineString([(right, at), (max(right, 56.0) + 2.0, mark), (LEFT - 4.0, mark)])
            )
            page.line(
                shapely.get_coordinates(taken[-1]),
                color=colour, linewidth=1.1 if number == 0 else 0.7, gid="decision-line",
            )  # fmt: skip
    for depth, value in left_ticks(sheet, units.metres):
        y = y_of(depth)
        page.line([(LEFT - 5.0, y), (LEFT, y)])
        wide = page.size(str(value), 8.5)[0]
        box = shapely.box(LEFT - 9.0 - wide, y - 5.0, LEFT - 7.0, y + 5.0)
        if not any(shapely.intersects(box, other) for other in taken):  # the answer matters more
            page.text(LEFT - 8.0, y, str(value), 8.5, ha="right", gid="ruler")
    for depth, value in right_ticks(sheet, units.metres):
        y = y_of(depth)
        words = "front" if sheet.at_green and value == 0 else str(value).replace("-", "\N{MINUS SIGN}")
        page.line([(RIGHT, y), (RIGHT + 5.0, y)])
        page.text(RIGHT + 8.0, y, words, 8.5, gid="ruler")


def _on_ruler(page: Page, answer: RulerAnswer) -> str:
    """Club, shot and number in lines that leave the ruler's own numbers room."""
    lines: list[str] = []
    for part in answer.shot:
        lines += page.wrapped(part, ANSWER_PT, 50.0)
    return "\n".join([*lines, answer.number])


def draw_strip(page: Page, units: Units) -> None:
    """Cost of finishing there, against left and right, in line with the map."""
    sheet = page.sheet
    ax = page.axes(LEFT, *STRIP[:1], RIGHT, STRIP[1], "strip")
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
    per_stroke = (STRIP[1] - STRIP[0]) / (_STRIP_TOP_COST + 0.012)
    for cost in (0.0, 0.1, 0.2):
        y = STRIP[0] + (cost + 0.012) * per_stroke
        page.line([(LEFT - 4.0, y), (LEFT, y)])
        page.text(LEFT - 7.0, y, f"{cost:.1f}", 8.0, ha="right", gid="strip-number")
    unit = units.metres
    every = 10 if sheet.window[1] - sheet.window[0] > 60.0 * unit else 5
    zero, middle = sheet.zero[1], strip_origin(sheet)
    first = int(np.ceil((sheet.window[0] - zero) / unit / every)) * every
    for side in range(first, int(np.floor((sheet.window[1] - zero) / unit)) + 1, every):
        x = LEFT + (side * unit + zero - sheet.window[0]) * page.across
        page.line([(x, STRIP[0]), (x, STRIP[0] - 3.5)])
        crowded = abs(side) == every and every * unit * page.across < 30.0
        if crowded or not LEFT + 8.0 < x < RIGHT - 8.0:
            continue
        words = middle if side == 0 else str(abs(side))
        page.text(x, STRIP[0] - 9.0, words, 8.0, ha="center", gid="strip-number")
    page.text(LEFT, STRIP[1] + 12.0, "cost there, strokes", 8.0, color=SOFT_INK)
    page.text(RIGHT, STRIP[1] + 12.0, even_words(sheet, units), ANSWER_PT, ha="right", gid="even-name")
    page.text(LEFT - 7.0, STRIP[0] - 9.0, "left", 8.0, ha="right", color=SOFT_INK)
    page.text(RIGHT + 7.0, STRIP[0] - 9.0, "right", 8.0, color=SOFT_INK)


def draw_arrows(page: Page) -> None:
    """Direction of play, and north."""
    from matplotlib.patches import FancyArrowPatch

    a = np.radians(-page.sheet.heading)
    x, y = RIGHT + 16.0, 0.5 * sum(FOOT)
    north = np.array([np.sin(a), np.cos(a)])
    for name, (cx, way), half in (
        ("play", (x, np.array([0.0, 1.0])), 14.0),
        ("N", (x + 24.0, north), 11.0),
    ):
        tail, head = np.array([cx, y + 2.0]) - half * way, np.array([cx, y + 2.0]) + half * way
        page.figure.add_artist(
            FancyArrowPatch(
                tuple(tail / (WIDE, HIGH)), tuple(head / (WIDE, HIGH)), transform=page.figure.transFigure,
                arrowstyle="-|>", mutation_scale=8.0, linewidth=1.1, color=INK, gid=f"arrow-{name}",
            )
        )  # fmt: skip
        page.text(cx, y - 20.0, name, 8.0, ha="center")
