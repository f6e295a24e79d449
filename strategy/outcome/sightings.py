"""What was seen of the ground this week, as numbers for one hole: firmness, and what comes out of the rough.

Which sightings count, for each kind of ground (fairway, green, out of the rough) by itself: those of this
hole in this round; else those of this hole in the week; else those of the round; else those of the week.
What was seen on another hole counts there alone.

"9-iron from rough came out 85 %" does not say how that ball lay. Engineering choice: under 100 % it did not
jump, so the good and the poor lies are scaled together until their mean, by their chances, is what was seen
(a good lie never above a clean one); from 100 % up it was a jumper, and the jumper's carry is set to it.
Several of a kind are averaged, and count for every club: a lie takes a share of the carry. They rule over
the player's own lies, which are of no course in particular.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from strategy.ball.clubs import anchor
from strategy.ball.firmness import Firmness, combine, firmness_from_seen
from strategy.ball.flight import Flights
from strategy.codes import Lie, Surface
from strategy.errors import PhysicsError
from strategy.player.model import LieEffect, Player
from strategy.week.model import Round, Sighting, Week

_NAMES: Final = {"fairway": "fairways", "green": "greens"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """The ground of one hole.

    Attributes
    ----------
    fairway, green : float
        Firmness, 0 = normal.
    carry : mapping of Lie to float
        Multiplier of the carry from lies in the rough, where one was seen.
    said : tuple of str
        What was taken for granted, what does not count.
    """

    fairway: float = 0.0
    green: float = 0.0
    carry: Mapping[Lie, float] = field(default_factory=dict)
    said: tuple[str, ...] = ()


def with_lies(player: Player, carry: Mapping[Lie, float]) -> Player:
    """The player with other carries from some lies."""
    if not carry:
        return player
    effects = dict(player.lie_effects)
    for lie, share in carry.items():
        effects[lie] = dataclasses.replace(effects.get(lie, LieEffect()), carry=share)
    return dataclasses.replace(player, lie_effects=effects)


def seen(player: Player, calm: Flights, week: Week, round: Round, label: str) -> Seen:  # noqa: A002
    """The ground of a hole, from what was seen.

    Parameters
    ----------
    calm : Flights
        The player's shots (S,) in calm air.
    label : str
        The hole.
    """
    said: list[str] = []
    kinds: dict[str, list[Sighting]] = {"fairway": [], "green": [], "rough": []}
    strange: dict[str, str] = {}
    for sightings in _in_order(week, round, label):
        fresh: dict[str, list[Sighting]] = {kind: [] for kind in kinds}
        for one in sightings:
            if shot_of(player, one.club) is None:
                strange[one.text] = one.club
            else:
                fresh[_kind(one)].append(one)
        for kind, found in fresh.items():
            kinds[kind] = kinds[kind] or found
    firm: dict[str, float] = {}
    for kind, name in _NAMES.items():
        found_here = [_firmness(player, calm, one, week.stimp_ft) for one in kinds[kind]]
        if not found_here:
            said.append(f"firmness of the {name} taken as normal: nothing was seen of it")
        ground = combine(found_here) if found_here else Firmness(f=0.0, sd=0.0)
        firm[kind] = ground.f
        if ground.note:
            said.append(ground.note)
    bag = ", ".join(dict.fromkeys(s.club for s in player.shots))
    said += [f'"{text}" does not count: there is no {club} among {bag}' for text, club in strange.items()]
    carry = _out_of_the_rough(player, week, kinds["rough"])
    if carry:
        shares = ", ".join(f"{lie.label} {share:.0%}" for lie, share in sorted(carry.items()))
        said.append(f"carry out of the rough as seen: {shares}")
    return Seen(fairway=firm["fairway"], green=firm["green"], carry=carry, said=tuple(said))


def shot_of(player: Player, name: str) -> int | None:
    """The shot that somebody calls by a name: a shot, or a club's stock shot; None where there is none.

    "7i" is the 7-iron, "PW" the pitching wedge.
    """
    wanted = " ".join(name.casefold().split())
    for i, shot in enumerate(player.shots):
        if wanted == shot.label.casefold() or wanted == f"{shot.club}, {shot.name}".casefold():
            return i
    called = [i for i, shot in enumerate(player.shots) if shot.club.casefold() == wanted]
    called = called or [i for i, shot in enumerate(player.shots) if _same(shot.club, name)]
    return next((i for i in called if player.shots[i].stock), called[0] if called else None)


def _same(one: str, other: str) -> bool:
    try:
        return anchor(one).club == anchor(other).club
    except PhysicsError:  # a name of the player's own
        return False


def _in_order(week: Week, round: Round, label: str) -> Iterator[list[Sighting]]:  # noqa: A002
    """Sightings that may count on a hole, those that rule first."""
    for hole in (label.casefold(), ""):
        for every in (round.sightings, week.sightings):
            yield [one for one in every if one.hole.casefold() == hole]


def _kind(one: Sighting) -> str:
    if one.carry_share is not None:
        return "rough"
    return "green" if one.surface == Surface.GREEN else "fairway"


def _firmness(player: Player, calm: Flights, one: Sighting, stimp_ft: float) -> Firmness:
    i = shot_of(player, one.club)
    assert i is not None
    assert one.run_m is not None
    return firmness_from_seen(calm[i], one.run_m, one.surface, stimp_ft=stimp_ft)


def _out_of_the_rough(player: Player, week: Week, sightings: list[Sighting]) -> dict[Lie, float]:
    """Multipliers of the carry from the rough, see the module's docstring."""
    shares = np.array([one.carry_share for one in sightings], dtype=np.float64)
    carry: dict[Lie, float] = {}
    held, jumped = shares[shares < 1.0], shares[shares >= 1.0]
    if held.size:
        lies = (Lie.ROUGH_GOOD, Lie.ROUGH_POOR)
        usual = [player.lie_effects.get(lie, LieEffect()).carry for lie in lies]
        chances = np.array(week.rough_chances[:2]) + 1e-9  # where the rough has neither lie, both count alike
        scale = float(held.mean() / np.average(usual, weights=chances))
        carry = {lie: min(share * scale, 1.0) for lie, share in zip(lies, usual, strict=True)}
    if jumped.size:
        carry[Lie.JUMPER] = float(jumped.mean())
    return carry
