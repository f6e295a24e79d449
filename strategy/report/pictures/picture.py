"""The picture of one answer: a topographic sheet with the answer in sentences above it.

Page, 5.5 x 9 in, from the top: hole and conditions; the sentences; the map between its two rulers
(yards from the ball on the left with the decisions beside it, yards to the front or paces on the right);
the ground between ball and map, squeezed; the cost strip, aligned with both; the foot.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import shapely

from strategy.codes import Surface
from strategy.decide.option import EVEN
from strategy.plan.drawing.costs import LEVELS
from strategy.plan.drawing.outlines import HazardNumber
from strategy.plan.drawing.sheet import DrawnAnswer, Sheet
from strategy.report.pictures.fonts import has_letters
from strategy.report.pictures.ground import INK, PAPER, SHOT, SOFT_INK, draw_ground
from strategy.report.pictures.labels import stacked
from strategy.report.pictures.page import (
    ANSWER_PT,
    DPI,
    FOOT,
    HIGH,
    LEFT,
    MAP,
    MARGIN,
    PAGE_IN,
    RIGHT,
    STRIP,
    TEXT_BOTTOM,
    TEXT_TOP,
    WIDE,
    Page,
)
from strategy.report.pictures.png import write_png
from strategy.report.pictures.words import (
    LEFT_OUT_WORDS,
    between,
    credit_words,
    hazard_words,
    unit_words,
    use_words,
    wind_words,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_STRIP_TOP_COST: Final = 0.25
_ORIGINS: Final = {"fairway": "middle", "line": "line", "hole": "hole"}
_LINES: Final = ((1.5, "-"), (0.8, "-"), (0.9, (0, (5, 2))), (1.0, (0, (1, 1.6))))  # of `LEVELS`


def write_picture(sheet: Sheet, sentences: Sequence[str], path: Path, *, counts: str = "") -> None:
    """Write the picture of one answer as PNG: a temporary file, then renamed.

    Parameters
    ----------
    sheet : Sheet
        What to draw.
    sentences : sequence of str
        The answer, up to three sentences.
    path : Path
        Where to; its folder exists.
    counts : str
        The line below them ("Of 20: 12 fairway, 6 rough, ...").
    """
    write_png(picture(sheet, sentences, counts=counts), path, DPI)


def picture(sheet: Sheet, sentences: Sequence[str], *, counts: str = "") -> Figure:
    """Draw one sheet; see `write_picture`."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=PAGE_IN, dpi=DPI, facecolor=PAPER)
    FigureCanvasAgg(figure)
    page = _Drawing(figure, sheet)
    page.header()
    page.answers(sentences, counts)
    page.map_and_foot()
    page.rulers()
    page.strip()
    page.arrows()
    page.foot()
    return figure


class _Drawing(Page):
    """One page under way."""

    # --- the top -------------------------------------------------------------------------------

    def header(self) -> None:
        """Hole number, par, length, hole location, wind."""
        sheet = self.sheet
        big = self.shrunk(sheet.label, 36.0, 0.4 * WIDE, "bold", least=9.0)
        number = self.text(MARGIN - 1.0, 622.0, sheet.label, big, weight="bold", gid="hole")
        x = MARGIN + self.size(sheet.label, big, "bold")[0] + 12.0
        number.set_clip_on(False)
        where = (
            f"{sheet.length:.0f} {unit_words(sheet.unit_m)[0]}"
            if sheet.from_tee
            else f"from {sheet.to_front:.0f} front, {sheet.lie}"
        )
        first = f"{self.named(sheet.name)}par {sheet.par} · {where}"
        size = self.shrunk(first, 14.0, WIDE - MARGIN - x)
        self.text(x, 632.0, first, size, gid="title")
        tee = sheet.tee if sheet.from_tee else ""
        location = f"hole {sheet.location}" if sheet.location else ""
        second = " · ".join(filter(None, (f"Round {sheet.round}", tee, location)))
        self.text(x, 618.0, second, self.shrunk(second, 9.0, WIDE - MARGIN - x), color=SOFT_INK, gid="title")
        self.text(x, 606.5, wind_words(sheet.wind, counts=sheet.wind_counts), 9.0, color=SOFT_INK, gid="wind")

    def answers(self, sentences: Sequence[str], counts: str) -> None:
        """The sentences, as large as they fit, never under 9 pt."""
        high = TEXT_TOP - TEXT_BOTTOM - 3.0
        for size in (13.0, 12.0, 11.5, 11.0, 10.5, 10.0, 9.5, ANSWER_PT):
            lines = [line for s in sentences[:3] for line in self.wrapped(s, size)]
            below = self.wrapped(counts, ANSWER_PT) if counts else []
            total = 1.26 * (len(lines) * size + len(below) * ANSWER_PT) + (2.0 if below else 0.0)
            if total <= high or size == ANSWER_PT:
                break
        y = TEXT_TOP - 4.0 - max(0.0, 0.4 * (high - total))
        for text, pt, colour, gid in [(s, size, INK, "answer") for s in lines] + [
            (s, ANSWER_PT, SOFT_INK, "counts") for s in below
        ]:
            y -= 1.26 * pt
            self.text(MARGIN, y + 0.35 * pt, text, pt, color=colour, gid=gid)

    # --- the map -------------------------------------------------------------------------------

    def map_and_foot(self) -> None:
        """CostField, answer, contours and numbers; below it the squeezed ground from the ball."""
        sheet = self.sheet
        self.map.set_ylim(sheet.window[2], sheet.window[3])
        draw_ground(self.map, sheet.pieces, (self.across, self.along))
        self._shot(self.map)
        if self.squeezed:
            foot = self.axes(LEFT, FOOT[0], RIGHT, FOOT[1], "foot")
            foot.set_ylim(self.foot_low, sheet.window[2])
            draw_ground(foot, sheet.pieces, (self.across, self.squeezed))
            self._shot(foot)
            where = "tee" if sheet.from_tee else "ball"
            self.text(
                LEFT - 5.0, 0.5 * sum(FOOT), f"from the {where},\n0 to {sheet.window[2]:.0f},\nsqueezed",
                7.0, color=SOFT_INK, ha="right",
            )  # fmt: skip
        self._obstacles()
        self._contours()
        self._numbers()
        self._names()

    def _shot(self, ax: Axes) -> None:
        from matplotlib.collections import LineCollection

        sheet = self.sheet
        x, y = sheet.aim
        ax.plot(*sheet.start.T, color=INK, linewidth=1.2, linestyle=(0, (1, 2.2)), zorder=5, gid="start")
        ax.plot(*sheet.flight.T, color=SHOT, linewidth=1.6, linestyle=(0, (6, 2.5)), zorder=6, gid="flight")
        ax.plot(*np.vstack((sheet.flight[-1], sheet.aim)).T, color=SHOT, linewidth=0.8, zorder=6, gid="run")
        ax.plot(0.0, 0.0, "o", markersize=5.0, color=INK, zorder=8, gid="ball", clip_on=True)
        if ax is self.map:
            ring = np.vstack((sheet.outline, sheet.outline[:1]))
            ax.plot(*ring.T, color=SHOT, linewidth=2.0, zorder=6, gid="outline")
            ax.add_collection(
                LineCollection(list(sheet.ticks), colors=SHOT, linewidths=1.2, zorder=6, gid="ticks"),
                autolim=False,
            )
            ax.plot(x, y, "+", markersize=12.0, markeredgewidth=2.0, color=INK, zorder=7, gid="aim")
            for other in sheet.decisions[1:]:
                ax.plot(
                    other.side, other.depth, "x", markersize=5.0, markeredgewidth=1.1, color=SOFT_INK,
                    zorder=6, gid="alternative",
                )  # fmt: skip
            if self.hole_in_window():
                ax.plot(
                    *sheet.hole_at, "o", markersize=5.5, markerfacecolor=PAPER, markeredgecolor=INK,
                    markeredgewidth=1.3, zorder=8, gid="hole-location",
                )  # fmt: skip

    def hole_in_window(self) -> bool:
        """Whether the hole itself is on the map, with room for its sign."""
        low, high, short, far = self.sheet.window
        side, depth = self.sheet.hole_at
        return low + 1.5 < side < high - 1.5 and short + 1.5 < depth < far - 1.5

    def _obstacles(self) -> None:
        """What labels keep clear of."""
        sheet = self.sheet
        hard, lines = self.room.hard, self.room.lines
        placed = [(self.on_map, shapely.box(LEFT, MAP[0], RIGHT, MAP[1]))]
        if self.squeezed:
            placed.append((self.on_foot, shapely.box(LEFT, FOOT[0], RIGHT, FOOT[1])))
        for to_page, frame in placed:
            for piece in sheet.pieces:
                outer, *inner = (to_page(r) for r in piece.rings)
                shape = shapely.intersection(shapely.make_valid(shapely.Polygon(outer, inner)), frame)
                if shape.is_empty or piece.surface == Surface.ROUGH:
                    continue
                if piece.surface in (Surface.FAIRWAY, Surface.FIRST_CUT, Surface.TEE, Surface.GREEN):
                    self.room.edges.append(shapely.boundary(shape))
                else:
                    hard.append(shape)
            flight = shapely.LineString(to_page(np.vstack((sheet.flight, sheet.aim))))
            start = shapely.LineString(to_page(sheet.start))
            for way, kept, wide in ((flight, hard, 2.0), (start, lines, 1.0)):
                seen = shapely.intersection(way, frame)
                kept.append(shapely.buffer(seen, wide))
                self.room.paths.append(seen)
            hard.append(shapely.buffer(shapely.Point(to_page([(0.0, 0.0)])[0]), 5.0))
        for _, side, depth in sheet.marks:
            hard.append(shapely.buffer(shapely.Point(self.on_map([(side, depth)])[0]), 4.0))
        outline = shapely.LinearRing(self.on_map(sheet.outline))
        hard.append(shapely.buffer(outline, 3.0))
        for side, depth in (sheet.aim, *((d.side, d.depth) for d in sheet.decisions[1:])):
            hard.append(shapely.buffer(shapely.Point(self.on_map([(side, depth)])[0]), 6.0))
        if self.hole_in_window():
            hard.append(shapely.buffer(shapely.Point(self.on_map([sheet.hole_at])[0]), 5.0))
        lines += [shapely.LineString(self.on_map(c.line)) for c in sheet.contours]

    def _contours(self) -> None:
        """Lines of equal cost with their number in a gap; a line that no number fits is not drawn."""
        frame = (LEFT, MAP[0], RIGHT, MAP[1])
        for level, (width, style) in zip(LEVELS, _LINES, strict=True):
            said = f"{level:.2f}"
            size = self.size(said, 8.0)
            lines = sorted(
                (c.line for c in self.sheet.contours if c.level == level),
                key=lambda a: -float(np.ptp(a[:, 1])),
            )
            for line in lines:
                at = self.room.along(self.on_map(line), size, frame, apart=110.0)
                if not at and not self._beside(said, line, size, frame):
                    at = self.room.along(self.on_map(line), size, frame, apart=110.0, crowded=True)
                    if not at:
                        continue
                gaps = [
                    shapely.box(x - 0.5 * size[0], y - 0.5 * size[1], x + 0.5 * size[0], y + 0.5 * size[1])
                    for x, y in at
                ]
                rest = shapely.difference(shapely.LineString(self.on_map(line)), shapely.MultiPolygon(gaps))
                for part in shapely.get_parts(shapely.line_merge(rest)):
                    p = shapely.get_coordinates(part)
                    x = (p[:, 0] - LEFT) / self.across + self.sheet.window[0]
                    y = (p[:, 1] - MAP[0]) / self.along + self.sheet.window[2]
                    self.map.plot(
                        x, y, color=INK, linewidth=width, linestyle=style, zorder=4, gid=f"cost-{said}"
                    )
                for x, y in at:
                    self.text(x, y, said, 8.0, ha="center", gid="contour-number")

    def _beside(self, said: str, line: Any, size: tuple[float, float], frame: Any) -> bool:
        """Number a small contour beside it, with a leader; False when there is no room."""
        ring = shapely.LineString(self.on_map(line))
        at = self.room.beside(ring, size, frame)
        if at is None:
            return False
        self.text(*at, said, 8.0, ha="center", gid="contour-number")
        self._leader(at, size, ring)
        return True

    def _numbers(self) -> None:
        """Reach and carry of what is in play, each with where the number comes from."""
        for number in self.sheet.numbers:
            said = hazard_words(number)
            if said:
                self._label(said, shapely.Polygon(self._placed(number)), squeezed=number.squeezed)

    def _names(self) -> None:
        """Out of bounds, ground not mapped, sight marks, the hole, the start line."""
        sheet = self.sheet
        window = shapely.box(LEFT, MAP[0], RIGHT, MAP[1])
        for surface, said in ((Surface.OUT, "out of\nbounds"), (Surface.OFF_MAP, "not mapped:\nlost")):
            shapes = [shapely.Polygon(self.on_map(p.rings[0])) for p in sheet.pieces if p.surface == surface]
            seen = [
                s
                for s in (shapely.intersection(shapely.make_valid(s), window) for s in shapes)
                if s.area > 60.0
            ]
            if seen:
                self._name(said, max(seen, key=lambda s: float(s.area)))
        for name, side, depth in sheet.marks:
            at = self.on_map([(side, depth)])[0]
            if shapely.contains_xy(window, *at):
                self.map.plot(side, depth, "^", markersize=6.0, color=INK, zorder=8, gid="mark")
                if not has_letters(name):
                    self.left_out = True  # its sign stays
                    continue
                self._name(name, shapely.buffer(shapely.Point(at), 4.0))
        if np.hypot(*(sheet.start[-1] - sheet.flight[-1])) * self.across > 9.0:
            line = shapely.intersection(shapely.LineString(self.on_map(sheet.start)), window)
            if not line.is_empty:
                self._name("start line", shapely.buffer(line, 0.5))

    def _placed(self, number: HazardNumber) -> Any:
        return self.on_foot(number.outline) if number.squeezed else self.on_map(number.outline)

    def _label(self, said: list[tuple[str, bool]], feature: Any, *, squeezed: bool = False) -> None:
        """Numbers beside what they belong to; said at the foot of the page where there is no room."""
        frame = (LEFT, FOOT[0], RIGHT, FOOT[1]) if squeezed else (LEFT, MAP[0], RIGHT, MAP[1])
        lines = [(one, 7.0, SOFT_INK) if origin else (one, ANSWER_PT, INK) for one, origin in said]
        size = self._block(lines)
        side, depth = self.sheet.aim
        towards = None if squeezed else tuple(self.on_map([(side, depth)])[0])
        at = self.room.beside(feature, size, frame, towards)
        if at is None:
            self.unplaced.append(" ".join(one for one, _ in said))
        else:
            self._write(lines, at, size)
            self._leader(at, size, feature, shortest=4.0)

    def _name(self, said: str, feature: Any) -> None:
        """A name close by what it belongs to; left out where there is no room."""
        lines = [(one, ANSWER_PT, INK) for one in said.split("\n")]
        size = self._block(lines)
        at = self.room.beside(feature, size, (LEFT, MAP[0], RIGHT, MAP[1]), furthest=14.0)
        if at is not None:
            self._write(lines, at, size)

    def _block(self, lines: list[tuple[str, float, str]]) -> tuple[float, float]:
        return max(self.size(one, pt)[0] for one, pt, _ in lines), sum(1.16 * pt for _, pt, _ in lines)

    def _write(
        self, lines: list[tuple[str, float, str]], at: tuple[float, float], size: tuple[float, float]
    ) -> None:
        y = at[1] + 0.5 * size[1]
        for one, pt, colour in lines:
            self.text(at[0], y - 0.58 * pt, one, pt, ha="center", color=colour, gid="label", zorder=9)
            y -= 1.16 * pt

    def _leader(
        self, at: tuple[float, float], size: tuple[float, float], feature: Any, *, shortest: float = 0.0
    ) -> None:
        """A line from a label to what it belongs to, which later labels keep clear of."""
        wide, high = 0.5 * size[0] + 1.5, 0.5 * size[1] + 0.5
        box = shapely.box(at[0] - wide, at[1] - high, at[0] + wide, at[1] + high)
        line = shapely.shortest_line(box, feature)
        if line.length > shortest:
            self.line(shapely.get_coordinates(line), linewidth=0.6, color=INK, gid="leader")
            self.room.take(line)

    # --- rulers --------------------------------------------------------------------------------

    def rulers(self) -> None:
        """Yards from the ball with the decisions on the left; to the front, or on, at the right."""
        sheet = self.sheet
        short = sheet.window[2]

        def y_of(depth: float) -> float:
            return MAP[0] + (depth - short) * self.along

        top = MAP[1] + 8.0
        self.text(
            LEFT, top, "off the tee" if sheet.from_tee else "from the ball", 8.0, ha="right", color=SOFT_INK
        )
        self.text(
            RIGHT,
            top,
            f"{unit_words(sheet.unit_m)[1]} on" if sheet.at_green else "to the front",
            8.0,
            color=SOFT_INK,
        )
        marks = [y_of(d.depth) for d in sheet.decisions]
        low, high = sheet.window[2:]
        said = [
            self._decision(d) + (" \u2193" if d.depth < low else " \u2191" if d.depth > high else "")
            for d in sheet.decisions
        ]
        heights = [self.size(s, ANSWER_PT)[1] + 3.0 for s in said]
        centres = stacked(marks, heights, MAP[0], MAP[1])
        low, high = (y_of(float(f(sheet.outline[:, 1]))) for f in (np.min, np.max))
        self.line(
            [(LEFT - 2.5, max(low, MAP[0])), (LEFT - 2.5, min(high, MAP[1]))], color=SHOT, linewidth=2.4
        )
        taken: list[shapely.Geometry] = []
        for number, (mark, words, at) in enumerate(zip(marks, said, centres, strict=True)):
            half, right = 0.5 * self.size(words, ANSWER_PT)[1], 10.0 + self.size(words, ANSWER_PT, "bold")[0]
            taken.append(shapely.box(8.0, at - half, right, at + half))
            colour, weight = (SHOT, "bold") if number == 0 else (SOFT_INK, "normal")
            self.text(8.0, at, words, ANSWER_PT, color=colour, weight=weight, gid="decision")
            if MAP[0] <= mark <= MAP[1]:
                taken.append(
                    shapely.LineString([(right, at), (max(right, 56.0) + 2.0, mark), (LEFT - 4.0, mark)])
                )
                self.line(
                    shapely.get_coordinates(taken[-1]),
                    color=colour, linewidth=1.1 if number == 0 else 0.7, gid="decision-line",
                )  # fmt: skip
        for depth, value in sheet.left_ticks:
            y = y_of(depth)
            self.line([(LEFT - 5.0, y), (LEFT, y)])
            wide = self.size(str(value), 8.5)[0]
            box = shapely.box(LEFT - 9.0 - wide, y - 5.0, LEFT - 7.0, y + 5.0)
            if not any(shapely.intersects(box, other) for other in taken):  # the decision matters more
                self.text(LEFT - 8.0, y, str(value), 8.5, ha="right", gid="ruler")
        for depth, value in sheet.right_ticks:
            y = y_of(depth)
            words = "front" if sheet.at_green and value == 0 else str(value).replace("-", "\N{MINUS SIGN}")
            self.line([(RIGHT, y), (RIGHT + 5.0, y)])
            self.text(RIGHT + 8.0, y, words, 8.5, gid="ruler")

    def _decision(self, decision: DrawnAnswer) -> str:
        """Club, shot and number in lines that leave the ruler's own numbers room."""
        lines: list[str] = []
        for part in filter(None, (decision.club, decision.shot)):
            lines += self.wrapped(part, ANSWER_PT, 50.0)
        return "\n".join([*lines, f"{decision.carry:.0f}"])

    # --- the strip and the foot ----------------------------------------------------------------

    def strip(self) -> None:
        """Cost of finishing there, against left and right, in line with the map."""
        sheet = self.sheet
        ax = self.axes(LEFT, *STRIP[:1], RIGHT, STRIP[1], "strip")
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
        ax.plot(
            sheet.aim[0], 0.0, "+", markersize=9.0, markeredgewidth=1.8, color=INK, zorder=4, clip_on=False
        )
        per_stroke = (STRIP[1] - STRIP[0]) / (_STRIP_TOP_COST + 0.012)
        for cost in (0.0, 0.1, 0.2):
            y = STRIP[0] + (cost + 0.012) * per_stroke
            self.line([(LEFT - 4.0, y), (LEFT, y)])
            self.text(LEFT - 7.0, y, f"{cost:.1f}", 8.0, ha="right", gid="strip-number")
        every = 10 if sheet.window[1] - sheet.window[0] > 60.0 else 5
        origin, zero = sheet.zero
        middle = _ORIGINS.get(origin, origin)
        first = int(np.ceil((sheet.window[0] - zero) / every)) * every
        for side in range(first, int(np.floor(sheet.window[1] - zero)) + 1, every):
            x = LEFT + (side + zero - sheet.window[0]) * self.across
            self.line([(x, STRIP[0]), (x, STRIP[0] - 3.5)])
            if (abs(side) == every and every * self.across < 30.0) or not LEFT + 8.0 < x < RIGHT - 8.0:
                continue
            self.text(
                x,
                STRIP[0] - 9.0,
                middle if side == 0 else str(abs(side)),
                8.0,
                ha="center",
                gid="strip-number",
            )
        self.text(LEFT, STRIP[1] + 12.0, "cost there, strokes", 8.0, color=SOFT_INK)
        said = f"even: {between(low - zero, high - zero)} of the {middle}"
        self.text(RIGHT, STRIP[1] + 12.0, said, ANSWER_PT, ha="right", gid="even-name")
        self.text(LEFT - 7.0, STRIP[0] - 9.0, "left", 8.0, ha="right", color=SOFT_INK)
        self.text(RIGHT + 7.0, STRIP[0] - 9.0, "right", 8.0, color=SOFT_INK)

    def arrows(self) -> None:
        """Direction of play, and north."""
        from matplotlib.patches import FancyArrowPatch

        a = np.radians(-self.sheet.heading)
        x, y = RIGHT + 16.0, 0.5 * sum(FOOT)
        north = np.array([np.sin(a), np.cos(a)])
        for name, (cx, way), half in (
            ("play", (x, np.array([0.0, 1.0])), 14.0),
            ("N", (x + 24.0, north), 11.0),
        ):
            tail, head = np.array([cx, y + 2.0]) - half * way, np.array([cx, y + 2.0]) + half * way
            self.figure.add_artist(
                FancyArrowPatch(
                    tuple(tail / (WIDE, HIGH)), tuple(head / (WIDE, HIGH)), transform=self.figure.transFigure,
                    arrowstyle="-|>", mutation_scale=8.0, linewidth=1.1, color=INK, gid=f"arrow-{name}",
                )
            )  # fmt: skip
            self.text(cx, y - 20.0, name, 8.0, ha="center")

    def foot(self) -> None:
        """What the signs mean, the Rules, and the credit."""
        sheet = self.sheet
        about = " · ".join(filter(None, (sheet.course, sheet.player)))
        signs = [
            "+ aim",
            "○ hole",
            "outline: 2 of 3 balls",
            "dashes: flight",
            "dots: start line",
            "× other aims",
        ]
        if not self.hole_in_window():
            signs.remove("○ hole")
        lines = f"Lines {LEVELS[0]:.2f} to {LEVELS[-1]:.2f}"
        notes = [
            f"{lines}: strokes it costs to have this shot finish there, were it to carry so.",
            "" if sheet.out_known else "Out of bounds: not mapped.",
            *(f"Also: {s}." for s in self.unplaced),
        ]
        self.left_out |= not has_letters(about)
        if self.left_out:
            notes.append(LEFT_OUT_WORDS)
        credit = ("Prepared before the round (Rule 4.3).", credit_words(sheet.credit))
        self.small_print(
            [
                " · ".join(signs),
                *(" ".join(filter(None, words)) for words in (notes, credit, (use_words(sheet), about))),
            ],
            45.0,
            7.0,
        )
