"""The trees of a hole as a map: how high they stand over each cell, and where their branches begin.

Heights, best first: a raster of tree heights above the ground (`canopy.file` of course.toml); what is stated
for the feature, a number or a class; its tag; the default of course.toml. Where nothing is said trees are
taken for medium, scrub and hedges for 3 m (no default counts for them), and the course and every plan say so.

Engineering choices, for nothing published settles them: the classes (`notes.TREE_CLASSES_M`), the 3 m, and
branches that begin at 0.15 of the height, within 1 to 4 m; those of scrub and hedges reach the ground.

Crowns overhang: a cell has its tree whatever the ground under it is. Where woods overlap the highest top and
the lowest branches count.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final, TypedDict

import numpy as np
import shapely
from numpy.typing import NDArray

from strategy.arrays import FloatArray
from strategy.codes import Surface
from strategy.course.maps.surface import SurfaceMap, fill
from strategy.course.model import Area, Feature, HeightSource, Hole
from strategy.course.readers.notes import TREE_CLASSES_M, CourseNotes

if TYPE_CHECKING:
    from strategy.course.height_map import HeightMap

ASSUMED_M: Final = {False: TREE_CLASSES_M["medium"], True: 3.0}  # by Area.low
NO_TREE_M: Final = 2.0  # lower than this in a raster is grass or a bush
_BRANCHES: Final = 0.15
_BRANCHES_M: Final = (1.0, 4.0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CanopyMap:
    """Trees of one hole on the cells of its surface map.

    Attributes
    ----------
    top, base : ndarray of float32 (ny, nx)
        Top of the crown and its lowest branches above the ground there; both 0 where no tree stands. [m]
    """

    top: NDArray[np.float32]
    base: NDArray[np.float32]


def canopy_map(hole: Hole, ground: SurfaceMap) -> CanopyMap | None:
    """Trees of a hole on the cells of its surface map; None when none stand there.

    Maps are remembered: rounds and hole locations share one.

    Parameters
    ----------
    hole : Hole
        With its areas and, if there is one, its raster of treetops.
    ground : SurfaceMap
        Of the same hole.
    """
    woods = tuple(area for area in hole.areas if area.surface == Surface.TREES)
    if not woods:
        return None
    said = tuple((a.height_m, a.base_m, a.low) for a in woods)
    shapes = tuple(shapely.to_wkb([a.shape for a in woods]))
    return _drawn(_Woods(ground, woods, hole.treetops, (said, shapes)))


class Standing(TypedDict):
    """What is said of the trees of one feature; fields of `Area`."""

    height_m: float | None
    base_m: float | None
    height_source: HeightSource
    low: bool


def standing(feature: Feature, notes: CourseNotes, tagged_m: float | None) -> Standing:
    """What is said of the trees of one feature, in the order of the module docstring.

    Parameters
    ----------
    tagged_m : float or None
        Height in its tags. [m]
    """
    low = feature.tags.get("natural") == "scrub" or feature.tags.get("barrier") == "hedge"
    height, key = tagged_m, None
    if feature.fid in notes.tree_heights:
        key = feature.fid
    elif tagged_m is None and not low and "default" in notes.tree_heights:
        key = "default"
    said: HeightSource = "assumed" if height is None else "given"
    if key is not None:
        height = notes.heights_m[key]
        said = "class" if notes.tree_heights[key] in TREE_CLASSES_M else "given"
    base = notes.branches_m.get(feature.fid, None if low else notes.branches_m.get("default"))
    return Standing(height_m=height, base_m=base, height_source=said, low=low)


def top_m(area: Area) -> float:
    """How high an area of trees is taken to stand. [m]"""
    return ASSUMED_M[area.low] if area.height_m is None else area.height_m


def base_m(area: Area, top: FloatArray) -> FloatArray:
    """Where the branches of trees with these tops begin. [m]"""
    usual = np.zeros_like(top) if area.low else np.minimum(np.clip(_BRANCHES * top, *_BRANCHES_M), top)
    # Branches above the top are said of other trees: a default, or a raster lower than its caddie thinks.
    return usual if area.base_m is None else np.where(area.base_m < top, area.base_m, usual)


def over(shape: shapely.Geometry, raster: HeightMap) -> NDArray[np.float32]:
    """Heights of a raster at its cells inside a shape (K,), nan where it has none. [m]"""
    rows, cols, mask = fill(shape, raster.corner, raster.cell_m, raster.heights.shape)
    return raster.heights[rows, cols][mask]


class _Woods:
    """Woods under the name of what they are; a raster of treetops is the same only if it is the same one."""

    __slots__ = ("cell_m", "corner", "key", "size", "treetops", "woods")

    def __init__(
        self, ground: SurfaceMap, woods: tuple[Area, ...], treetops: HeightMap | None, said: object
    ) -> None:
        ny, nx = ground.codes.shape
        self.corner, self.cell_m, self.size = ground.corner, ground.cell_m, (ny, nx)
        self.woods, self.treetops = woods, treetops
        self.key = (self.corner, self.cell_m, self.size, said)

    def __hash__(self) -> int:
        return hash(self.key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Woods) and self.key == other.key and self.treetops is other.treetops


@lru_cache(maxsize=2)
def _drawn(what: _Woods) -> CanopyMap | None:
    corner, cell_m, size = what.corner, what.cell_m, what.size
    tops = None if what.treetops is None else what.treetops.on_grid(corner, size, cell_m).heights
    top = np.zeros(size, dtype=np.float32)
    base = np.full(size, np.inf, dtype=np.float32)
    for area in what.woods:
        rows, cols, mask = fill(area.shape, corner, cell_m, size)
        high = np.full(mask.shape, top_m(area))
        if tops is not None:
            measured = tops[rows, cols].astype(np.float64)
            high = np.where(np.isnan(measured), high, np.where(measured < NO_TREE_M, 0.0, measured))
        stands = mask & (high > 0.0)
        here, low = top[rows, cols], base[rows, cols]
        here[stands] = np.maximum(here[stands], high[stands])
        low[stands] = np.minimum(low[stands], base_m(area, high[stands]))
    if not top.any():
        return None
    base[top == 0.0] = 0.0
    top.setflags(write=False)
    base.setflags(write=False)
    return CanopyMap(top=top, base=base)
