"""How high a flight stands over its ground on the way: the shape that trees are judged by.

A flight that carries c stands c u (1 - u) (k0 + k1 u + k2 u²) above the straight line from the spot to the
landing, u being the fraction of the carry. The three numbers are the least squares over the flight itself.
Launch angle, descent and apex alone would give three numbers too, and cheaper, but are wrong by 3 m for a
7-iron in calm air and by 8 m in 20 mph: a flight falls more steeply at its end than any such curve with the
right apex.

Errors against `strategy.ball.flight.track` (an invented bag of a tour player, 24 shots, all headings): a
height is 0.8 m off at most in calm air and 1.2 m in a forecast of 10 mph, anywhere on the way. Under 25 m,
where trees stand, the curve keeps within 0.6 m of the flight in calm air and in 10 mph, 0.9 m in 15 mph,
1.5 m in 20 mph and 2.3 m in 25 mph; near the top of a flight into 20 mph its height is 4 m off. A ball that
comes down near the vertical is past what three numbers can say.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.ball.air import Air
from strategy.ball.flight import Launch, Track, track
from strategy.outcome.table import USUAL_HEIGHT

# Engineering choice: heights count by 1 / (1 + h / 20 m), since few trees are higher. Below 25 m that
# halves the error in a strong wind and leaves the apex, where no tree stands, the worse for it.
_COUNTS_M: Final = 20.0
_POINTS: Final = 33
_HEADINGS: Final = 12  # that are flown; the heights of the others follow from harmonics, to 0.1 m in 20 mph


def height_coefficients(launch: Launch, head_mps: FloatArray, cross_mps: FloatArray, air: Air) -> FloatArray:
    """Heights of flights above the line to their landing, for a row of winds round the compass.

    Parameters
    ----------
    launch : Launch
        Of the shots (S, 1).
    head_mps, cross_mps : ndarray (H,)
        Wind that the ball flies in along H equal steps of heading, H a multiple of 12. [m/s]
    air : Air
        Of the day.

    Returns
    -------
    ndarray (S, H, 3)
        k0, k1, k2 as `ShotTable.flight_height`.
    """
    headings = len(head_mps)
    calm = not (head_mps.any() or cross_mps.any())
    step = headings if calm else headings // _HEADINGS
    way = track(launch, _POINTS, head_mps=head_mps[::step], cross_mps=cross_mps[::step], air=air)
    fitted = _fitted(way)
    return np.asarray(np.einsum("hn,snk->shk", _between(fitted.shape[1], headings), fitted))


def _fitted(way: Track) -> FloatArray:
    """k0, k1, k2 (..., 3) of flights: each point counts by the share of the carry that it stands for."""
    carry = np.maximum(way.depth_m[..., -1:], 1.0)
    share = np.clip(way.depth_m / carry, 0.0, 1.0)
    # A ball that the wind blows back passes a depth twice; the first time counts.
    weight = np.maximum(np.gradient(np.maximum.accumulate(share, axis=-1), axis=-1), 0.0)
    weight *= (1.0 + way.height_m / _COUNTS_M) ** -2
    # A gale may blow a ball back behind the player. Then only its greatest height is known.
    blown = carry[..., 0] < 0.5 * way.depth_m.max(axis=-1)
    blown |= ((weight > 0.0) & (share < 1.0)).sum(axis=-1) < 6
    basis = (share * (1.0 - share))[..., None] * share[..., None] ** np.arange(3)
    weighted = weight[..., None] * basis
    square = np.swapaxes(weighted, -1, -2) @ basis
    square[blown] = np.eye(3)
    right = np.swapaxes(weighted, -1, -2) @ (way.height_m / carry)[..., None]
    fitted = np.linalg.solve(square, right)[..., 0]
    fitted[blown] = (way.height_m.max(axis=-1, keepdims=True) / carry)[blown] * USUAL_HEIGHT
    return np.asarray(fitted)


def _between(flown: int, wanted: int) -> FloatArray:
    """Weights (wanted, flown) of the trigonometric interpolation between equal steps round a circle."""
    turn = 2.0 * np.pi * (np.arange(wanted)[:, None] / wanted - np.arange(flown) / flown)
    harmonics = np.arange(1, (flown + 1) // 2)
    weights = 1.0 + 2.0 * np.cos(turn[..., None] * harmonics).sum(axis=-1)
    if flown % 2 == 0:
        weights += np.cos(turn * (flown // 2))
    return np.asarray(weights / flown)
