"""Letters for the names on a picture: which installed font has them, and what stands for those that none has.

Names come in any script; the font that matplotlib brings has Latin, Greek, Cyrillic, Armenian, Georgian,
Hebrew and Arabic. For others an installed font that has the letters is used beside it. Letters that no font
has, or that cannot be set in their order here, are replaced by their plain form where there is one, else
"[…]": no boxes, no warnings.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from typing import Final

BASE: Final = "DejaVu Sans"  # comes with matplotlib, so it is there on every machine
LEFT_OUT: Final = "[…]"
LEFT_OUT_WORDS: Final = (
    f"{LEFT_OUT} and names that are missing: no font here has their letters; see the text."
)
# Fonts that show a box or a code for every letter there is, and fonts of formulas.
_NO_TEXT: Final = (
    "last resort",
    "stix",
    "cmr",
    "cmb",
    "cmex",
    "cmmi",
    "cmss",
    "cmsy",
    "cmtt",
    "cmti",
    "math",
)
_LEFT_TO_RIGHT: Final = "\N{LEFT-TO-RIGHT MARK}"  # has no shape; the base font has it
_SHAPES_FROM: Final = (3, 11)  # matplotlib from here on joins and orders the letters of such scripts
_SHAPED: Final = ((0x0590, 0x08FF), (0x0900, 0x0DFF), (0x0F00, 0x109F), (0x1780, 0x18AF), (0xFB1D, 0xFEFC))


def lettered(text: str, weight: str = "normal") -> str:
    """A text with what no font has replaced.

    Parameters
    ----------
    text : str
        Any text; lines stay apart.
    weight : str
        "normal" or "bold".

    Examples
    --------
    >>> lettered("Ｈｏｌｅ \N{FISHEYE}\N{VARIATION SELECTOR-16}７"), lettered("Café, 7 − 1")
    ('Hole ◉7', 'Café, 7 − 1')
    """
    marks = [_drawn_as(c, weight) for c in unicodedata.normalize("NFC", text)]
    out: list[str] = []
    for k, mark in enumerate(marks):
        if mark is not None:
            # A space between two names that are left out belongs to what is left out.
            between = mark == " " and out[-1:] == [LEFT_OUT] and k + 1 < len(marks) and marks[k + 1] is None
            out += [] if between else [mark]
        elif out[-1:] != [LEFT_OUT]:
            out.append(LEFT_OUT)
    return "\n".join(_kept_in_order(line) for line in "".join(out).split("\n"))


def _kept_in_order(line: str) -> str:
    """A line in which a name written from right to left does not draw the numbers after it to itself."""
    backwards = [k for k, letter in enumerate(line) if unicodedata.bidirectional(letter) in ("R", "AL")]
    if not backwards:
        return line
    out = [_LEFT_TO_RIGHT]
    for k, letter in enumerate(line):
        out.append(letter)
        if k in backwards and not _goes_on(line, k + 1):
            out.append(_LEFT_TO_RIGHT)
    return "".join(out)


def _goes_on(line: str, k: int) -> bool:
    """Whether a name written from right to left goes on here, or after a space."""
    rest = line[k:].lstrip(" ")
    return bool(rest) and unicodedata.bidirectional(rest[0]) in ("R", "AL", "NSM")


def has_letters(text: str, weight: str = "normal") -> bool:
    """Whether every letter of a name can be drawn."""
    return LEFT_OUT not in lettered(text, weight)


def families(text: str, weight: str = "normal") -> list[str]:
    """Fonts that have the letters of a text made by `lettered`, in the order they are to be asked."""
    names = {BASE: None}
    for letter in text:
        if (family := _family(letter, weight)) is not None:
            names[family] = None
    return list(names)


@lru_cache(maxsize=4096)
def _drawn_as(letter: str, weight: str) -> str | None:
    """What is drawn for a letter: itself, its plain form, "" for what has no shape; None for nothing."""
    if letter.isspace():
        return letter if letter == "\n" else " "
    if unicodedata.category(letter) in ("Cc", "Cf") or "VARIATION SELECTOR" in unicodedata.name(letter, ""):
        return ""
    if _family(letter, weight) is not None:
        return letter
    digit = unicodedata.digit(letter, None)
    plain = unicodedata.normalize("NFKC", letter) if digit is None else str(digit)
    if plain != letter and all(_family(c, weight) is not None for c in plain):
        return plain
    return None


@lru_cache(maxsize=4096)
def _family(letter: str, weight: str) -> str | None:
    """The font that has a letter, the one that matplotlib brings first; None when no font has it."""
    if letter.isspace():
        return BASE
    code = ord(letter)
    if not _can_shape() and any(low <= code <= high for low, high in _SHAPED):
        return None
    return next((name for name in (BASE, *_others(weight)) if code in _letters(name, weight)), None)


@lru_cache(maxsize=1)
def _can_shape() -> bool:
    import matplotlib as mpl

    return tuple(mpl.__version_info__[:2]) >= _SHAPES_FROM


@lru_cache(maxsize=2)
def _others(weight: str) -> tuple[str, ...]:
    """Installed fonts for text that have just this weight, by name: another one would be asked for aloud."""
    from matplotlib.font_manager import fontManager, weight_dict

    wanted = weight_dict[weight]
    fonts = (f for f in fontManager.ttflist if f.style == "normal" and f.weight == wanted)
    names = {f.name for f in fonts if not any(word in f.name.casefold() for word in _NO_TEXT)}
    return tuple(sorted(names - {BASE}))


@lru_cache(maxsize=512)
def _letters(family: str, weight: str) -> frozenset[int]:
    """Codes of the letters that a font has."""
    from matplotlib.font_manager import FontProperties, fontManager, get_font

    try:
        path = fontManager.findfont(FontProperties(family=family, weight=weight), fallback_to_default=False)
        return frozenset(get_font(path).get_charmap())
    except (OSError, RuntimeError, ValueError):  # a font file that cannot be read has no letters
        return frozenset()
