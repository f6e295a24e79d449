"""A wind as it is said of one shot: "12 mph from the left", "into off the right", "10 mph from 2 o'clock".

::

    SPEED  into | down | across WORD | from WHERE | HOUR o'clock        calm
    into, down   alone, or "from the left", "off the right", "left to right"
    on the clock 12 is the hole: 12 o'clock is straight into, 3 blows from the right, 6 from behind
"""

from __future__ import annotations

import re
from typing import Final

from strategy import quantity
from strategy.tomlfile import fault, nearest

_SPEED: Final = re.compile(
    r"(?P<speed>[-+]?\d+(?:\.\d+)?\s*(?:mph|m/s|mps|km/h|kmh|kph|knots?|kn|kts?))(?![\w/])", re.IGNORECASE
)
_CLOCK: Final = re.compile(
    r"(?:from |at |off )?(?:the )?(?P<hour>\d{1,2})(?P<half>[:.]30)?\s*o['’ ]?\s*clock", re.IGNORECASE
)
# What blows in the face, and what blows from behind; both as caddies say them.
_INTO: Final = ("into", "in the face", "against", "hurting", "hurt", "head", "headwind", "from the front")
_DOWN: Final = (
    *("down", "downwind", "down wind", "helping", "help", "behind", "from behind", "tail", "tailwind"),
    *("following", "with"),
)
_SIDES: Final = {
    "left to right": 270.0,
    "right to left": 90.0,
    "from left": 270.0,
    "from right": 90.0,
    "off left": 270.0,
    "off right": 90.0,
}
_FILL: Final = frozenset(
    ("the", "a", "and", "wind", "it", "is", "us", "face", "cross", "across", "crosswind", "straight", "of")
)
_DIRECTIONS: Final = frozenset(
    f"{' '.join((*_INTO, *_DOWN))} from off left right the cross across at".split()
)
_CALM: Final = frozenset({"calm", "none", "no wind", "nothing", "still"})
_KNOWN: Final = (
    *("into", "down", "helping", "hurting", "headwind", "tailwind", "behind", "against"),
    *("from", "off", "across", "o'clock"),
)
_COMPASS: Final = re.compile(
    r"\b(?:n|s|e|w|nn?[ew]|ss?[ew]|[ew][ns][ew]|(?:north|south|east|west)[-\s]?(?:east|west)?(?:erly)?)\b",
    re.IGNORECASE,
)
_RANGE: Final = re.compile(r"\d\s*(?:-|–|to)\s*\d", re.IGNORECASE)
_ONE: Final = "Write the one wind the shot is judged by"
_SAMPLE: Final = (
    'Write "12 mph from the left", "8 mph into", "10 mph down off the right" or "12 mph from 2 o\'clock"'
)


def parse_relative_wind(text: str) -> tuple[float, float]:
    """Speed, and where it blows from against the line of the shot: 0 = in the face, 90 = right. [m/s], [°]

    Raises
    ------
    PydanticCustomError
        The fault of a validator, when it cannot be read or cannot be meant.

    Examples
    --------
    >>> parse_relative_wind("5 m/s into"), parse_relative_wind("5 m/s from the left")
    ((5.0, 0.0), (5.0, 270.0))
    >>> parse_relative_wind("5 m/s down off the right"), parse_relative_wind("5 m/s from 2 o'clock")
    ((5.0, 135.0), (5.0, 60.0))
    >>> parse_relative_wind("calm")
    (0.0, 0.0)
    """
    words = " ".join(text.replace(",", " ").split())
    if words.casefold() in _CALM:
        return 0.0, 0.0
    if _RANGE.search(words):
        raise fault(f'is "{text}", two speeds', _ONE)
    found = _SPEED.search(words)
    if found is None:
        return _without_speed(words)
    if found["speed"].startswith("-"):
        raise fault(f'is "{text}", a negative speed', "Leave the minus out, and say where it comes from")
    speed = quantity.speed(found["speed"])
    rest = f"{words[: found.start()]} {words[found.end() :]}"
    if "gust" in rest.casefold() or _SPEED.search(rest):
        raise fault(f'is "{text}", two speeds', _ONE)
    return speed, _from(rest, text, speed)


def _without_speed(words: str) -> tuple[float, float]:
    """Always raises: a number without a unit, or no number at all."""
    number = re.search(r"(?<![\w.])[-+]?\d+(?:\.\d+)?(?![\d.])(?!\s*(?:[:.]\d|o['’ ]?\s*clock))", words)
    if number is None:
        raise fault(f'is "{words}", without a speed', _SAMPLE)
    unit = re.match(r"\s*([a-z/]+)", words[number.end() :], re.IGNORECASE)
    if unit and unit[1].casefold() not in _DIRECTIONS:
        raise fault(f'is "{words}"; "{unit[1]}" is no unit of speed', _SAMPLE)
    meant = f"{words[: number.end()]} mph{words[number.end() :]}"
    raise fault(f'is "{words}", a speed without a unit', f'Did you mean "{meant}"?')


def _from(rest: str, text: str, speed: float) -> float:
    """Where it blows from. [°]"""
    clock = _CLOCK.search(rest)
    if clock:
        hour = int(clock["hour"])
        if not 1 <= hour <= 12:
            raise fault(
                f'is "{text}"; the clock runs from 1 to 12', "12 is straight into, 3 is from the right"
            )
        left = _plain(f"{rest[: clock.start()]} {rest[clock.end() :]}")
        if left:
            raise fault(f'is "{text}", said twice over', "Give the clock or the words, not both")
        return (hour + (0.5 if clock["half"] else 0.0)) % 12.0 * 30.0
    said = _plain(rest)
    into, said = _taken(said, _INTO)
    down, said = _taken(said, _DOWN)
    side = None
    for phrase, degrees in _SIDES.items():
        if re.search(rf"\b{phrase}\b", said):
            said = re.sub(rf"\b{phrase}\b", " ", said, count=1)
            side = degrees
            break
    left = _plain(said)
    if left and left not in ("from", "off"):
        _unknown(left, text)
    if into and down:
        raise fault(f'is "{text}", which blows both ways', _SAMPLE)
    if not (into or down) and side is None:
        if speed == 0.0:
            return 0.0
        raise fault(f'is "{text}", without where it comes from', _SAMPLE)
    if side is None:
        return 0.0 if into else 180.0
    if not (into or down):
        return side
    quarter = 45.0 if into else 135.0
    return quarter if side == 90.0 else 360.0 - quarter


def _plain(text: str) -> str:
    """Lower case, without the words that say nothing of the direction."""
    words = re.sub(r"[-.]", " ", text.casefold()).split()
    return " ".join(w for w in words if w not in _FILL)


def _taken(said: str, phrases: tuple[str, ...]) -> tuple[bool, str]:
    """Whether one of the phrases is said, and what is left without them."""
    for phrase in sorted(phrases, key=len, reverse=True):
        plain = _plain(phrase)
        if re.search(rf"\b{plain}\b", said):
            return True, " ".join(re.sub(rf"\b{plain}\b", " ", said).split())
    return False, said


def _unknown(left: str, text: str) -> None:
    """Always raises, with the likely mistake."""
    if _COMPASS.search(left):
        raise fault(
            f'is "{text}", a point of the compass',
            'Say it against the line of the shot ("from the left"), or give --course and --week',
        )
    if re.search(r"\b(?:left|right)\b", left):
        side = "left" if "left" in left else "right"
        if side in text.casefold() and re.search(
            rf"(?:from|off)(?: the)? (?!{side})(?:left|right)", text, re.IGNORECASE
        ):
            raise fault(f'is "{text}", which blows both ways', _SAMPLE)
        raise fault(
            f'is "{text}": to the {side}, or from it?', f'Write "from the {side}" if it comes from there'
        )
    if "quarter" in left:
        raise fault(f'is "{text}": into, or down?', 'Write "into from the left" or "down from the left"')
    word = next((w for w in left.split() if w not in ("from", "off")), left)
    close = nearest(word, (*_KNOWN, "left", "right"))
    close = f"from the {close}" if close in ("left", "right") else close
    raise fault(f'is "{text}"; "{word}" is not understood', f'Did you mean "{close}"?' if close else _SAMPLE)
