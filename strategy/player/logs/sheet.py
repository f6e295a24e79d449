"""A practice log as a table of texts: encoding, delimiter, sheets, and the row of headings.

pandas reads the file. What stands above the headings ("Date: 3 May", "Club;7 iron") is kept as remarks.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from strategy.errors import LogError
from strategy.player.logs.meaning import Heading, heading, plain

if TYPE_CHECKING:
    import pandas as pd

    from strategy.arrays import IntArray

_DELIMITERS: Final = (",", ";", "\t", "|")
_TOP_ROWS: Final = 80  # the headings stand within these
_LENGTHS: Final = frozenset({"carry", "distance", "total", "long or short"})
_SHEETS: Final = frozenset({".xlsx", ".xlsm"})


@dataclass(frozen=True, slots=True, kw_only=True)
class LogSheet:
    """One table of balls.

    Attributes
    ----------
    rows : DataFrame
        The rows below the headings, texts only, "" where nothing stands.
    lines : ndarray of int
        Line of the file, or row of the sheet, of every row.
    headings : tuple of str
        As written.
    meanings : tuple of Heading
        What they mean.
    remarks : mapping of str to str
        What stands above the headings, by meaning ("club": "7 iron").
    is_semicolon : bool
        Whether cells are separated by semicolons or tabs, so that a comma may be a decimal mark.
    name : str
        Name of the sheet of a workbook; "" for a text file.
    """

    rows: pd.DataFrame
    lines: IntArray
    headings: tuple[str, ...]
    meanings: tuple[Heading, ...]
    remarks: Mapping[str, str]
    is_semicolon: bool
    name: str = ""


def read_sheets(path: Path, odd: Mapping[str, str]) -> list[LogSheet]:
    """The tables of a log.

    Parameters
    ----------
    path : Path
        A text file with one row a ball, or an .xlsx workbook.
    odd : mapping of str to str
        Meanings of odd headings.

    Raises
    ------
    LogError
        If the file cannot be read, or has no row of headings.
    """
    if path.suffix.casefold() == ".xls":
        raise LogError(path, "", "is an old .xls workbook", "Save it as .xlsx or as CSV")
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        raise LogError(path, "", "no such file", "Check the name and the folder") from None
    except IsADirectoryError:
        raise LogError(path, "", "is a folder, not a log", "Name the files in it") from None
    except OSError as reason:
        raise LogError(path, "", f"cannot be read: {reason.strerror}", "Check its permissions") from None
    if not data.strip():
        raise LogError(path, "", "is empty", "Export the log again")
    is_workbook = data[:4] == b"PK\x03\x04" or path.suffix.casefold() in _SHEETS
    tables = _workbook(path, data) if is_workbook else [("", *_text_table(path, data, odd))]
    found = [sheet for name, table, sep in tables if (sheet := _sheet(table, sep, odd, name)) is not None]
    if not found:
        raise _no_headings(path, tables[0][1] if tables else None)
    return found


def _workbook(path: Path, data: bytes) -> list[tuple[str, pd.DataFrame, str]]:
    import warnings
    from zipfile import BadZipFile

    import pandas as pd
    from openpyxl.utils.exceptions import InvalidFileException

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # on styles that a workbook lacks
            sheets = pd.read_excel(
                io.BytesIO(data), sheet_name=None, header=None, dtype=object, engine="openpyxl"
            )
    except (BadZipFile, InvalidFileException, KeyError, ValueError, OSError, TypeError):
        raise LogError(
            path, "", "is no workbook that can be read", "Save it again as .xlsx or as CSV"
        ) from None
    return [(str(name), _texts(table), ";") for name, table in sheets.items() if len(table)]


def _texts(table: pd.DataFrame) -> pd.DataFrame:
    """A table of any values as one of texts."""
    missing = table.isna()
    texts = table.map(_as_text)
    return texts.mask(missing, "")


def _as_text(value: object) -> str:
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    return str(value).removesuffix(" 00:00:00")


def _text_table(path: Path, data: bytes, odd: Mapping[str, str]) -> tuple[pd.DataFrame, str]:
    import pandas as pd

    text = _decoded(path, data)
    first, _, below = text.partition("\n")
    lead = 0
    if re.fullmatch(r"sep=.\s*", first):  # a line for spreadsheets
        text, lead = below, 1
    delimiter = _delimiter(text, odd)
    width = max(line.count(delimiter) for line in text.splitlines() or [""]) + 1
    if width > 400:
        raise LogError(path, "", f"has a row of {width} cells", "One row a ball, one column a quantity")
    try:
        table = pd.read_csv(
            io.StringIO(text),
            sep=delimiter,
            header=None,
            names=list(range(width)),
            dtype=str,
            keep_default_na=False,
            na_filter=False,
            skip_blank_lines=False,
            index_col=False,
        )
    except (pd.errors.ParserError, pd.errors.EmptyDataError, ValueError) as reason:
        raise LogError(path, "", f"is no table: {reason}".strip(), "Save it as CSV again") from None
    if '"' in text:
        # A cell may go over several lines: each row starts after the lines of the rows above it.
        breaks = np.zeros(len(table), dtype=np.int64)
        for column in table.columns:
            breaks += table[column].str.count("\n").fillna(0).to_numpy(dtype=np.int64)
        starts = np.arange(len(table)) + np.concatenate(([0], np.cumsum(breaks)[:-1]))
        table.index = pd.Index(starts + lead)
    else:
        table.index = pd.RangeIndex(lead, lead + len(table))
    return table, delimiter


def _decoded(path: Path, data: bytes) -> str:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        encodings = ["utf-16"]
    elif b"\x00" in data[:4096]:
        raise LogError(path, "", "is no text and no workbook", "Export the log as CSV or .xlsx")
    else:
        encodings = ["utf-8-sig", "cp1252", "latin-1"]
    for encoding in encodings:
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        return text.replace("\r\n", "\n").replace("\r", "\n").replace("\x00", "")
    raise LogError(path, "", "is no text that can be read", "Save it as CSV in UTF-8")


def _delimiter(text: str, odd: Mapping[str, str]) -> str:
    """The delimiter that gives the row of headings with the most meanings."""
    top = text[:40_000].split("\n")[:_TOP_ROWS]

    def worth(delimiter: str) -> tuple[int, int]:
        rows = [_split(line, delimiter) for line in top]
        return max((_score([heading(c, odd) for c in row]) for row in rows), default=0), max(map(len, rows))

    return max(_DELIMITERS, key=worth)


def _split(line: str, delimiter: str) -> list[str]:
    return next(iter(csv.reader([line], delimiter=delimiter)), [])


def _score(meanings: list[Heading]) -> int:
    """How many different meanings a row has, if it can be the row of headings; else 0."""
    found = {m.meaning for m in meanings if m.meaning}
    return len(found) if len(found) >= 2 and found & _LENGTHS else 0


def _sheet(table: pd.DataFrame, delimiter: str, odd: Mapping[str, str], name: str) -> LogSheet | None:
    """The balls of a table; None for one without headings."""
    top = [[str(cell) for cell in row] for row in table.iloc[:_TOP_ROWS].itertuples(index=False)]
    scores = [
        0 if row and row[0].lstrip().startswith("#") else _score([heading(c, odd) for c in row])
        for row in top
    ]
    best = max(scores, default=0)
    if best == 0:
        return None
    at = scores.index(best)
    # Headings may have their units in a row of their own.
    meanings = [heading(cell, odd) for cell in top[at]]
    if at + 1 < len(top):
        below = [plain(cell).strip("[]() .") for cell in top[at + 1]]
        units = [heading(f"carry [{cell}]").unit if cell else "" for cell in below]
        if sum(map(bool, units)) >= 1 and all(u or not c for u, c in zip(units, below, strict=True)):
            meanings = [Heading(m.meaning, m.unit or u) for m, u in zip(meanings, units, strict=True)]
    return LogSheet(
        rows=table.iloc[at + 1 :].reset_index(drop=True),
        lines=table.index.to_numpy(dtype=np.int64)[at + 1 :] + 1,
        headings=tuple(cell.strip() for cell in top[at]),
        meanings=tuple(meanings),
        remarks=_remarks(top[:at]),
        is_semicolon=delimiter != ",",
        name=name,
    )


def _remarks(rows: list[list[str]]) -> dict[str, str]:
    """What rows such as "Club: 7 iron" above the headings say, by meaning."""
    remarks: dict[str, str] = {}
    for row in rows:
        cells = [cell.strip(" #\t") for cell in row if cell.strip(" #\t")]
        if len(cells) == 1 and ":" in cells[0]:
            before, _, after = cells[0].partition(":")
            cells = [before, after.strip()]
        if len(cells) == 2 and cells[1]:
            meaning = heading(cells[0].rstrip(": ")).meaning
            if meaning in ("club", "shot", "date", "place", "session", "ball", "player", "wind"):
                remarks[meaning] = cells[1]
    return remarks


def _no_headings(path: Path, table: Any) -> LogError:
    met = ""
    if table is not None and len(table):
        cells = [str(c) for c in table.iloc[0] if str(c).strip()]
        met = f' (the first line is "{", ".join(cells)[:60]}")'
    return LogError(
        path,
        "",
        f"has no row of headings with a distance{met}",
        'Write one above the balls, as "club,carry,side"; for odd names the player file has [logs] columns',
    )
