"""Low shots out of trees that a player file need not state. They are played with irons of the bag."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from strategy.codes import Lie
from strategy.player import defaults
from strategy.player.gaps import gaps
from strategy.player.model import Shot, Spread
from strategy.player.short_game import nearest_iron
from strategy.reference.spread import landing_scatter
from strategy.units import RPM_RAD_S, YARD_M


@dataclass(frozen=True, slots=True, kw_only=True)
class LowKind:
    """A kind of shot out of trees.

    Its run does not depend on how it is dialled, because the run of a low ball hardly depends on its carry.

    Attributes
    ----------
    name : str
        Name of the shot.
    carry_yd, least_yd : float
        Full carry and shortest carry. [yd]
    iron : int
        Number of the iron that it is played with.
    launch_deg, spin_rpm : float
        Launch angle and backspin. [°], [rpm]
    apex_yd : float
        Greatest height. [yd]
    run_yd : tuple of four floats
        Run on fairway, first cut, rough and green. [yd]
    """

    name: str
    carry_yd: float
    least_yd: float
    iron: int
    launch_deg: float
    spin_rpm: float
    apex_yd: float
    run_yd: tuple[float, float, float, float]


_GROUND: Final = ("fairway", "first cut", "rough", "green")
_UNDER_TREES: Final = frozenset({Lie.ROUGH_POOR, Lie.RECOVERY})
# Engineering choices. Runs are about 0.8 of what `strategy.ball.ground` gives for such flights at full carry
# and normal firmness, and half of it for the short chip-out, because its law was measured with balls that
# land at 18 m/s and does not know soft ground. Nothing under branches rises much above 2 m.
KINDS: Final = (
    LowKind(
        name="punch",
        carry_yd=150.0,
        least_yd=100.0,
        iron=5,
        launch_deg=9.5,
        spin_rpm=4500.0,
        apex_yd=13.0,
        run_yd=(24.0, 16.0, 8.0, 30.0),
    ),
    LowKind(
        name="punch",
        carry_yd=100.0,
        least_yd=60.0,
        iron=7,
        launch_deg=11.0,
        spin_rpm=4000.0,
        apex_yd=7.3,
        run_yd=(28.0, 20.0, 11.0, 34.0),
    ),
    LowKind(
        name="chip-out",
        carry_yd=60.0,
        least_yd=25.0,
        iron=6,
        launch_deg=8.5,
        spin_rpm=3000.0,
        apex_yd=2.7,
        run_yd=(30.0, 20.0, 11.0, 36.0),
    ),
    LowKind(
        name="chip-out",
        carry_yd=25.0,
        least_yd=8.0,
        iron=8,
        launch_deg=14.0,
        spin_rpm=2000.0,
        apex_yd=1.7,
        run_yd=(15.0, 11.0, 8.0, 18.0),
    ),
)


def low_shots(shots: Sequence[Shot], level: float) -> tuple[Shot, ...]:
    """Shots out of trees for a bag: chip-outs, and punches unless the player states a low shot from there.

    Parameters
    ----------
    shots : sequence of Shot
        The player's own shots.
    level : float
        Average score. The scatter is that of a full shot of the same carry (`strategy.reference.spread`).
    """
    has_low_shot = any(s.height == "low" and Lie.RECOVERY in s.lies for s in shots)
    assumed: list[Shot] = []
    for kind in KINDS:
        club = nearest_iron(shots, kind.iron)
        if (has_low_shot and kind.name == "punch") or club is None:
            continue
        shot = _low_shot(kind, club, max(s.carry_m for s in shots if s.club == club), level)
        same = next((i for i, s in enumerate(assumed) if s.label == shot.label), None)
        if same is None:
            assumed.append(shot)
        else:  # both kinds have the same iron: the longer one is dialled down to the shortest carry
            least = min(shot.carry_least_m, assumed[same].carry_least_m)
            assumed[same] = replace(assumed[same], carry_least_m=least)
    own_low_shots = [s for s in shots if s.height == "low"]
    return tuple(part for shot in assumed for part in _outside_own(shot, own_low_shots, level))


def _low_shot(kind: LowKind, club: str, full_m: float, level: float) -> Shot:
    """A shot of a kind with a club; `full_m` is the longest carry of the club. [m]"""
    carry = min(kind.carry_yd * YARD_M, 0.92 * full_m)  # a short iron does not go as far as the kind says
    side, depth = landing_scatter(carry, level)
    return Shot(
        club=club,
        name=kind.name,
        carry_m=carry,
        carry_least_m=min(kind.least_yd * YARD_M, carry),
        spread=Spread(side_m=side, depth_m=depth),
        run_m={where: run * YARD_M for where, run in zip(_GROUND, kind.run_yd, strict=True)},
        run_sd_m=defaults.run_sd(kind.run_yd[0] * YARD_M),
        apex_m=kind.apex_yd * YARD_M * carry / (kind.carry_yd * YARD_M),
        lies=_UNDER_TREES,
        stock=False,
        assumed=("shot", "scatter", "run"),
        height="low",
        launch_deg=kind.launch_deg,
        spin_rad_s=kind.spin_rpm * RPM_RAD_S,
    )


def _outside_own(shot: Shot, own: Sequence[Shot], level: float) -> Iterator[Shot]:
    """The parts of an assumed low shot that the player's own low shots do not cover."""
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
