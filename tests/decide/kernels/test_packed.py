"""A stroke of the whole hole's table laid out by the kernel, against the one the shot table gives."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from scripts.invented import of_demo
from strategy.codes import Lie, Spot
from strategy.decide.aims import Aims, in_cells, pack
from strategy.decide.cost_field import to_cells
from strategy.decide.kernels.arguments import AIM, AIM_CARRY
from strategy.decide.kernels.packed import table_of
from strategy.decide.kernels.sweeps import lay
from strategy.outcome.play import Choice


@pytest.mark.parametrize("label", ["2", "15"])
def test_the_kernel_lays_an_aim_as_the_shot_table_dials_it(label):
    """Every column of random strokes, also of shots round the green, whose scatter goes as a power."""
    # The table is that of level stances: the solver meets a slope under the player at one spot only.
    today = dataclasses.replace(of_demo(label), level_stances=True)
    rows, _, allowed = table_of(today)
    bins = rows.shape[2]
    rng = np.random.default_rng(5)
    short = 0
    for _ in range(200):
        shot, lie = map(int, rng.choice(np.argwhere(allowed)))
        b = int(rng.integers(bins))
        heading = 360.0 * b / bins
        row = today.shots.at(shot, lie, heading)
        carry = float(rng.uniform(row.least, row.carry))
        spot = Spot(*map(float, today.tee + rng.normal(0.0, 9.0, 2)), Lie(lie))
        cells, _, _ = in_cells(today, *pack(today, spot, Aims.of([Choice(shot, heading, carry)])))
        aim = np.empty(AIM)
        x, y = to_cells(today, (spot.x, spot.y))
        lay(aim, rows[shot, lie, b], x, y, np.radians(heading), carry / today.cell_m)
        aim[AIM_CARRY] *= today.cell_m  # the only length of an aim that no kernel reads
        np.testing.assert_allclose(aim, cells[0], rtol=1e-9, atol=1e-9)
        short += bool(today.shots.short[shot])
    assert 10 < short < 190
