"""Practice fitted, in words: a table of shots, what stands out, how sure it is, and the rows not used."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from typing import Final

from strategy.columns import columns
from strategy.player.fit.posterior import FREEDOM, balls_to_tell
from strategy.player.fit.practice import WELL_KNOWN, FittedShot, PracticeFit
from strategy.player.logs.model import PLACES, PracticeLog, lines_words
from strategy.reference.spread import TWO_THIRDS
from strategy.report.words.lengths import Units
from strategy.report.words.shot_words import capital

_CARRY_OFF: Final = 2.0  # standard errors, and yards or metres, from which a carry is said to be another
_FAR_FROM_STATED: Final = 1.25  # scatter over what the file has, or the other way round, that is worth a word


def fit_words(fit: PracticeFit, units: Units) -> str:
    """All that is said of a fit, without what was written where."""
    return "\n".join(_Writer(fit, units).text()) + "\n"


def picture_lines(fit: PracticeFit, shot: FittedShot, units: Units) -> list[str]:
    """What stands above the picture of one shot: its numbers, then what stands out."""
    writer = _Writer(fit, units)
    oval = [writer.exact(2.0 * TWO_THIRDS * v) for v in shot.scatter]
    first = (
        f"{writer.exact(shot.carry_m)} to carry. Two of three well-struck balls come down in an oval "
        f"{oval[0]} wide and {oval[1]} deep (s.d. {writer.exact(shot.scatter[0])} and "
        f"{writer.exact(shot.scatter[1])})."
    )
    second = f"{len(shot.balls)} balls, scatter known to ±{100 * shot.fit.posterior.scatter_error:.0f} %."
    return [first, second, *(capital(line) for line in writer.stands_out(shot))]


def session_name(session: str, logs: Sequence[PracticeLog]) -> str:
    """A session as the user knows it: its day, or the name of its log where no day is written."""
    number, _, name = session.partition(" ")
    if name and len(logs) == 1:
        return name
    log = logs[int(number)].file.replace("\\", "/").rpartition("/")[2]
    return f"{name} ({log})" if name else log


class _Writer:
    def __init__(self, fit: PracticeFit, units: Units) -> None:
        self.fit, self.units = fit, units

    def exact(self, metres: float) -> str:
        return f"{metres / self.units.metres:.1f}"

    def way(self, metres: float) -> str:
        """A length to the side: "3.1 right"."""
        side = "right" if metres > 0.0 else "left"
        return f"{self.exact(abs(metres))} {side}"

    def text(self) -> Iterator[str]:
        fit = self.fit
        count = sum(len(s.balls) for s in fit.shots)
        logs = "1 log" if len(fit.logs) == 1 else f"{len(fit.logs)} logs"
        shots = "1 shot" if len(fit.shots) == 1 else f"{len(fit.shots)} shots"
        ranged = any((s.calm.factor > 1.0).any() for s in fit.shots)
        tight = "; balls off a range or a mat lay tighter than that" if ranged else ""
        yield from _wrapped(
            f"{fit.player.name}: {count} balls of {shots} from {logs}. All numbers are in {self.units}, for "
            f"calm air and a course{tight}."
        )
        yield ""
        yield from self.table()
        yield ""
        yield from _wrapped(
            "side, depth: standard deviations without mishits; two of three well-struck balls come down in "
            "an oval three times as wide and as deep. off line: the mean to the side. known: standard error "
            "of side and depth."
        )
        said = [(shot, self.stands_out(shot)) for shot in fit.shots]
        if any(lines for _, lines in said) or fit.steps or fit.pruned:
            yield ""
            yield "What stands out"
            for shot, lines in said:
                for line in lines:
                    yield from _item(f"{shot.label}: {line}")
            for line in self.ladder():
                yield from _item(line)
            if fit.pruned:
                yield from _item(self.pruned())
        yield ""
        yield "How sure"
        for line in self.sure():
            yield from _item(line)
        yield ""
        yield "The logs"
        for log in fit.logs:
            yield from self.log(log)
        for line in self.places():
            yield from _item(line)

    def table(self) -> Iterator[str]:
        wide = max(len(s.label) for s in self.fit.shots)
        yield f"{'':{wide}}  balls  carry  side  depth  off line   mishits  known"
        for shot in self.fit.shots:
            side, depth = shot.scatter
            mean = shot.bias.mean_m
            off = "on line" if abs(mean) < 0.05 * self.units.metres else self.way(mean)
            yield (
                f"{shot.label:{wide}}  {len(shot.balls):5d}  {self.exact(shot.carry_m):>5}  "
                f"{self.exact(side):>4}  {self.exact(depth):>5}  {off:<10} {100 * shot.fit.share:5.0f} %  "
                f"±{100 * shot.fit.posterior.scatter_error:.0f} %"
            )

    def stands_out(self, shot: FittedShot) -> list[str]:
        """Sentences on one shot, without its name."""
        lines = []
        if shot.bias.sure:
            other = "left" if shot.bias.mean_m > 0.0 else "right"
            lines.append(
                f"comes down {self.way(shot.bias.mean_m)} of its line on average "
                f"(±{self.exact(shot.bias.error_m)}): aim it off to the {other}. The plan does so by itself."
            )
        before = shot.before
        if before is not None and "carry" not in before.assumed:
            off = shot.carry_m - before.carry_m
            if abs(off) > max(_CARRY_OFF * shot.carry_error_m, _CARRY_OFF * self.units.metres):
                word = "longer" if off > 0.0 else "shorter"
                lines.append(
                    f"carries {self.exact(abs(off))} {word} than the player file had it "
                    f"({self.exact(before.carry_m)}; error ±{self.exact(shot.carry_error_m)})."
                )
        if shot.curve is not None:
            lines.append(self.curve(shot))
        for drift in shot.drifts:
            parts = [
                f"{self.exact(mean) if drift.axis == 'carry' else self.way(mean)} ({n} balls of "
                f"{session_name(name, self.fit.logs)})"
                for name, mean, n in drift.sessions
            ]
            verb = "carried" if drift.axis == "carry" else "came down"
            lines.append(
                f"{verb} {_and(parts)}, more apart than chance has it. The scatter of all sessions together "
                "counts every one of them: give only the logs of the swing you will play with."
            )
        return lines

    def curve(self, shot: FittedShot) -> str:
        found = shot.curve
        assert found is not None
        many = f"{round(10 * found.share)} of 10 balls"
        if found.mean_m is None:
            way = "a fade" if found.curves == "fade" else "a draw"
            return f"is named {_a(found.named)}, and {many} spin as {way}."
        return (
            f"is named {_a(found.named)}, and curves {self.way(found.mean_m)} on average, as "
            f"{_a(found.curves)} does ({many}). Change shape in the player file, or the swing."
        )

    def ladder(self) -> Iterator[str]:
        for step in self.fit.steps:
            if step.wide:
                yield (
                    f"{step.longer} and {step.shorter} are {self.exact(step.step_m)} apart, and nothing of "
                    "yours carries in between: a gap in the ladder."
                )
            else:
                yield (
                    f"{step.longer} and {step.shorter} carry within {self.exact(step.step_m)} of each other "
                    f"(±{self.exact(step.error_m)}): one of them does the other's work."
                )

    def pruned(self) -> str:
        found = self.fit.pruned
        assert found is not None
        return (
            f"of {found.balls} balls {found.far} came down far to the side (past 2.2 standard deviations of "
            f"their shot), where {found.expected:.0f} would even without a mishit. The worst balls seem to "
            "be missing. If the worst 5 % sideways go unwritten, a scatter reads 13 % too small: log every "
            "ball."
        )

    def sure(self) -> Iterator[str]:
        fit = self.fit
        wanting = [(s.label, s.more_balls) for s in fit.shots if s.more_balls]
        if wanting:
            listed = _and([f"{label} {more}" for label, more in wanting])
            yield f"balls more that would bring a scatter to ±{100 * WELL_KNOWN:.0f} %: {listed}."
        known = [s.label for s in fit.shots if not s.more_balls]
        if known:
            yield f"scatter known to ±{100 * WELL_KNOWN:.0f} % or better: {_and(known)}."
        telling = [s for s in fit.shots if not s.bias.sure and 0 < s.bias.balls <= 2 * len(s.balls)]
        for shot in telling:
            yield (
                f"{shot.label}: whether it really comes down {self.way(shot.bias.mean_m)} of its line, "
                f"{shot.bias.balls} balls more would tell."
            )
        pooled = max((s.others for s in fit.shots), default=0)
        if pooled:
            yield (
                "each shot leans on the player's other shots and on the published scatter of the level, as "
                f"if on {_range([s.worth for s in fit.shots])} balls of its own; with many balls that no "
                "longer matters."
            )
        else:
            balls = f"{FREEDOM:g} balls of its own"
            yield f"the shot leans on the published scatter of the level as if on {balls}."
        yield (
            "to tell that one of two shots scatters 10 % more than the other takes "
            f"{balls_to_tell(1.1)} balls of each, 20 % {balls_to_tell(1.2)}, 30 % {balls_to_tell(1.3)}."
        )

    def log(self, log: PracticeLog) -> Iterator[str]:
        left = sum(len(one.lines) for one in log.left_out)
        yield from _item(
            f"{log.file}: {len(log.balls)} balls"
            + (f"; {left} rows not used:" if left else ", every row used.")
        )
        for one in log.left_out:
            mend = f" {one.mend}." if one.mend and not one.mend.endswith("?") else f" {one.mend}".rstrip()
            yield from _item(f"{lines_words(one.lines)}: {one.why}.{mend}", depth=2)
        for line in log.assumed:
            yield from _item(f"{line}.", depth=2)
        if log.unused:
            unused = _and([f'"{name}"' for name in log.unused])
            yield from _item(f"columns not understood: {unused}.", depth=2)

    def places(self) -> Iterator[str]:
        fit = self.fit
        windy = sum(s.calm.windy for s in fit.shots)
        if windy:
            yield f"{windy} balls were moved for the wind that the log gives."
        ranged = sum(int((s.calm.factor > 1.0).sum()) for s in fit.shots)
        if fit.where_assumed:
            place = {"course": "the course", "range": "a range", "mat": "a mat"}[fit.where]
            yield (
                f"{fit.where_assumed} balls do not say where they were hit: {place} is assumed (--where "
                f"{'|'.join(PLACES)})."
            )
        if ranged:
            factor = max(float(s.calm.factor.max()) for s in fit.shots)
            yield f"the scatter of {ranged} balls off a range or a mat counts {factor:g} times on the course."
        for label, n in fit.few:
            balls = "1 ball" if n == 1 else f"{n} balls"
            yield f"{label}: {balls}, too few to say anything (8 are the least). It stays as it was."


def _a(shape: str) -> str:
    return "straight" if shape == "straight" else f"a {shape}"


def _and(parts: Sequence[str]) -> str:
    """A list in words; parts that have commas are told apart by semicolons."""
    if len(parts) == 1:
        return parts[0]
    if any("," in part for part in parts):
        return "; ".join(parts)
    return f"{', '.join(parts[:-1])} and {parts[-1]}"


def _range(numbers: Sequence[int]) -> str:
    low, high = min(numbers), max(numbers)
    return f"{low}" if low == high else f"{low} to {high}"


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, columns())


def _item(text: str, depth: int = 1) -> list[str]:
    indent = "  " * depth
    return textwrap.wrap(
        text, columns(), initial_indent=indent, subsequent_indent=indent + "  ", break_on_hyphens=False
    )
