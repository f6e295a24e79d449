"""`course-strategy check` in words: what stands, what to do first, and every hole; 96 columns."""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final

from strategy.columns import columns
from strategy.course.assembly.intake import Import
from strategy.course.check import Check, HoleCheck, Length, Walk
from strategy.course.model import Finding, FindingKind
from strategy.units import YARD_M

_HEAD: Final = 13
_ORDER: Final = (
    FindingKind.QUESTION,
    FindingKind.MISSING,
    FindingKind.ASSUMED,
    FindingKind.REPAIRED,
    FindingKind.IGNORED,
)


def check_text(
    check: Check, *, holes: Sequence[str] = (), metres: bool = False, everything: bool = False
) -> str:
    """A check as text.

    Parameters
    ----------
    check : Check
        As `check_course` gives it.
    holes : sequence of str
        Only these; all when empty.
    metres : bool
        Whole metres instead of whole yards.
    everything : bool
        What was not used too: schools, car parks, other courses.

    Raises
    ------
    RequestError
        For a hole that the course does not have.
    """
    wanted = {check.course.hole(label).label for label in holes}
    writer = _CheckWriter("m" if metres else "yd", 1.0 if metres else YARD_M, everything)
    lines = list(writer.whole(check))
    for hole in check.holes:
        if not wanted or hole.label in wanted:
            lines += ["", *writer.hole(hole)]
    return "\n".join(lines) + "\n"


def import_text(done: Import) -> str:
    """What an import did, in words."""
    lines = [f"{done.name}: {done.written} features in {done.folder}"]
    kinds = (
        ("new", done.new),
        ("changed in the file, brought in", done.changed),
        ("gone from the file, removed", done.removed),
        ("yours, kept", done.edited),
        ("removed by you, left out", done.left_out),
    )
    rows = [f"  {len(fids):>4} {word}{_some(fids)}" for word, fids in kinds if fids]
    lines += rows or ["       nothing has changed"]
    lines += [line for f in done.findings for line in _row(f.kind.value, f.text)]
    lines.append(f"Credit: {done.credit or 'none is known; write it into course.toml'}")
    if done.refused:
        lines.append("Next: mend this, for the folder cannot be planned as it stands:")
        lines += [line for fault in done.refused.splitlines() for line in _wrapped(fault, "  ", 4)]
    else:
        lines.append(f"Next: course-strategy check {done.folder}")
    return "\n".join(lines) + "\n"


def _some(fids: Sequence[str]) -> str:
    return f" ({', '.join(fids)})" if len(fids) <= 3 else ""


class _CheckWriter:
    def __init__(self, unit: str, unit_m: float, everything: bool) -> None:
        self.unit, self.unit_m = unit, unit_m
        self.kinds = _ORDER if everything else tuple(k for k in _ORDER if k is not FindingKind.IGNORED)

    def number(self, metres: float) -> str:
        return f"{metres / self.unit_m:.0f}"

    def length(self, metres: float) -> str:
        return f"{self.number(metres)} {self.unit}"

    def whole(self, check: Check) -> Iterator[str]:
        course = check.course
        par = sum(hole.par for hole in check.holes)
        total = self.length(sum(hole.length_m for hole in check.holes))
        count = f"{len(check.holes)} hole{'s' if len(check.holes) > 1 else ''}"
        title = f"{course.name}: {count}, par {par}, {total} from the back tees along the lines of play"
        yield from _wrapped(title, "", 2)
        yield from _wrapped(f"Credit: {course.credit or 'none stated; say it in course.toml'}", "", 8)
        yield from _wrapped(f"Read from {', '.join(course.files)}", "", 10)
        lon, lat = check.lonlat
        wide, tall = (self.length(m) for m in check.reach_m)
        north = f"{abs(lat):.4f} {'north' if lat >= 0.0 else 'south'}"
        east = f"{abs(lon):.4f} {'east' if lon >= 0.0 else 'west'}"
        reach = f"reaches {wide} west to east and {tall} south to north"
        yield from _wrapped(f"It lies round {north}, {east}, and {reach}", "", 8)
        if check.todos:
            yield ""
            yield "First, in this order:"
            for number, todo in enumerate(check.todos, start=1):
                where = f" (hole{'s' if len(todo.holes) > 1 else ''} {', '.join(todo.holes)})"
                yield from _wrapped(todo.text + (where if todo.holes else ""), f"{number:>3}. ", 5)
        if course.findings:
            yield ""
            yield "Whole course"
            yield from self.findings(course.findings)
        ignored = sum(f.kind is FindingKind.IGNORED for f in course.findings)
        if ignored and FindingKind.IGNORED not in self.kinds:
            yield from _row("not used", f"{_count('kinds of things', ignored)}: --all names them")

    def hole(self, hole: HoleCheck) -> Iterator[str]:
        name = f", {hole.name}" if hole.name else ""
        assumed = " (assumed)" if hole.par_assumed else ""
        far = f"{self.length(hole.length_m)} from {hole.tee}"
        yield from _wrapped(f"Hole {hole.label}{name}: par {hole.par}{assumed}, {far}", "", 2)
        deep, wide = (self.number(v) for v in hole.green_m)
        found = [f"green {deep} deep, {wide} wide", *(_count(word, n) for word, n in hole.contents)]
        yield from _row("found", "; ".join(found))
        if hole.trees:
            yield from _row("trees", "heights " + ", ".join(f"{n} {word}" for word, n in hole.trees))
        for length in hole.lengths:
            yield from _row("length", self.stated(length))
        yield from self.findings(hole.findings)
        if hole.walk:
            yield from _row("pace first", "; ".join(self.walk(one) for one in hole.walk))

    def stated(self, length: Length) -> str:
        gap = length.stated_m - length.measured_m
        met = f"{length.text}" + (" taken for yards" if length.in_yards else "")
        met += f": {self.length(length.stated_m)} against {self.length(length.measured_m)} along the line"
        if abs(gap) < 0.5 * self.unit_m:
            return met
        return f"{met}, {self.length(abs(gap))} {'longer' if gap > 0.0 else 'shorter'}" + (
            "" if length.agrees else ": one of them is wrong"
        )

    def walk(self, one: Walk) -> str:
        return f"{one.what} ({self.number(one.traced_m)} traced)"

    def findings(self, findings: Sequence[Finding]) -> Iterator[str]:
        for kind in self.kinds:
            texts = Counter(f.text for f in findings if f.kind is kind)
            for number, (text, times) in enumerate(texts.items()):
                again = f" ({times} times)" if times > 1 else ""
                yield from _row(kind.value if number == 0 else "", text + again)


def _row(head: str, text: str) -> Iterator[str]:
    yield from _wrapped(text, f"  {head:<{_HEAD - 2}}", _HEAD)


def _wrapped(text: str, head: str, indent: int) -> Iterator[str]:
    yield from textwrap.wrap(
        text, columns(), initial_indent=head, subsequent_indent=" " * indent, break_long_words=False
    )


def _count(word: str, n: int) -> str:
    if n > 1:
        return f"{n} {word}"
    singular = {
        "woods or trees": "wood or tree",
        "numbers walked": "number walked",
        "kinds of things": "kind of thing",
    }
    return f"1 {singular.get(word, word.removesuffix('s'))}"
