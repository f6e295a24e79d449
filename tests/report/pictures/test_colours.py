"""Nothing on a picture needs colour sight: what is drawn stands out from its ground by lightness alone."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from matplotlib.colors import to_rgb

from strategy.codes import Surface
from strategy.report.pictures.ground import _TINTS, INK, PAPER, SHOT, SOFT_INK
from strategy.report.pictures.map import LINE_INK
from tests.report.pictures.colour_sight import SIGHTS, lightness, seen

GROUND = {surface: to_rgb(tint[0]) for surface, tint in _TINTS.items()}
HAZARDS = (Surface.RED, Surface.BUNKER, Surface.OUT, Surface.TREES)


@pytest.mark.parametrize("sight", SIGHTS)
def test_each_matrix_keeps_grey(sight):
    np.testing.assert_allclose(np.sum(SIGHTS[sight], axis=1), 1.0, atol=2e-6)
    greys = np.repeat(np.linspace(0.0, 1.0, 11)[:, None], 3, axis=1)
    np.testing.assert_allclose(seen(greys, sight), greys, atol=1e-4)


def test_red_and_green_of_one_lightness_would_be_seen_to_run_together():
    """A check that can fail: traffic lights are told apart by everybody else and not here."""
    red, green = (0.80, 0.25, 0.20), (0.35, 0.48, 0.10)
    away = {s: np.abs(seen(red, s) - seen(green, s)).max() for s in SIGHTS}
    assert away["deuteranopia"] < 0.25 < np.abs(np.subtract(red, green)).max()


@pytest.mark.parametrize("sight", SIGHTS)
def test_texts_and_the_answer_stand_out_from_every_ground(sight):
    """Differences of L*: 45 for what answers, 30 for the lines of cost; figures of ours, looked at."""
    for surface, ground in GROUND.items():
        under = lightness(seen(ground, sight))
        for ink, least in ((INK, 45.0), (SHOT, 45.0), (SOFT_INK, 40.0), (LINE_INK, 30.0)):
            assert under - lightness(seen(to_rgb(ink), sight)) > least, (surface, ink)
    assert lightness(seen(to_rgb(PAPER), sight)) - lightness(seen(to_rgb(SOFT_INK), sight)) > 45.0


@pytest.mark.parametrize("sight", SIGHTS)
def test_hazards_are_outlined_in_another_lightness_than_their_tint(sight):
    for surface in HAZARDS:
        fill, edge, *_ = _TINTS[surface]
        assert lightness(seen(to_rgb(fill), sight)) - lightness(seen(to_rgb(edge), sight)) > 25.0, surface
    # Where two tints look alike, texture tells them apart (tests of the picture); no two edges have one look.
    looks = [(_TINTS[s][1:]) for s in HAZARDS]
    assert all(a != b for a, b in itertools.combinations(looks, 2))
