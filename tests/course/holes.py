"""A hole made by hand: a line of play due north in the course frame, a green, and what a test adds."""

from __future__ import annotations

import numpy as np
import shapely

from strategy.course.frame import Frame
from strategy.course.model import Area, Hole, Tee


def a_hole(green: shapely.Polygon, areas: tuple[Area, ...] = (), *, length_m: float = 300.0, **given) -> Hole:
    """A par 4 from (0, 0) straight north; `given` are other fields of the hole. [m]"""
    plain = {
        "label": "1",
        "frame": Frame(2.0, 54.5),
        "par": 4,
        "line": np.array([[0.0, 0.0], [0.0, length_m]]),
        "tees": (Tee(name="back", xy=(0.0, 0.0), fid="t"),),
        "mapped": shapely.box(-100.0, -60.0, 100.0, length_m + 100.0),
    }
    return Hole(green=green, areas=tuple(areas), **{**plain, **given})
