"""What is not known of a hole, and what that costs the answer: trees of an assumed height."""

from __future__ import annotations

import dataclasses
from typing import Final

import numpy as np

from strategy.codes import Spot, Surface
from strategy.course.model import TREE_CLASSES_M, Hole
from strategy.decide import CostField, Option
from strategy.decide.aims import Aims
from strategy.decide.option import word_for
from strategy.decide.options import judge
from strategy.decide.worlds import remade
from strategy.outcome.points import Stream
from strategy.plan.quoted import Trees, TreesAt

ASSUMED_M: Final = TREE_CLASSES_M["medium"]
OTHERS_M: Final = (TREE_CLASSES_M["low"], TREE_CLASSES_M["tall"])  # what they may be instead


def trees_unknown(
    hole: Hole, field: CostField, spot: Spot, options: tuple[Option, ...], seed: int
) -> Trees | None:
    """The answer under lower and taller trees; None where the heights of all trees are known.

    The shots that follow are played as under the assumed heights.
    """
    canopy = field.today.canopy
    if canopy is None or not options:
        return None
    if not any(a.surface == Surface.TREES and a.height_source == "assumed" for a in hole.areas):
        return None
    aims = Aims.of([o.choice for o in options])
    value = options[0].strokes - options[0].cost
    others = []
    for height in OTHERS_M:
        share = np.where(np.isclose(canopy.top, ASSUMED_M, atol=0.01), height / ASSUMED_M, 1.0)
        other = dataclasses.replace(
            canopy, top=(canopy.top * share).astype(np.float32), base=(canopy.base * share).astype(np.float32)
        )
        changed = remade(field, dataclasses.replace(field.today, canopy=other))
        judged = judge(changed, spot, aims, seed=Stream.PRICE.of(seed), guess=value, value=value, size=128)
        best = int(np.argmin(np.round(judged.repeated, 6)))
        cost = float(judged.strokes[0] - judged.strokes[best])
        half = judged.cost_error(0, best) if best else 0.0
        others.append(
            TreesAt(
                height_m=height,
                strokes=float(judged.strokes[0] - options[0].strokes),
                label=options[best].label,
                cost=max(cost, 0.0),
                word=word_for(cost, half),
            )
        )
    return Trees(assumed_m=ASSUMED_M, low=others[0], tall=others[1])
