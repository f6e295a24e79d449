"""Numbers, sides and winds in the cells of a practice log.

A column is read by its different texts, each once: 200,000 balls have a few thousand.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.player.logs.meaning import SPEEDS, plain

if TYPE_CHECKING:
    import pandas as pd

NOTHING: Final = frozenset(
    {"", "-", "--", "---", "n/a", "na", "nan", "null", "none", "?", "#n/a", ".", "nat", "x"}
)
_ON_LINE: Final = frozenset(
    {"straight", "on line", "online", "centre", "center", "middle", "gerade", "droit", "c"}
)
_LEFT: Final = frozenset({"l", "left", "links", "li", "g", "gauche", "i", "izq", "izquierda", "s", "sx",
                          "sinistra",                          "v", "vanster"})  # fmt: skip
_RIGHT: Final = frozenset({"r", "right", "rechts", "re", "d", "dr", "droite", "der", "derecha", "dx",
                           "destra", "h",                            "hoger"})  # fmt: skip
# Sides that depend on the hand: for a right-hander a pull goes left.
_PULLED: Final = frozenset({"pull", "pulled", "hook", "draw"})
_PUSHED: Final = frozenset({"push", "pushed", "slice", "fade"})
_SHORT: Final = frozenset({"short", "kurz", "court", "corto", "corta", "kort"})
_LONG: Final = frozenset({"long", "lang", "largo", "larga", "lungo", "over", "past", "lange"})
_CELL: Final = re.compile(
    r"(?P<before>[a-z]+)?[\s:]*(?P<number>[-+]?[\d][\d.,' ]*|[-+]?[.,]\d+)\s*"
    r"(?P<after>[a-z/°.]*(?:\s+[a-z/°.]+)*)"
)


def number(text: str, mark: str) -> float:
    """A number as written with a decimal mark; nan where it is none.

    Where a number has both marks the last is the decimal one. A mark that stands before every group of three
    digits and is not the decimal mark of the file groups thousands.

    Examples
    --------
    >>> number("1.234,5", "."), number("2,650", "."), number("12,5", "."), number("−3.5", ".")
    (1234.5, 2650.0, 12.5, -3.5)
    """
    cleaned = (
        text.replace("−", "-").replace("\u00a0", "").replace("\u202f", "").replace("'", "").replace(" ", "")
    )
    cleaned = cleaned.rstrip(".,") or cleaned
    other = "," if mark == "." else "."
    if "." in cleaned and "," in cleaned:
        last = max(cleaned.rfind("."), cleaned.rfind(","))
        cleaned = re.sub(r"[.,]", "", cleaned[:last]) + "." + cleaned[last + 1 :]
    elif other in cleaned:
        is_grouped = re.fullmatch(rf"[-+]?\d{{1,3}}(?:\{other}\d{{3}})+", cleaned)
        cleaned = cleaned.replace(other, "" if is_grouped else ".")
    elif mark == ",":
        cleaned = cleaned.replace(",", ".")
    elif cleaned.count(".") > 1:
        cleaned = cleaned.replace(".", "")
    try:
        value = float(cleaned)
    except ValueError:
        return float("nan")
    return value if np.isfinite(value) else float("nan")


def decimal_mark(texts: Sequence[str], is_semicolon: bool) -> str:
    """The decimal mark of a file, by its numbers: the one that is followed by other than three digits."""
    joined = "\n".join(texts)
    comma = len(re.findall(r"\d,(?:\d{1,2}|\d{4,})(?!\d)", joined))
    point = len(re.findall(r"\d\.(?:\d{1,2}|\d{4,})(?!\d)", joined))
    if comma == point:
        return "," if is_semicolon and re.search(r"\d,\d", joined) else "."
    return "," if comma > point else "."


class Cell:
    """Reads one text of a numeric column.

    Parameters
    ----------
    units : mapping of str to float
        Units that the column may have, with their factors.
    unit : float
        Factor of a bare number.
    mark : str
        Decimal mark of the file.
    least, most : float
        Range of what is possible; a number outside it is tried with the other decimal mark.
    right_handed : bool
        For sides in words such as "8 pull".
    """

    def __init__(
        self,
        units: Mapping[str, float],
        unit: float,
        mark: str,
        least: float,
        most: float,
        right_handed: bool,
    ) -> None:
        self.units, self.unit, self.mark = units, unit, mark
        self.least, self.most = least, most
        self.right_handed = right_handed

    def __call__(self, text: str) -> float:
        """The value; nan where the text is not understood, inf where it is understood and not possible."""
        words = plain(text).replace("−", "-")
        if words in _ON_LINE:
            return 0.0
        match = _CELL.fullmatch(words)
        if not match:
            return float("nan")
        factor, sign, mirrored = self.unit, 0.0, 1.0 if self.right_handed else -1.0
        for word in [match["before"] or "", *re.split(r"[\s]+", match["after"])]:
            bare = word.strip(".")
            if not bare:
                continue
            if bare in self.units:
                factor = self.units[bare]
            elif bare in _LEFT or bare in _SHORT:
                sign = -1.0
            elif bare in _RIGHT or bare in _LONG:
                sign = 1.0
            elif bare in _PULLED:
                sign = -mirrored
            elif bare in _PUSHED:
                sign = mirrored
            else:
                return float("nan")
        written = match["number"].strip()
        value = number(written, self.mark) * factor
        if not self.least <= abs(value) <= self.most and re.search(r"[.,]\d{3}$", written):
            value = number(written, "," if self.mark == "." else ".") * factor
        if sign:
            value = sign * abs(value)
        if np.isnan(value):
            return value
        return value if abs(value) <= self.most else float("inf")


def numbers(column: pd.Series[Any], cell: Callable[[str], float]) -> FloatArray:
    """The values of a column (n,): nan where a cell is empty or not understood."""
    import pandas as pd

    codes, texts = pd.factorize(column)
    values = np.array(
        [float("nan") if t.strip().casefold() in NOTHING else cell(t) for t in texts] + [np.nan]
    )
    return np.asarray(values[codes], dtype=np.float64)


_INTO: Final = frozenset({"into", "head", "headwind", "against", "gegen", "gegenwind", "face", "contre",
                          "contra",                           "contro", "mot", "in"})  # fmt: skip
_DOWN: Final = frozenset({"down", "downwind", "help", "helping", "tail", "tailwind", "behind", "ruckenwind",
                          "rucken", "arriere", "favor", "favore", "med", "with"})  # fmt: skip


def wind(text: str, unit: float) -> tuple[float, float]:
    """Helping wind, and wind that blows to the right, in a cell such as "8 mph into". [m/s]

    Both are nan where the text is not understood.

    >>> wind("10 m/s into", 1.0), wind("4 m/s from the left", 1.0), wind("calm", 1.0)
    ((-10.0, 0.0), (0.0, 4.0), (0.0, 0.0))
    """
    words = plain(text)
    if words in ("calm", "none", "0", "still", "windstill", "calme", "calma"):
        return 0.0, 0.0
    match = re.search(r"(\d+(?:[.,]\d+)?)\s*([a-z/]+)?", words)
    if not match:
        return float("nan"), float("nan")
    speed = number(match[1], ".") * SPEEDS.get(match[2] or "", unit)
    rest = set(
        re.findall(r"[a-z]+", words[: match.start()] + " " + words[match.start() :].replace(match[1], " ", 1))
    )
    along = (1.0 if rest & _DOWN else 0.0) - (1.0 if rest & _INTO else 0.0)
    across = (1.0 if rest & {"left", "links", "gauche", "l"} else 0.0) - (
        1.0 if rest & {"right", "rechts", "droite", "r"} else 0.0
    )
    if re.search(r"\b(?:l|left)\s*(?:to|-|>|→)+\s*(?:r|right)\b", words):
        across = 1.0
    elif re.search(r"\b(?:r|right)\s*(?:to|-|>|→)+\s*(?:l|left)\b", words):
        across = -1.0
    size = float(np.hypot(along, across))
    if speed == 0.0:
        return 0.0, 0.0
    if size == 0.0 or speed > 40.0:
        return float("nan"), float("nan")
    return speed * along / size, speed * across / size
