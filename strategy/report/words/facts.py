"""The facts of a plan that are said in few and in usual words: value, kind and unit, read from the document.

::

    Plan -> HoleFacts -> RoundFacts -> ShotFacts -> PlanFact(kind="carry", value=181, unit="yards", of="",
            (head)       (wind)        (one shot)        place="holes.3.rounds.0...option.carry_m")

Short texts are written from these alone and never look at the document, so that none can say another value
than the rest. Each fact keeps its place in plan.json; a test reads the value back from there.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from strategy.codes import Lie
from strategy.decide.option import Word
from strategy.outcome.stance import Stance
from strategy.plan.document import Decision, HolePlan, LocationPlan, Plan, Role, RoundPlan
from strategy.plan.quoted import miss_advice
from strategy.report.words.clock import bearing, clock, way
from strategy.report.words.fact_words import LAND_TELLS_M, lands_near
from strategy.report.words.lengths import Units
from strategy.report.words.shot_words import landmark_words, playing, spoken
from strategy.report.words.stance_words import feet, moves_aim, moves_number
from strategy.units import MPH_MPS

TELLING_RISE: Final = 2  # whole yards that a landing lies above or below the ball
TELLING_HEIGHT: Final = 3  # and the green above or below the markers, in the head of a hole
TELLING_GUSTS: Final = 6  # whole yards between the numbers of lull and gust
_FAR: Final = 240  # whole yards or metres to the hole: a full shot is then a long one
_CLEARED: Final = 2  # things that a shot clears: those with the least room
_WEDGES: Final = 100  # with less left than this the shot is picked by the number, and no clubs are listed
_STRETCHES: Final = 4  # of leaves with the clubs that follow: those next to one another that most balls have


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanFact:
    """One thing that is said.

    Attributes
    ----------
    kind : str
        "carry", "front", "wind", ...
    value : int, float or str
        As it is printed.
    unit : str
        "yards", "metres", "mph", "o'clock", "strokes"; "" for words.
    of : str
        What it is of: "far left bunker".
    place : str
        Where it stands in plan.json, keys and numbers of a list with dots between.
    """

    kind: str
    value: int | float | str
    unit: str = ""
    of: str = ""
    place: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShotFacts:
    """What is said of one shot.

    Attributes
    ----------
    rounds : tuple of int
        It is the answer in these.
    role : Role
    stroke : int
    facts : tuple of PlanFact
        Those of the first of the rounds.
    others : tuple of tuples of PlanFact
        Those of the other rounds, where the shot is the same for all that is said of its aim.
    """

    rounds: tuple[int, ...]
    role: Role
    stroke: int
    facts: tuple[PlanFact, ...]
    others: tuple[tuple[PlanFact, ...], ...] = ()

    def get(self, kind: str, of: str | None = None) -> PlanFact | None:
        """The first fact of a kind; None where there is none."""
        return next((f for f in self.facts if f.kind == kind and of in (None, f.of)), None)

    def every(self, kind: str) -> tuple[PlanFact, ...]:
        """All facts of a kind, in order."""
        return tuple(f for f in self.facts if f.kind == kind)

    def over(self, kind: str, of: str | None = None) -> tuple[PlanFact, ...]:
        """The fact of a kind in every round it holds for; empty where one of them lacks it."""
        found = [
            next((f for f in facts if f.kind == kind and of in (None, f.of)), None)
            for facts in (self.facts, *self.others)
        ]
        return tuple(f for f in found if f is not None) if None not in found else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundFacts:
    """One round, or several alike, with one hole location: wind, and the shots in order."""

    rounds: tuple[int, ...]
    facts: tuple[PlanFact, ...]
    shots: tuple[ShotFacts, ...]
    location: str = ""

    def get(self, kind: str) -> PlanFact | None:
        """The fact of a kind."""
        return next((f for f in self.facts if f.kind == kind), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleFacts:
    """One hole: its head, and its rounds."""

    label: str
    name: str
    facts: tuple[PlanFact, ...]
    rounds: tuple[RoundFacts, ...]
    failed: tuple[str, ...] = ()

    def every(self, kind: str) -> tuple[PlanFact, ...]:
        """All facts of a kind in the head."""
        return tuple(f for f in self.facts if f.kind == kind)

    def all_facts(self) -> Iterator[PlanFact]:
        """Every fact of the hole."""
        yield from self.facts
        for part in self.rounds:
            yield from part.facts
            for shot in part.shots:
                yield from shot.facts
                for other in shot.others:
                    yield from other


def hole_facts(plan: Plan, position: int, units: Units, rounds: tuple[int, ...] = ()) -> HoleFacts:
    """The facts of one hole.

    Parameters
    ----------
    plan : Plan
    position : int
        Of the hole in the plan.
    units : Units
        Of lengths.
    rounds : tuple of int
        Only these; all when empty.
    """
    hole = plan.holes[position]
    reader = _FactReader(plan.stock, units)
    place = f"holes.{position}"
    chosen = [
        (f"{place}.rounds.{k}", part)
        for k, part in enumerate(hole.rounds)
        if not rounds or set(rounds) & set(part.rounds)
    ]
    return HoleFacts(
        label=hole.label,
        name=hole.name if hole.name != hole.label else "",
        facts=tuple(reader.head(hole, place, chosen)),
        rounds=tuple(
            reader.round(part, location, at, n)
            for at, part in chosen
            for n, location in enumerate(part.locations)
        ),
        failed=tuple(note.text for note in hole.findings if note.kind == "failed"),
    )


def asked_facts(
    decision: Decision, units: Units, rounds: tuple[int, ...], stock: Sequence[str] = ()
) -> ShotFacts:
    """The facts of one shot by itself, their places counted from its decision; `stock`: see `Plan`."""
    return _FactReader(stock, units).shot(decision, "", rounds)


def wind_facts(part: RoundPlan, decision: Decision, place: str = "") -> list[PlanFact]:
    """The forecast wind of a round, by the clock from where a shot is played."""
    if len(part.winds) != 1 or not decision.options:
        return []
    wind = part.winds[0]
    speed, gust = round(wind.speed_mps / MPH_MPS), round(wind.gust_mps / MPH_MPS)
    if not speed:
        return [PlanFact(kind="wind", value=0, unit="mph", place=f"{place}.speed_mps")]
    hour = clock(wind.blows_from, bearing(decision))
    facts = [
        PlanFact(kind="wind", value=speed, unit="mph", place=f"{place}.speed_mps"),
        PlanFact(kind="hour", value=hour, unit="o'clock", place=f"{place}.blows_from"),
        PlanFact(kind="way", value=way(hour), place=f"{place}.blows_from"),
    ]
    if gust > speed + 2:
        facts.append(PlanFact(kind="gust", value=gust, unit="mph", place=f"{place}.gust_mps"))
    return facts


def turned_facts(part: RoundPlan, tee: Decision, decision: Decision, place: str = "") -> list[PlanFact]:
    """Hour and effect of the wind on a later shot, where the hole has turned since the tee; else nothing."""
    off, here = (
        {f.kind: f for f in wind_facts(part, shot, place) if f.kind in ("hour", "way")}
        for shot in (tee, decision)
    )
    if not off or not here or not _has_turned(int(off["hour"].value), int(here["hour"].value)):
        return []
    return list(here.values())


class _FactReader:
    """Reads facts from a plan, in some unit."""

    def __init__(self, stock: Sequence[str], units: Units) -> None:
        self.units, self.stock = units, frozenset(stock)

    def called(self, label: str) -> str:
        """A shot in short: a stock shot by its club alone."""
        return spoken(label.partition(",")[0] if label in self.stock else label)

    def length(self, kind: str, metres: float, place: str, of: str = "") -> PlanFact:
        return PlanFact(kind=kind, value=self.units.whole(metres), unit=str(self.units), of=of, place=place)

    def head(self, hole: HolePlan, place: str, chosen: list[tuple[str, RoundPlan]]) -> Iterator[PlanFact]:
        yield PlanFact(kind="par", value=hole.par, place=f"{place}.par")
        for tee in dict.fromkeys(part.tee for _, part in chosen):
            own = [
                self.length("length", part.length_m, f"{at}.length_m", tee)
                for at, part in chosen
                if part.tee == tee
            ]
            least, most = (end(own, key=lambda f: float(f.value)) for end in (min, max))
            yield from (least,) if least.value == most.value else (least, most)
        rises = [self.length("height", part.rise_m, f"{at}.rise_m") for at, part in chosen]
        if rises and len({f.value for f in rises}) == 1 and abs(int(rises[0].value)) >= TELLING_HEIGHT:
            yield rises[0]
        yield self.length("deep", hole.green.depth_m, f"{place}.green.depth_m")
        yield self.length("wide", hole.green.width_m, f"{place}.green.width_m")

    def round(self, part: RoundPlan, location: LocationPlan, at: str, n: int) -> RoundFacts:
        place = f"{at}.locations.{n}"
        facts = wind_facts(part, location.tee, f"{at}.winds.0")
        shots = [self.shot(location.tee, f"{place}.tee", part.rounds)]
        for k, decision in enumerate(location.approaches):
            if decision.role in (Role.MIDDLE, Role.ON):
                turned = turned_facts(part, location.tee, decision, f"{at}.winds.0")
                shots.append(self.shot(decision, f"{place}.approaches.{k}", part.rounds, turned))
        return RoundFacts(
            rounds=part.rounds, facts=tuple(facts), shots=tuple(shots), location=location.cut.text
        )

    def shot(
        self, decision: Decision, place: str, rounds: tuple[int, ...], turned: list[PlanFact] | None = None
    ) -> ShotFacts:
        facts = [
            *self.green(decision, place),
            *(turned or ()),
            *(self.answer(decision, place) if decision.options else ()),
        ]
        if not decision.options:
            facts.append(PlanFact(kind="no shot", value=decision.note, place=f"{place}.note"))
        return ShotFacts(rounds=rounds, role=decision.role, stroke=decision.stroke, facts=tuple(facts))

    def green(self, decision: Decision, place: str) -> Iterator[PlanFact]:
        for kind in ("front", "middle", "back"):
            yield self.length(kind, getattr(decision.green, f"{kind}_m"), f"{place}.green.{kind}_m")
        yield self.length("hole", decision.to_hole_m, f"{place}.to_hole_m")
        if decision.spot.lie not in (Lie.TEE, Lie.FAIRWAY):
            yield PlanFact(kind="lie", value=decision.spot.lie.said, place=f"{place}.spot.lie")

    def answer(self, decision: Decision, place: str) -> Iterator[PlanFact]:
        first = f"{place}.options.0"
        best, quoted = decision.first, decision.options[0].quoted
        yield PlanFact(kind="shot", value=self.called(best.label), place=f"{first}.option.label")
        yield self.length("carry", best.carry_m, f"{first}.option.carry_m")
        if abs(self.units.whole(best.rise_m)) >= TELLING_RISE:
            yield self.length("rise", best.rise_m, f"{first}.option.rise_m")
        # A full shot that is not played at the hole goes as far as it goes: its number is that of the club.
        far = self.units.whole(decision.to_hole_m) > _FAR
        full = quoted is not None and quoted.full and (quoted.finish.of != "hole" or far)
        if not full and playing(best, self.units) is not None and best.plays_m is not None:
            yield self.length("playing", best.plays_m, f"{first}.option.plays_m")
        if quoted is not None:
            finish = f"{first}.quoted.finish"
            yield self.length("side", quoted.finish.side_m, f"{finish}.side_m", quoted.finish.of)
            yield self.length("past", quoted.finish.past_m, f"{finish}.past_m", quoted.finish.of)
            if quoted.start is not None and quoted.start.landmark is not None:
                name = f"{first}.quoted.start.landmark.name"
                yield PlanFact(kind="start", value=landmark_words(quoted.start.landmark), place=name)
        if decision.out_of_sight:
            yield PlanFact(kind="hidden", value="landing", place=f"{place}.out_of_sight")
        if decision.least_landing_m is not None and lands_near(decision, LAND_TELLS_M):
            yield self.length("land", decision.least_landing_m, f"{place}.least_landing_m")
        yield from self.stance(best.stance, f"{first}.option.stance")
        yield from self.trouble(decision, place)
        yield from self.gusts(decision, place)
        yield from self.miss(decision, place)
        if decision.unplayable is not None:
            yield self.length("drop", decision.unplayable.away_m, f"{place}.unplayable.away_m")
        yield from self.other(decision, place)
        if decision.sureness is not None:
            if best.in_ten is not None:
                yield PlanFact(kind="sure", value=best.in_ten, place=f"{first}.option.sure")
            if hangs_on := decision.sureness.hangs_on:
                yield PlanFact(kind="hangs on", value=hangs_on, place=f"{place}.sureness.hangs_on")
        yield from self.leaves(decision, place)

    def stance(self, stance: Stance | None, at: str) -> Iterator[PlanFact]:
        if stance is None:
            return
        if moves_aim(stance):
            yield self.length("stance aim", stance.side_m, f"{at}.side_m", feet(stance))
        if moves_number(stance):
            lie = "uphill" if stance.ahead > 0.0 else "downhill"
            yield self.length("stance number", stance.number_m, f"{at}.number_m", lie)

    def trouble(self, decision: Decision, place: str) -> Iterator[PlanFact]:
        cleared = 0
        for k, found in enumerate(decision.trouble):
            at = f"{place}.trouble.{k}"
            match found.state:
                case "cleared" if found.carry_m is not None and found.room_m is not None:
                    cleared += 1
                    if cleared <= _CLEARED:
                        yield self.length("cleared", found.carry_m, f"{at}.carry_m", found.what)
                        yield self.length("room", found.room_m, f"{at}.room_m", found.what)
                case "open" if found.along or found.reach_m is None:
                    side = f"on the {found.side}" if found.side else ""
                    if found.along:
                        own = not found.side or found.side in found.what.split()
                        side = "all along" if own else f"all along the {found.side}"
                    yield PlanFact(kind="beside", value=side, of=found.what, place=f"{at}.side")
                case "open" if found.reach_m is not None:
                    yield self.length("open", found.reach_m, f"{at}.reach_m", found.what)
                case "beyond" if found.reach_m is not None:
                    yield self.length("beyond", found.reach_m, f"{at}.reach_m", found.what)

    def gusts(self, decision: Decision, place: str) -> Iterator[PlanFact]:
        settled = decision.commit
        if settled is None:
            return
        at = f"{place}.commit"
        lull, _, gust = settled.numbers_m
        calmer, _, stronger = settled.others
        if calmer or stronger:
            if calmer:
                yield PlanFact(kind="lull shot", value=self.called(calmer), place=f"{at}.others.0")
            if stronger:
                yield PlanFact(kind="gust shot", value=self.called(stronger), place=f"{at}.others.2")
            return
        if abs(self.units.whole(lull) - self.units.whole(gust)) < TELLING_GUSTS:
            return
        yield self.length("lull", lull, f"{at}.numbers_m.0")
        yield self.length("in gusts", gust, f"{at}.numbers_m.2")
        yield self.length("commit", settled.committed_m, f"{at}.committed_m")

    def miss(self, decision: Decision, place: str) -> Iterator[PlanFact]:
        advice = miss_advice(decision.misses)
        if advice is None:
            return
        best, worst = advice.best, advice.worst
        index = {miss.where: k for k, miss in enumerate(decision.misses)}
        yield PlanFact(kind="miss", value=best.where, place=f"{place}.misses.{index[best.where]}.where")
        kind = "dead" if advice.is_dead else "not"
        at = f"{place}.misses.{index[worst.where]}.where"
        yield PlanFact(kind=kind, value=worst.where, of=worst.ground, place=at)

    def other(self, decision: Decision, place: str) -> Iterator[PlanFact]:
        """One alternative: an even one, or what another shot costs off the tee where that is real."""
        if len(decision.options) < 2:
            return
        option = decision.options[1].option
        if option.cost < decision.first.cost:
            return
        at = f"{place}.options.1.option"
        label = self.called(option.label)
        if option.word is Word.EVEN:
            yield PlanFact(kind="even", value=label, place=f"{at}.label")
        elif option.word is Word.REAL and decision.role is Role.TEE and option.club != decision.first.club:
            yield PlanFact(
                kind="costs", value=f"{option.cost:.2f}", unit="strokes", of=label, place=f"{at}.cost"
            )

    def leaves(self, decision: Decision, place: str) -> Iterator[PlanFact]:
        best = decision.first
        if best.leave is None:
            return
        at = f"{place}.options.0.option.leave.to_front_m"
        yield self.length("leaves from", best.leave.to_front_m[0], f"{at}.0")
        yield self.length("leaves to", best.leave.to_front_m[1], f"{at}.1")
        if self.units.whole(best.leave.to_front_m[0]) >= _WEDGES:
            yield from self.clubs(decision, place)

    def clubs(self, decision: Decision, place: str) -> Iterator[PlanFact]:
        """The clubs that follow from the fairway, each to its distance to the front."""
        whole, leave = self.units.whole, decision.first.leave
        ends = (0, 0) if leave is None else tuple(whole(v) for v in leave.to_front_m)
        # A club for one yard at either end of what is left changes nothing.
        there = [
            (k, n)
            for k, n in enumerate(decision.next_shots)
            if n.lie is Lie.FAIRWAY and whole(n.high_m) > ends[0] + 1 and whole(n.low_m) < ends[1] - 1
        ]
        if not there:
            return
        windows = [there[i : i + _STRETCHES] for i in range(max(len(there) - _STRETCHES, 0) + 1)]
        most = max(windows, key=lambda rows: sum(n.share for _, n in rows))
        for k, stretch in most:
            high, label = f"{place}.next_shots.{k}.high_m", self.called(stretch.label)
            # The last one of all has no end that is said: longer is the same club as far as is known.
            kind = "then" if (k, stretch) == there[-1] else "then to"
            yield self.length(kind, stretch.high_m, high, label)


def _has_turned(hour: int, other: int) -> bool:
    """Whether a wind is another one to a player: what it does, or two hours."""
    apart = abs(hour - other) % 12
    return way(hour) != way(other) or min(apart, 12 - apart) >= 2
