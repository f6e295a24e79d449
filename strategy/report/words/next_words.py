"""What a shot leaves, what is then played, and where to miss."""

from __future__ import annotations

from collections.abc import Sequence

from strategy.codes import Lie
from strategy.decide.misses import Miss
from strategy.decide.option import Option
from strategy.plan.document import Decision
from strategy.plan.quoted import NextShot, miss_advice
from strategy.report.words.lengths import Units
from strategy.report.words.shot_words import capital, spoken


def leaves_words(option: Option, units: Units) -> str:
    """What a shot leaves, to the front: "Leaves 113 to 153 front."; "" when it reaches the green."""
    if option.leave is None:
        return ""
    low, high = (units.whole(v) for v in option.leave.to_front_m)
    return f"Leaves {low} to {high} front." if low != high else f"Leaves {low} front."


def next_sentence(decision: Decision, units: Units) -> str:
    """What follows a tee shot, by what it leaves: "Then from the fairway 107-117 front: gap wedge; ..."."""
    parts = []
    for lie, name in ((Lie.FAIRWAY, "the fairway"), (Lie.ROUGH_GOOD, "good rough")):
        mine = [s for s in decision.next_shots if s.lie is lie]
        if not mine:
            continue
        shots = [
            f"{span}{'' if k else ' front'}: {spoken(s.label)}"
            for k, (span, s) in enumerate(zip(_spans(mine, units), mine, strict=True))
        ]
        parts.append(f"from {name} {'; '.join(shots)}")
    return f"Then {'. '.join(capital(p) if k else p for k, p in enumerate(parts))}." if parts else ""


def _spans(stretches: Sequence[NextShot], units: Units) -> list[str]:
    """Stretches that follow one another in whole numbers, none of them in two: "107-116", "117-124"."""
    spans, ended = [], 0
    for k, stretch in enumerate(stretches):
        low = units.whole(stretch.low_m) if k == 0 else ended + 1
        ended = max(units.whole(stretch.high_m), low)
        spans.append(f"{low}-{ended}" if ended > low else f"{low}")
    return spans


def miss_words(decision: Decision, units: Units) -> str:
    """Where to miss and why; "" where it hardly matters.

    ::

        Miss short (12 of green to the hole), not right (wet): 0.31 between them.
        Miss short (12 of green to the hole); long (4) is dead, 0.65 more.
    """
    advice = miss_advice(decision.misses)
    if advice is None:
        return ""
    best, worst, between = advice.best, advice.worst, advice.between
    why = _leaves(best, units, " of green to the hole"), _leaves(worst, units, "")
    if not worst.ground and (worst.green_m or 0.0) >= (best.green_m or 0.0):
        why = why[0], ""  # the lack of green is not what makes it dear
    if advice.is_dead:
        return f"Miss {best.where}{why[0]}; {worst.where}{why[1]} is dead, {between:.2f} more."
    return f"Miss {best.where}{why[0]}, not {worst.where}{why[1]}: {between:.2f} between them."


def _leaves(miss: Miss, units: Units, what: str) -> str:
    """What a miss leaves, in brackets: trouble, or how much green to work with."""
    if miss.ground:
        return f" ({miss.ground})"
    return "" if miss.green_m is None else f" ({units.whole(miss.green_m)}{what})"
