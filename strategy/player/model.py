"""The player as every other room sees it: shots, spreads, lies. SI, handedness already applied.

Side is positive to the RIGHT for everybody. The file says "draw" or "fade"; reading the file turns
that into a bend in metres right once, so nothing below this room knows which hand a player uses.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from strategy.codes import Lie


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Landing scatter of one shot in calm air round its target, core and mishits apart.

    Attributes
    ----------
    side_m, depth_m : float
        Core standard deviations. [m]
    tilt : float
        Correlation of side and depth in the core; 0 unless known.
    bias_side_m, bias_depth_m : float
        Mean of the core from the target. [m]
    mishit_share : float
        Share of balls in the mishit stratum (default 0.04).
    mishit_short : float
        Mean shortfall of a mishit as a share of carry (default 0.16).
    mishit_scale : float
        Scatter of a mishit in multiples of the core's (default 2.5).
    balls : int or None
        How many balls the scatter was measured from; None = stated, not measured.
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
    """What a lie does to every shot played from it.

    Attributes
    ----------
    carry, scatter, run : float
        Multipliers. Where `spin` is not 1, the run comes from how such a ball lands, unless `run` is stated.
    spin : float
        Multiplier of the spin; the ball still carries what `carry` says.
    lip_deg : float
        A shot that leaves the face lower than this does not clear the lip in front; 0 = no lip. With the
        physics off (`Week.as_stated`) there is no launch, and no lip. [°]
    stated : frozenset of str
        Which of them the player stated.
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
        As the player calls them: ("7-iron", "stock"), ("driver", "the fade").
    carry_m : float
        Full carry in calm air from a clean lie. [m]
    carry_least_m : float
        Shortest carry the player dials this shot down to; equals `carry_m` when never. [m]
    spread : Spread
        Landing scatter at full carry.
    bend_m : float
        Sideways bend, positive right: offset from the chord = bend (u^2 - u), u the fraction of
        carry. A shot with positive bend starts left of its target and comes back right. [m]
    run_m : mapping of str to float
        Stated run by where it lands: keys "fairway", "first cut", "rough", "green". [m]
    run_sd_m : float
        Standard deviation of the run. [m]
    apex_m : float
        Greatest height. [m]
    lies : frozenset of Lie
        Lies this shot is played from.
    stock : bool
        Whether it is this club's stock shot.
    assumed : tuple of str
        What the file did not state and a default filled in ("scatter", "run", ...).
    height : str
        "low", "normal" or "high": flight compared with others of the same carry.
    apex_known, runs_known : bool, frozenset of str
        Whether `apex_m` was stated; which keys of `run_m` were. Only what was stated binds the physics.
    ball_speed_mps, launch_deg, spin_rad_s : float or None
        Measured launch, as far as it is known. [m/s], [°], [rad/s]
    turf : LieEffect
        What playing it off turf takes, against off a tee: on top of every lie but the tee.
    short : bool
        Whether it is a shot round the green: landed on a chosen spot, near the hole only.
    shrink : float
        Of a short shot: scatter at a dialled carry is that at full carry times the share to this power.
    lie_share : float
        Of a short shot: the share of what a lie adds to scatter (`Player.short_effects`) that is added to it.
    notes : tuple of str
        What the plan has to say of it ("carry assumed: ...; state your own number").
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
    runs_known: frozenset[str] = frozenset()
    ball_speed_mps: float | None = None
    launch_deg: float | None = None
    spin_rad_s: float | None = None
    turf: LieEffect = LieEffect()
    short: bool = False
    shrink: float = 1.0
    lie_share: float = 1.0
    notes: tuple[str, ...] = ()

    @property
    def label(self) -> str:
        """Club and shot in one breath: "driver, the fade"; the stock shot is just the club."""
        return self.club if self.name in ("", "stock") else f"{self.club}, {self.name}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Player:
    """One player.

    Attributes
    ----------
    level : float
        Average score on a par-70-ish tour course: 70 = tour, 90 = the published 90-golfer.
    longest_club_m : float
        Longest club except the putter: the club-length of the Rules. [m]
    shots : tuple of Shot
        Those of the file, longest carry first; then what the file need not state (`Shot.assumed` has
        "shot"): shots out of trees and round the green.
    lie_effects : mapping of Lie to LieEffect
        One for every lie except green.
    short_effects : mapping of Lie to LieEffect
        The same for shots round the green; the lip is that of `lie_effects`.
    measured_temperature_c, measured_height_m : float
        Air in which the carries were measured: temperature and height above sea. [°C], [m]
    doubtful_swing : float
        Scatter of a swing its player doubts, against a committed one.
    wet : LieEffect
        What wet grass does on top of the lie: fairway (not under preferred lies), first cut and rough.
    slopes : SlopeEffect
        What a sloping stance does, where the player states it.
    likes, dislikes : tuple of str
        In the player's own words; they choose among even answers, after stock shots, and nothing else.
    files : mapping of str to str
        Path and sha256 of what was read.
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
        """Shots that the file states."""
        return tuple(s for s in self.shots if "shot" not in s.assumed)
