r"""Hole locations as a pin sheet writes them ("14 on, 5 from the left"), to coordinates and back.

::

              back
          .-----------.             d: unit vector of the last leg of the line of play
         /             |            n: d turned 90 degrees to the right
        |    5  o      |  <- 14 on: cut along n; the side number counts in from that edge
         \             /
          '-----+-----'             + front reference: where "on" counts from
                |  line of play

The form is that of the hole-location sheets of the trade (common practice): depth from the front, side from
the nearer edge, one pace = one yard. Margin: The R&A, "Guidance on Running a Competition", chapter 4, advises
at least four paces from any edge. It is guidance, so a location inside the margin gives a warning and no
error.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from numpy.typing import ArrayLike

from strategy.arrays import FloatArray
from strategy.course.model import Hole
from strategy.course.playline import front_point, last_leg
from strategy.errors import RequestError
from strategy.units import FOOT_M, LENGTHS_M, PACES_M, YARD_M, yards

_NUMBER = r"-?\d+(?:\.\d+)?"
# A pin sheet counts in paces or yards, some in metres; none in feet.
_UNITS: Final = {
    **{word: unit for word, unit in LENGTHS_M.items() if unit != FOOT_M},
    **PACES_M,
    **dict.fromkeys(("y", "p"), YARD_M),
}
_UNIT = rf"(?:{'|'.join(sorted(_UNITS, key=len, reverse=True))})"
_TEXT = re.compile(
    rf"""\s*(?P<on>{_NUMBER})\s*(?P<on_unit>{_UNIT})?\s*(?:on)?\s*[,;/]?\s*
    (?:(?P<centre>centre|center|ctr|middle|c)
     |(?P<side>{_NUMBER})\s*(?P<side_unit>{_UNIT})?\s*(?:in\s+)?(?:from\s+)?(?:the\s+)?(?P<edge>left|right|l|r)(?:\s+edge)?
    )\s*\.?\s*""",
    re.IGNORECASE | re.VERBOSE,
)
_TOUCH_M: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposedPin:
    """A likely hole location.

    Attributes
    ----------
    name : str
        Where on the green ("front left").
    text : str
        As a sheet prints it. `pin_xy` reads it back as `xy`.
    xy : tuple of two floats
        Course frame. [m]
    tough : bool
        True when sand, water or out of bounds is near.
    why : str
        What makes it tough ("water 6 right", in yards); "" for a plain location.
    """

    name: str
    text: str
    xy: tuple[float, float]
    tough: bool
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GreenNumbers:
    """Distances to the front, middle and back of a green from one place, and the size of the green. [m]

    Attributes
    ----------
    front_m, middle_m, back_m : float
        Straight distances to the front reference, to the middle, and to the back on the line of play. [m]
    depth_m : float
        From the front reference to the back along the line of play. [m]
    width_m : float
        Width of the green at its middle. [m]
    """

    front_m: float
    middle_m: float
    back_m: float
    depth_m: float
    width_m: float


def pin_xy(
    hole: Hole,
    line: ArrayLike,
    text: str,
    reference: str = "line of play",
    front_dot: tuple[float, float] | None = None,
) -> tuple[float, float]:
    """Coordinates of a hole location that is written as on a pin sheet.

    Parameters
    ----------
    hole : Hole
        Whose green.
    line : array (n, 2)
        Line of play from the markers in use. [m]
    text : str
        "14 on, 5 from the left", "22 on 4 R", "18 on, centre"; numbers are yards or paces (one pace =
        one yard) unless they say m or metres.
    reference : str
        Where "on" counts from: "line of play", "front-most" or "dot".
    front_dot : tuple of two floats, optional
        The marked dot, for reference "dot". [m]

    Returns
    -------
    tuple of two floats
        x, y. [m]

    Raises
    ------
    RequestError
        If the text cannot be read, or the place is not on the green. The message gives the size of the
        green.
    """
    on_m, side_m, edge = parse_pin(text, hole.label)
    green = _GreenAxes(hole, line, reference, front_dot)
    chord = green.chord(on_m)
    if chord is None:
        low, high = green.span
        ahead = f", and it begins {yards(-low):.0f} ahead of that" if low < -0.5 * YARD_M else ""
        raise RequestError(
            f"hole {hole.label}: {text!r}: the green is {yards(high):.0f} yd deep from its front "
            f"reference{ahead}; give a number on from {_whole_up(low)} to {_whole_down(high)}"
        )
    left, right = chord
    across = {"left": left + side_m, "right": right - side_m, "centre": 0.5 * (left + right)}[edge]
    x, y = green.place(across, on_m)
    if shapely.distance(hole.green, shapely.Point(x, y)) > _TOUCH_M:
        gap = "" if side_m > right - left else ", with ground that is not green between"
        raise RequestError(
            f"hole {hole.label}: {text!r}: not on the green, which is {yards(right - left):.0f} yd wide at "
            f"{yards(on_m):.0f} on{gap}; give a side number that lies on it"
        )
    return (x, y)


def pin_text(
    hole: Hole,
    line: ArrayLike,
    xy: tuple[float, float],
    reference: str = "line of play",
    front_dot: tuple[float, float] | None = None,
) -> str:
    """Write a hole location as on a pin sheet, in whole paces on and from the nearer edge.

    Parameters
    ----------
    hole, line, reference, front_dot
        As for `pin_xy`.
    xy : tuple of two floats
        On the green. [m]

    Returns
    -------
    str
        "14 on, 5 from the left" or "18 on, centre". Reading it back gives a place within half a pace in
        depth and in side.

    Raises
    ------
    RequestError
        If the place is not on the green.
    """
    off = float(shapely.distance(hole.green, shapely.Point(xy)))
    if off > _TOUCH_M:
        raise RequestError(f"hole {hole.label}: the place lies {yards(off):.1f} yd off the green")
    green = _GreenAxes(hole, line, reference, front_dot)
    across, depth = green.axes(xy)
    # The side is measured at the rounded depth, because that is where it is read back.
    whole = round(yards(depth))
    chord = green.chord(whole * YARD_M)
    if chord is None:
        whole += 1 if yards(depth) > whole else -1
        chord = green.chord(whole * YARD_M)
    if chord is None:
        raise RequestError(f"hole {hole.label}: the green is less than a pace deep at {yards(depth):.1f} on")
    left, right = chord
    middle = 0.5 * (left + right)
    from_left, from_right = max(round(yards(across - left)), 0), max(round(yards(right - across)), 0)
    if across <= middle:
        read_back, side_text = left + from_left * YARD_M, f"{from_left} from the left"
    else:
        read_back, side_text = right - from_right * YARD_M, f"{from_right} from the right"
    # The text that reads back nearer to the place is chosen, and "centre" when both are equally near.
    if abs(middle - across) <= abs(read_back - across) + _TOUCH_M:
        side_text = "centre"
    return f"{whole} on, {side_text}"


def parse_pin(text: str, label: str = "?") -> tuple[float, float, str]:
    """Split the text of a sheet into depth [m], side [m], and "left", "right" or "centre".

    >>> parse_pin("10 m on, 4 m from the left")
    (10.0, 4.0, 'left')

    Raises
    ------
    RequestError
        If it cannot be read.
    """
    match = _TEXT.fullmatch(text)
    if match is None:
        raise RequestError(
            f"hole {label}: the hole location {text!r} cannot be read; "
            'write it like "14 on, 5 from the left", "22 on 4 R" or "18 on, centre"'
        )
    on_unit = match["on_unit"]
    on_m = float(match["on"]) * _unit_m(on_unit)
    if match["centre"]:
        return on_m, 0.0, "centre"
    side = float(match["side"])
    if side < 0.0:
        raise RequestError(
            f"hole {label}: {text!r}: {side:g} from the edge is off the green; give a positive number"
        )
    return (
        on_m,
        side * _unit_m(match["side_unit"] or on_unit),
        "left" if match["edge"][0] in "lL" else "right",
    )


def margin_warning(hole: Hole, xy: tuple[float, float], margin_paces: float = 4.0) -> str:
    """Warn when a hole location is nearer to the edge than the guidance margin; "" when it is not.

    Parameters
    ----------
    hole : Hole
        Whose green.
    xy : tuple of two floats
        Hole location. [m]
    margin_paces : float
        Guidance margin, one pace = one yard.
    """
    paces = yards(edge_distance(hole, xy))
    if paces >= margin_paces - 1e-6:
        return ""
    return f"{paces:.1f} paces from the edge of the green; the guidance is {margin_paces:g} or more"


def edge_distance(hole: Hole, xy: tuple[float, float]) -> float:
    """Distance from a place on the green to its nearest edge. [m]"""
    return float(shapely.distance(shapely.boundary(hole.green), shapely.Point(xy)))


def green_numbers(
    hole: Hole,
    line: ArrayLike,
    xy: tuple[float, float],
    reference: str = "line of play",
    front_dot: tuple[float, float] | None = None,
) -> GreenNumbers:
    """Front, middle and back of the green from a place.

    Parameters
    ----------
    hole, line, reference, front_dot
        As for `pin_xy`.
    xy : tuple of two floats
        Where the ball lies. [m]
    """
    green = _GreenAxes(hole, line, reference, front_dot)
    middle = np.asarray(line, dtype=np.float64)[-1]
    across, middle_depth = green.axes((float(middle[0]), float(middle[1])))
    through_middle = shapely.LineString(
        [green.place(across, green.span[0] - 1.0), green.place(across, green.span[1] + 1.0)]
    )
    on_green = shapely.get_coordinates(shapely.intersection(through_middle, hole.green))
    depths = np.array([green.axes((float(x), float(y)))[1] for x, y in on_green] or [middle_depth])
    back = green.place(across, float(depths.max()))
    chord = green.chord(middle_depth) or (0.0, 0.0)
    ball = np.asarray(xy)

    def distance(place: ArrayLike) -> float:
        return float(np.hypot(*(np.asarray(place) - ball)))

    return GreenNumbers(
        front_m=distance(green.front),
        middle_m=distance(middle),
        back_m=distance(back),
        depth_m=float(depths.max()),
        width_m=chord[1] - chord[0],
    )


def whole_places(
    hole: Hole, line: ArrayLike, margin_m: float, reference: str = "line of play"
) -> tuple[list[str], FloatArray]:
    """Every place on the green that a sheet can name in whole paces and that keeps a margin.

    Returns
    -------
    texts : list of str
        The places as a sheet prints them.
    axes : ndarray (K, 4)
        x, y, side from the middle of the green at that depth, depth. [m]
    """
    green = _GreenAxes(hole, line, reference, None)
    # A micrometre less, so that a place exactly four paces from the edge keeps a margin of four.
    inner = shapely.buffer(hole.green, _TOUCH_M - margin_m)
    texts: list[str] = []
    places: list[tuple[float, float, float, float]] = []
    for on in range(_whole_up(green.span[0]), _whole_down(green.span[1]) + 1):
        chord = green.chord(on * YARD_M)
        if chord is None:
            continue
        left, right = chord
        middle, steps = 0.5 * (left + right), int(yards(right - left) / 2.0 + 1e-9)
        sides = [(middle, "centre")]
        sides += [(left + k * YARD_M, f"{k} from the left") for k in range(steps + 1)]
        sides += [(right - k * YARD_M, f"{k} from the right") for k in range(steps + 1)]
        for across, side_text in sides:
            x, y = green.place(across, on * YARD_M)
            texts.append(f"{on} on, {side_text}")
            places.append((x, y, across - middle, on * YARD_M))
    if not places:
        return [], np.empty((0, 4))
    axes = np.array(places)
    inside = shapely.contains_xy(inner, axes[:, 0], axes[:, 1])
    return [text for text, keep in zip(texts, inside, strict=True) if keep], axes[inside]


class _GreenAxes:
    """A green in the axes of the last leg of the line of play: across it, and depth from the front. [m]"""

    def __init__(
        self, hole: Hole, line: ArrayLike, reference: str, front_dot: tuple[float, float] | None
    ) -> None:
        self.shape = hole.green
        self.front = front_point(hole.green, line, reference, front_dot)
        self.ahead, self.right = last_leg(line)
        ring = shapely.get_coordinates(hole.green.exterior) - np.asarray(self.front)
        depth, across = ring @ self.ahead, ring @ self.right
        self.span = (float(depth.min()), float(depth.max()))
        self.half_width = float(np.abs(across).max()) + 1.0

    def axes(self, xy: tuple[float, float]) -> tuple[float, float]:
        offset = np.asarray(xy) - np.asarray(self.front)
        return float(offset @ self.right), float(offset @ self.ahead)

    def place(self, across: float, depth: float) -> tuple[float, float]:
        p = np.asarray(self.front) + across * self.right + depth * self.ahead
        return (float(p[0]), float(p[1]))

    def chord(self, depth: float) -> tuple[float, float] | None:
        """Left and right edge of the green at a depth; None where there is no green. [m]"""
        section = shapely.LineString(
            [self.place(-self.half_width, depth), self.place(self.half_width, depth)]
        )
        on_green = shapely.intersection(section, self.shape)
        if on_green.is_empty:
            return None
        across = (shapely.get_coordinates(on_green) - np.asarray(self.front)) @ self.right
        return float(across.min()), float(across.max())


def _unit_m(unit: str | None) -> float:
    return _UNITS[unit.casefold()] if unit else YARD_M


def _whole_up(metres: float) -> int:
    return int(np.ceil(yards(metres) - 1e-9))


def _whole_down(metres: float) -> int:
    return int(np.floor(yards(metres) + 1e-9))
