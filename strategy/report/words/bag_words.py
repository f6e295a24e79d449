"""The shots of a player as the program understands them: every number with where it comes from."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import Final

from strategy.codes import Lie
from strategy.columns import columns
from strategy.player.model import Player, Shot
from strategy.report.words.lengths import Units

_NO_LIE: Final = frozenset({Lie.GREEN})


def bag_words(player: Player, units: Units) -> str:
    """Every shot of a player, the practised ones at length, the assumed ones in a line each."""
    return "\n".join(_lines(player, units)) + "\n"


def _lines(player: Player, units: Units) -> Iterator[str]:
    hand = "right" if player.right_handed else "left"
    yield from textwrap.wrap(
        f"{player.name}, {hand}-handed, level {player.level:g} (average score). Lengths in {units}; side "
        "and depth are standard deviations of where well-struck balls come down in calm air, on a course.",
        columns(),
    )
    common = next((s for s in player.practised if s.mishits_origin.endswith("all shots")), None)
    if common is not None:
        yield from textwrap.wrap(f"{_mishits(common)}.", columns())
    for shot in player.practised:
        yield ""
        yield shot.label + (" (stock shot)" if shot.stock and shot.name != "stock" else "")
        for line in (
            _carry(shot, units), _scatter(shot, units), _flight(shot, units), _run(shot, units), _lies(shot)
        ):  # fmt: skip
            yield from textwrap.wrap(
                line, columns(), initial_indent="  ", subsequent_indent="    ", break_on_hyphens=False
            )
    assumed = [s for s in player.shots if "shot" in s.assumed]
    if assumed:
        yield ""
        yield from textwrap.wrap(
            "Not in the file, and played only at carries and from lies where no shot of yours is; scatter "
            "by the level, and by your own wedges where their scatter is known:",
            columns(),
        )
        for shot in assumed:
            side, depth = shot.spread.side_m, shot.spread.depth_m
            yield from textwrap.wrap(
                f"{shot.label}: carries {_whole(shot.carry_least_m, units)} to "
                f"{_whole(shot.carry_m, units)}, side {_exact(side, units)}, depth {_exact(depth, units)}; "
                f"from {_lie_words(shot)}.",
                columns(),
                initial_indent="  ",
                subsequent_indent="    ",
                break_on_hyphens=False,
            )


def _exact(metres: float, units: Units) -> str:
    return f"{metres / units.metres:.1f}"


def _whole(metres: float, units: Units) -> str:
    return f"{units.whole(metres)}"


def _with_balls(shot: Shot) -> str:
    is_measured = shot.spread.balls is not None and "scatter" not in shot.assumed
    return f" with {shot.spread.balls} balls" if is_measured else ""


def _carry(shot: Shot, units: Units) -> str:
    carry = f"carry {_exact(shot.carry_m, units)}"
    note = next((n.partition("carry assumed: ")[2] for n in shot.notes if "carry assumed: " in n), "")
    words = f"{carry}, assumed: {note}" if note else f"{carry}, stated{_with_balls(shot)}"
    if shot.carry_least_m < shot.carry_m - 0.01:
        how = "assumed by the club" if "dial-down" in shot.assumed else "stated"
        words += f"; dialled down to {_exact(shot.carry_least_m, units)}, {how}"
    if "carry off turf" in shot.assumed:
        words += f"; off turf {100 * (1.0 - shot.turf.carry):.0f} % less, assumed"
    elif shot.turf.carry != 1.0:
        words += f"; off turf {_exact(shot.turf.carry * shot.carry_m, units)}, stated"
    return f"{words}."


def _scatter(shot: Shot, units: Units) -> str:
    spread = shot.spread
    side, depth = _exact(spread.side_m, units), _exact(spread.depth_m, units)
    kind = "assumed: " if "scatter" in shot.assumed else ""
    words = f"side {side}, depth {depth}, {kind}{shot.scatter_origin}"
    if abs(spread.bias_side_m) >= 0.05 * units.metres:
        way = "right" if spread.bias_side_m > 0.0 else "left"
        words += (
            f"; comes down {_exact(abs(spread.bias_side_m), units)} {way} of its line, aimed off in the plan"
        )
    if not shot.mishits_origin.endswith("all shots"):
        words += f"; {_mishits(shot)}"
    return f"{words}."


def _mishits(shot: Shot) -> str:
    spread = shot.spread
    words = (
        f"mishits {100 * spread.mishit_share:g} of 100 balls, {100 * spread.mishit_short:.0f} % short and "
        f"{spread.mishit_scale:g} times as wide"
    )
    if shot.mishits_origin.endswith("all shots"):
        origin = shot.mishits_origin.removesuffix(" for all shots")
        return f"Of every shot that says nothing else: {words}, {origin}"
    return f"{words}, {shot.mishits_origin}"


def _flight(shot: Shot, units: Units) -> str:
    if shot.bend_m == 0.0:
        bend = "straight"
    else:
        how = "assumed by its carry" if "bend" in shot.assumed else "stated"
        bend = f"bends {_exact(abs(shot.bend_m), units)} {'right' if shot.bend_m > 0.0 else 'left'}, {how}"
    how = "stated" if shot.apex_known else f"assumed of a {shot.height} flight of this carry"
    words = f"flight: {bend}; {_whole(shot.apex_m, units)} high, {how}"
    known = [
        word
        for word, value in (
            ("ball speed", shot.ball_speed_mps), ("launch", shot.launch_deg), ("spin", shot.spin_rad_s)
        )
        if value is not None
    ]  # fmt: skip
    return f"{words}; {', '.join(known)} stated." if known else f"{words}; launch by the club and the carry."


def _run(shot: Shot, units: Units) -> str:
    how = "partly or wholly assumed by the carry" if "run" in shot.assumed else "stated"
    runs = ", ".join(
        f"{_whole(shot.run_m[key], units)} on {word}"
        for key, word in (("fairway", "fairway"), ("green", "a green"), ("rough", "rough"))
        if key in shot.run_m
    )
    return f"runs {runs}, {how}."


def _lies(shot: Shot) -> str:
    how = "assumed by the club" if "lies" in shot.assumed else "stated"
    return f"played from {_lie_words(shot)}, {how}."


def _lie_words(shot: Shot) -> str:
    lies = [lie.label for lie in sorted(shot.lies - _NO_LIE)]
    missing = frozenset(Lie) - _NO_LIE - shot.lies
    if not missing:
        return "every lie"
    if len(missing) <= 2:
        return f"every lie but {' and '.join(lie.label for lie in sorted(missing))}"
    return lies[0] if len(lies) == 1 else f"{', '.join(lies[:-1])} and {lies[-1]}"
