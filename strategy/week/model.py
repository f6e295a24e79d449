"""The week as every other room sees it: rounds, conditions and what was written for each hole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from strategy.codes import Surface

# Good, poor and jumper lies, where a week states none: engineering choice.
USUAL_ROUGH: Final = (0.5, 0.35, 0.15)
UNSTATED_STIMP_FT: Final = 11.0  # the green speed of a week, a day or a hole that states none


@dataclass(frozen=True, slots=True, kw_only=True)
class WindHour:
    """Forecast 10 m wind at one clock hour.

    Attributes
    ----------
    hour : float
        Local clock. [h]
    speed_mps, gust_mps : float
        Mean and gust. [m/s]
    blows_from : float
        Clockwise from true north, 0 = north. [°]
    speed_sd_mps, direction_sd : float
        Standard deviations of the forecast, of both waves too while the tee time is unknown; they decide how
        sure an answer is, not how a ball scatters: by then the wind is felt. [m/s], [°]
    """

    hour: float
    speed_mps: float
    blows_from: float
    gust_mps: float
    speed_sd_mps: float = 0.0
    direction_sd: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """One hole in one round, as written.

    Attributes
    ----------
    location : str
        Hole location as on the sheet ("14 on, 5 from the left"); "" = not given, likely ones are proposed.
    tee : str
        Name of the tee in use; "" = the back tee.
    up_m : float
        Markers moved forward along the line of play. [m]
    """

    location: str = ""
    tee: str = ""
    up_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sighting:
    """One observation of how firm the ground is; `strategy.week.firmness` reads it from words.

    Attributes
    ----------
    text : str
        The words as written.
    club : str
        Club, or club and shot, as the player calls it.
    hole : str
        Label of the hole where it was seen; "" = anywhere.
    surface : Surface
        Where the ball landed; ROUGH for a shot played out of the rough.
    run_m : float or None
        From landing to rest, negative for a ball that spun back. [m]
    carry_share : float or None
        For a shot out of the rough: its carry as a share of the usual carry.
    """

    text: str
    club: str
    hole: str
    surface: Surface
    run_m: float | None = None
    carry_share: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """One round: when, which wind, which hole locations.

    Attributes
    ----------
    number : int
        1, 2, ...
    date : str
        ISO 8601, "" while unknown.
    tee_time : float or None
        Local clock; None while unknown. [h]
    start_hole : str
        Label of the first hole.
    wind : tuple of WindHour
        In order of hour; empty = calm.
    temperature_c : float
        [°C]
    pressure_hpa : float or None
        At the course itself; None = that of its height in the standard atmosphere. [hPa]
    humidity : float
        Relative, a share.
    wet : bool
        Wet grass: water between ball and face (`Player.wet`); not with the physics off.
    sightings : tuple of Sighting
        Firmness as seen for this round. For the same kind of ground they replace the sightings of the week.
    holes : mapping of str to Setup
        By hole label; a hole not listed has an empty Setup.
    """

    number: int
    date: str = ""
    tee_time: float | None = None
    start_hole: str = "1"
    wind: tuple[WindHour, ...] = ()
    temperature_c: float = 20.0
    pressure_hpa: float | None = None
    humidity: float = 0.5
    wet: bool = False
    sightings: tuple[Sighting, ...] = ()
    holes: Mapping[str, Setup] = field(default_factory=dict)

    def setup(self, label: str) -> Setup:
        """What was written for a hole; an empty Setup when nothing was."""
        return self.holes.get(label, Setup())


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """One tournament week.

    Attributes
    ----------
    rough_chances : tuple of three floats
        Chances of a good, a poor and a jumper lie in the rough; they sum to 1.
    stimp_ft : float
        Green speed. [ft]
    sightings : tuple of Sighting
        Firmness as seen during the week ("7-iron released 4 paces").
    front_reference : str
        Where the pin sheet counts from: "line of play", "front-most" or "dot".
    margin_paces : float
        Guidance margin for hole locations. [paces = yards]
    preferred_lies : bool
        A ball on the fairway is cleaned and placed: wet grass does not reach it.
    shelter : mapping of str to float
        Share of the forecast wind that a hole gets, by label; 1 where not listed.
    wind_judged : float
        Standard deviation of the wind misjudged at the stroke, as a share of its speed.
    as_stated : bool
        Physics off: calm, level air, every shot exactly as the player states it. For working by hand.
    """

    name: str
    rounds: tuple[Round, ...]
    height_m: float = 0.0
    rough_chances: tuple[float, float, float] = USUAL_ROUGH
    stimp_ft: float = UNSTATED_STIMP_FT
    sightings: tuple[Sighting, ...] = ()
    front_reference: str = "line of play"
    margin_paces: float = 4.0
    preferred_lies: bool = False
    shelter: Mapping[str, float] = field(default_factory=dict)
    wind_judged: float = 0.15
    as_stated: bool = False
    files: Mapping[str, str] = field(default_factory=dict)

    def round(self, number: int) -> Round:
        """Give a round by its number.

        Raises
        ------
        RequestError
            If there is none.
        """
        from strategy.errors import RequestError

        for r in self.rounds:
            if r.number == number:
                return r
        there = ", ".join(str(r.number) for r in self.rounds)
        raise RequestError(f"{self.name} has no round {number}; its rounds are {there}")
