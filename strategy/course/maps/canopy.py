"""A map of the trees of a hole: the height of the trees in each cell, and where their branches begin.

The height of trees is taken from the first of these that gives one:

1. a raster of tree heights above the ground (`canopy.file` in course.toml);
2. course.toml, which states a number or a class for the feature;
3. the tag of the feature;
4. the default in course.toml, but not for scrub and hedges;
5. an assumption: medium for trees, 3 m for scrub and hedges. The course and every plan report it.

Nothing published settles the following, so they are engineering choices: the classes
(`strategy.course.model.TREE_CLASSES_M`), the 3 m, and branches that begin at 0.15 of the height,
within 1 to 4 m. Branches of scrub and hedges reach the ground.

Crowns hang over the ground beside the trees, so a cell has a tree whatever its surface is. Where areas of
trees overlap, the highest top and the lowest branches count.
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
from strategy.course.maps.surface import SurfaceMap, rasterize
from strategy.course.model import TREE_CLASSES_M, Area, Feature, HeightSource, Hole

if TYPE_CHECKING:
    from strategy.course.height_map import HeightMap
    from strategy.course.readers.notes import CourseNotes

ASSUMED_M: Final = {False: TREE_CLASSES_M["medium"], True: 3.0}  # by `Area.low`
NO_TREE_M: Final = 2.0  # whatever is lower than this in a raster is grass or a bush
_BASE_SHARE: Final = 0.15
_BASE_M: Final = (1.0, 4.0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CanopyMap:
    """Trees of one hole on the grid of its surface map.

    Attributes
    ----------
    top, base : ndarray of float32 (ny, nx)
        Heights of the top and of the lowest branches above the ground; both are 0 in cells without a tree.
        [m]
    """

    top: NDArray[np.float32]
    base: NDArray[np.float32]


def canopy_map(hole: Hole, ground: SurfaceMap) -> CanopyMap | None:
    """Map the trees of a hole on the grid of its surface map. The last two maps are cached.

    Parameters
    ----------
    hole : Hole
        Hole with its areas and its raster of treetops, if it has one.
    ground : SurfaceMap
        Surface map of the same hole.

    Returns
    -------
    CanopyMap or None
        None when the hole has no trees.
    """
    trees = tuple(area for area in hole.areas if area.surface == Surface.TREES)
    if not trees:
        return None
    heights = tuple((a.height_m, a.base_m, a.low) for a in trees)
    shapes = tuple(shapely.to_wkb([a.shape for a in trees]))
    return _draw_canopy(_CanopyKey(ground, trees, hole.treetops, (heights, shapes)))


class TreeFields(TypedDict):
    """The fields of an `Area` that describe its trees."""

    height_m: float | None
    base_m: float | None
    height_source: HeightSource
    low: bool


def tree_fields(feature: Feature, notes: CourseNotes, tagged_m: float | None) -> TreeFields:
    """Height and branches of the trees of one feature, as course.toml and its tags state them.

    Parameters
    ----------
    feature : Feature
        An area or a row of trees, a single tree, scrub or a hedge.
    notes : CourseNotes
        course.toml as read.
    tagged_m : float or None
        Height in the tags of the feature. [m]
    """
    low = feature.tags.get("natural") == "scrub" or feature.tags.get("barrier") == "hedge"
    height, key = tagged_m, None
    if feature.fid in notes.tree_heights:
        key = feature.fid
    elif tagged_m is None and not low and "default" in notes.tree_heights:
        key = "default"
    source: HeightSource = "assumed" if height is None else "given"
    if key is not None:
        height = notes.heights_m[key]
        source = "class" if notes.tree_heights[key] in TREE_CLASSES_M else "given"
    base = notes.branches_m.get(feature.fid, None if low else notes.branches_m.get("default"))
    return TreeFields(height_m=height, base_m=base, height_source=source, low=low)


def heights_inside(shape: shapely.Geometry, raster: HeightMap) -> NDArray[np.float32]:
    """Heights of the cells of a raster inside a shape (K,), nan for cells without a height. [m]"""
    rows, cols, mask = rasterize(shape, raster.corner, raster.cell_m, raster.heights.shape)
    return raster.heights[rows, cols][mask]


def _base_m(area: Area, top: FloatArray) -> FloatArray:
    """Where the branches of trees with these tops begin. [m]"""
    usual = np.zeros_like(top) if area.low else np.minimum(np.clip(_BASE_SHARE * top, *_BASE_M), top)
    # A stated base above the top cannot be meant for these trees. It may come from the default, or the raster
    # may show lower trees than the caddie expects.
    return usual if area.base_m is None else np.where(area.base_m < top, area.base_m, usual)


class _CanopyKey:
    """Cache key of a canopy map. Rasters of treetops are compared by identity, everything else by value."""

    __slots__ = ("cell_m", "corner", "key", "size", "trees", "treetops")

    def __init__(
        self, ground: SurfaceMap, trees: tuple[Area, ...], treetops: HeightMap | None, values: object
    ) -> None:
        ny, nx = ground.codes.shape
        self.corner, self.cell_m, self.size = ground.corner, ground.cell_m, (ny, nx)
        self.trees, self.treetops = trees, treetops
        self.key = (self.corner, self.cell_m, self.size, values)

    def __hash__(self) -> int:
        return hash(self.key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _CanopyKey) and self.key == other.key and self.treetops is other.treetops


@lru_cache(maxsize=2)
def _draw_canopy(key: _CanopyKey) -> CanopyMap | None:
    corner, cell_m, size = key.corner, key.cell_m, key.size
    raster = None if key.treetops is None else key.treetops.on_grid(corner, size, cell_m).heights
    top = np.zeros(size, dtype=np.float32)
    base = np.full(size, np.inf, dtype=np.float32)
    for area in key.trees:
        rows, cols, mask = rasterize(area.shape, corner, cell_m, size)
        height = np.full(mask.shape, ASSUMED_M[area.low] if area.height_m is None else area.height_m)
        if raster is not None:
            measured = raster[rows, cols].astype(np.float64)
            height = np.where(np.isnan(measured), height, np.where(measured < NO_TREE_M, 0.0, measured))
        has_tree = mask & (height > 0.0)
        top_here, base_here = top[rows, cols], base[rows, cols]
        top_here[has_tree] = np.maximum(top_here[has_tree], height[has_tree])
        base_here[has_tree] = np.minimum(base_here[has_tree], _base_m(area, height[has_tree]))
    if not top.any():
        return None
    base[top == 0.0] = 0.0
    top.setflags(write=False)
    base.setflags(write=False)
    return CanopyMap(top=top, base=base)
