"""The number a shot is playing, as a caddie reads it: one line a cause, then the shots that fit."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from strategy.codes import Lie, Surface
from strategy.plan.cautions import RULE
from strategy.plan.number import Fit, PlayingNumber
from strategy.plan.number_on_course import AskedNumber
from strategy.report.words.head_words import question_words, wind_words
from strategy.report.words.lengths import Units
from strategy.report.words.lines import wrapped
from strategy.report.words.shot_words import capital, spoken
from strategy.report.words.stance_words import aside_words, lie_of_the_ground
from strategy.units import MPH_MPS

DRIFT: Final = "Left and right are the wind's, beside the shot's own shape: start it that much the other way."
_WHERE: Final = (
    "into",
    "into, from the right",
    "from the right",
    "down, from the right",
    "down",
    "down, from the left",
    "from the left",
    "into, from the left",
)
_NO_GREEN: Final = {
    Surface.BUNKER: "in sand",
    Surface.TREES: "in trees",
    Surface.YELLOW: "wet",
    Surface.RED: "wet",
    Surface.OUT: "out of bounds",
    Surface.OFF_MAP: "off the map",
    Surface.ROUGH: "in rough",
}


def number_text(
    number: PlayingNumber, units: Units = Units.YARDS, *, heading: Sequence[str] = (), compass: bool = False
) -> str:
    """The ladder, the shots that fit, and what is taken for granted.

    Parameters
    ----------
    number : PlayingNumber
    units : Units
        Of everything printed; whole ones, and the lines add up as printed.
    heading : sequence of str
        Lines above it.
    compass : bool
        The wind is known by the compass: say that too.
    """
    lines = [*heading, "", *_ladder(number, units, compass=compass), ""]
    for sentence in _sentences(number, units):
        lines += wrapped(sentence)
    lines += ["", *_table(number.fits, units), ""]
    if any(units.whole(f.side_m) for f in number.fits):
        lines += wrapped(DRIFT)
    if number.assumptions:
        lines += wrapped(f"Taken for granted: {'; '.join(number.assumptions)}.")
    lines += wrapped(RULE)
    return "\n".join(lines) + "\n"


def plain_text(number: PlayingNumber, player: str, units: Units = Units.YARDS) -> str:
    """A number from plain numbers."""
    return number_text(number, units, heading=wrapped(f"{player}. Distances in {units}."))


def asked_text(asked: AskedNumber, player: str, units: Units = Units.YARDS, *, credit: str = "") -> str:
    """A number from a course."""
    heading = wrapped(f"{question_words(asked)} {player}. Distances in {units}.")
    text = number_text(asked.number, units, heading=heading, compass=True)
    return "\n".join((text.rstrip("\n"), *wrapped(credit), ""))


def whole_steps(start: float, steps: Sequence[float], unit_m: float) -> tuple[int, list[int], int]:
    """A start, what is added to it, and the end, each a whole number, so that the sum holds as printed.

    Start and end are rounded to the nearest; every step is rounded up or down, the fewest away from its
    nearest: largest remainder. A step of nothing stays nothing.

    Examples
    --------
    >>> whole_steps(153.0, [-3.4, 0.4, 0.4], 1.0)
    (153, [-3, 0, 0], 150)
    >>> whole_steps(153.0, [-3.5, -0.4, 0.0], 1.0)
    (153, [-4, 0, 0], 149)
    """
    first = math.floor(start / unit_m + 0.5)
    exact = [round(step / unit_m, 9) for step in steps]
    last = math.floor(start / unit_m + sum(exact) + 0.5)
    low = [math.floor(step) for step in exact]
    by_rest = sorted(range(len(exact)), key=lambda i: low[i] - exact[i])
    for i in by_rest[: last - first - sum(low)]:
        low[i] += 1
    return first, low, last


def wind_where(wind_from: float) -> str:
    """Where a wind comes from against the line of the shot: "into, from the left". [°]

    >>> wind_where(0), wind_where(268), wind_where(130)
    ('into', 'from the left', 'down, from the right')
    """
    return _WHERE[round(wind_from / 45.0) % 8]


def _ladder(number: PlayingNumber, units: Units, *, compass: bool) -> Iterator[str]:
    rows: list[tuple[str, str, str]] = []
    unit = units.metres
    front, (on, across), hole = whole_steps(number.front_m, [number.on_m, number.across_m], unit)
    causes = [
        number.land_short_m,
        number.wind_m,
        number.height_m,
        number.air_m,
        number.lie_m,
        number.stance_m,
    ]
    _, steps, playing = whole_steps(number.hole_m, causes, unit)
    rows += [("front", "", f"{front}"), ("on", "", f"{on:+d}")]
    if across:
        rows.append(("off the line", "", f"{across:+d}"))
    rows.append(("hole", "", f"{hole}"))
    run = "land short, for the run" if number.land_short_m <= 0.0 else "land past, it spins back"
    lie = number.lie.said
    words = (
        (run, ""),
        ("wind", _wind(number, compass=compass)),
        ("height", _height(number.rise_m, units)),
        ("air", _air(number.air_m)),
        ("lie", lie),
        ("stance", "" if number.stance is None else lie_of_the_ground(number.stance)),
    )
    for (what, more), step in zip(words, steps, strict=True):
        if what != "stance" or number.stance is not None:
            rows.append((what, more, f"{step:+d}" if step else "0"))
    rows.append(("playing", f"for {spoken(number.fits[0].label)}", f"{playing}"))
    names = [f"{what}: {more}" if more and what != "playing" else what for what, more, _ in rows]
    wide = max(map(len, names))
    for name, (what, more, value) in zip(names, rows, strict=True):
        tail = f"   {more}" if what == "playing" else ""
        yield f"{name:<{wide}}  {value:>4}{tail}"


def _wind(number: PlayingNumber, *, compass: bool) -> str:
    if number.wind is None or round(number.wind.speed_mps / MPH_MPS) == 0:
        return "calm"
    words = wind_words(number.wind.speed_mps, number.wind.blows_from)
    where = wind_where(number.wind_from)
    return f"{words}, {where}" if compass else f"{round(number.wind.speed_mps / MPH_MPS)} mph {where}"


def _height(rise_m: float, units: Units) -> str:
    rise = units.whole(rise_m)
    return f"{abs(rise)} {'up' if rise > 0 else 'down'}" if rise else "level"


def _air(air_m: float) -> str:
    if abs(air_m) < 0.05:
        return "as measured"
    return "thinner" if air_m < 0.0 else "heavier"


def _sentences(number: PlayingNumber, units: Units) -> Iterator[str]:
    best = number.fits[0]
    yield _answer(best, units)
    clean, playing = units.whole(number.clean_m), units.whole(number.playing_m)
    if number.lie == Lie.JUMPER and clean != playing:
        more = "shorter" if playing < clean else "longer"
        yield (
            f"A jumper flies further and runs on: {abs(clean - playing)} {more} than from a clean lie, "
            f"which would be playing {clean}."
        )
    elif number.lie not in (Lie.TEE, Lie.FAIRWAY) and clean != playing:
        yield f"From a clean lie it would be playing {clean}."
    if number.stance is not None and (words := aside_words(number.stance, units)):
        yield words
    if number.jumps_m is not None:
        yield f"If it jumps it is playing {units.whole(number.jumps_m)}."
    pitch = units.whole(number.hole_m + number.land_short_m)
    if number.cover_m is not None and number.cover_past_m is not None:
        past = units.whole(number.cover_past_m)
        if number.least_m is not None and number.least_m > number.front_m:
            yield (
                f"False front: land {units.whole(number.least_m)} or more, and that lands {pitch}. "
                f"To stay on it is playing {units.whole(number.cover_m)}, and finishes {_past(past)}."
            )
            return
        short = max(units.whole(number.front_m) - pitch, 1)
        yield (
            f"That lands {short} short of the front. To carry the front it is playing "
            f"{units.whole(number.cover_m)}, and finishes {_past(past)}."
        )
    elif number.lands in _NO_GREEN:
        yield f"That lands {_NO_GREEN[number.lands]}: it has to carry further than the number."


def _answer(best: Fit, units: Units) -> str:
    """What the shot of the ladder does."""
    shot = capital(spoken(best.label))
    own, off = units.whole(best.carry_m), units.whole(best.finish_m)
    if best.taken_down_m is not None and off > 1:
        return f"{shot} carries {own}: taken down to {units.whole(best.taken_down_m)} it is pin high."
    return f"{shot} carries {own}: hit full it {f'finishes {_past(off)}' if off else 'is pin high'}."


def _past(off: int) -> str:
    if off == 0:
        return "at the hole"
    return f"{abs(off)} {'past' if off > 0 else 'short'}"


def _table(fits: Sequence[Fit], units: Units) -> Iterator[str]:
    wide = max(4, *(len(f.label) for f in fits))
    rows = [(f.label, f"{units.whole(f.carry_m)}", _finish(f, units), _more(f, units)) for f in fits]
    finish = max(len("hit full it finishes"), *(len(row[2]) for row in rows))
    yield f"{'shot':<{wide}}  carry   {'hit full it finishes':<{finish}}".rstrip()
    for label, carry, ends, more in rows:
        yield f"{label:<{wide}}  {carry:>5}   {ends:<{finish}}   {more}".rstrip()


def _finish(fit: Fit, units: Units) -> str:
    off, side = units.whole(fit.finish_m), units.whole(fit.side_m)
    depth = f"{abs(off)} {'long' if off > 0 else 'short'}" if off else "pin high"
    return f"{depth}, {abs(side)} {'right' if side > 0 else 'left'}" if side else depth


def _more(fit: Fit, units: Units) -> str:
    words = []
    if fit.taken_down_m is not None and units.whole(fit.finish_m) > 1:
        words.append(f"taken down to {units.whole(fit.taken_down_m)}: pin high")
    if fit.lands in _NO_GREEN:
        words.append(f"lands {_NO_GREEN[fit.lands]}")
    return "; ".join(words)
