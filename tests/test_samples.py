"""Every kind of file that a user may write has a commented sample, README names it, and it reads."""

import json
import re
import shutil
import tomllib
from pathlib import Path

import numpy as np
import pytest

from strategy.course import read_course
from strategy.course.measured.measurements import read_measurements
from strategy.course.model import FindingKind
from strategy.course.origin import Origin
from strategy.course.readers.notes import read_notes
from strategy.demofiles import demo, sample

ROOT = Path(__file__).resolve().parent.parent
SAMPLES = ROOT / "courses" / "samples"
README = (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.fixture
def folder(tmp_path):
    """The demo course's outlines, to which samples are added."""
    shutil.copy(demo().course / "course.geojson", tmp_path)
    return tmp_path


def raster(path, value):
    """A raster over the demo course with one value everywhere."""
    import rasterio
    from rasterio.transform import from_origin

    profile = {"driver": "GTiff", "width": 60, "height": 40, "count": 1, "dtype": "float32"}
    place = from_origin(3.37, 55.92, 0.001, 0.001)
    with rasterio.open(path, "w", crs="EPSG:4326", transform=place, **profile) as file:
        file.write(np.full((40, 60), value, dtype=np.float32), 1)


def questions(course):
    said = (*course.findings, *(f for hole in course.holes for f in hole.findings))
    return [f.text for f in said if f.kind is FindingKind.QUESTION]


@pytest.mark.parametrize("name", sorted(p.name for p in SAMPLES.iterdir()))
def test_every_sample_is_commented_and_named_by_readme(name):
    assert f"courses/samples/{name}" in README
    assert sample(name).read_text(encoding="utf-8").startswith("# ")


def test_the_sample_of_course_toml_shows_every_key():
    notes = read_notes(sample("course.toml"))
    shown = set(type(notes).model_fields)
    assert notes.model_fields_set == shown
    for entries in (notes.out_of_bounds, notes.drop_zones, notes.tees, notes.sight_marks):
        assert entries[0].model_fields_set == set(type(entries[0]).model_fields)
    assert {key for n in notes.landmarks for key in n.model_fields_set} >= {"hole", "name", "front", "side"}


def test_the_sample_of_course_toml_goes_with_the_demo_course(folder):
    shutil.copy(sample("course.toml"), folder)
    raster(folder / "ground.tif", 20.0)
    raster(folder / "canopy.tif", 14.0)
    course = read_course(folder)
    assert questions(course) == []
    unasked = [f.text for f in course.findings if "there is no question" in f.text]
    assert len(unasked) == len(tomllib.loads(sample("course.toml").read_text(encoding="utf-8"))["answers"])
    hole = course.hole("4")
    assert "winter" in [tee.name for tee in hole.tees]
    assert hole.sketch.text.startswith("2 % back to front; false front 5 on; tier at 18 on")
    assert [mark.name for mark in course.hole("13").landmarks] == ["sprinkler head by the path"]
    assert [o.name for h in course.holes for o in h.obstructions][:1] == ["grandstand"]


def test_the_sample_of_measurements_goes_with_it_too(folder):
    shutil.copy(sample("course.toml"), folder)
    text = re.sub(r"(?ms)^\[(canopy|heights)\].*?^(?=\[)", "", (folder / "course.toml").read_text())
    assert not {"canopy", "heights"} & set(tomllib.loads(text))
    (folder / "course.toml").write_text(text)
    shutil.copy(sample("measurements.csv"), folder)
    course = read_course(folder)
    rows = read_measurements(folder / "measurements.csv")
    assert {row.target.kind for row in rows} == {"reach", "carry", "run-out", "width", "landmark", "depth"}
    assert {row.origin for row in rows} == {Origin.SURVEYED, Origin.PACED, Origin.PUBLISHED}
    assert questions(course) == []
    walked = [m for label in ("2", "13") for m in course.hole(label).measurements]
    assert [m.line for m in walked if m.counts] == [r.line for r in rows if r.target.kind != "landmark"]


def test_the_answers_of_the_sample_answer(folder):
    """Without its 9th hole the demo course asks what the sample answers."""
    outlines = json.loads((folder / "course.geojson").read_text(encoding="utf-8"))
    outlines["features"] = [f for f in outlines["features"] if f["id"] != "line-9"]
    (folder / "course.geojson").write_text(json.dumps(outlines), encoding="utf-8")
    asked = [text for text in questions(read_course(folder)) if text.startswith("17 holes, but 9 is missing")]
    assert len(asked) == 1
    text = sample("course.toml").read_text(encoding="utf-8")
    answers = text[text.index("[answers]") : text.index("[holes.4]")]
    (folder / "course.toml").write_text(answers, encoding="utf-8")
    course = read_course(folder)
    assert not [text for text in questions(course) if text.startswith("17 holes")]
    assert f"{asked[0]}. You: the 9th is closed this year" in [f.text for f in course.findings]
