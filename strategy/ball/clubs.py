"""How a tour professional's clubs launch a ball: the anchors that launches are inferred from.

The rows are tour averages by radar measurement (`reference/launch_tour.csv`, which says which cells are
confirmed and which from memory). A player's club is taken to lie on a line through the anchor: with q the
ball speed as a share of the anchor's,

    launch = anchor + 14° (1 - q),    spin = anchor x q^k,

k = 0.8 for irons and wedges, 0.5 hybrid, 0.3 5-wood and shorter, 0 3-wood, -0.3 driver (fitted to the
difference between the tours of men and women). Clubs between the rows (a 2-iron, a 4-wood, a 54° wedge)
are interpolated or carried on by one step; those steps are engineering choices.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np

from strategy.errors import PhysicsError
from strategy.reference import rows
from strategy.units import MPH_MPS, RPM_RAD_S, YARD_M

LAUNCH_PER_Q: Final = 14.0  # degrees higher for a ball speed of nothing

# Lofts of the anchors among the wedges; common practice, and only used to place a wedge named by its loft.
_WEDGE_LOFT: Final = {"pitching wedge": 46.0, "gap wedge": 50.0, "sand wedge": 55.0, "lob wedge": 60.0}
_WEDGE_WORDS: Final = {
    "pw": "pitching wedge",
    "wedge": "pitching wedge",
    "gw": "gap wedge",
    "aw": "gap wedge",
    "approach wedge": "gap wedge",
    "attack wedge": "gap wedge",
    "sw": "sand wedge",
    "lw": "lob wedge",
    "d": "driver",
    "1-wood": "driver",
    "mini driver": "2-wood",
}


@dataclass(frozen=True, slots=True)
class Anchor:
    """One club of a tour professional.

    Attributes
    ----------
    club : str
        What it was taken for ("7-iron", "wedge of 54°").
    speed_mps, launch_deg, spin_rad_s : float
        [m/s], [°], [rad/s]
    spin_power : float
        k of the line.
    carry_m : float or None
        Published carry, None where the table gives none. [m]
    """

    club: str
    speed_mps: float
    launch_deg: float
    spin_rad_s: float
    spin_power: float
    carry_m: float | None = None


@cache
def anchors(tour: str = "men") -> dict[str, Anchor]:
    """The table's clubs by name, "men" or "women"."""
    found = {}
    for row in rows("launch_tour"):
        if row["tour"] == tour:
            carry = float(row["carry_yd"]) * YARD_M if row["carry_yd"] else None
            found[row["club"]] = Anchor(
                row["club"],
                float(row["ball_speed_mph"]) * MPH_MPS,
                float(row["launch_deg"]),
                float(row["spin_rpm"]) * RPM_RAD_S,
                _spin_power(row["club"]),
                carry,
            )
    return found


@cache
def anchor(club: str) -> Anchor:
    """The anchor of a club as a player calls it.

    Parameters
    ----------
    club : str
        "driver", "3-wood", "4 hybrid", "7-iron", "7i", "pitching wedge", "PW", "54", "58° wedge" ...

    Raises
    ------
    PhysicsError
        If no club can be read from the name.

    Examples
    --------
    >>> anchor("7i").club, anchor("54°").club, anchor("2-iron").club
    ('7-iron', 'wedge of 54°', '2-iron')
    """
    table = anchors()
    name = " ".join(club.lower().replace("_", " ").replace("degrees", "°").replace("deg", "°").split())
    name = _WEDGE_WORDS.get(name, name)
    if name in table:
        return table[name]
    spelt = re.fullmatch(r"(\d{1,2})[ -]?(i|iron|w|wood|h|hy|hybrid|rescue|utility)", name)
    if spelt:
        number, kind = int(spelt[1]), spelt[2][0]
        if kind == "i" and 1 <= number <= 9:
            return _on_line(f"{number}-iron", number, {n: table[f"{n}-iron"] for n in range(3, 10)})
        if kind == "w" and 2 <= number <= 13:
            return _on_line(f"{number}-wood", number, {n: table[f"{n}-wood"] for n in (3, 5, 7)})
        if kind in "hru" and 1 <= number <= 9:
            base = table["hybrid"]
            step = number - 3  # the tour's hybrid is about a 3; one number = one iron's step
            return Anchor(
                f"{number}-hybrid",
                base.speed_mps - 5.0 * MPH_MPS * step,
                base.launch_deg + 0.9 * step,
                base.spin_rad_s + 330.0 * RPM_RAD_S * step,
                base.spin_power,
            )
    loft = re.fullmatch(r"(\d{2}(?:\.\d)?) ?°?(?: ?wedge)?", name)
    if loft and 42.0 <= float(loft[1]) <= 66.0:
        return _on_line(f"wedge of {loft[1]}°", float(loft[1]), {v: table[k] for k, v in _WEDGE_LOFT.items()})
    raise PhysicsError(
        "club",
        f"{club!r} is no club known here",
        'Call it "driver", "3-wood", "4-hybrid", "7-iron", "PW" or "54"',
    )


def known_club(club: str, carry_m: float) -> str:
    """A club that `anchor` knows: this one, or where its name says nothing the one tour players carry as far.

    Parameters
    ----------
    club : str
        As the player calls it ("7-iron", "the old blade").
    carry_m : float
        [m]

    Examples
    --------
    >>> known_club("7i", 150.0), known_club("the old blade", 157.0)
    ('7i', '7-iron')
    """
    try:
        anchor(club)
    except PhysicsError:
        tour = {name: a.carry_m for name, a in anchors().items() if a.carry_m is not None}
        return min(tour, key=lambda name: abs(tour[name] - carry_m))
    return club


def _spin_power(club: str) -> float:
    if club == "driver":
        return -0.3
    if club == "hybrid":
        return 0.5
    if club.endswith("wood"):
        return 0.0 if club == "3-wood" else 0.3
    return 0.8


def _on_line(name: str, at: float, known: dict[int, Anchor] | dict[float, Anchor]) -> Anchor:
    """Between the two nearest anchors, or carried on past the last two."""
    places = sorted(known)
    i = int(np.clip(np.searchsorted(places, at) - 1, 0, len(places) - 2))
    low, high = known[places[i]], known[places[i + 1]]  # type: ignore[index]
    if at in known:
        return known[at]  # type: ignore[index]
    t = (at - places[i]) / (places[i + 1] - places[i])
    return Anchor(
        name,
        low.speed_mps + t * (high.speed_mps - low.speed_mps),
        low.launch_deg + t * (high.launch_deg - low.launch_deg),
        low.spin_rad_s + t * (high.spin_rad_s - low.spin_rad_s),
        low.spin_power + float(np.clip(t, 0.0, 1.0)) * (high.spin_power - low.spin_power),
    )
