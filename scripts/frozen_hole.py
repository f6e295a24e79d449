"""A small hole as a problem of anybody's: every node-lie keeps the options its solve found.

The points are played out once into a sparse transition matrix: node weights times lie chances for the balls
that are played on, a known number of strokes for those that come inside the published baseline, the node
itself and a stroke more for those that leave the map. Tests and benches solve it with general solvers.
"""

from __future__ import annotations

import atexit
import dataclasses
import shutil
import tempfile
from functools import cache

import numba
import numpy as np
import scipy.sparse as sp

from scripts.invented import a_player, a_shot, squared
from strategy.codes import Surface
from strategy.decide.cost_field import cost_field
from strategy.decide.kernels.arguments import (
    ROW_CARRY,
    ROW_DD,
    ROW_DEPTH,
    ROW_DS,
    ROW_MISHIT_DEPTH,
    ROW_MISHIT_SCALE,
    ROW_MISHIT_SHARE,
    ROW_MISHIT_SIDE,
    ROW_SIDE,
    ROW_SS,
    Sample,
)
from strategy.decide.solver.lattice import lattice
from strategy.decide.solver.value_iteration import KEPT, Passes
from strategy.decide.solver.whole_hole import ALONE
from strategy.outcome.shot_table import shot_table
from strategy.player.defaults import LIE_EFFECTS
from strategy.strokes.baseline import Baseline

SWEEPS = 60


def plain(x, y):
    code = np.full(x.shape, int(Surface.ROUGH))
    code[np.abs(x) < 14] = Surface.FAIRWAY
    code[((x - 19) / 6) ** 2 + ((y - 150) / 12) ** 2 < 1] = Surface.BUNKER
    code[(x / 13) ** 2 + ((y - 190) / 14) ** 2 < 1] = Surface.GREEN
    return code


class Frozen:
    """A small hole in float64 with the options of every node-lie frozen; sweeps of its own kernel."""

    def __init__(self):
        shots = [a_shot(f"{c}", c, 0.045 * c, 0.05 * c, dial=0.1, run=3) for c in (70, 90, 115, 145, 175)]
        # Narrow enough that all of it is solved: beyond the lattice the field is not a mean of values.
        today = squared(330, 140, plain, *shots, cell_m=1.0, hole=(2.0, 192.0))
        player = dataclasses.replace(a_player(*shots), lie_effects=LIE_EFFECTS)
        today = dataclasses.replace(today, shots=shot_table(player))
        field, table = cost_field(today, Baseline(today)), Baseline(today)
        self.solver = s = Passes(
            field,
            ALONE,
            lattice(today, 12.0, ALONE.begin_m),
            table,
            seed=1,
            size=32,
            step_m=11.0,
            tolerance=1e-3,
        )
        s.run()
        self.field = dataclasses.replace(
            s.field, values=s.field.values.astype(np.float64), relief=s.field.relief.astype(np.float64)
        )
        s.field, s.base = self.field, s.base.astype(np.float64)
        s.bag = s.bag._replace(roll=s.bag.roll.astype(np.float64))
        self.points = Sample(s.judge.deviates.astype(np.float64), s.judge.core)
        assert len(s.lattice.beyond) == 0

    def by_sweeps(self):
        s, nodes = self.solver, np.arange(len(self.solver.value))
        for _ in range(SWEEPS):
            s.compose_all()
            change = s._sweep(nodes, self.points, slots=KEPT, worth=np.inf)
            if change < 1e-12:
                break
        assert change < 1e-12
        return s.value.copy()

    def problem(self):
        """Pairs (node, option): node of each, strokes that do not hang on V (the stroke itself and what is
        published near the hole), and the weight of each node in the rest."""
        s = self.solver
        cells, known = self.composition()
        owner, where, weight = [], [], []
        for node in range(len(s.value)):
            for option in range(KEPT):
                shot = int(s.options[node, option, 0])
                if shot < 0:
                    continue
                rest, part = self.landings(node, s.options[node, option])
                owner.append(node)
                where.append(rest)
                weight.append(part)
        pair = np.repeat(np.arange(len(owner)), [len(w) for w in where])
        shape = (len(owner), self.field.values.size)
        chance = sp.csr_matrix((np.concatenate(weight), (pair, np.concatenate(where))), shape)
        # Off the map only going back is left: one more stroke, and the node itself again.
        back = chance @ ((self.field.packed & 15) >= int(Surface.OUT)).astype(float)
        own = sp.csr_matrix((back, (np.arange(len(owner)), owner)), (len(owner), len(s.value)))
        return np.array(owner), 1.0 + chance @ known + back, (chance @ cells + own).tocsr()

    def composition(self):
        """Field of a cell = cells @ value + known, written from the definition and not from the kernel."""
        s, field, today = self.solver, self.field, self.solver.today
        at = np.arange(field.values.size)
        x, y = at % field.columns + 0.5, at // field.columns + 0.5
        away = np.hypot(x - field.hole[0], y - field.hole[1]) * today.cell_m
        w = np.clip((away - ALONE.inner_m) / (ALONE.outer_m - ALONE.inner_m), 0.0, 1.0)
        w = w * w * (3.0 - 2.0 * w)
        code = field.packed & 15
        gx, gy = ((v - first) / s.lattice.spacing for v, first in zip((x, y), s.lattice.origin, strict=True))
        i, j = np.floor(gx).astype(int), np.floor(gy).astype(int)
        fx, fy = gx - i, gy - j
        playable = code < int(Surface.YELLOW)
        corners = [
            (s.lattice.node_of[:, j + dj, i + di], (fx if di else 1 - fx) * (fy if dj else 1 - fy))
            for dj in (0, 1) for di in (0, 1)
        ]  # fmt: skip
        share = today.lie_chance[code]
        there = np.all([(node >= 0).T | (share <= 0.0) for node, _ in corners], axis=(0, 2))
        w = np.where(there & playable, w, 0.0)
        known = np.where(playable, (1.0 - w) * np.where(np.isfinite(s.base), s.base, 0.0), 0.0)
        total = sp.csr_matrix((field.values.size, len(s.value)))
        for node, part in corners:
            for lie in range(share.shape[1]):
                mine = (w > 0.0) & (share[:, lie] > 0.0)
                weight = (w * part * share[:, lie])[mine]
                shape = total.shape
                total = total + sp.csr_matrix((weight, (at[mine], node[lie, mine])), shape)
        return total.tocsr(), known

    def landings(self, node, option):
        """Cells where the balls of one option come to rest, and their weights, from the definition."""
        s, field = self.solver, self.field
        (z, core), shot = self.points, int(option[0])
        p = s.bag.table[shot, s.lattice.lies[node], 0]
        row = shot * s.bag.allowed.shape[1] + s.lattice.lies[node]
        dial, sin, cos = option[2] / p[ROW_CARRY], np.sin(option[1]), np.cos(option[1])
        ox, oy = s.lattice.spots[node, :2]
        mishit = np.arange(z.shape[1]) >= core
        scale = np.where(mishit, p[ROW_MISHIT_SCALE], 1.0) * dial
        side = (
            p[ROW_SIDE] * dial + scale * p[ROW_SS] * z[0] + np.where(mishit, p[ROW_MISHIT_SIDE] * dial, 0.0)
        )
        depth = p[ROW_DEPTH] * dial + option[2] + np.where(mishit, p[ROW_MISHIT_DEPTH] * dial, 0.0)
        depth = depth + scale * (p[ROW_DS] * z[0] + p[ROW_DD] * z[1])
        x, y = ox + side * cos + depth * sin, oy - side * sin + depth * cos

        def clip(v, n):
            return np.clip(v, 0.0, n - 1.0).astype(int)

        code = field.packed[clip(y, field.rows) * field.columns + clip(x, field.columns)] & 15
        run = s.bag.roll[row, 0, code] + s.bag.roll[row, 1, code] * z[2]
        out = np.hypot(x - ox, y - oy)
        ends_x, ends_y = x + run * (x - ox) / out, y + run * (y - oy) / out
        size, rolls = np.abs(run), np.ones(len(x), dtype=bool)
        for step in range(1, int(np.ceil(size.max())) + 1):  # sand stops a running ball; one look a cell
            share = np.minimum(step / np.maximum(size, 1e-9), 1.0)
            px, py = x + share * run * (x - ox) / out, y + share * run * (y - oy) / out
            code = field.packed[clip(py, field.rows) * field.columns + clip(px, field.columns)] & 15
            caught = rolls & (code == int(Surface.BUNKER)) & (step - 1 < size)
            ends_x, ends_y = np.where(caught, px, ends_x), np.where(caught, py, ends_y)
            rolls &= ~caught
        weight = np.where(
            mishit, p[ROW_MISHIT_SHARE] / (z.shape[1] - core), (1.0 - p[ROW_MISHIT_SHARE]) / core
        )
        return clip(ends_y, field.rows) * field.columns + clip(ends_x, field.columns), weight


@cache
def discrete_dp():
    """QuantEcon's DiscreteDP, its compiled code in a cache of this process alone.

    Two test processes that fill one cache at once leave it broken for good: a compiled gufunc then asks for
    an inner loop that the other process has overwritten, and numba ends the process.
    """
    usual, own = numba.config.CACHE_DIR, tempfile.mkdtemp(prefix="quantecon-")
    atexit.register(shutil.rmtree, own, ignore_errors=True)
    numba.config.CACHE_DIR = own
    try:
        from quantecon.markov import DiscreteDP
    finally:
        numba.config.CACHE_DIR = usual
    return DiscreteDP


def policy_iteration(owner, cost, chances, *, beta=1.0 - 1e-12):
    """Values by QuantEcon: rewards are strokes lost, and what is not another node-lie is the cup.

    It wants a discount below one. Of at most 6 strokes one part in 1e12 of each later one is lost: 1e-11.
    """
    n = cup = chances.shape[1]
    into_cup = sp.csr_matrix(1.0 - np.asarray(chances.sum(axis=1)))
    kernel = sp.vstack(
        [sp.hstack([chances, into_cup]), sp.csr_matrix(([1.0], ([0], [cup])), (1, n + 1))], format="csr"
    )
    state, action = np.append(owner, cup), np.append(nth(owner), 0)
    order = np.lexsort((action, state))
    problem = discrete_dp()(np.append(-cost, 0.0)[order], kernel[order], beta, state[order], action[order])
    return -problem.solve(method="policy_iteration").v[:cup]


def nth(owner):
    """0, 1, 2 ... for the pairs of each node, which stand together."""
    first = np.searchsorted(owner, owner)
    return np.arange(len(owner)) - first


def without_known(value, owner, cost, chances):
    """The problem of the node-lies that have options: those next to the published baseline become strokes."""
    known = ~np.isin(np.arange(len(value)), owner)
    number = np.cumsum(~known) - 1
    return ~known, (number[owner], cost + chances[:, known] @ value[known], chances[:, ~known].tocsr())
