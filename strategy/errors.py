"""Errors that a user can act on: the file, the place in it, what is wrong, and what to do.

::

    StrategyError                 anything the user can mend: no traceback, exit code 2
    ├── InputError                one fault in one file
    │   ├── CourseError           course geometry
    │   ├── PlayerError           player file
    │   ├── WeekError             week file
    │   └── LogError              practice log
    ├── InputErrors               all faults of one file
    ├── PhysicsError              a quantity that cannot be right: a wrong unit, a slipped digit
    └── RequestError              a command asked for something that is not there
"""

from __future__ import annotations

from collections.abc import Sequence


class StrategyError(Exception):
    """Anything the user can mend."""


class InputError(StrategyError):
    """One fault in one file.

    Parameters
    ----------
    file : str
        The file as the user named it.
    where : str
        The feature or key as the user wrote it; list entries are counted from 1.
    wrong : str
        What is wrong, with the value met.
    mend : str
        What to do about it.
    """

    def __init__(self, file: object, where: str, wrong: str, mend: str) -> None:
        super().__init__(str(file), where, wrong, mend)
        self.file, self.where, self.wrong, self.mend = str(file), where, wrong, mend

    def __str__(self) -> str:
        place = f"{self.file}: {self.where}" if self.where else self.file
        return f"{place}: {_closed(self.wrong)} {_closed(self.mend)}"


class CourseError(InputError):
    """A fault in course geometry."""


class PlayerError(InputError):
    """A fault in a player file."""


class WeekError(InputError):
    """A fault in a week file."""


class LogError(InputError):
    """A fault in a practice log."""


class InputErrors(StrategyError):
    """All faults of one file, so that they can be mended together."""

    def __init__(self, faults: Sequence[InputError]) -> None:
        super().__init__(tuple(faults))
        self.faults = tuple(faults)

    def __str__(self) -> str:
        return "\n".join(str(fault) for fault in self.faults)


class RequestError(StrategyError):
    """A command asked for something that is not there (a hole, a club, a round)."""


class PhysicsError(StrategyError, ValueError):
    """A quantity that cannot be right. Readers of files repeat `wrong` and `mend` beside file and key.

    Parameters
    ----------
    what : str
        The quantity ("pressure").
    wrong : str
        What is wrong, with the value met.
    mend : str
        The likely mistake, or what to do.
    """

    def __init__(self, what: str, wrong: str, mend: str) -> None:
        super().__init__(what, wrong, mend)
        self.what, self.wrong, self.mend = what, wrong, mend

    def __str__(self) -> str:
        return f"{self.what}: {self.wrong}. {self.mend}{'' if self.mend.endswith('?') else '.'}"


def _closed(sentence: str) -> str:
    """A sentence with its full stop, unless it ends with a question mark or dots."""
    return sentence if sentence.endswith(("?", "...")) else f"{sentence}."
