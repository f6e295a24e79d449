"""Which of the judged options is said first: the cheapest, but for stock, taste and trees.

Costs are counted from the cheapest option, whichever stands first. A first option that is dearer says why it
stands first, and what that costs.

Stock and taste choose among options that are even. The stock shot comes first, for one stock shape scatters
least (common practice), then what the player likes; what is disliked comes last. A shorter swing of the stock
shape, and shots round the green, which have no stock shot, count as stock.

How many balls come through trees is an engineering choice (`strategy.course.readers.notes`), so an answer
should not depend on it. The plausible range is taken as 0.7 to 1/0.7 times the mean free ways in use: of ten
balls 1.5 to 4 come through a crown 8 m across, where 2.6 do as assumed. This range is an engineering choice
too, for nothing published settles it, and what a caddie states in course.toml is as much a guess. Where the
choice between a shot through trees and a clearer one changes inside that range, the clearer one comes first:
the chip-out. This does not hold for tee shots.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from strategy.codes import Lie, Spot
from strategy.decide import CostField, Option
from strategy.decide.aims import Aims
from strategy.decide.option import EVEN
from strategy.decide.search import pool
from strategy.decide.worlds import through_trees, valued
from strategy.outcome.play import finishes
from strategy.outcome.points import Stream, merged
from strategy.outcome.today import HoleToday
from strategy.plan.quoted import Through
from strategy.player.model import Player, Shot

FEWER: Final = (
    0.7  # mean free ways at the end of the range where fewer balls come through; 1/0.7 at the other
)
CLEARER: Final = 0.15  # of all balls: a shot that trees stop so much less often is the clearer one
MORE_TRIED: Final = 2  # shots besides those kept, of a ball that may be among trees
_SHORTER: Final = 0.95  # of the stock carry: a swing below it is a shorter one
_POINTS: Final = 256  # of each stratum and scramble


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """Options in the order in which they are said.

    Attributes
    ----------
    options : tuple of Option
    why : str
        Why the first is not the cheapest: "stock", "liked", "disliked" (the cheaper one is), "trees", or
        "weeks", where it is cheaper in the mean over the plausible weeks; "" when it is the cheapest.
    through : Through or None
        Set where the choice between the first option and a shot through trees depends on how many balls come
        through.
    """

    options: tuple[Option, ...]
    why: str = ""
    through: Through | None = None


def in_order(field: CostField, spot: Spot, options: tuple[Option, ...], player: Player, seed: int) -> Order:
    """Order judged options as they are said.

    Parameters
    ----------
    field : CostField
        The hole laid out.
    spot : Spot
        Where from.
    options : tuple of Option
        Cheapest first.
    player : Player
        Whose shots they are.
    seed : int
        Of the decision.
    """
    by_cost = by_taste(options, player)
    first, through = clearer_first(field, spot, by_cost, seed)
    if first is not by_cost[0]:
        return Order(options=(first, *(o for o in by_cost if o is not first)), why="trees", through=through)
    return Order(options=by_cost, why=why_first(by_cost, player), through=through)


def by_taste(options: tuple[Option, ...], player: Player) -> tuple[Option, ...]:
    """Options in order of cost; among those within 0.02 stock shots first, then likes, dislikes last.

    An option that costs more never moves up: stock and taste choose among answers that are even.
    """
    as_good = [o for o in options if o.cost < EVEN]
    return (
        *sorted(as_good, key=lambda o: (not counts_as_stock(player, o.index), _dislike(player, o))),
        *(o for o in options if o.cost >= EVEN),
    )


def counts_as_stock(player: Player, index: int) -> bool:
    """Whether a shot is its club's stock shot, or a shorter swing of that, or is played round the green."""
    shot = player.shots[index]
    if shot.stock or shot.short:
        return True
    stock = next((s for s in player.shots if s.stock and s.club == shot.club), None)
    return stock is not None and _shorter_swing(shot, stock)


def _shorter_swing(shot: Shot, stock: Shot) -> bool:
    """Whether a shot is a shorter swing of another; a flight that is not stated is taken for the same."""
    bends_alike = shot.bend_m == 0.0 or shot.bend_m * stock.bend_m > 0.0
    as_high = shot.height in ("normal", stock.height)
    return bends_alike and as_high and shot.carry_m < _SHORTER * stock.carry_m


def _dislike(player: Player, option: Option) -> int:
    """-1 for a shot or club the player likes, 1 for one that is disliked."""
    names = {option.club.casefold(), option.label.casefold()}
    liked = any(word.casefold() in names for word in player.likes)
    return int(any(word.casefold() in names for word in player.dislikes)) - int(liked)


def why_first(ordered: tuple[Option, ...], player: Player) -> str:
    """Why the first is not the cheapest: "stock", "liked" or "disliked"; "" when it is. See `Order.why`."""
    first, cheapest = ordered[0], min(ordered, key=lambda o: o.cost)
    if first.cost <= cheapest.cost:
        return ""
    if counts_as_stock(player, first.index) and not counts_as_stock(player, cheapest.index):
        return "stock"
    return "liked" if _dislike(player, first) < 0 else "disliked"


def clearer_first(
    field: CostField, spot: Spot, ordered: tuple[Option, ...], seed: int
) -> tuple[Option, Through | None]:
    """The option to say first where trees stand in the way, and what the choice depends on.

    The shots that follow are played as with the assumed share of balls that come through.
    """
    first = ordered[0]
    canopy = field.today.canopy
    if canopy is None or spot.lie == Lie.TEE:
        return first, None
    clearer = [o for o in ordered if first.tree_share - o.tree_share >= CLEARER]
    bolder = [o for o in ordered if o.tree_share - first.tree_share >= CLEARER]
    value = first.strokes - first.cost
    aims = Aims.of([o.choice for o in ordered])

    def strokes(there: CostField) -> dict[int, float]:
        once = valued(there, spot, aims, [pool(Stream.PRICE.of(seed), _POINTS)], value).once(value)
        return {o.index: float(s) for o, s in zip(ordered, once, strict=True)}

    if clearer:
        there = through_trees(field, FEWER)
        then = strokes(there)
        better = [o for o in clearer if then[o.index] < then[first.index]]
        if better:
            safe = min(better, key=lambda o: o.cost)
            return safe, _through(there, spot, safe, first, then, seed)
    if bolder:
        there = through_trees(field, 1.0 / FEWER)
        then = strokes(there)
        bold = min(bolder, key=lambda o: then[o.index])
        if then[bold.index] < then[first.index]:
            return first, _through(there, spot, first, bold, then, seed)
    return first, None


def _through(
    changed: CostField, spot: Spot, safe: Option, bold: Option, then: dict[int, float], seed: int
) -> Through:
    return Through(
        label=bold.label,
        costs=bold.cost - safe.cost,
        clears=1.0 - bold.tree_share,
        other_costs=then[bold.index] - then[safe.index],
        other_clears=1.0 - _struck(changed.today, spot, bold, seed),
    )


def _struck(today: HoleToday, spot: Spot, option: Option, seed: int) -> float:
    ends = finishes(today, spot, option.choice, merged(128, Stream.REPORT.of(seed), 4))
    return float(ends.weight[ends.flown < 1.0].sum())
