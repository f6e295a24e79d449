"""The ground of the demo course: heights of an invented site, written as a small GeoTIFF height model.

Everything is in yards on the site plan of `make_demo_course`, in three layers, each over the one before:

    the land    through heights given along every line of play, with what falls across it (`LAND`), and a
                swell of a hand or two
    the made    tees and water are level, greens are planes with a fall of their own (`GREENS`), and all go
    ground      over into the land around them
    the shapes  a false front, tiers, run-offs (`GREENS`)

Heights stand every two metres, in steps of half a centimetre. They are read by the program as any height
model is. The green of the 9th is the one that was rebuilt: it stands here as it was flown, as a plain slope,
and course.toml has it in words.
"""

from __future__ import annotations

from pathlib import Path
from typing import Final, NamedTuple

import numpy as np
import shapely

from strategy.course.frame import Frame
from strategy.units import YARD_M

CRS: Final = "EPSG:32631"  # UTM zone 31 north, where the open sea of the demo is
CELL_M: Final = 2.0
STEP_M: Final = 0.005  # of the heights: what is level stays level to a quarter of a per cent
BEYOND_YD: Final = 162.0  # ground is known so far from a line of play: the program maps 140 m at most

# (depth, height) along each line of play, and what falls across: (depth, rise to the right in per cent).
LAND: Final = {
    1: (((-12, 19.0), (110, 16.0), (210, 14.5), (300, 15.5), (370, 19.0), (431, 22.0), (455, 22.6)), ()),
    2: (((-12, 25.0), (140, 22.0), (270, 19.5), (400, 17.5), (470, 16.4), (546, 17.0), (570, 17.2)), ()),
    3: (((-12, 18.4), (120, 14.5), (255, 11.5), (340, 9.8), (403, 9.2), (425, 9.2)), ((200, -1.5),)),
    4: (((-12, 9.6), (40, 8.0), (100, 5.6), (187, 6.6), (215, 7.4)), ()),
    5: (((-12, 9.4), (120, 10.5), (280, 13.5), (380, 15.6), (440, 18.2), (468, 19.8), (490, 20.4)), ()),
    6: (((-12, 21.0), (110, 17.5), (225, 14.4), (318, 12.0), (340, 11.8)), ()),
    7: (((-12, 17.0), (30, 14.9), (100, 9.0), (165, 5.6), (212, 5.0), (235, 5.4)), ()),
    8: (((-12, 8.4), (120, 10.8), (230, 13.2), (300, 12.6), (380, 9.8), (449, 8.6), (470, 8.6)),
        ((230, 2.0),)),
    9: (((-12, 8.6), (140, 6.8), (300, 7.6), (430, 9.6), (520, 11.6), (595, 12.8), (620, 13.4)), ()),
    10: (((-12, 18.0), (120, 15.2), (280, 13.4), (380, 15.6), (457, 17.4), (480, 17.8)), ((270, -2.0),)),
    11: (((-12, 19.6), (120, 15.8), (240, 12.4), (302, 10.4), (340, 11.8), (386, 14.0), (410, 14.6)), ()),
    12: (((-12, 18.6), (60, 17.4), (120, 17.4), (166, 18.4), (190, 18.8)), ()),
    13: (((-12, 20.4), (140, 20.2), (285, 21.4), (400, 20.6), (482, 20.2), (505, 20.2)),
         ((180, -3.0), (240, -5.0), (300, -5.0), (360, -3.5))),
    14: (((-12, 20.6), (90, 20.0), (160, 21.8), (205, 24.6), (228, 23.4), (262, 19.8), (300, 18.4),
          (360, 18.0), (385, 18.0)), ()),
    15: (((-12, 18.4), (140, 12.6), (275, 8.4), (400, 6.0), (500, 4.8), (561, 5.2), (585, 5.4)), ()),
    16: (((-12, 6.6), (110, 6.4), (180, 7.6), (228, 9.0), (250, 9.4)), ()),
    17: (((-12, 9.8), (120, 10.2), (250, 11.6), (330, 15.6), (421, 21.6), (445, 22.4)), ()),
    18: (((-12, 24.6), (120, 18.4), (285, 13.0), (390, 12.6), (474, 14.2), (500, 14.6)), ((240, 1.5),)),
}  # fmt: skip
WATER: Final = {(4, 1): 5.5, (6, 1): 11.1, (11, 1): 9.7, (15, 1): 4.3, (18, 1): 13.2}


class Shape(NamedTuple):
    """A green: its fall in per cent (to the front, to the right), and what is made into it. [yd]

    A false front falls at `front` per cent up to `front_on`. A tier rises by `step` over `STEP_YD` yards
    about `step_on`. A run-off falls over the edge towards `off`, clockwise from the back.
    """

    fall: tuple[float, float]
    front_on: float = 0.0
    front: float = 0.0
    step_on: float = 0.0
    step: float = 0.0
    off: float | None = None


STEP_YD: Final = 9.0
OFF_PER_CENT: Final = 10.0
GREENS: Final = {
    1: Shape((1.8, -0.6)),
    2: Shape((2.0, 0.8)),
    3: Shape((1.6, -1.2)),
    4: Shape((2.2, 0.6)),
    5: Shape((2.4, 0.4)),
    6: Shape((1.4, -1.4)),
    7: Shape((1.2, 1.0)),
    8: Shape((1.8, -1.0)),
    9: Shape((1.8, 0.0)),
    10: Shape((-0.9, 1.3), off=50.0),
    11: Shape((2.2, -0.5)),
    12: Shape((1.8, 0.5), front_on=4.5, front=12.0),
    13: Shape((1.6, 1.4)),
    14: Shape((1.0, -0.4), step_on=16.0, step=0.40),
    15: Shape((1.8, -1.0)),
    16: Shape((2.0, 0.9)),
    17: Shape((2.4, -0.6)),
    18: Shape((1.9, -0.9)),
}
_SWELL_YD: Final = (0.12, 45.0)  # height and length of the swell in the land
_COARSE_YD: Final = 9.0


def write_ground(path: Path, holes, frame: Frame) -> None:
    """The height model of the site as a GeoTIFF."""
    import rasterio
    from pyproj import Transformer
    from rasterio.transform import from_origin

    to_model = Transformer.from_crs("OGC:CRS84", CRS, always_xy=True)
    site = shapely.union_all([shapely.LineString(h.line) for h in holes]).buffer(BEYOND_YD)
    corners = shapely.get_coordinates(shapely.box(*site.bounds)) * YARD_M
    x, y = to_model.transform(*frame.to_lonlat(corners).T)
    west, south = np.floor(np.min((x, y), axis=1))
    nx, ny = np.ceil((np.max((x, y), axis=1) - (west, south)) / CELL_M).astype(int)
    north = south + ny * CELL_M
    grid_x, grid_y = np.meshgrid(
        west + (np.arange(nx) + 0.5) * CELL_M, north - (np.arange(ny) + 0.5) * CELL_M
    )
    lon, lat = to_model.transform(grid_x.ravel(), grid_y.ravel(), direction="INVERSE")
    z = heights(holes, frame.to_xy(np.column_stack((lon, lat))) / YARD_M) * YARD_M / STEP_M
    with rasterio.open(
        path, "w", driver="GTiff", width=nx, height=ny, count=1, dtype="int16", crs=CRS,
        transform=from_origin(west, north, CELL_M, CELL_M), compress="deflate", predictor=2, zlevel=9,
        tiled=True, blockxsize=256, blockysize=256,
    ) as file:  # fmt: skip
        file.write(np.round(z).reshape(ny, nx).astype(np.int16), 1)
        file.scales, file.units = (STEP_M,), ("metre",)


def heights(holes, places):
    """Heights at places (K, 2) of the site plan. [yd]"""
    land = Land(holes)
    base = land.at(places)
    total, weight = base.copy(), np.ones(len(places))
    # Level or even a pace or two beyond the outline, so that the grid has its heights up to the edge.
    made = [(h.green.buffer(1.5), 22.0, green_heights(h, height_of(land, h.green))) for h in holes]
    made += [(tee.buffer(2.0), 14.0, level(height_of(land, tee))) for h in holes for tee in teeing_grounds(h)]
    for (number, k), lie in WATER.items():
        pond = next(h for h in holes if h.number == number).water[k - 1][0]
        made.append((pond, 16.0, level(lie)))
    for shape, reach, surface in made:
        west, south, east, north = shape.buffer(reach).bounds
        x, y = places.T
        near = np.flatnonzero((x > west) & (x < east) & (y > south) & (y < north))
        away = shapely.distance(shape, shapely.points(places[near]))
        near, away = near[away < reach], away[away < reach]
        # Endless inside the shape and nothing at its reach: shapes that stand close share what lies between.
        share = ((reach - away) / np.maximum(away, 1e-6)) ** 2
        total[near] += share * surface(places[near])
        weight[near] += share
    return total / weight


def teeing_grounds(hole):
    """The tees of a hole; those that nearly touch are one long teeing ground."""
    whole = shapely.union_all([tee.buffer(3.5) for tee in hole.tees]).buffer(-3.5)
    return shapely.get_parts(whole)


def height_of(land, shape):
    """Height of the land in the middle of a shape."""
    return float(land.at(shape.centroid.coords)[0])


def level(height):
    return lambda places: np.full(len(places), height)


class Land:
    """The land through the given heights: a thin plate, with a little swell on it."""

    def __init__(self, holes):
        from scipy.interpolate import RBFInterpolator, RectBivariateSpline

        at, height = [], []
        for hole in holes:
            profile, falls = LAND[hole.number]
            depth = np.array([row[0] for row in profile])
            across = np.array([row[0] for row in falls]), np.array([row[1] for row in falls]) / 100.0
            for d, z in profile:
                tilt = 0.0
                if len(across[0]) and across[0][0] - 60 <= d <= across[0][-1] + 60:
                    tilt = float(np.interp(d, *across))
                for side in (-24.0, 0.0, 24.0):
                    at.append(hole.at(side, d))
                    height.append(z + tilt * side)
            for d, tilt in zip(*across, strict=True):
                for side in (-24.0, 0.0, 24.0):
                    at.append(hole.at(side, d))
                    height.append(float(np.interp(d, depth, [row[1] for row in profile])) + tilt * side)
        at, height = np.array(at), np.array(height)
        low, high = at.min(axis=0) - 140.0, at.max(axis=0) + 140.0
        x, y = (np.arange(a, b + _COARSE_YD, _COARSE_YD) for a, b in zip(low, high, strict=True))
        grid = np.stack(np.meshgrid(x, y, indexing="ij"), axis=-1).reshape(-1, 2)
        plate = RBFInterpolator(at, height, smoothing=4.0, kernel="thin_plate_spline")
        z = plate(grid).reshape(len(x), len(y)) + self.swell(len(x), len(y))
        self.spline = RectBivariateSpline(x, y, z)

    @staticmethod
    def swell(nx, ny):
        from scipy.ndimage import gaussian_filter

        high, long = _SWELL_YD
        raw = gaussian_filter(
            np.random.default_rng([99, 12]).standard_normal((nx, ny)), long / 4 / _COARSE_YD
        )
        return raw / raw.std() * high

    def at(self, places):
        return self.spline.ev(*np.atleast_2d(places).T)


def is_shaped(hole):
    """Whether a green is more than a plane."""
    shape = GREENS[hole.number]
    return bool(shape.front or shape.step) or shape.off is not None


def green_heights(hole, middle_height=0.0):
    """Heights of a green, and of the ground that goes over into it, as a function of places (K, 2). [yd]"""
    shape = GREENS[hole.number]
    first = front_of(hole)
    middle = np.asarray(hole.green.centroid.coords[0])
    depth_of_middle = float((middle - first) @ hole.unit)
    ring = hole.green.exterior

    def at(places):
        rel = places - first
        depth, side = rel @ hole.unit, (places - middle) @ hole.right
        fall, right = shape.fall
        z = middle_height + (fall * (depth - depth_of_middle) - right * side) / 100.0
        if shape.front:
            z -= (shape.front - fall) / 100.0 * soft(shape.front_on - np.maximum(depth, -5.0), 1.0)
        if shape.step:
            t = np.clip((depth - shape.step_on) / STEP_YD + 0.5, 0.0, 1.0)
            z += shape.step * t * t * (3.0 - 2.0 * t)
        if shape.off is not None:
            inside = shapely.contains_xy(hole.green, places)
            away = shapely.distance(ring, shapely.points(places)) * np.where(inside, -1.0, 1.0)
            clock = np.degrees(np.arctan2(side, depth - depth_of_middle)) - shape.off
            share = np.clip(np.cos(np.radians(clock)) / 0.4 - 0.75, 0.0, 1.0)  # none to the sides
            z -= OFF_PER_CENT / 100.0 * np.clip(away + 2.0, 0.0, 10.0) * share
        return z

    return at


def front_of(hole):
    """Where the line of play first meets the green."""
    met = shapely.intersection(shapely.LineString(hole.line), hole.green.exterior)
    return min(shapely.get_coordinates(met), key=lambda q: q @ hole.unit)


def soft(x, width):
    """Zero below, x above, rounded over a width."""
    return width * np.logaddexp(0.0, 4.0 * x / width) / 4.0
