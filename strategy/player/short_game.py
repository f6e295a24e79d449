"""Shots round the green, and two out of trees, that a player file need not state: built from the bag.

Round the green a player lands the ball on a chosen spot, so each of these is dialled from `LEAST_YD` or the
shorter shot's full carry up to its own; launch and spin are what such shots are struck with (engineering
choices; how they land follows from the ball model), scatter what reproduces published strokes (below).

Scatter
-------
The core's s.d. at carry c is that at full carry times (c / full)^shrink. All constants of scatter were fitted
together by value iteration round a neutral green (`tests/published/short_game_bench.py`): 12.2 m in radius,
flat, normal firmness, stimpmeter 11, the hole anywhere 4 paces or more inside the edge, the ball anywhere
round it, putts of the tour's averages; targets the 18 strokes from 10 to 60 yd of M. Broadie, "Assessing
Golfer Performance on the PGA TOUR", Interfaces 42(2), 2012, Table 9, and up-and-down shares of the tour
(numerics note, section 9). That of a 90-golfer against the tour's was fitted to the same strokes of that
level (`strategy.strokes.baseline`). The split of the rough between good, poor and jumper lies, that between
side and depth, and the share of duffs and thins are engineering choices.

What is known comes first
-------------------------
None of these is played at a carry and from a lie at which the player states a shot (`strategy.player.gaps`).
Where the scatter of the player's own wedges is known, pitches and lobs follow it: the curve above goes
through a known s.d. of up to 62 yd; a longer wedge counts by what it is against the scatter of its level.
Between two known wedges the share is linear in carry, and held beyond them. Chips and bunker shots are other
swings and stay. A number in the `[short_game]` table stands before both.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from strategy.codes import Lie
from strategy.player import defaults
from strategy.player.file import ShortGameEntry
from strategy.player.gaps import Gap, gaps
from strategy.player.model import LieEffect, Shot, Spread
from strategy.reference.spread import landing_scatter
from strategy.units import RPM_RAD_S, YARD_M

LEAST_YD: Final = 3.0

_GRASS: Final = frozenset(
    {Lie.TEE, Lie.FAIRWAY, Lie.FIRST_CUT, Lie.ROUGH_GOOD, Lie.ROUGH_POOR, Lie.JUMPER, Lie.RECOVERY}
)
_SAND: Final = frozenset({Lie.SAND})


@dataclass(frozen=True, slots=True)
class ShortKind:
    """A shot round the green at full carry: launch, spin, scatter of the tour.

    Attributes
    ----------
    name, family : str
        What it is called; what the `[short_game]` table calls it.
    carry_yd, least_yd : float
        Full carry and shortest dial. [yd]
    launch_deg, spin_rpm : float
        [°], [rpm]
    loft : str
        Whose club: "middle" a short iron, "wedge" the pitching wedge or next to it, "most" the most lofted.
    side_yd, depth_yd : float
        Core s.d. at full carry, of the tour. [yd]
    shrink : float
        Power of the share of the carry that scatter goes with.
    lies : frozenset of Lie
    lie_share : float
        Share of what a lie adds to scatter that is added here: a longer swing gets through more grass.
    """

    name: str
    family: str
    carry_yd: float
    least_yd: float
    launch_deg: float
    spin_rpm: float
    loft: str
    side_yd: float
    depth_yd: float
    shrink: float
    lies: frozenset[Lie] = _GRASS
    lie_share: float = 1.0


# Fitted, see above: s.d. in depth [yd] of a 30-yd pitch off fairway, of a bunker shot and of a long one at
# full carry, and the powers they shrink with; for the tour every one of the 18 strokes within 0.05.
DEPTH_30: Final = 2.97
SHRINK: Final = 0.67
SAND: Final = 3.72
SAND_SHRINK: Final = 0.42
LONG_SAND: Final = 13.6
LONG_SAND_SHRINK: Final = 1.7
ROUGH_WIDER: Final = 0.42  # the usual rough's scatter, less 1
NINETY: Final = 1.85  # scatter of a 90-golfer over the tour's
# Engineering choices.
SIDE: Final = 0.6  # s.d. to the side over that in depth
CHIP_WIDER: Final = 1.0
LONG_WIDER: Final = 0.95
LONG_SHRINK: Final = 0.5
LONG_LIE_SHARE: Final = 0.6
LONG_LAUNCH: Final = 42.0
LOB_WIDER: Final = 1.2
MISHIT_SHARE: Final = 0.03
MISHIT_SHORT: Final = 0.30
MISHIT_SCALE: Final = 2.5
_LEAST_SCALE: Final = 0.5


def _kinds() -> tuple[ShortKind, ...]:
    def grass(
        name: str,
        family: str,
        carry: float,
        least: float,
        launch: float,
        spin: float,
        loft: str,
        wider: float,
    ) -> ShortKind:
        depth = DEPTH_30 * wider * (carry / 30.0) ** SHRINK
        long = name == "long pitch"
        share, shrink = (LONG_LIE_SHARE, LONG_SHRINK) if long else (1.0, SHRINK)
        return ShortKind(
            name, family, carry, least, launch, spin, loft, SIDE * depth, depth, shrink, lie_share=share
        )

    def sand(
        name: str, carry: float, least: float, launch: float, spin: float, depth: float, shrink: float
    ) -> ShortKind:
        side = SIDE * depth
        return ShortKind(name, "bunker shot", carry, least, launch, spin, "most", side, depth, shrink, _SAND)

    return (
        grass("long pitch", "pitch", 62.0, 30.0, LONG_LAUNCH, 5900.0, "wedge", LONG_WIDER),
        grass("long lob", "lob", 40.0, 20.0, 53.0, 4300.0, "most", LOB_WIDER),
        grass("pitch", "pitch", 30.0, LEAST_YD, 38.0, 5300.0, "wedge", 1.0),
        grass("chip", "chip", 28.0, LEAST_YD, 20.0, 3500.0, "middle", CHIP_WIDER),
        grass("lob", "lob", 20.0, LEAST_YD, 53.0, 3400.0, "most", LOB_WIDER),
        sand("long bunker shot", 65.0, 32.0, 44.0, 4800.0, LONG_SAND, LONG_SAND_SHRINK),
        sand("bunker shot", 28.0, LEAST_YD, 48.0, 4000.0, SAND, SAND_SHRINK),
    )


KINDS: Final = _kinds()


def effects(wider: float = ROUGH_WIDER) -> Mapping[Lie, LieEffect]:
    """What lies do to shots round the green; `wider` is the usual rough's scatter, less 1."""
    return {  # a plain dict: players go to other processes
        Lie.TEE: LieEffect(),
        Lie.FAIRWAY: LieEffect(),
        Lie.FIRST_CUT: LieEffect(scatter=1.0 + 0.3 * wider, spin=0.75),
        Lie.ROUGH_GOOD: LieEffect(scatter=1.0 + 0.8 * wider, spin=0.6),
        Lie.ROUGH_POOR: LieEffect(scatter=1.0 + 1.25 * wider, spin=0.5),
        Lie.JUMPER: LieEffect(scatter=1.0 + 1.08 * wider, spin=0.5),
        Lie.SAND: LieEffect(),  # a shot of its own
        Lie.RECOVERY: LieEffect(scatter=1.0 + 1.25 * wider, spin=0.5),
    }


EFFECTS: Final = effects()


def scatter_of(level: float) -> float:
    """Scatter round the green of an average score, against the tour's."""
    return max(1.0 + (level - 70.0) / 20.0 * (NINETY - 1.0), _LEAST_SCALE)


def short_shots(
    shots: Sequence[Shot], level: float, stated: ShortGameEntry, kinds: Sequence[ShortKind] = KINDS
) -> tuple[Shot, ...]:
    """Shots round the green for a bag, longest carry first.

    Parameters
    ----------
    shots : sequence of Shot
        The player's own; each short shot is played with a club among them. A player without a wedge
        plays them with the most lofted club there is.
    level : float
        Average score.
    stated : ShortGameEntry
        The `[short_game]` table of the file.
    """
    wedges = _by_loft(shots)
    if not wedges:
        return ()
    made = []
    for kind in kinds:
        if kind.family in stated.without:
            continue
        own = getattr(stated, kind.family.replace(" ", "_"))
        known = stated.scatter if own is None else own
        club = _club(kind.loft, wedges, shots)
        for gap in gaps(kind.name, kind.least_yd * YARD_M, kind.carry_yd * YARD_M, kind.lies, shots):
            share = (1.0, 1.0) if known is None else (known, known)
            if known is None and kind.family in _FOLLOW:
                share = own_share(gap.carry_m, level, shots)
            made.append(_short_shot(kind, gap, club, scatter_of(level), share, known is None))
    return tuple(made)


def _short_shot(
    kind: ShortKind, gap: Gap, club: str, scatter: float, share: tuple[float, float], assumed: bool
) -> Shot:
    """One of these over part of its carries; `scatter` is the level's, `share` the player's of it."""
    factor = scatter * (gap.carry_m / (kind.carry_yd * YARD_M)) ** kind.shrink * YARD_M
    return Shot(
        club=gap.club or club,
        name=gap.name,
        carry_m=gap.carry_m,
        carry_least_m=gap.least_m,
        spread=Spread(
            side_m=kind.side_yd * factor * share[0],
            depth_m=kind.depth_yd * factor * share[1],
            mishit_share=MISHIT_SHARE,
            mishit_short=MISHIT_SHORT,
            mishit_scale=MISHIT_SCALE,
        ),
        run_sd_m=0.0,
        apex_m=gap.carry_m * math.tan(math.radians(kind.launch_deg)) / 4.0,
        lies=gap.lies,
        stock=False,
        assumed=("shot", "scatter", "run") if assumed else ("shot", "run"),
        launch_deg=kind.launch_deg,
        spin_rad_s=kind.spin_rpm * RPM_RAD_S,
        short=True,
        shrink=kind.shrink,
        lie_share=kind.lie_share,
    )


_FOLLOW: Final = frozenset({"pitch", "lob"})


def own_share(carry_m: float, level: float, shots: Sequence[Shot]) -> tuple[float, float]:
    """S.d. to the side and in depth of a player's own wedges over what is assumed; 1 where none is known.

    Parameters
    ----------
    carry_m : float
        Where it is asked for. [m]
    level : float
        Average score.
    shots : sequence of Shot
        The player's own.
    """
    known = sorted(
        (s.carry_m, s.spread.side_m, s.spread.depth_m)
        for s in shots
        if defaults.kind_of(s.club, s.carry_m) is defaults.Kind.WEDGE
        and not {"carry", "scatter"} & set(s.assumed)
    )
    if not known:
        return 1.0, 1.0
    carries = [carry for carry, _, _ in known]
    side, depth = (
        float(np.interp(carry_m, carries, [one[axis + 1] / _pitched(one[0], level)[axis] for one in known]))
        for axis in (0, 1)
    )
    return side, depth


def _pitched(carry_m: float, level: float) -> tuple[float, float]:
    """S.d. to the side and in depth that is assumed of a pitch, beyond the longest of a full shot. [m]"""
    pitches = sorted((k for k in KINDS if k.family == "pitch"), key=lambda k: k.carry_yd)
    for kind in pitches:
        full = kind.carry_yd * YARD_M
        if carry_m <= full:
            factor = scatter_of(level) * (carry_m / full) ** kind.shrink * YARD_M
            return kind.side_yd * factor, kind.depth_yd * factor
    return landing_scatter(carry_m, level)


def _by_loft(shots: Sequence[Shot]) -> list[str]:
    """Clubs whose stock shot is there, shortest first: wedges if there are any, else every club."""
    stock = sorted((s for s in shots if s.stock), key=lambda s: s.carry_m)
    wedges = [s.club for s in stock if defaults.kind_of(s.club, s.carry_m) is defaults.Kind.WEDGE]
    return wedges or [s.club for s in stock]


def _club(loft: str, wedges: list[str], shots: Sequence[Shot]) -> str:
    """The club of the bag for a short shot."""
    if loft == "most":
        return wedges[0]
    if loft == "wedge":
        return wedges[min(1, len(wedges) - 1)]
    return _iron(shots, 9) or wedges[-1]


# ------------------------------------------------------------------------------------------- out of trees


@dataclass(frozen=True, slots=True)
class Low:
    """A shot out of trees: carries [yd], the iron it takes, launch [°], spin [rpm], height, run [yd].

    It runs as far however it is dialled: what a low ball runs on hardly hangs on its carry.
    """

    name: str
    carry_yd: float
    least_yd: float
    iron: int
    launch_deg: float
    spin_rpm: float
    apex_yd: float
    run_yd: tuple[float, float, float, float]  # on fairway, first cut, rough, green


_TREES: Final = frozenset({Lie.ROUGH_POOR, Lie.RECOVERY})
# Engineering choices; runs are about 0.8 of what `strategy.ball.ground` gives such flights at full carry and
# normal firmness, half of it for the short chip-out: its law was measured on balls that come down at 18 m/s
# and knows no soft ground. Nothing under branches rises much above 2 m.
LOW: Final = (
    Low("punch", 150.0, 100.0, 5, 9.5, 4500.0, 13.0, (24.0, 16.0, 8.0, 30.0)),
    Low("punch", 100.0, 60.0, 7, 11.0, 4000.0, 7.3, (28.0, 20.0, 11.0, 34.0)),
    Low("chip-out", 60.0, 25.0, 6, 8.5, 3000.0, 2.7, (30.0, 20.0, 11.0, 36.0)),
    Low("chip-out", 25.0, 8.0, 8, 14.0, 2000.0, 1.7, (15.0, 11.0, 8.0, 18.0)),
)


def low_shots(shots: Sequence[Shot], level: float) -> tuple[Shot, ...]:
    """Shots out of trees for a bag: chip-outs, and punches unless the player has a low shot from there.

    Parameters
    ----------
    level : float
        Average score; scatter is that of a full shot of the same carry (`strategy.reference.spread`).
    """
    own = any(s.height == "low" and Lie.RECOVERY in s.lies for s in shots)
    made: list[Shot] = []
    for low in LOW:
        club = _iron(shots, low.iron)
        if (own and low.name == "punch") or club is None:
            continue
        full = max(s.carry_m for s in shots if s.club == club)
        carry = min(low.carry_yd * YARD_M, 0.92 * full)  # an amateur's iron goes no further low than full
        least = min(low.least_yd * YARD_M, carry)
        side, depth = landing_scatter(carry, level)
        keys = ("fairway", "first cut", "rough", "green")
        shot = Shot(
            club=club,
            name=low.name,
            carry_m=carry,
            carry_least_m=least,
            spread=Spread(side_m=side, depth_m=depth),
            run_m={key: run * YARD_M for key, run in zip(keys, low.run_yd, strict=True)},
            run_sd_m=defaults.run_sd(low.run_yd[0] * YARD_M),
            apex_m=low.apex_yd * YARD_M * carry / (low.carry_yd * YARD_M),
            lies=_TREES,
            stock=False,
            assumed=("shot", "scatter", "run"),
            height="low",
            launch_deg=low.launch_deg,
            spin_rad_s=low.spin_rpm * RPM_RAD_S,
        )
        twin = next((i for i, s in enumerate(made) if s.label == shot.label), None)
        if twin is None:
            made.append(shot)
        else:  # one club for both: the longer one, dialled all the way down
            made[twin] = replace(made[twin], carry_least_m=min(least, made[twin].carry_least_m))
    low_ones = [s for s in shots if s.height == "low"]
    return tuple(one for shot in made for one in _low_beside(shot, low_ones, level))


def _low_beside(shot: Shot, own: Sequence[Shot], level: float) -> Iterator[Shot]:
    """What an assumed low shot is left with beside the player's own low shots."""
    for gap in gaps(shot.name, shot.carry_least_m, shot.carry_m, shot.lies, own):
        side, depth = landing_scatter(gap.carry_m, level)
        yield replace(
            shot,
            club=gap.club or shot.club,
            name=gap.name,
            carry_m=gap.carry_m,
            carry_least_m=gap.least_m,
            spread=replace(shot.spread, side_m=side, depth_m=depth),
            apex_m=shot.apex_m * gap.carry_m / shot.carry_m,
            lies=gap.lies,
        )


def _iron(shots: Sequence[Shot], number: int) -> str | None:
    """The player's iron with the nearest number; None without irons."""
    there = {s.club: n for s in shots if (n := defaults.iron_number(s.club)) is not None}
    return min(there, key=lambda club: (abs(there[club] - number), -there[club]), default=None)
