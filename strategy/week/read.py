"""Reader for week files: rounds with tee times, wind by the hour, tees and hole locations.

A commented sample is `courses/weeks/demo.toml`. All faults of a file are reported at once.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated, Any, Final, Literal

from pydantic import AfterValidator, BeforeValidator, Field, PlainValidator, ValidationInfo, model_validator
from pydantic_core import PydanticKnownError

from strategy import quantity
from strategy.ball.air import density
from strategy.errors import InputErrors, PhysicsError, WeekError
from strategy.tomlfile import PlacedFault, Table, fault, read_toml, within
from strategy.units import YARD_M
from strategy.week.firmness import parse_sighting
from strategy.week.model import UNSTATED_STIMP_FT, Round, Setup, Sighting, Week, WindHour

# Gust over mean speed, for files without gusts (engineering choice). Over short grass with few trees the
# hourly gusts that weather services report are 1.3 to 1.6 times the mean (common practice).
GUST_FACTOR: Final = 1.4
# Standard errors of a forecast for the next day, for files that state none (engineering choices).
FORECAST_SD: Final = 0.2  # share of the speed
DIRECTION_SD: Final = 15.0  # degrees

# The `BeforeValidator` of a field converts it to SI, so that strict validation gets a float.
Clock = Annotated[float, BeforeValidator(quantity.clock)]
TeeTime = Annotated[float, BeforeValidator(quantity.tee_time)]
Speed = Annotated[float, BeforeValidator(quantity.speed)]
Direction = Annotated[float, BeforeValidator(quantity.direction)]
Temperature = Annotated[float, BeforeValidator(quantity.temperature)]
Height = Annotated[float, BeforeValidator(quantity.height)]
Pressure = Annotated[float, BeforeValidator(quantity.pressure)]
Humidity = Annotated[float, BeforeValidator(quantity.humidity)]
Stimp = Annotated[float, AfterValidator(quantity.stimp)]


def _label(value: object) -> object:
    return str(value) if isinstance(value, int) and not isinstance(value, bool) else value


Label = Annotated[str, BeforeValidator(_label), Field(min_length=1)]


def _up(value: float, info: ValidationInfo) -> float:
    unit = (info.context or {}).get("unit", "yards")
    slip = ("has a digit slipped", lambda v: v / 10)
    return within(value, -40.0, 120.0, unit, f"Write how far the markers are up, in {unit}", [slip])


def _location(value: str) -> str:
    if value and not value.lstrip()[:1].isdigit():
        raise fault(
            f'is "{value}", which does not begin with a depth', 'Write it as "14 on, 5 from the left"'
        )
    return value


def _sighting(value: object) -> Sighting:
    if not isinstance(value, str):
        raise PydanticKnownError("string_type")
    return parse_sighting(value)


SightingText = Annotated[Sighting, PlainValidator(_sighting)]


def _share(value: float) -> float:
    mend = "Write chances between 0 and 1"
    return within(value, 0.0, 1.0, "", mend, [("is it per cent", lambda v: v / 100)])


def _shelter(value: float) -> float:
    mend = "Write the share of the wind that gets there: 1 in the open, 0.5 between high trees"
    return within(value, 0.0, 1.5, "", mend, [("is it per cent", lambda v: v / 100)])


def _judged(value: float) -> float:
    mend = "Write a share of the speed: 0.15 misjudges 10 mph by 1.5"
    return within(value, 0.0, 0.6, "", mend, [("is it per cent", lambda v: v / 100)])


class WindEntry(Table):
    """The wind at one clock hour, as written."""

    hour: Clock
    speed: Speed
    blows_from: Direction | None = Field(default=None, alias="from")
    gust: Speed | None = None
    speed_sd: Speed | None = None
    from_sd: Annotated[
        float | None,
        AfterValidator(lambda v: v if v is None else within(v, 0, 90, "degrees", "Write degrees")),
    ] = None

    @model_validator(mode="after")
    def _agrees(self) -> WindEntry:
        if self.blows_from is None and self.speed > 0.0:
            raise fault("says how strong the wind is, not where it blows from", 'Add from = "SW", or degrees')
        if self.gust is not None and self.gust < self.speed:
            raise fault("gusts less than it blows", "Are speed and gust swapped? Write the larger as gust")
        return self


class HoleEntry(Table):
    """The setup of one hole in one round, as written."""

    location: Annotated[str, AfterValidator(_location)] = ""
    tee: str = ""
    up: Annotated[float, AfterValidator(_up)] = 0.0


class RoundEntry(Table):
    """One round, as written."""

    number: Annotated[int, Field(ge=1, le=9)] | None = None
    date: dt.date | None = None
    tee_time: TeeTime | None = None
    start_hole: Label = "1"
    temperature: Temperature = 20.0
    pressure: Pressure | None = None
    humidity: Humidity = 0.5
    wet: bool = False
    firmness: list[SightingText] = Field(default_factory=list)
    wind: list[WindEntry] = Field(default_factory=list)
    holes: dict[str, HoleEntry] = Field(default_factory=dict)


class RoughEntry(Table):
    """Chances of the lies in the rough, as written."""

    good: Annotated[float, AfterValidator(_share)]
    poor: Annotated[float, AfterValidator(_share)]
    jumper: Annotated[float, AfterValidator(_share)]

    @model_validator(mode="after")
    def _adds_up(self) -> RoughEntry:
        total = self.good + self.poor + self.jumper
        if abs(total - 1.0) > 0.005:
            raise fault(f"chances of good, poor and jumper add up to {total:.3g}", "Make them add up to 1")
        return self


class WeekFile(Table):
    """A week file, validated."""

    name: str
    units: Literal["yards", "metres"] = "yards"
    height: Height = 0.0
    stimp: Stimp = UNSTATED_STIMP_FT
    rough: RoughEntry | None = None
    firmness: list[SightingText] = Field(default_factory=list)
    front_reference: Literal["line of play", "front-most", "dot"] = "line of play"
    margin_paces: Annotated[float, AfterValidator(lambda v: within(v, 0, 15, "paces", "Guidance is 4"))] = 4.0
    preferred_lies: bool = False
    shelter: dict[str, Annotated[float, AfterValidator(_shelter)]] = Field(default_factory=dict)
    wind_judged: Annotated[float, AfterValidator(_judged)] = 0.15
    rounds: Annotated[list[RoundEntry], Field(min_length=1)]


def read_week(path: str | Path) -> Week:
    """Read a week file.

    Parameters
    ----------
    path : str or Path
        A TOML file.

    Returns
    -------
    week : Week
        In SI units, with rounds in order of their numbers and wind in order of the hour.

    Raises
    ------
    WeekError
        If the file does not exist or is no TOML.
    InputErrors
        All other faults at once, each with its key (entries are counted from 1), the value, and what to do.
    """
    path = Path(path)
    file, digest = read_toml(path, WeekFile, WeekError, context=_context, name=_name, across=_across)
    unit = YARD_M if file.units == "yards" else 1.0
    rounds = [_round(entry, position, unit) for position, entry in enumerate(file.rounds, start=1)]
    faults = [*_air_faults(path, rounds, file.height)]
    if faults:
        raise InputErrors(faults)
    week = Week(
        name=file.name,
        rounds=tuple(sorted(rounds, key=lambda r: r.number)),
        height_m=file.height,
        stimp_ft=file.stimp,
        sightings=tuple(file.firmness),
        front_reference=file.front_reference,
        margin_paces=file.margin_paces,
        preferred_lies=file.preferred_lies,
        shelter=dict(file.shelter),
        wind_judged=file.wind_judged,
        files={str(path): digest},
    )
    return week if file.rough is None else dataclasses.replace(week, rough_chances=_chances(file.rough))


def _round(entry: RoundEntry, position: int, unit_m: float) -> Round:
    return Round(
        number=entry.number or position,
        date="" if entry.date is None else entry.date.isoformat(),
        tee_time=entry.tee_time,
        start_hole=entry.start_hole,
        wind=tuple(
            WindHour(
                hour=w.hour,
                speed_mps=w.speed,
                blows_from=w.blows_from or 0.0,
                gust_mps=w.speed * GUST_FACTOR if w.gust is None else w.gust,
                speed_sd_mps=w.speed * FORECAST_SD if w.speed_sd is None else w.speed_sd,
                direction_sd=DIRECTION_SD if w.from_sd is None else w.from_sd,
            )
            for w in entry.wind
        ),
        temperature_c=entry.temperature,
        pressure_hpa=entry.pressure,
        humidity=entry.humidity,
        wet=entry.wet,
        sightings=tuple(entry.firmness),
        holes={
            label: Setup(location=hole.location, tee=hole.tee, up_m=hole.up * unit_m)
            for label, hole in entry.holes.items()
        },
    )


def _air_faults(path: Path, rounds: list[Round], height_m: float) -> Iterator[WeekError]:
    """Find air that cannot be, such as a pressure that does not fit the height of the course."""
    for i, one in enumerate(rounds, start=1):
        try:
            density(one.temperature_c, height_m, one.pressure_hpa, one.humidity)
        except PhysicsError as error:
            yield WeekError(path, f"rounds[{i}].{error.what}", error.wrong, error.mend)


def _chances(rough: RoughEntry) -> tuple[float, float, float]:
    """Chances of good, poor and jumper lies, scaled to a sum of 1."""
    total = rough.good + rough.poor + rough.jumper
    return (rough.good / total, rough.poor / total, rough.jumper / total)


def _context(document: Mapping[str, Any]) -> Mapping[str, Any]:
    """The context of the validators: the unit of lengths."""
    return {"unit": "metres" if document.get("units") == "metres" else "yards"}


def _name(entry: Mapping[str, Any]) -> str:
    """The name of an entry for messages: the hour of a wind."""
    hour = entry.get("hour")
    return hour if isinstance(hour, str) else ""


def _across(document: Mapping[str, Any]) -> Iterator[PlacedFault]:
    """Find round numbers that are given twice, and hours of the wind that are out of order."""
    rounds = document.get("rounds")
    if not isinstance(rounds, list):
        return
    position_of: dict[int, int] = {}
    for i, entry in enumerate(rounds):
        if not isinstance(entry, Mapping):
            continue
        number = entry.get("number", i + 1)
        if isinstance(number, int):
            if number in position_of:
                wrong = f"is {number}, as that of rounds[{position_of[number] + 1}]"
                yield PlacedFault(("rounds", i, "number"), wrong, "Give every round its own number")
            position_of.setdefault(number, i)
        yield from _hours_out_of_order(entry, i)


def _hours_out_of_order(entry: Mapping[str, Any], i: int) -> Iterator[PlacedFault]:
    """Find hours of the wind of one round that are not later than the hour before them."""
    wind = entry.get("wind")
    previous: float | None = None
    for j, row in enumerate(wind if isinstance(wind, list) else ()):
        try:
            hour = quantity.clock(row.get("hour")) if isinstance(row, Mapping) else None
        except ValueError:  # the validator of `WindEntry` reports it
            hour = None
        if hour is None:
            continue
        if previous is not None and hour <= previous:
            is_same = hour == previous
            wrong = f'is "{row["hour"]}", {"given twice" if is_same else "earlier than the hour before it"}'
            afternoon = f'; afternoon is "{quantity.written(hour + 12)}"'
            mend = "Write the hours in order" + (afternoon if hour < 12 and not is_same else "")
            yield PlacedFault(("rounds", i, "wind", j, "hour"), wrong, mend)
        previous = hour
