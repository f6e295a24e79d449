"""Shots that the tests of sentences share: a tee shot with an alternative, and an approach."""

from __future__ import annotations

from strategy.codes import Lie
from strategy.decide.option import Word
from strategy.plan.document import Role
from tests.plan.hand import decision, option, quoted, reach, start

FAR = reach("the far left bunker", "carry", 262, 281)
EDGE = start("the far left bunker", "left edge", -12)
DRIVE = option("driver, the fade", 287, quoted=quoted(side=6, begin=EDGE, reaches=[FAR]))
WOOD = option("3-wood", 258, cost=0.06, word=Word.SMALL, quoted=quoted(side=2))
IRON = option("7-iron", 156, quoted=quoted("hole", -4, 3, room=None))


def approach(best, *others, **given):
    """A decision from the fairway."""
    return decision(best, *others, role=Role.MIDDLE, lie=Lie.FAIRWAY, front=145, to_hole=159, **given)
