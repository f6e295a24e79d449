"""Reader for practice logs.

One row is one ball. Columns are known by the words of their headings (`strategy.player.logs.meaning`), in
any order. Needed are a distance (carry, or how long or short of a target) and how far to the side. Sides are
read as "R 12", "12L", "8 pull" or with a sign; a positive number is right, unless the player file says
otherwise.

A log that names no unit is in that of the player file. Rows that are no balls (averages, headings repeated)
and rows that cannot be used are all returned with their lines and reasons.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from strategy.errors import LogError
from strategy.player.file import PlayerFile
from strategy.player.logs.cells import NOTHING, Cell, decimal_mark, numbers, wind
from strategy.player.logs.clubs import LoggedBag, NamedShot, outcome_shapes
from strategy.player.logs.meaning import ANGLES, SPEEDS, UNITS, plain
from strategy.player.logs.model import PLACES, LeftOut, PracticeBalls, PracticeLog, lines_words
from strategy.player.logs.sheet import LogSheet, read_sheets
from strategy.units import FOOT_M, MPH_MPS

if TYPE_CHECKING:
    import pandas as pd

    from strategy.arrays import BoolArray, FloatArray

# What is possible, in SI units: a ball that a golfer hit. [m], [m/s], [°], [rad/s]
_RANGES: Final = {
    "carry": (2.0, 370.0), "distance": (2.0, 370.0), "total": (2.0, 450.0), "side": (0.0, 180.0),
    "total side": (0.0, 200.0), "long or short": (0.0, 120.0), "target": (10.0, 370.0),
    "ball speed": (8.0, 100.0),
    "launch": (0.0, 75.0), "start line": (0.0, 60.0), "spin": (20.0, 1600.0), "spin axis": (0.0, 12_000.0),
    "apex": (0.1, 80.0), "curve": (0.0, 150.0),
}  # fmt: skip
_SUMMARY: Final = re.compile(
    r"(?:average|averages|avg|mean|median|std|stdev|std dev|standard deviation|deviation|consistency|total|"
    r"totals|sum|min|max|minimum|maximum|best|worst|durchschnitt|mittelwert|mittel|schnitt|moyenne|"
    r"ecart type|media|promedio|medel|summe|gesamt|abweichung)\b"
)
_UNIT: Final = re.compile(r"\d\s*(yards?|yds?|metres?|meters?|m|ft)\b")
_COURSE: Final = re.compile(r"\b(?:course|platz|parcours|campo|bana|grass|rasen|herbe|hole|fairway|round)\b")
_RANGE: Final = re.compile(r"\b(?:range|practice|driving|ubungsplatz|bay|net)\b")
_MAT: Final = re.compile(r"\b(?:mat|mats|matte|tapis|indoor|simulator|studio|halle|tappeto)\b")
_RANGE_BALL: Final = re.compile(
    r"\b(?:range|rangeball|rangeballs|practice|limited|foam|plastic|one ?piece|yellow)\b"
)


def read_practice_log(path: str | Path, file: PlayerFile, *, club: str = "", number: int = 0) -> PracticeLog:
    """Read a practice log.

    Parameters
    ----------
    path : str or Path
        A CSV file or an .xlsx workbook.
    file : PlayerFile
        The player file as written: its clubs and shots, its hand, its unit and its `[logs]` table.
    club : str
        Club of a log that has no column for it.
    number : int
        Position of this file among those read.

    Raises
    ------
    LogError
        If the file cannot be read, a needed column is missing, or no row can be used.
    """
    path = Path(path)
    bag = LoggedBag.of(file)
    parts = [
        _read_sheet(path, sheet, file, bag, club, number) for sheet in read_sheets(path, file.logs.columns)
    ]
    left = [one for part in parts for one in part.left_out]
    if not sum(len(part.balls) for part in parts):
        raise _nothing_left(path, left)
    return PracticeLog(
        file=str(path),
        balls=PracticeBalls.join(part.balls for part in parts),
        left_out=tuple(left),
        columns={k: v for part in parts for k, v in part.columns.items()},
        unused=tuple(dict.fromkeys(u for part in parts for u in part.unused)),
        assumed=tuple(dict.fromkeys(a for part in parts for a in part.assumed)),
    )


def _nothing_left(path: Path, left: Sequence[LeftOut]) -> LogError:
    worst = max((one for one in left if one.mend), key=lambda one: len(one.lines), default=None)
    if worst is None:
        return LogError(path, "", "has headings and no balls", "Export the log again, one row a ball")
    where = lines_words(worst.lines)
    return LogError(path, where, f"no row can be used: {worst.why}", worst.mend)


class _LogTable:
    """A sheet while it is read: its columns by meaning, and the rows that are still used."""

    def __init__(self, path: Path, sheet: LogSheet, file: PlayerFile) -> None:
        self.path, self.sheet, self.file = path, sheet, file
        self.column_of: dict[str, int] = {}
        for i, found in enumerate(sheet.meanings):
            if found.meaning and found.meaning not in ("nothing", *self.column_of):
                self.column_of[found.meaning] = i
        self.used = np.ones(len(sheet.rows), dtype=bool)
        self.left: list[LeftOut] = []
        self.assumed: list[str] = []
        self.length_m, self.length_words = self._bare_length()
        numeric = [i for meaning, i in self.column_of.items() if meaning in UNITS]
        sample = [str(t) for i in numeric for t in sheet.rows.iloc[:400, i]]
        self.mark = decimal_mark(sample, sheet.is_semicolon)

    def _bare_length(self) -> tuple[float, str]:
        """Length [m] that a bare number is counted in, and the sentence if that is an assumption.

        Where one length of the log names a unit, its other lengths are in it too, but for heights in feet.
        """
        lengths = UNITS["carry"]
        for meaning in ("carry", "distance", "long or short", "target", "side", "total", "total side"):
            i = self.column_of.get(meaning)
            if i is None:
                continue
            unit = self.sheet.meanings[i].unit
            cells = [m[1] for t in self.sheet.rows.iloc[:50, i] if (m := _UNIT.search(plain(str(t))))]
            unit = unit or (max(set(cells), key=cells.count) if cells else "")
            if unit in lengths and lengths[unit] != FOOT_M:
                return lengths[unit], ""
        in_metres = (self.file.logs.units or self.file.units) == "metres"
        whose = "[logs] units" if self.file.logs.units else "the player file"
        unit = "metres" if in_metres else "yards"
        return lengths[unit], f"lengths without a unit are in {unit}, as {whose} has it"

    def texts(self, meaning: str) -> pd.Series[Any] | None:
        i = self.column_of.get(meaning)
        return None if i is None else self.sheet.rows.iloc[:, i]

    def drop(self, which: BoolArray, why: str, mend: str = "") -> None:
        """Leave out some of the rows that are still used."""
        which = which & self.used
        if which.any():
            self.left.append(LeftOut(why, tuple(int(n) for n in self.sheet.lines[which]), mend))
            self.used = self.used & ~which

    def values(self, meaning: str) -> FloatArray:
        """The numbers of a column in SI units (n,): nan where nothing stands, inf where it is impossible."""
        column = self.texts(meaning)
        if column is None:
            return np.full(len(self.used), np.nan)
        units = UNITS[meaning]
        unit = self.sheet.meanings[self.column_of[meaning]].unit
        if meaning in ("side", "total side") and unit in ANGLES:
            units, factor = UNITS["start line"], 1.0
        elif unit in units:
            factor = units[unit]
        else:
            factor = self._assumed_unit(meaning, column)
        least, most = _RANGES[meaning]
        is_right = self.file.hand == "right"
        values = numbers(column, Cell(units, factor, self.mark, least, most, is_right))
        if (
            meaning in ("side", "total side", "start line", "curve", "spin axis")
            and self.file.logs.plus == "left"
        ):
            signed = column.map(lambda t: not re.search(r"[a-z]", plain(str(t)))).to_numpy(dtype=bool)
            values = np.where(signed, -values, values)
        if meaning in ("side", "total side") and unit in ANGLES:
            values = np.where(
                np.abs(values) < 60.0, np.radians(values), np.nan
            )  # times the carry: by the caller
        return values

    def _assumed_unit(self, meaning: str, column: pd.Series[Any]) -> float:
        """The factor of bare numbers of a column whose heading names no unit."""
        if meaning == "ball speed":
            speeds = numbers(column, Cell(SPEEDS, 1.0, self.mark, 0.0, 500.0, True))
            known = speeds[np.isfinite(speeds)]
            middle = float(np.median(known)) if len(known) else 0.0
            # Full shots of golfers: 40 to 85 m/s, 90 to 190 mph, 145 to 300 km/h.
            return 1.0 if middle < 86.0 else MPH_MPS if middle < 195.0 or self.length_m != 1.0 else 1 / 3.6
        if meaning not in ("launch", "start line", "spin axis", "spin"):
            if self.length_words and not _has_unit(column):
                self.assumed.append(self.length_words)
            return self.length_m
        return UNITS["spin"]["rpm"] if meaning == "spin" else 1.0


def _has_unit(column: pd.Series[Any]) -> bool:
    return bool(column.iloc[:50].map(lambda t: bool(_UNIT.search(plain(str(t))))).all())


def _read_sheet(
    path: Path, sheet: LogSheet, file: PlayerFile, bag: LoggedBag, club: str, number: int
) -> PracticeLog:
    table = _LogTable(path, sheet, file)
    _drop_what_is_no_ball(table)
    _drop_other_players(table)
    carry, target = _carry(table)
    side = _side(table, carry)
    named, shape_note = _shots(table, bag, club)
    if shape_note:
        table.assumed.append(shape_note)
    _drop_impossible(table, "side", side, "how far to the side")
    n = len(table.used)
    along, across = _winds(table)
    axis = np.sign(table.values("spin axis"))
    axis[axis == 0.0] = np.nan
    kept = np.flatnonzero(table.used)
    balls = PracticeBalls(
        file=np.full(n, number),
        line=sheet.lines,
        club=np.array([one.club for one in named], dtype=object),
        shot=np.array([one.shot for one in named], dtype=object),
        carry_m=carry,
        side_m=side,
        target_m=target,
        ball_speed_mps=_finite(table.values("ball speed")),
        launch_deg=_finite(table.values("launch")),
        start_deg=_finite(table.values("start line")),
        spin_rad_s=_finite(table.values("spin")),
        apex_m=_finite(table.values("apex")),
        curve_m=_finite(table.values("curve")),
        axis=axis,
        along_mps=along,
        across_mps=across,
        place=_places(table),
        session=_sessions(table, number),
    ).take(kept)
    headings = sheet.headings
    used = {headings[i]: meaning for meaning, i in table.column_of.items()}
    return PracticeLog(
        file=str(path),
        balls=balls,
        left_out=tuple(table.left),
        columns=used,
        unused=tuple(h for h, m in zip(headings, sheet.meanings, strict=True) if h and not m.meaning),
        assumed=tuple(dict.fromkeys(table.assumed)),
    )


def _finite(values: FloatArray) -> FloatArray:
    return np.where(np.isfinite(values), values, np.nan)


def _drop_what_is_no_ball(table: _LogTable) -> None:
    """Leave out blank rows, comments, headings that are repeated, units and averages."""
    rows = table.sheet.rows
    stripped = {i: rows.iloc[:, i].str.strip() for i in range(rows.shape[1])}
    filled = np.column_stack([(column != "").to_numpy(dtype=bool) for column in stripped.values()])
    first = stripped[0]
    # Blank rows and comments are no news.
    table.used &= filled.any(axis=1) & ~first.str.startswith("#").to_numpy(dtype=bool)
    repeated = np.ones(len(rows), dtype=bool)
    for i, written in enumerate(table.sheet.headings):
        repeated &= (stripped[i] == written).to_numpy(dtype=bool) | ~filled[:, i]
    table.drop(repeated, "headings again")
    units = np.ones(len(rows), dtype=bool)
    summary = np.zeros(len(rows), dtype=bool)
    for i, column in stripped.items():
        meaning = table.sheet.meanings[i].meaning
        words = _by_text(column, lambda t: not t or (not t[0].isdigit() and heading_unit(t)))
        units &= words
        # A word for an average counts in the columns of names, and where no number belongs beside it.
        if meaning in ("", "nothing", "club", "shot", "date", "session", "player", "shape"):
            summary |= _by_text(
                column, lambda t: not t.isdigit() and bool(_SUMMARY.match(plain(t).lstrip("*- ")))
            )
    table.drop(units & filled.any(axis=1), "a row of units")
    table.drop(summary, "an average or a total, not a ball")


def _drop_other_players(table: _LogTable) -> None:
    """Leave out the balls of other players, of a log with several."""
    column = table.texts("player")
    if column is None:
        return
    names = {plain(str(t)): str(t).strip() for t in column[table.used].unique() if str(t).strip()}
    own = plain(table.file.name)
    if len(names) < 2:
        return
    if own not in names:
        raise LogError(
            table.path,
            table.sheet.headings[table.column_of["player"]],
            f"has balls of {', '.join(names.values())}, and none of {table.file.name}",
            "Write the name as the player file has it, or give a log of one player",
        )
    for word, name in names.items():
        if word != own:
            table.drop(_by_text(column, lambda t, w=word: plain(t) == w), f"a ball of {name}")


def heading_unit(text: str) -> bool:
    """Whether a text is nothing but a unit: "[yds]", "mph"."""
    bare = plain(text).strip("[]() .")
    return any(bare in units for units in UNITS.values())


def _by_text(column: pd.Series[Any], test: Any) -> BoolArray:
    """A test of every cell, made once for each different text."""
    import pandas as pd

    codes, texts = pd.factorize(column)
    return np.asarray(np.array([bool(test(str(t))) for t in texts] + [False], dtype=bool)[codes])


def _drop_impossible(table: _LogTable, meaning: str, values: FloatArray, what: str) -> None:
    """Leave out rows whose needed number is missing, not understood or impossible."""
    column = table.texts(meaning)
    if column is None:
        return
    name = table.sheet.headings[table.column_of[meaning]]
    empty = _by_text(column, lambda t: t.strip().casefold() in NOTHING)
    table.drop(empty, f'nothing under "{name}"', f"Write {what} of every ball")
    for bad, why, mend in (
        (np.isinf(values), "is not possible", "Correct it; was the unit another?"),
        (np.isnan(values), "is not understood", f"Write {what} as a number"),
    ):
        which = bad & table.used
        if which.any():
            met = str(column.iloc[int(np.flatnonzero(which)[0])]).strip()
            table.drop(which, f'"{met}" under "{name}" {why}', mend)


def _carry(table: _LogTable) -> tuple[FloatArray, FloatArray]:
    """Carry and target of every row. [m]"""
    has = table.column_of
    target = _finite(table.values("target"))
    if "carry" in has or "distance" in has:
        meaning = "carry" if "carry" in has else "distance"
        if meaning == "distance":
            name = table.sheet.headings[has["distance"]]
            table.assumed.append(f'"{name}" is taken for the carry, where the ball came down')
        carry = table.values(meaning)
        _drop_impossible(table, meaning, carry, "the carry")
        table.drop(carry < _RANGES["carry"][0], "a carry of nothing: the ball was not read", "Check the row")
        return carry, target
    if "long or short" in has and "target" in has:
        depth = table.values("long or short")
        _drop_impossible(table, "long or short", depth, "how long or short")
        table.drop(np.isnan(target), "no target beside long or short", "Write the distance aimed at")
        return target + depth, target
    if "long or short" in has:
        mend = 'Add a column "target" with the distance aimed at, or a column "carry"'
        raise LogError(table.path, "", "says how long or short, and not of what", mend)
    name = table.sheet.headings[has["total"]]
    raise LogError(
        table.path,
        name,
        "is where the ball stopped, and no column says where it came down",
        f'Export the carry too; if this is the carry, write [logs] columns = {{ "{name}" = "carry" }}',
    )


def _side(table: _LogTable, carry: FloatArray) -> FloatArray:
    """Side of every row. [m]"""
    meaning = "side" if "side" in table.column_of else "total side"
    if meaning not in table.column_of:
        listed = ", ".join(f'"{h}"' for h in table.sheet.headings if h)
        raise LogError(
            table.path,
            "",
            f"no column says how far left or right the balls came down (headings: {listed})",
            'Add a column "side", as "12 R"; for an odd name use [logs] columns of the player file',
        )
    side = table.values(meaning)
    if meaning == "total side":
        name = table.sheet.headings[table.column_of[meaning]]
        table.assumed.append(f'"{name}" is taken for the side where the ball came down')
        table.column_of["side"] = table.column_of[meaning]
    if table.sheet.meanings[table.column_of[meaning]].unit in ANGLES:
        side = np.sin(side) * carry
    return side


def _shots(table: _LogTable, bag: LoggedBag, club: str) -> tuple[list[NamedShot], str]:
    """Club and shot of every row, and a note on a column of shapes that is not used."""
    n = len(table.used)
    remarks = table.sheet.remarks
    blank = [""] * n

    def texts(meaning: str, instead: str) -> list[str]:
        column = table.texts(meaning)
        return [instead] * n if column is None else [str(t) for t in column]

    instead = club or remarks.get("club", "") or _club_of_name(table, bag)
    clubs = texts("club", instead)
    if "club" not in table.column_of:
        if not instead:
            raise LogError(
                table.path, "", "names no club", 'Add a column "club", or give --club "7-iron" with the log'
            )
        table.assumed.append(f'every ball was hit with the "{instead}"')
    shots = texts("shot", remarks.get("shot", ""))
    if all(re.fullmatch(r"\s*#?\d*\s*", t) for t in shots):
        shots = blank  # the balls are only numbered
    shapes, note = texts("shape", ""), ""
    found: dict[tuple[str, str, str], NamedShot] = {}
    if any(shapes):
        of_club = {t: bag.find(t).club for t in set(clubs)}
        used = np.flatnonzero(table.used)
        if outcome_shapes([shapes[i] for i in used], bag, [of_club[clubs[i]] for i in used]):
            name = table.sheet.headings[table.column_of["shape"]]
            note = f'"{name}" is taken for how each ball flew, not for the shot that was meant'
            shapes = blank
    named = []
    for key in zip(clubs, shots, shapes, strict=True):
        if key not in found:
            found[key] = bag.find(*key)
        named.append(found[key])
    for one in found.values():
        if one.wrong:
            which = np.array([name is one for name in named], dtype=bool)
            table.drop(which, one.wrong, one.mend)
    return named, note


def _club_of_name(table: _LogTable, bag: LoggedBag) -> str:
    """The club that the name of the sheet or of the file has, "" for none."""
    for text in (table.sheet.name, re.sub(r"[_\-.]+", " ", table.path.stem)):
        found = bag.find(text) if text else NamedShot()
        if found.club and not found.wrong:
            return found.club
    return ""


def _winds(table: _LogTable) -> tuple[FloatArray, FloatArray]:
    """Helping wind and wind to the right of every row; nan where it is not known. [m/s]"""
    import pandas as pd

    n = len(table.used)
    column = table.texts("wind")
    remark = table.sheet.remarks.get("wind", "")
    unit = MPH_MPS if table.length_m != 1.0 else 1.0
    if column is None:
        return tuple(np.full(n, part) for part in (wind(remark, unit) if remark else (np.nan, np.nan)))  # type: ignore[return-value]
    written = table.sheet.meanings[table.column_of["wind"]].unit
    codes, texts = pd.factorize(column)
    read = [wind(str(t), SPEEDS.get(written, unit)) for t in texts] + [(np.nan, np.nan)]
    both = np.array(read, dtype=np.float64)[codes]
    silent = np.isnan(both[:, 0]) & table.used & ~_by_text(column, lambda t: t.strip().casefold() in NOTHING)
    if silent.any():
        met = str(column.iloc[int(np.flatnonzero(silent)[0])]).strip()
        where = lines_words(table.sheet.lines[silent])
        table.assumed.append(
            f'the wind "{met}" is not understood ({where}): those balls count as they came down'
        )
    return both[:, 0], both[:, 1]


def _places(table: _LogTable) -> np.ndarray:
    """Where every ball was hit: index into `PLACES`, -1 where nothing says it."""
    n = len(table.used)
    place = np.full(n, -1)
    for meaning in ("ball", "lie", "place"):  # the last to speak has the word
        column = table.texts(meaning)
        remark = table.sheet.remarks.get(meaning, "")
        for code, pattern in ((0, _COURSE), (1, _RANGE_BALL if meaning == "ball" else _RANGE), (2, _MAT)):
            if meaning != "place" and code == 0:
                continue  # grass may be that of a range
            if column is not None:
                place[_by_text(column, lambda t, p=pattern: bool(p.search(plain(t))))] = code
            elif remark and pattern.search(plain(remark)):
                place[:] = code
    assert place.max(initial=-1) < len(PLACES)
    return place


def _sessions(table: _LogTable, number: int) -> np.ndarray:
    """A name for the session of every ball: file, day and session. PracticeBalls of a day belong together."""
    n = len(table.used)
    parts = [np.full(n, f"{number}", dtype=object)]
    for meaning in ("date", "session"):
        column = table.texts(meaning)
        if column is not None:
            parts.append(
                np.array(
                    [_day(str(t)) if meaning == "date" else str(t).strip() for t in column], dtype=object
                )
            )
        else:
            parts.append(np.full(n, table.sheet.remarks.get(meaning, ""), dtype=object))
    return np.array([" ".join(filter(None, row)) for row in zip(*parts, strict=True)], dtype=object)


def _day(text: str) -> str:
    """A date without its time of day."""
    return re.sub(r"[T ]+\d{1,2}:\d{2}.*$", "", text.strip())
