"""Reader for player files: the shots that the player really practises, under the player's own names.

Commented samples are the files in `courses/players/`. The carry of a shot is enough. Defaults for the rest
come from `strategy.player.defaults`, and `Shot.assumed` lists those that are used.

Handedness is applied here and nowhere else. The bend is positive to the right:

    right-hander: fade +, draw -        left-hander: fade -, draw +

Scatter that was measured on a range or a mat is multiplied by `range_factor`. Default scatter is that on a
course.

A shot that is not the stock shot of its club and states no scatter gets `unstated_factor` times that of the
stock shot or, if the stock shot states none, times the published scatter of its carry. A shorter swing of a
wedge is not another shape: it gets the published scatter of its carry, times the ratio of stated to published
scatter of the stock shot.
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
from strategy.player.low_shots import low_shots
from strategy.player.model import LieEffect, Player, Shot, SlopeEffect, Spread
from strategy.player.short_game import EFFECTS, short_shots
from strategy.reference.spread import landing_scatter
from strategy.tomlfile import PlacedFault, in_order, nearest, read_toml
from strategy.units import INCH_M, RPM_RAD_S, YARD_M

_SLOPES_PER: Final = 100.0 * 0.10  # figures under [slopes] are of every 100 of carry on a slope of 10 %
# Names of swings, from short to long.
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
        In SI units with handedness applied. The shots of the file come first, the longest carry first, and
        then the assumed shots.

    Raises
    ------
    PlayerError
        If the file does not exist or is no TOML.
    InputErrors
        All other faults at once, each with its key (entries are counted from 1, with club and shot), the
        value, and what to do.
    """
    path = Path(path)
    file, digest = read_player_file(path)
    stated = sorted(_stated_shots(file), key=lambda s: (-s.carry_m, s.club, s.name))
    player = Player(
        name=file.name,
        right_handed=file.hand == "right",
        level=file.level,
        shots=(
            *_from_every_lie(stated),
            *low_shots(stated, file.level),
            *short_shots(stated, file.level, file.short_game),
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
    if faults := list(_unknown_likes(player)):
        raise InputErrors(
            in_order(path, faults, {"likes": file.likes, "dislikes": file.dislikes}, PlayerError)
        )
    return player


def read_player_file(path: Path) -> tuple[PlayerFile, str]:
    """A player file as written, and its SHA-256; see `read_player` for the errors."""
    return read_toml(path, PlayerFile, PlayerError, context=_context, name=_name, across=_across)


def _stated_shots(file: PlayerFile) -> list[Shot]:
    """The shots of the file and of its table of wedges, in file order."""
    unit_m = YARD_M if file.units == "yards" else 1.0
    # Each entry with its carry, and a note when the carry is assumed.
    entries = [(e, "") if e.carry is not None else _with_carry(e, file.shots) for e in file.shots]
    is_stock = _stock_positions(file.shots)
    stock_of = {entries[i][0].club.casefold(): entries[i][0] for i in is_stock}
    shots = []
    for i, (entry, note) in enumerate(entries):
        stock = None if i in is_stock else stock_of[entry.club.casefold()]
        shots.append(_shot(entry, file, unit_m, stock=stock, carry_note=note))
    for club, swings in file.wedges.items():
        full = stock_of.get(club.casefold())
        if full is None and swings:
            longest = max(swings, key=lambda swing: swings[swing])
            full = ShotEntry.model_construct(club=club, shot=longest, carry=swings[longest])
        for swing, carry in swings.items():
            entry = ShotEntry.model_construct(club=club, shot=swing, carry=carry)
            is_full = full is not None and (full.club, full.shot) == (club, swing)
            shots.append(_shot(entry, file, unit_m, stock=None if is_full else full, is_swing=True))
    return shots


def _unknown_likes(player: Player) -> Iterator[PlacedFault]:
    """Find likes and dislikes that are no club and no shot of the player, so that they have no effect."""
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
                yield PlacedFault((key, place), f'is "{word}", no club or shot of this file', mend)


def _variation(entry: ShotEntry) -> str:
    """The variation of a club that a shot is, by its name, its height or its shape."""
    name = entry.shot.casefold()
    if name in VARIATIONS:
        return name
    return entry.height if entry.height != "normal" else entry.shape


def _with_carry(entry: ShotEntry, shots: list[ShotEntry]) -> tuple[ShotEntry, str]:
    """The entry with a default carry from the stock shot of its club, and a note about it."""
    stock = next(s for s in shots if s.carry is not None and s.club.casefold() == entry.club.casefold())
    carry, note = default_carry(stock.carry or 0.0, _variation(entry), _variation(stock))
    return entry.model_copy(update={"carry": round(carry, 1)}), note


def _shot(
    entry: ShotEntry,
    file: PlayerFile,
    unit_m: float,
    *,
    stock: ShotEntry | None,
    carry_note: str = "",
    is_swing: bool = False,
) -> Shot:
    """One shot of the file.

    Parameters
    ----------
    entry : ShotEntry
        The shot as written, with its carry.
    file : PlayerFile
        The whole file.
    unit_m : float
        Unit of lengths in the file. [m]
    stock : ShotEntry or None
        The stock shot of the club; None when this is the stock shot.
    carry_note : str
        Note about an assumed carry; "" when the carry is stated.
    is_swing : bool
        Whether the shot is from the table of wedges.
    """
    carry = (entry.carry or 0.0) * unit_m
    kind = defaults.kind_of(entry.club, carry)
    assumed: list[str] = ["carry"] if carry_note else []

    def stated_or(default: float, value: float | None, name: str) -> float:
        """A stated length [m], or a default whose name is added to `assumed`."""
        if value is None:
            assumed.append(name)
            return default
        return value * unit_m

    notes = [f"{entry.club}, {entry.shot}: {carry_note}"] if carry_note else []
    scatter = _stated_scatter(entry, file, unit_m)
    if scatter is None:
        assumed.append("scatter")
        scatter, note = _assumed_scatter(entry, file, unit_m, stock, is_swing=is_swing)
        notes += [f"{entry.club}, {entry.shot}: {note}"] if note else []
    least = stated_or(defaults.least_carry(kind, carry), entry.carry_least, "dial-down")
    runs = _runs(entry, carry, unit_m)
    if entry.run is None or entry.run_green is None:
        assumed.append("run")
    turf = defaults.WOOD_OFF_TURF if kind is defaults.Kind.WOOD else LieEffect()
    if entry.carry_turf is not None:
        turf = replace(turf, carry=entry.carry_turf * unit_m / carry)
    elif kind is defaults.Kind.WOOD:
        assumed.append("carry off turf")
    bend = 0.0
    if entry.shape != "straight":
        bends_right = (entry.shape == "fade") == (file.hand == "right")
        bend = stated_or(defaults.curve(carry), entry.curve, "bend") * (1.0 if bends_right else -1.0)
    return Shot(
        club=entry.club,
        name=entry.shot,
        carry_m=carry,
        carry_least_m=least,
        spread=_spread(entry, file.mishits, unit_m, scatter),
        bend_m=bend,
        run_m=runs,
        run_sd_m=stated_or(defaults.run_sd(runs["fairway"]), entry.run_sd, "run scatter"),
        apex_m=stated_or(defaults.apex(carry, entry.height), entry.apex, "height"),
        lies=defaults.lies_for(kind, carry) if entry.lies is None else lies_of(entry.lies),
        stock=stock is None,
        assumed=(*assumed, *(("lies",) if entry.lies is None else ())),
        height=entry.height,
        apex_known=entry.apex is not None,
        ball_speed_mps=entry.ball_speed,
        launch_deg=entry.launch,
        spin_rad_s=None if entry.spin is None else entry.spin * RPM_RAD_S,
        turf=turf,
        notes=tuple(notes),
    )


def _runs(entry: ShotEntry, carry_m: float, unit_m: float) -> dict[str, float]:
    """The run of a shot by the surface that it lands on, as stated or by default. [m]"""
    runs = defaults.runs(carry_m, entry.height)
    if entry.run is not None:
        # Without numbers of their own, first cut and rough change as the stated fairway does.
        ratio = entry.run * unit_m / runs["fairway"]
        runs |= {surface: runs[surface] * ratio for surface in ("fairway", "first cut", "rough")}
    for surface, value in (
        ("first cut", entry.run_first_cut),
        ("rough", entry.run_rough),
        ("green", entry.run_green),
    ):
        if value is not None:
            runs[surface] = value * unit_m
    return runs


def _stated_scatter(entry: ShotEntry, file: PlayerFile, unit_m: float) -> tuple[float, float] | None:
    """Standard deviations in side and depth that the file states, as on a course; None for none. [m]"""
    if entry.side is None or entry.depth is None:
        return None
    factor = unit_m * (1.0 if entry.where == "course" else file.range_factor)
    return entry.side * factor, entry.depth * factor


def _assumed_scatter(
    entry: ShotEntry, file: PlayerFile, unit_m: float, stock: ShotEntry | None, *, is_swing: bool
) -> tuple[tuple[float, float], str]:
    """Standard deviations in side and depth of a shot that states none [m], and a note about them."""
    carry = (entry.carry or 0.0) * unit_m
    side, depth = landing_scatter(carry, file.level)
    if stock is None:
        return (side, depth), ""
    of_stock = _stated_scatter(stock, file, unit_m)
    if is_swing or _is_shorter_swing(entry, stock, carry):
        if of_stock is not None:
            published = landing_scatter((stock.carry or 0.0) * unit_m, file.level)
            side, depth = side * of_stock[0] / published[0], depth * of_stock[1] / published[1]
        return (side, depth), ""
    side, depth = of_stock or (side, depth)
    factor = file.unstated_factor
    reference = "the published one" if of_stock is None else f"that of {_name_of(stock)}"
    note = f"scatter assumed: {factor:g} times {reference}; state your own, or another unstated_factor"
    return (factor * side, factor * depth), note


def _is_shorter_swing(entry: ShotEntry, stock: ShotEntry, carry_m: float) -> bool:
    """Whether a shot is the stock shot of a wedge with a shorter swing."""
    is_wedge = defaults.kind_of(entry.club, carry_m) is defaults.Kind.WEDGE
    is_same_flight = (entry.shape, entry.height) == (stock.shape, stock.height)
    return is_wedge and is_same_flight and (entry.carry or 0.0) < (stock.carry or 0.0)


def _name_of(shot: ShotEntry) -> str:
    return "the stock shot" if shot.shot == "stock" else f"the {shot.shot.removeprefix('the ')}"


def _spread(entry: ShotEntry, mishits: MishitEntry, unit_m: float, scatter: tuple[float, float]) -> Spread:
    return Spread(
        side_m=scatter[0],
        depth_m=scatter[1],
        tilt=entry.tilt or 0.0,
        bias_side_m=entry.bias_side * unit_m,
        bias_depth_m=entry.bias_depth * unit_m,
        mishit_share=mishits.share,
        mishit_short=mishits.short,
        mishit_scale=mishits.scale,
        balls=entry.balls,
    )


def _stock_positions(shots: list[ShotEntry]) -> set[int]:
    """Position of the stock shot of each club: the one that is called "stock", or else the first."""
    position_of: dict[str, int] = {}
    for i, entry in enumerate(shots):
        club = entry.club.casefold()
        if club not in position_of or entry.shot.casefold() == "stock":
            position_of[club] = i
    return set(position_of.values())


def _from_every_lie(shots: list[Shot]) -> tuple[Shot, ...]:
    """The shots, with the shortest stock shot played from lies that no shot is played from."""
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
    """Effects of all lies: the defaults, with what the file states."""
    effects = dict(defaults.LIE_EFFECTS)
    for word, entry in entries.items():
        for lie in lies_of([word]):
            effects[lie] = _stated_effect(effects[lie], entry)
    return effects


def _stated_effect(default: LieEffect, entry: LieEntry) -> LieEffect:
    """A default effect with what an entry states."""
    fields = {key: value for key, value in entry.model_dump().items() if value is not None}
    if "lip" in fields:
        fields["lip_deg"] = fields.pop("lip")
    return replace(default, **fields, stated=default.stated | frozenset(fields))


def _context(document: Mapping[str, Any]) -> Mapping[str, Any]:
    """The context of the validators: the unit of lengths."""
    return {"unit": "metres" if document.get("units") == "metres" else "yards"}


def _name(entry: Mapping[str, Any]) -> str:
    """The name of an entry for messages: club and shot."""
    club = entry.get("club")
    if not isinstance(club, str):
        return ""
    shot = entry.get("shot", "stock")
    return f"{club}, {shot}" if isinstance(shot, str) else club


def _across(document: Mapping[str, Any]) -> Iterator[PlacedFault]:
    """Find faults over several entries: shots given twice, too many clubs, carries that are out of order."""
    entries = document.get("shots")
    shots = [e if isinstance(e, Mapping) else {} for e in entries] if isinstance(entries, list) else []
    wedges = document.get("wedges")
    swings_of = {
        club: swings
        for club, swings in (wedges.items() if isinstance(wedges, Mapping) else ())
        if isinstance(swings, Mapping)
    }
    entry_of: dict[tuple[str, str], str] = {}  # the entry that has a club and shot first
    for i, entry in enumerate(shots):
        club, shot = entry.get("club"), entry.get("shot", "stock")
        if not (isinstance(club, str) and isinstance(shot, str)):
            continue
        key = (club.casefold(), shot.casefold())
        if key in entry_of:
            wrong = f'{club}, "{shot}" stands twice, first as {entry_of[key]}'
            yield PlacedFault(("shots", i, "shot"), wrong, _OWN_NAME)
        entry_of.setdefault(key, f"shots[{i + 1}]")
    yield from _without_carry(shots)
    clubs = {club: None for club, _ in entry_of} | dict.fromkeys(club.casefold() for club in swings_of)
    if len(clubs) > defaults.MOST_CLUBS:
        wrong = f"{len(clubs)} clubs ({', '.join(clubs)}); with the putter that is more than 14"
        yield PlacedFault(
            ("shots",), wrong, "Leave out what stays at home, or spell each club one way (Rule 4.1b)"
        )
    yield from _irons_out_of_order(shots)
    if document.get("units") == "metres":
        yield from _carries_in_yards(shots)
    for club, swings in swings_of.items():
        yield from _swings_out_of_order(club, swings, shots, entry_of)


# The published tour average of a driver is 275 yards (launch_tour.csv). An average carry above this is a
# mistake: the file is in yards (engineering choice). [m]
_LONGEST_CARRY_M: Final = 285.0


def _carries_in_yards(shots: list[Mapping[str, Any]]) -> Iterator[PlacedFault]:
    """Find the longest carry of a file in metres, if it is possible in yards only."""
    far = {i: c for i, e in enumerate(shots) if _is_number(c := e.get("carry")) and c > _LONGEST_CARRY_M}
    if far and max(far.values()) <= CARRY_YD[1] * YARD_M:  # the validator of `Carry` reports a longer one
        i = max(far, key=lambda k: far[k])
        wrong = f"is {far[i]:g} under metres, {far[i] / YARD_M:.0f} yards: no tour player carries it that far"
        yield PlacedFault(("shots", i, "carry"), wrong, 'Write units = "yards" if the file is in yards')


_OWN_NAME: Final = "Give each shot of a club its own name, or remove one"


def _without_carry(shots: list[Mapping[str, Any]]) -> Iterator[PlacedFault]:
    """Find shots without a carry whose club has no shot with a carry."""
    with_carry = {
        club.casefold()
        for entry in shots
        if isinstance(club := entry.get("club"), str) and entry.get("carry") is not None
    }
    for i, entry in enumerate(shots):
        club = entry.get("club")
        if isinstance(club, str) and entry.get("carry") is None and club.casefold() not in with_carry:
            mend = "State the carry; only a variation of a club that has one may leave it out"
            yield PlacedFault(("shots", i, "carry"), "is missing", mend)


def _irons_out_of_order(shots: list[Mapping[str, Any]]) -> Iterator[PlacedFault]:
    """Find irons that carry farther than the next longer iron."""
    stock: dict[int, tuple[float, int]] = {}  # carry and position by number of the iron
    for i, entry in enumerate(shots):
        club, carry = entry.get("club"), entry.get("carry")
        number = defaults.iron_number(club) if isinstance(club, str) else None
        if number is not None and number not in stock and _is_number(carry) and carry <= CARRY_YD[1]:
            stock[number] = (float(carry), i)
    for (longer, (far, _)), (shorter, (near, i)) in pairwise(sorted(stock.items())):
        if near > far:
            wrong = f"{near:g} is further than the {longer}-iron's {far:g}"
            yield PlacedFault(
                ("shots", i, "carry"), wrong, f"Are the {longer}-iron and the {shorter}-iron swapped?"
            )


def _swings_out_of_order(
    club: str,
    swings: Mapping[str, Any],
    shots: list[Mapping[str, Any]],
    entry_of: Mapping[tuple[str, str], str],
) -> Iterator[PlacedFault]:
    """Find swings of a wedge that are given twice, or that carry farther than a longer swing."""
    same = [e for e in shots if isinstance(e.get("club"), str) and e["club"].casefold() == club.casefold()]
    full = next((carry for e in same if _is_number(carry := e.get("carry"))), None)
    by_length: list[tuple[int, str, float]] = []
    for swing, carry in swings.items():
        place = ("wedges", club, swing)
        entry = entry_of.get((club.casefold(), swing.casefold()))
        if entry:
            yield PlacedFault(place, f"stands among the shots too, as {entry}", _OWN_NAME)
        if not _is_number(carry):
            continue
        if full is not None and carry > full:
            yield PlacedFault(
                place, f"{carry:g} is further than the full {club}'s {full:g}", "Correct one of the two"
            )
        if swing.casefold() in _SWINGS:
            by_length.append((_SWINGS.index(swing.casefold()), swing, float(carry)))
    for (_, shorter, shorter_carry), (_, longer, longer_carry) in pairwise(sorted(by_length)):
        if shorter_carry >= longer_carry:
            wrong = f"{longer_carry:g} is no further than the {shorter}'s {shorter_carry:g}"
            yield PlacedFault(("wedges", club, longer), wrong, "Are the two swapped?")


def _is_number(value: object) -> TypeGuard[float]:
    return isinstance(value, (int, float)) and not isinstance(value, bool)
