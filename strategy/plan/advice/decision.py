"""One hole with one hole location: the tee shot, the approaches, and what follows on a long hole.

The second shot is planned from the median leave of the tee shot and from both edges of its landing. While the
green is out of reach (par 5s) one more shot is planned from the median leave of the shot before: until the
green is reached, the ball lies within 40 m of the hole, or three shots are planned after the tee shot.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.codes import Lie, Spot
from strategy.course.model import Hole
from strategy.course.pins import green_numbers, margin_warning
from strategy.decide import CostField, Option, cost_at, cost_field
from strategy.decide.aims import Aims
from strategy.decide.commit import Commitment, Gusts, commit, gusts
from strategy.decide.leaves import Decided
from strategy.decide.misses import Miss, misses
from strategy.decide.option import EVEN, word_for
from strategy.decide.options import candidates, judged_options
from strategy.decide.putts import Sides, sides
from strategy.decide.solver.need import Within
from strategy.decide.solver.unplayable import dropped
from strategy.decide.solver.whole_hole import WholeHole
from strategy.decide.sureness import Sureness, sureness
from strategy.decide.unseen import unseen
from strategy.errors import RequestError
from strategy.outcome.points import Stream, merged
from strategy.outcome.request import Request, request
from strategy.outcome.setup import today_of
from strategy.outcome.today import HoleToday
from strategy.outcome.weeks import plausible_weeks
from strategy.plan.advice.jump import jump, quoted_lies
from strategy.plan.advice.landmarks import Sighted, Surroundings, aim_at_landmark, is_seen, surroundings_of
from strategy.plan.advice.order import MORE_TRIED, Order, by_taste, in_order, why_first
from strategy.plan.advice.quotes import quote, short_side
from strategy.plan.advice.trouble import troubles
from strategy.plan.advice.unknown_trees import trees_unknown
from strategy.plan.advice.values import restored, solve
from strategy.plan.advice.what_follows import by_name, by_table, needed, next_shots, scores_of
from strategy.plan.document import ANSWERS, Cut, Decision, LocationPlan, PlannedOption, Role
from strategy.plan.quoted import AtFlag, Drop, NextShot, Quoted
from strategy.player.model import Player
from strategy.units import YARD_M
from strategy.week.model import Week

MORE_SHOTS: Final = 3
NEAR_M: Final = 40.0
KEEP: Final = 4  # shots kept of each decision
AT_HOLE_M: Final = 1.5 * YARD_M  # advice this near the hole is "at the flag" itself


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bench:
    """A hole set up from one set of markers: what its hole locations share.

    Attributes
    ----------
    today : HoleToday
        With some hole location; `lay_out` moves it.
    windy : Gusts or None
        What shots are flown in, lull to gust; None where gusts add little.
    sheet : str
        The hole location in the words of the sheet; empty where none is given.
    """

    hole: Hole
    player: Player
    week: Week
    today: HoleToday
    around: Surroundings
    windy: Gusts | None = None
    sheet: str = ""

    def lay_out(
        self, xy: tuple[float, float], *, seed: int = 1, value: FloatArray | None = None
    ) -> tuple[CostField, WholeHole]:
        """The hole solved for this player with one hole location, laid out for decisions. [m]

        Parameters
        ----------
        value : ndarray, optional
            Values of the same solution, if they are known: it is then not worked out again.
        """
        moved = self.today.with_pin(xy)
        whole = solve(moved, seed=seed) if value is None else restored(moved, value)
        return cost_field(moved, whole), whole


def set_up(
    hole: Hole,
    player: Player,
    week: Week,
    round_number: int,
    labels: tuple[str, ...],
    pin: tuple[float, float],
) -> Bench:
    """Set a hole up from the markers of one round.

    Parameters
    ----------
    labels : tuple of str
        All holes in the order of the card (for the hour, hence the wind).
    pin : tuple of two floats
        Any hole location. [m]

    Raises
    ------
    RequestError
        If the round or the tee is not there.
    """
    return bench_of(request(hole, player, week, round_number, pin=pin, labels=labels))


def bench_of(asked: Request) -> Bench:
    """Set a hole up as it is asked about; a player and a hole location are needed."""
    assert asked.player is not None
    here = today_of(asked)
    return Bench(
        hole=asked.hole,
        player=asked.player,
        week=asked.week,
        today=here,
        around=surroundings_of(asked.hole, here.line),
        windy=gusts(asked.player, here.day),
        sheet=asked.location,
    )


def plan_location(bench: Bench, field: CostField, cut: Cut, *, seed: int = 1) -> LocationPlan:
    """Plan one hole location: tee shot, approaches, and on a long hole the shots after them.

    Parameters
    ----------
    bench : Bench
        The hole set up.
    field : CostField
        Laid out for this location.
    cut : Cut
        Where the hole is cut.
    seed : int
        Seed of all points.
    """
    tee = decide(bench, field, field.today.tee_spot, Role.TEE, 1, seed=seed)
    follows: tuple[NextShot, ...] = ()
    approaches: list[Decision] = []
    leave = tee.first.leave if tee.options else None
    stroke = 2
    while leave is not None and stroke < 2 + MORE_SHOTS:
        balls = [(Role.MIDDLE if stroke == 2 else Role.ON, leave.middle)]
        if stroke == 2:
            balls += [(Role.LEFT, leave.left), (Role.RIGHT, leave.right)]
        planned = [decide(bench, field, ball, role, stroke, seed=seed) for role, ball in balls]
        approaches += planned
        if stroke == 2:
            decided = [Decided(d.spot, d.first.choice) for d in planned if d.options]
            follows = next_shots(field, tee, decided, seed)
        leave = planned[0].first.leave if planned[0].options else None
        if leave is not None and _to_hole(field.today, leave.middle) < NEAR_M:
            leave = None
        stroke += 1
    return LocationPlan(
        cut=cut,
        warning=margin_warning(bench.hole, cut.xy, bench.week.margin_paces),
        assumptions=field.today.assumptions,
        tee=dataclasses.replace(tee, next_shots=follows),
        approaches=tuple(approaches),
    )


def decide(
    bench: Bench, field: CostField, spot: Spot, role: Role, stroke: int, *, seed: int = 1, keep: int = KEEP,
    need: int = 0, mix: Mapping[Lie, float] | None = None,
) -> Decision:  # fmt: skip
    """Options from one spot, and all facts that their sentences quote.

    A lie from which the player has no shot gives a decision without options; its note says so.

    Parameters
    ----------
    bench : Bench
        The hole set up.
    field : CostField
        Laid out for the hole location.
    spot : Spot
        Where the ball is and how it lies.
    role, stroke : Role, int
        See `Decision`.
    seed : int
        Seed of all points.
    keep : int
        Number of options kept.
    need : int
        Strokes still allowed, where the shot for a score is asked for; 0 = not asked.
    mix : mapping of Lie to float, optional
        Chances of the lies that the ball may have, where the lie is not seen. Options are then one swing for
        all of them, and facts that depend on one lie are left out.
    """
    here = field.today
    spot = Spot(float(spot.x), float(spot.y), Lie(spot.lie))
    plain = Decision(
        role=role,
        stroke=stroke,
        spot=spot,
        to_hole_m=_to_hole(here, spot),
        green=green_numbers(bench.hole, here.line, spot[:2], reference=bench.week.front_reference),
        options=(),
        least_landing_m=here.least_landing_from(spot),
    )
    if role in (Role.LEFT, Role.RIGHT):
        keep = min(keep, ANSWERS)  # an edge of the landing is said in half a line
    try:
        if mix:
            return _decide_unseen(bench, field, plain, mix, seed=seed, keep=keep)
        order, sighted = ranked_options(bench, field, spot, seed=seed, keep=keep)
    except RequestError as fault:
        return dataclasses.replace(plain, note=str(fault))
    how_sure = None
    if role not in (Role.LEFT, Role.RIGHT):
        order, how_sure = _over_the_weeks(bench.player, field, spot, order, seed)
    options = order.options
    first = options[0]
    quotes = [quote(bench.around, field, spot, o, sighted.get(o.index), seed=seed) for o in options[:ANSWERS]]
    settled = _commit(bench, field, plain, first, quotes[0], seed)
    whole = field.to_go if isinstance(field.to_go, WholeHole) else None
    if whole is not None and role is Role.TEE:
        first = dataclasses.replace(first, score_chances=scores_of(field, spot, first, seed))
        options = (first, *options[1:])
    asked_for = role in (Role.TEE, Role.ASKED)
    return dataclasses.replace(
        plain,
        options=_planned(bench.player, options, quotes),
        sureness=how_sure,
        why_first=order.why,
        through=order.through,
        at_flag=_at_flag(field, spot, options, seed),
        short_side=_short_side(bench, field, spot, first.aim),
        commit=settled,
        jump=jump(field, spot, first.aim, first.strokes - first.cost, seed=seed),
        unplayable=_unplayable(field, spot, first),
        misses=_misses(field, plain, first, seed),
        sides=_sides(field, plain, first),
        by_table=by_table(field, spot, options, seed) if asked_for else None,
        trees=trees_unknown(bench.hole, field, spot, options, seed) if asked_for else None,
        score_counts=by_name(first.score_chances, here.par),
        trouble=troubles(bench.around, spot, first, quotes[0].run_m, at_green=here.at_green(first.aim)),
        out_of_sight=not here.at_green(first.aim) and not is_seen(bench.around, spot, first.aim),
        needs=() if whole is None or not need else (needed(Within(whole), spot, options, need, seed),),
    )


def _decide_unseen(
    bench: Bench, field: CostField, plain: Decision, mix: Mapping[Lie, float], *, seed: int, keep: int
) -> Decision:
    """One swing for all lies that a ball may have; facts that depend on one of them are left out."""
    spot = plain.spot
    unknown = unseen(field, spot, mix, seed=seed, keep=keep)
    options = by_taste(unknown.options, bench.player)
    quotes = [quote(bench.around, field, spot, option, None, seed=seed) for option in options[:ANSWERS]]
    return dataclasses.replace(
        plain,
        options=_planned(bench.player, options, quotes),
        why_first=why_first(options, bench.player),
        unseen=quoted_lies(unknown),
        short_side=_short_side(bench, field, spot, options[0].aim),
        sides=_sides(field, plain, options[0]),
    )


def ranked_options(
    bench: Bench, field: CostField, spot: Spot, *, seed: int = 1, keep: int = KEEP
) -> tuple[Order, dict[int, Sighted | None]]:
    """Options in the order in which they are said, and the landmark of each by its row of the shot table.

    Aims are moved to landmarks first; then the options are judged together at these aims.

    Raises
    ------
    RequestError
        If the player has no shot from this lie.
    """
    tried = keep + (MORE_TRIED if spot.lie == Lie.RECOVERY else 0)
    searched = candidates(field, spot, seed=seed, keep=tried)
    choices = [searched.aims.choice(i) for i in range(len(searched.aims))]
    moved = [
        aim_at_landmark(bench.around, field, spot, choice, searched.value, seed=seed) for choice in choices
    ]
    aims = Aims.of([choice for choice, _ in moved])
    judged = judged_options(field, spot, aims, seed=seed, guess=searched.value)
    order = in_order(field, spot, judged, bench.player, seed)
    return dataclasses.replace(order, options=order.options[:keep]), {c.shot: sighted for c, sighted in moved}


def _over_the_weeks(
    player: Player, field: CostField, spot: Spot, order: Order, seed: int
) -> tuple[Order, Sureness | None]:
    """How sure the answer is; the option with the fewest strokes in the mean over the weeks comes first.

    That mean is what the player will meet. It counts where it saves `EVEN` or more, and where nothing else
    decided the order.
    """
    weeks = plausible_weeks(player, seed=seed)
    options, sure = sureness(field, spot, order.options, weeks, seed=seed)
    why = order.why
    if sure is not None and not why and order.through is None and sure.saves >= EVEN:
        best = options[sure.best_in_mean]
        first = (best, *(o for o in options if o is not best))
        options, sure = sureness(field, spot, first, weeks, seed=seed)
        why = "weeks"
    return dataclasses.replace(order, options=options, why=why), sure


def _unplayable(field: CostField, spot: Spot, best: Option) -> Drop | None:
    """The drop for an unplayable ball, where it is better than the best shot."""
    if spot.lie in (Lie.TEE, Lie.SAND, Lie.GREEN) or not isinstance(field.to_go, WholeHole):
        return None
    drop = dropped(field, field.to_go.solved(field), spot)
    value = best.strokes - best.cost
    if drop is None or value - drop[0] < EVEN:
        return None
    away = float(np.hypot(drop[1][0] - spot.x, drop[1][1] - spot.y))
    two_clubs = 2.0 * field.today.longest_club_m + field.today.cell_m
    return Drop(away_m=away, back=away > two_clubs, saves=value - drop[0])


def _short_side(bench: Bench, field: CostField, spot: Spot, aim: tuple[float, float]) -> str:
    """The near edge that the advice finishes towards, where the numbers do not see it."""
    if isinstance(field.to_go, WholeHole) and field.to_go.near is not None:
        return ""
    return short_side(bench.hole, spot, field.today.hole, aim) if field.today.at_green(aim) else ""


def _at_green(field: CostField, decision: Decision, best: Option) -> bool:
    """Whether the shot is at the green and more is said of it than half a line."""
    return decision.role not in (Role.LEFT, Role.RIGHT) and field.today.at_green(best.aim)


def _sides(field: CostField, decision: Decision, best: Option) -> Sides | None:
    """Which side of the hole to putt from, of a shot at the green."""
    if not isinstance(field.to_go, WholeHole) or not _at_green(field, decision, best):
        return None
    return sides(field.today, field.to_go.greens, decision.spot)


def _commit(
    bench: Bench, field: CostField, decision: Decision, best: Option, quoted: Quoted, seed: int
) -> Commitment | None:
    """The number to settle on in gusts, for an answer that says its number."""
    if bench.windy is None or decision.role in (Role.LEFT, Role.RIGHT):
        return None
    if decision.role is Role.TEE and quoted.full and quoted.finish.of != "hole":
        return None  # of a full tee shot no number is said
    return commit(field, decision.spot, best, bench.windy, seed=seed)


def _misses(field: CostField, decision: Decision, best: Option, seed: int) -> tuple[Miss, ...]:
    """Where to miss, of a shot at the green."""
    if not _at_green(field, decision, best):
        return ()
    points = merged(128, Stream.REPORT.of(seed), 4)
    return misses(field, decision.spot, best.choice, best.strokes - best.cost, points)


def _at_flag(field: CostField, spot: Spot, options: tuple[Option, ...], seed: int) -> AtFlag | None:
    """Cheapest way to finish at the hole, against the best option; None where the advice is there already."""
    here = field.today
    if not here.at_green(options[0].aim):
        return None
    if np.hypot(*np.subtract(options[0].aim, here.hole)) < AT_HOLE_M:
        return None
    best: tuple[float, float, str] | None = None
    for option in options[:4]:
        priced = cost_at(field, spot, option.index, here.hole, option, seed=seed)
        if priced is None:
            continue
        cost = option.cost + priced[0]
        if best is None or cost < best[0]:
            best = (cost, float(np.hypot(option.cost_error, priced[1])), option.label)
    if best is None:
        return None
    cost, half, label = max(best[0], 0.0), best[1], best[2]
    return AtFlag(label=label, cost=cost, cost_error=half, word=word_for(cost, half))


def _planned(
    player: Player, options: Sequence[Option], quotes: Sequence[Quoted]
) -> tuple[PlannedOption, ...]:
    """Options with what is quoted of the first ones, and where their numbers come from."""
    more = (None,) * (len(options) - len(quotes))
    return tuple(
        PlannedOption(
            option=option,
            quoted=quoted,
            balls=player.shots[option.index].spread.balls or 0,
            origins=_origins(player, option),
        )
        for option, quoted in zip(options, (*quotes, *more), strict=True)
    )


def _origins(player: Player, option: Option) -> dict[str, str]:
    """Origin of what is known of a shot; see `PlannedOption`."""
    shot = player.shots[option.index]
    origins = {what: "assumed" if what in shot.assumed else "stated" for what in ("carry", "run", "bend")}
    balls = shot.spread.balls or 0
    scatter = "measured" if balls else "assumed" if "scatter" in shot.assumed else "stated"
    known = {"carry": origins["carry"], "scatter": scatter, "run": origins["run"], "bend": origins["bend"]}
    if option.stance is not None:
        known["stance"] = player.slopes.origin(option.stance.ahead)
    return known


def _to_hole(here: HoleToday, spot: Spot) -> float:
    return float(np.hypot(spot.x - here.hole[0], spot.y - here.hole[1]))
