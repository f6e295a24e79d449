"""Reader for `course.toml`: what the caddie adds to the outlines. Comments and order are the user's.

A commented sample is `SAMPLE` below. Every fault of the file is named at once.
"""

from __future__ import annotations

import difflib
import math
import re
import tomllib
from pathlib import Path
from typing import Annotated, Any, Final, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError
from pydantic_core import PydanticCustomError

from strategy.errors import CourseError, InputErrors
from strategy.units import FOOT_M, YARD_M

SAMPLE: Final = """\
# course.toml: beside course.geojson. Every key may be left out.
name = "Sandholm"
credit = "Outlines (c) OpenStreetMap contributors, ODbL, openstreetmap.org/copyright"
course = "Sandholm Old"          # which course, when the outlines hold several; left out = name
crs = "EPSG:4326"                # only when the outlines are in another system than longitude, latitude
units = "yards"                  # of every length below that says none: "yards" or "metres"
out_of_bounds_complete = true    # all of it is drawn; without this the rest is said to be unknown

[[out_of_bounds]]                # only where the side away from the hole's line is wrong, or internal
feature = "way/31"
out = "left"                     # left or right of the line as drawn; inside or outside of an outline
holes = ["7"]                    # counts only when these holes are played; left out = always

[penalty_areas]                  # colours by feature
"way/12" = "yellow"
"way/13" = "red"

[tree_heights]                   # by feature; "default" for all that state no height, less scrub and hedges
default = "medium"               # "low", "medium", "tall" are 8, 14, 22 m; or a number, or "60 ft"
"way/40" = 20

[tree_branches]                  # where they begin; left out: at 0.15 of the height, within 1 to 4 m
default = 2
"way/40" = 4

[trees]                          # how a ball fares; both are judged, nothing published settles them
through = 0.25                   # chance that it comes through a crown 8 m across
stems = 70                       # how far it goes under the branches, on average

[canopy]                         # a GeoTIFF of tree heights above the ground (a lidar canopy model)
file = "canopy.tif"              # beside this file, or a path; beats [tree_heights] wherever it says
units = "metres"                 # under 2 m of it is no tree; units and crs as under [heights]
crs = "EPSG:32631"

[[drop_zones]]
hole = "4"
name = "drop zone"
at = [2.0012, 54.5011]           # longitude, latitude

[[tees]]                         # markers that are not drawn
hole = "4"
name = "middle"
at = [2.0, 54.5]

[[sight_marks]]                  # something to aim at
hole = "4"
name = "chimney"
at = [2.0, 54.53]

[[landmarks]]                    # numbers are given from these; more in measurements.csv
hole = "4"
name = "sprinkler head by the path"
front = 143                      # its number to the front; or at = [longitude, latitude]
side = "8 left"                  # off the line of play; "left" = edge of the fairway; left out = on it

[[obstructions]]                 # stands, towers, tents of this week: free relief by local rule, not counted
name = "grandstand"
feature = "way/55"               # drawn; or outline = [[longitude, latitude], ...]

[heights]                        # a GeoTIFF height model or lidar raster, read with rasterio
file = "ground.tif"              # beside this file, or a path
units = "metres"                 # of its heights: "metres", "feet", "us survey feet"; left out = as it says
crs = "EPSG:32631"               # only when the file does not say
error = 0.1                      # standard error of a height, metres

[holes.4]
par = 3                          # beats the outlines
name = "The Quarry"
notes = ["wind swirls behind the dune"]

[holes.4.green]                  # in words, where no heights are known
fall = "2 % back to front"       # general; two falls with a comma: "2 % back to front, 1 % left to right"
false_front = 5                  # a ball that lands on the first 5 comes back
tier = { on = 18, high = "2 ft" } # numbers are in the units above; "2 ft", "0.6 m", "3 yd" say their own
run_offs = ["left", "back"]
"""

# Engineering choice: a young plantation or birches, a mixed wood, old beeches or pines.
TREE_CLASSES_M: Final = {"low": 8.0, "medium": 14.0, "tall": 22.0}
_OTHER_WORDS: Final = {"small": "low", "short": "low", "middle": "medium", "high": "tall", "big": "tall"}
CROWN_ACROSS_M: Final = 8.0  # of the crown that `through` speaks of
# What can be meant: tallest tree, highest first branch, shortest and longest way under the branches. [m]
_HIGHEST_M: Final = 60.0
_BRANCHES_M: Final = 30.0
_STEMS_M: Final = (5.0, 1000.0)
_UNITS: Final = {"ft": FOOT_M, "feet": FOOT_M, "m": 1.0, "metres": 1.0, "yd": YARD_M, "yards": YARD_M}
_LENGTH: Final = re.compile(r"\s*(-?\d+(?:\.\d+)?)\s*(ft|feet|m|metres|yd|yards)\s*", re.IGNORECASE)

LonLat = Annotated[tuple[float, float], Field(strict=False)]


def _checked_length(value: object) -> object:
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    if isinstance(value, str) and _LENGTH.fullmatch(value):
        return value
    raise PydanticCustomError("length", 'write a number, or one with its unit: "2 ft", "0.6 m", "3 yd"')


def _checked_tree(value: object) -> object:
    if isinstance(value, int | float) and not isinstance(value, bool):
        if value > 0.0:
            return float(value)
        raise PydanticCustomError("tree", "a tree has a height: write a number above 0")
    if isinstance(value, str):
        word = value.strip().casefold()
        if word in TREE_CLASSES_M:
            return word
        if _LENGTH.fullmatch(value):
            return value
        near = difflib.get_close_matches(word, [*TREE_CLASSES_M, *_OTHER_WORDS], n=1)
        if near:
            meant = _OTHER_WORDS.get(near[0], near[0])
            raise PydanticCustomError("tree", 'is "{meant}" meant? Write that', {"meant": meant})
    raise PydanticCustomError("tree", 'write "low", "medium" or "tall", a number, or "60 ft"')


def _listed(value: object) -> object:
    return (value,) if isinstance(value, dict) else value


Length = Annotated[Any, BeforeValidator(_checked_length)]
TreeHeight = Annotated[Any, BeforeValidator(_checked_tree)]
Label = Annotated[str, Field(min_length=1, coerce_numbers_to_str=True)]


class _Table(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Boundary(_Table):
    """Which side of a drawn line is out of bounds, and when."""

    feature: str
    out: Literal["left", "right", "inside", "outside"] | None = None
    holes: tuple[Label, ...] = ()


class Place(_Table):
    """A named place of one hole. [°]"""

    hole: Label
    name: str = ""
    at: LonLat


class LandmarkNote(_Table):
    """A place that numbers are given from: by its number to the front, or by its position."""

    hole: Label
    name: Annotated[str, Field(min_length=1)]
    front: Length | None = None
    side: str = ""
    at: LonLat | None = None


class ObstructionNote(_Table):
    """Something that stands there this week: a drawn feature, or an outline of its own. [°]"""

    name: str = "grandstand"
    feature: str = ""
    outline: Annotated[tuple[LonLat, ...], Field(strict=False)] = ()


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
    """How a ball fares in trees."""

    through: float | None = None
    stems: Length | None = None


class TierNote(_Table):
    """A step in a green."""

    on: Length
    high: Length


class GreenNote(_Table):
    """A green in words."""

    fall: str = ""
    false_front: Length | None = None
    tier: Annotated[tuple[TierNote, ...], BeforeValidator(_listed)] = ()
    run_offs: tuple[Literal["left", "right", "front", "back"], ...] = ()


class HoleNotes(_Table):
    """What the caddie says of one hole."""

    par: Annotated[int, Field(ge=3, le=7)] | None = None
    name: str = ""
    notes: tuple[str, ...] = ()
    green: GreenNote | None = None


class CourseNotes(_Table):
    """`course.toml`, validated. Tree heights and branches in metres are `heights_m` and `branches_m`."""

    name: str = ""
    credit: str = ""
    course: str = ""
    crs: str = ""
    units: Literal["yards", "metres"] = "yards"
    out_of_bounds_complete: bool = False
    out_of_bounds: tuple[Boundary, ...] = ()
    penalty_areas: dict[str, Literal["yellow", "red"]] = Field(default_factory=dict)
    tree_heights: dict[str, TreeHeight] = Field(default_factory=dict)
    tree_branches: dict[str, Length] = Field(default_factory=dict)
    trees: TreesNote | None = None
    canopy: CanopyNote | None = None
    drop_zones: tuple[Place, ...] = ()
    tees: tuple[Place, ...] = ()
    sight_marks: tuple[Place, ...] = ()
    landmarks: tuple[LandmarkNote, ...] = ()
    obstructions: tuple[ObstructionNote, ...] = ()
    heights: HeightsNote | None = None
    holes: dict[str, HoleNotes] = Field(default_factory=dict)

    @property
    def heights_m(self) -> dict[str, float]:
        """Tree heights by feature, and under "default". [m]"""
        return {
            fid: TREE_CLASSES_M[said] if said in TREE_CLASSES_M else length_m(said, self.unit_m)
            for fid, said in self.tree_heights.items()
        }

    @property
    def branches_m(self) -> dict[str, float]:
        """Where branches begin by feature, and under "default". [m]"""
        return {fid: length_m(said, self.unit_m) for fid, said in self.tree_branches.items()}

    @property
    def crown_m(self) -> float | None:
        """Mean free way of a ball through a crown, from the chance to come through one 8 m across. [m]"""
        if self.trees is None or self.trees.through is None:
            return None
        return CROWN_ACROSS_M / -math.log(self.trees.through)

    @property
    def stems_m(self) -> float | None:
        """Mean free way of a ball under the branches. [m]"""
        if self.trees is None or self.trees.stems is None:
            return None
        return length_m(self.trees.stems, self.unit_m)

    @property
    def unit_m(self) -> float:
        """The file's unit of length. [m]"""
        return YARD_M if self.units == "yards" else 1.0


def read_notes(path: Path) -> CourseNotes:
    """Read and validate a `course.toml`.

    Raises
    ------
    CourseError
        If the file is no TOML.
    InputErrors
        Every other fault, all at once: key path (entries counted from 1), value met, mend.
    """
    try:
        document = tomllib.loads(path.read_text(encoding="utf-8"))
    except UnicodeDecodeError as error:
        raise CourseError(path, "", f"is not UTF-8 text (byte {error.start})", "Save it as UTF-8") from None
    except tomllib.TOMLDecodeError as error:
        raise CourseError(path, "", f"is not TOML: {error}", "Correct that line") from None
    try:
        notes = CourseNotes.model_validate(document)
    except ValidationError as error:
        faults = [_fault(path, dict(item)) for item in error.errors()]
        raise InputErrors(faults) from None
    wrong = [
        CourseError(
            path,
            f"{key}.{number}.at",
            f"is {list(place.at)}, no longitude and latitude",
            "Write [longitude, latitude] in degrees",
        )
        for key in ("drop_zones", "tees", "sight_marks", "landmarks")
        for number, place in enumerate(getattr(notes, key), start=1)
        if place.at is not None and not (abs(place.at[0]) <= 180.0 and abs(place.at[1]) <= 90.0)
    ]
    wrong += _tree_faults(path, notes)
    if wrong:
        raise InputErrors(wrong)
    return notes


def _tree_faults(path: Path, notes: CourseNotes) -> list[CourseError]:
    """Heights, branches and ways in trees that cannot be meant, each with a guess at what is."""
    wrong: list[CourseError] = []
    unit = "yards" if notes.units == "yards" else "metres"

    def fault(key: str, value: object, metres: float, least: float, most: float, what: str) -> None:
        if least <= metres <= most:
            return
        mend = f"Give {what} in {unit}, between {least:g} and {most:g} m, or with its unit"
        bare = float(value) if isinstance(value, int | float) else math.nan
        if least <= bare * FOOT_M <= most and metres > most:
            mend = f'It looks like feet: write "{bare:g} ft" ({bare * FOOT_M:.0f} m)'
        met = f"is {value!r}" + (f", {metres:.0f} m" if not math.isclose(bare, metres) else "")
        wrong.append(CourseError(path, key, met, mend))

    heights, branches = notes.heights_m, notes.branches_m
    for fid, height in heights.items():
        fault(f"tree_heights.{fid}", notes.tree_heights[fid], height, 1.0, _HIGHEST_M, "the height")
    for fid, base in branches.items():
        key, value = f"tree_branches.{fid}", notes.tree_branches[fid]
        fault(key, value, base, 0.0, _BRANCHES_M, "where the branches begin")
        top = heights.get(fid)
        if top is not None and top <= base <= _BRANCHES_M:
            text = f"is {value!r}, and the trees are {notes.tree_heights[fid]!r} high under [tree_heights]"
            mend = "Branches begin below the top: say how far they are off the ground"
            wrong.append(CourseError(path, key, text, mend))
    through = None if notes.trees is None else notes.trees.through
    if through is not None and not 0.01 <= through <= 0.95:
        mend = "Give a chance between 0.01 and 0.95"
        if 1.0 < through <= 95.0:
            mend = f"It looks like per cent: write {through / 100.0:g}"
        wrong.append(CourseError(path, "trees.through", f"is {through:g}", mend))
    if notes.trees is not None and notes.stems_m is not None:
        fault("trees.stems", notes.trees.stems, notes.stems_m, *_STEMS_M, "the way under the branches")
    return wrong


def length_m(value: float | str, unit_m: float) -> float:
    """A length of the file in metres: a bare number in the file's unit, or "2 ft", "0.6 m", "3 yd".

    >>> length_m("2 ft", 0.9144), length_m(3, 0.9144)
    (0.6096, 2.7432)

    Raises
    ------
    ValueError
        If it is neither; a file that was read holds none such.
    """
    if isinstance(value, int | float):
        return float(value) * unit_m
    found = _LENGTH.fullmatch(value)
    if found is None:
        raise ValueError(f"{value!r} is no length")
    return float(found[1]) * _UNITS[found[2].casefold()]


def _fault(path: Path, item: dict[str, object]) -> CourseError:
    where = [part + 1 if isinstance(part, int) else part for part in item["loc"]]  # type: ignore[attr-defined]
    key = ".".join(str(part) for part in where)
    kind, met = str(item["type"]), item["input"]
    if kind == "extra_forbidden":
        return CourseError(
            path,
            key,
            "the key is unknown",
            "Remove it or correct its spelling; strategy.course.notes.SAMPLE shows all keys",
        )
    if kind == "missing":
        return CourseError(path, key, "is missing", "Add it")
    said = str(item["msg"])
    return CourseError(path, key, f"is {met!r}", said[0].upper() + said[1:])
