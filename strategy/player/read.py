"""Reader of a player file: the shots really practised, under the player's own names.

Commented samples are the files of `courses/players/`. Carry is enough for a shot; what else is left out
comes from `strategy.player.defaults` and is listed in `Shot.assumed`.

Handedness is applied here and nowhere else. Bend is positive to the right:

    right-hander: fade +, draw -        left-hander: fade -, draw +

Scatter from a range or a mat is multiplied by `range_factor`; default scatter is the course's already. A
shot that is not its club's stock shot and states no scatter is taken wider by `unstated_factor` than the
stock shot where that states its own, than the published scatter of its carry otherwise. A shorter swing of
a wedge is no other shape: what is published by carry holds it, in the proportion of a stock shot that is
known.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any, Final, TypeGuard

from strategy.ball.launch import VARIATIONS, default_carry
from strategy.codes import Lie
from strategy.errors import InputErrors, PlayerError
from strategy.player import defaults
from strategy.player.file import CARRY_YD, LieEntry, MishitEntry, PlayerFile, ShotEntry, lies_of
from strategy.player.model import LieEffect, Player, Shot, SlopeEffect, Spread
from strategy.player.short_game import EFFECTS, low_shots, short_shots
from strategy.reference.spread import landing_scatter
from strategy.tomlfile import Found, in_order, nearest, read_toml
from strategy.units import INCH_M, RPM_RAD_S, YARD_M

_SLOPES_PER: Final = 100.0 * 0.10  # figures under [slopes] are of every 100 of carry on a slope of 10 %
# Swings from short to long, where a player uses these words.
_SWINGS: Final = ("quarter", "third", "half", "two thirds", "three quarter", "three quarters", "full")


def read_player(path: str | Path) -> Player:
    """Read a player file.

    Parameters
    ----------
    path : str or Path
        A TOML file.

    Returns
    -------
    player : Player
        SI, handedness applied, shots longest carry first, then those the file need not state.

    Raises
    ------
    PlayerError
        If there is no such file, or it is no TOML.
    InputErrors
        Every other fault at once: key path (entries counted from 1, with club and shot), value met, mend.
    """
    path = Path(path)
    file, digest = read_toml(path, PlayerFile, PlayerError, context=_context, name=_name, across=_across)
    stock = _stock(file.shots)
    unit = YARD_M if file.units == "yards" else 1.0
    whole = [(e, "") if e.carry is not None else _with_carry(e, file.shots) for e in file.shots]
    stock_of = {whole[i][0].club.casefold(): whole[i][0] for i in stock}
    shots = []
    for i, (entry, words) in enumerate(whole):
        other = None if i in stock else stock_of[entry.club.casefold()]
        shots.append(_shot(entry, file, unit, stock=other, assumed_carry=words))
    for club, swings in file.wedges.items():
        full = stock_of.get(club.casefold())
        if full is None and swings:
            longest = max(swings, key=lambda swing: swings[swing])
            full = ShotEntry.model_construct(club=club, shot=longest, carry=swings[longest])
        for swing, carry in swings.items():
            entry = ShotEntry.model_construct(club=club, shot=swing, carry=carry)
            alone = full is not None and (full.club, full.shot) == (club, swing)
            shots.append(_shot(entry, file, unit, stock=None if alone else full, swing=True))
    written = sorted(shots, key=lambda s: (-s.carry_m, s.club, s.name))
    own = _from_everywhere(written)
    player = Player(
        name=file.name,
        right_handed=file.hand == "right",
        level=file.level,
        shots=(
            *own,
            *low_shots(written, file.level),
            *short_shots(written, file.level, file.short_game),
        ),
        lie_effects=_effects(file.lies),
        short_effects=EFFECTS,
        longest_club_m=file.longest_club * INCH_M,
        measured_temperature_c=file.measured.temperature,
        measured_height_m=file.measured.height,
        doubtful_swing=file.doubtful_swing,
        wet=_stated_effect(LieEffect(spin=0.8, scatter=1.1), file.wet),
        slopes=SlopeEffect(
            **{
                key: value / _SLOPES_PER
                for key, value in file.slopes.model_dump().items()
                if value is not None
            }
        ),
        likes=tuple(file.likes),
        dislikes=tuple(file.dislikes),
        files={str(path): digest},
    )
    if strange := list(_unknown_tastes(player)):
        raise InputErrors(
            in_order(path, strange, {"likes": file.likes, "dislikes": file.dislikes}, PlayerError)
        )
    return player


def _unknown_tastes(player: Player) -> Iterator[Found]:
    """Likes and dislikes that are no club and no shot of the player: they would count nowhere."""
    names = [name for shot in player.shots for name in (shot.club, shot.label)]
    known = {name.casefold() for name in names}
    for key, words in (("likes", player.likes), ("dislikes", player.dislikes)):
        for place, word in enumerate(words):
            if word.casefold() not in known:
                close = nearest(word, names)
                mend = (
                    f'Did you mean "{close}"?'
                    if close
                    else 'Write a club, or club and shot: "driver, the fade"'
                )
                yield Found((key, place), f'is "{word}", no club or shot of this file', mend)


def _variation(entry: ShotEntry) -> str:
    """Which variation of a club a shot is: by its name, its height, its shape."""
    name = entry.shot.casefold()
    if name in VARIATIONS:
        return name
    return entry.height if entry.height != "normal" else entry.shape


def _with_carry(entry: ShotEntry, shots: list[ShotEntry]) -> tuple[ShotEntry, str]:
    """The entry with a default carry from the club's stock shot, and the words that say so."""
    stock = next(s for s in shots if s.carry is not None and s.club.casefold() == entry.club.casefold())
    carry, words = default_carry(stock.carry or 0.0, _variation(entry), _variation(stock))
    return entry.model_copy(update={"carry": round(carry, 1)}), words


def _shot(
    entry: ShotEntry,
    file: PlayerFile,
    unit: float,
    *,
    stock: ShotEntry | None,
    assumed_carry: str = "",
    swing: bool = False,
) -> Shot:
    """One shot; `stock` is its club's stock shot, None where it is that itself.

    `swing` says that it stands in the table of wedges.
    """
    carry = (entry.carry or 0.0) * unit
    kind = defaults.kind_of(entry.club, carry)
    assumed: list[str] = ["carry"] if assumed_carry else []

    def stated(name: str, value: float | None, default: float) -> float:
        if value is None:
            assumed.append(name)
            return default
        return value * unit

    notes = [f"{entry.club}, {entry.shot}: {assumed_carry}"] if assumed_carry else []
    scatter = _measured(entry, file, unit)
    if scatter is None:
        assumed.append("scatter")
        scatter, words = _assumed_scatter(entry, file, unit, stock, swing=swing)
        notes += [f"{entry.club}, {entry.shot}: {words}"] if words else []
    least = stated("dial-down", entry.carry_least, defaults.least_carry(kind, carry))
    runs = defaults.runs(carry, entry.height)
    if entry.run is not None:
        # First cut and rough follow the fairway that was seen, unless seen themselves.
        share = entry.run * unit / runs["fairway"]
        runs |= {where: runs[where] * share for where in ("fairway", "first cut", "rough")}
    for where, value in (
        ("first cut", entry.run_first_cut),
        ("rough", entry.run_rough),
        ("green", entry.run_green),
    ):
        if value is not None:
            runs[where] = value * unit
    if entry.run is None or entry.run_green is None:
        assumed.append("run")
    given = {"fairway": entry.run, "first cut": entry.run_first_cut, "rough": entry.run_rough}
    known = {where for where, value in (given | {"green": entry.run_green}).items() if value is not None}
    if entry.run is not None:
        known |= {"first cut", "rough"}
    turf = LieEffect()
    if kind is defaults.Kind.WOOD:
        turf = defaults.WOOD_OFF_TURF
        if entry.carry_turf is None:
            assumed.append("carry off turf")
    if entry.carry_turf is not None:
        turf = replace(turf, carry=entry.carry_turf * unit / carry)
    sign = 0.0
    if entry.shape != "straight":
        sign = 1.0 if (entry.shape == "fade") == (file.hand == "right") else -1.0
    bend = stated("bend", entry.curve, defaults.curve(carry)) if sign else 0.0
    return Shot(
        club=entry.club,
        name=entry.shot,
        carry_m=carry,
        carry_least_m=least,
        spread=_spread(entry, file.mishits, unit, scatter),
        bend_m=sign * bend,
        run_m=runs,
        run_sd_m=stated("run scatter", entry.run_sd, defaults.run_sd(runs["fairway"])),
        apex_m=stated("height", entry.apex, defaults.apex(carry, entry.height)),
        lies=defaults.lies_for(kind, carry) if entry.lies is None else lies_of(entry.lies),
        stock=stock is None,
        assumed=(*assumed, *(("lies",) if entry.lies is None else ())),
        height=entry.height,
        apex_known=entry.apex is not None,
        runs_known=frozenset(known),
        ball_speed_mps=entry.ball_speed,
        launch_deg=entry.launch,
        spin_rad_s=None if entry.spin is None else entry.spin * RPM_RAD_S,
        turf=turf,
        notes=tuple(notes),
    )


def _measured(entry: ShotEntry, file: PlayerFile, unit: float) -> tuple[float, float] | None:
    """S.d. to the side and in depth that the file states, as on a course; None where it does not. [m]"""
    if entry.side is None or entry.depth is None:
        return None
    factor = unit * (1.0 if entry.where == "course" else file.range_factor)
    return entry.side * factor, entry.depth * factor


def _assumed_scatter(
    entry: ShotEntry, file: PlayerFile, unit: float, stock: ShotEntry | None, *, swing: bool
) -> tuple[tuple[float, float], str]:
    """S.d. to the side and in depth of a shot that states none [m], and what has to be said of it."""
    carry = (entry.carry or 0.0) * unit
    side, depth = landing_scatter(carry, file.level)
    if stock is None:
        return (side, depth), ""
    known = _measured(stock, file, unit)
    if swing or _is_shorter_swing(entry, stock, carry):
        if known is not None:
            full = landing_scatter((stock.carry or 0.0) * unit, file.level)
            side, depth = side * known[0] / full[0], depth * known[1] / full[1]
        return (side, depth), ""
    side, depth = known or (side, depth)
    factor = file.unstated_factor
    than = "the published one" if known is None else f"that of {_name_of(stock)}"
    words = f"scatter assumed: {factor:g} times {than}; state your own, or another unstated_factor"
    return (factor * side, factor * depth), words


def _is_shorter_swing(entry: ShotEntry, stock: ShotEntry, carry_m: float) -> bool:
    """Whether a shot is its club's stock shot with a shorter swing, as wedges are played."""
    wedge = defaults.kind_of(entry.club, carry_m) is defaults.Kind.WEDGE
    same = (entry.shape, entry.height) == (stock.shape, stock.height)
    return wedge and same and (entry.carry or 0.0) < (stock.carry or 0.0)


def _name_of(shot: ShotEntry) -> str:
    return "the stock shot" if shot.shot == "stock" else f"the {shot.shot.removeprefix('the ')}"


def _spread(entry: ShotEntry, mishits: MishitEntry, unit: float, scatter: tuple[float, float]) -> Spread:
    return Spread(
        side_m=scatter[0],
        depth_m=scatter[1],
        tilt=entry.tilt or 0.0,
        bias_side_m=entry.bias_side * unit,
        bias_depth_m=entry.bias_depth * unit,
        mishit_share=mishits.share,
        mishit_short=mishits.short,
        mishit_scale=mishits.scale,
        balls=entry.balls,
    )


def _stock(shots: list[ShotEntry]) -> set[int]:
    """Of each club, the shot called "stock"; where none is called so, the first written."""
    first: dict[str, int] = {}
    for i, entry in enumerate(shots):
        club = entry.club.casefold()
        if club not in first or entry.shot.casefold() == "stock":
            first[club] = i
    return set(first.values())


def _from_everywhere(shots: list[Shot]) -> tuple[Shot, ...]:
    """The shortest stock shot is played from any lie that nothing else is played from."""
    missing = frozenset(Lie) - {Lie.GREEN} - frozenset().union(*(s.lies for s in shots))
    if missing:
        i = max((i for i, s in enumerate(shots) if s.stock), default=len(shots) - 1)
        shots = list(shots)
        words = ", ".join(lie.label for lie in sorted(missing))
        shots[i] = replace(
            shots[i],
            lies=shots[i].lies | missing,
            assumed=(*shots[i].assumed, f"the only shot from: {words}"),
        )
    return tuple(shots)


def _effects(entries: Mapping[str, LieEntry]) -> dict[Lie, LieEffect]:
    effects = dict(defaults.LIE_EFFECTS)
    for word, entry in entries.items():
        for lie in lies_of([word]):
            effects[lie] = _stated_effect(effects[lie], entry)
    return effects


def _stated_effect(default: LieEffect, entry: LieEntry) -> LieEffect:
    given = {key: value for key, value in entry.model_dump().items() if value is not None}
    if "lip" in given:
        given["lip_deg"] = given.pop("lip")
    return replace(default, **given, stated=default.stated | frozenset(given))


def _context(document: Mapping[str, Any]) -> Mapping[str, Any]:
    return {"unit": "metres" if document.get("units") == "metres" else "yards"}


def _name(entry: Mapping[str, Any]) -> str:
    club = entry.get("club")
    if not isinstance(club, str):
        return ""
    shot = entry.get("shot", "stock")
    return f"{club}, {shot}" if isinstance(shot, str) else club


def _across(document: Mapping[str, Any]) -> Iterator[Found]:
    """Shots given twice, irons and partial wedges whose carries are out of order."""
    entries = document.get("shots")
    shots = [e if isinstance(e, Mapping) else {} for e in entries] if isinstance(entries, list) else []
    wedges = document.get("wedges")
    partial = {
        club: swings
        for club, swings in (wedges.items() if isinstance(wedges, Mapping) else ())
        if isinstance(swings, Mapping)
    }
    seen: dict[tuple[str, str], str] = {}
    for i, entry in enumerate(shots):
        club, shot = entry.get("club"), entry.get("shot", "stock")
        if not (isinstance(club, str) and isinstance(shot, str)):
            continue
        key = (club.casefold(), shot.casefold())
        if key in seen:
            yield Found(
                ("shots", i, "shot"), f'{club}, "{shot}" stands twice, first as {seen[key]}', _OWN_NAME
            )
        seen.setdefault(key, f"shots[{i + 1}]")
    yield from _without_carry(shots)
    clubs = {club: None for club, _ in seen} | dict.fromkeys(club.casefold() for club in partial)
    if len(clubs) > defaults.MOST_CLUBS:
        wrong = f"{len(clubs)} clubs ({', '.join(clubs)}); with the putter that is more than 14"
        yield Found(("shots",), wrong, "Leave out what stays at home, or spell each club one way (Rule 4.1b)")
    yield from _irons(shots)
    if document.get("units") == "metres":
        yield from _in_yards(shots)
    for club, swings in partial.items():
        yield from _partials(club, swings, shots, seen)


# The published tour average of a driver is 275 yards (launch_tour.csv). Nobody is taken to carry this far on
# average; as metres it is a slip of the unit. Engineering choice. [m]
_MOST_M: Final = 285.0


def _in_yards(shots: list[Mapping[str, Any]]) -> Iterator[Found]:
    """A carry under metres that nobody on a tour has, and many have in yards; the longest stands for all."""
    far = {i: c for i, e in enumerate(shots) if _is_number(c := e.get("carry")) and c > _MOST_M}
    if far and max(far.values()) <= CARRY_YD[1] * YARD_M:  # beyond that its own check names it
        i = max(far, key=lambda k: far[k])
        wrong = f"is {far[i]:g} under metres, {far[i] / YARD_M:.0f} yards: no tour player carries it that far"
        yield Found(("shots", i, "carry"), wrong, 'Write units = "yards" if the file is in yards')


_OWN_NAME: Final = "Give each shot of a club its own name, or remove one"


def _without_carry(shots: list[Mapping[str, Any]]) -> Iterator[Found]:
    """Shots without a carry whose club has none either."""
    have = {
        club.casefold()
        for entry in shots
        if isinstance(club := entry.get("club"), str) and entry.get("carry") is not None
    }
    for i, entry in enumerate(shots):
        club = entry.get("club")
        if isinstance(club, str) and entry.get("carry") is None and club.casefold() not in have:
            mend = "State the carry; only a variation of a club that has one may leave it out"
            yield Found(("shots", i, "carry"), "is missing", mend)


def _irons(shots: list[Mapping[str, Any]]) -> Iterator[Found]:
    stock: dict[int, tuple[float, int]] = {}
    for i, entry in enumerate(shots):
        club, carry = entry.get("club"), entry.get("carry")
        number = defaults.iron_number(club) if isinstance(club, str) else None
        if number is not None and number not in stock and _is_number(carry) and carry <= CARRY_YD[1]:
            stock[number] = (float(carry), i)
    for (longer, (far, _)), (shorter, (near, i)) in pairwise(sorted(stock.items())):
        if near > far:
            wrong = f"{near:g} is further than the {longer}-iron's {far:g}"
            yield Found(
                ("shots", i, "carry"), wrong, f"Are the {longer}-iron and the {shorter}-iron swapped?"
            )


def _partials(
    club: str,
    swings: Mapping[str, Any],
    shots: list[Mapping[str, Any]],
    seen: Mapping[tuple[str, str], str],
) -> Iterator[Found]:
    same = [e for e in shots if isinstance(e.get("club"), str) and e["club"].casefold() == club.casefold()]
    full = next((carry for e in same if _is_number(carry := e.get("carry"))), None)
    known: list[tuple[int, str, float]] = []
    for swing, carry in swings.items():
        place = ("wedges", club, swing)
        there = seen.get((club.casefold(), swing.casefold()))
        if there:
            yield Found(place, f"stands among the shots too, as {there}", _OWN_NAME)
        if not _is_number(carry):
            continue
        if full is not None and carry > full:
            yield Found(
                place, f"{carry:g} is further than the full {club}'s {full:g}", "Correct one of the two"
            )
        if swing.casefold() in _SWINGS:
            known.append((_SWINGS.index(swing.casefold()), swing, float(carry)))
    for (_, less, short), (_, more, long) in pairwise(sorted(known)):
        if short >= long:
            wrong = f"{long:g} is no further than the {less}'s {short:g}"
            yield Found(("wedges", club, more), wrong, "Are the two swapped?")


def _is_number(value: object) -> TypeGuard[float]:
    return isinstance(value, (int, float)) and not isinstance(value, bool)
