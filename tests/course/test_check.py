"""What `check` says of a course: found, stated against measured, and what to do first."""

import pytest
from click.testing import CliRunner

from strategy.cli.main import main
from strategy.course.check import check_course
from strategy.course.stated import parse_length
from strategy.units import yards


@pytest.fixture
def check(tmp_path):
    return lambda drawn: check_course(drawn.write(tmp_path / "links.geojson"))


def test_what_a_hole_has_of_its_own(sketch, check):
    sketch.hole("1", length=360, name="Out")
    sketch.box(-15, 120, 15, 330, golf="fairway")
    sketch.disc(25, 210, 6, golf="bunker")
    sketch.disc(30, 330, 6, golf="bunker")
    sketch.disc(-30, 200, 8, natural="water")
    sketch.hole("2", x=60, length=360)  # its tee, green and fairway are no fairways of hole 1
    sketch.box(45, 120, 75, 330, golf="fairway")
    one = check(sketch).holes[0]
    assert dict(one.contents) == {"tees": 1, "fairways": 1, "bunkers": 2, "penalty areas": 1}
    assert one.green_m == pytest.approx((28, 28), abs=0.2)
    assert one.length_m == pytest.approx(360, abs=0.1)


@pytest.mark.parametrize(
    ("text", "in_yards", "agrees"),
    [
        ("360", False, True),
        (f"{yards(360):.0f}", True, True),
        (f"{yards(360):.0f} yd", False, True),
        ("372 m", False, True),
        ("420", False, False),
    ],
)
def test_a_stated_length_beside_the_line(sketch, check, text, in_yards, agrees):
    sketch.hole("1", length=360, dist=text)
    (length,) = check(sketch).holes[0].lengths
    assert (length.in_yards, length.agrees) == (in_yards, agrees)


def test_a_length_by_tee_is_measured_from_that_tee(sketch, check):
    sketch.line(
        [(0, 0), (0, 400)], golf="hole", ref="1", par="4", **{"dist:white": "360", "dist:blue": "400"}
    )
    sketch.box(-4, -4, 4, 4, golf="tee", tee="black")
    sketch.box(-4, 36, 4, 44, golf="tee", tee="white")
    sketch.disc(0, 400, 14, golf="green")
    (length,) = check(sketch).holes[0].lengths
    assert length.text == "dist:white=360"
    assert length.measured_m == pytest.approx(360, abs=0.1)
    assert length.agrees


@pytest.mark.parametrize("text", ["about 400", "", "-5", "400 miles", "nan", "0"])
def test_a_length_that_cannot_be_read(text):
    assert parse_length(text) == (None, False)


def test_an_unreadable_length_is_asked_about(sketch, check, texts):
    sketch.hole("1", dist="long")
    assert "dist=long cannot be read as a length" in texts(check(sketch).holes[0])


def test_what_to_do_first_is_ranked(sketch, check):
    sketch.line([(0, 0), (0, 350)], golf="hole", ref="1", par="4")  # no tee, no green, no fairway
    sketch.hole("2", x=200, length=350)
    sketch.box(185, 120, 215, 330, golf="fairway")
    sketch.disc(230, 200, 8, natural="water")
    sketch.box(185, 20, 190, 30, natural="wood")
    first = check(sketch).todos
    assert [todo.text.split(",")[0] for todo in first][:6] == [
        "draw the green as an outline",
        "draw the tees",
        "draw the fairway",
        "walk out of bounds and draw it as golf=out_of_bounds; until then no ball is out of bounds",
        "say under [penalty_areas] which are yellow",
        "judge the trees within 27 yd of the line",
    ]
    assert [todo.holes for todo in first][:6] == [("1",), ("1",), ("1",), (), ("2",), ("2",)]


def test_numbers_to_pace_are_those_in_play_by_their_names(sketch, check):
    sketch.hole("1", length=380)
    sketch.box(-15, 120, 15, 350, golf="fairway")
    sketch.box(18, 210, 26, 222, golf="bunker")
    sketch.box(18, 60, 26, 72, golf="bunker")  # too near the tee
    sketch.box(48, 215, 56, 230, golf="bunker")  # too far off the line
    walk = check(sketch).holes[0].walk
    assert [(w.source, w.what) for w in walk][-1] == ("", "depth")
    assert len(walk) == 2
    assert walk[0].what.startswith("carry ")
    assert walk[0].traced_m == pytest.approx(222, abs=3)


def test_a_paced_number_is_not_asked_for_again(sketch, tmp_path):
    sketch.hole("1", length=380)
    sketch.box(-15, 120, 15, 350, golf="fairway")
    sketch.box(18, 210, 26, 222, golf="bunker")
    sketch.write(tmp_path / "course.geojson")
    (wanted, depth) = check_course(tmp_path).holes[0].walk
    (tmp_path / "measurements.csv").write_text(
        f"hole,from,what,yards,how\n1,{wanted.source},{wanted.what},{yards(wanted.traced_m):.0f},paced\n"
    )
    again = check_course(tmp_path).holes[0]
    assert [w.what for w in again.walk] == [depth.what]
    assert dict(again.contents)["numbers walked"] == 1


def test_the_command_says_it_in_words(sketch, tmp_path):
    sketch.hole("1", length=360, name="Out", dist=f"{yards(360):.0f}")
    sketch.hole("2", x=200, par=None)
    path = sketch.write(tmp_path / "links.geojson")
    run = CliRunner().invoke(main, ["check", str(path)])
    assert run.exit_code == 0, run.output
    for said in (
        "links: 2 holes, par 8",
        "First, in this order:",
        "Hole 1, Out: par 4, 394 yd from the back tee\n",
        "dist=394 taken for yards: 394 yd against 394 yd along the line",
        "is it in yards?",
        "Hole 2: par 4 (assumed), 383 yd from the back tee\n",
        "pace first depth",
    ):
        assert said in run.stdout
    assert max(map(len, run.stdout.replace(str(path), "").splitlines())) <= 96
    one = CliRunner().invoke(main, ["check", str(path), "--hole", "2", "--units", "metres"])
    assert "Hole 1" not in one.stdout
    assert "Hole 2: par 4 (assumed), 350 m" in one.stdout
    wrong = CliRunner().invoke(main, ["check", str(path), "--hole", "12"])
    assert wrong.exit_code == 2
    assert "its holes are 1, 2" in wrong.stderr


def test_what_was_not_used_is_listed_only_when_asked_for(sketch, tmp_path):
    sketch.hole("1")
    sketch.box(100, 100, 140, 130, amenity="school")
    path = str(sketch.write(tmp_path / "links.geojson"))
    short = CliRunner().invoke(main, ["check", path]).stdout
    assert "amenity=school" not in short
    assert "not used   1 kind of thing: --all names them" in short
    whole = CliRunner().invoke(main, ["check", path, "--all"]).stdout
    assert "ignored    amenity=school: not used (way/4)" in whole
    assert "--all" not in whole


@pytest.mark.parametrize(("tag", "meant"), [("bunkr", "bunker"), ("Fairway", "fairway"), ("tee_box", "tee")])
def test_a_golf_tag_that_is_misspelt_is_asked_about(sketch, check, texts, tag, meant):
    sketch.hole("1")
    sketch.disc(20, 200, 8, golf=tag)
    asked = f"question: way/4: golf={tag} is not known and not used: is golf={meant} meant?"
    assert asked in texts(check(sketch).course)


def test_the_real_course_in_both_forms(tara):
    one, other = (check_course(path) for path in tara)
    assert [h.contents for h in one.holes] == [h.contents for h in other.holes]
    for a, b in zip(one.holes, other.holes, strict=True):
        assert [(w.what, round(w.traced_m, 6)) for w in a.walk] == [
            (w.what, round(w.traced_m, 6)) for w in b.walk
        ]
    assert one.todos == other.todos
    assert all(dict(h.contents)["tees"] == 1 for h in one.holes)


def test_where_on_earth_it_lies_and_how_far_it_reaches(new_sketch, tmp_path, check):
    from strategy.course.frame import Frame

    drawn = new_sketch(Frame(-2.0, -54.5))
    drawn.hole("1", length=400)
    drawn.hole("2", x=500, length=300)
    found = check(drawn)
    assert found.reach_m == pytest.approx((528, 414), abs=0.5)
    lon, lat = drawn.frame.to_lonlat([(250, 207)])[0]
    assert found.lonlat == pytest.approx((lon, lat), abs=1e-5)
    said = CliRunner().invoke(main, ["check", str(tmp_path / "links.geojson"), "--units", "metres"]).stdout
    assert "It lies round 54.4981 south, 1.9961 west, and reaches 528 m west to east and 414 m" in said
