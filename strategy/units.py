"""Exact conversion constants: SI and degrees inside, yards, feet and mph only at the edges.

Source: the international yard and pound agreement of 1959 (1 yd = 0.9144 m exactly).
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

YARD_M: Final = 0.9144
FOOT_M: Final = 0.3048
INCH_M: Final = 0.0254
MPH_MPS: Final = 0.44704
INHG_HPA: Final = 33.8639  # an inch of mercury
RPM_RAD_S: Final = 3.141592653589793 / 30.0

# Words for units of length, in lower case, as files and commands write them.
LENGTHS_M: Final[Mapping[str, float]] = MappingProxyType(
    {
        **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), 1.0),
        **dict.fromkeys(("yd", "yds", "yard", "yards"), YARD_M),
        **dict.fromkeys(("ft", "foot", "feet"), FOOT_M),
    }
)
# What is walked is counted in paces of a yard (common practice).
PACES_M: Final[Mapping[str, float]] = MappingProxyType(dict.fromkeys(("pace", "paces"), YARD_M))


def yards(metres: float) -> float:
    """Metres as yards.

    >>> yards(91.44)
    100.0
    """
    return metres / YARD_M


def metres(yd: float) -> float:
    """Yards as metres.

    >>> metres(100)
    91.44
    """
    return yd * YARD_M
