"""Small worlds for tests: the sanity cases as holes set up today, and holes drawn on squared paper."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Callable
from pathlib import Path

import numpy as np
import shapely

from scripts.invented import a_player, a_shot
from strategy.ball.air import STANDARD_AIR
from strategy.codes import Surface
from strategy.course import read_course
from strategy.course.frame import Frame
from strategy.course.model import Area, Hole
from strategy.decide.option import Option, OptionError, Word
from strategy.outcome.setup import today
from strategy.outcome.today import HoleToday
from strategy.outcome.weather import Weather
from strategy.player.model import Player
from strategy.units import MPH_MPS, YARD_M
from strategy.week.model import Round, Week, WindHour

CASES = Path(__file__).parent / "cases"


def an_option(index=0, **given) -> Option:
    """A shot 100 m straight on from the corner of the frame, but for what is given."""
    plain = {
        "club": f"c{index}", "shot": "stock", "label": f"s{index}", "carry_m": 100.0, "heading": 0.0,
        "aim": (0.0, 100.0), "aim_lonlat": (2.0, 54.5), "start_line": 0.0, "strokes": 4.0,
        "error": OptionError(sampling=0.001), "cost": 0.0, "cost_error": 0.004, "word": Word.EVEN,
        "counts": {"fairway": 20}, "chances": {"fairway": 1.0},
    }  # fmt: skip
    return Option(index=index, **{**plain, **given})


def mirrored_player(player: Player) -> Player:
    """The same player on the other side: bends, biases and tilts change sign."""
    shots = tuple(
        dataclasses.replace(
            s,
            bend_m=-s.bend_m,
            spread=dataclasses.replace(s.spread, tilt=-s.spread.tilt, bias_side_m=-s.spread.bias_side_m),
        )
        for s in player.shots
    )
    return dataclasses.replace(player, shots=shots, right_handed=not player.right_handed)


def mirrored(here: HoleToday) -> HoleToday:
    """A hole today as a mirror on the axis x = 0 shows it: the ground, its trees, wind, player and day."""
    to_right = [-1.0, 1.0]

    def maps(of: np.ndarray | None) -> np.ndarray | None:
        return None if of is None else np.ascontiguousarray(of[:, ::-1])

    ny, nx = here.surface.shape
    rolls_to = here.rolls_to
    if rolls_to is not None:
        flat = rolls_to.reshape(ny, nx)[:, ::-1]
        rolls_to = np.ascontiguousarray(flat // nx * nx + nx - 1 - flat % nx).ravel()
    canopy = here.canopy
    if canopy is not None:
        assert canopy.top.shape[1] * round(canopy.cell_m / here.cell_m) == nx
        canopy = dataclasses.replace(canopy, top=maps(canopy.top), base=maps(canopy.base))
    table = here.shots
    back = -np.arange(table.carry.shape[2])  # row of the heading on the other side
    arrays = {
        f.name: np.ascontiguousarray(value[:, :, back])
        for f in dataclasses.fields(table)
        if isinstance(value := getattr(table, f.name), np.ndarray) and value.ndim > 2
    }
    for name in ("run_turn", "start_offset", "bend"):
        arrays[name] *= -1.0
    for name in ("mean", "mishit_shift"):
        arrays[name][..., 0] *= -1.0
    arrays["covariance"][..., [0, 1], [1, 0]] *= -1.0
    wind, day = here.wind, here.day
    if wind is not None:
        wind = dataclasses.replace(wind, blows_from=-wind.blows_from % 360.0)
    if day is not None:
        day = dataclasses.replace(day, wind=wind)
    return dataclasses.replace(
        here,
        wind=wind,
        day=day,
        player=None if here.player is None else mirrored_player(here.player),
        surface=maps(here.surface),
        area=maps(here.area),
        height=maps(here.height),
        rolls_to=rolls_to,
        canopy=canopy,
        corner=(-here.corner[0] - nx * here.cell_m, here.corner[1]),
        tee=(-here.tee[0], here.tee[1]),
        hole=(-here.hole[0], here.hole[1]),
        line=here.line * to_right,
        green=here.green * to_right,
        drop_zones=tuple((name, -x, y) for name, x, y in here.drop_zones),
        shots=dataclasses.replace(table, **arrays),
        right_handed=not here.right_handed,
    )


def blowing(
    mph: float, blows_from: float = 0.0, *, gust: float | None = None, judged: float = 0.15
) -> Weather:
    """Weather of a day with one wind, in standard air: mean and gust in mph, and where it blows from.

    `judged` is the share of the wind by which a player misjudges it.
    """
    gust_mps = (mph if gust is None else gust) * MPH_MPS
    wind = WindHour(hour=9.0, speed_mps=mph * MPH_MPS, gust_mps=gust_mps, blows_from=blows_from)
    return Weather(wind=wind, air=STANDARD_AIR, judged=judged)


def a_week() -> Week:
    return Week(name="test", rounds=(Round(number=1),), as_stated=True)


def case(name: str) -> tuple[Hole, dict, tuple[float, float]]:
    """A sanity case: its hole, what is expected, and the hole location in the course frame."""
    course = read_course(CASES / f"case-{name}.geojson")
    expected = json.loads((CASES / f"case-{name}.json").read_text())
    hole = course.holes[0]
    return hole, expected, play_frame(hole, expected["hole"])


def play_frame(hole: Hole, yards) -> tuple[float, float]:
    """A place given in the cases' play frame: tee at lon 2, lat 54.5, play due north, yards."""
    lonlat = Frame(2.0, 54.5).to_lonlat(np.asarray(yards, dtype=float) * YARD_M)
    xy = hole.frame.to_xy(lonlat)[0]
    return float(xy[0]), float(xy[1])


def case_today(name: str, *shots) -> tuple[HoleToday, dict]:
    hole, expected, pin = case(name)
    return today(hole, a_player(*shots), a_week(), pin=pin), expected


def driver_and_wood():
    return a_shot("driver", 285, 17, 12, run=15), a_shot("wood", 258, 15, 10, run=14)


def bounded_e() -> tuple[Hole, tuple[float, float]]:
    """Case E with out of bounds 25 yd right of the middle, all along, and its hole location."""
    hole, _, pin = case("E")
    x = hole.line[0, 0] + 25 * YARD_M  # the line of play runs due north from the tee
    low, high = hole.line[:, 1].min() - 100, hole.line[:, 1].max() + 100
    out = shapely.box(x, low, x + 200, high)
    area = Area(surface=Surface.OUT, shape=out, fid="test/out")
    return dataclasses.replace(hole, areas=(*hole.areas, area), out_of_bounds=out), pin


def more_club_over_the_pond(answer: Callable[[HoleToday], tuple[Option, float]]) -> None:
    """Check case D: past the hole, and further the more the shot scatters in depth.

    `answer` gives the best option of a hole and the cost of playing at the flag in its place.
    """
    past, at_flag = {}, {}
    for depth in (5, 6.5, 8):
        today_, expected = case_today(f"D-{depth:g}", a_shot("8-iron", 145, 5.5, depth, dial=0.1))
        best, at_flag[depth] = answer(today_)
        past[depth] = best.carry_m / YARD_M - expected["hole"][1]
        if expected["past_hole"]:
            low, high = expected["past_hole"]
            assert low <= past[depth] <= high
            assert at_flag[depth] >= expected["flag_cost_min"]
    assert past[5] + 0.5 < past[6.5] < past[8] - 0.5
    assert at_flag[5] < at_flag[6.5] < at_flag[8]


def yards_off(today_: HoleToday, xy) -> tuple[float, float]:
    """(right of, past) the hole location in yards, seen along the line of play."""
    d = (np.asarray(xy) - np.asarray(today_.hole)) / YARD_M
    ahead = today_.line[-1] - today_.line[0]
    ahead = ahead / np.hypot(*ahead)
    return float(d @ [ahead[1], -ahead[0]]), float(d @ ahead)
