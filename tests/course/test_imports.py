"""Reading the demo world is quick because it loads little, and what needs no reading loads still less."""

import subprocess
import sys

from strategy.demofiles import demo

SLOW = {"scipy", "numba", "geopandas", "pandas", "pyogrio", "osmium", "rasterio", "matplotlib"}
READING = """
import sys
from strategy import read_course, read_player, read_week
for read, path in zip((read_course, read_player, read_week), sys.argv[1:], strict=True):
    read(path)
print(*sys.modules)
"""
MODELS = """
import sys
import strategy.course.maps.canopy, strategy.course.maps.heights, strategy.course.propose
from strategy.player import Player
from strategy.week import Week, wind_for
print(*sys.modules)
"""


def loaded_by(program, *args):
    command = [sys.executable, "-c", program, *map(str, args)]
    done = subprocess.run(command, check=True, capture_output=True, encoding="utf-8")
    return set(done.stdout.split())


def test_course_player_and_week_are_read_without_slow_imports():
    loaded = loaded_by(READING, *demo())
    assert {"shapely", "pyproj", "pydantic"} <= loaded
    assert SLOW & loaded == {"rasterio"}  # of the height model; without one nothing slow is loaded


def test_a_course_without_a_height_model_is_read_without_rasterio(tmp_path):
    files = demo()
    outlines = (files.course / "course.geojson").read_text(encoding="utf-8")
    (tmp_path / "course.geojson").write_text(outlines, encoding="utf-8")
    loaded = loaded_by(READING, tmp_path, files.player, files.week)
    assert not SLOW & loaded


def test_models_and_maps_which_workers_get_ready_made_load_no_reader():
    loaded = loaded_by(MODELS)
    assert {"shapely", "strategy.player.model", "strategy.week.model"} <= loaded
    assert not (SLOW | {"pydantic", "pyproj", "strategy.tomlfile"}) & loaded
