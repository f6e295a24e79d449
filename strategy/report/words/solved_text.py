"""A hole solved backwards, in words: both answers from the tee, and strokes along the line of play."""

from __future__ import annotations

import math

from strategy.decide.option import Option
from strategy.plan.document import ANSWERS
from strategy.plan.solved import Solved
from strategy.report.words.costs import cost_words
from strategy.report.words.lines import wrapped
from strategy.units import YARD_M


def solved_text(solved: Solved) -> str:
    """What the solver found, in lines of text."""
    name = f", {solved.name}" if solved.name else ""
    long = f"{solved.length:.0f} {_unit(solved)}s"
    lines = [
        f"Hole {solved.label}{name}   par {solved.par}, {long} from {solved.tee}",
        "",
        f"Every following shot this player's own best: {solved.whole[0].strokes:.2f} from the tee.",
        *_answers(solved.whole, solved.unit_m),
        "",
        f"What follows counted by the published table: {solved.one_stroke[0].strokes:.2f}.",
        *_answers(solved.one_stroke, solved.unit_m),
        _difference(solved),
        "",
        "Along the line of play, from the lies that the ground gives",
        "  off the tee  to the hole  ground             strokes   table",
    ]
    lines += [
        f"  {r.from_tee:>11.0f}  {r.to_hole:>11.0f}  {r.ground:<16}  "
        f"{_strokes(r.whole):>8}  {_strokes(r.table):>6}"
        for r in solved.rows[1:]
    ]
    lines += ["", *wrapped(f"{_near(solved)} {_passes(solved)}")]
    return "\n".join(lines)


def _near(solved: Solved) -> str:
    if solved.own_short_game:
        return "Shots round the green are this player's own, down to the cup; putts are those of the level."
    return (
        f"This player's file has no shots round the green: inside {solved.inner:.0f} {_unit(solved)}s "
        "of the hole the published table stands."
    )


def _passes(solved: Solved) -> str:
    most = _most(solved.bound)
    return f"{solved.sweeps} passes; more would change no value of the shots chosen by over {most}."


def _unit(solved: Solved) -> str:
    return "yard" if solved.unit_m == YARD_M else "metre"


def _answers(options: tuple[Option, ...], unit_m: float) -> list[str]:
    lines = []
    for k, o in enumerate(options[:ANSWERS]):
        cost = "" if k == 0 else f" {cost_words(o.cost, o.word).removeprefix('is ')}."
        balls = ", ".join(f"{n} {what}" for what, n in o.counts.items())
        text = f"{o.label}, {o.carry_m / unit_m:.0f} to carry{':' if cost else '.'}{cost} Of 20: {balls}."
        lines += wrapped(text, "  ", "  ")
    return lines


def _difference(solved: Solved) -> str:
    best, plain = solved.whole[0], solved.one_stroke[0]
    if best.label == plain.label:
        moved, unit = math.dist(best.aim, plain.aim) / solved.unit_m, _unit(solved)
        apart = f"within a {unit} of each other" if moved < 1.5 else f"{moved:.0f} {unit}s apart"
        return f"Both say {best.label}; their aims are {apart}."
    for o in solved.whole:
        if o.label == plain.label:
            return f"The table says {plain.label}: counted through, that {cost_words(o.cost, o.word)}."
    return f"The table says {plain.label}: counted through, it is not among the first choices."


def _strokes(value: float) -> str:
    return "-" if math.isnan(value) else f"{value:.2f}"


def _most(bound: float) -> str:
    return f"{max(bound, 0.001):.3f} strokes"
