"""The ball and the constants of its flight; `strategy.ball.flight` names their sources."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

MASS_KG: Final = 0.04593  # Equipment Rules, Part 4: not heavier than 45.93 g
DIAMETER_M: Final = 0.04267  # not smaller than 42.67 mm
RADIUS_M: Final = DIAMETER_M / 2.0
GRAVITY: Final = 9.80665


@dataclass(frozen=True, slots=True, kw_only=True)
class BallLaw:
    """Constants of lift, drag and spin decay; the defaults are the fit in `strategy.ball.flight`."""

    drag: float = 0.127
    drag_per_lift: float = 0.624
    drag_slow: float = 0.139
    reynolds_slow: float = 65_000.0
    lift: float = 0.548
    lift_spin: float = 0.217
    decay: float = 2.0e-5

    def numbers(self) -> tuple[float, ...]:
        """The constants as the integrators take them, in their order."""
        area = np.pi * DIAMETER_M**2 / 4.0
        return (
            self.drag,
            self.drag_per_lift,
            self.drag_slow,
            DIAMETER_M / self.reynolds_slow,
            self.lift * RADIUS_M,
            RADIUS_M,
            self.lift_spin,
            self.decay / (1.185 * RADIUS_M),
            area / (2.0 * MASS_KG),
            GRAVITY,
        )


LAW: Final = BallLaw()
