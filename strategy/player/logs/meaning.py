"""What a column of a practice log means, by the words of its heading.

A heading is broken into words; each word stands for a concept ("Flug", "vol" and "carry" for the same one),
and the set of concepts decides the meaning: {carry, side} is how far to the side the ball came down, {club,
speed} is known and not used. A heading with a word that is not known here ("hang time") has no meaning. The
words are those of the trade in six languages; no particular instrument is known. For odd headings the player
file has `[logs] columns`.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from strategy.units import FOOT_M, LENGTHS_M, MPH_MPS, RPM_RAD_S

_WORDS: Final[Mapping[str, str]] = {
    word: concept
    for concept, words in {
        "club": "club clubs schlager baton canne palo bastone klubba klub",
        "shot": "shot shots stroke swing schlag schlagart coup golpe colpo slag hit",
        "shape": "shape flugkurve form forme forma flugform tendency",
        "carry": "carry flug flugweite fluglange vol portee vuelo volo flight landed",
        "side": "side sideways offline lateral laterale deviation abweichung seite seitlich ecart desviacion "
        "lado scarto lato sida sidled miss links rechts left right gauche droite off line",
        "depth": "depth long short lang kurz longueur largo corto lungo",
        "total": "total gesamt gesamtweite totale totalt overall finish rest",
        "distance": "distance distanz distancia distanza weite lange avstand dist yardage metrage",
        "speed": "speed geschwindigkeit vitesse velocidad velocita hastighet velocity",
        "ball speed": "ballspeed ballgeschwindigkeit bollhastighet",
        "club speed": "clubspeed schlagerkopfgeschwindigkeit clubhead head schlagerkopf",
        "ball": "ball balls balle bola palla boll bola pelota",
        "launch": "launch abflug abflugwinkel depart lanzamiento salida lancio utgang decollage partenza",
        "angle": "angle winkel angulo angolo vinkel",
        "direction": "direction richtung abflugrichtung direccion direzione riktning azimuth heading",
        "start": "start startline startlinie startrichtung",
        "vertical": "vertical vertikal verticale verticale",
        "horizontal": "horizontal horizontale orizzontale",
        "spin": "spin backspin drall rotation spinrate",
        "back": "back",
        "rate": "rate",
        "axis": "axis achse axe eje asse spinachse axel tilt spinaxis",
        "sidespin": "sidespin seitenspin",
        "height": "apex height hohe hauteur altura altezza hojd scheitel scheitelhohe fleche peak max",
        "curve": "curve curvature bend kurve courbe curva",
        "target": "target aim ziel cible objectif objetivo bersaglio mal flag zielweite",
        "date": "date datum fecha data day tag jour dia giorno when timestamp datetime",
        "time": "time uhrzeit heure hora ora tid zeit",
        "session": "session sitting block einheit seance sesion sessione pass bucket",
        "lie": "lie lage turf balllage",
        "type": "type typ kind art tipo name sort model used",
        "place": "place where location ort lieu lugar luogo plats range course mat venue platz parcours",
        "wind": "wind vent viento vento vind",
        "landing": "landing landung landepunkt atterrissage caida atterraggio",
        "player": "player spieler joueur jugador giocatore spelare golfer",
        "number": "number no nr num numero nummer id index n",
    }.items()
    for word in words.split()
}
_FILLERS: Final = frozenset(
    "the of a de la le du der die das von del di d l in and or och und et y e".split()  # noqa: SIM905  (a list of words)
)

# A set of concepts and its meaning.
_RULES: Final[Mapping[frozenset[str], str]] = {
    frozenset(concepts.split("+")): meaning
    for meaning, sets in {
        "club": ("club", "club+type"),
        "shot": ("shot", "shot+type"),
        "shape": ("shape", "shot+shape", "carry+shape", "ball+shape"),
        "carry": ("carry", "carry+distance", "landing", "landing+distance", "ball+carry"),
        "side": (
            "side", "carry+side", "landing+side", "side+distance", "carry+side+distance", "side+direction",
            "side+landing+distance", "side+depth+shot",
        ),
        "total side": ("total+side", "total+side+distance"),
        "long or short": ("depth", "depth+distance", "depth+target"),
        "total": ("total", "total+distance"),
        "distance": ("distance", "shot+distance", "ball+distance"),
        "ball speed": ("ball+speed", "ball speed"),
        "launch": ("launch", "launch+angle", "launch+vertical", "launch+angle+vertical", "vertical+angle"),
        "start line": (
            "start", "start+direction", "launch+direction", "launch+horizontal", "launch+angle+horizontal",
            "direction", "launch+side", "horizontal+angle", "launch+direction+horizontal", "start+angle",
        ),
        "spin": ("spin", "spin+rate", "spin+back", "spin+total", "ball+spin", "spin+rate+back"),
        "spin axis": ("axis", "spin+axis", "axis+angle", "sidespin", "side+spin", "sidespin+rate"),
        "apex": ("height", "height+carry", "ball+height"),
        "curve": ("curve", "curve+distance", "curve+total"),
        "target": ("target", "target+distance", "target+carry"),
        "date": ("date", "date+time"),
        "session": ("session", "session+number", "session+date"),
        "lie": ("lie", "lie+type", "ball+lie"),
        "ball": ("ball", "ball+type"),
        "place": ("place", "place+type"),
        "wind": ("wind", "wind+speed", "wind+direction"),
        "player": ("player", "player+type"),
        "nothing": (
            "club+speed", "club speed", "club speed+speed", "club+club speed+speed", "number", "shot+number",
            "time", "landing+angle", "ball+number", "type",
        ),
    }.items()
    for concepts in sets
}  # fmt: skip

# Units of every kind of quantity, in the spelling of `plain`.
_SPEEDS: Final = {
    "mph": MPH_MPS,
    "m/s": 1.0,
    "mps": 1.0,
    "ms": 1.0,
    "km/h": 1 / 3.6,
    "kmh": 1 / 3.6,
    "kph": 1 / 3.6,
}
_TURNS: Final = {
    "rpm": RPM_RAD_S,
    "u/min": RPM_RAD_S,
    "tr/min": RPM_RAD_S,
    "1/min": RPM_RAD_S,
    "krpm": 1e3 * RPM_RAD_S,
}
_ANGLES: Final = dict.fromkeys(("deg", "degree", "degrees", "grad", "°"), 1.0)
_LENGTHS: Final = {**LENGTHS_M, "mtr": 1.0, "mts": 1.0, "metros": 1.0, "metri": 1.0, "yardas": 0.9144,
                   "y": 0.9144,                    "ydc": 0.9144, "fuss": FOOT_M,
                   "pace": 0.9144, "paces": 0.9144, "steps": 0.9144}  # fmt: skip

UNITS: Final[Mapping[str, Mapping[str, float]]] = {
    **dict.fromkeys(
        ("carry", "side", "long or short", "total", "total side", "distance", "apex", "curve", "target"),
        _LENGTHS,
    ),
    "ball speed": _SPEEDS,
    "spin": _TURNS,
    **dict.fromkeys(("launch", "start line", "spin axis"), _ANGLES),
}
ANGLES: Final = frozenset(_ANGLES)
SPEEDS: Final = _SPEEDS
ALL_UNITS: Final = frozenset().union(_LENGTHS, _SPEEDS, _TURNS, _ANGLES)


@dataclass(frozen=True, slots=True)
class Heading:
    """What a heading says.

    Attributes
    ----------
    meaning : str
        One of `strategy.player.file.LOG_MEANINGS`; "" for a heading that is not understood.
    unit : str
        Unit that stands in it, "" for none.
    """

    meaning: str
    unit: str = ""


def plain(text: str) -> str:
    """A text in small letters, without accents, signs and emoji.

    >>> plain("  Schläger-Länge (Yds) ⛳ ")
    'schlager-lange (yds)'
    """
    if text.isascii():
        return " ".join(text.lower().split())
    folded = unicodedata.normalize("NFKD", text).casefold().replace("ß", "ss")
    kept = "".join(
        c for c in folded if not unicodedata.combining(c) and unicodedata.category(c) not in ("So", "Cf")
    )
    return " ".join(kept.split())


def heading(text: str, odd: Mapping[str, str] | None = None) -> Heading:
    """What a heading means.

    Parameters
    ----------
    text : str
        As it stands in the log.
    odd : mapping of str to str, optional
        Meanings of odd headings, from the player file.

    Examples
    --------
    >>> heading("Carry (yds)"), heading("Flugweite [m]")
    (Heading(meaning='carry', unit='yds'), Heading(meaning='carry', unit='m'))
    >>> heading("side carry").meaning, heading("Club speed").meaning, heading("smash factor").meaning
    ('side', 'nothing', '')
    """
    words = plain(text)
    if re.fullmatch(r"[lr] ?[/|-] ?[lr]", words):
        return Heading("side")
    unit = ""
    # A unit stands in brackets, or as the last word: "carry_yd", "carry, m", "spin rpm".
    bracket = re.search(r"[\[(]\s*([^\])]*?)\s*[\])]", words)
    if bracket:
        inner = bracket[1].strip(". ")
        unit = inner if inner in ALL_UNITS else ""
        rest = words[: bracket.start()] + " " + words[bracket.end() :]
        # "(L/R)" and "(+ = right)" are remarks on the sign, which the cells show.
        words = rest if unit or not _known(inner) else f"{rest} {inner}"
    if odd:
        for name, meaning in odd.items():
            if plain(name) in (plain(text), words.strip()):
                return Heading(meaning, unit or _last_unit(words)[1])
    if not unit:
        words, unit = _last_unit(words)
    tokens = [t for t in re.findall(r"[a-z]+", words) if t not in _FILLERS]
    if not tokens or any(t not in _WORDS for t in tokens):
        return Heading("", unit)
    meaning = _RULES.get(frozenset(_WORDS[t] for t in tokens), "")
    return Heading(meaning, unit)


def _known(text: str) -> bool:
    tokens = re.findall(r"[a-z]+", text)
    return bool(tokens) and all(t in _WORDS for t in tokens) and not {"left", "right"} & set(tokens)


def _last_unit(words: str) -> tuple[str, str]:
    """The words without the unit that they end with, and that unit."""
    match = re.fullmatch(r"(.*?\w)[\s_,.:/|-]+(°|[a-z/]+)\.?", words.strip())
    if match and match[2] in ALL_UNITS and match[2] not in _FILLERS:
        return match[1], match[2]
    return words, ""
