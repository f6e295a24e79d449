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
from strategy.report.pictures.labels import FURTHEST, Place, box_at
from strategy.report.pictures.page import Page
from strategy.report.words.lengths import Units
from strategy.report.words.picture_words import RulerAnswer, hazard_words, origin_marks
from strategy.units import YARD_M

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes

# Width and dashes of `LEVELS`: all of them lighter than the outline of the spread and the sign of the aim.
_LINES: Final = ((0.9, "-"), (0.8, (0, (7, 2))), (0.8, (0, (3, 2))), (0.9, (0, (1, 1.8))))
LINE_NAMES: Final = ("solid", "long dashes", "dashes", "dots")
LINE_INK: Final = "#6b6f70"
OUTLINE_PT: Final = 2.0
AIM_PT: Final = 2.2
_SIGN_M: Final = 1.5 * YARD_M  # room that the sign of the hole needs
_AIM_CLEAR: Final = 10.0  # round the aim no label stands [pt]
_AIM_LED_BY: Final = 7.5  # and no leader runs [pt]
_SIGN_CLEAR: Final = 4.0  # round the other signs [pt]
_NUMBER_FAR: Final = 26.0  # a number is no further from a line of cost that it does not fit on [pt]
_NAME_FAR: Final = 70.0  # a name is no further from an aim [pt]


def draw_map(page: Page, units: Units, answers: Sequence[RulerAnswer] = ()) -> None:
    """Draw the map of a page and what is written on it; `answers` name the aims."""
    _Map(page, units).draw(answers)


def hole_in_window(page: Page) -> bool:
    """Whether the hole itself is on the map, with room for its sign."""
    low, high, short, far = page.sheet.window
    side, depth = page.sheet.hole_at
    return low + _SIGN_M < side < high - _SIGN_M and short + _SIGN_M < depth < far - _SIGN_M


class _Map:
    """The map of a page under way."""

    def __init__(self, page: Page, units: Units) -> None:
        self.page, self.sheet, self.room, self.units = page, page.sheet, page.room, units
        self.lay = page.layout

    def draw(self, answers: Sequence[RulerAnswer]) -> None:
        """Ground, answer, contours and numbers; below it the squeezed ground from the ball."""
        sheet, lay = self.sheet, self.lay
        self.page.map.set_ylim(sheet.window[2], sheet.window[3])
        draw_ground(self.page.map, sheet.pieces, (self.page.across, self.page.along))
        self._shot(self.page.map)
        if self.page.squeezed:
            foot = self.page.axes(*lay.foot_frame, "foot")
            foot.set_ylim(self.page.foot_low, sheet.window[2])
            draw_ground(foot, sheet.pieces, (self.page.across, self.page.squeezed))
            self._shot(foot)
            where = "tee" if self.page.from_tee else "ball"
            text = f"from the {where},\n0 to {self.units.whole(sheet.window[2])},\nsqueezed"
            size = lay.scale_pt - 1.0
            self.page.text(lay.left - 5.0, 0.5 * sum(lay.foot), text, size, color=SOFT_INK, ha="right")
        self._obstacles()
        left = self._contours()
        self._numbers()
        self._alternatives(answers)
        for level, line in left:
            self._beside(level, line)
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
            ax.plot(*ring.T, color=SHOT, linewidth=OUTLINE_PT, zorder=6, gid="outline")
            ax.add_collection(
                LineCollection(list(sheet.ticks), colors=SHOT, linewidths=1.2, zorder=6, gid="ticks"),
                autolim=False,
            )
            ax.plot(x, y, "+", markersize=13.0, markeredgewidth=AIM_PT, color=INK, zorder=7, gid="aim")
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

    def _point(self, side: float, depth: float) -> tuple[float, float]:
        x, y = self.page.on_map([(side, depth)])[0]
        return float(x), float(y)

    def _sign(self, side: float, depth: float, clear: float) -> shapely.Geometry:
        return shapely.buffer(shapely.Point(self._point(side, depth)), clear)

    def _obstacles(self) -> None:
        """What labels keep clear of."""
        sheet, room = self.sheet, self.room
        placed = [(self.page.on_map, shapely.box(*self.lay.map_frame))]
        if self.page.squeezed:
            placed.append((self.page.on_foot, shapely.box(*self.lay.foot_frame)))
        for to_page, frame in placed:
            for piece in sheet.pieces:
                outer, *inner = (to_page(r) for r in piece.rings)
                shape = shapely.intersection(shapely.make_valid(shapely.Polygon(outer, inner)), frame)
                if shape.is_empty or piece.surface == Surface.ROUGH:
                    continue
                if piece.surface in (Surface.FAIRWAY, Surface.FIRST_CUT, Surface.TEE, Surface.GREEN):
                    room.edges.append(shapely.boundary(shape))
                else:
                    room.hard.append(shape)
            flight = shapely.LineString(to_page(np.vstack((sheet.flight, sheet.aim))))
            start = shapely.LineString(to_page(sheet.start))
            for way, wide in ((flight, 2.0), (start, 1.5)):
                visible = shapely.intersection(way, frame)
                room.hard.append(shapely.buffer(visible, wide))
                room.paths.append(visible)
            room.hard.append(shapely.buffer(shapely.Point(to_page([(0.0, 0.0)])[0]), 5.0))
        room.hard += [self._sign(side, depth, 4.0) for _, side, depth in sheet.marks]
        room.hard.append(shapely.buffer(shapely.LinearRing(self.page.on_map(sheet.outline)), 3.0))
        room.hard.append(self._sign(*sheet.aim, _AIM_CLEAR))
        room.signs.append(self._sign(*sheet.aim, _AIM_LED_BY))
        room.signs += [self._sign(*other, _SIGN_CLEAR) for other in sheet.aims[1:]]
        if hole_in_window(self.page):
            room.signs.append(self._sign(*sheet.hole_at, _SIGN_CLEAR))
        room.lines += [shapely.LineString(self.page.on_map(c.line)) for c in sheet.contours]

    def _contours(self) -> list[tuple[str, Any]]:
        """Lines of equal cost, each level with its number in a gap; gives those with no room for it."""
        left = []
        for level, look in zip(LEVELS, _LINES, strict=True):
            text = f"{level:.2f}"
            size = self.page.size(text, self.lay.scale_pt)
            lines = [self.page.on_map(c.line) for c in self.sheet.contours if c.level == level]
            lines.sort(key=lambda a: -float(np.ptp(a[:, 1])))
            numbered, at = self._first_along(lines, size)
            for k, line in enumerate(lines):
                drawn = shapely.LineString(line)
                if at is not None and k == numbered:
                    drawn = shapely.difference(drawn, box_at(at, size))
                self._line(text, drawn, look)
            if at is not None:
                self._scale_text(at, text)
            elif lines:
                left.append((text, lines[0]))
        return left

    def _first_along(
        self, lines: list[Any], size: tuple[float, float]
    ) -> tuple[int, tuple[float, float] | None]:
        """The first line with room for its number, and where."""
        for crowded in (False, True):
            for k, line in enumerate(lines):
                at = self.room.along(line, size, self.lay.map_frame, crowded=crowded)
                if at is not None:
                    return k, at
        return 0, None

    def _line(self, text: str, drawn: shapely.Geometry, look: Any) -> None:
        width, style = look
        for part in shapely.get_parts(
            shapely.line_merge(drawn) if drawn.geom_type != "LineString" else drawn
        ):
            p = shapely.get_coordinates(part)
            x = (p[:, 0] - self.lay.left) / self.page.across + self.sheet.window[0]
            y = (p[:, 1] - self.lay.map[0]) / self.page.along + self.sheet.window[2]
            self.page.map.plot(
                x, y, color=LINE_INK, linewidth=width, linestyle=style, zorder=4, gid=f"cost-{text}"
            )

    def _scale_text(self, at: tuple[float, float], text: str) -> None:
        self.page.text(*at, text, self.lay.scale_pt, ha="center", gid="contour-number")

    def _beside(self, text: str, line: Any) -> None:
        """Number a small contour beside it, with a leader."""
        size = self.page.size(text, self.lay.scale_pt)
        place = self.room.beside(
            shapely.LineString(line), size, self.lay.map_frame, furthest=_NUMBER_FAR, led=True
        )
        if place is not None:  # else the foot says which line it is
            self._scale_text(place.at, text)
            self._leader(place, LINE_INK)

    def _alternatives(self, answers: Sequence[RulerAnswer]) -> None:
        """The names of the other aims, close by their signs."""
        for (side, depth), answer in zip(self.sheet.aims[1:], answers[1:], strict=False):
            low, high, short, long = self.sheet.window
            if not (low < side < high and short < depth < long):
                continue
            same = [a.shot for a in answers if a.shot[:1] == answer.shot[:1]]
            words = answer.shot if len(same) > 1 else answer.shot[:1]
            sign = self._sign(side, depth, _SIGN_CLEAR)
            for text, far in ((" ".join(words), _NAME_FAR), ("\n".join(words), FURTHEST)):
                if self._name(text, sign, far, led=True, colour=SOFT_INK):
                    break

    def _numbers(self) -> None:
        """Reach and carry of what is in play, marked where they do not come from where the rest does."""
        said = [(number, hazard_words(number, self.units)) for number in self.sheet.numbers]
        self.page.origins = origin_marks([origin for _, lines in said for _, origin in lines])
        for number, lines in said:
            if lines:
                words = [f"{line}{self.page.origins[origin]}" for line, origin in lines]
                self._label(words, number)

    def _names(self) -> None:
        """Out of bounds, ground not mapped, sight marks, the hole, the start line."""
        sheet = self.sheet
        window = shapely.box(*self.lay.map_frame)
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
            at = self._point(side, depth)
            if shapely.contains_xy(window, *at):
                self.page.map.plot(side, depth, "^", markersize=6.0, color=INK, zorder=8, gid="mark")
                if not has_letters(name):
                    self.page.left_out = True  # its sign stays
                    continue
                self._name(name, shapely.buffer(shapely.Point(at), 4.0))
        if np.hypot(*(sheet.start[-1] - sheet.flight[-1])) * self.page.across > 9.0:
            line = shapely.intersection(shapely.LineString(self.page.on_map(sheet.start)), window)
            if not line.is_empty:
                self._name("start line", shapely.buffer(line, 1.5))

    def _label(self, lines: list[str], number: HazardNumber) -> None:
        """Numbers beside what they belong to; they stand at the foot of the page where there is no room."""
        squeezed = number.squeezed
        to_page = self.page.on_foot if squeezed else self.page.on_map
        frame = self.lay.foot_frame if squeezed else self.lay.map_frame
        feature = shapely.Polygon(to_page(number.outline))
        size = self._block(lines)
        towards = None if squeezed else self._point(*self.sheet.aim)
        place = self.room.beside(feature, size, frame, towards, led=True)
        if place is None and len(lines) > 1:
            lines = [", ".join(lines)]
            size = self._block(lines)
            place = self.room.beside(feature, size, frame, towards, led=True)
        if place is None:
            self.page.unplaced.append(f"{number.what} {', '.join(lines)}")
        else:
            self._write(lines, place.at, size)
            self._leader(place, INK)

    def _name(
        self, text: str, feature: Any, furthest: float = 14.0, *, led: bool = False, colour: str = INK
    ) -> bool:
        """A name close by what it belongs to; False, and left out, where there is no room."""
        lines = text.split("\n")
        size = self._block(lines)
        shun = self._point(*self.sheet.aim) if led else None
        place = self.room.beside(feature, size, self.lay.map_frame, shun=shun, furthest=furthest, led=led)
        if place is not None:
            self._write(lines, place.at, size, colour)
            if led:
                self._leader(place, colour)
        return place is not None

    def _block(self, lines: list[str]) -> tuple[float, float]:
        pt = self.lay.answer_pt
        return max(self.page.size(one, pt)[0] for one in lines), 1.16 * pt * len(lines)

    def _write(
        self, lines: list[str], at: tuple[float, float], size: tuple[float, float], colour: str = INK
    ) -> None:
        pt = self.lay.answer_pt
        y = at[1] + 0.5 * size[1]
        for one in lines:
            self.page.text(at[0], y - 0.58 * pt, one, pt, ha="center", color=colour, gid="label", zorder=9)
            y -= 1.16 * pt

    def _leader(self, place: Place, colour: str) -> None:
        """A line from a label to what it belongs to."""
        if place.leader is not None:
            self.page.line(shapely.get_coordinates(place.leader), linewidth=0.6, color=colour, gid="leader")
