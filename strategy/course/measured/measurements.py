"""Reader for `measurements.csv`: distances that the caddie measured on the ground, one a line.

The column `what` has these words (small or capital letters; "the" may be left out)::

    reach <name>      to the near edge: "reach far right bunker", "reach cross water"
    carry <name>      to the far edge: "carry left greenside bunker"
    front, back       of the green, straight, where the line of play from there meets it
    depth             of the green, front to back along the line of play
    run-out           to where the fairway ends on the line of play
    fairway width at 280
                      across the line of play, 280 from where it was taken

A name is one that `course-strategy numbers` prints, or the identifier of a feature in the file. "left bunker
2" is the second bunker from the tee on that side. Names are those of the outlines before they are moved.

`from` is "tee" (the back tee), the name of another tee, or a landmark. A line from "landmark" adds a
landmark: `what` is its name, and the number is its distance to the front of the green. The column `side`,
which may be left out, says how far the landmark is from the line of play: "8 left", or "left" for the edge of
the fairway.

All faults of a file are reported at once. A commented sample is `courses/samples/measurements.csv`; see
`strategy.demofiles`.
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
_SIDE = re.compile(r"(?:(?P<distance>\d+(?:\.\d+)?)\s*)?(?P<side>left|right|l|r)", re.IGNORECASE)
_MOST_M: Final = 1000.0 * YARD_M


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasurementTarget:
    """What was measured: the column `what` as read.

    Attributes
    ----------
    kind : str
        "reach", "carry", "front", "back", "depth", "run-out", "width" or "landmark".
    name : str
        Name of the feature (for reach and carry) or of the landmark; "" for other kinds.
    at_m : float
        Place of a width: its distance along the line of play. [m]
    """

    kind: str
    name: str = ""
    at_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasurementLine:
    """One line of the file.

    Attributes
    ----------
    line : int
        Line number, counted from 1.
    hole : str
        Label of the hole.
    source : str
        The column `from`.
    text : str
        The column `what` as written.
    target : MeasurementTarget
        The column `what` as read.
    value_m : float
        The distance. [m]
    how : str
        The column `how`: the method, and who measured.
    side : str
        The column `side` of a landmark; "" when it is empty.
    unit_m : float
        The unit of the file. [m]
    """

    line: int
    hole: str
    source: str
    text: str
    target: MeasurementTarget
    value_m: float
    origin: Origin
    how: str
    side: str = ""
    unit_m: float = YARD_M


def read_measurements(path: Path) -> tuple[MeasurementLine, ...]:
    """Read a file of measurements. Names of holes, sources and features are looked up later.

    Raises
    ------
    CourseError
        If the file is no text, or its header is wrong.
    InputErrors
        All other faults at once, each with its line.
    """
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise CourseError(path, "", f"is not UTF-8 text (byte {error.start})", "Save it as UTF-8") from None
    except OSError as error:
        raise CourseError(path, "", f"cannot be read: {error.strerror}", "Check its permissions") from None
    header, unit_m, rows = _table(path, text)
    if header is None:
        return ()
    faults: list[CourseError] = []
    lines = []
    for number, cells in rows:
        by_column = {key: cell.strip() for key, cell in zip(header, cells, strict=False)}
        row = _row(path, number, by_column, len(cells) - len(header), unit_m, faults)
        if row is not None:
            lines.append(row)
    if faults:
        raise InputErrors(faults)
    return tuple(lines)


def parse_target(text: str, unit_m: float) -> MeasurementTarget | None:
    """Read the column `what` of a line that is not from "landmark"; None when it cannot be read.

    >>> parse_target("Carry the far left bunker", 1.0)
    MeasurementTarget(kind='carry', name='far left bunker', at_m=0.0)
    >>> parse_target("fairway width at 250", 1.0)
    MeasurementTarget(kind='width', name='', at_m=250.0)
    """
    words = normalize_name(text).replace("runout", "run-out").replace("run out", "run-out")
    if words in ("front", "back", "depth", "run-out"):
        return MeasurementTarget(kind=words)
    if match := _WIDTH.fullmatch(words):
        return MeasurementTarget(kind="width", at_m=float(match[1]) * unit_m)
    if match := _EDGE.fullmatch(words):
        kind = "reach" if match[1] == "reach" else "carry"
        return MeasurementTarget(kind=kind, name=normalize_name(match[2]))
    return None


def parse_side(text: str, unit_m: float) -> tuple[float | None, str] | None:
    """Read the column `side`: the distance from the line [m], and the side; None when it cannot be read.

    The distance is positive to the right, and None for the edge of the fairway.

    >>> parse_side("8 left", 1.0), parse_side("right", 1.0), parse_side("behind", 1.0)
    ((-8.0, 'left'), (None, 'right'), None)
    """
    match = _SIDE.fullmatch(text.strip())
    if match is None:
        return None
    side = "left" if match["side"][0] in "lL" else "right"
    if match["distance"] is None:
        return None, side
    distance_m = float(match["distance"]) * unit_m
    return (-distance_m if side == "left" else distance_m), side


def _table(path: Path, text: str) -> tuple[list[str] | None, float, list[tuple[int, list[str]]]]:
    """Header, unit [m] and numbered rows of the file, without comments and empty lines."""
    numbered = enumerate(text.splitlines(), start=1)
    lines = [(n, line) for n, line in numbered if line.strip() and line.lstrip()[0] != "#"]
    if not lines:
        return None, YARD_M, []
    delimiter = ";" if lines[0][1].count(";") > lines[0][1].count(",") else ","
    # Each line is parsed alone, so that a quote that is not closed does not swallow the lines after it.
    rows = [(n, next(csv.reader(io.StringIO(line), delimiter=delimiter))) for n, line in lines]
    number, first = rows[0]
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
    return header, (YARD_M if units == ["yards"] else 1.0), rows[1:]


def _row(
    path: Path, number: int, cells: dict[str, str], surplus: int, unit_m: float, faults: list[CourseError]
) -> MeasurementLine | None:
    """Read one line; None when it has faults, which are added to `faults`.

    Parameters
    ----------
    cells : dict of str to str
        Cells by column.
    surplus : int
        How many cells there are more than columns.
    """
    faults_before = len(faults)

    def add_fault(wrong: str, mend: str) -> None:
        faults.append(CourseError(path, f"line {number}", wrong, mend))

    unit_word = "yards" if unit_m == YARD_M else "metres"
    if surplus > 0:
        add_fault(f"{surplus} columns more than the header", "Put text with commas in double quotes")
        return None
    hole, source, text = cells.get("hole", ""), cells.get("from", ""), cells.get("what", "")
    if not hole:
        add_fault("no hole", "Write its label in the first column")
    is_landmark = normalize_name(source) == "landmark"
    if is_landmark:
        target: MeasurementTarget | None = MeasurementTarget(kind="landmark", name=" ".join(text.split()))
    else:
        target = parse_target(text, unit_m)
    if not text:
        add_fault("nothing under what", "Write reach or carry and a name, front, back, depth, run-out, ...")
    elif target is None:
        add_fault(
            f"what is {text!r}",
            "Write reach or carry and a name, front, back, depth, run-out, or fairway width at 280",
        )
    value = _number(cells.get(unit_word, ""))
    if value is None or not 0.0 < value * unit_m < _MOST_M:
        written = cells.get(unit_word, "")
        mend = f"Write a number of {unit_word} above 0 and under {_MOST_M / unit_m:.0f}"
        add_fault(f"{unit_word} is {written!r}", mend)
    how = cells.get("how", "")
    origin = next((o for o, words in _HOW if any(w in how.casefold() for w in words)), None)
    if origin is None:
        add_fault(f"how is {how!r}", "Write paced, surveyed, laser or published, then who")
    if not source and target is not None and target.kind not in ("depth", "width", "run-out"):
        add_fault("nothing under from", "Write tee, the name of a tee, or a landmark")
    side = cells.get("side", "")
    if side and not is_landmark:
        add_fault(f"side is {side!r}", "Only a landmark has a side: leave it empty")
    elif side and parse_side(side, unit_m) is None:
        add_fault(f"side is {side!r}", 'Write it like "8 left", or "right" for the edge of the fairway')
    if len(faults) > faults_before or target is None or value is None or origin is None:
        return None
    return MeasurementLine(
        line=number,
        hole=hole,
        source=source or "tee",
        text=text,
        target=target,
        value_m=value * unit_m,
        origin=origin,
        how=how,
        side=side,
        unit_m=unit_m,
    )


def _number(text: str) -> float | None:
    return float(text) if re.fullmatch(r"\d+(?:\.\d+)?", text) else None
