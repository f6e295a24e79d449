"""Trouble of the advised shot: what it clears and by how much, what it does not clear, what it cannot reach.

Numbers are those that `numbers` prints (`hazards.shot_numbers`). A thing is looked at where it comes nearer
to the shot's line than a ball may stray: 15 yards for sand, 30 for water and out of bounds.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
import shapely

from strategy.arrays import FloatArray
from strategy.codes import Spot
from strategy.course.origin import Origin
from strategy.course.playline import line_from
from strategy.decide import Option
from strategy.plan.advice.hazards import ALONG_M, OVER_M, WATER_M, shot_kind, shot_numbers
from strategy.plan.advice.landmarks import Surroundings
from strategy.plan.advice.quotes import BESIDE_M
from strategy.plan.quoted import Trouble
from strategy.units import YARD_M

CLEAR_M: Final = 25.0 * YARD_M  # what is cleared by more is not thought of
REACHED_M: Final = 10.0 * YARD_M  # so far past its finish a good ball still runs
BEYOND_M: Final = 25.0 * YARD_M  # what begins further past the finish is not thought of
_LONG_M: Final = 200.0 * YARD_M  # of a shot at the green that has the whole hole in play
_FROM_M: Final = 15.0  # in front of the ball
_PIECE_M: Final = 40.0 * YARD_M  # of the landing, before and behind, where out of bounds counts


def troubles(
    around: Surroundings, spot: Spot, option: Option, run_m: float, *, at_green: bool
) -> tuple[Trouble, ...]:
    """Trouble of one shot: first what it clears, the least room first, then what it does not.

    Parameters
    ----------
    around : Surroundings
        Of the hole and its line of play.
    spot : Spot
        Where the ball is.
    option : Option
        As judged; its aim is where a well-struck ball finishes.
    run_m : float
        Run of that ball. [m]
    at_green : bool
        Whether it plays at the green. Of a shot of less than 200 yards only what it carries is then given:
        `misses` has the rest.
    """
    approach = at_green and option.carry_m < _LONG_M
    found = [*_things(around, spot, option, run_m, approach)]
    if not at_green:
        found += _out(around, spot, option, run_m)
    rank = {"cleared": 0, "open": 1, "beyond": 2}
    return tuple(sorted(found, key=lambda t: (rank[t.state], t.room_m or 0.0, t.reach_m or 0.0, t.what)))


def _things(
    around: Surroundings, spot: Spot, option: Option, run_m: float, approach: bool
) -> Iterator[Trouble]:
    start, ahead = np.array([spot.x, spot.y]), _ahead(spot, option)
    distance = option.carry_m + run_m
    line = line_from(around.hole.line, (spot.x, spot.y))
    widths = {"sand": OVER_M if approach else BESIDE_M, "water": OVER_M if approach else WATER_M}
    for thing in around.features:
        if thing.kind not in widths:
            continue
        strip = shapely.LineString([start + _FROM_M * ahead, start + (distance + BEYOND_M) * ahead])
        wide = shapely.buffer(strip, widths[thing.kind], cap_style="flat")
        piece = shapely.intersection(thing.shape, wide)
        if piece.is_empty:
            continue
        numbers = shot_numbers(around.hole, thing, line, option.aim)
        kind = shot_kind(numbers, option.carry_m)
        near = None if numbers.reach is None else numbers.reach.value_m
        far = None if numbers.carry is None else numbers.carry.value_m
        room = None
        match kind:
            case "carry" if far is not None and option.carry_m - far <= CLEAR_M:
                state, room = "cleared", option.carry_m - far
            case "carry":
                continue
            case "reach" if near is not None and near > distance + REACHED_M:
                if near > distance + BEYOND_M:
                    continue
                state = "beyond"
            case _:
                state = "open"
        if approach and state != "cleared":
            continue
        yield Trouble(
            what=thing.name.removeprefix("the "),
            kind=thing.kind,
            side=_side(piece, start, ahead),
            state=state,
            reach_m=near,
            carry_m=far,
            room_m=room,
            along=kind == "along",
            origin=thing.origin,
        )


def _out(around: Surroundings, spot: Spot, option: Option, run_m: float) -> Iterator[Trouble]:
    """Out of bounds beside the landing, once a side."""
    out = around.hole.out_of_bounds
    if out is None:
        return
    start, ahead = np.array([spot.x, spot.y]), _ahead(spot, option)
    right = np.array([ahead[1], -ahead[0]])
    low, high = option.carry_m - _PIECE_M, option.carry_m + run_m + _PIECE_M
    for side, across in (("left", -right), ("right", right)):
        corners = [start + low * ahead, start + high * ahead]
        box = shapely.Polygon([*corners, corners[1] + WATER_M * across, corners[0] + WATER_M * across])
        piece = shapely.intersection(out, box)
        if piece.is_empty:
            continue
        along = (shapely.get_coordinates(piece) - start) @ ahead
        yield Trouble(
            what="out of bounds",
            kind="out",
            side=side,
            state="open",
            reach_m=None,
            carry_m=None,
            room_m=None,
            along=float(np.ptp(along)) > ALONG_M,
            origin=str(Origin.TRACED),
        )


def _ahead(spot: Spot, option: Option) -> FloatArray:
    out = np.asarray(option.aim) - (spot.x, spot.y)
    return np.asarray(out / max(float(np.hypot(*out)), 1e-9))


def _side(piece: shapely.Geometry, start: FloatArray, ahead: FloatArray) -> str:
    """On which side of the shot's line a thing lies; "" where the line crosses it."""
    across = (shapely.get_coordinates(piece) - start) @ np.array([ahead[1], -ahead[0]])
    if float(across.min()) < 0.0 < float(across.max()):
        return ""
    return "right" if float(across.mean()) > 0.0 else "left"
