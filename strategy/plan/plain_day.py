"""The day of one shot from plain numbers, and what was left out of them."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence, Set

from strategy.ball.firmness import firmness_from_seen
from strategy.ball.flight import Flights
from strategy.errors import RequestError
from strategy.outcome.weather import Weather, launches, weather
from strategy.player.defaults import iron_number
from strategy.player.model import Player
from strategy.tomlfile import nearest
from strategy.units import FOOT_M
from strategy.week.model import Round, Sighting, Week, WindHour


def plain_day(
    player: Player,
    *,
    speed_mps: float = 0.0,
    wind_from: float = 0.0,
    temperature_c: float | None = None,
    height_m: float | None = None,
    pressure_hpa: float | None = None,
    stimp_ft: float | None = None,
    sightings: Sequence[Sighting] = (),
) -> Weather:
    """Conditions from plain numbers, the shot going north; what is left out is as the carries were measured.

    Parameters
    ----------
    speed_mps, wind_from : float
        Of a 10 m wind, against the line of the shot: 0 = in the face, 90 = from the right. [m/s], [°]
    temperature_c, height_m, pressure_hpa : float, optional
        [°C], height above sea [m], at the course itself [hPa]
    stimp_ft : float, optional
        Green speed. [ft]
    sightings : sequence of Sighting
        Firmness as seen: "7-iron released 4 paces".

    Raises
    ------
    RequestError
        For a club that is not in the bag, or a run that no ground gives it.
    PhysicsError
        For an air that cannot be meant.
    """
    blows = WindHour(hour=0.0, speed_mps=speed_mps, blows_from=wind_from, gust_mps=speed_mps)
    today = Round(
        number=1,
        tee_time=8.0,
        wind=(blows,) if speed_mps > 0.0 else (),
        temperature_c=player.measured_temperature_c if temperature_c is None else temperature_c,
        pressure_hpa=pressure_hpa,
        sightings=tuple(sightings),
    )
    height = player.measured_height_m if height_m is None else height_m
    week = Week(name="", rounds=(today,), height_m=height)
    if stimp_ft is not None:
        week = dataclasses.replace(week, stimp_ft=stimp_ft)
    for sighting in sightings:
        _check_sighting(player, sighting, week.stimp_ft)
    return weather(player, week, today, "", 0)


def taken_for_granted(player: Player, day: Weather, unsaid: Set[str]) -> tuple[str, ...]:
    """What plain numbers left out, in words; `unsaid` names the options of the command left out."""
    said = []
    if "wind" in unsaid:
        said.append("calm")
    elif day.wind is not None:
        said.append("the wind is that of a forecast, in the open")
    if {"up", "down"} <= unsaid:
        said.append("ball and hole level")
    if {"temperature", "height", "pressure"} <= unsaid:
        said.append("the air that the carries were measured in")
    elif "temperature" in unsaid:
        warm = player.measured_temperature_c
        said.append(f"{warm * 1.8 + 32.0:.0f} F ({warm:.0f} C), as the carries were measured")
    elif {"height", "pressure"} <= unsaid:
        said.append(f"{round(player.measured_height_m / FOOT_M)} ft above sea, as the carries were measured")
    said += [a for a in day.said if "fairways" not in a]
    if "stimp" in unsaid:
        said.append(f"green speed {day.stimp_ft:g} ft")
    if "lie" in unsaid:
        said.append("a clean lie on the fairway")
    return tuple(said)


def _check_sighting(player: Player, seen: Sighting, stimp_ft: float) -> None:
    """Refuse what would be passed over in silence: a club that is not there, a run no ground gives."""
    text = seen.text
    clubs = [s.club.casefold() for s in player.shots]
    if seen.run_m is None:
        raise RequestError(
            f'--firmness "{text}" is of the rough. Say how far a shot ran on after it pitched.'
        )
    if seen.club.casefold() not in clubs:
        same = iron_number(seen.club)
        alike = [s.club for s in player.shots if same is not None and iron_number(s.club) == same]
        close = alike[0] if alike else nearest(seen.club, [s.club for s in player.shots])
        mend = f'Did you mean "{close}"?' if close else "Use a club of the player file."
        raise RequestError(f'--firmness "{text}": {player.name} has no {seen.club}. {mend}')
    calm, i = launches(player).calm, clubs.index(seen.club.casefold())
    one = Flights(**{f.name: getattr(calm, f.name)[i] for f in dataclasses.fields(calm)})
    found = firmness_from_seen(one, seen.run_m, seen.surface, stimp_ft=stimp_ft)
    if not found.inside:
        raise RequestError(f'--firmness "{text}": {found.note}')
