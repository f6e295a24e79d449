"""The plan as text for the terminal and plan.txt: few lines, the answer first, 96 columns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from strategy.columns import columns
from strategy.course.edges import the_tee
from strategy.plan.ask import AskedShot
from strategy.plan.cautions import CARD, RULE
from strategy.plan.document import (
    Decision,
    HolePlan,
    LocationPlan,
    Plan,
    Role,
    RoundPlan,
)
from strategy.plan.group import TeeGroup, shared_lay_up, tee_groups
from strategy.report.words.decision_words import ANSWER, BALLS, DOUBTS, Fact, answer, answers, brief, say
from strategy.report.words.facts import TELLING_HEIGHT, asked_facts
from strategy.report.words.figures import clock_words, figures_words, turned_wind
from strategy.report.words.head_words import (
    expected_words,
    from_words,
    markers_words,
    question_words,
    round_words,
    rounds_words,
    wind_words,
)
from strategy.report.words.lengths import Units
from strategy.report.words.lie_words import lie_words
from strategy.report.words.lines import wrapped

# What is said of a decision, and in which order: on the page of a hole, and of one shot that is asked for.
_PAGE: Final = (*ANSWER, Fact.SURE, Fact.COMMIT, Fact.COUNTS, *BALLS, *DOUBTS)
_ASKED: Final = (Fact.SURE, Fact.UNSEEN, Fact.COMMIT, Fact.AT_FLAG, Fact.NEEDS, *BALLS, *DOUBTS)
_COUNTS_WIDE: Final = 30  # columns that counts of 20 need beside their row


def plan_text(
    plan: Plan,
    units: Units = Units.YARDS,
    *,
    holes: Sequence[str] = (),
    rounds: Sequence[int] = (),
    card: Sequence[str] = (),
) -> str:
    """The plan in all words.

    Parameters
    ----------
    plan : Plan
        As planned or read back.
    units : Units
        Of every length said.
    holes, rounds : sequences
        Only these; all when empty.
    card : sequence of str
        Lines of the course's card, which has the scores of the rounds; they stand alone without.

    Raises
    ------
    RequestError
        For a hole that the plan does not have.
    """
    chosen = [plan.hole(label) for label in holes] or list(plan.holes)
    lines = opening(plan, units)
    if card:
        lines += ["", *card]
    elif not holes:
        for scores in plan.round_scores:
            if not rounds or scores.round in rounds:
                lines += wrapped(round_words(scores), hang="  ")
    everywhere = everywhere_words(plan)
    teller = _Figures(units, plan.stock)
    for hole in chosen:
        lines += ["", *_hole(hole, teller, tuple(rounds), everywhere)]
    lines += [*findings_words(plan, chosen), "", *foot(plan, everywhere)]
    return "\n".join(lines) + "\n"


def opening(plan: Plan, units: Units) -> list[str]:
    """What every text begins with: whose plan it is, the unit, the Committee's word."""
    title = [*wrapped(f"{plan.course}: plan for {plan.player}, {plan.week}"), f"Distances in {units}.", ""]
    return [*title, *wrapped(plan.cautions[0])]


def foot(plan: Plan, everywhere: Sequence[str] = ()) -> list[str]:
    """What the numbers leave out, Rule 4.3, and the credit."""
    lines = ["Before you trust it"]
    for text in (*plan.cautions[1:], *(_sentence(t) for t in everywhere), *plan.assumptions):
        lines += wrapped(text, "  ")
    lines += ["", *wrapped(credit(plan))]
    return lines


def credit(plan: Plan) -> str:
    """The credit line of the course's data."""
    return plan.credit or "The course file names no source for its outlines."


def findings_words(plan: Plan, holes: Sequence[HolePlan]) -> Iterator[str]:
    """What reading the course found, repaired, assumed and missed, by hole; `check --all` says the rest."""
    notes = [("", note) for note in plan.findings]
    notes += [(f"Hole {h.label}: ", note) for h in holes for note in h.findings if note.kind != "failed"]
    notes = [(where, note) for where, note in notes if note.kind != "ignored"]
    if notes:
        yield from ("", "What reading the course found")
        for where, note in notes:
            yield from wrapped(f"{where}{_sentence(note.text)}", "  ", hang="  ")


def everywhere_words(plan: Plan) -> list[str]:
    """Assumptions that hold for every hole are said once."""
    if len(plan.holes) < 2:
        return []
    first = plan.holes[0].assumptions
    return [text for text in first if all(text in hole.assumptions for hole in plan.holes)]


def _hole(
    hole: HolePlan, teller: _Figures, rounds: tuple[int, ...], everywhere: Sequence[str]
) -> Iterator[str]:
    groups, units = tee_groups(hole, rounds), teller.units
    title = f"Hole {hole.label}" if hole.label.isdecimal() else hole.label
    name = f", {hole.name}" if hole.name and hole.name != hole.label else ""
    yield from wrapped(f"{title}{name}   {_measure(hole, groups, units)}", hang="  ")
    for note in hole.notes:
        yield from wrapped(f"Note: {note}.", "  ")
    for finding in hole.findings:
        if finding.kind == "failed":
            yield from wrapped(f"Not planned: {finding.text}", "  ")
    for group in groups:
        yield from _group(group, teller, alone=len(groups) == 1)
    if words := granted_words(hole, everywhere):
        yield from wrapped(words, "  ")


def granted_words(hole: HolePlan, everywhere: Sequence[str]) -> str:
    """What is taken for granted on this hole and not on every one; "" where that is nothing."""
    own = [_sentence(text) for text in hole.assumptions if text not in everywhere]
    return f"Taken for granted: {' '.join(own)}" if own else ""


def _measure(hole: HolePlan, groups: Sequence[TeeGroup], units: Units) -> str:
    words = [f"par {hole.par}"]
    plans = [plan for group in groups for plan, _ in group.where]
    words += _lengths(plans, units)
    rises = {units.whole(plan.rise_m) for plan in plans}
    if len(rises) == 1 and abs(rise := rises.pop()) >= TELLING_HEIGHT:
        words.append(f"{abs(rise)} {'up' if rise > 0 else 'down'}")
    words.append(f"green {units.whole(hole.green.depth_m)} deep, {units.whole(hole.green.width_m)} wide")
    return ", ".join(words)


def _lengths(plans: Sequence[RoundPlan], units: Units) -> Iterator[str]:
    """The length from each tee in use, its markers where they stand: "296 to 318 from the back tee"."""
    for tee in dict.fromkeys(plan.tee for plan in plans):
        own = [plan for plan in plans if plan.tee == tee]
        lengths = sorted({units.whole(plan.length_m) for plan in own})
        span = f"{lengths[0]}" if len(lengths) == 1 else f"{lengths[0]} to {lengths[-1]}"
        moved = f", {markers}" if len(lengths) == 1 and (markers := markers_words(own[0].up_m, units)) else ""
        yield f"{span} from {the_tee(tee)}{moved}"


class _Figures:
    """What the long text adds to a decision, from the facts of the short ones."""

    def __init__(self, units: Units, stock: Sequence[str]) -> None:
        self.units, self.stock = units, tuple(stock)

    def words(self, decision: Decision, plan: RoundPlan, *, aim: bool = False, said: str = "") -> str:
        """Numbers of the green and of trouble; with `aim` of a shot that was said for several rounds."""
        facts = asked_facts(decision, self.units, plan.rounds, self.stock)
        return figures_words(facts, aim=aim, said=said)


def _group(group: TeeGroup, teller: _Figures, *, alone: bool) -> Iterator[str]:
    """A tee shot with the hole locations it holds for, then the approaches of each."""
    quoted = group.tee.options[0].quoted if group.tee.options else None
    short_hole = quoted is not None and quoted.finish.of == "hole"
    units = teller.units
    if short_hole:
        for plan, location in group.where:
            yield from wrapped(f"{_where(plan, location, units)}:", "  ")
            figures = teller.words(location.tee, plan, said=answer(location.tee, units))
            yield from _decision(location.tee, units, "    ", figures=figures)
            yield from _after(location.tee, units, "    ", Fact.NEEDS)
            yield from _shots(plan, location, location.approaches, teller, "    ")
        return
    when = "" if alone else f" ({_when(group)})"
    yield from _decision(group.tee, units, "  ", opening=f"Tee{when}: ")
    second = shared_lay_up(group)
    if second is not None:
        yield from _shots(*group.where[0], (second,), teller, "  ", on=False)
    for plan, location in group.where:
        shots = [d for d in location.approaches if second is None or d.role is Role.ON]
        lines = wrapped(teller.words(location.tee, plan, aim=len(group.where) > 1), "    ")
        lines += _after(location.tee, units, "    ", Fact.NEXT, Fact.NEEDS)
        if second is not None:
            own = next(d for d in location.approaches if d.role is Role.MIDDLE)
            told = f"{turned_wind(plan, location, own)} {teller.words(own, plan, aim=True)}"
            lines += wrapped(told.strip(), "    ")
        lines += _shots(plan, location, shots, teller, "    ")
        yield from wrapped(f"{_where(plan, location, units)}{':' if lines else '.'}", "  ")
        yield from lines


def _decision(
    decision: Decision, units: Units, indent: str, opening: str = "", figures: str = ""
) -> Iterator[str]:
    yield from wrapped(f"{opening}{' '.join(say(decision, units, _PAGE))} {figures}".strip(), indent)


def _after(decision: Decision, units: Units, indent: str, *facts: Fact) -> Iterator[str]:
    """Facts that stand in lines of their own below a decision."""
    for sentence in say(decision, units, facts):
        yield from wrapped(sentence, indent)


def _shots(
    plan: RoundPlan, location: LocationPlan, shots: Sequence[Decision], teller: _Figures, indent: str, *,
    on: bool = True,
) -> Iterator[str]:  # fmt: skip
    """Shots after the tee shot; those from the edges of the landing in a line below the middle."""
    edges, units = [d for d in location.approaches if d.role in (Role.LEFT, Role.RIGHT)], teller.units
    for decision in shots:
        if decision.role not in (Role.MIDDLE, Role.ON):
            continue
        opening = f"From {from_words(decision, location if on else None, units)}. "
        figures = teller.words(decision, plan, said=answer(decision, units))
        figures = f"{turned_wind(plan, location, decision)} {figures}".strip()
        yield from _decision(decision, units, indent, opening=opening, figures=figures)
        if decision.role is Role.MIDDLE:
            yield from _edges(edges, units, indent + "  ")


def _edges(edges: Sequence[Decision], units: Units, indent: str) -> Iterator[str]:
    words = []
    for edge in edges:
        side = "left" if edge.role is Role.LEFT else "right"
        where = f"{side} edge ({units.whole(edge.green.front_m)} front, {edge.spot.lie.said})"
        words.append(f"{where}: {brief(edge, units)}")
    if words:
        yield from wrapped(". ".join(w[:1].upper() + w[1:] for w in words) + ".", indent)


def _where(plan: RoundPlan, location: LocationPlan, units: Units) -> str:
    words = [f"{rounds_words(plan.rounds)}, {location.cut.text}"]
    if location.cut.name:
        why = f", {location.cut.why}" if location.cut.why else ""
        words.append(f"likely, {location.cut.name}{why}")
    if location.warning:
        words.append(location.warning.partition(" of the green;")[0])
    if plan.up_m:
        words.append(markers_words(plan.up_m, units))
    if len(plan.winds) == 1:
        words.append(wind_words(plan.winds[0].speed_mps, plan.winds[0].blows_from))
        words.append(clock_words(plan, location))
    words.append(expected_words(location.tee))
    return "; ".join(w for w in words if w)


def _when(group: TeeGroup) -> str:
    """Rounds, or rounds with hole locations where a round has several."""
    if all(len(plan.locations) == 1 for plan, _ in group.where):
        return rounds_words(sorted(n for plan, _ in group.where for n in plan.rounds)).lower()
    return "; ".join(f"{rounds_words(plan.rounds).lower()}, {loc.cut.text}" for plan, loc in group.where)


def asked_text(asked: AskedShot, units: Units = Units.YARDS, *, credit: str = "") -> str:
    """One shot: up to three answers in sentences, then every shot kept, then what is taken for granted."""
    decision = asked.decision
    lines = wrapped(question_words(asked))
    front, to_hole = units.whole(decision.green.front_m), units.whole(decision.to_hole_m)
    lines += [
        *wrapped(f"From {front} front, {to_hole} to the hole, {lie_words(decision)}. Distances in {units}."),
        "",
    ]
    for sentence in answers(decision, units):
        lines += wrapped(sentence, hang="  ")
    lines += _after(decision, units, "", *_ASKED)
    lines += ["", *_table(decision, units), ""]
    for text in (asked.counted, *(_sentence(t) for t in asked.assumptions), CARD, RULE, credit):
        lines += wrapped(text)
    return "\n".join(lines) + "\n"


def _table(decision: Decision, units: Units) -> Iterator[str]:
    """A row for every option; on a narrow page the balls stand below it."""
    options, cheapest = [planned.option for planned in decision.options], decision.cheapest
    wide = max(len(o.label) for o in options)
    costs = ["" if o is cheapest else f"{o.cost:.3f} {o.word}" for o in options]
    room = max(11, *map(len, costs))
    rows = [(f"{'shot':<{wide}}  carry  strokes   cost", "of 20")]
    for option, cost in zip(options, costs, strict=True):
        balls = ", ".join(f"{n} {where}" for where, n in option.counts.items())
        carry, strokes = units.whole(option.carry_m), option.strokes
        rows.append((f"{option.label:<{wide}}  {carry:>5}  {strokes:>7.3f}   {cost}", balls))
    start = wide + 21 + room
    for row, balls in rows:
        if columns() >= start + _COUNTS_WIDE:
            first, *more = wrapped(balls, " " * start)
            yield from (f"{row:<{start}}{first[start:]}", *more)
        else:
            yield from (row.rstrip(), *wrapped(balls, "    "))


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + ("" if text.endswith(".") else ".")
