"""`measurements.csv`: what the caddie walked off, one number a line. Every fault is named at once.

Words of the column `what` (small letters or not, "the" may be left out)::

    reach <name>      to the near edge: "reach far right bunker", "reach cross water"
    carry <name>      to cover it, the far edge: "carry left greenside bunker"
    front, back       of the green, straight, where the line of play from there meets it
    depth             of the green, front to back along the line of play
    run-out           to where the fairway ends on the line of play
    fairway width at 280
                      across the line of play, 280 from where it was taken

A name is the one that `course-strategy numbers` prints; "left bunker 2" is the second from the tee on that
side, and the id of a feature in the file will do too. `from` is "tee" (the back tee), another tee's name or a
landmark. A line from "landmark" makes one: `what` is its name, the number is its number to the front, and
`side`, when that column is there, says how far off the line it stands: "8 left", or "left" for the edge of
the fairway. Names are those of the outlines before they are moved. A commented sample is
`courses/samples/measurements.csv` (see `strategy.demofiles`).
"""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from strategy.course.edges import normalize_name
from strategy.course.origin import Origin
from strategy.demofiles import sample
from strategy.errors import CourseError, InputErrors
from strategy.units import YARD_M

FILE_NAME: Final = "measurements.csv"

_REQUIRED: Final = ("hole", "from", "what", "how")
_OPTIONAL: Final = ("side", "note")
_HOW: Final = (
    (Origin.SURVEYED, ("survey", "laser", "tape", "wheel")),
    (Origin.PACED, ("pace", "step", "walk")),
    (Origin.PUBLISHED, ("publish", "book", "card", "printed", "committee")),
)
_WIDTH = re.compile(r"(?:fairway )?width at (\d+(?:\.\d+)?)")
_EDGE = re.compile(r"(?:to )?(reach|carry|cover|clear) (?:the )?(.+)")
_SIDE = re.compile(r"(?:(?P<much>\d+(?:\.\d+)?)\s*)?(?P<side>left|right|l|r)", re.IGNORECASE)
_MOST_M: Final = 1000.0 * YARD_M


@dataclass(frozen=True, slots=True, kw_only=True)
class What:
    """What was measured: `kind` is reach, carry, front, back, depth, run-out, width or landmark.

    Attributes
    ----------
    name : str
        Of the thing, or of the landmark; "" otherwise.
    at_m : float
        For a width: how far along the line. [m]
    """

    kind: str
    name: str = ""
    at_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasurementLine:
    """One line of the file. `side` is that of a landmark, "" when not said; `unit_m` the file's unit. [m]"""

    line: int
    hole: str
    source: str
    text: str
    what: What
    value_m: float
    origin: Origin
    how: str
    side: str = ""
    unit_m: float = YARD_M


def read_measurements(path: Path) -> tuple[MeasurementLine, ...]:
    """Read a file of measurements; names of holes, places and things are looked up later.

    Raises
    ------
    CourseError
        If it is no text, or its header is not there.
    InputErrors
        Every other fault, all at once, by line.
    """
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise CourseError(path, "", f"is not UTF-8 text (byte {error.start})", "Save it as UTF-8") from None
    except OSError as error:
        raise CourseError(path, "", f"cannot be read: {error.strerror}", "Check its permissions") from None
    header, unit, rows = _table(path, text)
    if header is None:
        return ()
    faults: list[CourseError] = []
    found = []
    for number, cells in rows:
        row = _row(
            path, number, dict(zip(header, cells, strict=False)), len(cells) - len(header), unit, faults
        )
        if row is not None:
            found.append(row)
    if faults:
        raise InputErrors(faults)
    return tuple(found)


def parse_what(text: str, unit_m: float) -> What | None:
    """Read the column `what`; None when it cannot be read.

    >>> parse_what("Carry the far left bunker", 1.0)
    What(kind='carry', name='far left bunker', at_m=0.0)
    >>> parse_what("fairway width at 250", 1.0)
    What(kind='width', name='', at_m=250.0)
    """
    said = normalize_name(text).replace("runout", "run-out").replace("run out", "run-out")
    if said in ("front", "back", "depth", "run-out"):
        return What(kind=said)
    if found := _WIDTH.fullmatch(said):
        return What(kind="width", at_m=float(found[1]) * unit_m)
    if found := _EDGE.fullmatch(said):
        return What(kind="reach" if found[1] == "reach" else "carry", name=normalize_name(found[2]))
    return None


def parse_side(text: str, unit_m: float) -> tuple[float | None, str] | None:
    """How far off the line (positive right, None = at the edge of the fairway), and the side; None if unread.

    >>> parse_side("8 left", 1.0), parse_side("right", 1.0), parse_side("behind", 1.0)
    ((-8.0, 'left'), (None, 'right'), None)
    """
    found = _SIDE.fullmatch(text.strip())
    if found is None:
        return None
    side = "left" if found["side"][0] in "lL" else "right"
    if found["much"] is None:
        return None, side
    much = float(found["much"]) * unit_m
    return (-much if side == "left" else much), side


def _table(path: Path, text: str) -> tuple[list[str] | None, float, list[tuple[int, list[str]]]]:
    """Header, unit and numbered rows, without comments and empty lines."""
    lines = text.splitlines()
    kept = [(n, line) for n, line in enumerate(lines, start=1) if line.strip() and line.lstrip()[0] != "#"]
    if not kept:
        return None, YARD_M, []
    mark = ";" if kept[0][1].count(";") > kept[0][1].count(",") else ","
    # One line, one row: a quote left open must not swallow the lines after it.
    cut = [(n, next(csv.reader(io.StringIO(line), delimiter=mark))) for n, line in kept]
    number, first = cut[0]
    header = [cell.strip().casefold() for cell in first]
    known = {*_REQUIRED, *_OPTIONAL, "yards", "metres"}
    missing = [name for name in _REQUIRED if name not in header]
    units = [name for name in ("yards", "metres") if name in header]
    unknown = [name for name in header if name not in known]
    wrong = ""
    if missing:
        wrong = f"the header has no column {', '.join(missing)}"
    elif len(units) != 1:
        wrong = "the header needs one column called yards or metres"
    elif unknown:
        wrong = f"the header has a column {unknown[0]!r}, which is not known"
    elif len(set(header)) < len(header):
        wrong = "the header names a column twice"
    if wrong:
        mend = f"Write hole,from,what,yards,how and, if needed, side; {sample(FILE_NAME)} shows it"
        raise CourseError(path, f"line {number}", wrong, mend)
    return header, (YARD_M if units == ["yards"] else 1.0), cut[1:]


def _row(
    path: Path, number: int, cells: dict[str, str], over: int, unit: float, faults: list[CourseError]
) -> MeasurementLine | None:
    before = len(faults)

    def fault(wrong: str, mend: str) -> None:
        faults.append(CourseError(path, f"line {number}", wrong, mend))

    cells = {key: value.strip() for key, value in cells.items()}
    word = "yards" if unit == YARD_M else "metres"
    if over > 0:
        fault(f"{over} columns more than the header", "Put text with commas in double quotes")
        return None
    hole, source, text = cells.get("hole", ""), cells.get("from", ""), cells.get("what", "")
    if not hole:
        fault("no hole", "Write its label in the first column")
    landmark = normalize_name(source) == "landmark"
    what = What(kind="landmark", name=" ".join(text.split())) if landmark else parse_what(text, unit)
    if not text:
        fault("nothing under what", "Write reach or carry and a name, front, back, depth, run-out, ...")
    elif what is None:
        fault(
            f"what is {text!r}",
            "Write reach or carry and a name, front, back, depth, run-out, or fairway width at 280",
        )
    value = _number(cells.get(word, ""))
    if value is None or not 0.0 < value * unit < _MOST_M:
        met = cells.get(word, "")
        fault(f"{word} is {met!r}", f"Write a number of {word} above 0 and under {_MOST_M / unit:.0f}")
    how = cells.get("how", "")
    origin = next((o for o, words in _HOW if any(w in how.casefold() for w in words)), None)
    if origin is None:
        fault(f"how is {how!r}", "Write paced, surveyed, laser or published, then who")
    if not source and what is not None and what.kind not in ("depth", "width", "run-out"):
        fault("nothing under from", "Write tee, the name of a tee, or a landmark")
    side = cells.get("side", "")
    if side and not landmark:
        fault(f"side is {side!r}", "Only a landmark has a side: leave it empty")
    elif side and parse_side(side, unit) is None:
        fault(f"side is {side!r}", 'Write it like "8 left", or "right" for the edge of the fairway')
    if len(faults) > before or what is None or value is None or origin is None:
        return None
    return MeasurementLine(
        line=number,
        hole=hole,
        source=source or "tee",
        text=text,
        what=what,
        value_m=value * unit,
        origin=origin,
        how=how,
        side=side,
        unit_m=unit,
    )


def _number(text: str) -> float | None:
    found = re.fullmatch(r"\d+(?:\.\d+)?", text)
    return float(text) if found else None
