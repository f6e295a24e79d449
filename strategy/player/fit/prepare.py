"""From balls as they came down to balls in calm air round their target, scattered as on a course.

Wind. A ball whose log says the wind is moved by what that wind does to the shot: its launch, inferred from
club and carry, flown with and without it. The carry in calm air is not known before, so this is done in
turns.

Place. Scatter of a range or a mat is multiplied by `range_factor` about the middle of the shot, its mean is
not.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.ball.clubs import known_club
from strategy.ball.flight import fly
from strategy.ball.launch import Known, infer
from strategy.player.fit.posterior import prior
from strategy.player.fit.robust import Mishits, ShotBalls, fit_shot
from strategy.player.logs.model import PLACES, PracticeBalls

_WIND_STEP_MPS: Final = 0.5
_ROUNDS: Final = 3
# Targets that differ by less than this are one target that was never dialled to (engineering choice). [m]
_ONE_TARGET_M: Final = 2.0


@dataclass(frozen=True, slots=True, eq=False)
class CalmBalls:
    """Balls of one shot in calm air.

    Attributes
    ----------
    landed : ndarray (n, 2)
        Side and carry, as measured but for the wind. [m]
    spread : ShotBalls
        The same about the middle of the shot, as they would scatter on a course.
    windy : int
        Balls that were moved for wind.
    where : str
        "course", "range" or "mat" where all balls were hit there; "mixed" for several.
    factor : ndarray (n,)
        Scatter on a course over scatter where each was hit.
    """

    landed: FloatArray
    spread: ShotBalls
    windy: int
    where: str
    factor: FloatArray


def calm_balls(
    balls: PracticeBalls,
    published: tuple[float, float],
    *,
    club: str,
    range_factor: float,
    where: str,
    mishits: Mishits,
) -> CalmBalls:
    """Balls of one shot, ready to be fitted.

    Parameters
    ----------
    balls : PracticeBalls
        Of one shot.
    published : tuple of two floats
        Standard deviations of such a shot at the player's level, side and depth. [m]
    club : str
        As the player calls it.
    range_factor : float
        Scatter on a course over scatter on a range or a mat.
    where : str
        Where balls were hit whose log does not say it.
    mishits : Mishits
        Of the player file.
    """
    landed, windy = _without_wind(balls, club)
    places = np.where(balls.place < 0, PLACES.index(where), balls.place)
    factor = np.where(places == PLACES.index("course"), 1.0, range_factor)
    aimed = landed[:, 1].copy()
    target = balls.target_m
    if np.isfinite(target).all() and float(np.std(target)) > _ONE_TARGET_M:
        # Dialled to several targets: scatter is about what was aimed at.
        aimed += target.mean() - target
    side = landed[:, 0]
    middle = np.array([0.0, float(np.median(aimed))])
    x = np.column_stack((side, aimed))
    before = prior(np.diag(np.asarray(published) ** 2))
    for _ in range(_ROUNDS):
        # The median of few balls is rough: the middle in depth is that of the core.
        rough = fit_shot(ShotBalls(x - middle, float(middle[1]), published), before, mishits)
        core = 1.0 - rough.mishit
        middle = np.array([0.0, float(core @ aimed / core.sum())])
    off = x - middle
    mean_side = float(core @ side / core.sum())
    off = np.column_stack(((off[:, 0] - mean_side) * factor + mean_side, off[:, 1] * factor))
    where = PLACES[int(places[0])] if len(set(places.tolist())) == 1 else "mixed"
    return CalmBalls(landed, ShotBalls(off, float(middle[1]), published), windy, where, factor)


def _without_wind(balls: PracticeBalls, club: str) -> tuple[FloatArray, int]:
    """Side and carry of balls without what the wind did to them (n, 2), and how many were moved. [m]"""
    landed = np.column_stack((balls.side_m, balls.carry_m))
    wind = np.column_stack((balls.along_mps, balls.across_mps))
    blown = np.isfinite(wind).all(axis=1) & (np.abs(np.nan_to_num(wind)).max(axis=1) > 0.0)
    if not blown.any():
        return landed, 0
    steps = np.round(wind[blown] / _WIND_STEP_MPS).astype(np.int64)
    winds, which = np.unique(steps, axis=0, return_inverse=True)
    calm = landed.copy()
    for _ in range(_ROUNDS):
        carry = float(np.median(calm[:, 1]))
        shift = _shift(club, carry, winds * _WIND_STEP_MPS)
        calm[blown] = landed[blown] - shift[which.reshape(-1)]
    return calm, int(blown.sum())


def _shift(club: str, carry_m: float, winds: FloatArray) -> FloatArray:
    """How far winds (n, 2), helping and to the right, move a shot to the right and on (n, 2). [m]"""
    bag = infer([Known(club=known_club(club, carry_m), carry_m=carry_m)])
    blown = fly(bag.launch, head_mps=-winds[:, 0], cross_mps=winds[:, 1])
    return np.column_stack((blown.side_m - bag.calm.side_m, blown.carry_m - bag.calm.carry_m))


def by_shot(balls: PracticeBalls) -> Mapping[tuple[str, str], PracticeBalls]:
    """The balls of each club and shot, in the order in which they come."""
    keys = list(zip(balls.club.tolist(), balls.shot.tolist(), strict=True))
    places: dict[tuple[str, str], list[int]] = {}
    for i, key in enumerate(keys):
        places.setdefault(key, []).append(i)
    return {key: balls.take(np.array(at)) for key, at in places.items()}
