"""A page and its places: texts and lines anywhere, metres to points on the map; see `layout`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from strategy.plan.drawing.sheet import Sheet
from strategy.report.pictures.fonts import LEFT_OUT, families, has_letters, lettered
from strategy.report.pictures.ground import INK, SOFT_INK
from strategy.report.pictures.labels import Room
from strategy.report.pictures.layout import POINT_M, Layout

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

FOOT_MARGIN: Final = 8.0  # the last line of small print is no nearer to the edge
_MEASURED_PT: Final = 24.0
_MOST_WIDTHS: Final = 20_000
_WIDTHS: Final[dict[tuple[str, str, int], float]] = {}  # of lines and words, from one picture to the next


class Paper:
    """A blank page: texts and lines in points from the lower left corner, in letters that there are.

    Attributes
    ----------
    left_out : bool
        Some name on it has letters that no font has.
    """

    def __init__(self, figure: Figure, layout: Layout) -> None:
        self.figure, self.layout = figure, layout
        self.renderer = figure.canvas.get_renderer()  # type: ignore[attr-defined]
        self.left_out = False

    def text(self, x: float, y: float, text: str, size: float, **how: Any) -> Any:
        """Text at a place of the page."""
        weight = how.get("weight", "normal")
        shown = lettered(text, weight)
        self.left_out |= LEFT_OUT in shown
        how = {"color": INK, "va": "center", "ha": "left", "linespacing": 1.12, **how}
        return self.figure.text(
            x / self.layout.wide,
            y / self.layout.high,
            shown,
            fontsize=size,
            family=families(shown, weight),
            parse_math=False,
            **how,
        )

    def line(self, points: Any, **how: Any) -> None:
        """A line on the page."""
        from matplotlib.lines import Line2D

        x, y = np.asarray(points, dtype=np.float64).T
        how = {"color": SOFT_INK, "linewidth": 0.7, **how}
        self.figure.add_artist(
            Line2D(x / self.layout.wide, y / self.layout.high, transform=self.figure.transFigure, **how)
        )

    def named(self, name: str) -> str:
        """A hole's name before the rest of its title; "" for a name that cannot be drawn."""
        if not name:
            return ""
        self.left_out |= not has_letters(name)
        return f"{name} · " if has_letters(name) else ""

    def size(self, text: str, size: float, weight: str = "normal") -> tuple[float, float]:
        """Width and height of a text. [pt]"""
        lines = text.split("\n")
        return max(self._width(line, weight) for line in lines) * size, 1.2 * len(lines) * size

    def _width(self, line: str, weight: str) -> float:
        """Width of a line for each point of its size: measured once, since letters grow in proportion."""
        key = line, weight, self.layout.dpi
        if key not in _WIDTHS:
            from matplotlib.font_manager import FontProperties

            if len(_WIDTHS) > _MOST_WIDTHS:
                _WIDTHS.clear()
            shown = lettered(line, weight)
            font = FontProperties(size=_MEASURED_PT, weight=weight, family=families(shown, weight))
            wide = self.renderer.get_text_width_height_descent(shown, font, ismath=False)[0]
            _WIDTHS[key] = float(wide) * 72.0 / self.layout.dpi / _MEASURED_PT
        return _WIDTHS[key]

    def wrapped(self, text: str, size: float, wide: float | None = None, weight: str = "normal") -> list[str]:
        """A text in lines that fit a width, by default that of the page.

        Widths of words are added up: measuring every longer line takes most of the time of a picture.
        """
        room = (self.layout.wide - 2.0 * self.layout.margin if wide is None else wide) / size
        gap = self._width("n n", weight) - self._width("nn", weight)
        lines: list[list[str]] = []
        used = 0.0
        for word in filter(None, text.split(" ")):  # what a no-break space holds together stays in one line
            own = self._width(word, weight)
            if lines and used + gap + own <= room:
                lines[-1].append(word)
                used += gap + own
            else:
                lines.append([word])
                used = own
        return [" ".join(line) for line in lines]

    def shrunk(
        self, text: str, largest: float, wide: float, weight: str = "normal", least: float = 4.0
    ) -> float:
        """The largest size at which a line fits a width. [pt]"""
        one = self.size(text, 1.0, weight)[0]
        return float(np.clip(0.5 * np.floor(2.0 * wide / max(one, 1e-9)), least, largest))

    def small_print(self, blocks: Sequence[str], top: float, largest: float) -> None:
        """Texts one below the other down to the foot of the page: whole, wrapped and as large as they fit."""
        wide = self.layout.wide - 2.0 * (self.layout.margin - 4.0)
        for size in np.arange(largest, 2.0, -0.5):
            lines = [self.wrapped(block, size, wide) for block in blocks if block]
            count = sum(map(len, lines))
            fits = all(self._width(word, "normal") * size <= wide for b in blocks for word in b.split(" "))
            step = min(1.45 * size, (top - FOOT_MARGIN) / max(count - 1, 1))
            if fits and step >= 1.2 * size:
                break
        y = top
        for one in (one for block in lines for one in block):
            self.text(self.layout.margin - 4.0, y, one, float(size), color=SOFT_INK, gid="foot")
            y -= step


class Page(Paper):
    """One page under way, with the map of a sheet in its place."""

    def __init__(self, figure: Figure, layout: Layout, sheet: Sheet, *, from_tee: bool) -> None:
        super().__init__(figure, layout)
        self.sheet, self.from_tee = sheet, from_tee
        low, high, short, far = sheet.window
        self.across = (self.layout.right - self.layout.left) / (high - low)
        self.along = (self.layout.map[1] - self.layout.map[0]) / (far - short)
        self.foot_low = -0.09 * short  # room for the ball itself
        self.squeezed = (
            (self.layout.foot[1] - self.layout.foot[0]) / (short - self.foot_low) if short > 0.0 else 0.0
        )
        self.map = self.axes(
            self.layout.left, self.layout.map[0], self.layout.right, self.layout.map[1], "map"
        )
        self.room = Room()
        self.unplaced: list[str] = []  # labels that have no room on the map and stand at the foot
        self.origins: dict[str, str] = {}  # where the numbers of the map come from, and the mark of each

    @property
    def scale(self) -> float:
        """How many times larger the ground is than its map."""
        return 1.0 / (self.along * POINT_M)

    # --- placing -------------------------------------------------------------------------------

    def axes(self, left: float, bottom: float, right: float, top: float, gid: str) -> Axes:
        """Axes as wide as the window of the sheet, so that all of them are in line."""
        box = (
            left / self.layout.wide,
            bottom / self.layout.high,
            (right - left) / self.layout.wide,
            (top - bottom) / self.layout.high,
        )
        ax = self.figure.add_axes(box, gid=gid)
        ax.set_xlim(self.sheet.window[0], self.sheet.window[1])
        ax.set_xticks([])
        ax.set_yticks([])
        for spine in ax.spines.values():
            spine.set(linewidth=0.7, color=SOFT_INK)
        return ax

    def on_map(self, points: Any) -> Any:
        """Metres of the sheet to points of the page, on the map."""
        low, _, short, _ = self.sheet.window
        p = np.asarray(points, dtype=np.float64)
        return np.column_stack(
            (
                self.layout.left + (p[:, 0] - low) * self.across,
                self.layout.map[0] + (p[:, 1] - short) * self.along,
            )
        )

    def on_foot(self, points: Any) -> Any:
        """Metres of the sheet to points of the page, on the squeezed ground."""
        p = np.asarray(points, dtype=np.float64)
        x = self.layout.left + (p[:, 0] - self.sheet.window[0]) * self.across
        return np.column_stack((x, self.layout.foot[0] + (p[:, 1] - self.foot_low) * self.squeezed))
