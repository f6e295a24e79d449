"""One hole under one round's conditions: frozen arrays, everything a stroke needs to be played out."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from strategy.arrays import FloatArray
from strategy.codes import Lie, Spot, Surface
from strategy.course.frame import Frame
from strategy.course.maps.least_landing import LeastLanding
from strategy.course.playline import line_from
from strategy.outcome.table import ShotTable
from strategy.units import YARD_M
from strategy.week.model import UNSTATED_STIMP_FT, WindHour

if TYPE_CHECKING:  # the set-up flies balls, but a hole that is set up needs no flight
    from strategy.outcome.weather import Weather
    from strategy.player.model import Player

CANOPY_CELL_M: Final = 2.0
LEVEL: Final = frozenset({Lie.TEE, Lie.SAND, Lie.GREEN})  # lies on ground that is kept level
AT_GREEN_M: Final = 35.0 * YARD_M  # a shot that finishes this near the hole is played at the green


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Canopy:
    """Trees of one hole, on cells of their own that start at the corner of its surface map.

    A ball inside a crown is stopped after a random way through it (exponential, `crown_m` on average), one
    under the branches by the stems (`stems_m` on average). It drops where it is stopped.

    Attributes
    ----------
    top, base : ndarray of float32 (my, mx)
        Top of the crown and its lowest branches above the ground there; top 0 where no tree stands. [m]
    cell_m : float
        Cell size, a multiple of the surface map's. [m]
    crown_m, stems_m : float
        Mean free way of a ball. [m]
    """

    top: NDArray[np.float32]
    base: NDArray[np.float32]
    cell_m: float
    crown_m: float = 6.0
    stems_m: float = 70.0

    @staticmethod
    def of(
        top: ArrayLike, base: ArrayLike, map_cell_m: float, *, crown_m: float = 6.0, stems_m: float = 70.0
    ) -> Canopy:
        """The canopy of heights given on the cells of the surface map (ny, nx).

        Crowns are known to a pace or two at best: a cell here is `CANOPY_CELL_M` wide, holds a tree where
        half of it is covered, and is as high as the highest and branches as low as the lowest in it.
        """
        n = max(round(CANOPY_CELL_M / map_cell_m), 1)
        up = np.asarray(top, dtype=np.float32)
        ny, nx = up.shape
        pad = ((0, -ny % n), (0, -nx % n))

        def blocks(a: NDArray[np.float32]) -> NDArray[np.float32]:
            a = np.pad(a, pad)
            return a.reshape(a.shape[0] // n, n, a.shape[1] // n, n)

        tall = blocks(up)
        low = blocks(np.where(up > 0.0, np.asarray(base, dtype=np.float32), np.inf).astype(np.float32))
        stands = (tall > 0.0).mean(axis=(1, 3)) >= 0.5
        return Canopy(
            top=np.where(stands, tall.max(axis=(1, 3)), 0.0).astype(np.float32),
            base=np.where(stands, np.where(tall > 0.0, low, np.inf).min(axis=(1, 3)), 0.0).astype(np.float32),
            cell_m=n * map_cell_m,
            crown_m=crown_m,
            stems_m=stems_m,
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HoleToday:
    """One hole today. Picklable; `play` needs nothing else.

    Attributes
    ----------
    label, par, round : str, int, int
        Which hole of which round.
    frame : Frame
        Course frame, to give aims in longitude and latitude.
    surface : ndarray of uint8 (ny, nx)
        Surface code of every cell; row index grows north, column index grows east.
    area : ndarray of int16 (ny, nx)
        Number of the penalty area a cell belongs to, -1 elsewhere. Two areas that touch differ.
    corner : tuple of two floats
        South-west corner of cell [0, 0]. [m]
    cell_m : float
        Cell size. [m]
    height : ndarray of float32 (ny, nx) or None
        Height of the ground on the same cells; None = unknown, taken for flat. [m]
    lie_chance : ndarray (11, 9)
        Chance of each lie given the surface; rows of playable surfaces sum to 1.
    tee, hole : tuple of two floats
        Markers in use and hole location. [m]
    line : ndarray (n, 2)
        Line of play from the markers in use to the hole's green. [m]
    green : ndarray (n, 2)
        Outline of the green. [m]
    shots : ShotTable
        This player's shots off level ground; `shots_from` gives those of a spot.
    longest_club_m : float
        Club-length of the Rules. [m]
    right_handed : bool
        For words only; sides are already absolute.
    level : float
        Average score of the player's level (70 = tour).
    doubtful_swing : float
        Scatter of a swing its player doubts, in multiples of a committed one's; every number of the shot
        table is of a committed swing.
    front_reference : str
        What numbers to the green are counted to, see `course.playline.front_point`.
    drop_zones : tuple of (str, float, float)
        Name and place of each drop zone. [m]
    wind : WindHour or None
        Wind at this hole's hour, None = unknown or calm.
    day : Weather or None
        What the shots are flown in; None = they are as the player states them.
    wind_counts : bool
        Whether the numbers include the wind.
    canopy : Canopy or None
        Trees that stop balls; None = none are known.
    stimp_ft : float
        Speed of the greens. [ft]
    rolls_to : ndarray of int32 (ny * nx,) or None
        Cell where a ball that stops in a cell comes to rest (`course.maps.rolloff`); None = each holds.
    assumptions : tuple of str
        What was taken for granted, in words.
    player : Player or None
        Whose shots they are, to fly them in another wind.
    drawn_line : ndarray (n, 2) or None
        Line of play from the back tee, with turns that lie behind the markers in use. [m]
    least_landing : LeastLanding or None
        How far on a ball has to land so as not to come back off the front of the green; None where none does.
    level_stances : bool
        Every shot is played as off level ground, whatever slopes under the player.
    """

    label: str
    par: int
    round: int
    frame: Frame
    surface: NDArray[np.uint8]
    area: NDArray[np.int16]
    corner: tuple[float, float]
    cell_m: float
    lie_chance: FloatArray
    tee: tuple[float, float]
    hole: tuple[float, float]
    line: FloatArray
    green: FloatArray
    shots: ShotTable
    longest_club_m: float
    right_handed: bool
    level: float
    height: NDArray[np.float32] | None = None
    doubtful_swing: float = 1.0
    drop_zones: tuple[tuple[str, float, float], ...] = ()
    wind: WindHour | None = None
    wind_counts: bool = False
    canopy: Canopy | None = None
    stimp_ft: float = UNSTATED_STIMP_FT
    rolls_to: NDArray[np.int32] | None = None
    assumptions: tuple[str, ...] = ()
    day: Weather | None = None
    player: Player | None = None
    drawn_line: FloatArray | None = None
    front_reference: str = "line of play"
    level_stances: bool = False
    least_landing: LeastLanding | None = None

    def with_pin(self, xy: tuple[float, float]) -> HoleToday:
        """The same hole with the hole cut elsewhere. [m]"""
        return dataclasses.replace(self, hole=(float(xy[0]), float(xy[1])))

    def with_wind(self, wind: WindHour | None) -> HoleToday:
        """The same hole in another wind, as it is met there; None = calm. Every shot is flown in it.

        Where the numbers count no wind (`day` is None) it is only said.

        Raises
        ------
        ValueError
            When the shots were flown for a player who is not known.
        """
        if self.day is None:
            return dataclasses.replace(self, wind=wind)
        if self.player is None:
            raise ValueError("shots cannot be flown in another wind without their player")
        from strategy.outcome.weather import in_wind, table_in

        day = in_wind(self.day, wind)
        unsaid = set(self.day.said) - set(day.said)
        return dataclasses.replace(
            self,
            wind=wind,
            day=day,
            shots=table_in(self.player, day),
            assumptions=tuple(text for text in self.assumptions if text not in unsaid),
        )

    def with_tee(self, xy: tuple[float, float]) -> HoleToday:
        """The same hole from other markers; the line of play starts there. The hole stays where it is. [m]"""
        tee = (float(xy[0]), float(xy[1]))
        drawn = self.line if self.drawn_line is None else self.drawn_line
        return dataclasses.replace(self, tee=tee, line=line_from(drawn, tee))

    def shots_from(self, spot: Spot) -> ShotTable:
        """The shots as they are played from a spot: `shots`, but for ground that slopes under the player."""
        slope = self.slope_under(spot)
        if slope == (0.0, 0.0) or self.day is None or self.player is None:
            return self.shots  # shots as stated are not flown, from a slope or otherwise
        from strategy.outcome.stance import from_slope

        return from_slope(self.shots, self.player, self.day, slope)

    def slope_under(self, spot: Spot) -> tuple[float, float]:
        """Slope that a ball is played from, towards east and north: rise over distance, 0 where it is level.

        See `strategy.outcome.stance`.
        """
        if self.level_stances or self.height is None or spot.lie in LEVEL:
            return 0.0, 0.0
        from strategy.outcome.stance import places_under, plane_slope

        off = places_under(self.cell_m)
        return plane_slope(off, self.height_at(np.array([spot.x, spot.y]) + off))

    @property
    def tee_spot(self) -> Spot:
        """The ball on the tee."""
        return Spot(*self.tee, Lie.TEE)

    @property
    def front_xy(self) -> tuple[float, float]:
        """Place that numbers to the green are counted to. [m]"""
        from shapely import Polygon

        from strategy.course.playline import front_point

        return front_point(Polygon(self.green), self.line, self.front_reference)

    def surface_at(self, xy: ArrayLike) -> NDArray[np.uint8]:
        """Surface codes at points (K, 2); off the map is OFF_MAP. [m]"""
        p = np.atleast_2d(np.asarray(xy, dtype=np.float64))
        row, col, inside = self.cells(p)
        codes = np.full(len(p), 10, dtype=np.uint8)
        codes[inside] = self.surface[row[inside], col[inside]]
        return codes

    def least_landing_from(self, spot: Spot) -> float | None:
        """From a ball to where it has to land so as not to come back off the front; None for none. [m]"""
        least = self.least_landing
        return None if least is None else float(np.hypot(least.xy[0] - spot.x, least.xy[1] - spot.y))

    def at_green(self, finish: tuple[float, float]) -> bool:
        """Whether a shot that finishes there is played at the green: near the hole, or on the green. [m]"""
        away = float(np.hypot(finish[0] - self.hole[0], finish[1] - self.hole[1]))
        return away < AT_GREEN_M or int(self.surface_at(finish)[0]) == Surface.GREEN

    def height_at(self, xy: ArrayLike) -> FloatArray:
        """Height of the ground at points (K, 2); 0 everywhere when it is not known. [m]"""
        p = np.atleast_2d(np.asarray(xy, dtype=np.float64))
        if self.height is None:
            return np.zeros(len(p))
        row, col, _ = self.cells(p)
        ny, nx = self.surface.shape
        return np.asarray(self.height[np.clip(row, 0, ny - 1), np.clip(col, 0, nx - 1)], dtype=np.float64)

    def cells(self, xy: FloatArray) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.bool_]]:
        """Row, column and whether on the map, of points (K, 2). [m]"""
        col = np.floor((xy[:, 0] - self.corner[0]) / self.cell_m).astype(np.int64)
        row = np.floor((xy[:, 1] - self.corner[1]) / self.cell_m).astype(np.int64)
        ny, nx = self.surface.shape
        return row, col, (row >= 0) & (row < ny) & (col >= 0) & (col < nx)

    def centres(self) -> FloatArray:
        """Centres of all cells (ny, nx, 2). [m]"""
        ny, nx = self.surface.shape
        x = self.corner[0] + (np.arange(nx) + 0.5) * self.cell_m
        y = self.corner[1] + (np.arange(ny) + 0.5) * self.cell_m
        return np.stack(np.broadcast_arrays(x[None, :], y[:, None]), axis=-1)
