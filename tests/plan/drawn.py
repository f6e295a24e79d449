"""A straight par 4 of 400 yd due north, drawn in yards: (right of the line, off the tee)."""

from __future__ import annotations

import numpy as np
import shapely

from strategy.codes import Surface
from strategy.course.model import Area
from strategy.course.origin import Origin
from strategy.units import YARD_M
from tests.course.holes import a_hole


def box(west, south, east, north):
    return shapely.box(*(v * YARD_M for v in (west, south, east, north)))


def sand(west, south, east, north, fid="s", origin=Origin.TRACED):
    return Area(surface=Surface.BUNKER, shape=box(west, south, east, north), fid=fid, origin=origin)


def water(west, south, east, north, fid="w"):
    return Area(surface=Surface.RED, shape=box(west, south, east, north), fid=fid)


def trees(west, south, east, north, fid="t"):
    return Area(surface=Surface.TREES, shape=box(west, south, east, north), fid=fid)


def straight(*areas, fairway=(-15, 15), marks=(), length=400):
    """The hole: fairway from 150 off the tee to the green, which is 28 wide and 30 deep."""
    middle = np.array([0.0, length * YARD_M])
    turn = np.linspace(0, 2 * np.pi, 60, endpoint=False)
    green = shapely.Polygon(np.column_stack((14 * np.sin(turn), 15 * np.cos(turn))) * YARD_M + middle)
    grass = ()
    if fairway is not None:
        grass = (Area(surface=Surface.FAIRWAY, shape=box(fairway[0], 150, fairway[1], length - 15), fid="f"),)
    return a_hole(
        green,
        (*grass, *areas, Area(surface=Surface.GREEN, shape=green, fid="g")),
        length_m=length * YARD_M,
        mapped=box(-120, -60, 120, length + 80),
        out_of_bounds=shapely.Polygon(),
        rough_known=True,
        sight_marks=tuple((name, x * YARD_M, y * YARD_M) for name, x, y in marks),
    )
