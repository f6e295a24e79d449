"""How a tour professional's clubs launch a ball: the anchors that launches are inferred from.

The rows are tour averages by radar measurement (`reference/launch_tour.csv`, which says which cells are
confirmed and which from memory). A player's club is taken to lie on a line through the anchor: with q the
ball speed as a share of the anchor's,

    launch = anchor + 14° (1 - q),    spin = anchor x q^k,

k = 0.8 for irons and wedges, 0.5 hybrid, 0.3 5-wood and shorter, 0 3-wood, -0.3 driver (fitted to the
difference between the tours of men and women). That fit leaves up to 1.4° and 12 % of spin between the line
and the women's row of a club; the rest fades in between the two rows, so that the line passes through both.
The women's 3-wood is left out, as it was from the fit of the flight law: its 2704 rpm would go up 19 yd, and
its own row says 23, which is what the line gives.

A published launch does not carry exactly its published carry under the flight law (a 7-iron 167 for 172).
That miss is the law's, not the strike's. A faster ball would make it good too, but would lose to the wind
what a longer hitter loses. So each club has a share of the law's drag with which its published launch carries
what is published, 0.94 to 1.03. Where no carry is published the law stands as it is.

Clubs between the rows (a 2-iron, a 4-wood, a 54° wedge) are interpolated or carried on by one step; those
steps are engineering choices.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.ball.flight import Launch, fly
from strategy.errors import PhysicsError
from strategy.reference import rows
from strategy.units import MPH_MPS, RPM_RAD_S, YARD_M

LAUNCH_PER_Q: Final = 14.0  # degrees higher for a ball speed of nothing
_OUTLIERS: Final = frozenset({"3-wood"})  # women's rows that the line does not pass through

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
        The club that the name was read as ("7-iron", "wedge of 54°").
    speed_mps, launch_deg, spin_rad_s : float
        [m/s], [°], [rad/s]
    spin_power : float
        k of the line.
    carry_m : float or None
        Published carry, None where the table gives none. [m]
    drag : float
        Share of the law's drag at the anchor.
    low_q : float
        Share of the ball speed where the women's row stands.
    low_launch_deg, low_spin : float
        How much higher than the line that row launches, and its spin as a share of the line's. [°], 1
    low_drag : float
        Share of the law's drag there.
    """

    club: str
    speed_mps: float
    launch_deg: float
    spin_rad_s: float
    spin_power: float
    carry_m: float | None = None
    drag: float = 1.0
    low_q: float = 0.85
    low_launch_deg: float = 0.0
    low_spin: float = 1.0
    low_drag: float = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Lines:
    """The lines of n clubs."""

    clubs: Sequence[Anchor]

    @property
    def speed_mps(self) -> FloatArray:
        """Ball speeds of the anchors (n,). [m/s]"""
        return self._all("speed_mps")

    def at(self, q: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Launch, spin and share of the law's drag where the ball speed is q of the anchor's (n,).

        [°], [rad/s], 1
        """
        low = np.clip((1.0 - q) / (1.0 - self._all("low_q")), 0.0, 1.0)
        launch = self._all("launch_deg") + LAUNCH_PER_Q * (1.0 - q) + low * self._all("low_launch_deg")
        spin = self._all("spin_rad_s") * q ** self._all("spin_power") * self._all("low_spin") ** low
        drag = self._all("drag") ** (1.0 - low) * self._all("low_drag") ** low
        return launch, spin, drag

    def _all(self, name: str) -> FloatArray:
        return np.array([getattr(a, name) for a in self.clubs], dtype=np.float64)


@cache
def anchors() -> dict[str, Anchor]:
    """The clubs of the men's tour by name, each with the line that passes through the women's."""
    men, women = _tour("men"), _tour("women")
    return {name: _through(club, women.get(name)) for name, club in men.items()}


def _through(club: Anchor, weaker: Anchor | None) -> Anchor:
    """A club whose line passes through the same club of weaker players, if that is known."""
    if weaker is None or club.club in _OUTLIERS:
        return dataclasses.replace(club, low_drag=club.drag)
    q = weaker.speed_mps / club.speed_mps
    (launch,), (spin,), _ = Lines([club]).at(np.array([q]))
    return dataclasses.replace(
        club,
        low_q=q,
        low_launch_deg=weaker.launch_deg - float(launch),
        low_spin=weaker.spin_rad_s / float(spin),
        low_drag=weaker.drag,
    )


def _tour(tour: str) -> dict[str, Anchor]:
    """The table's rows of "men" or "women" by club."""
    clubs = [
        Anchor(
            row["club"],
            float(row["ball_speed_mph"]) * MPH_MPS,
            float(row["launch_deg"]),
            float(row["spin_rpm"]) * RPM_RAD_S,
            _spin_power(row["club"]),
            float(row["carry_yd"]) * YARD_M if row["carry_yd"] else None,
        )
        for row in rows("launch_tour")
        if row["tour"] == tour
    ]
    return {a.club: dataclasses.replace(a, drag=d) for a, d in zip(clubs, _drags(clubs), strict=True)}


def _drags(clubs: list[Anchor]) -> list[float]:
    """Shares of the law's drag at which published launches carry as published; 1 where no carry is."""
    launch = Launch(
        speed_mps=np.array([a.speed_mps for a in clubs]),
        launch_deg=np.array([a.launch_deg for a in clubs]),
        spin_rad_s=np.array([a.spin_rad_s for a in clubs]),
    )
    has_carry = np.array([a.carry_m is not None for a in clubs])
    carry = np.array([a.carry_m or 0.0 for a in clubs])
    log, step = np.zeros(len(clubs)), 1e-3
    for _ in range(8):  # Newton: the carry is nearly linear in the drag
        now, more = (fly(launch.replace(drag=np.exp(d))).carry_m for d in (log, log + step))
        miss = np.where(has_carry, now - carry, 0.0)
        log = log - miss / ((more - now) / step)
        if np.abs(miss).max() < 1e-6:
            break
    return [float(d) for d in np.exp(log)]


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
            return dataclasses.replace(
                base,
                club=f"{number}-hybrid",
                speed_mps=base.speed_mps - 5.0 * MPH_MPS * step,
                launch_deg=base.launch_deg + 0.9 * step,
                spin_rad_s=base.spin_rad_s + 330.0 * RPM_RAD_S * step,
                carry_m=None,
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
    """A club that `anchor` knows: this one, or for an unknown name the one that tour players carry as far.

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
    """The anchor at a number or loft: interpolated between two rows, extrapolated past the last two."""
    places = sorted(known)
    i = int(np.clip(np.searchsorted(places, at) - 1, 0, len(places) - 2))
    low, high = known[places[i]], known[places[i + 1]]  # type: ignore[index]
    if at in known:
        return known[at]  # type: ignore[index]
    t = (at - places[i]) / (places[i + 1] - places[i])
    # Past the last rows speed, launch and spin are extrapolated; fitted values stay those of the last row.
    inside = float(np.clip(t, 0.0, 1.0))

    def between(field: str, share: float) -> float:
        here, there = float(getattr(low, field)), float(getattr(high, field))
        return here + share * (there - here)

    steps = {field: between(field, t) for field in ("speed_mps", "launch_deg", "spin_rad_s")}
    fitted = ("spin_power", "drag", "low_q", "low_launch_deg", "low_spin", "low_drag")
    return Anchor(club=name, **steps, **{field: between(field, inside) for field in fitted})
