"""Options: the answer to "what shall I hit", with what it costs and how sure that is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Final

from strategy.codes import Spot
from strategy.outcome.play import Choice
from strategy.outcome.stance import Stance

EVEN: Final = 0.02  # strokes: what costs less is as good
SMALL: Final = 0.1  # what costs less is small


class Word(StrEnum):
    """How a cost is said: `UNTOLD` is dearer by its figure, but within its error."""

    EVEN = "even"
    UNTOLD = "not told apart"
    SMALL = "small"
    REAL = "real"


def word_for(cost: float, half_width: float) -> Word:
    """The word of a cost with the half width of its paired 95 % interval.

    >>> [str(word_for(cost, 0.05)) for cost in (0.01, 0.04, 0.06, 0.2)]
    ['even', 'not told apart', 'small', 'real']
    """
    if cost < EVEN:
        return Word.EVEN
    if half_width >= cost:
        return Word.UNTOLD
    return Word.SMALL if cost < SMALL else Word.REAL


@dataclass(frozen=True, slots=True, kw_only=True)
class OptionError:
    """Two-part standard error of an option's strokes: sampling, and few balls behind its spread."""

    sampling: float
    few_balls: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Leave:
    """Where the next shot is played from.

    Attributes
    ----------
    middle, left, right : Spot
        A typical ball in the middle of the landing and at both of its edges: the place of a ball, on the
        ground that most balls near there lie on.
    to_front_m : tuple of two floats
        10th and 90th percentile of what is left to the front of the green. [m]
    """

    middle: Spot
    left: Spot
    right: Spot
    to_front_m: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One club, shot, number and aim.

    Attributes
    ----------
    club, shot, label : str
        As the player calls them; `label` says both.
    index : int
        Row of the shot table.
    carry_m : float
        The number: how far off over the ground a well-struck ball lands. [m]
    longer_m, rise_m : float
        How much further that is than on ground level with the ball, and how far above the ball it lands; 0
        where no heights are known. [m]
    plays_m : float or None
        The player's own number behind it: what the shot carries from a clean lie, calm and level. [m]
    heading : float
        Axis of the shot, before the wind takes it. [°]
    aim : tuple of two floats
        Mean finish of a well-struck ball, course frame. [m]
    aim_lonlat : tuple of two floats
        The same. [°]
    start_line : float
        Where the ball starts. [°]
    strokes : float
        One play of it, then best play.
    cost : float
        Strokes above the best option.
    cost_error : float
        Half width of the paired 95 % interval of the cost, from both parts of the error.
    word : Word
        How the cost is said.
    counts : mapping of str to int
        Of 20 balls, by where they finish.
    chances : mapping of str to float
        The exact chances behind the counts.
    leave : Leave or None
        None when nothing is left to play but putts and chips.
    sure : float or None
        Share of plausible weeks in which it is the best (`decide.sureness`); None while not worked out.
    flips : tuple of str
        When the answer changes; empty while not worked out.
    score_chances : mapping of int to float
        Chance of each hole score; empty while not worked out.
    tree_share : float
        Share of balls that a tree stops in the air.
    stance : Stance or None
        What the slope under the player does to it; None from a level stance.
    """

    club: str
    shot: str
    label: str
    index: int
    carry_m: float
    heading: float
    aim: tuple[float, float]
    aim_lonlat: tuple[float, float]
    start_line: float
    strokes: float
    error: OptionError
    cost: float
    cost_error: float
    word: Word
    counts: Mapping[str, int]
    chances: Mapping[str, float]
    leave: Leave | None = None
    sure: float | None = None
    flips: tuple[str, ...] = ()
    score_chances: Mapping[int, float] = field(default_factory=dict)
    plays_m: float | None = None
    tree_share: float = 0.0
    longer_m: float = 0.0
    rise_m: float = 0.0
    stance: Stance | None = None

    @property
    def in_ten(self) -> int | None:
        """Weeks of ten in which it is the best, as it is printed; None while not worked out."""
        return None if self.sure is None else round(10.0 * self.sure)

    @property
    def choice(self) -> Choice:
        """The stroke itself: its carry is what it would be on level ground."""
        return Choice(self.index, self.heading, self.carry_m - self.longer_m)
