"""Balls in bundles: no ball of a bundle meets a tree sooner than the bundle says."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.ndimage import distance_transform_edt

from strategy.decide.kernels.arguments import Flight, Size, StrikePoint, Wood
from strategy.decide.kernels.trees import NEVER, clear_until, flown

SIDE, STEP = 90, 4.0  # cells of the canopy, and cells of the map in one of them
FLAT = np.zeros(0, np.float32)
WOOD, SIZE = Wood(SIDE, SIDE, STEP, 0.4, 0.2, 12.5), Size(358, 358, 0.5)


def canopy(rng, trees):
    """Free steps, tops and bases of a map with some trees, with its border; flat."""
    top = np.zeros((SIDE, SIDE))
    for row, col in rng.integers(1, SIDE - 1, (trees, 2)):
        top[row : row + 2, col : col + 2] = 12.0
    top[0], top[-1], top[:, 0], top[:, -1] = 0.0, 0.0, 0.0, 0.0
    free = np.floor(np.maximum(distance_transform_edt(top <= 0.0) - np.sqrt(2.0), 0.0))
    flat = [np.ascontiguousarray(a).ravel() for a in (top.astype(np.float32), np.zeros_like(top, np.float32))]
    return np.minimum(free, 255.0).astype(np.uint8).ravel(), *flat


def bundle(rng, width):
    """Where balls are struck, landings within `width` of one direction, and their bend. [cells]"""
    origin = rng.uniform(40.0, 320.0, 2)
    angle, length = rng.uniform(0.0, 2.0 * np.pi), rng.uniform(60.0, 220.0)
    along = np.array([np.sin(angle), np.cos(angle)])
    off, far = rng.uniform(-width, width, 40), length * rng.uniform(0.6, 1.0, 40)
    turned = along[None] + off[:, None] * np.array([along[1], -along[0]])
    landing = origin + far[:, None] * turned / np.hypot(*turned.T)[:, None]
    return origin, along, landing, far, float(rng.uniform(-30.0, 30.0))


def stops(canopy_, origin, landing, bend, begin, stands):
    """Fraction of its flight at which each ball of a low shot, which passes among the trees, is stopped."""
    free, top, base = canopy_
    return [
        flown(
            free, top, base, WOOD, FLAT, SIZE, StrikePoint(*origin, 0.0), x, y, Flight(bend, 0.1, 0.05, 0.1),
            stands, begin,
        )
        for x, y in landing
    ]  # fmt: skip


@given(st.integers(0, 10**6), st.floats(0.002, 0.1), st.integers(1, 60))
def test_a_ball_of_a_bundle_is_stopped_where_it_is_when_all_of_its_way_is_looked_at(seed, width, trees):
    rng = np.random.default_rng(seed)
    free, top, base = canopy(rng, trees)
    origin, along, landing, far, bend = bundle(rng, width)
    begin = clear_until(free, SIDE, SIDE, STEP, *origin, *along, width, far.min(), far.max(), bend)
    begin = 1000 if begin == NEVER else begin
    stands = float(rng.exponential())
    assert stops((free, top, base), origin, landing, bend, begin, stands) == stops(
        (free, top, base), origin, landing, bend, 1, stands
    )


def test_a_bundle_taken_for_narrower_than_it_is_would_miss_trees():
    """The check above can fail: told a tenth of their width, bundles pass trees that stop their balls."""
    wrong, skipped = 0, 0
    for seed in range(400):
        rng = np.random.default_rng(seed)
        maps = canopy(rng, 30)
        origin, along, landing, far, bend = bundle(rng, 0.1)
        begin = clear_until(maps[0], SIDE, SIDE, STEP, *origin, *along, 0.01, far.min(), far.max(), 0.0)
        begin = 1000 if begin == NEVER else begin
        skipped += begin > 3
        wrong += stops(maps, origin, landing, bend, begin, 0.0) != stops(maps, origin, landing, bend, 1, 0.0)
    assert wrong > 10
    assert skipped == pytest.approx(400, abs=200)  # and bundles do skip a part of the way
