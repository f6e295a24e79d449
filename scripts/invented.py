"""Invented players and holes that benches and tests share: plain shots, ground drawn cell by cell, the demo.

Nothing here is measured; a bench or a test says what it needs and gets the smallest world that has it.
"""

from __future__ import annotations

import dataclasses

import numpy as np

from strategy.codes import Lie, Surface
from strategy.course import read_course
from strategy.course.frame import Frame
from strategy.course.model import Course
from strategy.demofiles import demo
from strategy.outcome.setup import lie_chances, today
from strategy.outcome.shot_table import shot_table
from strategy.outcome.today import HoleToday
from strategy.player import read_player
from strategy.player.model import LieEffect, Player, Shot, Spread
from strategy.units import YARD_M
from strategy.week import read_week

PLAIN = {lie: LieEffect() for lie in Lie}


def a_shot(club, carry, side, depth, *, run=0.0, dial=0.0, bend=0.0, name="stock", **spread):
    """A shot in yards whose scatter is the one given at `carry`; it can be dialled by +-`dial` (a share)."""
    full = 1.0 + dial
    return Shot(
        club=club,
        name=name,
        carry_m=carry * full * YARD_M,
        carry_least_m=carry * (1.0 - dial) * YARD_M,
        spread=Spread(side_m=side * full * YARD_M, depth_m=depth * full * YARD_M, **spread),
        bend_m=bend * YARD_M,
        run_m=dict.fromkeys(("fairway", "first cut", "rough", "green"), run * YARD_M),
        run_sd_m=0.0,
    )


def a_player(*shots, level=70.0, right_handed=True):
    return Player(name="test", right_handed=right_handed, level=level, shots=shots, lie_effects=PLAIN)


def of_demo(label: str, number: int = 1) -> HoleToday:
    """A hole of the demo course in a round: wind, run, water, trees, shots round the green, putts of it."""
    files = demo()
    course, player, week = read_course(files.course), read_player(files.player), read_week(files.week)
    return today(course.hole(label), player, week, number)


def level(course: Course) -> Course:
    """A course on flat ground, its greens too."""
    flat = {"heights": None, "sketch": None, "least_landing_m": None}
    return dataclasses.replace(course, holes=tuple(dataclasses.replace(h, **flat) for h in course.holes))


def squared(
    rows_m: float, columns_m: float, paint, *shots, cell_m=0.5, hole=(0.0, 150.0), tee=(0.0, 0.0), zones=()
) -> HoleToday:
    """A hole drawn on squared paper: `paint(x, y)` gives surface codes for arrays of cell centres.

    Penalty areas are numbered by colour: yellow 0, red 1. The map reaches 40 m behind the tee.
    """
    ny, nx = int(rows_m / cell_m), int(columns_m / cell_m)
    corner = (-columns_m / 2.0, -40.0)
    x = corner[0] + (np.arange(nx) + 0.5) * cell_m
    y = corner[1] + (np.arange(ny) + 0.5) * cell_m
    surface = np.asarray(paint(*np.meshgrid(x, y)), dtype=np.uint8)
    area = np.full(surface.shape, -1, dtype=np.int16)
    area[surface == Surface.YELLOW] = 0
    area[surface == Surface.RED] = 1
    player = a_player(*shots)
    return HoleToday(
        label="1",
        par=4,
        round=1,
        frame=Frame(2.0, 54.5),
        surface=surface,
        area=area,
        corner=corner,
        cell_m=cell_m,
        lie_chance=lie_chances((0.5, 0.35, 0.15)),
        tee=tee,
        hole=hole,
        line=np.array([tee, hole], dtype=float),
        green=np.array(
            [[hole[0] + 13 * np.sin(a), hole[1] + 14 * np.cos(a)] for a in np.arange(0, 6.3, 0.2)]
        ),
        shots=shot_table(player),
        longest_club_m=1.1557,
        right_handed=True,
        level=70.0,
        drop_zones=zones,
    )
