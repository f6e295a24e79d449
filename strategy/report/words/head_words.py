"""Heads of what is said: the hole, the round and its wind, the question, where a shot is played from."""

from __future__ import annotations

from collections.abc import Sequence

from strategy.plan.ask import Question
from strategy.plan.document import Decision, LocationPlan
from strategy.plan.quoted import RoundScores
from strategy.quantity import COMPASS
from strategy.report.words.lengths import Units
from strategy.units import MPH_MPS


def rounds_words(numbers: Sequence[int]) -> str:
    """Rounds: "Round 1", "Rounds 1 and 3", "Rounds 1-4"."""
    if len(numbers) == 1:
        return f"Round {numbers[0]}"
    if len(numbers) > 2 and list(numbers) == list(range(numbers[0], numbers[-1] + 1)):
        return f"Rounds {numbers[0]}-{numbers[-1]}"
    return f"Rounds {', '.join(str(n) for n in numbers[:-1])} and {numbers[-1]}"


def wind_words(speed_mps: float, blows_from: float) -> str:
    """A wind: "9 mph from the SW"; "calm" under half a mile an hour."""
    speed = round(speed_mps / MPH_MPS)
    point = COMPASS[round(blows_from / 22.5) % 16]
    return f"{speed} mph from the {point}" if speed else "calm"


def markers_words(up_m: float, units: Units) -> str:
    """Where the markers stand on their tee: "markers 22 up", "markers 5 back"; "" in their place."""
    up = units.whole(up_m)
    return f"markers {abs(up)} {'up' if up > 0 else 'back'}" if up else ""


def from_words(decision: Decision, location: LocationPlan | None, units: Units) -> str:
    """Where a shot is played from: "115 front, 15 on, fairway"."""
    lie = decision.spot.lie.said
    on = "" if location is None else f", {units.whole(location.cut.on_m)} on"
    return f"{units.whole(decision.green.front_m)} front{on}, {lie}"


def question_words(asked: Question) -> str:
    """What was asked: "Hole 7, Falling Ground, par 3, round 1, hole 14 on, centre."."""
    title = f"Hole {asked.hole}" + (f", {asked.name}" if asked.name else "")
    given = "" if asked.given else " (not given: the middle of the green)"
    return f"{title}, par {asked.par}, round {asked.round}, hole {asked.location}{given}."


def expected_words(decision: Decision) -> str:
    """Expected score of a hole with the first option: "4.01 on average, of 20: 3 birdies, ..."."""
    if not decision.options:
        return ""
    words = f"{decision.first.strokes:.2f} on average"
    counts = [f"{n} {name if n == 1 else _many(name)}" for name, n in decision.score_counts.items()]
    return f"{words}, of 20: {', '.join(counts)}" if counts else words


def _many(score: str) -> str:
    """More than one of a score.

    >>> _many("birdie"), _many("double bogey or worse")
    ('birdies', 'double bogeys or worse')
    """
    return score.replace("bogey", "bogeys") if "bogey" in score else f"{score}s"


def round_words(scores: RoundScores) -> str:
    """Score of a round under the plan, its average and both tails.

    ::

        Round 1 under this plan, 18 holes, par 71: 70.8 on average, one in ten 67 or better, half 71 or
        better, one in ten 75 or worse.
    """
    low, middle, high = scores.tails
    holes = f"{scores.holes} hole{'' if scores.holes == 1 else 's'}, par {scores.par}"
    tails = f"one in ten {low} or better, half {middle} or better, one in ten {high} or worse"
    likely = "" if not scores.likely else f" Hole locations of {scores.likely} are likely ones."
    return f"Round {scores.round} under this plan, {holes}: {scores.mean:.1f} on average, {tails}.{likely}"
