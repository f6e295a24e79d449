"""Whether every fact that is said stands in plan.json and in the long text, with the same printed value."""

from __future__ import annotations

import json
import re

from strategy.codes import Lie
from strategy.report.words.depths import Depth, plan_words
from strategy.report.words.facts import hole_facts
from strategy.report.words.lengths import Units
from strategy.units import MPH_MPS

SIDES = {
    "side": ("right", "left"),
    "past": ("past", "short"),
    "rise": ("up", "down"),
    "height": ("up", "down"),
}


def faults(plan, document=None, long=None, units=Units.YARDS):
    """What is said otherwise than plan.json (or `document`) and the long text (or `long`) have it."""
    data = json.loads(plan.to_json()) if document is None else document
    found, count = [], 0
    for k, hole in enumerate(plan.holes):
        text = plan_words(plan, units, Depth.ALL, holes=[hole.label]) if long is None else long
        text = " ".join(text.split())
        for fact in hole_facts(plan, k, units).all_facts():
            count += 1
            if not _kept(fact, _at(data, fact.place), units):
                found.append(f"hole {hole.label}: {fact} but plan.json has {_at(data, fact.place)!r}")
            if not any(re.search(pattern, text, re.IGNORECASE) for pattern in _patterns(fact)):
                found.append(f"hole {hole.label}: {fact} is not in the long text")
    return found, count


def _at(data, place):
    for key in place.split("."):
        data = data[int(key)] if isinstance(data, list) else data[key]
    return data


def _kept(fact, there, units):
    if fact.kind in ("hour", "way"):
        return isinstance(there, float)  # what the clock makes of it: tests/report/words/test_clock.py
    if fact.unit == str(units):
        return units.whole(there) == fact.value
    if fact.unit == "mph":
        return round(there / MPH_MPS) == fact.value
    if fact.unit == "strokes":
        return f"{there:.2f}" == fact.value
    if fact.kind == "sure":
        return round(10.0 * there) == fact.value
    if fact.kind == "hidden":
        return there is True
    if fact.kind == "lie":
        return fact.value in {lie.said for lie in Lie}
    if fact.kind == "start":
        return str(fact.value).endswith(there)
    if fact.kind == "beside":
        return str(fact.value).endswith(there) or fact.value == "all along"
    if isinstance(fact.value, str) and fact.kind in ("shot", "even", "lull shot", "gust shot"):
        return there.startswith(fact.value.removeprefix("the "))
    return there == fact.value


def _patterns(fact):
    """Where a fact may stand in the long text."""
    value, of = re.escape(str(fact.value)), re.escape(fact.of)
    if fact.kind in SIDES:
        more, less = SIDES[fact.kind]
        size = abs(fact.value)
        if not size:
            return [""]
        # A ball that starts at a landmark is told by that.
        return [rf"\b{size} {more if fact.value > 0 else less}\b", "start at the"]
    size = value.replace("\\-", "")
    label = re.escape(str(fact.value).removeprefix("the "))
    return {
        "par": [rf"\bpar {value}\b"],
        "sure": [rf"\bSure in {value} of 10 weeks\b"],
        "hangs on": [rf"\bhangs on the {value}\b"],
        "length": [rf"\b{value}\b[^.]* from (the|tee)"],
        "deep": [rf"\b{value} deep"],
        "wide": [rf"\b{value} wide"],
        "wind": [rf"\b{value} mph from", "calm"],
        "hour": [rf"from {value} o'clock"],
        "way": [rf"\b{value} from"],
        "gust": [rf"gusts {value}\b"],
        "shot": [rf"\b{label}\b"],
        "carry": [rf"\b{value} to carry"],
        "playing": [rf"playing {value}\b"],
        "start": [rf"start at {value}"],
        "hidden": ["out of sight"],
        "land": [rf"land {value} or more"],
        "stance aim": [rf"ball {of} the feet: [^.]*aim {size} (left|right)"],
        "stance number": [rf"{of} lie: {size} (more|less)"],
        "cleared": [rf"{of}: {value} to carry"],
        "room": [rf"{of}: \d+ to carry, room {value}\b"],
        "open": [rf"{of} from {value}\b"],
        "beside": [rf"{of} {value}".strip()],
        "beyond": [rf"{of} at {value}: out of reach"],
        "lull": [rf"lull it plays {value}\b", rf"gusts {value} to"],
        "in gusts": [rf"in gusts {value}\b", rf"gusts \d+ to {value}\b"],
        "commit": [rf"commit to {value}\b", rf"play {value}\b", rf"playing {value}\b"],
        "lull shot": [rf"lull it plays \d+ \({label}", rf"lull {label}"],
        "gust shot": [rf"in gusts \d+ \({label}", rf"gust {label}"],
        "miss": [rf"miss {value}\b"],
        "dead": [rf"{value}( \(\w+\))? is (dead|wet|out|sand|trees)"],
        "not": [rf"not {value}\b"],
        "even": [rf"{label}[^.]* is even"],
        "costs": [rf"{of}[^.]* costs {value}"],
        "leaves from": [rf"leaves {value}\b"],
        "leaves to": [rf"leaves (\d+ to )?{value} front"],
        "then": [rf"\b{value}( front)?: ", rf"then {of}"],
        "then to": [rf"\b{value}( front)?: "],
    }.get(fact.kind, [rf"\b{value}\b"])
