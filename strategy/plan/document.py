"""The Plan document: what `plan.json` holds and every report reads.

::

    Plan -> HolePlan -> RoundPlan -> LocationPlan -> Decision -> PlannedOption -> Option
                        (rounds)     (hole cut)      (tee shot,   (best first)    Quoted (what the
                                                     approaches)                  sentence quotes)

SI units and degrees. Where shots are taken as stated, rounds that share markers and hole locations have the
same answers and stand in one `RoundPlan`. Every number that a sentence quotes stands beside its origin.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path
from typing import Any, Final

from strategy.codes import Spot
from strategy.course.pins import GreenNumbers
from strategy.decide.commit import Commitment
from strategy.decide.misses import Miss
from strategy.decide.option import Option
from strategy.decide.putts import Sides
from strategy.decide.sureness import Sureness
from strategy.errors import RequestError
from strategy.plan.codec import from_data, to_data
from strategy.plan.quoted import (
    AtFlag,
    ByTable,
    Drop,
    Jump,
    Needed,
    NextShot,
    Quoted,
    RoundScores,
    Through,
    Trees,
    Trouble,
    UnseenLie,
)

VERSION: Final = 2  # of the layout; a field that is added later gets a default and needs no new version
UNITS: Final = "metres, degrees, strokes"
ANSWERS: Final = 3  # never more than three answers


class Role(StrEnum):
    """Where a decision is taken from."""

    TEE = "tee"
    MIDDLE = "middle of the landing"
    LEFT = "left edge of the landing"
    RIGHT = "right edge of the landing"
    ON = "median ball of the shot before"
    ASKED = "asked for"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedOption:
    """One option of a decision, and what the plan adds to it.

    Attributes
    ----------
    option : Option
        As it was judged, at the aim that is said.
    quoted : Quoted or None
        What its sentence quotes; None after the first three, which are said.
    balls : int
        Number of measured balls behind the spread; 0 where the spread is stated or assumed.
    origins : mapping of str to str
        Origin of carry, scatter, run and bend: stated, measured or assumed. On a slope that of the stance
        too, which is derived where the player does not state it.
    """

    option: Option
    quoted: Quoted | None
    balls: int
    origins: dict[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """One shot to be decided: where it is played from, its options, and what is known about them.

    Attributes
    ----------
    role : Role
        Which ball it is.
    stroke : int
        1 = tee shot.
    spot : Spot
        Where the ball is and how it lies.
    to_hole_m : float
        Straight distance to the hole. [m]
    green : GreenNumbers
        Front, middle and back of the green from the ball, and the size of the green.
    options : tuple of PlannedOption
        In the order in which they are said: cheapest first, but for stock, taste and trees
        (`strategy.plan.advice.order`). Empty when the player has no shot from this lie. The cost of an option
        is counted from the cheapest, wherever that stands.
    note : str
        Why there are no options; "" otherwise.
    why_first : str
        Why the first option is not the cheapest: "stock", "liked", "disliked" (the cheaper one is), "trees"
        or "weeks" (it is cheaper in the mean over the plausible weeks); "" when it is.
    through : Through or None
        A shot through trees, where the choice depends on how many balls come through.
    at_flag : AtFlag or None
        None where the advice is at the hole, or no shot finishes there.
    short_side : str
        "left", "right", "front" or "back" when the advice finishes towards the near edge of the green and
        the strokes to go do not see it; else "".
    commit : Commitment or None
        The number to settle on in gusts, of the first option; None where one number does for lull and gust.
    jump : Jump or None
        For a lie that may jump.
    unseen : UnseenLie or None
        Of a ball that may lie in several ways. The options are then one swing for all of these lies, and
        their carries are those from the lie of `spot`.
    unplayable : Drop or None
        From rough or trees, a drop that is better than every shot; None where a shot is.
    misses : tuple of Miss
        Misses of the first option at a green, the cheapest first.
    sides : Sides or None
        Which side of the hole to putt from, of a shot at the green.
    by_table : ByTable or None
        The one-stroke answer, where it is another one.
    trees : Trees or None
        How the answer depends on tree heights that are assumed, of a tee shot or a shot asked for.
    next_shots : tuple of NextShot
        What the first option leaves and what is then played, of a tee shot that stays short of the green.
    score_counts : mapping of str to int
        Scores of 20 rounds by their names, of a tee shot: eagle, birdie, par, bogey, double bogey or worse.
        The exact chances stand in the `score_chances` of the first option.
    needs : tuple of Needed
        The shot for a score that is needed, where one was asked for.
    trouble : tuple of Trouble
        Of the first option: what it clears and by how much, and what it does not.
    least_landing_m : float or None
        To where a ball has to land so as not to come back off the front of the green; None where none does.
        [m]
    sureness : Sureness or None
        What the choice hangs on over plausible weeks, beside `Option.sure`; None where no other option comes
        near the first, and of an edge of the landing.
    out_of_sight : bool
        Ground or trees hide the place where the first option finishes, short of the green.
    """

    role: Role
    stroke: int
    spot: Spot
    to_hole_m: float
    green: GreenNumbers
    options: tuple[PlannedOption, ...]
    note: str = ""
    why_first: str = ""
    through: Through | None = None
    at_flag: AtFlag | None = None
    short_side: str = ""
    commit: Commitment | None = None
    jump: Jump | None = None
    unseen: UnseenLie | None = None
    unplayable: Drop | None = None
    misses: tuple[Miss, ...] = ()
    sides: Sides | None = None
    by_table: ByTable | None = None
    trees: Trees | None = None
    next_shots: tuple[NextShot, ...] = ()
    score_counts: dict[str, int] = field(default_factory=dict)
    needs: tuple[Needed, ...] = ()
    trouble: tuple[Trouble, ...] = ()
    least_landing_m: float | None = None
    sureness: Sureness | None = None
    out_of_sight: bool = False

    @property
    def first(self) -> Option:
        """The option that is said first; the decision must have options."""
        return self.options[0].option

    @property
    def cheapest(self) -> Option:
        """The option of fewest strokes, wherever it stands; the decision must have options."""
        return min((planned.option for planned in self.options), key=lambda option: option.cost)

    @property
    def answers(self) -> tuple[PlannedOption, ...]:
        """The options that are said: three at most."""
        return self.options[:ANSWERS]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """Where the hole is cut: a hole location to plan for.

    Attributes
    ----------
    text : str
        As a pin sheet prints it.
    on_m : float
        Depth from the front reference. [m]
    xy : tuple of two floats
        Course frame. [m]
    origin : str
        "published" (the week file gives it) or "proposed".
    name, why : str
        Of a proposed one: "front left"; "sand 5 left" when tough.
    """

    text: str
    on_m: float
    xy: tuple[float, float]
    origin: str
    name: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LocationPlan:
    """One hole location: the tee shot and what follows.

    Attributes
    ----------
    warning : str
        When it lies nearer the edge than the guidance margin.
    assumptions : tuple of str
        What the numbers of this location take for granted.
    """

    cut: Cut
    warning: str
    assumptions: tuple[str, ...]
    tee: Decision
    approaches: tuple[Decision, ...]

    @property
    def decisions(self) -> tuple[Decision, ...]:
        """The tee shot and all approaches."""
        return (self.tee, *self.approaches)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wind:
    """Forecast wind of one round at this hole's hour; counted where the plan says so. [m/s, °]

    `hour` is that of the clock, as a decimal; None where no tee time is known.
    """

    round: int
    speed_mps: float
    gust_mps: float
    blows_from: float
    hour: float | None = None


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
    rise_m : float
        How much the middle of the green lies above the markers. [m]
    """

    rounds: tuple[int, ...]
    tee: str
    up_m: float
    length_m: float
    winds: tuple[Wind, ...]
    locations: tuple[LocationPlan, ...]
    rise_m: float = 0.0


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
    green : GreenNumbers
        From the back tee.
    """

    label: str
    name: str
    par: int
    par_assumed: bool
    notes: tuple[str, ...]
    green: GreenNumbers
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
    stock : tuple of str
        Labels of the player's stock shots: "driver, the fade". In short texts the club alone names them.
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
    stock: tuple[str, ...] = ()
    # Not part of the document: how many jobs this run kept and made.
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
        labels = ", ".join(h.label for h in self.holes)
        raise RequestError(f"the plan has no hole {label!r}; its holes are {labels}")

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
