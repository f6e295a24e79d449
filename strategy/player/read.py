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
from pathlib import Path
from typing import Any, Final

from strategy.ball.launch import VARIATIONS, default_carry
from strategy.codes import Lie
from strategy.errors import InputErrors, PlayerError
from strategy.player import defaults
from strategy.player.across import across
from strategy.player.file import LieEntry, PlayerFile, ShotEntry, lies_of
from strategy.player.low_shots import low_shots
from strategy.player.model import LieEffect, Player, Shot, SlopeEffect, Spread
from strategy.player.short_game import EFFECTS, short_shots
from strategy.reference.spread import landing_scatter
from strategy.tomlfile import PlacedFault, in_order, nearest, read_toml
from strategy.units import INCH_M, RPM_RAD_S, YARD_M

_SLOPES_PER: Final = 100.0 * 0.10  # figures under [slopes] are of every 100 of carry on a slope of 10 %


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
    if faults := [*_unknown_likes(player), *_unknown_tighter(player, file)]:
        words = {"likes": file.likes, "dislikes": file.dislikes, "tighter": file.tighter}
        raise InputErrors(in_order(path, faults, words, PlayerError))
    return player


def read_player_file(path: Path) -> tuple[PlayerFile, str]:
    """A player file as written, and its SHA-256; see `read_player` for the errors."""
    return read_toml(path, PlayerFile, PlayerError, context=_context, name=_name, across=across)


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


def _unknown_tighter(player: Player, file: PlayerFile) -> Iterator[PlacedFault]:
    """Find names under [tighter] that are no club and no shot of the file."""
    names = [
        name for shot in player.practised for name in (shot.club, shot.label, f"{shot.club}, {shot.name}")
    ]
    known = {name.casefold() for name in names}
    for word in file.tighter:
        if word.casefold() not in known:
            close = nearest(word, names)
            mend = (
                f'Did you mean "{close}"?' if close else 'Write a club, or club and shot: "driver, the fade"'
            )
            yield PlacedFault(("tighter", word), "is no club or shot of this file", mend)


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
    scatter, origin = _stated_scatter(entry, file, unit_m), _stated_origin(entry, file)
    if scatter is None:
        assumed.append("scatter")
        scatter, origin, note = _assumed_scatter(entry, file, unit_m, stock, is_swing=is_swing)
        notes += [f"{entry.club}, {entry.shot}: {note}"] if note else []
    tighter = _tighter(entry, file)
    if tighter != 1.0:
        scatter = scatter[0] * tighter, scatter[1] * tighter
        origin = f"{origin}, times {tighter:g} (tighter)"
        notes.append(f"{entry.club}, {entry.shot}: what if its scatter were {tighter:g} times what it is")
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
        spread=_spread(entry, file, unit_m, scatter),
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
        scatter_origin=origin,
        mishits_origin=_mishits_origin(entry, file),
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


def _stated_origin(entry: ShotEntry, file: PlayerFile) -> str:
    """Where a stated scatter comes from, in words."""
    from_balls = "stated" if entry.balls is None else f"measured, {entry.balls} balls"
    if entry.where == "course":
        return from_balls
    return f"{from_balls} on the {entry.where}, times {file.range_factor:g}"


def _mishits_origin(entry: ShotEntry, file: PlayerFile) -> str:
    if entry.mishits is not None:
        return "stated for this shot" if entry.balls is None else "measured"
    known = "assumed by the level" if file.mishits.share is None else "stated"
    return f"{known} for all shots"


def _tighter(entry: ShotEntry, file: PlayerFile) -> float:
    """What the scatter of a shot is multiplied by, for what-ifs: its own factor, and those of [tighter]."""
    factor = entry.tighter or 1.0
    for word in {entry.club.casefold(), f"{entry.club}, {entry.shot}".casefold()}:
        factor *= next((value for key, value in file.tighter.items() if key.casefold() == word), 1.0)
    return factor


def _assumed_scatter(
    entry: ShotEntry, file: PlayerFile, unit_m: float, stock: ShotEntry | None, *, is_swing: bool
) -> tuple[tuple[float, float], str, str]:
    """Standard deviations in side and depth of a shot that states none [m], their origin, and a note."""
    carry = (entry.carry or 0.0) * unit_m
    side, depth = landing_scatter(carry, file.level)
    origin = f"published for level {file.level:g}"
    if stock is None:
        return (side, depth), origin, ""
    of_stock = _stated_scatter(stock, file, unit_m)
    if is_swing or _is_shorter_swing(entry, stock, carry):
        if of_stock is not None:
            published = landing_scatter((stock.carry or 0.0) * unit_m, file.level)
            side, depth = side * of_stock[0] / published[0], depth * of_stock[1] / published[1]
            origin += f", as {_name_of(stock)} of this club stands to it"
        return (side, depth), origin, ""
    side, depth = of_stock or (side, depth)
    factor = file.unstated_factor
    reference = "the published one" if of_stock is None else f"that of {_name_of(stock)}"
    note = f"scatter assumed: {factor:g} times {reference}; state your own, or another unstated_factor"
    origin = f"{factor:g} times {reference if of_stock else origin}"
    return (factor * side, factor * depth), origin, note


def _is_shorter_swing(entry: ShotEntry, stock: ShotEntry, carry_m: float) -> bool:
    """Whether a shot is the stock shot of a wedge with a shorter swing."""
    is_wedge = defaults.kind_of(entry.club, carry_m) is defaults.Kind.WEDGE
    is_same_flight = (entry.shape, entry.height) == (stock.shape, stock.height)
    return is_wedge and is_same_flight and (entry.carry or 0.0) < (stock.carry or 0.0)


def _name_of(shot: ShotEntry) -> str:
    return "the stock shot" if shot.shot == "stock" else f"the {shot.shot.removeprefix('the ')}"


def _spread(entry: ShotEntry, file: PlayerFile, unit_m: float, scatter: tuple[float, float]) -> Spread:
    share, short, scale = file.usual_mishits
    return Spread(
        side_m=scatter[0],
        depth_m=scatter[1],
        tilt=entry.tilt or 0.0,
        bias_side_m=entry.bias_side * unit_m,
        bias_depth_m=entry.bias_depth * unit_m,
        mishit_share=share if entry.mishits is None else entry.mishits,
        mishit_short=short,
        mishit_scale=scale,
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
