"""One hole with one hole location: the tee shot, the approaches, and what follows on a long hole.

The next shot is planned from the median leave and from both edges of the landing. Where the green is still
out of reach from the median leave (par 5s) the shot after is planned from its own median leave, until the
green is reached, the ball is within 40 m, or three shots are planned beyond the tee shot.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from strategy.arrays import FloatArray
from strategy.codes import Lie, Spot
from strategy.course.model import Hole
from strategy.course.pins import green_numbers, margin_warning
from strategy.decide import CostField, Leave, Option, OptionError, cost_at, cost_field
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
from strategy.decide.unseen import unseen
from strategy.errors import RequestError
from strategy.outcome.points import Stream, merged
from strategy.outcome.request import Request, request
from strategy.outcome.setup import today_of
from strategy.outcome.today import HoleToday
from strategy.plan.advice.jump import jump, quoted_lies
from strategy.plan.advice.order import MORE_TRIED, Order, by_taste, in_order, why_first
from strategy.plan.advice.quotes import Mark, Sight, short_side, sight, snapped, told
from strategy.plan.advice.unknown_trees import trees_unknown
from strategy.plan.advice.values import recalled, solve
from strategy.plan.advice.what_follows import by_name, by_table, needed, next_shots, scores_of
from strategy.plan.document import (
    SAID,
    Decision,
    Landing,
    LocationPlan,
    Place,
    PlannedOption,
    Role,
)
from strategy.plan.quoted import (
    AtFlag,
    Drop,
    Needed,
    Next,
    Said,
)
from strategy.player.model import Player
from strategy.units import YARD_M
from strategy.week.model import Week

MORE_SHOTS: Final = 3
NEAR_M: Final = 40.0
KEEP: Final = 4  # shots kept of each decision
AT_HOLE_M: Final = 1.5 * YARD_M  # advice this near the hole is "at the flag" itself


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A hole location to plan for.

    Attributes
    ----------
    text : str
        As a pin sheet prints it.
    on_m : float
        Depth from the front reference. [m]
    xy : tuple of two floats
        [m]
    origin, name, why : str
        See `LocationPlan`.
    """

    text: str
    on_m: float
    xy: tuple[float, float]
    origin: str
    name: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bench:
    """A hole set up from one set of markers: what all its hole locations share.

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
    seen: Sight
    windy: Gusts | None = None
    sheet: str = ""

    def lay_out(
        self, xy: tuple[float, float], *, seed: int = 1, value: FloatArray | None = None
    ) -> tuple[CostField, WholeHole]:
        """The hole solved for this player with one hole location, laid out for decisions. [m]

        Parameters
        ----------
        value : ndarray, optional
            Values kept of the same solution, which is then not made again.
        """
        moved = self.today.with_pin(xy)
        whole = solve(moved, seed=seed) if value is None else recalled(moved, value)
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
        seen=sight(asked.hole, here.line),
        windy=gusts(asked.player, here.day),
        sheet=asked.location,
    )


def plan_location(bench: Bench, field: CostField, cut: Cut, *, seed: int = 1) -> LocationPlan:
    """Plan one hole location: tee shot, approaches, and the shots beyond on a long hole.

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
    follows: tuple[Next, ...] = ()
    approaches: list[Decision] = []
    landing = tee.options[0].landing if tee.options else None
    stroke = 2
    while landing is not None and stroke < 2 + MORE_SHOTS:
        balls = [(Role.MIDDLE if stroke == 2 else Role.ON, landing.middle)]
        if stroke == 2:
            balls += [(Role.LEFT, landing.left), (Role.RIGHT, landing.right)]
        planned = [decide(bench, field, spot_of(ball), role, stroke, seed=seed) for role, ball in balls]
        approaches += planned
        if stroke == 2:
            pairs = zip(balls, planned, strict=True)
            decided = [Decided(spot_of(ball), d.options[0].choice) for (_, ball), d in pairs if d.options]
            follows = next_shots(field, tee, decided, seed)
        landing = planned[0].options[0].landing if planned[0].options else None
        if landing is not None and _to_hole(field.today, spot_of(landing.middle)) < NEAR_M:
            landing = None
        stroke += 1
    return LocationPlan(
        text=cut.text,
        on_m=cut.on_m,
        xy=cut.xy,
        origin=cut.origin,
        name=cut.name,
        why=cut.why,
        warning=margin_warning(bench.hole, cut.xy, bench.week.margin_paces),
        assumptions=field.today.assumptions,
        tee=dataclasses.replace(tee, next=follows),
        approaches=tuple(approaches),
    )


def decide(
    bench: Bench, field: CostField, spot: Spot, role: Role, stroke: int, *, seed: int = 1, keep: int = KEEP,
    need: int = 0, mix: Mapping[Lie, float] | None = None,
) -> Decision:  # fmt: skip
    """Options from one spot with everything their sentences quote.

    A lie the player has no shot from gives a decision without options, and says so. `need`: strokes still
    allowed, for the shot of a score that is needed; 0 = not asked. `mix`: chances of lies that the ball may
    have unseen; options are then one swing for all, and what hangs on one lie is left out.
    """
    here = field.today
    if role in (Role.LEFT, Role.RIGHT):
        keep = min(keep, SAID)  # an edge of the landing is said in half a line
    numbers = green_numbers(bench.hole, here.line, (spot.x, spot.y), reference=bench.week.front_reference)
    order, note, seen = Order(options=()), "", None
    marks: dict[int, Mark | None] = {}
    try:
        if mix:
            unknown = unseen(field, spot, mix, seed=seed, keep=keep)
            by_cost = by_taste(unknown.options, bench.player)
            order, seen = Order(options=by_cost, why=why_first(by_cost, bench.player)), quoted_lies(unknown)
        else:
            order, marks = answers(bench, field, spot, seed=seed, keep=keep)
    except RequestError as fault:
        note = str(fault)
    found = order.options
    planned: list[PlannedOption] = []
    settled: Commitment | None = None
    for i, option in enumerate(found):
        mark = marks.get(option.index)
        said = told(bench.seen, field, spot, option, mark, seed=seed) if i < SAID else None
        if i == 0 and said is not None and not mix:
            settled = _commit(bench, field, spot, role, option, said, seed)
        planned.append(_planned(bench.player, option, said))
    aim = planned[0].aim if planned else here.hole
    from_tee = role is Role.TEE and bool(planned)
    scores: dict[str, float] = {}
    needs: tuple[Needed, ...] = ()
    if planned and isinstance(field.to_go, WholeHole) and (from_tee or need):
        scores = scores_of(field, spot, found[0], seed) if from_tee else {}
        if need and not mix:
            needs = (needed(Within(field.to_go), spot, planned, need, seed),)
    return Decision(
        role=role,
        stroke=stroke,
        place=_place(spot),
        to_hole_m=_to_hole(here, spot),
        front_m=numbers.front_m,
        middle_m=numbers.middle_m,
        back_m=numbers.back_m,
        options=tuple(planned),
        at_flag=None if mix else _at_flag(field, spot, found, seed),
        short_side=_short_side(bench, field, spot, aim),
        note=note,
        jump=jump(field, spot, aim, found[0].strokes - found[0].cost, seed=seed)
        if found and not mix
        else None,
        by_table=by_table(field, spot, found, seed) if role in (Role.TEE, Role.ASKED) and not mix else None,
        misses=() if mix else _misses(field, spot, role, found, seed),
        scores=scores,
        score_counts=by_name(scores, here.par),
        commit=settled,
        needs=needs,
        sides=_sides(field, spot, role, found),
        trees=trees_unknown(bench.hole, field, spot, found, seed)
        if role in (Role.TEE, Role.ASKED) and not mix
        else None,
        unplayable=None if mix else _unplayable(field, spot, found),
        why_first=order.why,
        through=order.through,
        unseen=seen,
    )


def answers(
    bench: Bench, field: CostField, spot: Spot, *, seed: int = 1, keep: int = KEEP
) -> tuple[Order, dict[int, Mark | None]]:
    """Options from a spot as they are said, and the landmark of each by its row of the shot table.

    Aims are moved to landmarks first, then judged together at what is printed.

    Raises
    ------
    RequestError
        If the player has no shot from this lie.
    """
    tried = keep + (MORE_TRIED if spot.lie == Lie.RECOVERY else 0)
    found = candidates(field, spot, seed=seed, keep=tried)
    choices = [found.aims.choice(i) for i in range(len(found.aims))]
    moved = [snapped(bench.seen, field, spot, choice, found.value, seed=seed) for choice in choices]
    aims = Aims.of([choice for choice, _ in moved])
    judged = judged_options(field, spot, aims, seed=seed, guess=found.value)
    order = in_order(field, spot, judged, bench.player, seed)
    return dataclasses.replace(order, options=order.options[:keep]), {c.shot: mark for c, mark in moved}


def _unplayable(field: CostField, spot: Spot, found: tuple[Option, ...]) -> Drop | None:
    """The drop for an unplayable ball, where it is better than the best shot."""
    if not found or spot.lie in (Lie.TEE, Lie.SAND, Lie.GREEN) or not isinstance(field.to_go, WholeHole):
        return None
    drop = dropped(field, field.to_go.solved(field), spot)
    best = found[0].strokes - found[0].cost
    if drop is None or best - drop[0] < EVEN:
        return None
    away = float(np.hypot(drop[1][0] - spot.x, drop[1][1] - spot.y))
    two_clubs = 2.0 * field.today.longest_club_m + field.today.cell_m
    return Drop(away_m=away, back=away > two_clubs, saves=best - drop[0])


def _short_side(bench: Bench, field: CostField, spot: Spot, aim: tuple[float, float]) -> str:
    """The near edge that the advice finishes towards, where the numbers do not see it."""
    if isinstance(field.to_go, WholeHole) and field.to_go.near is not None:
        return ""
    return short_side(bench.hole, spot, field.today.hole, aim) if field.today.at_green(aim) else ""


def _sides(field: CostField, spot: Spot, role: Role, found: tuple[Option, ...]) -> Sides | None:
    """Which side of the hole to putt from, of a shot at the green."""
    if not found or role in (Role.LEFT, Role.RIGHT) or not isinstance(field.to_go, WholeHole):
        return None
    if not field.today.at_green(found[0].aim):
        return None
    return sides(field.today, field.to_go.greens, spot)


def _commit(
    bench: Bench, field: CostField, spot: Spot, role: Role, best: Option, said: Said, seed: int
) -> Commitment | None:
    """The number to settle on in gusts, for an answer that says its number."""
    if bench.windy is None or role in (Role.LEFT, Role.RIGHT):
        return None
    if role is Role.TEE and said.full and said.finish.of != "hole":
        return None  # a full tee shot goes as far as it goes: no number is said of it
    return commit(field, spot, best, bench.windy, seed=seed)


def _misses(
    field: CostField, spot: Spot, role: Role, found: tuple[Option, ...], seed: int
) -> tuple[Miss, ...]:
    """Where to miss, of a shot at the green."""
    if not found or role in (Role.LEFT, Role.RIGHT) or not field.today.at_green(found[0].aim):
        return ()
    best = found[0]
    return misses(field, spot, best.choice, best.strokes - best.cost, merged(128, Stream.REPORT.of(seed), 4))


def _at_flag(field: CostField, spot: Spot, found: tuple[Option, ...], seed: int) -> AtFlag | None:
    """Cheapest way to finish at the hole, against the best option; None where the advice is there already."""
    here = field.today
    if not found or not here.at_green(found[0].aim):
        return None
    if np.hypot(*np.subtract(found[0].aim, here.hole)) < AT_HOLE_M:
        return None
    best: tuple[float, float, str] | None = None
    for option in found[:4]:
        there = cost_at(field, spot, option.index, here.hole, option, seed=seed)
        if there is None:
            continue
        cost = option.cost + there[0]
        if best is None or cost < best[0]:
            best = (cost, float(np.hypot(option.cost_error, there[1])), option.label)
    if best is None:
        return None
    cost, half, label = max(best[0], 0.0), best[1], best[2]
    return AtFlag(label=label, cost=cost, cost_error=half, word=word_for(cost, half))


def _planned(player: Player, option: Option, said: Said | None) -> PlannedOption:
    shot = player.shots[option.index]
    assumed = set(shot.assumed)
    balls = shot.spread.balls or 0
    scatter = f"measured, {balls} balls" if balls else "assumed" if "scatter" in assumed else "stated"
    leave = option.leave
    return PlannedOption(
        club=option.club,
        shot=option.shot,
        label=option.label,
        index=option.index,
        carry_m=option.carry_m,
        heading=option.heading,
        aim=option.aim,
        aim_lonlat=option.aim_lonlat,
        start_line=option.start_line,
        strokes=option.strokes,
        sampling=option.error.sampling,
        few_balls=option.error.few_balls,
        cost=option.cost,
        cost_error=option.cost_error,
        word=option.word,
        counts=dict(option.counts),
        chances=dict(option.chances),
        balls=balls,
        origins={
            "carry": "assumed" if "carry" in assumed else "stated",
            "scatter": scatter,
            "run": "assumed" if "run" in assumed else "stated",
            "bend": "assumed" if "bend" in assumed else "stated",
        },
        landing=None
        if leave is None
        else Landing(middle=_place(leave.middle), left=_place(leave.left), right=_place(leave.right)),
        said=said,
        plays_m=option.plays_m,
        struck=option.struck,
        longer_m=option.longer_m,
        rise_m=option.rise_m,
    )


def as_option(planned: PlannedOption) -> Option:
    """The option behind a planned one, as far as a picture needs it; its aim is at the landmark."""
    leave = None
    if planned.landing is not None and planned.said is not None and planned.said.leaves_m is not None:
        leave = Leave(
            middle=spot_of(planned.landing.middle),
            left=spot_of(planned.landing.left),
            right=spot_of(planned.landing.right),
            to_front_m=planned.said.leaves_m,
        )
    return Option(
        club=planned.club,
        shot=planned.shot,
        label=planned.label,
        index=planned.index,
        carry_m=planned.carry_m,
        heading=planned.heading,
        aim=planned.aim,
        aim_lonlat=planned.aim_lonlat,
        start_line=planned.start_line,
        strokes=planned.strokes,
        error=OptionError(sampling=planned.sampling, few_balls=planned.few_balls),
        cost=planned.cost,
        cost_error=planned.cost_error,
        word=planned.word,
        counts=planned.counts,
        chances=planned.chances,
        leave=leave,
        plays_m=planned.plays_m,
        struck=planned.struck,
        longer_m=planned.longer_m,
        rise_m=planned.rise_m,
    )


def _place(spot: Spot) -> Place:
    return Place(x=float(spot.x), y=float(spot.y), lie=Lie(spot.lie).label)


def spot_of(place: Place) -> Spot:
    """The spot behind a place of the document."""
    return Spot(place.x, place.y, Lie.of_label(place.lie))


def _to_hole(here: HoleToday, spot: Spot) -> float:
    return float(np.hypot(spot.x - here.hole[0], spot.y - here.hole[1]))
