"""What a practice log says, in SI units, right positive, and what of it is not used and why."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields
from typing import Final

import numpy as np

from strategy.arrays import FloatArray, IntArray

PLACES: Final = ("course", "range", "mat")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PracticeBalls:
    """PracticeBalls of practice, one entry each (n,).

    Attributes
    ----------
    file, line : ndarray of int
        Position of the file among those read, and line of the file (row of the sheet) from 1.
    club, shot : ndarray of str
        As the player file has them; a shot that it lacks, as the log has it.
    carry_m, side_m : ndarray
        Where the ball came down: along the target line, and right of it. [m]
    target_m : ndarray
        Distance that the ball was aimed at; nan where it is not known. [m]
    ball_speed_mps, launch_deg, start_deg, spin_rad_s, apex_m : ndarray
        Launch and flight; start is right of the target line; nan where not known. [m/s], [°], [rad/s], [m]
    curve_m : ndarray
        How far right of its start line the ball came down; nan where not known. [m]
    axis : ndarray
        Sign of the curve by the spin axis or side spin, right positive; nan where not known.
    along_mps, across_mps : ndarray
        Helping wind and wind that blows to the right; nan where not known. [m/s]
    place : ndarray of int
        Index into `PLACES`, -1 where not known.
    session : ndarray of str
        File, day and session that the ball belongs to.
    """

    file: IntArray
    line: IntArray
    club: np.ndarray
    shot: np.ndarray
    carry_m: FloatArray
    side_m: FloatArray
    target_m: FloatArray
    ball_speed_mps: FloatArray
    launch_deg: FloatArray
    start_deg: FloatArray
    spin_rad_s: FloatArray
    apex_m: FloatArray
    curve_m: FloatArray
    axis: FloatArray
    along_mps: FloatArray
    across_mps: FloatArray
    place: IntArray
    session: np.ndarray

    def __len__(self) -> int:
        return len(self.line)

    def take(self, which: np.ndarray) -> PracticeBalls:
        """Some of the balls, by positions or by a mask."""
        return PracticeBalls(**{f.name: getattr(self, f.name)[which] for f in fields(self)})

    @staticmethod
    def join(parts: Iterable[PracticeBalls]) -> PracticeBalls:
        """The balls of several logs."""
        each = tuple(parts)
        return PracticeBalls(
            **{f.name: np.concatenate([getattr(p, f.name) for p in each]) for f in fields(PracticeBalls)}
        )


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Rows that are not used, for one reason.

    Attributes
    ----------
    why : str
        The reason, with what was met in the first of the rows.
    lines : tuple of int
        Lines of the file.
    mend : str
        What to do about it; "" for rows that are no balls, such as averages.
    """

    why: str
    lines: tuple[int, ...]
    mend: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PracticeLog:
    """One log as read.

    Attributes
    ----------
    file : str
        As the user named it.
    balls : PracticeBalls
        The rows that are used.
    left_out : tuple of LeftOut
        Every row that is not, except blank ones and comments.
    columns : mapping of str to str
        Meaning of every heading that is used.
    unused : tuple of str
        Headings that are not understood, so that their columns are not used.
    assumed : tuple of str
        What the log does not say and was assumed, in sentences.
    """

    file: str
    balls: PracticeBalls
    left_out: tuple[LeftOut, ...] = ()
    columns: Mapping[str, str] = field(default_factory=dict)
    unused: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()


def lines_words(lines: Iterable[int], most: int = 8) -> str:
    """Lines in words, with runs of lines together.

    >>> lines_words([4, 5, 6, 9]), lines_words([3])
    ('lines 4-6, 9', 'line 3')
    """
    runs: list[list[int]] = []
    for line in sorted(set(lines)):
        if runs and line == runs[-1][1] + 1:
            runs[-1][1] = line
        else:
            runs.append([line, line])
    parts = [f"{a}" if a == b else f"{a}-{b}" for a, b in runs]
    if len(parts) > most:
        parts = [*parts[:most], f"and {len(parts) - most} more"]
    is_one = len(runs) == 1 and runs[0][0] == runs[0][1]
    return f"{'line' if is_one else 'lines'} {', '.join(parts)}"
