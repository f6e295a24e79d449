"""Reader for `course.toml`, which holds what the caddie adds to the outlines.

A commented sample with every key is `courses/samples/course.toml`; see `strategy.demofiles`. All faults of
the file are reported at once, together with those that `strategy.course.assembly.unknown` finds against the
outlines.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated, Any, Final, Literal, TypeGuard

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from strategy.course.model import TREE_CLASSES_M
from strategy.demofiles import sample
from strategy.errors import CourseError
from strategy.tomlfile import PlacedFault, fault, nearest, read_toml, shown
from strategy.units import FOOT_M, LENGTHS_M, YARD_M

_SYNONYMS: Final = {"small": "low", "short": "low", "middle": "medium", "high": "tall", "big": "tall"}
CROWN_ACROSS_M: Final = 8.0  # width of the crown that the chance `through` is for
# Values outside these are mistakes.
_TALLEST_M: Final = 60.0
_HIGHEST_BASE_M: Final = 30.0
_STEMS_M: Final = (5.0, 1000.0)  # mean free path under the branches
_LENGTH: Final = re.compile(rf"\s*(-?\d+(?:\.\d+)?)\s*({'|'.join(LENGTHS_M)})\s*", re.IGNORECASE)


def _checked_length(value: object) -> object:
    if _is_number(value):
        return float(value)
    if isinstance(value, str) and _LENGTH.fullmatch(value):
        return value
    raise fault(f"is {shown(value)}", 'Write a number, or one with its unit: "2 ft", "0.6 m", "3 yd"')


def _checked_tree(value: object) -> object:
    if _is_number(value):
        if value > 0.0:
            return float(value)
        raise fault(f"is {shown(value)}", "A tree has a height: write a number above 0")
    if isinstance(value, str):
        word = value.strip().casefold()
        if word in TREE_CLASSES_M:
            return word
        if _LENGTH.fullmatch(value):
            return value
        close = nearest(word, [*TREE_CLASSES_M, *_SYNONYMS])
        if close:
            raise fault(f"is {shown(value)}", f'Is "{_SYNONYMS.get(close, close)}" meant? Write that')
    raise fault(f"is {shown(value)}", 'Write "low", "medium" or "tall", a number, or "60 ft"')


def _checked_place(value: object) -> object:
    """Check a longitude and a latitude; nan fails the comparison and is refused."""
    if isinstance(value, list) and len(value) == 2 and all(_is_number(v) for v in value):
        lon, lat = value
        if abs(lon) <= 180.0 and abs(lat) <= 90.0:
            return (float(lon), float(lat))
    raise fault(f"is {shown(value)}, no longitude and latitude", "Write [longitude, latitude] in degrees")


def _is_number(value: object) -> TypeGuard[float]:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _listed(value: object) -> object:
    return (value,) if isinstance(value, dict) else value


LonLat = Annotated[tuple[float, float], BeforeValidator(_checked_place)]
Length = Annotated[Any, BeforeValidator(_checked_length)]
TreeHeight = Annotated[Any, BeforeValidator(_checked_tree)]
Label = Annotated[str, Field(min_length=1, coerce_numbers_to_str=True)]


class _Table(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Boundary(_Table):
    """A drawn line that is a boundary: the side that is out of bounds, and the holes where it counts."""

    feature: str
    out: Literal["left", "right", "inside", "outside"] | None = None
    holes: tuple[Label, ...] = ()


class PlaceEntry(_Table):
    """A named place of one hole. [°]"""

    hole: Label
    name: str = ""
    at: LonLat


class LandmarkNote(_Table):
    """A landmark, placed by its distance to the front of the green or by its position."""

    hole: Label
    name: Annotated[str, Field(min_length=1)]
    front: Length | None = None
    side: str = ""
    at: LonLat | None = None


class ObstructionNote(_Table):
    """A temporary obstruction: a drawn feature, or an outline of its own. [°]"""

    name: str = "grandstand"
    feature: str = ""
    outline: tuple[LonLat, ...] = ()


class HeightsNote(_Table):
    """The height model beside the course."""

    file: Annotated[str, Field(min_length=1)]
    units: Literal["metres", "feet", "us survey feet"] | None = None
    crs: str = ""
    error: Annotated[float, Field(gt=0, le=20)] | None = None


class CanopyNote(_Table):
    """The raster of tree heights beside the course."""

    file: Annotated[str, Field(min_length=1)]
    units: Literal["metres", "feet", "us survey feet"] | None = None
    crs: str = ""


class TreesNote(_Table):
    """How trees stop a ball: the chance to come through a crown, and the mean free path under branches."""

    through: float | None = None
    stems: Length | None = None


class TierNote(_Table):
    """A step in a green."""

    on: Length
    high: Length


class GreenNote(_Table):
    """A green in words, and the least landing, which counts whatever else is known of the green."""

    fall: str = ""
    false_front: Length | None = None
    tier: Annotated[tuple[TierNote, ...], BeforeValidator(_listed)] = ()
    run_offs: tuple[Literal["left", "right", "front", "back"], ...] = ()
    least_landing: Length | None = None
    rebuilt: bool = False

    @property
    def shapes(self) -> bool:
        """Whether it says anything of the shape of the green."""
        return bool(self.fall.strip() or self.false_front is not None or self.tier or self.run_offs)


class HoleNotes(_Table):
    """What course.toml states about one hole."""

    par: Annotated[int, Field(ge=3, le=7)] | None = None
    name: str = ""
    notes: tuple[str, ...] = ()
    green: GreenNote | None = None


class CourseNotes(_Table):
    """The contents of course.toml. Lengths are as written; the properties give them in metres."""

    name: str = ""
    credit: str = ""
    course: str = ""
    crs: str = ""
    layers: dict[str, str] = Field(default_factory=dict)
    units: Literal["yards", "metres"] = "yards"
    out_of_bounds_complete: bool = False
    out_of_bounds: tuple[Boundary, ...] = ()
    penalty_areas: dict[str, Literal["yellow", "red"]] = Field(default_factory=dict)
    tree_heights: dict[str, TreeHeight] = Field(default_factory=dict)
    tree_branches: dict[str, Length] = Field(default_factory=dict)
    trees: TreesNote | None = None
    canopy: CanopyNote | None = None
    drop_zones: tuple[PlaceEntry, ...] = ()
    tees: tuple[PlaceEntry, ...] = ()
    sight_marks: tuple[PlaceEntry, ...] = ()
    landmarks: tuple[LandmarkNote, ...] = ()
    obstructions: tuple[ObstructionNote, ...] = ()
    heights: HeightsNote | None = None
    answers: dict[str, Annotated[str, Field(min_length=1)]] = Field(default_factory=dict)
    holes: dict[str, HoleNotes] = Field(default_factory=dict)

    @property
    def heights_m(self) -> dict[str, float]:
        """Tree heights by identifier of the feature, and under "default". [m]"""
        return {
            fid: TREE_CLASSES_M[value] if value in TREE_CLASSES_M else length_m(value, self.unit_m)
            for fid, value in self.tree_heights.items()
        }

    @property
    def branches_m(self) -> dict[str, float]:
        """Heights of the lowest branches by identifier of the feature, and under "default". [m]"""
        return {fid: length_m(value, self.unit_m) for fid, value in self.tree_branches.items()}

    @property
    def crown_m(self) -> float | None:
        """Mean free path of a ball through crowns, from the chance to come through one 8 m across. [m]"""
        if self.trees is None or self.trees.through is None:
            return None
        return CROWN_ACROSS_M / -math.log(self.trees.through)

    @property
    def stems_m(self) -> float | None:
        """Mean free path of a ball under the branches. [m]"""
        if self.trees is None or self.trees.stems is None:
            return None
        return length_m(self.trees.stems, self.unit_m)

    @property
    def unit_m(self) -> float:
        """The unit of lengths in the file. [m]"""
        return YARD_M if self.units == "yards" else 1.0


def read_notes(path: Path) -> CourseNotes:
    """Read and validate a `course.toml`.

    Raises
    ------
    CourseError
        If the file does not exist or is no TOML.
    InputErrors
        All other faults at once, each with its key (entries are counted from 1), the value, and what to do.
    """
    notes, _ = read_toml(
        path,
        CourseNotes,
        CourseError,
        name=entry_name,
        across=_tree_faults,
        sample=lambda: sample("course.toml"),
    )
    return notes


def entry_name(entry: Mapping[str, Any]) -> str:
    """The name of an entry of a list for messages: its name, or else its feature."""
    name = entry.get("name") or entry.get("feature") or ""
    return name if isinstance(name, str) else ""


def _tree_faults(document: Mapping[str, Any]) -> Iterator[PlacedFault]:
    """Find heights, branches and free paths that are not plausible, each with the likely mistake."""
    metres = document.get("units") == "metres"
    unit, unit_m = ("metres", 1.0) if metres else ("yards", YARD_M)

    def check_range(
        place: tuple[str, ...], value: object, least: float, most: float, what: str
    ) -> Iterator[PlacedFault]:
        length = _metres(value, unit_m)
        if length is None or least <= length <= most:
            return
        mend = f"Give {what} in {unit}, between {least:g} and {most:g} m, or with its unit"
        bare = float(value) if _is_number(value) else math.nan
        if least <= bare * FOOT_M <= most and length > most:
            mend = f'It looks like feet: write "{bare:g} ft" ({bare * FOOT_M:.0f} m)'
        in_metres = f", {length:.0f} m" if not math.isclose(bare, length) else ""
        yield PlacedFault(place, f"is {shown(value)}{in_metres}", mend)

    heights, branches = _entries(document, "tree_heights"), _entries(document, "tree_branches")
    for fid, value in heights.items():
        if not (_is_number(value) and value <= 0.0):  # `_checked_tree` reports such a value
            yield from check_range(("tree_heights", fid), value, 1.0, _TALLEST_M, "the height")
    for fid, value in branches.items():
        place = ("tree_branches", fid)
        yield from check_range(place, value, 0.0, _HIGHEST_BASE_M, "where the branches begin")
        base, top = _metres(value, unit_m), _metres(heights.get(fid), unit_m)
        if base is not None and top is not None and top <= base <= _HIGHEST_BASE_M:
            text = f"is {shown(value)}, and the trees are {shown(heights[fid])} high under [tree_heights]"
            yield PlacedFault(
                place, text, "Branches begin below the top: say how far they are off the ground"
            )
    trees = _entries(document, "trees")
    through = trees.get("through")
    if _is_number(through) and not 0.01 <= through <= 0.95:
        mend = "Give a chance between 0.01 and 0.95"
        if 1.0 < through <= 95.0:
            mend = f"It looks like per cent: write {through / 100.0:g}"
        yield PlacedFault(("trees", "through"), f"is {through:g}", mend)
    yield from check_range(("trees", "stems"), trees.get("stems"), *_STEMS_M, "the way under the branches")


def _entries(document: Mapping[str, Any], key: str) -> Mapping[str, Any]:
    """A table of the document; empty when there is none of that name."""
    table = document.get(key)
    return table if isinstance(table, Mapping) else {}


def _metres(value: object, unit_m: float) -> float | None:
    """A length or a class of height in the document; None for other values. [m]"""
    if isinstance(value, str) and value.strip().casefold() in TREE_CLASSES_M:
        return TREE_CLASSES_M[value.strip().casefold()]
    if _is_number(value) or (isinstance(value, str) and _LENGTH.fullmatch(value)):
        return length_m(value, unit_m)
    return None


def length_m(value: float | str, unit_m: float) -> float:
    """A length of the file in metres. It is a number in the unit of the file, or "2 ft", "0.6 m", "3 yd".

    >>> length_m("2 ft", 0.9144), length_m(3, 0.9144)
    (0.6096, 2.7432)

    Raises
    ------
    ValueError
        If it is neither. Files that were read have no such value.
    """
    if isinstance(value, int | float):
        return float(value) * unit_m
    match = _LENGTH.fullmatch(value)
    if match is None:
        raise ValueError(f"{value!r} is no length")
    return float(match[1]) * LENGTHS_M[match[2].casefold()]
