"""Landmarks of course.toml and of measurements.csv, placed on their holes."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from strategy.course import edges
from strategy.course.edges import normalize_name
from strategy.course.measured.fit import APART_M
from strategy.course.measured.located import place_by_front_number
from strategy.course.measured.measurements import MeasurementLine, parse_side
from strategy.course.model import Finding, FindingKind, Hole, Landmark
from strategy.course.origin import Origin
from strategy.course.playline import along_side
from strategy.course.readers.notes import CourseNotes, length_m
from strategy.errors import CourseError, InputError, RequestError

# Distance from the line of play, positive to the right, by hole and normal name of the landmark. [m]
Sides = dict[tuple[str, str], float]
_ORIGINS = list(Origin)  # best first


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stated:
    """A landmark that is stated by its front number.

    Attributes
    ----------
    file, where : str
        The file that states it, and the place in the file.
    hole, name : str
        Label of the hole, and the name of the landmark.
    front_m : float
        Distance along the line of play to the front of the green. [m]
    side : str
        How far from the line it is, as written; "" for on the line.
    unit_m : float
        Unit of `side`. [m]
    """

    file: str
    where: str
    hole: str
    name: str
    front_m: float
    side: str
    unit_m: float
    origin: Origin


class _Placing:
    """Places landmarks on holes and collects findings and faults."""

    def __init__(self, holes: Mapping[str, Hole], notes_file: str, faults: list[InputError]) -> None:
        self.holes, self.notes_file, self.faults = holes, notes_file, faults
        self.landmarks: dict[str, list[Landmark]] = {label: [] for label in holes}
        self.sides: Sides = {}
        self.findings: list[Finding] = []

    def add_fault(self, file: str, where: str, wrong: str, mend: str) -> None:
        self.faults.append(CourseError(file, where, wrong, mend))

    def place(self, stated: _Stated) -> None:
        """Place a landmark by its front number and its side."""
        hole = self.holes.get(stated.hole)
        if hole is None:
            # `strategy.course.assembly.unknown` reports the holes of course.toml that do not exist.
            if stated.file != self.notes_file:
                self.faults.append(no_such_hole(stated.file, stated.where, stated.hole, self.holes))
            return
        if (earlier := self.find(stated.hole, stated.name)) is not None:
            if earlier.front_m is None or abs(earlier.front_m - stated.front_m) > 0.5:
                wrong = f"there is a landmark {stated.name!r} on this hole already"
                self.add_fault(stated.file, stated.where, wrong, "Keep one of them, or give them two names")
            return
        side = parse_side(stated.side, stated.unit_m) if stated.side else (0.0, "")
        if side is None:
            mend = 'Write it like "8 left", or "right" for the edge of the fairway'
            self.add_fault(stated.file, f"{stated.where}.side", f"is {stated.side!r}", mend)
            return
        try:
            on_line = place_by_front_number(hole, hole.green, stated.front_m, 0.0)
        except RequestError as error:
            self.add_fault(stated.file, stated.where, f"cannot stand there: {error}", "Correct its number")
            return
        side_m, side_word = side
        if side_m is None:
            side_m = self.edge_of_fairway(hole, stated.name, on_line, side_word)
        self.sides[stated.hole, normalize_name(stated.name)] = side_m
        xy = place_by_front_number(hole, hole.green, stated.front_m, side_m)
        self.landmarks[stated.hole].append(
            Landmark(name=stated.name, xy=xy, front_m=stated.front_m, origin=stated.origin)
        )

    def find(self, label: str, name: str) -> Landmark | None:
        """The landmark of a hole with a name."""
        wanted = normalize_name(name)
        return next((m for m in self.landmarks[label] if normalize_name(m.name) == wanted), None)

    def edge_of_fairway(self, hole: Hole, name: str, on_line: tuple[float, float], side: str) -> float:
        """Side of the edge of the fairway beside a place on the line; 0 without a fairway there. [m]"""
        depth = float(along_side(hole.line, on_line)[0, 1])
        both = edges.width(edges.fairway_of(hole), hole.line, depth)
        if both is None:
            text = f"landmark {name!r}: no fairway is drawn beside it; it is put on the line of play"
            self.findings.append(Finding(kind=FindingKind.ASSUMED, text=text, hole=hole.label))
            return 0.0
        return both[0 if side == "left" else 1].value_m

    def correct_front_number(self, row: MeasurementLine) -> None:
        """Use a front number that was measured at a landmark, when it is better than the stated one."""
        hole, landmarks = self.holes[row.hole], self.landmarks[row.hole]
        landmark = self.find(row.hole, row.source)
        if landmark is None or landmark.front_m is None:
            return
        if abs(landmark.front_m - row.value_m) > APART_M + 1e-9:
            measured = f"front {row.value_m / row.unit_m:.0f} from {landmark.name} ({row.how})"
            stated = f"{landmark.front_m / row.unit_m:.0f} ({landmark.origin})"
            text = f"{measured}: its own number is {stated}; not used"
            where = f"measurements line {row.line}"
            self.findings.append(
                Finding(kind=FindingKind.QUESTION, text=text, hole=hole.label, feature=where)
            )
        elif _ORIGINS.index(row.origin) < _ORIGINS.index(landmark.origin):
            side_m = self.sides.get((hole.label, normalize_name(landmark.name)), 0.0)
            xy = place_by_front_number(hole, hole.green, row.value_m, side_m)
            landmarks[landmarks.index(landmark)] = dataclasses.replace(
                landmark, front_m=row.value_m, xy=xy, origin=row.origin
            )


def place_landmarks(
    holes: Mapping[str, Hole],
    notes: CourseNotes,
    notes_file: str,
    rows: Sequence[MeasurementLine],
    rows_file: str,
    faults: list[InputError],
) -> tuple[dict[str, Hole], Sides, list[Finding]]:
    """Place the landmarks of course.toml and of measurements.csv on their holes.

    Parameters
    ----------
    holes : mapping of str to Hole
        Holes by label.
    notes, notes_file : CourseNotes, str
        course.toml as read, and its path.
    rows, rows_file : sequence of MeasurementLine, str
        measurements.csv as read, and its path.
    faults : list of InputError
        Faults of both files are added here.

    Returns
    -------
    holes : dict of str to Hole
        The holes with their landmarks, the landmark farthest from the green first.
    sides : Sides
        Distances of the landmarks from the line of play. [m]
    findings : list of Finding
        Assumptions and questions, each with the label of its hole.
    """
    placing = _Placing(holes, notes_file, faults)
    for number, note in enumerate(notes.landmarks, start=1):
        where = f"landmarks[{number}] ({note.name})"
        if note.at is not None and note.front is None:
            if note.hole in holes:
                x, y = holes[note.hole].frame.to_xy(note.at)[0]
                placing.landmarks[note.hole].append(Landmark(name=note.name, xy=(float(x), float(y))))
        elif note.at is None and note.front is not None:
            placing.place(
                _Stated(
                    file=notes_file,
                    where=where,
                    hole=note.hole,
                    name=note.name,
                    front_m=length_m(note.front, notes.unit_m),
                    side=note.side,
                    unit_m=notes.unit_m,
                    origin=Origin.PUBLISHED,
                )
            )
        else:
            mend = "Write front (its number to the front of the green) or at, one of them"
            placing.add_fault(notes_file, where, "has to say where it is", mend)
    for row in rows:
        if row.target.kind == "landmark":
            placing.place(
                _Stated(
                    file=rows_file,
                    where=f"line {row.line}",
                    hole=row.hole,
                    name=row.target.name,
                    front_m=row.value_m,
                    side=row.side,
                    unit_m=row.unit_m,
                    origin=row.origin,
                )
            )
    for row in rows:
        if row.target.kind == "front" and row.hole in holes:
            placing.correct_front_number(row)
    placed = {}
    for label, hole in holes.items():
        ordered = sorted(placing.landmarks[label], key=lambda m: float(along_side(hole.line, m.xy)[0, 1]))
        placed[label] = dataclasses.replace(hole, landmarks=tuple(ordered))
    return placed, placing.sides, placing.findings


def no_such_hole(file: str, where: str, label: str, holes: Mapping[str, Hole]) -> CourseError:
    """The fault of a file that names a hole the course does not have."""
    return CourseError(file, where, f"there is no hole {label!r}", f"The holes are {', '.join(holes)}")
