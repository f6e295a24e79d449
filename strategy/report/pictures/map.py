"""The map of a picture and the squeezed ground below it: ground, answer, lines of cost, numbers and names."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np
import shapely

from strategy.codes import Surface
from strategy.plan.drawing.costs import LEVELS
from strategy.plan.drawing.outlines import HazardNumber
from strategy.report.pictures.fonts import has_letters
from strategy.report.pictures.ground import INK, PAPER, SHOT, SOFT_INK, draw_ground
from strategy.report.pictures.page import Page
from strategy.report.words.lengths import Units
from strategy.report.words.picture_words import hazard_words
from strategy.units import YARD_M

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_LINES: Final = ((1.5, "-"), (0.8, "-"), (0.9, (0, (5, 2))), (1.0, (0, (1, 1.6))))  # of `LEVELS`
_SIGN_M: Final = 1.5 * YARD_M  # room that the sign of the hole needs


def draw_map(page: Page, units: Units) -> None:
    """Draw the map of a page and what is written on it."""
    _Map(page, units).draw()


def hole_in_window(page: Page) -> bool:
    """Whether the hole itself is on the map, with room for its sign."""
    low, high, short, far = page.sheet.window
    side, depth = page.sheet.hole_at
    return low + _SIGN_M < side < high - _SIGN_M and short + _SIGN_M < depth < far - _SIGN_M


class _Map:
    """The map of a page under way."""

    def __init__(self, page: Page, units: Units) -> None:
        self.page, self.sheet, self.room, self.units = page, page.sheet, page.room, units
        self.layout = page.layout

    def draw(self) -> None:
        """Ground, answer, contours and numbers; below it the squeezed ground from the ball."""
        sheet = self.sheet
        self.page.map.set_ylim(sheet.window[2], sheet.window[3])
        draw_ground(self.page.map, sheet.pieces, (self.page.across, self.page.along))
        self._shot(self.page.map)
        if self.page.squeezed:
            foot = self.page.axes(*self.layout.foot_frame, "foot")
            foot.set_ylim(self.page.foot_low, sheet.window[2])
            draw_ground(foot, sheet.pieces, (self.page.across, self.page.squeezed))
            self._shot(foot)
            where = "tee" if self.page.from_tee else "ball"
            text = f"from the {where},\n0 to {self.units.whole(sheet.window[2])},\nsqueezed"
            self.page.text(
                self.layout.left - 5.0, 0.5 * sum(self.layout.foot), text, 7.0, color=SOFT_INK, ha="right"
            )
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
        if ax is self.page.map:
            ring = np.vstack((sheet.outline, sheet.outline[:1]))
            ax.plot(*ring.T, color=SHOT, linewidth=2.0, zorder=6, gid="outline")
            ax.add_collection(
                LineCollection(list(sheet.ticks), colors=SHOT, linewidths=1.2, zorder=6, gid="ticks"),
                autolim=False,
            )
            ax.plot(x, y, "+", markersize=12.0, markeredgewidth=2.0, color=INK, zorder=7, gid="aim")
            for other in sheet.aims[1:]:
                ax.plot(
                    *other, "x", markersize=5.0, markeredgewidth=1.1, color=SOFT_INK,
                    zorder=6, gid="alternative",
                )  # fmt: skip
            if hole_in_window(self.page):
                ax.plot(
                    *sheet.hole_at, "o", markersize=5.5, markerfacecolor=PAPER, markeredgecolor=INK,
                    markeredgewidth=1.3, zorder=8, gid="hole-location",
                )  # fmt: skip

    def _obstacles(self) -> None:
        """What labels keep clear of."""
        sheet = self.sheet
        hard, lines = self.room.hard, self.room.lines
        placed = [
            (
                self.page.on_map,
                shapely.box(*self.layout.map_frame),
            )
        ]
        if self.page.squeezed:
            placed.append(
                (
                    self.page.on_foot,
                    shapely.box(*self.layout.foot_frame),
                )
            )
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
            for way, obstacles, wide in ((flight, hard, 2.0), (start, lines, 1.0)):
                visible = shapely.intersection(way, frame)
                obstacles.append(shapely.buffer(visible, wide))
                self.room.paths.append(visible)
            hard.append(shapely.buffer(shapely.Point(to_page([(0.0, 0.0)])[0]), 5.0))
        for _, side, depth in sheet.marks:
            hard.append(shapely.buffer(shapely.Point(self.page.on_map([(side, depth)])[0]), 4.0))
        outline = shapely.LinearRing(self.page.on_map(sheet.outline))
        hard.append(shapely.buffer(outline, 3.0))
        for side, depth in sheet.aims:
            hard.append(shapely.buffer(shapely.Point(self.page.on_map([(side, depth)])[0]), 6.0))
        if hole_in_window(self.page):
            hard.append(shapely.buffer(shapely.Point(self.page.on_map([sheet.hole_at])[0]), 5.0))
        lines += [shapely.LineString(self.page.on_map(c.line)) for c in sheet.contours]

    def _contours(self) -> None:
        """Lines of equal cost with their number in a gap; a line that no number fits is not drawn."""
        frame = self.layout.map_frame
        for level, (width, style) in zip(LEVELS, _LINES, strict=True):
            text = f"{level:.2f}"
            size = self.page.size(text, 8.0)
            lines = sorted(
                (c.line for c in self.sheet.contours if c.level == level),
                key=lambda a: -float(np.ptp(a[:, 1])),
            )
            for line in lines:
                at = self.room.along(self.page.on_map(line), size, frame, apart=110.0)
                if not at and not self._beside(text, line, size, frame):
                    at = self.room.along(self.page.on_map(line), size, frame, apart=110.0, crowded=True)
                    if not at:
                        continue
                gaps = [
                    shapely.box(x - 0.5 * size[0], y - 0.5 * size[1], x + 0.5 * size[0], y + 0.5 * size[1])
                    for x, y in at
                ]
                rest = shapely.difference(
                    shapely.LineString(self.page.on_map(line)), shapely.MultiPolygon(gaps)
                )
                for part in shapely.get_parts(shapely.line_merge(rest)):
                    p = shapely.get_coordinates(part)
                    x = (p[:, 0] - self.layout.left) / self.page.across + self.sheet.window[0]
                    y = (p[:, 1] - self.layout.map[0]) / self.page.along + self.sheet.window[2]
                    self.page.map.plot(
                        x, y, color=INK, linewidth=width, linestyle=style, zorder=4, gid=f"cost-{text}"
                    )
                for x, y in at:
                    self.page.text(x, y, text, 8.0, ha="center", gid="contour-number")

    def _beside(self, text: str, line: Any, size: tuple[float, float], frame: Any) -> bool:
        """Number a small contour beside it, with a leader; False when there is no room."""
        ring = shapely.LineString(self.page.on_map(line))
        at = self.room.beside(ring, size, frame)
        if at is None:
            return False
        self.page.text(*at, text, 8.0, ha="center", gid="contour-number")
        self._leader(at, size, ring)
        return True

    def _numbers(self) -> None:
        """Reach and carry of what is in play, each with where the number comes from."""
        for number in self.sheet.numbers:
            lines = hazard_words(number, self.units)
            if lines:
                self._label(lines, shapely.Polygon(self._placed(number)), squeezed=number.squeezed)

    def _names(self) -> None:
        """Out of bounds, ground not mapped, sight marks, the hole, the start line."""
        sheet = self.sheet
        window = shapely.box(*self.layout.map_frame)
        for surface, text in ((Surface.OUT, "out of\nbounds"), (Surface.OFF_MAP, "not mapped:\nlost")):
            shapes = [
                shapely.Polygon(self.page.on_map(p.rings[0])) for p in sheet.pieces if p.surface == surface
            ]
            visible = [
                s
                for s in (shapely.intersection(shapely.make_valid(s), window) for s in shapes)
                if s.area > 60.0
            ]
            if visible:
                self._name(text, max(visible, key=lambda s: float(s.area)))
        for name, side, depth in sheet.marks:
            at = self.page.on_map([(side, depth)])[0]
            if shapely.contains_xy(window, *at):
                self.page.map.plot(side, depth, "^", markersize=6.0, color=INK, zorder=8, gid="mark")
                if not has_letters(name):
                    self.page.left_out = True  # its sign stays
                    continue
                self._name(name, shapely.buffer(shapely.Point(at), 4.0))
        if np.hypot(*(sheet.start[-1] - sheet.flight[-1])) * self.page.across > 9.0:
            line = shapely.intersection(shapely.LineString(self.page.on_map(sheet.start)), window)
            if not line.is_empty:
                self._name("start line", shapely.buffer(line, 0.5))

    def _placed(self, number: HazardNumber) -> Any:
        return self.page.on_foot(number.outline) if number.squeezed else self.page.on_map(number.outline)

    def _label(self, label: list[tuple[str, bool]], feature: Any, *, squeezed: bool = False) -> None:
        """Numbers beside what they belong to; they stand at the foot of the page where there is no room."""
        frame = self.layout.foot_frame if squeezed else self.layout.map_frame
        lines = [
            (one, 7.0, SOFT_INK) if origin else (one, self.layout.answer_pt, INK) for one, origin in label
        ]
        size = self._block(lines)
        side, depth = self.sheet.aim
        towards = None if squeezed else tuple(self.page.on_map([(side, depth)])[0])
        at = self.room.beside(feature, size, frame, towards)
        if at is None:
            self.page.unplaced.append(" ".join(one for one, _ in label))
        else:
            self._write(lines, at, size)
            self._leader(at, size, feature, shortest=4.0)

    def _name(self, text: str, feature: Any) -> None:
        """A name close by what it belongs to; left out where there is no room."""
        lines = [(one, self.layout.answer_pt, INK) for one in text.split("\n")]
        size = self._block(lines)
        at = self.room.beside(
            feature,
            size,
            self.layout.map_frame,
            furthest=14.0,
        )
        if at is not None:
            self._write(lines, at, size)

    def _block(self, lines: list[tuple[str, float, str]]) -> tuple[float, float]:
        return max(self.page.size(one, pt)[0] for one, pt, _ in lines), sum(1.16 * pt for _, pt, _ in lines)

    def _write(
        self, lines: list[tuple[str, float, str]], at: tuple[float, float], size: tuple[float, float]
    ) -> None:
        y = at[1] + 0.5 * size[1]
        for one, pt, colour in lines:
            self.page.text(at[0], y - 0.58 * pt, one, pt, ha="center", color=colour, gid="label", zorder=9)
            y -= 1.16 * pt

    def _leader(
        self, at: tuple[float, float], size: tuple[float, float], feature: Any, *, shortest: float = 0.0
    ) -> None:
        """A line from a label to what it belongs to, which later labels keep clear of."""
        wide, high = 0.5 * size[0] + 1.5, 0.5 * size[1] + 0.5
        box = shapely.box(at[0] - wide, at[1] - high, at[0] + wide, at[1] + high)
        line = shapely.shortest_line(box, feature)
        if line.length > shortest:
            self.page.line(shapely.get_coordinates(line), linewidth=0.6, color=INK, gid="leader")
            self.room.take(line)
