"""Reader for `course.toml`: what the caddie adds to the outlines. Comments and order are the user's.

A commented sample is `SAMPLE` below. Every fault of the file is named at once.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Annotated, Final, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from strategy.errors import CourseError, InputErrors
from strategy.units import YARD_M

SAMPLE: Final = """\
# course.toml: beside course.geojson. Every key may be left out.
name = "Sandholm"
credit = "Outlines (c) OpenStreetMap contributors, ODbL, openstreetmap.org/copyright"
course = "Sandholm Old"          # which course, when the outlines hold several; left out = name
crs = "EPSG:4326"                # only when the outlines are in another system than longitude, latitude
units = "yards"                  # of the tree heights below: "yards" or "metres"
out_of_bounds_complete = true    # all of it is drawn; without this the rest is said to be unknown

[[out_of_bounds]]                # only where the side away from the hole's line is wrong, or internal
feature = "way/31"
out = "left"                     # left or right of the line as drawn; inside or outside of an outline
holes = ["7"]                    # counts only when these holes are played; left out = always

[penalty_areas]                  # colours by feature
"way/12" = "yellow"
"way/13" = "red"

[tree_heights]                   # by feature; "default" for all others
default = 13
"way/40" = 20

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

[holes.4]
par = 3                          # beats the outlines
name = "The Quarry"
notes = ["wind swirls behind the dune"]
"""

LonLat = Annotated[tuple[float, float], Field(strict=False)]
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


class HoleNotes(_Table):
    """What the caddie says of one hole."""

    par: Annotated[int, Field(ge=3, le=7)] | None = None
    name: str = ""
    notes: tuple[str, ...] = ()


class CourseNotes(_Table):
    """`course.toml`, validated. Tree heights in metres are `heights_m`."""

    name: str = ""
    credit: str = ""
    course: str = ""
    crs: str = ""
    units: Literal["yards", "metres"] = "yards"
    out_of_bounds_complete: bool = False
    out_of_bounds: tuple[Boundary, ...] = ()
    penalty_areas: dict[str, Literal["yellow", "red"]] = Field(default_factory=dict)
    tree_heights: dict[str, Annotated[float, Field(gt=0, le=120)]] = Field(default_factory=dict)
    drop_zones: tuple[Place, ...] = ()
    tees: tuple[Place, ...] = ()
    sight_marks: tuple[Place, ...] = ()
    holes: dict[str, HoleNotes] = Field(default_factory=dict)

    @property
    def heights_m(self) -> dict[str, float]:
        """Tree heights by feature, and under "default". [m]"""
        unit = YARD_M if self.units == "yards" else 1.0
        return {fid: height * unit for fid, height in self.tree_heights.items()}


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
        for key in ("drop_zones", "tees", "sight_marks")
        for number, place in enumerate(getattr(notes, key), start=1)
        if not (abs(place.at[0]) <= 180.0 and abs(place.at[1]) <= 90.0)
    ]
    if wrong:
        raise InputErrors(wrong)
    return notes


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
