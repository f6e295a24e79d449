"""Finds the feature of a hole that a measurement names, such as "left bunker 2"."""

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


def find_named_feature(name: str, features: Sequence[NamedFeature], line: FloatArray) -> NamedFeature | str:
    """Find the feature that a name means.

    Parameters
    ----------
    name : str
        The name as written: "near left bunker", "left bunker 2", "water", or the identifier of an outline.
    features : sequence of NamedFeature
        All named features of the hole.
    line : ndarray (n, 2)
        Line of play, for the order of numbered names. [m]

    Returns
    -------
    NamedFeature or str
        The feature; a text that says what is wrong when the name means none, or may mean several.
    """
    wanted = _singular(name)
    exact = [f for f in features if _singular(f.name) == wanted]
    if len(exact) == 1:
        return exact[0]
    with_outline = [f for f in features if any(a.fid.casefold() == name.strip().casefold() for a in f.areas)]
    if len(with_outline) == 1:
        return with_outline[0]
    numbered = _NUMBERED.fullmatch(wanted)
    ending = numbered[1] if numbered else wanted
    # "left bunker" may mean "near left bunker", "first left bunker" and the like.
    candidates = [
        f for f in features if _singular(f.name) == ending or _singular(f.name).endswith(f" {ending}")
    ]
    candidates.sort(
        key=lambda f: float(along_side(line, shapely.get_coordinates(shapely.centroid(f.shape)))[0, 1])
    )
    if numbered and 1 <= int(numbered[2]) <= len(candidates):
        return candidates[int(numbered[2]) - 1]
    if not numbered and len(candidates) == 1:
        return candidates[0]
    if candidates:
        names = ", ".join(normalize_name(f.name) for f in candidates)
        return f"{name!r} may be any of: {names}"
    names = ", ".join(normalize_name(f.name) for f in features)
    return f"there is no {name!r}; named on this hole: {names or 'nothing'}"


def _singular(name: str) -> str:
    """A name in normal form and in the singular: "the left greenside bunkers" is "left greenside bunker"."""
    return re.sub(r"\bbunkers\b", "bunker", normalize_name(name)).strip()
