"""From the words of a measurement to what it means on a hole: who is "left bunker 2"?"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

import shapely

from strategy.arrays import FloatArray
from strategy.course.edges import normalize_name
from strategy.course.named_features import NamedFeature
from strategy.course.playline import along_side

_NUMBERED: Final = re.compile(r"(.+?) (\d+)")


def find_named_feature(name: str, there: Sequence[NamedFeature], line: FloatArray) -> NamedFeature | str:
    """The thing of a hole that is called so, or what is wrong with the name.

    Parameters
    ----------
    name : str
        As written: "near left bunker", "left bunker 2", "water", or the id of a feature.
    there : sequence of NamedFeature
        Everything with a name on the hole.
    line : ndarray (n, 2)
        Line of play, for the order. [m]
    """
    wanted = _plain(name)
    exact = [t for t in there if _plain(t.name) == wanted]
    if len(exact) == 1:
        return exact[0]
    own = [t for t in there if any(a.fid.casefold() == name.strip().casefold() for a in t.areas)]
    if len(own) == 1:
        return own[0]
    numbered = _NUMBERED.fullmatch(wanted)
    family = numbered[1] if numbered else wanted
    # "left bunker" stands for "near left bunker", "first left bunker" and the like.
    alike = [t for t in there if _plain(t.name) == family or _plain(t.name).endswith(f" {family}")]
    alike.sort(
        key=lambda t: float(along_side(line, shapely.get_coordinates(shapely.centroid(t.shape)))[0, 1])
    )
    if numbered and 1 <= int(numbered[2]) <= len(alike):
        return alike[int(numbered[2]) - 1]
    if not numbered and len(alike) == 1:
        return alike[0]
    if alike:
        names = ", ".join(normalize_name(t.name) for t in alike)
        return f"{name!r} may be any of: {names}"
    names = ", ".join(normalize_name(t.name) for t in there)
    return f"there is no {name!r}; named on this hole: {names or 'nothing'}"


def _plain(name: str) -> str:
    """A name without article and plural: "the left greenside bunkers" is "left greenside bunker"."""
    return re.sub(r"\bbunkers\b", "bunker", normalize_name(name)).strip()
