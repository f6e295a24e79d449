"""Sixty messy practice logs, made from known balls: what is written, and what has to be read."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import numpy as np

from strategy.units import YARD_M

# Known balls: club of the demo player, carry and side in yards (right positive).
CLUBS = ("driver", "7-iron", "pitching wedge", "7-iron", "9-iron")


@dataclass
class Log:
    """A log as written, with the balls in it, and the lines that are no balls or cannot be used."""

    name: str
    data: bytes
    clubs: list[str] = field(default_factory=list)
    carry_yd: list[float] = field(default_factory=list)
    side_yd: list[float] = field(default_factory=list)
    left_out: set[int] = field(default_factory=set)  # lines
    refused: str = ""  # what the message of a refused log has in it
    suffix: str = ".csv"
    within: float = 0.06  # yards, by the digits that are written


def balls(seed: int, n: int = 14) -> list[tuple[str, float, float]]:
    rng = np.random.default_rng(seed)
    carry = {"driver": 285.0, "7-iron": 175.0, "pitching wedge": 136.0, "9-iron": 150.0}
    return [
        (club, round(carry[club] + rng.normal(0, 6), 1), round(rng.normal(0, 6), 1))
        for club in (CLUBS[i % len(CLUBS)] for i in range(n))
    ]


SPELT = {
    "en": {"driver": "Driver", "7-iron": "7 Iron", "pitching wedge": "PW", "9-iron": "9i"},
    "de": {"driver": "Driver", "7-iron": "Eisen 7", "pitching wedge": "PW", "9-iron": "Eisen 9"},
    "fr": {"driver": "Dr", "7-iron": "Fer 7", "pitching wedge": "PW", "9-iron": "Fer 9"},
    "es": {"driver": "Driver", "7-iron": "Hierro 7", "pitching wedge": "PW", "9-iron": "hierro 9"},
    "it": {"driver": "driver", "7-iron": "ferro 7", "pitching wedge": "pw", "9-iron": "FERRO 9"},
    "sv": {"driver": "DRIVER", "7-iron": "järn 7", "pitching wedge": "P", "9-iron": "Järn 9"},
}


def signed(side: float) -> str:
    return f"{side:.1f}"


def after(side: float) -> str:
    return f"{abs(side):.1f}{'R' if side > 0 else 'L'}"


def before(side: float) -> str:
    return f"{'R' if side > 0 else 'L'} {abs(side):.1f}"


def words(side: float) -> str:
    return f"{abs(side):.1f} {'right' if side > 0 else 'left'}"


def german(side: float) -> str:
    return f"{abs(side):.1f} {'rechts' if side > 0 else 'links'}".replace(".", ",")


def table(
    name: str,
    seed: int,
    headings: str = "Club,Carry,Side",
    *,
    row: Callable[[str, str, str], str] = lambda club, carry, side: f"{club},{carry},{side}",
    side: Callable[[float], str] = signed,
    unit: float = 1.0,
    language: str = "en",
    comma: bool = False,
    above: tuple[str, ...] = (),
    between: dict[int, str] | None = None,
    below: tuple[str, ...] = (),
    encoding: str = "utf-8",
    end: str = "\n",
) -> Log:
    """A log: lines above the headings, balls, lines between them (by position), lines below."""
    lines = [*above, headings]
    log = Log(name, b"")
    extra = between or {}
    for i, (club, carry, off) in enumerate(balls(seed)):
        if i in extra:
            lines.append(extra[i])
            if extra[i].strip(",; ") and not extra[i].startswith("#"):
                log.left_out.add(len(lines))
        texts = f"{carry * unit:.2f}", side(off * unit)
        if comma:
            texts = tuple(t.replace(".", ",") for t in texts)
        lines.append(row(SPELT[language][club], *texts))
        log.clubs.append(club)
        log.carry_yd.append(carry)
        log.side_yd.append(off)
    for line in below:
        lines.append(line)
        if line.strip(",; ") and not line.startswith("#"):
            log.left_out.add(len(lines))
    log.data = end.join(lines).encode(encoding)
    return log


def semicolons(club: str, carry: str, side: str) -> str:
    return f"{club};{carry};{side}"


def read_right() -> Iterator[Log]:
    """Forty logs that are read right."""
    m = YARD_M
    yield table("plain", 1)
    yield table("byte order mark", 2, encoding="utf-8-sig")
    yield table("UTF-16", 3, encoding="utf-16")
    yield table("code page", 4, "Schläger,Flugweite,Seite", language="de", encoding="cp1252")
    yield table("Windows lines", 5, end="\r\n")
    yield table("old Macintosh lines", 6, end="\r")
    yield table("semicolons", 7, "Club;Carry;Side", row=semicolons)
    yield table("decimal commas", 8, "Club;Carry;Side", row=semicolons, comma=True)
    yield table(*("quoted decimal commas", 9), row=lambda c, d, s: f'{c},"{d}","{s}"', comma=True)
    yield table("tabs", 10, "Club\tCarry\tSide", row=lambda c, d, s: f"{c}\t{d}\t{s}")
    yield table("bars", 11, "Club|Carry|Side", row=lambda c, d, s: f"{c}|{d}|{s}")
    yield table("line for spreadsheets", 12, "Club;Carry;Side", row=semicolons, above=("sep=;",), comma=True)
    yield table("sides after", 13, side=after)
    yield table("sides before", 14, side=before)
    yield table("sides in words", 15, side=words)
    yield table(
        *("German", 16, "Schläger;Flug (m);Seite (m)"),
        row=semicolons,
        side=german,
        unit=m,
        language="de",
        comma=True,
    )
    yield table("French", 17, "Club;Portée [m];Écart", row=semicolons, unit=m, language="fr", comma=True)
    yield table("Spanish", 18, "Palo;Vuelo (m);Desviación lateral", row=semicolons, unit=m, language="es")
    yield table("Italian", 19, "Bastone;Volo m;Scarto", row=semicolons, unit=m, language="it", comma=True)
    yield table("Swedish", 20, "Klubba;Carry (m);Sida", row=semicolons, unit=m, language="sv", comma=True)
    yield table("metres in the heading", 21, "CLUB,CARRY (M),OFFLINE (M)", unit=m)
    yield table("units below the headings", 22, between={0: ",[m],[m]"}, unit=m)
    yield table("units in the cells", 23, row=lambda c, d, s: f"{c},{d} m,{s} m", unit=m)
    yield table("feet for the side", 24, "Club,Carry (yd),Side (ft)", side=lambda s: f"{3 * s:.1f}")
    yield table("degrees of start instead", 25, "Side,Launch Direction,Carry,Club",
                row=lambda c, d, s: f"{s},1.2,{d},{c}")  # fmt: skip
    yield table("other order and more columns", 26, "No.,Side,Smash factor,Carry,Total,Club,Hang time",
                row=lambda c, d, s: f"7,{s},1.45,{d},{float(d) + 4},{c},6.1")  # fmt: skip
    yield table("odd case", 27, "cLuB,CARRY distance,OFF-LINE")
    yield table("averages", 28, below=("Average,180.1,0.4", "Std Dev,6.1,5.5"))
    yield table("German averages", 29, "Schläger;Flug;Seite", row=semicolons, language="de", comma=True,
                below=("Durchschnitt;180,1;0,4",))  # fmt: skip
    yield table("headings again", 30, between={5: "Club,Carry,Side", 9: "Club,Carry,Side"})
    yield table("blank lines and comments", 31, between={3: "", 6: ",,", 9: "# coffee"})
    yield table("title and date above", 32, above=("My practice ⛳", "Date: 3 May 2031", ""))
    yield table("emoji", 33, "🏌️ Club,Carry 🚀,Side ↔️", row=lambda c, d, s: f"{c} ✅,{d},{s}")
    yield table("ragged", 34, row=lambda c, d, s: f"{c},{d},{s},,,late,remark")
    yield table("quotes and spaces", 35, row=lambda c, d, s: f'" {c} "," {d} "," {s} "')
    yield table("minus sign of print", 36, side=lambda s: f"{s:.1f}".replace("-", "−"))
    yield table(
        "a cell over two lines", 37, "Club,Carry,Side,Remark", row=lambda c, d, s: f'{c},{d},{s},"one\ntwo"'
    )
    yield table("paces off a target", 38, "Club,Target,Long/short,Left/right", row=_off_target, side=after)
    bad = {4: "7 Iron,,3", 8: "7 Iron,151,", 11: "7 Iron,0,0"}
    yield table("misreads of the radar", 39, between=bad, below=("7 Iron,n/a,n/a",))
    yield table("impossible numbers", 40, between={4: "7 Iron,1760,3", 8: "7 Iron,174,999", 10: "9i,abc,2"})
    yield table("clubs not in the bag", 41, between={2: "9 Wood,180,2", 7: ",150,1"})
    yield _grouped()
    yield _angles()


def _off_target(club: str, carry: str, side: str) -> str:
    target = round(float(carry), -1)
    off = float(carry) - target
    return f"{club},{target:.0f},{abs(off):.2f} {'long' if off > 0 else 'short'},{side}"


def _grouped() -> Log:
    return table(
        *("thousands in the spin", 42, "Club;Spin;Carry;Side"),
        row=lambda c, d, s: f"{c};6.150;{d};{s}",
        comma=True,
    )


def _angles() -> Log:
    log = Log("side in degrees", b"")
    lines = ["Club,Carry (yd),Side (deg)"]
    for club, carry, side in balls(43):
        lines.append(f"{SPELT['en'][club]},{carry},{np.degrees(np.arcsin(side / carry)):.4f}")
        log.clubs.append(club)
        log.carry_yd.append(carry)
        log.side_yd.append(side)
    log.data = "\n".join(lines).encode()
    return log


def workbooks() -> Iterator[Log]:
    """Three workbooks: numbers, texts, and two sheets of which one has no balls."""
    import openpyxl

    for name, seed in (("workbook", 44), ("workbook of texts", 45), ("workbook of two sheets", 46)):
        book = openpyxl.Workbook()
        sheet = book.active
        if name.endswith("sheets"):
            sheet.append(["Thank you for your visit"])
            sheet = book.create_sheet("balls")
        sheet.append(["Club", "Carry (yds)", "Side"])
        log = Log(name, b"", suffix=".xlsx")
        for club, carry, side in balls(seed):
            texts = name.endswith("texts")
            sheet.append(
                [SPELT["en"][club], f"{carry} yd" if texts else carry, after(side) if texts else side]
            )
            log.clubs.append(club)
            log.carry_yd.append(carry)
            log.side_yd.append(side)
        sheet.append(["Average", 180.0, 0.0])
        log.left_out.add(len(log.clubs) + 2)
        stream = io.BytesIO()
        book.save(stream)
        log.data = stream.getvalue()
        yield log


def refused() -> Iterator[Log]:
    """Fourteen logs that are refused with a reason."""
    for name, text, reason in (
        ("empty", "", "is empty"),
        ("blank", " \n \n", "is empty"),
        ("prose", "I hit the ball well today.\nReally.", "no row of headings"),
        ("numbers alone", "7 Iron,171,3\n7 Iron,175,-2", "no row of headings"),
        ("headings alone", "Club,Carry,Side\n", "headings and no balls"),
        ("averages alone", "Club,Carry,Side\nAverage,170,1", "headings and no balls"),
        ("no side", "Club,Carry,Total\n7 Iron,170,175", "how far left or right"),
        ("no carry", "Club,Total,Side\n7 Iron,175,3", "no column says where it came down"),
        ("no club", "Carry,Side\n170,3", "names no club"),
        ("no target", "Club,Long/short,Side\n7 Iron,3,3", "not of what"),
        ("another bag", "Club,Carry,Side\n11 Wood,170,3\n11 Wood,171,1", "lines 2-3"),
        ("all misread", "Club,Carry,Side\n7 Iron,,\n7 Iron,,", "nothing under"),
        ("wrong unit", "Club,Carry (m),Side\n7 Iron,1750,3", "is not possible"),
    ):
        yield Log(name, text.encode(), refused=reason)
    yield Log("picture", b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", refused="no text and no workbook")


def all_logs() -> list[Log]:
    return [*read_right(), *workbooks(), *refused()]
