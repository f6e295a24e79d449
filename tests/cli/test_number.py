"""`course-strategy number`, run as a caddie runs it: what is printed, and how a slip ends."""

from __future__ import annotations

import re

import pytest
from click.testing import CliRunner

from strategy.cli.main import main
from strategy.demofiles import demo
from strategy.units import YARD_M

COURSE, PLAYER, WEEK = (str(path) for path in demo())
ON_COURSE = ["--course", COURSE, "--week", WEEK]


def run(*args, code=0):
    result = CliRunner().invoke(main, ["number", PLAYER, *map(str, args)])
    assert result.exit_code == code, result.output
    return result


def ladder(text):
    """The printed lines as numbers."""
    lines = text[text.index("\nfront ") + 1 :].split("\n\n")[0].splitlines()
    found = [re.match(r"(.+?)  +([-+]?\d+)", line).groups() for line in lines]
    return {name.partition(":")[0]: int(value) for name, value in found}


def adds_up(said):
    on = said["front"] + said["on"] + said.get("off the line", 0)
    rest = sum(v for k, v in said.items() if k not in ("front", "on", "off the line", "hole", "playing"))
    return on == said["hole"] and said["hole"] + rest == said["playing"]


@pytest.mark.parametrize(
    "args",
    [
        ["--front", 142, "--on", 11, "--wind", "12 mph from left"],
        ["--front", 142],
        ["--front", 171, "--on", 8, "--wind", "9 mph into off the right", "--up", 4, "--temperature", "48 F"],
        ["--front", 130, "--on", 10, "--units", "metres", "--down", "12 ft", "--lie", "first cut"],
        ["--front", 160, "--on", 4, "--firmness", "7-iron released 9 paces", "--height", "5000 ft"],
        ["--front", 66, "--on", 12, "--wind", "15 mph from 7 o'clock", "--stimp", 13],
        [*ON_COURSE, "--hole", 4, "--from", "tee", "--round", 2],
        [*ON_COURSE, "--hole", 7, "--from", "142 front", "--lie", "jumper", "--units", "metres"],
    ],
)
def test_the_printed_lines_add_up(args):
    result = run(*args)
    assert adds_up(ladder(result.stdout))
    assert "Rule 4.3" in " ".join(result.stdout.split())
    assert result.stderr == ""


def test_plain_numbers_print_every_cause_on_its_own_line():
    out = run("--front", 142, "--on", 11, "--wind", "12 mph from left", "--up", 4, "--lie", "rough").stdout
    said = ladder(out)
    assert list(said) == ["front", "on", "hole", "land short, for the run", "wind", "height", "air", "lie",
                          "playing"]  # fmt: skip
    assert (said["front"], said["on"], said["hole"]) == (142, 11, 153)
    for words in (
        "wind: 12 mph from the left",
        "height: 4 up",
        "lie: good rough",
        "If it jumps it is playing",
    ):
        assert words in out
    assert re.search(r"\d+ (?:long|short), \d+ right|pin high, \d+ right", out)


def test_what_is_not_given_is_taken_for_granted_and_said():
    out = " ".join(run("--front", 142, "--on", 11).stdout.split())
    assert "Taken for granted: calm; ball and hole level; the air that the carries were measured in;" in out
    assert "firmness of the greens taken as normal" in out
    said = ["--up", 0, "--temperature", "70 F", "--height", "0 ft", "--stimp", 11, "--lie", "fairway"]
    said += ["--front", 142, "--on", 11, "--firmness", "7-iron released 4 paces"]
    full = run(*said, "--wind", "3 mph into").stdout
    assert "Taken for granted: the wind is that of a forecast, in the open." in " ".join(full.split())
    assert "Taken for granted" not in run(*said, "--wind", "calm").stdout


def test_yards_and_metres_agree():
    given = ["--wind", "8 mph into", "--up", "3 m"]
    yards = ladder(run("--front", 142, "--on", 11, *given).stdout)
    metres = ladder(
        run("--front", f"{142 * YARD_M} m", "--on", "10.06 m", *given, "--units", "metres").stdout
    )
    bare = ladder(run("--front", 142 * YARD_M, "--on", 11 * YARD_M, *given, "--units", "metres").stdout)
    assert metres == bare
    for name, value in yards.items():
        assert metres[name] == pytest.approx(value * YARD_M, abs=1.0)


@pytest.mark.parametrize(
    ("args", "said"),
    [
        ([], "nothing to work from. Give --front and --on, or --course"),
        (["--on", 11], "nothing to work from"),
        (["--front", -3], "--front: -3 yd is negative. Give the front as it lies ahead"),
        (["--front", 1500], "--front: 1500 is not between 1 and 400 yd; has a digit slipped (150)?"),
        (["--front", 426], "is it in feet (142)?"),
        (["--front", "far"], '--front: is "far", not a number with its unit.'),
        (["--front", 142, "--on", 153], "153 is not between 0 and 60 yd; is it the number to the hole"),
        (["--front", 142, "--on", -2], "--on: -2 yd is negative."),
        (["--front", 142, "--wind", "400 mph from left"], "400 is not between 0 and 80 mph; has a digit"),
        (["--front", 142, "--wind", "12 from left"], 'Did you mean "12 mph from left"?'),
        (["--front", 142, "--stimp", 40], "--stimp: 40 is not between 6 and 16 ft; is it in metres"),
        (["--front", 142, "--pressure", "29.9 hPa"], 'between 550 and 1090 hPa; is it "inHg"'),
        (["--front", 142, "--pressure", "1013 hPa", "--height", "5000 ft"], "sea-level pressure"),
        (["--front", 142, "--temperature", "90 C"], '90 is not between -10 and 50 C; is it "F"'),
        (["--front", 142, "--height", 5000], '--height: is "5000", without a unit.'),
        (["--front", 142, "--up", 4, "--down", 3], "Give one of them."),
        (["--front", 142, "--up", -4], "Turn it round: up is above the ball"),
        (["--front", 142, "--firmness", "very firm"], '--firmness: is "very firm", which says no run.'),
        (["--front", 142, "--firmness", "7i released 4 paces"], 'has no 7i. Did you mean "7-iron"?'),
        (["--front", 142, "--lie", "mud"], "lie 'mud' is unknown"),
        (["--front", 380], "A number is for a shot at the hole"),
        ([*ON_COURSE, "--hole", 7], "--course, --week and --hole: of a course, but --from not given"),
        ([*ON_COURSE, "--hole", 7, "--from", "tee", "--wind", "3 mph into"], "--wind: plain numbers, but"),
        ([*ON_COURSE, "--hole", 77, "--from", "tee"], "77"),
        ([*ON_COURSE, "--hole", 7, "--from", "there"], "is no place to play from"),
        ([*ON_COURSE, "--hole", 7, "--from", "tee", "--pin", "80 on, centre"], "the green is"),
    ],
)  # fmt: skip
def test_a_slip_is_told_plainly_and_ends_with_2(args, said):
    result = run(*args, code=2)
    assert said in result.stderr
    assert "Traceback" not in result.output
    assert result.stdout == ""
