"""The number a shot is playing: front and on, less the run, then wind, height, air, lie, stance one by one.

The number is the carry that the player knows the shot by: from a clean lie, level, calm, in the air in
which the carries were measured. It is worked back from the landing. A shot that is to finish at the hole
has to land short of the hole by its run. The shot table is asked for the player's own number of that
landing several times, each time under one more cause: the air, then the height, then the wind, then the
lie, and last the slope under the player. What a cause adds is the difference of two of these numbers, so the
causes sum to the whole without a remainder.

Between its shortest dial and its full swing a shot's number changes in proportion, as in a plan. The effect
of height is taken from the table up to 9 m up or down, where the table is exact; greater heights are flown.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.ball.air import STANDARD_AIR
from strategy.ball.flight import fly
from strategy.codes import Lie, Surface
from strategy.errors import RequestError
from strategy.outcome.shot_table import shot_table
from strategy.outcome.stance import Stance
from strategy.outcome.table import ShotTable
from strategy.outcome.weather import Weather, launches, table_in, winds
from strategy.player.model import LieEffect, Player
from strategy.units import YARD_M, yards
from strategy.week.model import WindHour

FITS_M: Final = 12.0 * YARD_M  # a shot that finishes within this fits
MOST_FITS: Final = 6
MOST_OFF: Final = 0.1  # beyond this share of the hole number there is no shot to give a number for
_EXACT_RISE_M: Final = 9.0

Ground = Callable[[float], Surface]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """One shot that fits, by its own flight and its own run.

    Attributes
    ----------
    shot : int
        Its row in the player's shots.
    label : str
    carry_m : float
        The player's number for it. [m]
    finish_m : float
        Hit full: past the hole (+) or short of it. [m]
    side_m : float
        How far right of where it finishes in calm air. [m]
    taken_down_m : float or None
        The number to play it at so that it finishes at the hole; None where it is not dialled down to that,
        or is that anyway. [m]
    lands : Surface
        What it pitches on when hit full.
    """

    shot: int
    label: str
    carry_m: float
    finish_m: float
    side_m: float
    taken_down_m: float | None
    lands: Surface

    @property
    def off_m(self) -> float:
        """How far from the hole it finishes when it is taken down as far as it is dialled. [m]"""
        return 0.0 if self.taken_down_m is not None else abs(self.finish_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlayingNumber:
    """A hole number and what it is playing for the shot that fits best; front + on + across = hole.

    hole + land_short + wind + height + air + lie + stance = playing, without a remainder.

    Attributes
    ----------
    front_m, on_m, hole_m : float
        To the front, from there to the hole, and to the hole. [m]
    across_m : float
        What is left of hole - front - on where the hole stands off the line. [m]
    land_short_m, wind_m, height_m, air_m, lie_m, stance_m : float
        What each adds to the number; `land_short_m` is less than 0 for a shot that runs on. [m]
    playing_m : float
        The player's own carry that this asks for. [m]
    clean_m : float
        What it would be playing from a clean lie, its own run included. [m]
    jumps_m : float or None
        From a good lie in rough: what it would be playing if it jumps. [m]
    cover_m, cover_past_m : float or None
        Where the landing is short of the front, or of what a false front asks: what that is playing, and
        how far past the hole it finishes. [m]
    least_m : float or None
        To where a ball has to land so as not to come back off a false front; None where there is none. [m]
    lands : Surface
        What the landing is on.
    lie : Lie
    wind : WindHour or None
        None = calm.
    wind_from : float
        Where it blows from against the line of the shot: 0 = in the face, 90 = from the right. [°]
    rise_m : float
        The hole above the ball. [m]
    fits : tuple of Fit
        The shot the number is worked out for first, then by how near they finish.
    assumptions : tuple of str
        What was taken for granted.
    stance : Stance or None
        What the slope under the player does to the first shot that fits; None from a level stance.
    """

    front_m: float
    on_m: float
    across_m: float
    hole_m: float
    land_short_m: float
    wind_m: float
    height_m: float
    air_m: float
    lie_m: float
    playing_m: float
    clean_m: float
    jumps_m: float | None
    cover_m: float | None
    cover_past_m: float | None
    lands: Surface
    lie: Lie
    wind: WindHour | None
    wind_from: float
    rise_m: float
    fits: tuple[Fit, ...]
    assumptions: tuple[str, ...] = ()
    stance_m: float = 0.0
    least_m: float | None = None
    stance: Stance | None = None


def the_number(
    player: Player,
    day: Weather | None,
    *,
    front_m: float,
    on_m: float,
    hole_m: float | None = None,
    lie: Lie = Lie.FAIRWAY,
    heading: float = 0.0,
    rise_m: float = 0.0,
    lands_on: Ground | None = None,
    assumptions: tuple[str, ...] = (),
    shots: ShotTable | None = None,
    from_slope: ShotTable | None = None,
    least_m: float | None = None,
) -> PlayingNumber:
    """What a hole number is playing, and the shots that fit it.

    Parameters
    ----------
    player : Player
    day : Weather or None
        None = every shot as the player states it, calm and level.
    front_m, on_m : float
        To the front, and from there to the hole. [m]
    hole_m : float, optional
        To the hole where it is not their sum: off the line. [m]
    lie : Lie
    heading : float
        Of the shot, clockwise from north. [°]
    rise_m : float
        The hole above the ball. [m]
    lands_on : function, optional
        Surface at a distance along the shot; by default fairway to the front and green from there on.
    shots : ShotTable, optional
        The player's shots that day, where they are flown already.
    from_slope : ShotTable, optional
        The same from the ground under the player, where that slopes.
    least_m : float, optional
        To where a ball has to land so as not to come back off a false front. [m]

    Raises
    ------
    RequestError
        Where no shot is played from the lie, or none finishes anywhere near the hole.
    """
    hole = front_m + on_m if hole_m is None else hole_m
    ground = lands_on or (lambda d: Surface.GREEN if d >= front_m - 1e-9 else Surface.FAIRWAY)
    tables = _Tables(player, day, heading, rise_m, shots, from_slope)
    fits = _fits(tables, player, lie, hole, ground)
    best = fits[0]
    steps = tables.steps(best.shot, lie, hole)
    land_short = -tables.run(best.shot, lie)
    pitch = hole + land_short
    cover = cover_past = None
    asked = max(front_m, least_m or 0.0)
    if pitch < asked - 0.5 * YARD_M and day is not None:
        cover = tables.number(best.shot, lie, asked)
        cover_past = asked - land_short - hole
    wind = None if day is None or day.wind is None or day.wind.speed_mps == 0.0 else day.wind
    return PlayingNumber(
        front_m=front_m,
        on_m=on_m,
        across_m=hole - front_m - on_m,
        hole_m=hole,
        land_short_m=land_short,
        wind_m=steps[2] - steps[1],
        height_m=steps[1] - steps[0],
        air_m=steps[0] - pitch,
        lie_m=steps[3] - steps[2],
        stance_m=steps[4] - steps[3],
        playing_m=steps[4],
        clean_m=tables.steps(best.shot, Lie.TEE, hole)[4],
        jumps_m=tables.steps(best.shot, Lie.JUMPER, hole)[4] if lie == Lie.ROUGH_GOOD else None,
        cover_m=cover,
        cover_past_m=cover_past,
        lands=ground(pitch),
        lie=lie,
        wind=wind,
        wind_from=0.0 if wind is None else (wind.blows_from - heading) % 360.0,
        rise_m=rise_m,
        fits=fits,
        assumptions=assumptions,
        least_m=least_m,
    )


class _Tables:
    """A player's shot table along one heading, under one more of the day's causes each time."""

    def __init__(
        self,
        player: Player,
        day: Weather | None,
        heading: float,
        rise_m: float,
        shots: ShotTable | None,
        from_slope: ShotTable | None,
    ) -> None:
        self.heading, self.rise = heading, rise_m
        plain = dataclasses.replace(player, lie_effects={**player.lie_effects, Lie.TEE: LieEffect()})
        self.still: ShotTable
        if day is None:
            self.still = self.clean = self.level = shot_table(player) if shots is None else shots
            self.rise = 0.0
        else:
            self.still = table_in(plain, dataclasses.replace(day, wind=None), heading)
            self.clean = table_in(plain, day, heading)
            self.level = table_in(player, day, heading) if shots is None else shots
        self.today = self.level if from_slope is None else from_slope
        self.reached = np.ones(len(player.shots), dtype=bool)
        self._extra: dict[int, FloatArray] = {}
        if self.rise:
            self._fly_up(player, day)

    def _fly_up(self, player: Player, day: Weather | None) -> None:
        """Which shots get up there, and what the height takes of them beyond the table's reach."""
        within = float(np.clip(self.rise, -_EXACT_RISE_M, _EXACT_RISE_M))
        launch = launches(player).launch
        air = STANDARD_AIR if day is None else day.air
        for table, wind in ((self.still, None), (self.clean, None if day is None else day.wind)):
            head, cross = (float(w[0]) for w in winds(wind, np.array([self.heading])))
            up = fly(launch, head_mps=head, cross_mps=cross, rise_m=self.rise, air=air)
            near = fly(launch, head_mps=head, cross_mps=cross, rise_m=within, air=air)
            self._extra[id(table)] = np.zeros(len(up.carry_m))
            if within != self.rise:
                self._extra[id(table)] = np.asarray(up.carry_m - near.carry_m)
            self.reached = np.asarray(up.reached)
        self._extra[id(self.level)] = self._extra[id(self.today)] = self._extra[id(self.clean)]

    def lift(self, table: ShotTable, shot: int, lie: Lie) -> float:
        """How far the height moves a landing [m]."""
        if not self.rise:
            return 0.0
        h = float(np.clip(self.rise, -_EXACT_RISE_M, _EXACT_RISE_M))
        row = table.at(shot, int(lie), self.heading)
        whole = float(row.carry) / float(table.at(shot, int(Lie.TEE), self.heading).carry)
        beyond = float(self._extra[id(table)][shot]) * whole
        return float(row.rise[0]) * h + float(row.rise[1]) * h * h + beyond

    def plays(self, table: ShotTable, shot: int, lie: Lie, pitch: float, rise: bool = True) -> float:
        """The player's own number of a landing [m]."""
        level = pitch - (self.lift(table, shot, lie) if rise else 0.0)
        return table.playing(shot, int(lie), self.heading, level)

    def number(self, shot: int, lie: Lie, pitch: float) -> float:
        """The same under everything of the day [m]."""
        return self.plays(self.today, shot, lie, pitch)

    def run(self, shot: int, lie: Lie, surface: Surface = Surface.GREEN) -> float:
        """Run along the line of the shot [m]."""
        row = self.today.at(shot, int(lie), self.heading)
        return float(row.run[int(surface)]) * float(np.cos(_turned(row)))

    def side(self, shot: int, lie: Lie, surface: Surface) -> float:
        """How far right of its calm finish the wind takes it [m]."""
        off = []
        for table in (self.level, self.still):
            row = table.at(shot, int(lie), self.heading)
            off.append(float(row.mean[0]) + float(row.run[int(surface)]) * float(np.sin(_turned(row))))
        return off[0] - off[1]

    def steps(self, shot: int, lie: Lie, hole: float) -> tuple[float, float, float, float, float]:
        """Numbers of the landing that finishes at the hole: air; with height; wind; lie; stance [m]."""
        pitch = hole - self.run(shot, lie)
        return (
            self.plays(self.still, shot, Lie.TEE, pitch, rise=False),
            self.plays(self.still, shot, Lie.TEE, pitch),
            self.plays(self.clean, shot, Lie.TEE, pitch),
            self.plays(self.level, shot, lie, pitch),
            self.number(shot, lie, pitch),
        )


def _turned(row: object) -> float:
    """Direction of the run from the line of the shot, positive right [rad]."""
    carry, side = float(row.carry), float(row.mean[0])  # type: ignore[attr-defined]
    return float(np.radians(row.run_turn)) + float(np.arctan2(side, carry))  # type: ignore[attr-defined]


def _fits(tables: _Tables, player: Player, lie: Lie, hole: float, ground: Ground) -> tuple[Fit, ...]:
    """Shots that finish near the hole: the stock shot that fits best, then by how near they finish."""
    table = tables.today
    able = [s for s in range(table.shots) if table.allowed[s, int(lie)] and not table.short[s]]
    if not able:
        raise RequestError(
            f"no shot of {player.name}'s file is played from {lie.label}. Give its lies there."
        )
    able = [s for s in able if tables.reached[s]]
    if not able:
        raise RequestError(f"no shot gets up to a hole {yards(tables.rise):.0f} yd above the ball.")
    every = [_fit(tables, s, player.shots[s].carry_m, lie, hole, ground) for s in able]
    order = sorted(every, key=lambda f: (f.off_m, abs(f.finish_m)))
    best = next((f for f in order if table.stock[f.shot]), order[0])
    # A stock shot far off is no answer where another shot of the bag is made for the distance.
    if best.off_m > FITS_M:
        best = order[0]
    if best.off_m > max(FITS_M, MOST_OFF * hole):
        _too_far(best, hole, tables)
    others = [f for f in order if f.shot != best.shot]
    # The next one either way is worth knowing however far off it is.
    sides = [next((f for f in others if (f.finish_m > 0.0) is long), None) for long in (True, False)]
    near = [f for f in others if f.off_m <= FITS_M or f in sides]
    return (best, *near[: MOST_FITS - 1])


def _fit(tables: _Tables, shot: int, own: float, lie: Lie, hole: float, ground: Ground) -> Fit:
    table = tables.today
    row = table.at(shot, int(lie), tables.heading)
    pitch = float(row.carry) + tables.lift(table, shot, lie)
    lands = ground(pitch)
    finish = pitch + tables.run(shot, lie, lands) - hole
    # Taken down it pitches shorter, on other ground perhaps: then its run is another, and nothing is said.
    shorter = pitch - finish
    least = float(row.least) + tables.lift(table, shot, lie)
    down = least <= shorter < pitch and ground(shorter) == lands
    return Fit(
        shot=shot,
        label=table.labels[shot],
        carry_m=own,
        finish_m=finish,
        side_m=tables.side(shot, lie, lands),
        taken_down_m=tables.number(shot, lie, shorter) if down else None,
        lands=lands,
    )


def _too_far(best: Fit, hole: float, tables: _Tables) -> None:
    """Always raises: nothing in the bag is made for the distance."""
    if best.finish_m > 0.0 and not tables.reached.all():
        raise RequestError(
            f"no shot of the file fits: those short enough for {yards(hole):.0f} yd do not get up to a hole "
            f"{yards(tables.rise):.0f} yd above the ball. Is the height right?"
        )
    off = f"{yards(abs(best.finish_m)):.0f} yd {'past it' if best.finish_m > 0.0 else 'short'}"
    raise RequestError(
        f"no shot of the file fits: the hole is {yards(hole):.0f} yd off, and the nearest, {best.label}, "
        f"finishes {off}. A number is for a shot at the hole; `course-strategy options` plans the others."
    )
