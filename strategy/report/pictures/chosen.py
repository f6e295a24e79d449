"""Which pictures of a plan are drawn, and what their files are called.

A decision that is said has a picture: the tee shot, and what follows it from the middle of the landing. The
edges of the landing, which only the longest text says, have none.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from strategy.plan.document import Decision, HolePlan, LocationPlan, Plan, Role, RoundPlan
from strategy.plan.jobs.store import file_name


class Pictures(StrEnum):
    """How many pictures of a plan: the first tee shot of each hole, every decision that is said, none."""

    FIRST = "first"
    ALL = "all"
    NONE = "none"


class PicturedShot(StrEnum):
    """The tee shot, or every shot that follows it."""

    TEE = "tee"
    APPROACH = "approach"


SHOTS: Final = tuple(PicturedShot)
_SAID: Final = (Role.TEE, Role.MIDDLE, Role.ON)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PicturedDecision:
    """A decision whose picture is drawn, and where it stands in its plan.

    Attributes
    ----------
    location_number : int
        Of the hole locations of these rounds, counted from 1.
    position : int
        Of the decision among those of its location.
    """

    hole: HolePlan
    markers: RoundPlan
    location: LocationPlan
    location_number: int
    position: int

    @property
    def decision(self) -> Decision:
        """The decision itself."""
        return self.location.decisions[self.position]

    @property
    def shot(self) -> PicturedShot:
        """Whether it is the tee shot."""
        return PicturedShot.TEE if self.decision.role is Role.TEE else PicturedShot.APPROACH

    @property
    def words(self) -> str:
        """Which it is, for messages: "round 2, approach"."""
        return ", ".join(p.replace("+", " and ").replace("-", " ") for p in self._parts)

    def file(self, size: str) -> str:
        """Name of its file: hole, rounds, shot, and the size where it is not that of print.

        Several hole locations of one round, and the second and third shots of a par 5, have their numbers.
        """
        parts = [file_name(self.hole.label, ""), *self._parts, *(() if size == "print" else (size,))]
        return f"{'_'.join(parts)}.png"

    @property
    def _parts(self) -> tuple[str, ...]:
        rounds = "+".join(map(str, self.markers.rounds))
        several = len(self.markers.locations) > 1
        strokes = {d.stroke for d in self.location.approaches if d.role in _SAID}
        last = self.shot is PicturedShot.TEE or self.decision.stroke == max(strokes)
        return (
            f"round-{rounds}",
            *((f"location-{self.location_number}",) if several else ()),
            self.shot.value if last else f"shot-{self.decision.stroke}",
        )


def chosen(plan: Plan, pictures: Pictures, shots: Collection[PicturedShot] = SHOTS) -> list[PicturedDecision]:
    """The pictures of a plan, hole by hole, in the order in which they are played.

    Parameters
    ----------
    plan : Plan
    pictures : Pictures
        The first means the first tee shot that has an answer.
    shots : collection of PicturedShot
        Of all pictures only these.
    """
    if pictures is Pictures.NONE:
        return []
    found = []
    for hole in plan.holes:
        mine = list(_said(hole))
        if pictures is Pictures.FIRST:
            found += [one for one in mine if one.shot is PicturedShot.TEE][:1]
        else:
            found += [one for one in mine if one.shot in shots]
    return found


def _said(hole: HolePlan) -> Iterator[PicturedDecision]:
    for markers in hole.rounds:
        for number, location in enumerate(markers.locations, start=1):
            for position, decision in enumerate(location.decisions):
                if decision.role in _SAID and decision.options and decision.options[0].quoted is not None:
                    yield PicturedDecision(
                        hole=hole, markers=markers, location=location, location_number=number,
                        position=position,
                    )  # fmt: skip
