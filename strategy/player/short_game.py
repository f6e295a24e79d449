"""Shots round the green that a player file need not state. They are played with clubs of the player's bag.

The player lands such a shot on a chosen spot, so each can be dialled from a shortest carry up to its full
carry. Launch and spin are engineering choices; the ball model gives what follows from them. Scatter is fitted
to published strokes, as described below.

Scatter
-------
The standard deviation of the core at carry c is that at full carry times (c / full)^shrink. All constants of
scatter were fitted together by value iteration round a neutral green (`tests/published/short_game_bench.py`):
12.2 m in radius, flat, normal firmness, stimpmeter 11, the hole anywhere at least 4 paces inside the edge,
the ball anywhere round it, putts of the tour's averages. The targets are the 18 strokes from 10 to 60 yd of
M. Broadie, "Assessing Golfer Performance on the PGA TOUR", Interfaces 42(2), 2012, Table 9, and up-and-down
shares of the tour (numerics note, section 9). The scatter of a 90-golfer relative to the tour was fitted to
the same strokes of that level (`strategy.strokes.baseline`). The following are engineering choices: the split
of the rough between good, poor and jumper lies, the ratio of scatter in side and depth, and the share of
duffs and thins.

The player's own shots come first
---------------------------------
None of these shots is played at a carry and from a lie at which the player states a shot
(`strategy.player.gaps`). Where the scatter of the player's own wedges is known, pitches and lobs follow it:
the ratio of known to assumed scatter is applied. A wedge up to 62 yd is compared with the curve above, a
longer one with the scatter of its level. Between two known wedges the ratio is linear in carry, and beyond
them it is constant. Chips and bunker shots are other swings and keep their scatter. A number in the
`[short_game]` table replaces both.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
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


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortKind:
    """A kind of shot round the green: launch, spin and the scatter of the tour at full carry.

    Attributes
    ----------
    name, family : str
        Name of the shot, and its key in the `[short_game]` table.
    carry_yd, least_yd : float
        Full carry and shortest carry. [yd]
    launch_deg, spin_rpm : float
        Launch angle and backspin. [°], [rpm]
    loft : str
        The club: "middle" for a short iron, "wedge" for the pitching wedge or the next one, "most" for the
        most lofted.
    side_yd, depth_yd : float
        Standard deviations of the core at full carry, for the tour. [yd]
    shrink : float
        Scatter is proportional to the share of the full carry to this power.
    lies : frozenset of Lie
        The lies that it is played from.
    lie_share : float
        Share of the scatter that a lie adds, because a longer swing gets through more grass.
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


# Fitted as described above: standard deviations in depth [yd] of a 30-yd pitch off the fairway, and of a
# bunker shot and a long bunker shot at full carry, with the powers that they shrink with. All 18 strokes of
# the tour are within 0.05 of the table.
DEPTH_30: Final = 2.97
SHRINK: Final = 0.67
SAND: Final = 3.72
SAND_SHRINK: Final = 0.42
LONG_SAND: Final = 13.6
LONG_SAND_SHRINK: Final = 1.7
ROUGH_ADDS: Final = 0.42  # what the usual rough adds to a scatter factor of 1
NINETY: Final = 1.85  # scatter of a 90-golfer over that of the tour
# Engineering choices.
SIDE: Final = 0.6  # standard deviation in side over that in depth
CHIP_FACTOR: Final = 1.0  # scatter over that of a pitch of the same carry
LOB_FACTOR: Final = 1.2
LONG_FACTOR: Final = 0.95
LONG_SHRINK: Final = 0.5
LONG_LIE_SHARE: Final = 0.6
LONG_LAUNCH: Final = 42.0
MISHIT_SHARE: Final = 0.03
MISHIT_SHORT: Final = 0.30
MISHIT_SCALE: Final = 2.5
_LEAST_SCALE: Final = 0.5


def _on_grass(
    name: str, family: str, loft: str, *, carry_yd: float, least_yd: float, launch_deg: float, spin_rpm: float
) -> ShortKind:
    """A shot off grass. Its scatter is that of a pitch of the same carry times the factor of its kind."""
    is_long_pitch = name == "long pitch"
    factor = LONG_FACTOR if is_long_pitch else {"chip": CHIP_FACTOR, "lob": LOB_FACTOR}.get(family, 1.0)
    depth = DEPTH_30 * factor * (carry_yd / 30.0) ** SHRINK
    return ShortKind(
        name=name,
        family=family,
        carry_yd=carry_yd,
        least_yd=least_yd,
        launch_deg=launch_deg,
        spin_rpm=spin_rpm,
        loft=loft,
        side_yd=SIDE * depth,
        depth_yd=depth,
        shrink=LONG_SHRINK if is_long_pitch else SHRINK,
        lie_share=LONG_LIE_SHARE if is_long_pitch else 1.0,
    )


KINDS: Final = (
    _on_grass(
        *("long pitch", "pitch", "wedge"),
        carry_yd=62.0,
        least_yd=30.0,
        launch_deg=LONG_LAUNCH,
        spin_rpm=5900.0,
    ),
    _on_grass("long lob", "lob", "most", carry_yd=40.0, least_yd=20.0, launch_deg=53.0, spin_rpm=4300.0),
    _on_grass("pitch", "pitch", "wedge", carry_yd=30.0, least_yd=LEAST_YD, launch_deg=38.0, spin_rpm=5300.0),
    _on_grass("chip", "chip", "middle", carry_yd=28.0, least_yd=LEAST_YD, launch_deg=20.0, spin_rpm=3500.0),
    _on_grass("lob", "lob", "most", carry_yd=20.0, least_yd=LEAST_YD, launch_deg=53.0, spin_rpm=3400.0),
    ShortKind(
        name="long bunker shot",
        family="bunker shot",
        carry_yd=65.0,
        least_yd=32.0,
        launch_deg=44.0,
        spin_rpm=4800.0,
        loft="most",
        side_yd=SIDE * LONG_SAND,
        depth_yd=LONG_SAND,
        shrink=LONG_SAND_SHRINK,
        lies=_SAND,
    ),
    ShortKind(
        name="bunker shot",
        family="bunker shot",
        carry_yd=28.0,
        least_yd=LEAST_YD,
        launch_deg=48.0,
        spin_rpm=4000.0,
        loft="most",
        side_yd=SIDE * SAND,
        depth_yd=SAND,
        shrink=SAND_SHRINK,
        lies=_SAND,
    ),
)

# Effects of lies on shots round the green. It is a plain dict, because players are sent to other processes.
EFFECTS: Final[Mapping[Lie, LieEffect]] = {
    Lie.TEE: LieEffect(),
    Lie.FAIRWAY: LieEffect(),
    Lie.FIRST_CUT: LieEffect(scatter=1.0 + 0.3 * ROUGH_ADDS, spin=0.75),
    Lie.ROUGH_GOOD: LieEffect(scatter=1.0 + 0.8 * ROUGH_ADDS, spin=0.6),
    Lie.ROUGH_POOR: LieEffect(scatter=1.0 + 1.25 * ROUGH_ADDS, spin=0.5),
    Lie.JUMPER: LieEffect(scatter=1.0 + 1.08 * ROUGH_ADDS, spin=0.5),
    Lie.SAND: LieEffect(),  # bunker shots have a scatter of their own
    Lie.RECOVERY: LieEffect(scatter=1.0 + 1.25 * ROUGH_ADDS, spin=0.5),
}


def scatter_of(level: float) -> float:
    """Scatter round the green at a level (average score), over that of the tour."""
    return max(1.0 + (level - 70.0) / 20.0 * (NINETY - 1.0), _LEAST_SCALE)


def short_shots(shots: Sequence[Shot], level: float, stated: ShortGameEntry) -> tuple[Shot, ...]:
    """Shots round the green for a bag, the longest carry first.

    Parameters
    ----------
    shots : sequence of Shot
        The player's own shots. Short shots are played with the clubs of these; a player without a wedge plays
        them with the most lofted clubs.
    level : float
        Average score.
    stated : ShortGameEntry
        The `[short_game]` table of the player file.
    """
    wedges = _by_loft(shots)
    if not wedges:
        return ()
    result = []
    for kind in KINDS:
        if kind.family in stated.without:
            continue
        own = getattr(stated, kind.family.replace(" ", "_"))
        stated_ratio = stated.scatter if own is None else own
        club = _club(kind.loft, wedges, shots)
        for gap in gaps(kind.name, kind.least_yd * YARD_M, kind.carry_yd * YARD_M, kind.lies, shots):
            if stated_ratio is not None:
                ratio = (stated_ratio, stated_ratio)
            elif kind.family in _LIKE_WEDGES:
                ratio = own_ratio(gap.carry_m, level, shots)
            else:
                ratio = (1.0, 1.0)
            result.append(_short_shot(kind, gap, club, scatter_of(level), ratio, stated_ratio is None))
    return tuple(result)


def _short_shot(
    kind: ShortKind, gap: Gap, club: str, scatter: float, ratio: tuple[float, float], assumed: bool
) -> Shot:
    """A shot of a kind over a part of its carries.

    Parameters
    ----------
    scatter : float
        Scatter of the player's level, over that of the tour.
    ratio : tuple of two floats
        Scatter of the player over that of the level, in side and depth.
    assumed : bool
        Whether the player file does not state the scatter.
    """
    factor = scatter * (gap.carry_m / (kind.carry_yd * YARD_M)) ** kind.shrink * YARD_M
    return Shot(
        club=gap.club or club,
        name=gap.name,
        carry_m=gap.carry_m,
        carry_least_m=gap.least_m,
        spread=Spread(
            side_m=kind.side_yd * factor * ratio[0],
            depth_m=kind.depth_yd * factor * ratio[1],
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


_LIKE_WEDGES: Final = frozenset({"pitch", "lob"})  # families whose scatter follows the player's own wedges


def own_ratio(carry_m: float, level: float, shots: Sequence[Shot]) -> tuple[float, float]:
    """Scatter of a player's own wedges over the assumed scatter, in side and depth; 1 when it is not known.

    Parameters
    ----------
    carry_m : float
        Carry that the ratio is for. [m]
    level : float
        Average score.
    shots : sequence of Shot
        The player's own shots.
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
        float(np.interp(carry_m, carries, [one[axis + 1] / _assumed(one[0], level)[axis] for one in known]))
        for axis in (0, 1)
    )
    return side, depth


def _assumed(carry_m: float, level: float) -> tuple[float, float]:
    """Assumed standard deviations in side and depth of a pitch, or of a full shot beyond pitches. [m]"""
    pitches = sorted((k for k in KINDS if k.family == "pitch"), key=lambda k: k.carry_yd)
    for kind in pitches:
        full = kind.carry_yd * YARD_M
        if carry_m <= full:
            factor = scatter_of(level) * (carry_m / full) ** kind.shrink * YARD_M
            return kind.side_yd * factor, kind.depth_yd * factor
    return landing_scatter(carry_m, level)


def _by_loft(shots: Sequence[Shot]) -> list[str]:
    """The wedges of a bag, the shortest first; all clubs of a bag without wedges."""
    stock = sorted((s for s in shots if s.stock), key=lambda s: s.carry_m)
    wedges = [s.club for s in stock if defaults.kind_of(s.club, s.carry_m) is defaults.Kind.WEDGE]
    return wedges or [s.club for s in stock]


def _club(loft: str, wedges: list[str], shots: Sequence[Shot]) -> str:
    """The club of the bag for a short shot."""
    if loft == "most":
        return wedges[0]
    if loft == "wedge":
        return wedges[min(1, len(wedges) - 1)]
    return nearest_iron(shots, 9) or wedges[-1]


def nearest_iron(shots: Sequence[Shot], number: int) -> str | None:
    """The iron of a bag with the number nearest to a number; None for a bag without irons."""
    number_of = {s.club: n for s in shots if (n := defaults.iron_number(s.club)) is not None}
    return min(number_of, key=lambda club: (abs(number_of[club] - number), -number_of[club]), default=None)
