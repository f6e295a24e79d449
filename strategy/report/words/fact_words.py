"""What is said of a decision beside its answer: one sentence a fact, "" where there is nothing to say."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from strategy.codes import Lie
from strategy.decide.option import EVEN, Word
from strategy.plan.document import Decision
from strategy.plan.quoted import Needed
from strategy.report.words.costs import cost_words
from strategy.report.words.lengths import Units
from strategy.report.words.shot_words import spoken
from strategy.units import YARD_M

LAND_NEAR_M: Final = 20.0 * YARD_M  # a shot that lands further past a false front does not meet it
LAND_TELLS_M: Final = 10.0 * YARD_M  # and one that lands further past it seldom does
TELLING_PUTT: Final = 0.04  # putts between two sides of the hole
_OF_THE_HOLE: Final = {"short": "short of", "long": "beyond", "left": "left of", "right": "right of"}


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


def land_words(decision: Decision, units: Units) -> str:
    """The cover of a false front, of a shot that lands near it: "False front: land 159 or more."; else ""."""
    least = decision.least_landing_m
    if least is None or not lands_near(decision, LAND_NEAR_M):
        return ""
    return f"False front: land {units.whole(least)} or more."


def lands_near(decision: Decision, within_m: float) -> bool:
    """Whether the advised shot plays at a green with a false front and lands short of so far past it. [m]"""
    quoted, least = decision.options[0].quoted, decision.least_landing_m
    at_hole = quoted is not None and quoted.finish.of == "hole"
    return least is not None and at_hole and decision.first.carry_m < least + within_m


def sight_words(decision: Decision) -> str:
    """Of a shot whose landing the ground or trees hide: "The landing is out of sight."; "" otherwise."""
    return "The landing is out of sight." if decision.out_of_sight else ""


def trees_words(decision: Decision) -> str:
    """Of a shot that trees stop now and then: "17 of 20 clear the trees."; "" otherwise."""
    if not decision.options:
        return ""
    stopped = round(20.0 * decision.first.tree_share)
    return f"{20 - stopped} of 20 clear the trees." if stopped else ""


def unplayable_words(decision: Decision, units: Units) -> str:
    """Of a ball that is better dropped: "Better unplayable: a stroke and a drop ..."; "" otherwise."""
    drop = decision.unplayable
    if drop is None:
        return ""
    where = f"{units.whole(drop.away_m)} back on the line" if drop.back else "within two club-lengths"
    return f"Better unplayable: a stroke and a drop {where} saves {drop.saves:.2f}."


def sides_words(decision: Decision) -> str:
    """Which side of the hole to be on, where it tells: "Be short of the hole: from beyond it a putt ..."."""
    sides = decision.sides
    if sides is None or not sides.known or sides.cost < TELLING_PUTT:
        return ""
    best, worst = (_OF_THE_HOLE[s] for s in (sides.best, sides.worst))
    return f"Be {best} the hole: a 13-ft putt from {worst} it costs {sides.cost:.2f} more."


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


def need_words(decision: Decision, units: Units) -> str:
    """The shot for each score that is needed, and what it costs.

    ::

        For 4 or better: 3-wood, the fade instead, chance 46 % against 41 %, costs 0.08.
        For 4 or better play the same shot (41 %).
    """
    return " ".join(_need(needed, decision, units) for needed in decision.needs)


def _need(needed: Needed, decision: Decision, units: Units) -> str:
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


def counts_words(counts: Mapping[str, int]) -> str:
    """Where twenty balls go: "Of 20: 14 green, 3 short, 2 sand, 1 wet."."""
    return f"Of {sum(counts.values())}: {', '.join(f'{n} {where}' for where, n in counts.items())}."


def sure_words(decision: Decision, units: Units) -> str:
    """How sure the answer and its aim are; "" where no other answer comes near.

    ::

        Sure in 6 of 10 weeks: it hangs on the wind.
        Sure in 9 of 10 weeks. From 2 left to 4 right of that aim costs under 0.02 in nine weeks of ten.
    """
    sure = decision.sureness
    if sure is None:
        return ""
    told = f"Sure in {decision.first.in_ten} of 10 weeks."
    if sure.hangs_on:
        told = f"{told[:-1]}: it hangs on the {sure.hangs_on}."
    if sure.saves >= 0.005:
        other = spoken(decision.options[sure.best_in_mean].option.label)
        told += f" In the mean over them {other} saves {sure.saves:.2f}."
    left, right = (units.whole(m) for m in sure.aims_m)
    if not left and not right:
        return told
    ends = [f"{n} {side}" for n, side in ((left, "left"), (right, "right")) if n]
    span = f"From {ends[0]} to {ends[1]}" if len(ends) == 2 else f"Up to {ends[0]}"
    return f"{told} {span} of that aim costs under {EVEN:.2f} in nine weeks of ten."


def commit_words(decision: Decision, units: Units) -> str:
    """The number to settle on in gusts, and what being wrong costs; "" where one number does.

    ::

        In the lull it plays 171, in gusts 183: commit to 176; a gust then costs 0.04, a lull 0.02.
        In the lull it plays 171, in gusts 183: commit to 176; doubt costs 0.05, a gust takes it 7 right and
        costs 0.06, a lull takes it 6 left and costs 0.04.
        In the lull it plays 187, in gusts 235 (3-iron): commit to 187; a gust then costs 0.04, a lull 0.02.

    A number that is another shot's than the one advised names it.
    """
    held = decision.commit
    if held is None:
        return ""
    lull, forecast, gust = (
        f"{units.whole(n)}" + (f" ({other})" if other else "")
        for n, other in zip(held.numbers_m, held.others, strict=True)
    )
    settled = f"{units.whole(held.committed_m)}"
    middle = "" if settled == forecast else f", as forecast {forecast}"
    (calmer, stronger), doubted = held.sides_m, held.cost_doubt is not None
    moves = [_taken(stronger, units), _taken(calmer, units)]
    wrong = [("a gust" if doubted else "a gust then", moves[0], held.cost_gust)]
    wrong.append(("a lull", moves[1], held.cost_lull))
    if held.cost_doubt is not None:
        wrong.insert(0, ("doubt", "", held.cost_doubt))
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
