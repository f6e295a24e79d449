"""The Plan document: what `plan.json` holds and every report reads.

::

    Plan -> HolePlan -> RoundPlan -> LocationPlan -> Decision -> PlannedOption -> Said
                        (rounds)     (hole cut)      (tee shot,   (best first)    (what the
                                                     approaches)                  sentence quotes)

SI units and degrees. Rounds that share markers and hole locations stand in one `RoundPlan`: while wind is not
in the numbers their answers are the same. Every number that a sentence quotes stands beside its origin.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path
from typing import Any, Final

from strategy.decide.commit import Commitment
from strategy.decide.misses import Miss
from strategy.decide.option import Word
from strategy.decide.putts import Sides
from strategy.errors import RequestError
from strategy.outcome.play import Choice
from strategy.plan.codec import from_data, to_data
from strategy.plan.quoted import (
    AtFlag,
    ByTable,
    Drop,
    Jump,
    Needed,
    Next,
    RoundScores,
    Said,
    Through,
    Trees,
    UnseenLie,
)

VERSION: Final = 1  # fields added since have defaults: a plan without them is read as before
UNITS: Final = "metres, degrees, strokes"
SAID: Final = 3  # never more than three answers


class Role(StrEnum):
    """Where a decision is taken from."""

    TEE = "tee"
    MIDDLE = "middle of the landing"
    LEFT = "left edge of the landing"
    RIGHT = "right edge of the landing"
    ON = "median ball of the shot before"
    ASKED = "asked for"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A ball at rest. [m]"""

    x: float
    y: float
    lie: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Landing:
    """Median ball and both edges of the landing."""

    middle: Place
    left: Place
    right: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedOption:
    """One option as planned; see `strategy.decide.Option` for the fields of the same name.

    Attributes
    ----------
    sampling, few_balls : float
        Both parts of the standard error of `strokes`.
    balls : int
        Balls behind the spread; 0 = stated or assumed.
    origins : mapping of str to str
        Origin of carry, spread, run and bend: stated, measured or assumed.
    said : Said or None
        Of the first three.
    struck : float
        Share of balls that a tree stops in the air.
    plays_m : float or None
        The player's own number behind `carry_m`: from a clean lie, calm and level. [m]
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
    sampling: float
    few_balls: float
    cost: float
    cost_error: float
    word: Word
    counts: dict[str, int]
    chances: dict[str, float]
    balls: int
    origins: dict[str, str]
    landing: Landing | None
    said: Said | None
    plays_m: float | None = None
    struck: float = 0.0
    longer_m: float = 0.0
    rise_m: float = 0.0

    @property
    def choice(self) -> Choice:
        """The stroke itself: its carry is what it would be on level ground."""
        return Choice(self.index, self.heading, self.carry_m - self.longer_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """One shot to be decided: from where, and every option kept, as they are said.

    Attributes
    ----------
    role : Role
        Which ball it is.
    stroke : int
        1 = tee shot.
    place : Place
        Where from.
    to_hole_m, front_m, middle_m, back_m : float
        Straight distances to the hole and to front, middle and back of the green. [m]
    options : tuple of PlannedOption
        As they are said: cheapest first, but for stock, taste and trees (`strategy.plan.advice.order`). Empty
        when the player has no shot from this lie. Costs are strokes above the cheapest, wherever it stands.
    at_flag : AtFlag or None
        None where the advice is at the hole, or no shot finishes there.
    short_side : str
        "left", "right", "front" or "back" when the advice finishes towards the hole's near edge and the
        strokes to go do not see it; else "".
    note : str
        Why there are no options; "" otherwise.
    jump : Jump or None
        For a lie that may jump.
    by_table : ByTable or None
        The one-stroke answer, where it is another one.
    next : tuple of Next
        What the best option leaves and what is then played, of a tee shot that stays short of the green.
    misses : tuple of Miss
        Misses of the best option at a green, the cheapest first.
    scores : mapping of str to float
        Chance of each score of the hole from here, "2", "3", ..., of a tee shot.
    score_counts : mapping of str to int
        The same of 20 rounds by their names: eagle, birdie, par, bogey, double bogey or worse.
    needs : tuple of Needed
        The shot for a score that is needed, of a shot asked for with one.
    sides : Sides or None
        Which side of the hole to putt from, of a shot at the green.
    trees : Trees or None
        What tree heights that are assumed cost in certainty, of a tee shot or a shot asked for.
    commit : Commitment or None
        The number to settle on in gusts, of the best option; None where one number does for lull and gust.
    unplayable : Drop or None
        From rough or trees, a drop that is better than every shot; None where a shot is.
    why_first : str
        Why the first option is not the cheapest: "stock", "liked", "disliked" (the cheaper one is) or
        "trees"; "" when it is.
    through : Through or None
        A shot through trees that is worth it or not by how many balls come through.
    unseen : UnseenLie or None
        Of a ball that may lie in several ways: options are one swing for all, told from the lie of `place`.
    """

    role: Role
    stroke: int
    place: Place
    to_hole_m: float
    front_m: float
    middle_m: float
    back_m: float
    options: tuple[PlannedOption, ...]
    at_flag: AtFlag | None
    short_side: str
    note: str
    jump: Jump | None = None
    by_table: ByTable | None = None
    next: tuple[Next, ...] = ()
    misses: tuple[Miss, ...] = ()
    scores: dict[str, float] = field(default_factory=dict)
    score_counts: dict[str, int] = field(default_factory=dict)
    commit: Commitment | None = None
    needs: tuple[Needed, ...] = ()
    sides: Sides | None = None
    trees: Trees | None = None
    unplayable: Drop | None = None
    why_first: str = ""
    through: Through | None = None
    unseen: UnseenLie | None = None

    @property
    def cheapest(self) -> PlannedOption:
        """The option of fewest strokes, wherever it stands."""
        return min(self.options, key=lambda option: option.cost)

    @property
    def said(self) -> tuple[PlannedOption, ...]:
        """The answers that are said: three at most."""
        return self.options[:SAID]


@dataclass(frozen=True, slots=True, kw_only=True)
class LocationPlan:
    """One hole location: the tee shot and what follows.

    Attributes
    ----------
    text : str
        As a pin sheet prints it.
    on_m : float
        Depth from the front reference. [m]
    xy : tuple of two floats
        Course frame. [m]
    origin : str
        "published" (the week file gives it), "proposed" or "assumed".
    name, why : str
        Of a proposed one: "front left"; "sand 5 left" when tough.
    warning : str
        When it lies nearer the edge than the guidance margin.
    assumptions : tuple of str
        What the numbers of this location take for granted.
    """

    text: str
    on_m: float
    xy: tuple[float, float]
    origin: str
    name: str
    why: str
    warning: str
    assumptions: tuple[str, ...]
    tee: Decision
    approaches: tuple[Decision, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wind:
    """Forecast wind of one round at this hole's hour; counted where the plan says so. [m/s, °]"""

    round: int
    speed_mps: float
    gust_mps: float
    blows_from: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundPlan:
    """Rounds played from the same markers to the same hole locations.

    Attributes
    ----------
    rounds : tuple of int
        Their numbers.
    tee : str
        Name of the tee in use.
    up_m : float
        Markers moved forward. [m]
    length_m : float
        Along the line of play, markers to middle of the green. [m]
    """

    rounds: tuple[int, ...]
    tee: str
    up_m: float
    length_m: float
    winds: tuple[Wind, ...]
    locations: tuple[LocationPlan, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """A finding: its kind (assumed, repaired, missing, ignored, question, failed) and its words."""

    kind: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HolePlan:
    """One hole: rounds, what reading found, what is taken for granted.

    Attributes
    ----------
    notes : tuple of str
        The caddie's own, from course.toml.
    green_depth_m, green_width_m : float
        As played. [m]
    """

    label: str
    name: str
    par: int
    par_assumed: bool
    notes: tuple[str, ...]
    green_depth_m: float
    green_width_m: float
    rounds: tuple[RoundPlan, ...]
    findings: tuple[Note, ...]
    assumptions: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """A file that was read: its path as given, and its content's sha256."""

    path: str
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A course planned for one player in one week.

    Attributes
    ----------
    version : int
        Of this form of document.
    program : str
        Version of course-strategy.
    libraries : mapping of str to str
        Versions of what the numbers depend on.
    seed : int
        The same seed and inputs give the same plan.
    cautions : tuple of str
        What binds before the plan: the Committee's card, Rule 4.3, what the numbers leave out.
    assumptions : tuple of str
        Of the player's file.
    round_scores : tuple of RoundScores
        Score of every round under the plan.
    """

    version: int
    program: str
    libraries: dict[str, str]
    units: str
    seed: int
    inputs: tuple[Input, ...]
    course: str
    credit: str
    player: str
    right_handed: bool
    level: float
    week: str
    strokes_to_go: str
    cautions: tuple[str, ...]
    assumptions: tuple[str, ...]
    findings: tuple[Note, ...]
    holes: tuple[HolePlan, ...]
    round_scores: tuple[RoundScores, ...] = ()
    # Not part of the document: how this run came by it.
    kept: int = field(default=0, compare=False)
    made: int = field(default=0, compare=False)

    def hole(self, label: str) -> HolePlan:
        """Give the hole with this label.

        Raises
        ------
        RequestError
            If there is none; the message lists the labels there are.
        """
        for hole in self.holes:
            if hole.label == label:
                return hole
        there = ", ".join(h.label for h in self.holes)
        raise RequestError(f"the plan has no hole {label!r}; its holes are {there}")

    def to_json(self) -> str:
        """The text of plan.json; the same plan gives the same text."""
        data = to_data(self)
        for name in ("kept", "made"):
            del data[name]
        return json.dumps(data, ensure_ascii=False, indent=1) + "\n"

    @staticmethod
    def from_json(text: str) -> Plan:
        """The plan that `to_json` wrote.

        Raises
        ------
        RequestError
            For another version, or what is no plan.
        """
        return read_document(text)


def read_document(text: str, file: str = "plan.json") -> Plan:
    """A plan from the text of plan.json; see `Plan.from_json`."""
    again = "Plan the course again"
    try:
        data: Any = json.loads(text)
        version = data["version"]
    except (json.JSONDecodeError, KeyError, TypeError) as fault:
        raise RequestError(f"{file}: this is no plan ({fault}). {again}.") from fault
    if version != VERSION:
        raise RequestError(f"{file}: version: is {version!r}, this program reads {VERSION}. {again}.")
    try:
        return from_data(Plan, {**data, "kept": 0, "made": 0})
    except ValueError as fault:
        raise RequestError(f"{file}: damaged: {fault}. {again}.") from fault


def read_plan(path: str | Path) -> Plan:
    """Read plan.json, or the one in a plan folder.

    Raises
    ------
    RequestError
        If it is not there, or is no plan of this version.
    """
    file = Path(path)
    file = file / "plan.json" if file.is_dir() else file
    try:
        text = file.read_text(encoding="utf-8")
    except OSError as fault:
        raise RequestError(f"{file}: cannot be read ({fault.strerror}). Name a plan folder.") from fault
    return read_document(text, str(file))
