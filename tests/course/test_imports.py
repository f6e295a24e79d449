"""Reading the demo world is quick because it loads little."""

import subprocess
import sys

from strategy.demofiles import demo

SLOW = {"scipy", "numba", "geopandas", "pandas", "pyogrio", "osmium", "rasterio", "matplotlib"}
PROGRAM = """
import sys
from strategy import read_course, read_player, read_week
for read, path in zip((read_course, read_player, read_week), sys.argv[1:], strict=True):
    read(path)
print(*sys.modules)
"""


def test_course_player_and_week_are_read_without_slow_imports():
    command = [sys.executable, "-c", PROGRAM, *map(str, demo())]
    done = subprocess.run(command, check=True, capture_output=True, encoding="utf-8")
    loaded = set(done.stdout.split())
    assert {"shapely", "pyproj", "pydantic"} <= loaded
    assert not SLOW & loaded
