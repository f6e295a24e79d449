"""Practice logs fitted: every shot with carry, scatter, bias and mishits, how sure, and what stands out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.errors import RequestError
from strategy.player.file import PlayerFile
from strategy.player.fit import findings
from strategy.player.fit.findings import Drift, LadderStep, PrunedLog, SideBias, WrongCurve
from strategy.player.fit.posterior import freedom_for
from strategy.player.fit.prepare import CalmBalls, by_shot, calm_balls
from strategy.player.fit.robust import LEAST_BALLS, Mishits, ShotFit, fit_shots
from strategy.player.logs.model import PracticeBalls, PracticeLog
from strategy.player.model import Player, Shot
from strategy.reference.spread import landing_scatter

WELL_KNOWN: Final = 0.10  # standard error of a scatter, as a share of it
TILT_SURE: Final = 3.0  # a correlation this many standard errors from 0 is written
LEAST_OF_A_SHOT: Final = 15  # balls, for the shot to count in looking for a pruned log


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FittedShot:
    """One shot as practice shows it, on a course in calm air.

    Attributes
    ----------
    club, name : str
        As the player file has them.
    before : Shot or None
        The shot of the player file, None if it has none of this name.
    stock : bool
        Whether it is the stock shot of its club.
    balls : PracticeBalls
        As logged.
    calm : CalmBalls
        As fitted.
    fit : ShotFit
        The posterior.
    carry_m : float
        Mean carry of the core. [m]
    drifts : tuple of Drift
        Sessions that differ.
    bias : SideBias
        Mean to the side.
    curve : WrongCurve or None
        Where it curves otherwise than named.
    curve_known : bool
        Whether the log tells how the balls curve.
    others : int
        Shots of the player that this one was pooled with.
    """

    club: str
    name: str
    before: Shot | None
    stock: bool
    balls: PracticeBalls
    calm: CalmBalls
    fit: ShotFit
    carry_m: float
    drifts: tuple[Drift, ...]
    bias: SideBias
    curve: WrongCurve | None
    curve_known: bool
    others: int

    @property
    def label(self) -> str:
        """Club and shot: "driver, the fade"; the club alone for a stock shot."""
        return self.club if self.name in ("", "stock") else f"{self.club}, {self.name}"

    @property
    def scatter(self) -> tuple[float, float]:
        """Standard deviations of the core in side and depth. [m]"""
        side, depth = np.sqrt(np.diag(self.fit.posterior.covariance))
        return float(side), float(depth)

    @property
    def carry_error_m(self) -> float:
        """Standard error of the carry. [m]"""
        return self.scatter[1] / math.sqrt(max(float((1.0 - self.fit.mishit).sum()), 1.0))

    @property
    def tilt(self) -> float:
        """Correlation of side and depth where it is told from 0; else 0."""
        covariance = self.fit.posterior.covariance
        side, depth = self.scatter
        tilt = float(covariance[0, 1] / (side * depth))
        error = (1.0 - tilt**2) / math.sqrt(max(self.fit.posterior.freedom - 3.0, 1.0))
        return tilt if abs(tilt) > TILT_SURE * error else 0.0

    @property
    def covariance(self) -> FloatArray:
        """Covariance of the core as it is written: a tilt counts where it is told from 0 (2, 2). [m²]"""
        side, depth = self.scatter
        cross = self.tilt * side * depth
        return np.array([[side**2, cross], [cross, depth**2]])

    @property
    def more_balls(self) -> int:
        """Balls more that would bring the standard error of the scatter to 10 %."""
        return max(math.ceil(freedom_for(WELL_KNOWN) - self.fit.posterior.freedom), 0)

    @property
    def worth(self) -> int:
        """Balls that prior and other shots are worth for its scatter."""
        return round(self.fit.prior.freedom)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PracticeFit:
    """What practice logs say of a player.

    Attributes
    ----------
    player : Player
        As the player file has it now.
    logs : tuple of PracticeLog
        As read.
    shots : tuple of FittedShot
        The longest carry first.
    few : tuple of (str, int)
        Shots with too few balls, and how many those are.
    steps : tuple of LadderStep
        Gaps and overlaps of the ladder.
    pruned : PrunedLog or None
        If wide balls seem to be missing.
    where : str
        Where balls were hit whose log does not say it.
    where_assumed : int
        How many balls that concerns.
    """

    player: Player
    logs: tuple[PracticeLog, ...]
    shots: tuple[FittedShot, ...]
    few: tuple[tuple[str, int], ...]
    steps: tuple[LadderStep, ...]
    pruned: PrunedLog | None
    where: str
    where_assumed: int


def fit_practice(
    logs: Sequence[PracticeLog], player: Player, file: PlayerFile, *, where: str = "range"
) -> PracticeFit:
    """Fit the balls of practice logs, all shots together.

    Parameters
    ----------
    logs : sequence of PracticeLog
        At least one.
    player : Player
        The player file as read.
    file : PlayerFile
        The player file as written.
    where : str
        "course", "range" or "mat": where balls were hit whose log does not say it.

    Raises
    ------
    RequestError
        If no shot has the least number of balls, or two logs hold the same balls.
    """
    for one, other in combinations(logs, 2):
        if np.array_equal(one.balls.carry_m, other.balls.carry_m) and np.array_equal(
            one.balls.side_m, other.balls.side_m
        ):
            raise RequestError(f"{one.file} and {other.file} hold the same balls. Give each log once.")
    balls = PracticeBalls.join(log.balls for log in logs)
    share, short, scale = file.usual_mishits
    mishits = Mishits(share=share, short=short, scale=scale)
    known = {(s.club.casefold(), s.name.casefold()): s for s in player.practised}
    shots, few = [], []
    for (club, name), own in by_shot(balls).items():
        before = known.get((club.casefold(), name.casefold()))
        label = club if name == "stock" else f"{club}, {name}"
        if len(own) < LEAST_BALLS:
            few.append((label, len(own)))
            continue
        published = _published(club, name, before, float(np.median(own.carry_m)), player, file)
        calm = calm_balls(
            own, published, club=club, range_factor=file.range_factor, where=where, mishits=mishits
        )
        shots.append((club, name, before, own, calm))
    if not shots:
        most = max((n for _, n in few), default=0)
        raise RequestError(
            f"No shot has {LEAST_BALLS} balls that can be used (the most is {most}). Hit more, or give more "
            "logs."
        )
    fits = fit_shots([calm.spread for *_, calm in shots], mishits)
    fitted = sorted(
        (_fitted(shot, fit, player, len(shots)) for shot, fit in zip(shots, fits, strict=True)),
        key=lambda s: -s.carry_m,
    )
    standing = [s for s in player.practised if (s.club, s.name) not in {(f.club, f.name) for f in fitted}]
    stock = [(f.label, f.club, f.carry_m, f.carry_error_m) for f in fitted if f.stock]
    stock += [(s.label, s.club, s.carry_m, 0.0) for s in standing if s.stock]
    return PracticeFit(
        player=player,
        logs=tuple(logs),
        shots=tuple(fitted),
        few=tuple(few),
        steps=tuple(findings.ladder(stock, [*(f.carry_m for f in fitted), *(s.carry_m for s in standing)])),
        pruned=findings.pruned([_sides(f) for f in fitted if len(f.balls) >= LEAST_OF_A_SHOT]),
        where=where,
        where_assumed=int((balls.place < 0).sum()),
    )


def _published(
    club: str, name: str, before: Shot | None, carry_m: float, player: Player, file: PlayerFile
) -> tuple[float, float]:
    """Published scatter of a shot at the player's level: wider for other than the club's stock shot."""
    side, depth = landing_scatter(carry_m, player.level)
    is_swing = any(
        key.casefold() == club.casefold() and name in swings for key, swings in file.wedges.items()
    )
    factor = file.unstated_factor if not is_swing and not _is_stock(before, club, player) else 1.0
    return side * factor, depth * factor


def _is_stock(before: Shot | None, club: str, player: Player) -> bool:
    if before is not None:
        return before.stock
    return not any(s.club.casefold() == club.casefold() for s in player.practised)


def _fitted(
    shot: tuple[str, str, Shot | None, PracticeBalls, CalmBalls], fit: ShotFit, player: Player, count: int
) -> FittedShot:
    club, name, before, balls, calm = shot
    core = 1.0 - fit.mishit
    carry = calm.spread.carry_m + float(fit.posterior.mean[1])
    side_sd = float(np.sqrt(fit.posterior.covariance[0, 0]))
    sessions = [str(s) for s in balls.session]
    drifts = [
        findings.drift(calm.landed[:, axis], core, sessions, word, 2 * count)
        for axis, word in ((1, "carry"), (0, "side"))
    ]
    curve = balls.curve_m
    started = balls.start_deg
    from_start = calm.landed[:, 0] - calm.landed[:, 1] * np.sin(np.radians(started))
    curve = np.where(np.isfinite(curve), curve, from_start)
    named = _named(before, player)
    return FittedShot(
        club=club,
        name=name,
        before=before,
        stock=_is_stock(before, club, player),
        balls=balls,
        calm=calm,
        fit=fit,
        carry_m=carry,
        drifts=tuple(d for d in drifts if d is not None),
        bias=findings.side_bias(float(fit.posterior.mean[0]), side_sd, fit.posterior.balls, count),
        curve=findings.wrong_curve(curve, balls.axis, carry, named, player.right_handed, count)
        if named
        else None,
        curve_known=bool(np.isfinite(curve).any() or np.isfinite(balls.axis).any()),
        others=count - 1,
    )


def _named(before: Shot | None, player: Player) -> str:
    """The shape that the player file names: "draw", "straight" or "fade"; "" for a shot that it lacks."""
    if before is None:
        return ""
    if before.bend_m == 0.0:
        return "straight"
    return "fade" if (before.bend_m > 0.0) == player.right_handed else "draw"


def _sides(shot: FittedShot) -> FloatArray:
    """How far to the side the balls of a shot lie from their mean, in their own standard deviations.

    All balls count alike: the fit takes the edge of a log that was cut for mishits, and would not see the
    cut.
    """
    side = shot.calm.spread.x[:, 0]
    return np.asarray((side - side.mean()) / side.std(ddof=1))
