"""Player files: carry alone is enough, handedness is applied once, and every fault is named at once."""

import pickle
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from strategy.codes import Lie
from strategy.demofiles import demo_folder
from strategy.errors import InputErrors, PlayerError
from strategy.player import read_player
from strategy.player.defaults import LIE_EFFECTS
from strategy.player.model import SlopeEffect
from strategy.reference.spread import landing_scatter
from strategy.units import INCH_M, YARD_M

HEAD = 'name = "Anyone"\nhand = "right"\n'
SEVEN = '[[shots]]\nclub = "7-iron"\ncarry = 172\n'


def read(tmp_path, text):
    path = Path(tmp_path) / "player.toml"
    path.write_text(text, encoding="utf-8")
    return read_player(path)


def named(tmp_path, text):
    """The faults of a file, each without the file's name."""
    with pytest.raises(InputErrors) as caught:
        read(tmp_path, text)
    assert all(type(fault) is PlayerError for fault in caught.value.faults)
    return [re.sub(r"^.*?player\.toml: ", "", str(fault)) for fault in caught.value.faults]


def test_carry_alone_is_enough(tmp_path):
    player = read(tmp_path, HEAD + SEVEN)
    (shot,) = player.practised
    assert (player.level, player.longest_club_m) == (70.0, pytest.approx(45.5 * INCH_M))
    assert shot.carry_m == pytest.approx(172 * YARD_M)
    assert (shot.spread.side_m, shot.spread.depth_m) == landing_scatter(172 * YARD_M, 70.0)
    assert (shot.spread.mishit_share, shot.spread.mishit_short, shot.spread.mishit_scale) == (0.04, 0.16, 2.5)
    assert (shot.spread.balls, shot.bend_m, shot.stock, shot.label) == (None, 0.0, True, "7-iron")
    assert shot.carry_least_m == pytest.approx(0.95 * shot.carry_m)
    assert shot.run_m["green"] == pytest.approx(4.5 * YARD_M)
    assert set(shot.assumed) == {"scatter", "dial-down", "run", "run scatter", "height", "lies"}
    assert shot.lies == frozenset(Lie) - {Lie.GREEN}


def test_what_is_stated_is_not_assumed(tmp_path):
    text = f"""{HEAD}{SEVEN}
        carry_least = 160
        side = 5
        depth = 6
        tilt = 0.2
        balls = 40
        bias_side = -1
        run = 8
        run_green = 3
        run_sd = 2
        apex = 30
        shape = "draw"
        curve = 6
        lies = ["fairway", "rough"]
    """
    shot = read(tmp_path, text).shots[0]
    assert shot.spread.side_m == pytest.approx(5 * YARD_M)
    assert (shot.spread.tilt, shot.spread.balls) == (0.2, 40)
    assert shot.spread.bias_side_m == pytest.approx(-YARD_M)
    assert shot.run_m == pytest.approx(
        {"fairway": 8 * YARD_M, "first cut": 4.8 * YARD_M, "rough": 2 * YARD_M, "green": 3 * YARD_M}
    )
    assert shot.bend_m == pytest.approx(-6 * YARD_M)
    assert {Lie.FAIRWAY, Lie.ROUGH_GOOD, Lie.ROUGH_POOR, Lie.JUMPER} <= shot.lies
    assert shot.assumed == ("the only shot from: tee, first cut, sand, recovery",)


@pytest.mark.parametrize("where", ["range", "mat"])
def test_range_and_mat_read_too_tight(tmp_path, where):
    stated = f'{SEVEN}side = 4\ndepth = 6\nwhere = "{where}"\n'
    assert read(tmp_path, HEAD + stated).shots[0].spread.side_m == pytest.approx(4 * 1.15 * YARD_M)
    assert read(tmp_path, HEAD + "range_factor = 1.3\n" + stated).shots[0].spread.depth_m == pytest.approx(
        6 * 1.3 * YARD_M
    )
    alone = f'{SEVEN}where = "{where}"\n'
    assert read(tmp_path, HEAD + alone).shots[0].spread.side_m == landing_scatter(172 * YARD_M)[0]


@pytest.mark.parametrize(
    ("hand", "shape", "sign"),
    [
        ("right", "fade", 1),
        ("right", "draw", -1),
        ("left", "fade", -1),
        ("left", "draw", 1),
        ("left", "straight", 0),
    ],
)
def test_positive_bend_comes_back_to_the_right(tmp_path, hand, shape, sign):
    bend = read(tmp_path, f'name = "x"\nhand = "{hand}"\n{SEVEN}shape = "{shape}"\n').shots[0].bend_m
    assert (bend > 0) - (bend < 0) == sign


def test_metres(tmp_path):
    shot = read(tmp_path, HEAD + 'units = "metres"\n' + SEVEN + "side = 5\ndepth = 6\nrun = 7\n").shots[0]
    assert (shot.carry_m, shot.spread.side_m, shot.run_m["fairway"]) == (172.0, 5.0, pytest.approx(7.0))


def test_the_first_shot_of_a_club_is_its_stock_shot_unless_one_is_called_so(tmp_path):
    text = HEAD + "".join(
        f'[[shots]]\nclub = "{club}"\nshot = "{shot}"\ncarry = {carry}\n'
        for club, shot, carry in [
            ("driver", "the fade", 280),
            ("driver", "low", 260),
            ("7-iron", "low", 165),
            ("7-iron", "stock", 172),
        ]
    )
    assert [(s.label, s.stock) for s in read(tmp_path, text).practised] == [
        ("driver, the fade", True),
        ("driver, low", False),
        ("7-iron", True),
        ("7-iron, low", False),
    ]


def test_wedges_swing_by_club(tmp_path):
    text = f"""{HEAD}
        [[shots]]
        club = "sand wedge"
        carry = 108
        [wedges]
        "sand wedge" = {{ half = 72 }}
        "58" = {{ half = 60, full = 90 }}
    """
    shots = {s.label: s for s in read(tmp_path, text).practised}
    assert list(shots) == ["sand wedge", "58, full", "sand wedge, half", "58, half"]
    assert [s.stock for s in shots.values()] == [True, True, False, False]
    assert Lie.SAND in shots["58, full"].lies
    assert Lie.SAND not in shots["58, half"].lies  # out of sand a short shot is a bunker shot


def test_lies_by_club(tmp_path):
    clubs = {"driver": 280, "3-wood": 255, "hybrid": 225, "4-iron": 205, "6-iron": 180, "54": 110}
    text = HEAD + "".join(f'[[shots]]\nclub = "{c}"\ncarry = {y}\n' for c, y in clubs.items())
    lies = {s.club: s.lies for s in read(tmp_path, text).practised}
    assert lies["driver"] == {Lie.TEE}
    assert lies["3-wood"] == {Lie.TEE, Lie.FAIRWAY, Lie.FIRST_CUT, Lie.ROUGH_GOOD}
    assert lies["hybrid"] == lies["3-wood"] | {Lie.JUMPER}
    assert lies["4-iron"] == frozenset(Lie) - {Lie.GREEN, Lie.ROUGH_POOR, Lie.SAND}
    assert lies["6-iron"] == lies["54"] == frozenset(Lie) - {Lie.GREEN}


def test_lie_effects_and_mishits_are_set_one_by_one(tmp_path):
    player = read(tmp_path, HEAD + SEVEN + "[lies]\nrough = { carry = 0.9 }\n[mishits]\nshare = 0.08\n")
    for lie in (Lie.ROUGH_GOOD, Lie.ROUGH_POOR, Lie.JUMPER):
        assert player.lie_effects[lie].carry == 0.9
        assert player.lie_effects[lie].scatter == LIE_EFFECTS[lie].scatter
    assert set(player.lie_effects) == set(Lie) - {Lie.GREEN}
    assert (player.shots[0].spread.mishit_share, player.shots[0].spread.mishit_short) == (0.08, 0.16)


@given(carry=st.floats(20, 350), level=st.floats(66, 115))
def test_nobody_is_tighter_than_the_tour(carry, level):
    tour, ours = landing_scatter(carry * YARD_M, 70.0), landing_scatter(carry * YARD_M, level)
    assert ours[0] >= tour[0] * (1 - 1e-12)
    assert ours[1] >= tour[1] * (1 - 1e-12)


@given(carry=st.floats(20, 340), level=st.floats(70, 110))
def test_scatter_grows_with_carry_and_level(carry, level):
    for near, far in ((carry, carry + 5), (carry, carry)):
        less, more = landing_scatter(near * YARD_M, level), landing_scatter(far * YARD_M, level + 2)
        assert more[0] >= less[0]
        assert more[1] >= less[1]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('hand = "rihgt"', 'hand: is "rihgt", not "right" or "left". Did you mean "right"?'),
        ("hand = 1", 'hand: is 1, not "right" or "left". Write "right" or "left".'),
        (
            "level = 7",
            "level: 7 is not between 66 and 120 strokes. Write the average score: 70 is a tour professional.",
        ),
        ('level = "72"', 'level: is "72", not a number. Remove the quotes: 72.'),
        (
            "longest_club = 115",
            "longest_club: 115 is not between 35 and 48 inches; is it in centimetres (45.28)?",
        ),
        (
            "longest_club = 1.15",
            "longest_club: 1.15 is not between 35 and 48 inches; is it in metres (45.28)?",
        ),
        ("range_factor = 115", "range_factor: 115 is not between 1 and 2; is it per cent (1.15)?"),
        ("unstated_factor = 115", "unstated_factor: 115 is not between 1 and 3; is it per cent (1.15)?"),
        (
            "unstated_factor = 0.9",
            "unstated_factor: 0.9 is not between 1 and 3. Write how much wider a shot scatters",
        ),
        ('unstated_factor = "wide"', 'unstated_factor: is "wide", not a number.'),
        ("levle = 70", 'levle: is no key of this table. Did you mean "level"?'),
        ("mishits = { share = 4 }", "mishits.share: 4 is not between 0 and 0.5; is it per cent (0.04)?"),
        ("lies = { snad = { carry = 1 } }", 'lies.snad: "snad" is no lie. Did you mean "sand"?'),
        (
            "lies = { sand = { carry = 93 } }",
            "lies.sand.carry: 93 is not between 0.2 and 5; is it per cent (0.93)?",
        ),
        ("lies = { sand = { cary = 1 } }", 'lies.sand.cary: is no key of this table. Did you mean "carry"?'),
        (
            "wedges = { SW = { half = 700 } }",
            "wedges.SW.half: 700 is not between 20 and 360 yards; has a digit slipped (70)?",
        ),
        ("wedges = { SW = 70 }", "wedges.SW: is 70, not a table. Write a table."),
        (
            'wedges = { SW = { half = 80, "three quarter" = 70 } }',
            'wedges.SW."three quarter": 70 is no further than the half\'s 80. Are the two swapped?',
        ),
        (
            "wedges = { 7-iron = { half = 180 } }",
            "wedges.7-iron.half: 180 is further than the full 7-iron's 172.",
        ),
        (
            "wedges = { 7-iron = { stock = 90 } }",
            "wedges.7-iron.stock: stands among the shots too, as shots[1].",
        ),
        ('likes = "driver"', 'likes: is "driver", not a list in [square brackets].'),
    ],
)
def test_one_fault_of_the_player(tmp_path, line, said):
    head = 'name = "Anyone"\n' if line.startswith("hand") else HEAD
    assert named(tmp_path, f"{head}{line}\n{SEVEN}")[0].startswith(said)


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (
            "carry = 1720",
            ".carry: 1720 is not between 20 and 360 yards; has a digit slipped (172)? Write the carry",
        ),
        ("carry = 516", ".carry: 516 is not between 20 and 360 yards; is it in feet (172)? Write the carry"),
        ("carry = -172", ".carry: -172 is not between 20 and 360 yards. Write the carry in yards."),
        ("carry = nan", ".carry: nan is not between 20 and 360 yards."),
        (
            'carry = "172 yd"',
            '.carry: is "172 yd", not a number. Write the bare number 172, without its unit.',
        ),
        ("carry = true", ".carry: is true, not a number."),
        ("", ".carry: is missing. State the carry; only a variation of a club that has one may"),
        ("carry = 172\ncarry_least = 180", ": carry_least 180 is more than carry 172. Are the two swapped?"),
        (
            "carry = 172\nside = -4\ndepth = 5",
            ".side: -4 is not between 0.2 and 60 yards. Write the standard deviation",
        ),
        ("carry = 172\nside = 4", ": has side without depth. Give both, or neither"),
        (
            "carry = 100\nside = 4\ndepth = 40",
            ": scatter 40 is more than a third of carry 100. Write standard",
        ),
        ("carry = 172\nballs = 40", ": has balls without a scatter. Add side and depth"),
        ("carry = 172\nside = 4\ndepth = 5\nballs = 1", ".balls: 1 is not between 2 and 100000 balls."),
        ("carry = 172\nside = 4\ndepth = 5\nballs = 4.5", ".balls: is 4.5, not a whole number."),
        ("carry = 172\nside = 4\ndepth = 5\ntilt = 1.2", ".tilt: 1.2 is not between -1 and 1."),
        ('carry = 172\nshape = "hook"', '.shape: is "hook", not "draw", "straight" or "fade".'),
        ("carry = 172\ncurve = 5", ': curve 5, but shape = "straight". Write shape = "draw" or "fade".'),
        (
            'carry = 172\nheight = "hgih"',
            '.height: is "hgih", not "low", "normal" or "high". Did you mean "high"?',
        ),
        ('carry = 172\nwhere = "home"', '.where: is "home", not "course", "range" or "mat".'),
        ('carry = 172\nlies = ["tee", "snad"]', '.lies[2]: "snad" is no lie. Did you mean "sand"?'),
        ("carry = 172\nlies = []", ".lies: is empty. Write at least one."),
        ("carry = 172\nrun = 150", ".run: 150 is not between -15 and 80 yards; has a digit slipped (15)?"),
        ("carry = 172\ncarrry = 3", '.carrry: is no key of this table. Did you mean "carry"?'),
    ],
)
def test_one_fault_of_a_shot(tmp_path, lines, said):
    text = (
        f'{HEAD}[[shots]]\nclub = "driver"\ncarry = 280\n[[shots]]\nclub = "7-iron"\nshot = "low"\n{lines}\n'
    )
    assert named(tmp_path, text)[0].startswith("shots[2] (7-iron, low)" + said)


def test_yards_in_a_file_of_metres_are_guessed(tmp_path):
    text = HEAD + 'units = "metres"\n[[shots]]\nclub = "driver"\ncarry = 345\n'
    assert named(tmp_path, text) == [
        (
            "shots[1] (driver, stock).carry: 345 is not between 18.3 and 329 metres; is it in yards (315.5)? "
            "Write the carry in metres."
        )
    ]


def test_shots_that_contradict_each_other(tmp_path):
    text = (
        HEAD
        + SEVEN
        + SEVEN
        + '[[shots]]\nclub = "6-iron"\ncarry = 165\n[[shots]]\nclub = "putter"\ncarry = 20\n'
    )
    assert named(tmp_path, text) == [
        "shots[4] (putter, stock): putter is no full shot. Remove it: putts come from the level.",
        (
            'shots[2] (7-iron, stock).shot: 7-iron, "stock" stands twice, first as shots[1]. '
            "Give each shot of a club its own name, or remove one."
        ),
        (
            "shots[1] (7-iron, stock).carry: 172 is further than the 6-iron's 165. "
            "Are the 6-iron and the 7-iron swapped?"
        ),
    ]


def test_fourteen_clubs(tmp_path):
    text = HEAD + "".join(f'[[shots]]\nclub = "{n} wood"\ncarry = {300 - n}\n' for n in range(1, 15))
    (said,) = named(tmp_path, text)
    assert said.startswith("shots: 14 clubs (1 wood, 2 wood, ")
    assert "with the putter that is more than 14" in said


def test_no_shots(tmp_path):
    assert named(tmp_path, HEAD + "shots = []") == ["shots: is empty. Write at least one."]
    assert named(tmp_path, HEAD) == ["shots: is missing. Add it: shots = ..."]
    assert named(tmp_path, HEAD + "shots = [3]") == ["shots[1]: is 3, not a table. Write a table."]


def test_the_demo_players():
    folder = demo_folder() / "players"
    tour = read_player(folder / "tour-left-fade.toml")
    scratch = read_player(folder / "scratch-right-draw.toml")
    assert (tour.right_handed, scratch.right_handed) == (False, True)
    # A left-hander's fade and a right-hander's draw bend the same way: to the left.
    for player in (tour, scratch):
        assert all(
            shot.bend_m <= 0 for shot in player.shots if shot.stock and shot.name in ("stock", "the fade")
        )
        assert len({shot.club for shot in player.shots}) == 13
        carries = [shot.carry_m for shot in player.practised]
        assert carries == sorted(carries, reverse=True)
    assert next(s for s in tour.shots if s.label == "3-wood, the draw").bend_m > 0
    assert (tour.level, scratch.level) == (70.0, 73.0)


def test_a_player_goes_to_other_processes():
    player = read_player(demo_folder() / "players" / "tour-left-fade.toml")
    assert pickle.loads(pickle.dumps(player)) == player


def test_a_driver_in_yards_under_metres_is_a_fault(tmp_path):
    text = HEAD + 'units = "metres"\n[[shots]]\nclub = "driver"\ncarry = 295\n' + SEVEN
    (said,) = named(tmp_path, text)
    assert said == (
        "shots[1] (driver, stock).carry: is 295 under metres, 323 yards: no tour player carries it that far. "
        'Write units = "yards" if the file is in yards.'
    )
    assert read(tmp_path, text.replace("295", "270")).practised[0].carry_m == 270.0


def test_likes_that_are_no_club_or_shot_are_faults(tmp_path):
    text = 'likes = ["7-irn", "7-iron"]\ndislikes = ["umbrella"]\n' + HEAD + SEVEN
    mend = 'Write a club, or club and shot: "driver, the fade".'
    assert named(tmp_path, text) == [
        'likes[1]: is "7-irn", no club or shot of this file. Did you mean "7-iron"?',
        f'dislikes[1]: is "umbrella", no club or shot of this file. {mend}',
    ]


def _driver(*shots, more=""):
    """A file with shots of one driver, each (name, carry, further lines)."""
    return (
        HEAD
        + f"{more}\n"
        + "".join(
            f'[[shots]]\nclub = "driver"\nshot = "{name}"\n{f"carry = {carry}" if carry else ""}\n{lines}\n'
            for name, carry, lines in shots
        )
    )


def test_a_shot_that_was_only_named_is_wider_than_its_club_s_stock_shot(tmp_path):
    fade = ("the fade", 287, 'shape = "fade"\nside = 14.2\ndepth = 11\nwhere = "range"')
    draw = ("the draw", 290, 'shape = "draw"')
    player = read(tmp_path, _driver(draw, fade))  # the first written is the stock shot ...
    stock, other = player.shots[:2]
    assert (stock.name, stock.stock, other.name) == ("the draw", True, "the fade")
    assert (stock.spread.side_m, stock.spread.depth_m) == landing_scatter(290 * YARD_M)
    player = read(tmp_path, _driver(fade, draw))
    other, stock = player.shots[:2]
    assert (other.name, other.stock) == ("the draw", False)
    # ... whose figures the other follows where they are known, widened as they are for the range
    assert other.spread.side_m == pytest.approx(1.15 * 1.15 * 14.2 * YARD_M)
    assert other.spread.depth_m == pytest.approx(1.15 * stock.spread.depth_m)
    assert other.spread.balls is None
    assert "scatter" in other.assumed
    (note,) = other.notes
    assert note == (
        "driver, the draw: scatter assumed: 1.15 times that of the fade; state your own, "
        "or another unstated_factor"
    )
    assert (stock.assumed.count("scatter"), stock.notes) == (0, ())


def test_where_the_stock_shot_is_assumed_too_the_published_scatter_is_widened(tmp_path):
    more = "unstated_factor = 1.3"
    player = read(tmp_path, _driver(("stock", 280, ""), ("low", 262, 'height = "low"'), more=more))
    stock, low = player.shots[:2]
    assert (stock.spread.side_m, stock.spread.depth_m) == landing_scatter(280 * YARD_M)
    wider = [1.3 * sd for sd in landing_scatter(262 * YARD_M)]
    assert [low.spread.side_m, low.spread.depth_m] == pytest.approx(wider)
    assert low.notes[0].startswith("driver, low: scatter assumed: 1.3 times the published one;")


def test_what_is_known_of_a_second_shot_stands(tmp_path):
    stated = ("the draw", 263, "side = 9\ndepth = 8")
    shot = read(tmp_path, _driver(("the fade", 258, ""), stated)).shots[0]
    assert (shot.spread.side_m / YARD_M, shot.spread.depth_m / YARD_M) == (9, 8)
    assert shot.notes == ()


def test_a_second_shot_without_a_carry_says_both(tmp_path):
    shot = read(tmp_path, _driver(("stock", 280, ""), ("fade", None, ""))).shots[1]
    assert shot.name == "fade"
    assert shot.spread.side_m == pytest.approx(1.15 * landing_scatter(shot.carry_m)[0])
    assert [note.split(":")[1] for note in shot.notes] == [" carry assumed", " scatter assumed"]


def test_a_shorter_swing_of_a_wedge_is_no_other_shape(tmp_path):
    # What is published by carry holds partial swings; where the full swing is known, they follow it.
    swings = '[wedges]\n"54" = { half = 60 }\n'
    full = '[[shots]]\nclub = "54"\ncarry = 100\n'
    half = read(tmp_path, HEAD + full + swings).shots[1]
    assert (half.spread.side_m, half.spread.depth_m) == landing_scatter(60 * YARD_M)
    written = '[[shots]]\nclub = "54"\nshot = "half"\ncarry = 60\n'
    assert read(tmp_path, HEAD + full + written).shots[1].spread == half.spread
    known = read(tmp_path, HEAD + full + "side = 6.4\ndepth = 4.2\n" + swings).shots[1]
    assert known.spread.side_m / YARD_M == pytest.approx(2 * 2.65)  # twice the published, as the full swing
    assert known.spread.depth_m / YARD_M == pytest.approx(4.1)
    assert "scatter" in known.assumed
    assert half.notes == ()


def test_a_bias_goes_to_its_own_axis_and_is_no_part_of_the_other(tmp_path):
    lines = "side = 5\ndepth = 6\nbias_side = -2\nbias_depth = 3\n"
    spread = read(tmp_path, HEAD + SEVEN + lines).shots[0].spread
    assert (spread.bias_side_m / YARD_M, spread.bias_depth_m / YARD_M) == pytest.approx((-2, 3))


def test_a_low_shot_flies_lower_and_runs_more_a_high_one_the_other_way(tmp_path):
    low, normal, high = (
        read(tmp_path, f'{HEAD}{SEVEN}height = "{word}"\n').shots[0] for word in ("low", "normal", "high")
    )
    for ground in ("fairway", "first cut", "rough", "green"):
        assert low.run_m[ground] > 1.3 * normal.run_m[ground]
        assert high.run_m[ground] < 0.9 * normal.run_m[ground]
    assert low.apex_m < 0.8 * normal.apex_m < normal.apex_m < high.apex_m


def test_what_a_slope_does_may_be_stated(tmp_path):
    """Of every 100 of carry on a slope of 10 %; what is left out stays derived."""
    assert read(tmp_path, HEAD + SEVEN).slopes == SlopeEffect()
    slopes = "[slopes]\nacross = 7\nuphill = -4\n"
    assert read(tmp_path, HEAD + SEVEN + slopes).slopes == SlopeEffect(across=0.7, uphill=-0.4)
    (fault,) = named(tmp_path, HEAD + SEVEN + "[slopes]\nacross = 60\n")
    assert "slopes.across" in fault
    assert "60" in fault
