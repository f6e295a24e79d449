"""Firmness from what was seen: "7-iron released 4 paces", "driver ran 18".

A caddie does not know a firmness number, but sees runs. For each run that was seen, the firmness f of
`strategy.ball.ground` is solved at which the same landing gives that run. Fairways and greens have numbers of
their own, because they are watered and mown apart. Several sightings of one kind of ground are averaged, each
weighted by its precision: how much the run changes with f, over the spread of a single run.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from strategy.ball.ground import FIRMNESS, NORMAL_STIMP_FT, run_of
from strategy.units import YARD_M

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import ArrayLike

    from strategy.arrays import FloatArray
    from strategy.ball.flight import Flights
    from strategy.codes import Surface


@dataclass(frozen=True, slots=True, kw_only=True)
class Firmness:
    """One firmness number and how well it is known.

    Attributes
    ----------
    f : float
        Within [-2, 2.5].
    sd : float
        Standard deviation from the spread of a single run.
    inside : bool
        Whether the model can give the run that was seen.
    note : str
        What to print; "" for nothing.
    """

    f: float
    sd: float
    inside: bool = True
    note: str = ""


def firmness_from_seen(
    flights: Flights,
    seen_run_m: float,
    surface: Surface,
    *,
    stimp_ft: float = NORMAL_STIMP_FT,
    slope: ArrayLike = (0.0, 0.0),
) -> Firmness:
    """The firmness at which one shot runs as far as was seen.

    Parameters
    ----------
    flights : Flights
        One shot, as it came down that day.
    seen_run_m : float
        From pitch to rest along the landing direction, negative for a ball that spun back. [m]
    surface : Surface
        Where it pitched.
    stimp_ft, slope
        As of `ground.run`.

    Returns
    -------
    firmness : Firmness
        Beyond the ends of the range it is the end, with a note.
    """

    def runs(f: ArrayLike) -> FloatArray:
        return np.ravel(run_of(flights, int(surface), firmness=f, stimp_ft=stimp_ft, slope=slope).along_m)

    low, high = FIRMNESS
    shortest, longest = runs([low, high])
    where = surface.label
    if not shortest <= seen_run_m <= longest:
        f, side = (low, "less") if seen_run_m < shortest else (high, "more")
        end = shortest if f == low else longest
        return Firmness(
            f=f,
            sd=0.5,
            inside=False,
            note=(
                f"a run of {seen_run_m / YARD_M:.0f} yd on the {where} is {side} than"
                f" the {end / YARD_M:.0f} yd that the {'softest' if f == low else 'firmest'} ground gives"
                " this shot; was it a slope, or another shot?"
            ),
        )
    for _ in range(4):  # each time the range is narrowed to the one of 30 cells that holds the run: f to 1e-5
        cells = np.linspace(low, high, 31)
        first = max(int(np.argmax(runs(cells) >= seen_run_m)), 1)
        low, high = float(cells[first - 1]), float(cells[first])
    f = 0.5 * (low + high)
    nearby = np.clip([f - 0.25, f + 0.25], *FIRMNESS)
    before, after = runs(nearby)
    rate = max((after - before) / (nearby[1] - nearby[0]), 1e-3)
    spread = run_of(flights, int(surface), firmness=f, stimp_ft=stimp_ft, slope=slope).sd_m
    return Firmness(f=f, sd=float(min(np.ravel(spread)[0] / rate, 2.0)))


def combine(seen: Sequence[Firmness], prior: Firmness | None = None) -> Firmness:
    """One firmness from several sightings of the same kind of ground.

    Parameters
    ----------
    seen : sequence of Firmness
        A sighting outside the model's range counts as the end of the range.
    prior : Firmness, optional
        Firmness assumed before anything was seen; none by default.

    Raises
    ------
    ValueError
        If there is nothing to combine.
    """
    every = [*seen, *([prior] if prior else [])]
    if not every:
        raise ValueError("no firmness was seen")
    weights: FloatArray = np.array([1.0 / max(s.sd, 0.05) ** 2 for s in every])
    f = float(np.average([s.f for s in every], weights=weights))
    notes = " ".join(s.note for s in every if s.note)
    return Firmness(f=f, sd=float(weights.sum() ** -0.5), inside=all(s.inside for s in every), note=notes)
