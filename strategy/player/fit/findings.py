"""What practice shows beside the scatter: drift, bias, curve, gaps, overlaps, and logs that look pruned.

Every finding that claims a difference has been tested, and the test is strict enough for all shots of a bag
together: 1 false alarm in 20 logs of each kind. What is only a matter of size (a gap in the ladder) says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.units import YARD_M

FALSE_ALARM: Final = 0.05
LEAST_IN_SESSION: Final = 5
CURVE_OF_CARRY: Final = 0.012  # a smaller mean curve is straight (engineering choice: 2 yd of a 7-iron's 170)
# Of the carry ladder, engineering choices: a usual step of irons is 10 to 13 yd (common practice).
WIDE_GAP_M: Final = 18.0 * YARD_M
WIDE_GAP_SHARE: Final = 0.09
NARROW_M: Final = 5.0 * YARD_M
FAR_SD: Final = 2.2
LEAST_FOR_PRUNED: Final = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Drift:
    """Sessions of one shot that differ more than chance has it.

    Attributes
    ----------
    axis : str
        "carry" or "side".
    sessions : tuple of (str, float, int)
        Name, mean of the core [m] and balls of each session, in their order.
    """

    axis: str
    sessions: tuple[tuple[str, float, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SideBias:
    """A mean to the side, right positive, with its standard error. [m]

    Attributes
    ----------
    sure : bool
        Whether it is told from luck.
    balls : int
        Balls more that would tell it if it is as it looks; 0 where it is told.
    """

    mean_m: float
    error_m: float
    sure: bool
    balls: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class WrongCurve:
    """A shot that does not curve as it is named.

    Attributes
    ----------
    named, curves : str
        "draw", "straight" or "fade".
    mean_m : float or None
        Mean curve, right positive; None where only its sign is known. [m]
    share : float
        Share of balls that curve the other way than named; of a straight shot, that curve the usual way.
    """

    named: str
    curves: str
    mean_m: float | None
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LadderStep:
    """Two neighbours of the carry ladder that lie too far apart, or too close together. [m]

    Attributes
    ----------
    wide : bool
        Whether it is a gap; else an overlap.
    """

    longer: str
    shorter: str
    step_m: float
    error_m: float
    wide: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PrunedLog:
    """A log that has fewer wide balls than a scatter has: its worst balls may be missing.

    Attributes
    ----------
    balls, far : int
        Balls looked at, and those further to the side than 2.2 standard deviations.
    expected : float
        How many a normal scatter has, without any mishits.
    """

    balls: int
    far: int
    expected: float


def drift(
    values: FloatArray, core: FloatArray, sessions: Sequence[str], axis: str, tests: int
) -> Drift | None:
    """Whether sessions differ in their mean: analysis of variance of the core, by an F test.

    Parameters
    ----------
    values : ndarray (n,)
        Carry or side of every ball. [m]
    core : ndarray (n,)
        How likely each is no mishit.
    sessions : sequence of str, length n
    axis : str
        "carry" or "side".
    tests : int
        How many such tests are made of one log.
    """
    from scipy.stats import f as f_distribution

    names = list(dict.fromkeys(sessions))
    of = np.array([names.index(s) for s in sessions])
    kept = [k for k in range(len(names)) if core[of == k].sum() >= LEAST_IN_SESSION]
    if len(kept) < 2:
        return None
    inside = np.isin(of, kept)
    total = float(core[inside].sum())
    middle = float(core[inside] @ values[inside] / total)
    between = within = 0.0
    means = {}
    for k in kept:
        w, v = core[of == k], values[of == k]
        means[k] = float(w @ v / w.sum())
        between += float(w.sum()) * (means[k] - middle) ** 2
        within += float(w @ (v - means[k]) ** 2)
    low, high = len(kept) - 1, total - len(kept)
    ratio = (between / low) / max(within / high, 1e-12)
    if float(f_distribution.sf(ratio, low, high)) * tests > FALSE_ALARM:
        return None
    return Drift(axis=axis, sessions=tuple((names[k], means[k], int((of == k).sum())) for k in kept))


def side_bias(mean_m: float, side_m: float, known: float, tests: int) -> SideBias:
    """A mean to the side, and whether it is more than luck.

    Parameters
    ----------
    mean_m, side_m : float
        Mean and standard deviation of the side. [m]
    known : float
        Balls that the mean is known from.
    tests : int
        How many shots are asked so.
    """
    from scipy.stats import norm

    error = side_m / np.sqrt(known)
    needed = float(norm.isf(FALSE_ALARM / (2.0 * tests)))
    sure = abs(mean_m) > needed * error
    more = 0 if sure or mean_m == 0.0 else int(np.ceil((needed * side_m / mean_m) ** 2 - known))
    return SideBias(mean_m=mean_m, error_m=float(error), sure=bool(sure), balls=more)


def wrong_curve(
    curve_m: FloatArray, axis: FloatArray, carry_m: float, named: str, right_handed: bool, tests: int
) -> WrongCurve | None:
    """Whether a shot curves otherwise than it is named.

    Parameters
    ----------
    curve_m : ndarray (n,)
        How far right of its start line each ball came down; nan where not known. [m]
    axis : ndarray (n,)
        Sign of the curve where only that is known; else nan.
    carry_m : float
        [m]
    named : str
        "draw", "straight" or "fade".
    """
    from scipy.stats import binom, t

    right = 1.0 if right_handed else -1.0
    sign = {"draw": -right, "fade": right, "straight": 0.0}[named]
    known = curve_m[np.isfinite(curve_m)]
    chance = FALSE_ALARM / tests
    if len(known) >= LEAST_IN_SESSION:
        mean = float(np.median(known))
        error = 1.2533 * float(known.std(ddof=1)) / np.sqrt(len(known))  # of a median
        is_told = abs(mean) > float(t.isf(chance / 2.0, len(known) - 1)) * error
        if not is_told or abs(mean) < CURVE_OF_CARRY * carry_m:
            return None
        signs, found_mean = np.sign(known), mean
    else:
        signs = axis[np.isfinite(axis)]
        if len(signs) < LEAST_IN_SESSION:
            return None
        count = int((signs > 0).sum())
        is_told = 2.0 * float(binom.sf(max(count, len(signs) - count) - 1, len(signs), 0.5)) < chance
        if not is_told or sign == 0.0:
            return None
        mean, found_mean = float(np.sign(count - len(signs) / 2.0)), None
    if np.sign(mean) == sign:
        return None
    curves = "fade" if np.sign(mean) == right else "draw"
    return WrongCurve(
        named=named, curves=curves, mean_m=found_mean, share=float((signs == np.sign(mean)).mean())
    )


def ladder(
    shots: Sequence[tuple[str, str, float, float]], all_carries_m: Sequence[float]
) -> list[LadderStep]:
    """Gaps and overlaps of the carry ladder, the longest first.

    Parameters
    ----------
    shots : sequence of (label, club, carry, error)
        Stock shots. [m]
    all_carries_m : sequence of float
        Carries of every shot, partial swings too: they fill gaps. [m]
    """
    found = []
    for (far, club, carry, error), (near, other, less, its_error) in pairwise(
        sorted(shots, key=lambda s: -s[2])
    ):
        step, both = carry - less, float(np.hypot(error, its_error))
        filled = sorted([carry, less, *(c for c in all_carries_m if less < c < carry)])
        widest = max(b - a for a, b in pairwise(filled))
        if widest > max(WIDE_GAP_M, WIDE_GAP_SHARE * carry):
            found.append(LadderStep(longer=far, shorter=near, step_m=step, error_m=both, wide=True))
        elif step < NARROW_M and club != other:
            found.append(LadderStep(longer=far, shorter=near, step_m=step, error_m=both, wide=False))
    return found


def pruned(sides: Sequence[FloatArray]) -> PrunedLog | None:
    """Whether wide balls are missing: a binomial test of how many lie far to the side.

    The square of a ball's distance from the mean of n, in their own standard deviations, is (n - 1)^2 / n
    times a beta variable (1/2, (n - 2) / 2) (W. Thompson, Ann. Math. Stat. 6, 1935). Mishits only add far
    balls. Of five shots with 60 balls each the worst 5 % of which are missing, about 3 of 4 logs are noticed.

    Parameters
    ----------
    sides : sequence of ndarray
        Of every shot: how far to the side its balls lie from their mean, in their standard deviations.
    """
    from scipy.stats import beta, binom

    balls = sum(len(s) for s in sides)
    if balls < LEAST_FOR_PRUNED:
        return None
    far = sum(int((np.abs(s) > FAR_SD).sum()) for s in sides)
    expected = sum(
        len(s) * float(beta.sf(FAR_SD**2 * len(s) / (len(s) - 1.0) ** 2, 0.5, len(s) / 2.0 - 1.0))
        for s in sides
    )
    if float(binom.cdf(far, balls, expected / balls)) > FALSE_ALARM:
        return None
    return PrunedLog(balls=balls, far=far, expected=expected)
