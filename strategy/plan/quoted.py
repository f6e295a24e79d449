"""Facts of a decision that sentences quote: finishes, start lines, carries, costs, misses.

They are parts of the plan document (`strategy.plan.document`), each with the origin of its numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from strategy.codes import Lie
from strategy.decide.misses import Miss
from strategy.decide.option import Word

TELLING: Final = 0.1  # strokes between two misses from which one is advised
DEAD: Final = 0.6  # and from which the dearer one is dead


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """A bunker or water near the shot.

    Attributes
    ----------
    what : str
        "the far left bunker".
    kind : str
        "carry": the shot flies it; "reach": it begins beyond the carry; "beside": the ball lands next to it;
        "along": it runs along the hole there.
    reach_m, carry_m : float or None
        From the ball to its near and far edge, as `numbers` has them; None where it is not in sight. [m]
    origin : str
        traced, paced, ...
    own_line : bool
        Of water: measured on the shot's own line, which meets it elsewhere than the line of play does.
    """

    what: str
    kind: str
    reach_m: float | None
    carry_m: float | None
    origin: str
    own_line: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """Sand, water or out of bounds that the advised shot has to do with.

    Attributes
    ----------
    what : str
        As named, without its article: "far left bunker", "out of bounds".
    kind : str
        "sand", "water" or "out".
    side : str
        "left" or "right" of the shot's line; "" where the line crosses it.
    state : str
        "cleared": the shot flies it; "open": it may finish there; "beyond": it begins where it cannot reach.
    reach_m, carry_m : float or None
        From the ball to its near and far edge; see `Reach`. [m]
    room_m : float or None
        By how much the carry of the shot clears it; None where it does not. [m]
    along : bool
        It runs along the hole there.
    origin : str
        traced, paced, ...
    """

    what: str
    kind: str
    side: str
    state: str
    reach_m: float | None
    carry_m: float | None
    room_m: float | None
    along: bool
    origin: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TreesAt:
    """The answer if the trees of assumed height had another one.

    Attributes
    ----------
    height_m : float
        [m]
    strokes : float
        What the advice costs more than under the assumed height; negative where less.
    label : str
        The best shot then.
    cost, word : float, Word
        What the advice costs against it.
    """

    height_m: float
    strokes: float
    label: str
    cost: float
    word: Word


@dataclass(frozen=True, slots=True, kw_only=True)
class Trees:
    """How the answer depends on trees whose height is assumed: `low` and `tall` beside it. [m]"""

    assumed_m: float
    low: TreesAt
    tall: TreesAt


@dataclass(frozen=True, slots=True, kw_only=True)
class Through:
    """A shot through trees beside a clearer one, where the choice depends on how many balls come through.

    Attributes
    ----------
    label : str
        The shot through trees.
    costs : float
        What it costs above the clearer shot, which is said first, with the balls that come through as taken;
        negative where it saves. [strokes]
    clears : float
        Share of its balls that no tree stops, as taken.
    other_costs, other_clears : float
        The same at the end of the plausible range where the choice is the other one
        (`strategy.plan.advice.order`).
    """

    label: str
    costs: float
    clears: float
    other_costs: float
    other_clears: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Drop:
    """A drop for an unplayable ball that is better than any shot.

    Attributes
    ----------
    away_m : float
        From the ball. [m]
    back : bool
        Back on the line from the hole; otherwise within two club-lengths.
    saves : float
        Strokes, against the best shot.
    """

    away_m: float
    back: bool
    saves: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """Where the well-struck ball finishes, in the player's terms.

    Attributes
    ----------
    of : str
        What it is counted from: "fairway" (its middle at that depth), "line" (of play), "hole" (as seen from
        the ball).
    side_m : float
        Right of it. [m]
    past_m : float
        Beyond it; 0 unless `of` is "hole". [m]
    origin : str
        Of the thing it is measured from.
    """

    of: str
    side_m: float
    past_m: float
    origin: str


@dataclass(frozen=True, slots=True, kw_only=True)
class VisibleMark:
    """Something visible that a ball may start at.

    Attributes
    ----------
    name : str
        With its article: "the far bunker", "the green".
    part : str
        "left edge", "right edge" or "middle" of it; "" for the whole.
    origin : str
        traced, paced, ...
    """

    name: str
    part: str
    origin: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """Where the ball starts.

    Attributes
    ----------
    landmark : VisibleMark or None
        What it starts at; None when nothing stands near the line.
    side_m : float
        How far right of the finish the start line passes, abreast of it. [m]
    cost : float
        What moving the aim to that landmark costs. [strokes]
    """

    landmark: VisibleMark | None
    side_m: float
    cost: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Quoted:
    """The numbers that the sentence of one option quotes.

    Attributes
    ----------
    full : bool
        The shot at its full carry; False when it is dialled down.
    run_m : float
        Run of the well-struck ball. [m]
    room_m : tuple of two floats or None
        How far left and right the finish may move for less than 0.01 strokes; None at the green. [m]
    depth_room_m : tuple of two floats or None
        How far shorter and longer, within what the shot carries. [m]
    """

    finish: Finish
    start: Start | None
    reaches: tuple[Reach, ...]
    full: bool
    run_m: float
    room_m: tuple[float, float] | None
    depth_room_m: tuple[float, float] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AtFlag:
    """What the shot that finishes at the hole costs, with the club it takes."""

    label: str
    cost: float
    cost_error: float
    word: Word


@dataclass(frozen=True, slots=True, kw_only=True)
class MissAdvice:
    """Where to miss, and where not.

    Attributes
    ----------
    best, worst : Miss
        The side that is advised, and the dearest one.
    between : float
        What the worst costs more. [strokes]
    """

    best: Miss
    worst: Miss
    between: float

    @property
    def is_dead(self) -> bool:
        """Whether the worst side costs so much more that it is dead."""
        return self.between >= DEAD


def miss_advice(misses: Sequence[Miss]) -> MissAdvice | None:
    """Where to miss, of misses with the cheapest first; None where it hardly matters.

    The short side of the hole is advised only where every other side is dead.
    """
    if len(misses) < 2:
        return None
    least, worst = misses[0], misses[-1]
    wide = [m for m in misses if not m.short_side and m.strokes - least.strokes < DEAD]
    best = wide[0] if wide else least
    between = worst.strokes - best.strokes
    return MissAdvice(best=best, worst=worst, between=between) if between >= TELLING else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Jump:
    """The shot for a ball that jumps out of the rough, finishing where the advice does.

    Attributes
    ----------
    label : str
        Club and shot.
    carry_m : float
        Its carry. [m]
    plays_m, clean_m : float
        The player's own number behind it, and that of the shot from a clean lie with the same finish. [m]
    """

    label: str
    carry_m: float
    plays_m: float
    clean_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OneLie:
    """One of the lies that a ball may have, and what is best where it is seen first.

    Attributes
    ----------
    lie : Lie
    of_20 : int
        How many balls of 20 lie so.
    label : str
        Club and shot.
    carry_m : float
        Its carry. [m]
    strokes : float
        To hole out with it.
    """

    lie: Lie
    of_20: int
    label: str
    carry_m: float
    strokes: float


@dataclass(frozen=True, slots=True, kw_only=True)
class UnseenLie:
    """A ball that may lie in several ways, when the options are one swing for all of them.

    Attributes
    ----------
    lies : tuple of OneLie
        In the order of the codes.
    known : float
        Strokes to hole out where the lie is seen before the choice.
    costs : float
        What not seeing it costs: strokes of the best swing for all less `known`.
    """

    lies: tuple[OneLie, ...]
    known: float
    costs: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ByTable:
    """The answer of the one-stroke plan, which counts all that follows by distance and lie alone.

    Attributes
    ----------
    side_m : float
        Where it finishes, right of the advice. [m]
    cost, cost_error : float
        What that costs when the player's own next shots count, and its 95 % half width. [strokes]
    """

    label: str
    carry_m: float
    side_m: float
    cost: float
    cost_error: float
    word: Word


@dataclass(frozen=True, slots=True, kw_only=True)
class NextShot:
    """A stretch of distances to the front that a tee shot leaves, and the shot that is best from it.

    Attributes
    ----------
    lie : Lie
        How the ball lies there.
    low_m, high_m : float
        To the front of the green. [m]
    label : str
        Club and shot.
    share : float
        Of all balls of the tee shot.
    """

    lie: Lie
    low_m: float
    high_m: float
    label: str
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Needed:
    """The shot for a score that is needed; see `strategy.decide.solver.need.Need`.

    Attributes
    ----------
    n : int
        Strokes still allowed, the next one included.
    label : str
        Club and shot; those of the advice where the same shot is played.
    carry_m, side_m : float
        Its carry, and where it finishes, right of the advice. [m]
    plan_chance : float
        Chance of n or better under the plan.
    chance, best_chance : float
        The same when every later shot is played for it: of the advice, and of the best first shot.
    price : float
        Expected strokes the shot costs above the advice; 0 for the same shot.
    worth_saying : bool
        Whether another shot gains enough.
    """

    n: int
    label: str
    carry_m: float
    side_m: float
    plan_chance: float
    chance: float
    best_chance: float
    price: float
    worth_saying: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundScores:
    """Score of a round under the plan, each hole played for its own sake.

    Attributes
    ----------
    round : int
    holes, par : int
        Holes planned, and their par.
    likely : int
        Holes without a published location, counted at the first of the likely ones.
    mean : float
        Expected score.
    tails : tuple of three ints
        Scores that one round in ten and every second one is not above, and one in ten not below.
    chances : mapping of str to float
        Chance of each score, "68", "69", ...; they sum to 1.
    """

    round: int
    holes: int
    par: int
    likely: int
    mean: float
    tails: tuple[int, int, int]
    chances: dict[str, float]
