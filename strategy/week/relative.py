"""Reads the wind of one shot in words: "12 mph from the left", "8 mph into", "10 mph from 2 o'clock".

::

    SPEED into | SPEED down                alone, or with a side
    SPEED from the left | off the right | left to right
    SPEED from HOUR o'clock                the hole is at 12: 3 blows from the right, 6 from behind
    calm
"""

from __future__ import annotations

import re
from typing import Final, NoReturn

from strategy import quantity
from strategy.tomlfile import fault, nearest

_SPEED: Final = re.compile(
    r"(?P<speed>[-+]?\d+(?:\.\d+)?\s*(?:mph|m/s|mps|km/h|kmh|kph|knots?|kn|kts?))(?![\w/])", re.IGNORECASE
)
_CLOCK: Final = re.compile(
    r"(?:from |at |off )?(?:the )?(?P<hour>\d{1,2})(?P<half>[:.]30)?\s*o['’ ]?\s*clock", re.IGNORECASE
)
# Words of caddies for a wind in the face, and for a wind from behind.
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
_FILLERS: Final = frozenset(
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
_ONE_WIND: Final = "Write the one wind the shot is judged by"
_SAMPLE: Final = (
    'Write "12 mph from the left", "8 mph into", "10 mph down off the right" or "12 mph from 2 o\'clock"'
)


def parse_relative_wind(text: str) -> tuple[float, float]:
    """Read speed and direction of a wind relative to the line of a shot.

    Returns
    -------
    speed, blows_from : float
        Speed [m/s]; direction that it blows from, 0 = in the face, 90 = from the right [°].

    Raises
    ------
    PydanticCustomError
        If the text cannot be read, or is not plausible.

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
        raise fault(f'is "{text}", two speeds', _ONE_WIND)
    match = _SPEED.search(words)
    if match is None:
        _refuse_without_speed(words)
    if match["speed"].startswith("-"):
        raise fault(f'is "{text}", a negative speed', "Leave the minus out, and say where it comes from")
    speed = quantity.speed(match["speed"])
    direction_words = f"{words[: match.start()]} {words[match.end() :]}"
    if "gust" in direction_words.casefold() or _SPEED.search(direction_words):
        raise fault(f'is "{text}", two speeds', _ONE_WIND)
    return speed, _direction(direction_words, text, speed)


def _refuse_without_speed(words: str) -> NoReturn:
    """Raise the fault of a text without a speed: it has no number, or a number without a unit."""
    number = re.search(r"(?<![\w.])[-+]?\d+(?:\.\d+)?(?![\d.])(?!\s*(?:[:.]\d|o['’ ]?\s*clock))", words)
    if number is None:
        raise fault(f'is "{words}", without a speed', _SAMPLE)
    unit = re.match(r"\s*([a-z/]+)", words[number.end() :], re.IGNORECASE)
    if unit and unit[1].casefold() not in _DIRECTIONS:
        raise fault(f'is "{words}"; "{unit[1]}" is no unit of speed', _SAMPLE)
    meant = f"{words[: number.end()]} mph{words[number.end() :]}"
    raise fault(f'is "{words}", a speed without a unit', f'Did you mean "{meant}"?')


def _direction(words: str, text: str, speed: float) -> float:
    """Read the direction from the words without the speed; `text` is the whole text, for messages. [°]"""
    clock = _CLOCK.search(words)
    if clock:
        hour = int(clock["hour"])
        if not 1 <= hour <= 12:
            raise fault(
                f'is "{text}"; the clock runs from 1 to 12', "12 is straight into, 3 is from the right"
            )
        others = _without_fillers(f"{words[: clock.start()]} {words[clock.end() :]}")
        if others:
            raise fault(f'is "{text}", said twice over', "Give the clock or the words, not both")
        return (hour + (0.5 if clock["half"] else 0.0)) % 12.0 * 30.0
    words = _without_fillers(words)
    into, words = _take(words, _INTO)
    down, words = _take(words, _DOWN)
    side = None
    for phrase, degrees in _SIDES.items():
        if re.search(rf"\b{phrase}\b", words):
            words = re.sub(rf"\b{phrase}\b", " ", words, count=1)
            side = degrees
            break
    others = _without_fillers(words)
    if others and others not in ("from", "off"):
        _refuse_unknown(others, text)
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


def _without_fillers(text: str) -> str:
    """A text in small letters without the words that do not matter for the direction."""
    words = re.sub(r"[-.]", " ", text.casefold()).split()
    return " ".join(w for w in words if w not in _FILLERS)


def _take(words: str, phrases: tuple[str, ...]) -> tuple[bool, str]:
    """Whether one of the phrases occurs in some words, and the words without it."""
    for phrase in sorted(phrases, key=len, reverse=True):
        pattern = rf"\b{_without_fillers(phrase)}\b"
        if re.search(pattern, words):
            return True, " ".join(re.sub(pattern, " ", words).split())
    return False, words


def _refuse_unknown(words: str, text: str) -> NoReturn:
    """Raise the fault of words that are not understood, with the likely mistake."""
    if _COMPASS.search(words):
        raise fault(
            f'is "{text}", a point of the compass',
            'Say it against the line of the shot ("from the left"), or give --course and --week',
        )
    if re.search(r"\b(?:left|right)\b", words):
        side = "left" if "left" in words else "right"
        if side in text.casefold() and re.search(
            rf"(?:from|off)(?: the)? (?!{side})(?:left|right)", text, re.IGNORECASE
        ):
            raise fault(f'is "{text}", which blows both ways', _SAMPLE)
        raise fault(
            f'is "{text}": to the {side}, or from it?', f'Write "from the {side}" if it comes from there'
        )
    if "quarter" in words:
        raise fault(f'is "{text}": into, or down?', 'Write "into from the left" or "down from the left"')
    word = next((w for w in words.split() if w not in ("from", "off")), words)
    close = nearest(word, (*_KNOWN, "left", "right"))
    close = f"from the {close}" if close in ("left", "right") else close
    raise fault(f'is "{text}"; "{word}" is not understood', f'Did you mean "{close}"?' if close else _SAMPLE)
