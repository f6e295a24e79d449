"""The player as every other room sees it: shots, spreads and lies in SI units, with handedness applied.

Side is positive to the right for everybody. The file states "draw" or "fade". Reading the file turns it into
a bend to the right [m], so no other room needs to know the hand of the player.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from strategy.codes import Lie


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Landing scatter of one shot round its target in calm air: a core, and mishits.

    Attributes
    ----------
    side_m, depth_m : float
        Standard deviations of the core. [m]
    tilt : float
        Correlation of side and depth in the core; 0 when it is not known.
    bias_side_m, bias_depth_m : float
        Mean of the core relative to the target. [m]
    mishit_share : float
        Share of balls in the mishit stratum.
    mishit_short : float
        Mean shortfall of a mishit as a share of the carry.
    mishit_scale : float
        Scatter of a mishit over that of the core.
    balls : int or None
        Number of balls that the scatter was measured from; None when it is stated without a number.
    """

    side_m: float
    depth_m: float
    tilt: float = 0.0
    bias_side_m: float = 0.0
    bias_depth_m: float = 0.0
    mishit_share: float = 0.04
    mishit_short: float = 0.16
    mishit_scale: float = 2.5
    balls: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LieEffect:
    """The effect of a lie on every shot from it.

    Attributes
    ----------
    carry, scatter, run : float
        Multipliers. If `spin` is not 1 and the player does not state `run`, the run follows from the flight.
    spin : float
        Multiplier of the spin. It does not change the carry, which follows from `carry`.
    lip_deg : float
        A shot with a lower launch angle does not clear the lip of the bunker; 0 for no lip. It has no effect
        while the physics is off (`Week.as_stated`), because there is no launch then. [°]
    stated : frozenset of str
        Names of the fields that the player states.
    """

    carry: float = 1.0
    scatter: float = 1.0
    run: float = 1.0
    spin: float = 1.0
    lip_deg: float = 0.0
    stated: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class SlopeEffect:
    """What a sloping stance does to every shot, as its player states it; None = as derived (`ball.slope`).

    Attributes
    ----------
    across : float or None
        How far to the low side a ball above or below the feet goes: share of the carry for a slope of 1.
    uphill, downhill : float or None
        How much further the ball carries from an uphill and a downhill lie: share of the carry for a slope of
        1, less than 0 for shorter.
    """

    across: float | None = None
    uphill: float | None = None
    downhill: float | None = None

    def origin(self, ahead: float) -> str:
        """Where what a stance does comes from, of a shot along whose line the ground rises so."""
        along = self.uphill if ahead > 0.0 else self.downhill
        known = [figure is not None for figure in (self.across, along)]
        return "stated" if all(known) else "partly derived" if any(known) else "derived"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """One practised shot of one club.

    Attributes
    ----------
    club, name : str
        The player's names: ("7-iron", "stock"), ("driver", "the fade").
    carry_m : float
        Full carry in calm air from a clean lie. [m]
    carry_least_m : float
        Shortest carry that the player dials this shot down to; equal to `carry_m` for a shot that is not
        dialled. [m]
    spread : Spread
        Landing scatter at full carry.
    bend_m : float
        Sideways bend, positive to the right. The offset from the straight line to the landing is bend (u^2 -
        u), where u is the share of the carry. A shot with a positive bend starts left and comes back right.
        [m]
    run_m : mapping of str to float
        Run by the surface that it lands on: "fairway", "first cut", "rough", "green". [m]
    run_sd_m : float
        Standard deviation of the run. [m]
    apex_m : float
        Greatest height of the flight. [m]
    lies : frozenset of Lie
        Lies that this shot is played from.
    stock : bool
        Whether it is the stock shot of its club.
    assumed : tuple of str
        Names of what the file does not state ("scatter", "run", ...), so that a default is used.
    height : str
        "low", "normal" or "high": the flight relative to others of the same carry.
    apex_known : bool
        Whether the file states the height. The physics reproduces a stated height only.
    ball_speed_mps, launch_deg, spin_rad_s : float or None
        Measured launch; None for what is not known. [m/s], [°], [rad/s]
    turf : LieEffect
        Effect of turf, relative to a tee. It is combined with the effect of every lie but the tee.
    short : bool
        Whether it is a shot round the green, which is landed on a chosen spot near the hole.
    shrink : float
        For a short shot: scatter is proportional to the share of the full carry to this power.
    lie_share : float
        For a short shot: share of the scatter that a lie adds (`Player.short_effects`).
    notes : tuple of str
        Notes for the plan ("carry assumed: ...; state your own number").
    scatter_origin : str
        Where the scatter comes from, in words ("measured, 60 balls on the range, times 1.15").
    mishits_origin : str
        Where the share of mishits comes from.
    """

    club: str
    name: str
    carry_m: float
    carry_least_m: float
    spread: Spread
    bend_m: float = 0.0
    run_m: Mapping[str, float] = field(default_factory=dict)
    run_sd_m: float = 1.4
    apex_m: float = 28.0
    lies: frozenset[Lie] = frozenset(Lie)
    stock: bool = True
    assumed: tuple[str, ...] = ()
    height: str = "normal"
    apex_known: bool = False
    ball_speed_mps: float | None = None
    launch_deg: float | None = None
    spin_rad_s: float | None = None
    turf: LieEffect = LieEffect()
    short: bool = False
    shrink: float = 1.0
    lie_share: float = 1.0
    notes: tuple[str, ...] = ()
    scatter_origin: str = ""
    mishits_origin: str = ""

    @property
    def label(self) -> str:
        """Club and shot: "driver, the fade"; the club alone for a stock shot."""
        return self.club if self.name in ("", "stock") else f"{self.club}, {self.name}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Player:
    """One player.

    Attributes
    ----------
    level : float
        Average score on a tour course of par 70 or so: 70 for a tour player, 90 for the published 90-golfer.
    longest_club_m : float
        Length of the longest club except the putter: the club-length of the Rules. [m]
    shots : tuple of Shot
        The shots of the file, the longest carry first, and then the assumed shots (`Shot.assumed` has
        "shot"): low shots out of trees, and shots round the green.
    lie_effects : mapping of Lie to LieEffect
        Effect of each lie except green.
    short_effects : mapping of Lie to LieEffect
        Effect of each lie on shots round the green. The lip is that of `lie_effects`.
    measured_temperature_c, measured_height_m : float
        Temperature and height above sea where the carries were measured. [°C], [m]
    doubtful_swing : float
        Scatter of a swing that the player doubts, over that of a committed swing.
    wet : LieEffect
        Effect of wet grass on fairway (not with preferred lies), first cut and rough, combined with that of
        the lie.
    slopes : SlopeEffect
        What a sloping stance does, where the player states it.
    likes, dislikes : tuple of str
        Clubs and shots in the player's words. They decide between even answers only, after stock shots.
    files : mapping of str to str
        SHA-256 of the file that was read, by its path.
    """

    name: str
    right_handed: bool
    level: float
    shots: tuple[Shot, ...]
    lie_effects: Mapping[Lie, LieEffect]
    longest_club_m: float = 1.1557
    measured_temperature_c: float = 21.11
    measured_height_m: float = 0.0
    doubtful_swing: float = 1.0
    wet: LieEffect = LieEffect(spin=0.8, scatter=1.1)
    likes: tuple[str, ...] = ()
    dislikes: tuple[str, ...] = ()
    files: Mapping[str, str] = field(default_factory=dict)
    short_effects: Mapping[Lie, LieEffect] = field(default_factory=dict)
    slopes: SlopeEffect = SlopeEffect()

    @property
    def practised(self) -> tuple[Shot, ...]:
        """The shots that the file states."""
        return tuple(s for s in self.shots if "shot" not in s.assumed)
