"""The numbers of a hole as plain text, whole yards or metres; tables are up to 76 columns wide."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import Final

from strategy.columns import columns
from strategy.course.numbers import HoleNumbers, Number, SourceNumbers, Width
from strategy.units import YARD_M

_NAME: Final = 38
_COLUMN: Final = 18


def numbers_text(numbers: HoleNumbers, *, metres: bool = False) -> str:
    """Write the numbers of one hole.

    Parameters
    ----------
    numbers : HoleNumbers
        As worked out.
    metres : bool
        Whole metres instead of whole yards.
    """
    writer = _NumbersWriter(1.0 if metres else YARD_M, "metres" if metres else "yards")
    return "\n".join(writer.hole(numbers)) + "\n"


class _NumbersWriter:
    def __init__(self, unit_m: float, word: str) -> None:
        self.unit_m, self.word = unit_m, word

    def hole(self, numbers: HoleNumbers) -> Iterator[str]:
        title = f"Hole {numbers.label}, par {numbers.par}"
        yield from _wrapped(title + (f", {numbers.name}" if numbers.name else "") + f"  ({self.word})")
        deep, wide = self.measure(numbers.depth, "deep"), self.measure(numbers.width, "wide")
        yield from _wrapped(f"Green: {deep}, {wide}")
        if numbers.pin and numbers.pin_depth and numbers.pin_on and numbers.pin_width:
            yield from _wrapped(
                f"Hole location {numbers.pin}: on its own line {self.whole(numbers.pin_on)} on, green "
                f"{self.whole(numbers.pin_depth)} deep there, {self.whole(numbers.pin_width)} wide"
            )
        if numbers.least_landing is not None:
            least = numbers.least_landing
            yield from _wrapped(f"False front: land {self.whole(least)} on or more ({least.origin})")
        if numbers.green:
            yield from _wrapped(f"In words: {numbers.green}")
        for note in numbers.notes:
            yield from _wrapped(f"Note: {note}")
        for source in numbers.sources:
            yield ""
            yield from self.source(source)
        if numbers.questions:
            yield ""
            yield "Questions from the walk"
            for text in numbers.questions:
                yield from textwrap.wrap(text, columns(), initial_indent="  ", subsequent_indent="    ")

    def source(self, source: SourceNumbers) -> Iterator[str]:
        title = f"From the {source.name}" if source.name[:4].casefold() != "the " else f"From {source.name}"
        if len(title) > _NAME + 1:  # the whole name, on lines of its own
            yield from _wrapped(title)
            title = ""
        yield f"{title:<{_NAME + 2}}{'to reach':<{_COLUMN}}to carry"
        for row in source.features:
            yield self.row(row.name, row.reach, row.carry)
        for name, number in source.run_out:
            yield self.row(
                {"run-out": "fairway ends", "straight on": "fairway ends, straight on"}[name], number
            )
        for width in source.widths:
            yield self.width(width)
        yield self.row("front", source.front)
        if source.least_landing is not None:
            yield self.row("land, past the false front", None, source.least_landing)
        yield self.row("middle", source.middle)
        yield self.row("back", source.back)
        if source.length is not None:
            yield self.row("length, along the line of play", source.length)
        if source.pin is not None:
            yield self.row("front on the hole's line (cover)", source.pin.front)
            yield self.row("hole", source.pin.hole)
            yield self.row("back on the hole's line", source.pin.back)

    def row(self, name: str, first: Number | None, second: Number | str | None = "") -> str:
        later = second if isinstance(second, str) else self.cell(second)
        return f"  {name[: _NAME - 1]:<{_NAME}}{self.cell(first):<{_COLUMN}}{later}".rstrip()

    def width(self, width: Width) -> str:
        at = f"{width.at_m / self.unit_m:.0f}"
        name = f"fairway at {at}: {width.label}" if width.label else f"fairway width at {at}"
        wide = self.cell(Number(value_m=width.width_m, origin=width.origin))
        left, right = width.left_m / self.unit_m, width.right_m / self.unit_m
        beside = f"{left:.0f} left, {right:.0f} right"
        if left < 0.0:
            beside = f"{-left:.0f} to {right:.0f} right"
        elif right < 0.0:
            beside = f"{-right:.0f} to {left:.0f} left"
        return f"  {name[: _NAME - 1]:<{_NAME}}{wide:<{_COLUMN}}{beside}".rstrip()

    def cell(self, number: Number | None) -> str:
        if number is None:
            return "  -"
        return f"{number.value_m / self.unit_m:3.0f} {number.origin}"

    def whole(self, number: Number) -> str:
        return f"{number.value_m / self.unit_m:.0f}"

    def measure(self, number: Number, way: str) -> str:
        return f"{self.whole(number)} {way} ({number.origin})"


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, columns(), subsequent_indent="  ")
