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
_STRIP_LOW: Final = 0.012


def draw_rulers(page: Page, answers: Sequence[RulerAnswer], units: Units) -> None:
    """Yards from the ball with the decisions on the left; to the front, or on, at the right."""
    lay, sheet = page.layout, page.sheet
    pt, scale = lay.answer_pt, lay.scale_pt
    short = sheet.window[2]

    def y_of(depth: float) -> float:
        return lay.map[0] + (depth - short) * page.along

    top = lay.map[1] + scale
    origin = "off the tee" if page.from_tee else "from the ball"
    page.text(lay.left, top, origin, scale, ha="right", color=SOFT_INK)
    counted = f"{units} on" if sheet.at_green else "to the front"
    right = min(lay.right, lay.wide - 4.0 - page.size(counted, scale)[0])
    page.text(right, top, counted, scale, color=SOFT_INK)
    depths = [depth for _, depth in sheet.aims]
    marks = [y_of(depth) for depth in depths]
    low, high = sheet.window[2:]
    said = [
        _on_ruler(page, answer) + (" \u2193" if depth < low else " \u2191" if depth > high else "")
        for answer, depth in zip(answers, depths, strict=True)
    ]
    heights = [page.size(s, pt)[1] + 3.0 for s in said]
    centres = stacked(marks, heights, lay.map[0], lay.map[1])
    low, high = (y_of(float(f(sheet.outline[:, 1]))) for f in (np.min, np.max))
    ends = (max(low, lay.map[0]), min(high, lay.map[1]))
    page.line([(lay.left - 2.5, end) for end in ends], color=SHOT, linewidth=2.4)
    edge = 0.4 * lay.margin
    looks = [(SHOT, "bold", 1.1)] + [(SOFT_INK, "normal", 0.7)] * (len(said) - 1)
    rights = [edge + 2.0 + page.size(s, pt, weight)[0] for s, (_, weight, _) in zip(said, looks, strict=True)]
    clear = max(rights, default=edge) + 1.0  # beyond all names the lines may turn
    taken: list[shapely.Geometry] = []
    for mark, words, at, right, look in zip(marks, said, centres, rights, looks, strict=True):
        colour, weight, width = look
        half = 0.5 * page.size(words, pt)[1]
        taken.append(shapely.box(edge, at - half, right, at + half))
        page.text(edge, at, words, pt, color=colour, weight=weight, gid="decision")
        if lay.map[0] <= mark <= lay.map[1]:
            way = [(right, at), (clear, at), (max(clear, lay.left - 12.0), mark), (lay.left - 4.0, mark)]
            taken.append(shapely.LineString(way))
            page.line(way, color=colour, linewidth=width, gid="decision-line")
    high_half = 0.6 * scale
    for depth, value in left_ticks(sheet, units.metres):
        y = y_of(depth)
        page.line([(lay.left - 5.0, y), (lay.left, y)])
        wide = page.size(str(value), scale)[0]
        box = shapely.box(lay.left - 9.0 - wide, y - high_half, lay.left - 7.0, y + high_half)
        if not any(shapely.intersects(box, other) for other in taken):  # the answer matters more
            page.text(lay.left - 8.0, y, str(value), scale, ha="right", gid="ruler")
    for depth, value in right_ticks(sheet, units.metres):
        y = y_of(depth)
        words = "front" if sheet.at_green and value == 0 else str(value).replace("-", "\N{MINUS SIGN}")
        page.line([(lay.right, y), (lay.right + 5.0, y)])
        page.text(lay.right + 8.0, y, words, scale, gid="ruler")


def _on_ruler(page: Page, answer: RulerAnswer) -> str:
    """Club, shot and number in lines that leave the ruler's own numbers room."""
    lay = page.layout
    room = lay.left - 0.4 * lay.margin - 16.0
    lines = [line for part in answer.shot for line in page.wrapped(part, lay.answer_pt, room, "bold")]
    return "\n".join([*lines, answer.number])


def draw_strip(page: Page, units: Units) -> None:
    """Cost of finishing there, against left and right, in line with the map."""
    lay, sheet = page.layout, page.sheet
    low_pt, high_pt = lay.strip
    scale = lay.scale_pt
    ax = page.axes(lay.left, low_pt, lay.right, high_pt, "strip")
    ax.set_ylim(-_STRIP_LOW, _STRIP_TOP_COST)
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
    per_stroke = (high_pt - low_pt) / (_STRIP_TOP_COST + _STRIP_LOW)
    for cost in (0.0, 0.2) if 0.1 * per_stroke < 1.3 * scale else (0.0, 0.1, 0.2):
        y = low_pt + (cost + _STRIP_LOW) * per_stroke
        page.line([(lay.left - 4.0, y), (lay.left, y)])
        page.text(lay.left - 7.0, y, f"{cost:.1f}", scale, ha="right", gid="strip-number")
    below, above = low_pt - 3.5 - 0.7 * scale, high_pt + 1.2 * scale
    unit = units.metres
    every = 10 if sheet.window[1] - sheet.window[0] > 60.0 * unit else 5
    zero, middle = sheet.zero[1], strip_origin(sheet)
    first = int(np.ceil((sheet.window[0] - zero) / unit / every)) * every
    name = 0.5 * page.size(middle, scale)[0] + 0.5 * page.size("30", scale)[0] + 3.0
    for side in range(first, int(np.floor((sheet.window[1] - zero) / unit)) + 1, every):
        x = lay.left + (side * unit + zero - sheet.window[0]) * page.across
        page.line([(x, low_pt), (x, low_pt - 3.5)])
        if (side and abs(side) * unit * page.across < name) or not lay.left + 8.0 < x < lay.right - 8.0:
            continue
        page.text(x, below, middle if side == 0 else str(abs(side)), scale, ha="center", gid="strip-number")
    page.text(lay.left - 7.0, above, "cost, strokes", scale, ha="right", color=SOFT_INK)
    page.text(lay.left, above, even_words(sheet, units), lay.answer_pt, gid="even-name")
    page.text(lay.left - 7.0, below, "left", scale, ha="right", color=SOFT_INK)
    page.text(lay.right + 7.0, below, "right", scale, color=SOFT_INK)


def draw_arrows(page: Page) -> None:
    """Direction of play, and north."""
    from matplotlib.patches import FancyArrowPatch

    lay = page.layout
    a = np.radians(-page.sheet.heading)
    high = lay.foot[1] - lay.foot[0]
    x, y = lay.right + 16.0, 0.5 * sum(lay.foot) + 0.4 * lay.scale_pt
    north = np.array([np.sin(a), np.cos(a)])
    page_pt = (lay.wide, lay.high)
    for name, (cx, way), half in (
        ("play", (x, np.array([0.0, 1.0])), 0.33 * high),
        ("N", (x + 24.0, north), 0.26 * high),
    ):
        tail, head = np.array([cx, y]) - half * way, np.array([cx, y]) + half * way
        page.figure.add_artist(
            FancyArrowPatch(
                tuple(tail / page_pt), tuple(head / page_pt), transform=page.figure.transFigure,
                arrowstyle="-|>", mutation_scale=8.0, linewidth=1.1, color=INK, gid=f"arrow-{name}",
            )
        )  # fmt: skip
        page.text(cx, lay.foot[0], name, lay.scale_pt, ha="center")
