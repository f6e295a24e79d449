"""Numbers of a hole against what is worked out by hand on squared paper."""

from math import hypot

import pytest
from click.testing import CliRunner

from strategy.cli.main import main
from strategy.columns import as_wide_as
from strategy.course import edges
from strategy.course.numbers import default_widths, hole_numbers
from strategy.course.origin import Origin
from strategy.errors import RequestError
from strategy.report.words.numbers_text import numbers_text
from strategy.units import YARD_M


def yd(number):
    return number.value_m / YARD_M


@pytest.fixture
def back(paper):
    hole = paper.hole()
    return hole_numbers(hole, widths=default_widths(hole)).sources[0]


def test_to_reach_and_to_carry_from_the_back_tee(back):
    """Corners by Pythagoras; what lies across counts where the line of play meets it."""
    expected = {
        "near right bunker": (hypot(18, 230), hypot(28, 240)),
        "left bunker": (hypot(20, 250), hypot(30, 260)),
        "far right bunker": (hypot(18, 280), hypot(28, 295)),
        "water": (373, 379),
    }
    assert [row.name for row in back.features] == list(expected)
    for row in back.features:
        near, far = expected[row.name]
        assert yd(row.reach) == pytest.approx(near, abs=0.02)
        assert yd(row.carry) == pytest.approx(far, abs=0.02)
        assert row.reach.origin == row.carry.origin == Origin.TRACED


def test_green_run_out_and_widths(back, paper):
    assert [yd(n) for n in (back.front, back.middle, back.back)] == pytest.approx([385, 400, 415], abs=0.02)
    assert [(name, pytest.approx(yd(n), abs=0.02)) for name, n in back.run_out] == [("run-out", 370)]
    assert [w.at_m / YARD_M for w in back.widths] == pytest.approx([220, 240, 260, 280, 300, 320])
    for width in back.widths:
        sides = (width.width_m, width.left_m, width.right_m)
        assert [v / YARD_M for v in sides] == pytest.approx([30, 15, 15], abs=0.02)
    said = hole_numbers(paper.hole())
    assert yd(said.depth) == pytest.approx(30, abs=0.02)
    assert yd(said.width) == pytest.approx(30, abs=0.02)


def test_every_tee_has_its_own(paper):
    said = hole_numbers(paper.hole())
    assert [s.name for s in said.sources] == ["back tee", "forward tee"]
    forward = said.sources[1]
    assert yd(forward.front) == pytest.approx(345, abs=0.02)
    assert yd(forward.features[1].reach) == pytest.approx(hypot(20, 210), abs=0.02)


def test_from_a_landmark_only_what_lies_ahead(paper):
    """143 to the front and 8 left of the line is (-8, 242): the near right bunker lies behind."""
    hole = paper.hole("7,landmark,head,143,published,8 left\n")
    assert paper.at(hole, hole.landmarks[0].xy) == pytest.approx((-8, 242), abs=0.02)
    source = hole_numbers(hole).sources[-1]
    assert source.name == "head"
    assert (yd(source.front), source.front.origin) == (pytest.approx(143), Origin.PUBLISHED)
    names = [row.name for row in source.features]
    assert names == ["left bunker", "far right bunker", "water"]
    assert yd(source.features[0].reach) == pytest.approx(hypot(12, 8), abs=0.02)
    assert yd(source.features[1].carry) == pytest.approx(hypot(36, 53), abs=0.02)
    assert yd(source.middle) == pytest.approx(hypot(8, 158), abs=0.02)


def test_green_on_the_line_of_the_hole(paper):
    """At 15 on the round green of radius 15 is 30 wide; 6 from the left is 9 left of the middle, and its
    own line is 24 deep, 12 either side of the middle."""
    said = hole_numbers(paper.hole(), pin="15 on, 6 from the left")
    # The drawn green has 48 corners: its edge lies up to 0.04 inside the circle.
    assert yd(said.pin_width) == pytest.approx(30, abs=0.05)
    assert yd(said.pin_depth) == pytest.approx(24, abs=0.1)
    assert yd(said.pin_on) == pytest.approx(12, abs=0.05)
    pin = said.sources[0].pin
    assert yd(pin.hole) == pytest.approx(hypot(9, 400), abs=0.02)
    assert yd(pin.front) == pytest.approx(hypot(9, 388), abs=0.05)
    assert yd(pin.back) == pytest.approx(hypot(9, 412), abs=0.05)


def test_from_a_start_that_is_only_assumed_every_number_is_assumed(new_sketch, tmp_path):
    pad = new_sketch()
    pad.line([(0, 0), (0, 300)], golf="hole", ref="1", par="4")
    pad.disc(0, 300, 14, golf="green")
    pad.box(10, 200, 20, 210, golf="bunker")
    from strategy.course import read_course

    hole = read_course(pad.write(tmp_path / "one.geojson")).hole("1")
    source = hole_numbers(hole).sources[0]
    numbers = [source.front, source.middle, source.back, source.features[0].reach, source.features[0].carry]
    assert {n.origin for n in numbers} == {Origin.ASSUMED}


def test_past_a_turn_the_fairway_straight_on(new_sketch, tmp_path):
    """First leg 200 north, then east; the fairway goes on to 230 north behind the corner."""
    from strategy.course import read_course

    pad = new_sketch()
    pad.line([(0, 0), (0, 200), (150, 200)], golf="hole", ref="1", par="4")
    pad.box(-4, -4, 4, 4, golf="tee")
    pad.disc(150, 200, 12, golf="green")
    pad.box(-15, 50, 100, 230, golf="fairway")
    hole = read_course(pad.write(tmp_path / "one.geojson")).hole("1")
    runs = dict(hole_numbers(hole).sources[0].run_out)
    assert runs["straight on"].value_m == pytest.approx(230, abs=0.02)
    assert runs["run-out"].value_m == pytest.approx(hypot(100, 200), abs=0.02)


def test_a_par_3_has_no_run_out_and_no_widths(new_sketch, tmp_path):
    from strategy.course import read_course

    pad = new_sketch()
    pad.hole("1", length=150, par="3")
    pad.box(-10, 40, 10, 80, golf="fairway")
    hole = read_course(pad.write(tmp_path / "one.geojson")).hole("1")
    assert default_widths(hole) == []
    assert hole_numbers(hole).sources[0].run_out == ()


def test_the_text_fits_80_columns_and_says_every_origin(paper):
    hole = paper.hole(
        "7,tee,carry left bunker,265,paced by J\n"
        "7,tee,reach far right bunker,300,paced\n"
        "7,landmark,the sprinkler head beside the old pump house on the right,143,published\n"
    )
    with as_wide_as(80):
        text = numbers_text(hole_numbers(hole, pin="15 on, 6 from the left", widths=[("", 256.0)]))
    assert max(map(len, text.splitlines())) <= 80
    assert "  left bunker                           251 traced        265 paced\n" in text
    assert "  hole                                  400 traced\n" in text
    assert "Questions from the walk\n  reach far right bunker 300 from back tee (paced): " in text


def test_metres(paper):
    text = numbers_text(hole_numbers(paper.hole()), metres=True)
    assert text.startswith("Hole 7, par 4, Paper  (metres)\nGreen: 27 deep (traced), 27 wide (traced)\n")
    assert "  front                                 352 traced\n" in text  # 385 yd


def run(*words):
    return CliRunner().invoke(main, ["numbers", *map(str, words)])


def test_command(paper):
    paper.read()
    done = run(paper.folder, "--hole", "7", "--tee", "forward", "--width", "240")
    assert done.exit_code == 0, done.output
    assert "From the forward tee" in done.output
    assert "back tee" not in done.output
    assert "  fairway width at 240                   30 traced        15 left, 15 right" in done.output


WEEK = """\
name = "Week"
[[rounds]]
number = 1
[rounds.holes.7]
location = "15 on, 6 from the left"
tee = "forward"
up = 5
"""


def test_command_with_a_week_and_a_player(paper, tmp_path):
    from strategy.demofiles import demo

    paper.read()
    week = tmp_path / "week.toml"
    week.write_text(WEEK, encoding="utf-8")
    done = run(paper.folder, "--week", week, "--player", demo().player)
    assert done.exit_code == 0, done.output
    assert "From the forward tee in round 1, 5 yd up" in done.output
    assert "  front                                 340 traced" in done.output  # 385 - 45
    assert "  length, along the line of play        355 traced" in done.output  # 400 - 45
    assert "Hole location 15 on, 6 from the left" in done.output
    assert "  fairway at " in done.output


def test_the_size_of_the_green_and_the_hole_do_not_change_with_the_place_one_looks_from(new_sketch, tmp_path):
    """A par 3 with a tee far off its line: the green is as deep and the hole where it is from both."""
    from strategy.course import read_course

    pad = new_sketch()
    pad.line([(0, 0), (0, 150)], golf="hole", ref="1", par="3")
    pad.box(-4, -4, 4, 4, golf="tee", ref="1", name="back")
    pad.box(66, 56, 74, 64, golf="tee", ref="1", name="forward")
    pad.box(-8, 135, 8, 165, golf="green")
    hole = read_course(pad.write(tmp_path / "one.geojson")).hole("1")
    given = {"pin": "10 on, 5 from the left", "widths": []}
    back, forward = (hole_numbers(hole, sources=[tee], **given) for tee in hole.tees)
    assert (back.depth, back.width) == (forward.depth, forward.width)
    assert back.depth.value_m == pytest.approx(30, abs=0.1)
    assert (back.pin_on, back.pin_depth) == (forward.pin_on, forward.pin_depth)
    across = hypot(70 + 8 - 5 * YARD_M, 135 + 10 * YARD_M - 60)
    assert forward.sources[0].pin.hole.value_m == pytest.approx(across, abs=0.3)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--hole", "8"), "has no hole '8'; its holes are 7"),
        (("--hole", "7", "--tee", "gold"), "has no tee or landmark 'gold'; it has tee, back, forward"),
        (("--hole", "7", "--pin", "90 on, centre"), "the green is 30 yd deep"),
        (("--pin", "9 on, centre"), "Name it with --hole"),
        (("--hole", "7", "--pin", "9 on, centre", "--week", "w.toml"), "Give one of them"),
    ],
)
def test_command_faults(paper, words, said):
    paper.read()
    done = run(paper.folder, *words)
    assert done.exit_code == 2
    assert said in done.output


def test_a_place_by_its_name(paper):
    hole = paper.hole("7,landmark,Old Oak,143,paced\n")
    assert edges.place_of(hole, "the old oak").name == "Old Oak"
    assert edges.place_of(hole, "Tee").name == "back"
    assert edges.place_of(hole, "forward tee").name == "forward"
    with pytest.raises(RequestError, match="it has tee, back, forward, Old Oak"):
        edges.place_of(hole, "new oak")
