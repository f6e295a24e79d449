"""Answers in words: one sentence, one alternative, the counts. Whole yards (or metres), nothing worked out.

::

    Driver, the fade, finish 6 right of the middle, start at the left edge of the far left bunker, 281 to
    carry it. 3-wood costs 0.06 (small).

    7-iron, 156 to carry: finish 4 left of the hole, 3 past. 8-iron is even. At the flag costs 0.11 (real).
    Of 20: 14 green, 3 short, 2 sand, 1 wet.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from strategy.codes import Lie
from strategy.decide.option import Option, Word
from strategy.plan.ask import Question
from strategy.plan.document import (
    Decision,
    LocationPlan,
    PlannedOption,
    Role,
)
from strategy.plan.quoted import (
    Finish,
    Needed,
    Quoted,
    Reach,
    RoundScores,
    Start,
)
from strategy.quantity import COMPASS
from strategy.report.words.costs import (
    alternative,
    capital,
    cost_words,
    first_in_brief,
    first_words,
    flag_sentence,
    spoken,
    with_cost,
)
from strategy.report.words.lengths import Units
from strategy.report.words.stance_words import stance_words
from strategy.units import MPH_MPS, YARD_M

LAND_NEAR_M: Final = 20.0 * YARD_M  # a shot that lands further past a false front does not meet it
TELLING_PUTT: Final = 0.04  # putts between two sides of the hole
_OF_THE_HOLE: Final = {"short": "short of", "long": "beyond", "left": "left of", "right": "right of"}


def answer(decision: Decision, units: Units = Units.YARDS) -> str:
    """The whole answer of a decision: sentence, alternative, at the flag."""
    if not decision.options:
        return f"No shot: {decision.note}."
    parts = [option_sentence(decision.options[0], decision, units)]
    parts += filter(None, _first_more(decision, units))
    if words := first_words(decision):
        parts.append(words)
    if (other := alternative(decision)) is not None:
        parts.append(other)
    if decision.at_flag is not None and not _there_already(decision, units):
        parts.append(flag_sentence(decision.at_flag, decision.first))
    return " ".join(parts)


def _there_already(decision: Decision, units: Units) -> bool:
    """Advice that finishes by the hole is at the flag for all a player can tell, when that is even."""
    quoted = decision.options[0].quoted
    if quoted is None or decision.at_flag is None or decision.at_flag.word is not Word.EVEN:
        return False
    return max(abs(units.whole(quoted.finish.side_m)), abs(units.whole(quoted.finish.past_m))) <= 2


def answers(decision: Decision, units: Units = Units.YARDS) -> tuple[str, ...]:
    """Up to three answers, each its own sentence; the later ones with their cost."""
    said = []
    for number, planned in enumerate(decision.answers):
        sentence = option_sentence(planned, decision, units)
        if number == 0:
            more = (*_first_more(decision, units), first_words(decision))
            said.append(" ".join(filter(None, (sentence, *more))))
        else:
            said.append(with_cost(sentence, planned.option, decision))
    return tuple(said)


def _first_more(decision: Decision, units: Units) -> tuple[str, str]:
    """What belongs to the first answer alone: least landing and stance; each "" where it says nothing."""
    return land_words(decision, units), stance_words(decision.first.stance, units)


def land_words(decision: Decision, units: Units) -> str:
    """The cover of a false front, of a shot that lands near it: "False front: land 159 or more."; else ""."""
    quoted, least = decision.options[0].quoted, decision.least_landing_m
    if least is None or quoted is None or quoted.finish.of != "hole":
        return ""
    near = decision.first.carry_m < least + LAND_NEAR_M
    return f"False front: land {units.whole(least)} or more." if near else ""


def option_sentence(planned: PlannedOption, decision: Decision, units: Units = Units.YARDS) -> str:
    """Club, shot, number, aim of one option, as a sentence."""
    option, quoted = planned.option, planned.quoted
    if quoted is None:
        return f"{capital(spoken(option.label))}, {carry_words(option, units)}."
    at_green = quoted.finish.of == "hole"
    numbered = at_green or decision.role is not Role.TEE or not quoted.full or height_words(option, units)
    opening = capital(spoken(option.label))
    if numbered:
        opening += f", {carry_words(option, units)}"
    clauses = [f"finish {finish_words(quoted.finish, units)}"]
    if quoted.start is not None and (words := start_words(quoted.start, units)):
        clauses.append(words)
    clauses += reach_words(quoted, units)
    return f"{opening}{':' if numbered else ','} {', '.join(clauses)}."


def finish_words(finish: Finish, units: Units) -> str:
    """Where the ball finishes: "6 right of the middle", "4 left of the hole, 3 past", "at the hole"."""
    side, past = units.whole(finish.side_m), units.whole(finish.past_m)
    across = "" if side == 0 else f"{abs(side)} {'right' if side > 0 else 'left'}"
    along = "" if past == 0 else f"{abs(past)} {'past' if past > 0 else 'short'}"
    match finish.of:
        case "hole":
            if across:
                return f"{across} of the hole" + (f", {along}" if along else "")
            return "at the hole" if not along else f"{along} {'the' if past > 0 else 'of the'} hole"
        case "fairway":
            return f"{across} of the middle" if across else "in the middle"
        case _:
            return f"{across} of the line" if across else "on the line"


def start_words(start: Start, units: Units) -> str:
    """Where the ball starts; "" when it starts where it finishes and nothing marks that."""
    if start.at:
        return f"start at {start.at}"
    side = units.whole(start.side_m)
    return f"start {abs(side)} {'right' if side > 0 else 'left'} of that" if side else ""


def reach_words(quoted: Quoted, units: Units) -> list[str]:
    """Numbers of sand and water: first those of the thing the ball starts at, two at most."""
    words = []
    for reach in quoted.reaches[:2]:
        own = quoted.start is not None and quoted.start.at.endswith(reach.what)
        words.append(_reach(reach, units, own=own))
    return words


def _reach(reach: Reach, units: Units, *, own: bool) -> str:
    """One thing's numbers; of the thing just named as "it" or "them"."""
    again = "them" if reach.what.endswith("s") else "it"
    what = again if own else reach.what
    line = " on that line" if reach.own_line else ""
    to_reach = None if reach.reach_m is None else f"{units.whole(reach.reach_m)} to reach"
    to_carry = None if reach.carry_m is None else f"{units.whole(reach.carry_m)} to carry"
    match reach.kind:
        case "carry":
            return f"{to_carry} {what}{line}"
        case "reach":
            return f"{to_reach} {what}{line}"
        case "along":
            return f"and {again} all along" if own else f"{what} all along"
        case _:
            return f"{to_reach} {what} and {to_carry} {again}{line}"


def table_sentence(decision: Decision, units: Units) -> str:
    """What counting by the table alone would play, where that costs something; "" otherwise."""
    other = decision.by_table
    if other is None or other.word is Word.EVEN:
        return ""
    price = cost_words(other.cost, other.word)
    if other.label != decision.first.label:
        return f"By the table alone it would be {spoken(other.label)}; with your own next shots that {price}."
    side = units.whole(other.side_m)
    where = "right" if side > 0 else "left"
    return f"By the table alone it would finish {abs(side)} further {where}; that {price}."


def trees_words(decision: Decision) -> str:
    """Of a shot that trees stop now and then: "17 of 20 clear the trees."; "" otherwise."""
    if not decision.options:
        return ""
    struck = round(20.0 * decision.first.struck)
    return f"{20 - struck} of 20 clear the trees." if struck else ""


def unplayable_words(decision: Decision, units: Units) -> str:
    """Of a ball that is better dropped: "Better unplayable: a stroke and a drop ..."; "" otherwise."""
    drop = decision.unplayable
    if drop is None:
        return ""
    where = f"{units.whole(drop.away_m)} back on the line" if drop.back else "within two club-lengths"
    return f"Better unplayable: a stroke and a drop {where} saves {drop.saves:.2f}."


def sides_words(decision: Decision) -> str:
    """Which side of the hole to be on, where it tells: "Be short of the hole: from beyond it a putt ..."."""
    there = decision.sides
    if there is None or not there.known or there.cost < TELLING_PUTT:
        return ""
    best, worst = (_OF_THE_HOLE[s] for s in (there.best, there.worst))
    return f"Be {best} the hole: a 13-ft putt from {worst} it costs {there.cost:.2f} more."


def unknown_trees_words(decision: Decision, units: Units) -> str:
    """What tree heights that are assumed cost in certainty; "" where they are known."""
    trees = decision.trees
    if trees is None:
        return ""
    parts = []
    for at in (trees.low, trees.tall):
        if at.word is Word.EVEN:
            words = f"the same, {abs(at.strokes):.2f} {'more' if at.strokes > 0 else 'less'}"
            words = "the same" if abs(at.strokes) < 0.005 else words
        else:
            words = f"{spoken(at.label)}, the answer above then {cost_words(at.cost, at.word)}"
        parts.append(f"{units.whole(at.height_m)} high {words}")
    return f"Tree heights are assumed ({units.whole(trees.assumed_m)}): {'; '.join(parts)}."


def expected_words(decision: Decision) -> str:
    """Expected score of a hole with the shot that is said first: "4.01 on average, of 20: 3 birdies, ..."."""
    if not decision.options:
        return ""
    words = f"{decision.first.strokes:.2f} on average"
    said = [f"{n} {name if n == 1 else _many(name)}" for name, n in decision.score_counts.items()]
    return f"{words}, of 20: {', '.join(said)}" if said else words


def _many(score: str) -> str:
    """More than one of a score.

    >>> _many("birdie"), _many("double bogey or worse")
    ('birdies', 'double bogeys or worse')
    """
    return score.replace("bogey", "bogeys") if "bogey" in score else f"{score}s"


def need_words(needed: Needed, decision: Decision, units: Units) -> str:
    """The shot for a score that is needed, and what it costs.

    ::

        For 4 or better: 3-wood, the fade instead, chance 46 % against 41 %, costs 0.08.
        For 4 or better play the same shot (41 %).
    """
    score = f"For {needed.n} or better" if decision.stroke == 1 else f"To be down in {needed.n}"
    if not needed.worth_saying:
        return f"{score} play the same shot ({percent(needed.chance)})."
    side, best = units.whole(needed.side_m), decision.first
    if needed.label != best.label:
        shot = f"{spoken(needed.label)} instead"
    elif abs(side) >= 3:
        shot = f"the same, finishing {abs(side)} further {'right' if side > 0 else 'left'}"
    else:
        shot = f"the same, {units.whole(needed.carry_m)} to carry"
    price = f"{needed.price:.2f}" if needed.price >= 0.005 else "nothing"
    chances = f"chance {percent(needed.best_chance)} against {percent(needed.chance)}"
    return f"{score}: {shot}, {chances}, costs {price}."


def percent(chance: float) -> str:
    """A chance in whole per cent.

    >>> percent(0.456), percent(0.002), percent(0.999)
    ('46 %', 'under 1 %', 'over 99 %')
    """
    if 0.0 < chance < 0.005:
        return "under 1 %"
    return "over 99 %" if 0.995 <= chance < 1.0 else f"{round(100.0 * chance)} %"


def round_words(scores: RoundScores) -> str:
    """Score of a round under the plan, its average and both tails.

    ::

        Round 1 under this plan, 18 holes, par 71: 70.8 on average, one in ten 67 or better, half 71 or
        better, one in ten 75 or worse.
    """
    low, middle, high = scores.tails
    holes = f"{scores.holes} hole{'' if scores.holes == 1 else 's'}, par {scores.par}"
    tails = f"one in ten {low} or better, half {middle} or better, one in ten {high} or worse"
    likely = "" if not scores.likely else f" Hole locations of {scores.likely} are likely ones."
    return f"Round {scores.round} under this plan, {holes}: {scores.mean:.1f} on average, {tails}.{likely}"


def counts_words(counts: Mapping[str, int]) -> str:
    """Where twenty balls go: "Of 20: 14 green, 3 short, 2 sand, 1 wet."."""
    return f"Of {sum(counts.values())}: {', '.join(f'{n} {where}' for where, n in counts.items())}."


def commit_words(decision: Decision, units: Units) -> str:
    """The number to settle on in gusts, and what being wrong costs; "" where one number does.

    ::

        In the lull it plays 171, in gusts 183: commit to 176; a gust then costs 0.04, a lull 0.02.
        In the lull it plays 171, in gusts 183: commit to 176; doubt costs 0.05, a gust takes it 7 right and
        costs 0.06, a lull takes it 6 left and costs 0.04.
        In the lull it plays 187, in gusts 235 (3-iron): commit to 187; a gust then costs 0.04, a lull 0.02.

    A number that is another shot's than the one advised names it.
    """
    found = decision.commit
    if found is None:
        return ""
    lull, forecast, gust = (
        f"{units.whole(n)}" + (f" ({other})" if other else "")
        for n, other in zip(found.numbers_m, found.others, strict=True)
    )
    settled = f"{units.whole(found.committed_m)}"
    middle = "" if settled == forecast else f", as forecast {forecast}"
    (calmer, stronger), doubted = found.sides_m, found.cost_doubt is not None
    moves = [_taken(stronger, units), _taken(calmer, units)]
    wrong = [("a gust" if doubted else "a gust then", moves[0], found.cost_gust)]
    wrong.append(("a lull", moves[1], found.cost_lull))
    if found.cost_doubt is not None:
        wrong.insert(0, ("doubt", "", found.cost_doubt))
    words: list[str] = []
    for what, move, cost in wrong:
        verb = f" {move}costs" if not words or any(moves) else ""
        words.append(f"{what}{verb} {f'{cost:.2f}' if cost >= 0.005 else 'nothing'}")
    return f"In the lull it plays {lull}{middle}, in gusts {gust}: commit to {settled}; {', '.join(words)}."


def _taken(side_m: float, units: Units) -> str:
    """Where the wind takes a ball from its planned landing, when that is three or more."""
    side = units.whole(side_m)
    return f"takes it {abs(side)} {'right' if side > 0 else 'left'} and " if abs(side) >= 3 else ""


def short_side_words(decision: Decision) -> str:
    """A warning when the advice finishes on the short side of the hole, which the table cannot see."""
    if not decision.short_side:
        return ""
    where = {"front": "short of a front hole", "back": "past a back hole"}.get(
        decision.short_side, f"on the {decision.short_side}, the short side"
    )
    return f"That is {where}: the table does not see it, trust your eye."


def jump_words(decision: Decision, units: Units) -> str:
    """What becomes of the number when the ball jumps: "If it jumps: 9-iron playing 138, 12 shorter."."""
    jump = decision.jump
    if jump is None:
        return ""
    own, clean = units.whole(jump.plays_m), units.whole(jump.clean_m)
    than = "as" if own == clean else f"{abs(clean - own)} {'shorter' if own < clean else 'longer'} than"
    if decision.spot.lie is Lie.JUMPER:
        return f"It jumps: {own} is {than} from a clean lie."
    return f"If it jumps: {spoken(jump.label)} playing {own}, {than} from a clean lie."


def from_words(decision: Decision, location: LocationPlan | None, units: Units) -> str:
    """Where a shot is played from: "115 front, 15 on, fairway"."""
    lie = decision.spot.lie.said
    on = "" if location is None else f", {units.whole(location.cut.on_m)} on"
    return f"{units.whole(decision.green.front_m)} front{on}, {lie}"


def playing(option: Option, units: Units) -> int | None:
    """The player's own number behind a carry, where wind, height, air or lie take three or more off or on."""
    if option.plays_m is None:
        return None
    own = units.whole(option.plays_m)
    return own if abs(own - units.whole(option.carry_m)) >= 3 else None


def carry_words(option: Option, units: Units) -> str:
    """The number over the ground: "156 to carry", "156 to carry, playing 164", "156 to carry, 5 up"."""
    plays, carry = playing(option, units), f"{units.whole(option.carry_m)} to carry"
    words = (carry, height_words(option, units), "" if plays is None else f"playing {plays}")
    return ", ".join(filter(None, words))


def height_words(option: Option, units: Units) -> str:
    """How far above or below the ball it lands, from two on: "5 up", "12 down"; "" otherwise."""
    rise = units.whole(option.rise_m)
    return f"{abs(rise)} {'up' if rise > 0 else 'down'}" if abs(rise) >= 2 else ""


def brief(decision: Decision, units: Units) -> str:
    """A decision in a few words, for the edges of the landing: "9-iron 142, 3 short of the hole"."""
    if not decision.options:
        return f"no shot: {decision.note}"
    best, quoted = decision.first, decision.options[0].quoted
    text = f"{spoken(best.label)}, {units.whole(best.carry_m)}"
    plays = playing(best, units)
    behind = ", ".join(filter(None, (height_words(best, units), "" if plays is None else f"plays {plays}")))
    text += f" ({behind})" if behind else ""
    if quoted is not None:
        text += f", {finish_words(quoted.finish, units)}"
    wet = best.counts.get("wet", 0)
    text += f" ({wet} of 20 wet)" if wet else ""
    text += first_in_brief(decision)
    if decision.unplayable is not None:
        return f"{text}; {unplayable_words(decision, units)[:-1].lower()}"
    jump = decision.jump
    if jump is None or decision.spot.lie is Lie.JUMPER:
        return text
    return f"{text}; if it jumps {spoken(jump.label)}, playing {units.whole(jump.plays_m)}"


def wind_words(speed_mps: float, blows_from: float) -> str:
    """A wind: "9 mph from the SW"; "calm" under half a mile an hour."""
    speed = round(speed_mps / MPH_MPS)
    point = COMPASS[round(blows_from / 22.5) % 16]
    return f"{speed} mph from the {point}" if speed else "calm"


def rounds_words(numbers: Sequence[int]) -> str:
    """Rounds: "Round 1", "Rounds 1 and 3", "Rounds 1-4"."""
    if len(numbers) == 1:
        return f"Round {numbers[0]}"
    if len(numbers) > 2 and list(numbers) == list(range(numbers[0], numbers[-1] + 1)):
        return f"Rounds {numbers[0]}-{numbers[-1]}"
    return f"Rounds {', '.join(str(n) for n in numbers[:-1])} and {numbers[-1]}"


def question_words(asked: Question) -> str:
    """What was asked: "Hole 7, Falling CostField, par 3, round 1, hole 14 on, centre."."""
    title = f"Hole {asked.hole}" + (f", {asked.name}" if asked.name else "")
    given = "" if asked.given else " (not given: the middle of the green)"
    return f"{title}, par {asked.par}, round {asked.round}, hole {asked.location}{given}."


def markers_words(up_m: float, units: Units) -> str:
    """Where the markers stand on their tee: "markers 22 up", "markers 5 back"; "" in their place."""
    up = units.whole(up_m)
    return f"markers {abs(up)} {'up' if up > 0 else 'back'}" if up else ""
