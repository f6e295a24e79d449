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

from dataclasses import dataclass
from typing import Final

from strategy.plan.drawing.sheet import MAP_SHAPE

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
    answer_pt : float
        Nothing that answers is smaller. [pt]
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
    answer_pt: float

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

    @property
    def text_bottom(self) -> float:
        """Lower end of the answer. [pt]"""
        return self.map[1] + 19.0


PRINT: Final = Layout(
    inches=(5.5, 9.0), dpi=170, left=86.0, right=342.0, bottom=180.0, foot=(132.0, 176.0),
    strip=(66.0, 108.0), margin=20.0, text_top=599.0, print_top=45.0, answer_pt=9.0,
)  # fmt: skip
LAYOUTS: Final = {"print": PRINT}
