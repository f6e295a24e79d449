"""A hole on squared paper, in yards: every number of it can be worked out by hand.

::

        y
    415 .---.      green: round, 15 about (0, 400)
    385 '---'
    373-379 ~~~~~  water across, 60 either way
    370 +---+      fairway: x -15 to 15, y 100 to 370
        |   | o    far right bunker: x 18 to 28, y 280 to 295
      o |   |      left bunker: x -30 to -20, y 250 to 260
        |   | o    near right bunker: x 18 to 28, y 230 to 240
    100 +---+
      0   +        back tee at (0, 0), forward tee at (0, 40)
"""

from __future__ import annotations

from strategy.course import read_course
from strategy.units import YARD_M


def draw(sketch):
    """Put the hole on a sketch pad (metres)."""
    y = YARD_M
    sketch.line([(0, 0), (0, 400 * y)], "way/1", golf="hole", ref="7", par="4", name="Paper")
    sketch.box(-4 * y, -4 * y, 4 * y, 4 * y, "way/2", golf="tee", ref="7", name="back")
    sketch.box(-4 * y, 36 * y, 4 * y, 44 * y, "way/3", golf="tee", ref="7", name="forward")
    sketch.disc(0, 400 * y, 15 * y, "way/4", golf="green")
    sketch.box(-15 * y, 100 * y, 15 * y, 370 * y, "way/5", golf="fairway")
    sketch.box(18 * y, 230 * y, 28 * y, 240 * y, "way/6", golf="bunker")
    sketch.box(-30 * y, 250 * y, -20 * y, 260 * y, "way/7", golf="bunker")
    sketch.box(18 * y, 280 * y, 28 * y, 295 * y, "way/8", golf="bunker")
    sketch.box(-60 * y, 373 * y, 60 * y, 379 * y, "way/9", golf="water_hazard")
    return sketch


HEADER = "hole,from,what,yards,how,side\n"


class Paper:
    """The course folder of the hole; `read` writes measurements and notes and reads it all."""

    def __init__(self, folder, sketch):
        self.folder, self.sketch = folder, sketch

    def read(self, lines="", toml="", header=HEADER):
        self.sketch.write(self.folder / "course.geojson")
        rows = self.folder / "measurements.csv"
        rows.unlink(missing_ok=True)
        if lines:
            rows.write_text(header + lines, encoding="utf-8")
        (self.folder / "course.toml").write_text(toml, encoding="utf-8")
        return read_course(self.folder)

    def hole(self, lines="", toml=""):
        return self.read(lines, toml).hole("7")

    def at(self, hole, xy):
        """A place of the course frame in yards on the paper."""
        east, north = self.sketch.frame.to_xy(hole.frame.to_lonlat(xy))[0]
        return float(east) / YARD_M, float(north) / YARD_M
