"""Clubs and shots of a practice log, found among those of a player file.

"Eisen 7", "7i" and "7 Iron" are the 7-iron; "Dr." is the driver. A club is compared by its kind and number.
What is left of a text after its club is the shot: "driver, the fade", "7 iron draw".
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from strategy.player.file import PlayerFile
from strategy.player.logs.meaning import plain
from strategy.tomlfile import nearest

_KINDS: Final = {
    "iron": "i iron irons eisen fer hierro ferro jarn",
    "wood": "w wood woods holz bois madera legno tra fw fairway",
    "hybrid": "h hy hybrid hybride hibrido ibrido rescue utility hyb",
}
_KIND_OF: Final = {word: kind for kind, words in _KINDS.items() for word in words.split()}
_NAMED: Final = {
    "driver": r"\b(?:driver|drive|drv|dr|1 ?-?w(?:ood)?|mini driver)\b",
    "pitching wedge": r"\b(?:pitching(?: wedge)?|pw|p wedge)\b|^p$",
    "gap wedge": r"\b(?:gap(?: wedge)?|gw|aw|uw|approach wedge|attack wedge)\b|^a$",
    "sand wedge": r"\b(?:sand(?: wedge)?|sw|s wedge|sandwedge|sand iron)\b|^s$",
    "lob wedge": r"\b(?:lob(?: wedge)?|lw|l wedge)\b|^l$",
}
_ANY_KIND: Final = "|".join(sorted(_KIND_OF, key=len, reverse=True))
_NUMBERED: Final = re.compile(
    rf"\b(?:(?P<n1>1[0-3]|[1-9])\s*-?\s*(?P<k1>{_ANY_KIND})|(?P<k2>{_ANY_KIND})\s*-?\s*(?P<n2>1[0-3]|[1-9]))\b"
)
_LOFTED: Final = re.compile(
    r"\b(?P<loft>[4-6]\d(?:[.,]\d)?)\s*(?:°|deg\b|degrees?\b|grad\b)?\s*(?:wedge|w)?\b"
)
_BARE_KIND: Final = re.compile(r"\b(?:hybrid|hybride|hibrido|ibrido|rescue|utility)\b")
_STOCK: Final = frozenset({"stock", "normal", "full", "standard", "regular", "voll", "plein", "usual", ""})
SHAPES: Final[Mapping[str, str]] = {
    **dict.fromkeys(("draw", "leichter draw", "draws"), "draw"),
    **dict.fromkeys(("fade", "fades", "cut"), "fade"),
    **dict.fromkeys(("straight", "gerade", "droit", "recto", "dritto", "rak"), "straight"),
}


def club_key(text: str) -> tuple[str, str]:
    """A club by kind and number, and the words that are left; "" for a text without a club.

    >>> club_key("Eisen 7"), club_key("7i, the draw"), club_key("60° wedge"), club_key("Dr.")
    (('iron 7', ''), ('iron 7', 'the draw'), ('wedge 60', ''), ('driver', '.'))
    """
    words = plain(text)
    for name, pattern in _NAMED.items():
        if match := re.search(pattern, words):
            return name, _left(words, match)
    if match := _NUMBERED.search(words):
        return f"{_KIND_OF[match['k1'] or match['k2']]} {match['n1'] or match['n2']}", _left(words, match)
    if match := _LOFTED.search(words):
        return f"wedge {match['loft'].replace(',', '.')}", _left(words, match)
    if match := _BARE_KIND.search(words):
        return "hybrid", _left(words, match)
    return "", words


def _left(words: str, match: re.Match[str]) -> str:
    return " ".join((words[: match.start()] + " " + words[match.end() :]).split()).strip(" ,;:-/()")


@dataclass(frozen=True, slots=True)
class NamedShot:
    """A shot that a text of a log names, or why none.

    Attributes
    ----------
    club, shot : str
        As the player file has them; for a shot that it lacks, as the log has it.
    known : bool
        Whether the player file has this shot.
    wrong, mend : str
        Why the text names no shot, and what to do; "" where it does.
    """

    club: str = ""
    shot: str = ""
    known: bool = True
    wrong: str = ""
    mend: str = ""


@dataclass(slots=True)
class LoggedBag:
    """The clubs and shots of a player file, to find those of a log among.

    Attributes
    ----------
    shots : mapping of str to list of (name, shape)
        Shots by club; the stock shot comes first.
    odd : mapping of str to str
        `[logs] clubs`: what a log calls a club, or a club and shot.
    """

    shots: dict[str, list[tuple[str, str]]]
    odd: Mapping[str, str] = field(default_factory=dict)

    @classmethod
    def of(cls, file: PlayerFile) -> LoggedBag:
        """The bag of a player file."""
        shots: dict[str, list[tuple[str, str]]] = {}
        spelt: dict[str, str] = {}
        for entry in file.shots:
            club = spelt.setdefault(entry.club.casefold(), entry.club)
            same = shots.setdefault(club, [])
            same.insert(0 if entry.shot.casefold() == "stock" else len(same), (entry.shot, entry.shape))
        for name, swings in file.wedges.items():
            club = spelt.setdefault(name.casefold(), name)
            shots.setdefault(club, []).extend((swing, "straight") for swing in swings)
        return cls(shots, {plain(k): v for k, v in file.logs.clubs.items()})

    def find(self, club_text: str, shot_text: str = "", shape: str = "") -> NamedShot:
        """The shot that the cells club, shot and shape of a log name."""
        meant = self.odd.get(plain(f"{club_text} {shot_text}".strip()))
        if meant is None and plain(club_text) in self.odd:
            meant = self.odd[plain(club_text)]
        if meant is not None:
            club_text, _, named = meant.partition(", ")
            shot_text = named or shot_text
        for club, shots in self.shots.items():
            for shot, _ in shots:
                if plain(club_text) == plain(f"{club}, {shot}"):
                    return NamedShot(club, shot)
        club, rest = self._club(club_text)
        if not club:
            return self._no_club(club_text)
        return self._shot(club, shot_text if plain(shot_text) else rest, shape)

    def _club(self, text: str) -> tuple[str, str]:
        words = plain(text)
        by_name = {plain(club): club for club in self.shots}
        if words in by_name:
            return by_name[words], ""
        key, rest = club_key(text)
        rest = rest.strip(" .")
        if key:
            by_key: dict[str, str] = {}
            for club in self.shots:
                by_key.setdefault(club_key(club)[0], club)
            if key in by_key:
                return by_key[key], rest
            # A bag with a single hybrid need not number it; neither need a log.
            hybrids = [club for club in self.shots if club_key(club)[0].startswith("hybrid")]
            if key.startswith("hybrid") and len(hybrids) == 1 and "hybrid" in (key, club_key(hybrids[0])[0]):
                return hybrids[0], rest
        longest = max(
            (n for n in by_name if words.startswith((f"{n} ", f"{n},"))),
            default="",
            key=len,
        )
        return (by_name[longest], words[len(longest) :].strip(" ,;:-")) if longest else ("", "")

    def _no_club(self, text: str) -> NamedShot:
        if not plain(text):
            return NamedShot(wrong="names no club", mend="Write the club in every row")
        key, _ = club_key(text)
        close = nearest(text, self.shots)
        hint = f'as "{close}"' if close and not key else "with its carry"
        return NamedShot(
            wrong=f'club "{text.strip()}" is none of the player file',
            mend=f"Add the club to the player file {hint}, or say which one it is under [logs] clubs",
        )

    def _shot(self, club: str, text: str, shape: str) -> NamedShot:
        shots = self.shots[club]
        words = plain(text).strip(" .")
        names = {_bare(name): name for name, _ in shots}
        if _bare(words) in names:
            return NamedShot(club, names[_bare(words)])
        wanted = SHAPES.get(_bare(words)) or ("" if words not in _STOCK else SHAPES.get(plain(shape), ""))
        if wanted:
            same = [name for name, of in shots if of == wanted]
            if same:
                return NamedShot(club, same[0])
            return NamedShot(club, wanted, known=False)
        if words in _STOCK:
            return NamedShot(club, shots[0][0])
        close = nearest(words, [name for name, _ in shots])
        if close:
            return NamedShot(
                wrong=f'shot "{text.strip()}" of the {club} is none of the player file',
                mend=f'Did you mean "{close}"? Else add the shot, or say which one it is under [logs] clubs',
            )
        return NamedShot(club, text.strip(), known=False)

    def shapes(self, club: str) -> frozenset[str]:
        """The shapes of a club's shots."""
        return frozenset(shape for _, shape in self.shots.get(club, ()))


def _bare(name: str) -> str:
    return plain(name).removeprefix("the ")


def outcome_shapes(texts: Sequence[str], bag: LoggedBag, clubs: Sequence[str]) -> bool:
    """Whether a column of shapes tells how each ball flew, and not which shot was meant.

    It does where it has a word for a miss (a hook, a push), or a shape that the club has no shot of: who
    meant a draw has a draw in the player file.
    """
    for text, club in set(zip(texts, clubs, strict=True)):
        word = plain(text)
        if not word:
            continue
        if word not in SHAPES or (club and SHAPES[word] not in bag.shapes(club)):
            return True
    return False
