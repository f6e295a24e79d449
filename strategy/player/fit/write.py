"""Writes fitted shots into a player file: the user's lines, order and comments stay.

Of a shot that stands in the file only the numbers change that practice measures. A shot that it lacks is
added at the end of the shots. A partial wedge of the `[wedges]` table moves among the shots, since a scatter
can stand only there. What is written has been read back and checked as any player file is.
"""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

from strategy.errors import InputErrors, PlayerError
from strategy.player.file import PlayerFile
from strategy.player.fit.practice import FittedShot, PracticeFit
from strategy.player.read import read_player, read_player_file
from strategy.units import YARD_M
from strategy.writing import write_text

DIGITS: Final = 1
MISHITS_STEP: Final = 0.02  # a share of mishits is written where it is off the file's by as much


def fitted_text(path: Path, fit: PracticeFit) -> str:
    """The player file with what was fitted.

    Parameters
    ----------
    path : Path
        The player file as it stands.
    fit : PracticeFit
        What practice says.

    Raises
    ------
    InputErrors
        If the numbers that were measured make no valid file, such as an 8-iron that carries past the 7-iron.
    """
    import tomlkit

    file, _ = read_player_file(path)
    document: Any = tomlkit.parse(path.read_bytes().decode("utf-8-sig"))
    entry_of = {
        (e.club.casefold(), e.shot.casefold()): document["shots"][i] for i, e in enumerate(file.shots)
    }
    for shot in fit.shots:
        entry = entry_of.get((shot.club.casefold(), shot.name.casefold()))
        if entry is None:
            entry = tomlkit.table()
            entry["club"], entry["shot"] = shot.club, shot.name
            _take_from_wedges(document, shot)
            document["shots"].append(entry)
            entry = document["shots"][-1]
        for key, value in _values(shot, file).items():
            _put(entry, key, value)
    text = tomlkit.dumps(document)
    _check(path, text)
    return text


def write_fitted(path: Path, fit: PracticeFit, out: Path | None = None) -> None:
    """Write what was fitted into a player file, or into another file."""
    write_text(out or path, fitted_text(path, fit))


def _values(shot: FittedShot, file: PlayerFile) -> dict[str, Any]:
    """What is written of a shot, by key; None for what is taken out."""
    unit_m = YARD_M if file.units == "yards" else 1.0
    side, depth = shot.scatter
    where = shot.calm.where if shot.calm.where in ("range", "mat") else "course"
    # A scatter of the range is written as measured: reading widens it.
    factor = unit_m * (1.0 if where == "course" else file.range_factor)
    # A mean to the side that is smaller than its own error would only move aims by luck.
    mean = shot.bias.mean_m if abs(shot.bias.mean_m) >= shot.bias.error_m else 0.0
    bias = round(mean / unit_m, DIGITS)
    share = round(shot.fit.share, 2)
    return {
        "carry": round(shot.carry_m / unit_m, DIGITS),
        "side": round(side / factor, DIGITS),
        "depth": round(depth / factor, DIGITS),
        "balls": len(shot.balls),
        "where": None if where == "course" else where,
        "tilt": round(shot.tilt, 2) or None,
        "bias_side": float(bias) or None,
        "mishits": share if abs(share - file.usual_mishits[0]) >= MISHITS_STEP - 1e-9 else None,
    }


def _put(entry: Any, key: str, value: Any) -> None:
    """Set a key of a table, a new one before the blank lines and comments that end it; None takes it out."""
    if value is None:
        if key in entry:
            entry.remove(key)
        return
    if key in entry:
        if not (isinstance(entry[key], (int, float)) and float(entry[key]) == value) or isinstance(
            value, str
        ):
            entry[key] = value
        return
    body = entry.value.body
    tail = []
    while body and body[-1][0] is None:
        tail.append(body.pop())
    entry.append(key, value)
    body.extend(reversed(tail))


def _take_from_wedges(document: Any, shot: FittedShot) -> None:
    wedges = document.get("wedges", {})
    for club, swings in wedges.items():
        if club.casefold() == shot.club.casefold() and isinstance(swings, Mapping) and shot.name in swings:
            swings.remove(shot.name)  # type: ignore[attr-defined]


def _check(path: Path, text: str) -> None:
    """Read the text as a player file; its faults name the file that was to be written."""
    with tempfile.TemporaryDirectory() as folder:
        trial = Path(folder) / path.name
        trial.write_text(text, encoding="utf-8")
        try:
            read_player(trial)
        except InputErrors as found:
            faults = [PlayerError(path, f.where, f.wrong, f.mend) for f in found.faults]
            note = PlayerError(
                path, "", "is not changed: with the numbers of the logs it would not be valid", "See below"
            )
            raise InputErrors([note, *faults]) from None
