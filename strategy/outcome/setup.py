"""One hole set up for one player and one round: `today`, from a `Request`."""

from __future__ import annotations

import numpy as np
import shapely

from strategy.arrays import FloatArray
from strategy.codes import ROUGH_LIES, Lie, Surface
from strategy.course.maps.canopy import ASSUMED_M, canopy_map
from strategy.course.maps.heights import height_map
from strategy.course.maps.least_landing import least_landing
from strategy.course.maps.rolloff import roll_off
from strategy.course.maps.surface import surface_map
from strategy.course.model import Hole
from strategy.outcome.request import Request, request
from strategy.outcome.shot_table import shot_table
from strategy.outcome.today import Canopy, HoleToday
from strategy.outcome.weather import table_in, weather
from strategy.player.model import Player, SlopeEffect
from strategy.units import yards
from strategy.week.model import Week
from strategy.week.wind import wind_for


def today(
    hole: Hole,
    player: Player,
    week: Week,
    round: int = 1,  # noqa: A002  "round" is the word, and the contract's keyword
    *,
    pin: tuple[float, float] | None = None,
    order: int | None = None,
) -> HoleToday:
    """Set up one hole for one player in one round.

    Parameters
    ----------
    hole, player, week : Hole, Player, Week
        As read.
    round : int
        Number of the round.
    pin : tuple of two floats, optional
        Hole location in the course frame; by default the week's location for this hole and round, and
        the middle of the green where the week gives none. [m]
    order : int, optional
        How many holes were played before this one (for the hour, hence the wind); by default as the card
        of the hole and the start of the round say, and none for a hole that belongs to no course.

    Raises
    ------
    RequestError
        If the round or the tee is not there, or the location is off the green.
    """
    return today_of(request(hole, player, week, round, pin="" if pin is None else pin, before=order))


def today_of(asked: Request) -> HoleToday:
    """The same from a request; a player is needed for the shots.

    Raises
    ------
    ValueError
        If the request names no player.
    """
    hole, week, played, line, pin = asked.hole, asked.week, asked.played, asked.line, asked.pin
    player = asked.player
    if player is None:
        raise ValueError("a hole is set up for a player")
    assumptions: list[str] = []
    if pin is None:
        centre = (
            shapely.point_on_surface(hole.green) if not hole.green.contains(hole.green.centroid) else None
        )
        centre = centre or hole.green.centroid
        pin = (float(centre.x), float(centre.y))
        assumptions.append("no hole location given: the middle of the green")
    if hole.out_of_bounds is None:
        assumptions.append("out of bounds unknown: nothing counts as out")
    if not hole.rough_known:
        assumptions.append("no rough drawn: ground between the outlines counts as rough")
    day = None
    if week.as_stated:
        wind, shots = wind_for(played, asked.before), shot_table(player, stimp_ft=week.stimp_ft)
    else:
        day = weather(player, week, played, hole.label, asked.before)
        wind, shots = day.wind, table_in(player, day)
        assumptions += day.said
    ground = surface_map(hole)
    heights = height_map(hole, ground.cell_m)
    trees = canopy_map(hole, ground)
    assumptions += _tree_words(hole)
    if heights is not None and day is not None and player.slopes == SlopeEffect():
        assumptions.append("what a slope under the player does is derived from the flight, not measured")
    if heights is not None:
        heights = heights.on_grid(ground.corner, ground.codes.shape, ground.cell_m)
    return HoleToday(
        label=hole.label,
        par=hole.par,
        round=played.number,
        frame=hole.frame,
        surface=ground.codes,
        area=ground.area,
        corner=ground.corner,
        cell_m=ground.cell_m,
        lie_chance=lie_chances(week.rough_chances),
        tee=(float(line[0, 0]), float(line[0, 1])),
        hole=pin,
        line=line,
        green=np.asarray(hole.green.exterior.coords, dtype=np.float64)[:, :2],
        shots=shots,
        height=None if heights is None else heights.heights,
        rolls_to=None
        if heights is None
        else roll_off(heights.heights, ground.codes, ground.cell_m, week.stimp_ft),
        longest_club_m=player.longest_club_m,
        right_handed=player.right_handed,
        level=player.level,
        doubtful_swing=player.doubtful_swing,
        drop_zones=hole.drop_zones,
        wind=wind,
        wind_counts=not week.as_stated,
        canopy=None
        if trees is None
        else Canopy.of(trees.top, trees.base, ground.cell_m, crown_m=hole.crown_m, stems_m=hole.stems_m),
        stimp_ft=week.stimp_ft,
        assumptions=tuple(assumptions),
        day=day,
        player=player,
        drawn_line=hole.line,
        front_reference=week.front_reference,
        least_landing=least_landing(hole, week.stimp_ft),
    )


def _tree_words(hole: Hole) -> list[str]:
    """What is taken for granted of the trees."""
    woods = [area for area in hole.areas if area.surface == Surface.TREES]
    if not woods:
        return ["no trees drawn: none stop a ball"]
    assumed = {area.low for area in woods if area.height_source == "assumed"}
    words = {False: "tree heights assumed: medium,", True: "heights of scrub and hedges assumed:"}
    return [f"{words[low]} {yards(ASSUMED_M[low]):.0f} yd" for low in sorted(assumed)]


def lie_chances(rough: tuple[float, float, float]) -> FloatArray:
    """Chance of each lie given the surface (11, 9); rough splits into good, poor and jumper."""
    chance = np.zeros((len(Surface), len(Lie)))
    chance[Surface.TEE, Lie.FAIRWAY] = 1.0  # a ball at rest on a teeing ground lies on short grass
    chance[Surface.FAIRWAY, Lie.FAIRWAY] = 1.0
    chance[Surface.FIRST_CUT, Lie.FIRST_CUT] = 1.0
    chance[Surface.ROUGH, list(ROUGH_LIES)] = rough
    chance[Surface.BUNKER, Lie.SAND] = 1.0
    chance[Surface.GREEN, Lie.GREEN] = 1.0
    chance[Surface.TREES, Lie.RECOVERY] = 1.0
    return chance
