"""Values of a whole hole as plans make them: one accuracy for plans, questions and Python."""

from __future__ import annotations

from typing import Final

from strategy.arrays import FloatArray
from strategy.decide.solver import whole_hole as whole
from strategy.decide.solver.whole_hole import WholeHole
from strategy.outcome.today import HoleToday

SPACING_M: Final = 8.0  # of a solve's lattice: against 5 m the value from the tee moves by 0.002 at most
NEAR_SPACING_M: Final = 5.0  # near the hole
POINTS: Final = 32  # of a solve: against 64 values rise by 0.003 at most, alike for every option


def solve(today: HoleToday, *, seed: int = 1, threads: int = 1) -> WholeHole:
    """Strokes to hole out by this player's own next shots on this hole today, as every command counts them.

    The hole is solved where balls from the tee come down, and from there on. For other accuracies use
    `strategy.decide.solver.whole_hole.solve`.

    Parameters
    ----------
    today : HoleToday
        The hole under today's conditions.
    seed : int
        Seed of the sample points.
    threads : int
        Threads of this process; the answer is the same.
    """
    return whole.solve(
        today,
        seed=seed,
        threads=threads,
        landings=True,
        size=POINTS,
        spacing_m=SPACING_M,
        near_m=NEAR_SPACING_M,
    )


def restored(today: HoleToday, value: FloatArray) -> WholeHole:
    """The same solution from its values (N,), which are not worked out again."""
    return whole.from_values(today, value, landings=True, spacing_m=SPACING_M, near_m=NEAR_SPACING_M)
