"""Range checks that guess the mistake: the wrong unit, a percentage for a share, a slipped digit.

A reader that knows the file and the key catches `PhysicsError` and repeats its `wrong` and `mend`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import ArrayLike

from strategy.arrays import FloatArray
from strategy.errors import PhysicsError

Guess = tuple[str, Callable[[float], float]]


def within(
    value: ArrayLike,
    least: float,
    most: float,
    what: str,
    unit: str,
    guesses: Sequence[Guess] = (),
    mend: str = "Check the number",
) -> FloatArray:
    """Give `value` as an array of floats if every entry lies within [least, most].

    Parameters
    ----------
    value : array_like
        Any shape; an empty one passes.
    least, most : float
        The range, ends included.
    what, unit : str
        For the message.
    guesses : sequence of (str, function)
        Mistakes to try in order: its words and the conversion to `unit` that would mend it. The first
        whose result lies in the range is named.
    mend : str
        Said when no guess fits.

    Raises
    ------
    PhysicsError
        With the first value outside the range, or not a number.

    Examples
    --------
    >>> within(75.0, -30, 50, "temperature", "°C", [("degrees Fahrenheit", lambda f: (f - 32) / 1.8)])
    Traceback (most recent call last):
    ...
    strategy.errors.PhysicsError: temperature: 75 °C is outside -30 to 50 °C. 75 looks like degrees \
Fahrenheit: that would be 23.89 °C.
    """
    try:
        array = np.asarray(value, dtype=np.float64)
    except (TypeError, ValueError):
        raise PhysicsError(what, f"{value!r} is not a number", mend) from None
    good = (array >= least) & (array <= most)  # nan compares false
    if good.all():
        return array
    met = float(array[~good].flat[0])
    tail = f" {unit}" if unit else ""
    if not np.isfinite(met):
        raise PhysicsError(what, f"{met:g} is not a number", mend)
    wrong = f"{met:g}{tail} is outside {least:g} to {most:g}{tail}"
    for words, convert in guesses:
        meant = convert(met)
        if least <= meant <= most:
            raise PhysicsError(what, wrong, f"{met:g} looks like {words}: that would be {meant:.4g}{tail}")
    raise PhysicsError(what, wrong, mend)
