"""The week as every other room sees it: rounds, conditions, and the setup of each hole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from strategy.codes import Surface

# Chances of good, poor and jumper lies in a week that states none (engineering choice).
USUAL_ROUGH: Final = (0.5, 0.35, 0.15)
UNSTATED_STIMP_FT: Final = 11.0  # the green speed of a week, a day or a hole that states none


@dataclass(frozen=True, slots=True, kw_only=True)
class WindHour:
    """Forecast of the wind at one clock hour, 10 m above the ground.

    Attributes
    ----------
    hour : float
        Local clock. [h]
    speed_mps, gust_mps : float
        Mean speed, and speed of gusts. [m/s]
    blows_from : float
        Direction that the wind blows from, clockwise from true north, 0 = north. [°]
    speed_sd_mps, direction_sd : float
        Standard errors of the forecast. While the tee time is unknown they include the difference between
        both waves. They are for how sure an answer is, and not for the scatter of a ball, because the player
        feels the wind before the stroke. [m/s], [°]
    """

    hour: float
    speed_mps: float
    blows_from: float
    gust_mps: float
    speed_sd_mps: float = 0.0
    direction_sd: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """The setup of one hole in one round, as the week file states it.

    Attributes
    ----------
    location : str
        Hole location as on the sheet ("14 on, 5 from the left"); "" when it is not known, and likely ones are
        proposed.
    tee : str
        Name of the tee in use; "" for the back tee.
    up_m : float
        How far the markers are moved forward along the line of play. [m]
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
    """One round: its time, its weather and its hole locations.

    Attributes
    ----------
    number : int
        Number of the round, from 1.
    date : str
        ISO 8601; "" when unknown.
    tee_time : float or None
        Local clock; None when unknown. [h]
    start_hole : str
        Label of the first hole.
    wind : tuple of WindHour
        Forecast in order of the hour; empty for calm.
    temperature_c : float
        Temperature of the air. [°C]
    pressure_hpa : float or None
        Air pressure on the course; None for that of the standard atmosphere at its height. [hPa]
    humidity : float
        Relative humidity as a share.
    wet : bool
        Whether the grass is wet, so that there is water between ball and club face (`Player.wet`). It has no
        effect while the physics is off (`Week.as_stated`).
    sightings : tuple of Sighting
        Firmness as seen for this round. For the same kind of ground they replace the sightings of the week.
    holes : mapping of str to Setup
        Setups by label of the hole. A hole that is not listed has an empty `Setup`.
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
        """The setup of a hole; an empty `Setup` when the file states none."""
        return self.holes.get(label, Setup())


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """One tournament week.

    Attributes
    ----------
    rough_chances : tuple of three floats
        Chances of a good lie, a poor lie and a jumper in the rough. Their sum is 1.
    stimp_ft : float
        Green speed. [ft]
    sightings : tuple of Sighting
        Firmness as seen during the week ("7-iron released 4 paces").
    front_reference : str
        Where the pin sheet counts from: "line of play", "front-most" or "dot".
    margin_paces : float
        Guidance margin for hole locations. [paces = yards]
    preferred_lies : bool
        Whether a ball on the fairway is cleaned and placed, so that wet grass has no effect on it.
    shelter : mapping of str to float
        Share of the forecast wind on a hole, by label; 1 for holes that are not listed.
    wind_judged : float
        Standard error of the wind as the player judges it at the stroke, as a share of its speed.
    as_stated : bool
        Whether the physics is off: calm air, level ground, every shot exactly as the player states it. This
        is for checks by hand.
    files : mapping of str to str
        SHA-256 of the file that was read, by its path.
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
        """The round with this number.

        Raises
        ------
        RequestError
            If there is none. The message lists the rounds of the week.
        """
        from strategy.errors import RequestError

        for r in self.rounds:
            if r.number == number:
                return r
        numbers = ", ".join(str(r.number) for r in self.rounds)
        raise RequestError(f"{self.name} has no round {number}; its rounds are {numbers}")
