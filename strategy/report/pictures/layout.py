"""Sizes of a page and where its parts stand, in points (1/72 in) from the lower left corner.

::

    high  +---------------------------+
          | hole, wind                |
          | sentences                 |
    map   |   :  +-----------+  :     |   ruler, map, ruler
          |   :  |           |  :     |
    foot  |      +-----------+        |   the ground between ball and map, squeezed
    strip |      +-----------+        |   cost against left and right
          | signs, Rules, credit      |
       0  +------left-------right-----+ wide
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Final

from strategy.plan.drawing.sheet import MAP_SHAPE
from strategy.units import INCH_M

POINT_M: Final = INCH_M / 72.0
_SMALLER: Final = 1.01  # a printer is not exact

Span = tuple[float, float]  # lower and upper end [pt]
Frame = tuple[float, float, float, float]  # left, bottom, right, top [pt]


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """One size of picture.

    Attributes
    ----------
    inches : tuple of two floats
        Width and height of the page.
    dpi : int
        Dots an inch of the file.
    left, right : float
        Sides of map, squeezed ground and strip. [pt]
    bottom : float
        Of the map, whose height follows from its width. [pt]
    foot, strip : tuple of two floats
        Squeezed ground, and cost strip. [pt]
    margin : float
        Of texts at the left and right edge. [pt]
    text_top : float
        Upper end of the answer. [pt]
    print_top : float
        First line of the small print. [pt]
    number_pt, title_pt : float
        Hole number, and the line beside it. [pt]
    headline_pt : tuple of floats
        Sizes of club, number and aim, the largest first; the sentences below have half of it. [pt]
    answer_pt : float
        Nothing that answers is smaller. [pt]
    scale_pt : float
        Numbers of rulers, strip and contours. [pt]
    print_pt : float
        Small print at most. [pt]
    carried : bool
        It is meant to be carried in a round: no green may be larger than the Rules allow.
    """

    inches: tuple[float, float]
    dpi: int
    left: float
    right: float
    bottom: float
    foot: Span
    strip: Span
    margin: float
    text_top: float
    print_top: float
    number_pt: float
    title_pt: float
    headline_pt: tuple[float, ...]
    answer_pt: float
    scale_pt: float
    print_pt: float
    carried: bool = False

    @property
    def wide(self) -> float:
        """Width of the page. [pt]"""
        return self.inches[0] * 72.0

    @property
    def high(self) -> float:
        """Height of the page. [pt]"""
        return self.inches[1] * 72.0

    @property
    def map(self) -> Span:
        """Lower and upper end of the map. [pt]"""
        return self.bottom, self.bottom + (self.right - self.left) * MAP_SHAPE

    @property
    def map_frame(self) -> Frame:
        """Edges of the map."""
        return self.left, self.map[0], self.right, self.map[1]

    @property
    def foot_frame(self) -> Frame:
        """Edges of the squeezed ground."""
        return self.left, self.foot[0], self.right, self.foot[1]

    def no_larger(self, deep_m: float, scale: float) -> Layout:
        """The same with a smaller map where ground so deep would be larger than 1 to `scale` on it. [m]"""
        most = deep_m / (_SMALLER * scale * POINT_M)
        if most >= self.map[1] - self.map[0]:
            return self
        return dataclasses.replace(self, right=self.left + most / MAP_SHAPE)

    @property
    def text_bottom(self) -> float:
        """Lower end of the answer. [pt]"""
        return self.map[1] + 2.0 * self.scale_pt


PRINT: Final = Layout(
    inches=(5.5, 9.0), dpi=170, left=86.0, right=334.0, bottom=166.0, foot=(124.0, 162.0),
    strip=(64.0, 100.0), margin=20.0, text_top=600.0, print_top=45.0, number_pt=36.0, title_pt=14.0,
    headline_pt=(22.0, 20.0, 18.0), answer_pt=9.0, scale_pt=8.0, print_pt=7.0,
)  # fmt: skip
# One point is one pixel of a screen 390 wide, drawn twice as fine.
PHONE: Final = Layout(
    inches=(390.0 / 72.0, 780.0 / 72.0), dpi=144, left=86.0, right=336.0, bottom=204.0, foot=(156.0, 200.0),
    strip=(82.0, 122.0), margin=14.0, text_top=712.0, print_top=56.0, number_pt=42.0, title_pt=16.0,
    headline_pt=(26.0, 24.0), answer_pt=12.0, scale_pt=10.5, print_pt=9.0,
)  # fmt: skip
# The R&A and USGA, Rule 4.3a, clarification on green-reading materials: a page of 4.25 x 7 in at most.
CARRY: Final = Layout(
    inches=(4.25, 7.0), dpi=220, left=72.0, right=246.0, bottom=128.0, foot=(98.0, 125.0),
    strip=(56.0, 79.0), margin=12.0, text_top=458.0, print_top=38.0, number_pt=26.0, title_pt=11.0,
    headline_pt=(18.0,), answer_pt=9.0, scale_pt=7.5, print_pt=6.0, carried=True,
)  # fmt: skip
LAYOUTS: Final = {"print": PRINT, "phone": PHONE, "carry": CARRY}
