"""course.toml: what it adds, and every fault of it named at once."""

import re
from pathlib import Path

import pytest

from strategy.codes import Surface
from strategy.course import read_course
from strategy.course.readers.notes import read_notes
from strategy.demofiles import demo
from strategy.errors import CourseError, InputErrors
from strategy.units import metres


@pytest.fixture
def links(tmp_path, sketch):
    """A folder with one hole; returns a function that writes course.toml and reads the course."""
    folder = tmp_path / "west_links"
    folder.mkdir()
    sketch.hole("4", length=metres(180), par="3")
    sketch.disc(25, 150, 8, "way/12", golf="lateral_water_hazard")
    sketch.box(-40, 100, -30, 150, "way/40", natural="wood")
    sketch.write(folder / "course.geojson")

    def read(text):
        (folder / "course.toml").write_text(text, encoding="utf-8")
        return read_course(folder)

    return read


def test_the_ways_to_give_heights_shown_in_the_demo_course_are_read_once_they_are_uncommented(tmp_path):
    text = (demo().course / "course.toml").read_text(encoding="utf-8")
    shown = re.sub(r"(?m)^# (\[|\w+ = )", r"\1", text)
    path = tmp_path / "course.toml"
    path.write_text(shown, encoding="utf-8")
    plain, notes = read_notes(demo().course / "course.toml"), read_notes(path)
    assert (plain.heights.file, plain.heights.units, plain.heights.error) == ("ground.tif", None, 0.1)
    assert plain.holes["9"].green.false_front is None
    assert (notes.heights.file, notes.heights.units, notes.heights.error) == ("ground.tif", "metres", 0.1)
    green = notes.holes["9"].green
    assert (green.false_front, green.fall, green.run_offs) == (5, "2 % back to front", ("back",))
    assert green.tier[0].on == 16


def test_what_it_says_beats_the_outlines(links, sketch):
    at = [round(float(v), 8) for v in sketch.frame.to_lonlat([(0, 20)])[0]]
    course = links(
        f"""
        name = "West Links"
        credit = "Drawn by hand"
        [penalty_areas]
        "way/12" = "yellow"
        [tree_heights]
        default = 15
        [[tees]]
        hole = 4
        name = "middle"
        at = {at}
        [[drop_zones]]
        hole = "4"
        at = {at}
        [[sight_marks]]
        hole = "4"
        name = "chimney"
        at = {at}
        [holes.4]
        par = 4
        name = "Quarry"
        notes = ["wind swirls"]
        """
    )
    hole = course.hole("4")
    assert (course.name, course.credit) == ("West Links", "Drawn by hand")
    assert (hole.par, hole.name, hole.notes) == (4, "Quarry", ("wind swirls",))
    assert [t.name for t in hole.tees] == ["back", "middle"]
    assert hole.tees[1].xy[1] - hole.tees[0].xy[1] == pytest.approx(20, abs=0.01)
    assert hole.drop_zones[0][0] == "drop zone"
    assert hole.sight_marks[0][0] == "chimney"
    assert next(a.surface for a in hole.areas if a.fid == "way/12") == Surface.YELLOW
    assert next(a.height_m for a in hole.areas if a.fid == "way/40") == pytest.approx(metres(15))
    assert not any("without a height" in f.text for f in course.findings)
    assert len(course.files) == 2


def test_without_it_the_folder_gives_the_name(tmp_path, sketch):
    folder = tmp_path / "west_links"
    folder.mkdir()
    sketch.hole("1")
    sketch.write(folder / "course.geojson")
    assert read_course(folder).name == "west links"
    assert read_course(folder / "course.geojson").name == "course"


def test_every_fault_is_named_at_once_with_key_and_value(links):
    with pytest.raises(InputErrors) as caught:
        links(
            """
            nome = "x"
            units = "feet"
            [penalty_areas]
            "way/12" = "blue"
            [[tees]]
            name = "middle"
            at = [2.0]
            [[tees]]
            hole = "4"
            at = "here"
            [tree_heights]
            "way/40" = -3
            [holes.4]
            par = 1
            """
        )
    said = str(caught.value).splitlines()
    for fault in (
        'nome: is no key of this table. Did you mean "name"?',
        'units: is "feet", not "yards" or "metres"',
        'penalty_areas."way/12": is "blue", not "yellow" or "red"',
        "tees[1] (middle).hole: is missing",
        "tees[1] (middle).at: is [2.0], no longitude and latitude",
        'tees[2].at: is "here", no longitude and latitude',
        'tree_heights."way/40": is -3',
        "holes.4.par: is 1, too low. Write a number at least 3",
    ):
        assert any(fault in line and "course.toml" in line for line in said), fault
    assert len(said) == 8


def test_faults_against_the_outlines_stand_beside_those_of_the_file(links, sketch):
    far = [round(float(v), 6) for v in sketch.frame.to_lonlat([(1700, 20)])[0]]
    here = [round(float(v), 6) for v in sketch.frame.to_lonlat([(0, 20)])[0]]
    with pytest.raises(InputErrors) as caught:
        links(
            f"""
            unit = "yards"
            [[drop_zones]]
            hole = "4"
            name = "drop zone"
            at = {far}
            [[tees]]
            hole = 44
            at = {here}
            [[tees]]
            hole = 4
            at = {here[::-1]}
            [tree_heights]
            "way/41" = 12
            default = 80
            [holes.5]
            par = 3
            """
        )
    said = [str(fault).split("course.toml: ")[1] for fault in caught.value.faults]
    mend = "Correct its longitude and latitude, or its hole."
    by_id = "Give the id of a feature as the outlines have it, or take it out."
    swap = f"Swap the two numbers: longitude comes first, {here}."
    assert said == [
        'unit: is no key of this table. Did you mean "units"?',
        'tree_heights.default: is 80, 73 m. It looks like feet: write "80 ft" (24 m).',
        f"drop_zones[1] (drop zone).at: is {far}, 1859 yd from the line of play of hole 4. {mend}",
        "tees[1].hole: there is no hole '44'. The holes are 4.",
        f"tees[2].at: is {here[::-1]}, over 200 miles from the line of play of hole 4. {swap}",
        f"tree_heights.\"way/41\": there is no feature 'way/41'. {by_id}",
        "holes.5: there is no hole '5'. The holes are 4.",
    ]


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ('name = "West', "is not TOML"),
        (
            "[[tees]]\nhole = 4\nat = [54.5, 200.0]\n",
            "tees[1].at: is [54.5, 200.0], no longitude and latitude",
        ),
        ("[[tees]]\nhole = 4\nat = [nan, 2.0]\n", "tees[1].at: is [nan, 2.0]"),
        ("[holes.5]\npar = 3\n", "holes.5: there is no hole '5'. The holes are 4"),
        ("[[drop_zones]]\nhole = 9\nat = [2, 54]\n", "drop_zones[1].hole: there is no hole '9'"),
        ("[[sight_marks]]\nhole = 4\nat = [2, 57]\n", "sight_marks[1].at: is [2, 57], 173 miles from"),
        (
            '[[out_of_bounds]]\nfeature = "way/99"\n',
            "out_of_bounds[1] (way/99).feature: there is no feature 'way/99'",
        ),
        (
            '[[out_of_bounds]]\nfeature = "way/12"\nout = "up"\n',
            'out_of_bounds[1] (way/12).out: is "up", not "left"',
        ),
        ('[penalty_areas]\n"way/77" = "red"\n', "penalty_areas.\"way/77\": there is no feature 'way/77'"),
        ("zzz = 3\n", "samples/course.toml shows every key"),
    ],
)
def test_faults(links, text, wrong):
    with pytest.raises((CourseError, InputErrors)) as caught:
        links(text)
    assert wrong in str(caught.value)


def test_the_sample_that_a_fault_points_to_is_there(links):
    with pytest.raises(InputErrors) as caught:
        links("zzz = 3\n")
    named = re.search(r"(\S+) shows every key", str(caught.value))[1]
    assert "drop_zones" in Path(named).read_text(encoding="utf-8")


def test_a_fault_of_the_outlines_hides_no_fault_of_course_toml(tmp_path):
    (tmp_path / "course.geojson").write_text('{"type": "FeatureCollection", "features": []}')
    (tmp_path / "course.toml").write_text("nome = 3\n")
    with pytest.raises(InputErrors) as caught:
        read_course(tmp_path)
    assert [Path(fault.file).name for fault in caught.value.faults] == ["course.toml", "course.geojson"]


def test_text_in_another_encoding_is_refused(tmp_path):
    path = tmp_path / "course.toml"
    path.write_bytes('name = "Grün"'.encode("latin-1"))
    with pytest.raises(CourseError, match="is not UTF-8 text"):
        read_notes(path)


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        ('[penalty_areas]\n"way/40" = "red"\n', "penalty_areas: way/40 (natural=wood) is no penalty area"),
        ('[tree_heights]\n"way/12" = 9\n', "tree_heights: way/12 (golf=lateral_water_hazard) is no wood"),
        ('[tree_branches]\n"way/12" = 2\n', "tree_branches: way/12 (golf=lateral_water_hazard) is no wood"),
    ],
)
def test_what_is_said_of_the_wrong_kind_of_feature_is_asked_about(links, texts, text, asked):
    assert asked in texts(links(text))
