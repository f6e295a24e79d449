"""The tables of a player file, with the ranges of values and the mistakes that are likely.

Lengths are in the unit of the file here. The validation context states it ("yards" or "metres").
"""

from __future__ import annotations

from typing import Annotated, Final, Literal

from pydantic import AfterValidator, BeforeValidator, Field, ValidationInfo, model_validator

from strategy import quantity
from strategy.codes import Lie
from strategy.player.defaults import LIE_WORDS, RANGE_FACTOR, UNSTATED_FACTOR, Kind, kind_of
from strategy.reference.spread import usual_mishits
from strategy.tomlfile import Guess, Table, fault, nearest, within
from strategy.units import YARD_M

CARRY_YD: Final = (20.0, 360.0)
# What a column of a practice log may mean.
LOG_MEANINGS: Final = (
    "club", "shot", "shape", "carry", "side", "long or short", "total", "total side", "distance",
    "ball speed", "launch", "start line", "spin", "spin axis", "apex",
    "curve", "target", "date", "session", "lie", "ball",
    "place", "wind", "player", "nothing",
)  # fmt: skip


def _length(least_yd: float, most_yd: float, what: str) -> AfterValidator:
    """Validator of a length in the unit of the file, with its range in yards."""

    def check(value: float, info: ValidationInfo) -> float:
        unit = (info.context or {}).get("unit", "yards")
        scale = YARD_M if unit == "metres" else 1.0
        guesses: list[Guess] = []
        if value < 0:
            return within(value, least_yd * scale, round(most_yd * scale), unit, f"Write {what} in {unit}")
        if unit == "metres":
            guesses.append(("is it in yards", lambda v: v * YARD_M))
        slipped: Guess = ("has a digit slipped", lambda v: v / 10)
        feet: Guess = ("is it in feet", lambda v: v / 3 * scale)
        guesses += [slipped, feet] if value % 10 == 0 else [feet, slipped]
        return within(
            value,
            round(least_yd * scale, 1),
            round(most_yd * scale),
            unit,
            f"Write {what} in {unit}",
            guesses,
        )

    return AfterValidator(check)


def _between(least: float, most: float, unit: str, mend: str, *guesses: Guess) -> AfterValidator:
    """Validator of a number with a range."""
    return AfterValidator(lambda value: within(value, least, most, unit, mend, guesses))


_PERCENT: Final[Guess] = ("is it per cent", lambda v: v / 100)

_LONGER: Final = "Write how much longer (+) or shorter (-) 100 of carry become"

Carry = Annotated[float, _length(*CARRY_YD, "the carry")]
Scatter = Annotated[float, _length(0.2, 60.0, "the standard deviation")]
Bias = Annotated[float, _length(-40.0, 40.0, "the mean miss")]
Run = Annotated[float, _length(-15.0, 80.0, "the run")]
RunSd = Annotated[float, _length(0.0, 30.0, "the standard deviation of the run")]
Curve = Annotated[float, _length(0.0, 80.0, "how far it bends")]
Apex = Annotated[float, _length(1.0, 70.0, "the greatest height")]
Tilt = Annotated[
    float, _between(-1.0, 1.0, "", "A correlation lies between -1 and 1; leave it out if unknown")
]
Share = Annotated[float, _between(0.0, 0.5, "", "Write a share, as 0.04", _PERCENT)]
Multiplier = Annotated[float, _between(0.2, 5.0, "", "Write a multiplier, as 0.95", _PERCENT)]
Words = Annotated[str, Field(min_length=1)]


def _lie(word: str) -> str:
    if word not in LIE_WORDS:
        close = nearest(word, LIE_WORDS)
        listed = ", ".join(LIE_WORDS)
        raise fault(f'"{word}" is no lie', f'Did you mean "{close}"?' if close else f"Lies are {listed}")
    return word


LieWord = Annotated[str, AfterValidator(_lie)]


class ShotEntry(Table):
    """One practised shot, as written."""

    club: Words
    shot: Words = "stock"
    carry: Carry | None = None
    carry_turf: Carry | None = None
    carry_least: Carry | None = None
    side: Scatter | None = None
    depth: Scatter | None = None
    tilt: Tilt | None = None
    bias_side: Bias = 0.0
    bias_depth: Bias = 0.0
    balls: (
        Annotated[int, _between(2, 100_000, "balls", "Write how many balls the scatter was measured from")]
        | None
    ) = None
    mishits: Share | None = None
    tighter: Multiplier | None = None
    where: Literal["course", "range", "mat"] = "course"
    shape: Literal["draw", "straight", "fade"] = "straight"
    curve: Curve | None = None
    run: Run | None = None
    run_first_cut: Run | None = None
    run_rough: Run | None = None
    run_green: Run | None = None
    run_sd: RunSd | None = None
    height: Literal["low", "normal", "high"] = "normal"
    apex: Apex | None = None
    ball_speed: Annotated[float, BeforeValidator(quantity.ball_speed)] | None = None
    launch: Annotated[float, _between(1.0, 60.0, "degrees", "Write the launch angle")] | None = None
    spin: (
        Annotated[
            float,
            _between(
                500.0, 14_000.0, "rpm", "Write turns a minute", ("is it in thousands", lambda v: v * 1000)
            ),
        ]
        | None
    ) = None
    lies: Annotated[list[LieWord], Field(min_length=1)] | None = None

    @model_validator(mode="after")
    def _agrees(self) -> ShotEntry:
        carry = self.carry
        if kind_of(self.club, carry or 100.0) is Kind.PUTTER:
            raise fault(f"{self.club} is no full shot", "Remove it: putts come from the level")
        if carry is not None and self.carry_least is not None and self.carry_least > carry:
            wrong = f"carry_least {self.carry_least:g} is more than carry {self.carry:g}"
            raise fault(wrong, "Are the two swapped?")
        if (self.side is None) != (self.depth is None):
            given, missing = ("side", "depth") if self.depth is None else ("depth", "side")
            raise fault(
                f"has {given} without {missing}", "Give both, or neither: then the published scatter counts"
            )
        for needs in ("balls", "tilt"):
            if self.side is None and getattr(self, needs) is not None:
                raise fault(f"has {needs} without a scatter", "Add side and depth, the standard deviations")
        if carry and self.side is not None and max(self.side, self.depth or 0.0) > 0.35 * carry:
            shown = max(self.side, self.depth or 0.0)
            raise fault(
                f"scatter {shown:g} is more than a third of carry {self.carry:g}",
                "Write standard deviations (about a quarter of the width that holds 19 of 20 balls)",
            )
        if self.curve and self.shape == "straight":
            raise fault(f'curve {self.curve:g}, but shape = "straight"', 'Write shape = "draw" or "fade"')
        return self


class MishitEntry(Table):
    """The mishits of all shots; share and how short they fall go by the level where they are not stated."""

    share: Share | None = None
    short: Share | None = None
    scale: Annotated[float, _between(1.0, 6.0, "", "Write how many times wider a mishit scatters")] = 2.5


class LieEntry(Table):
    """The effect of a lie on every shot. Fields that are left out keep their default."""

    carry: Multiplier | None = None
    scatter: Multiplier | None = None
    run: Multiplier | None = None
    spin: Multiplier | None = None
    lip: Annotated[float, _between(0.0, 60.0, "degrees", "Write the launch that clears the lip")] | None = (
        None
    )


class SlopesEntry(Table):
    """What a stance on a slope of 10 % does to every 100 of carry: so far to the low side, or longer (+)."""

    across: (
        Annotated[float, _between(0.0, 25.0, "of 100", "Write how far to the low side 100 of carry go")]
        | None
    ) = None
    uphill: Annotated[float, _between(-20.0, 20.0, "of 100", _LONGER)] | None = None
    downhill: Annotated[float, _between(-20.0, 20.0, "of 100", _LONGER)] | None = None


ShortWord = Literal["chip", "pitch", "lob"]


class ShortGameEntry(Table):
    """Shots round the green: scatter over that of the level (0.9 is tighter), and shots that are not played.

    The number of a kind of shot is used in place of `scatter`.
    """

    scatter: Multiplier | None = None
    chip: Multiplier | None = None
    pitch: Multiplier | None = None
    lob: Multiplier | None = None
    bunker_shot: Multiplier | None = None
    without: list[ShortWord] = Field(default_factory=list)

    @model_validator(mode="after")
    def _playable(self) -> ShortGameEntry:
        if {"chip", "pitch"} <= set(self.without):
            raise fault("is without chip and pitch", "Leave one of them in: something is played from grass")
        return self


class MeasuredEntry(Table):
    """Air in which the carries were measured."""

    temperature: Annotated[float, BeforeValidator(quantity.temperature)] = 21.11
    height: Annotated[float, BeforeValidator(quantity.height)] = 0.0


def _meaning(word: str) -> str:
    if word not in LOG_MEANINGS:
        close = nearest(word, LOG_MEANINGS)
        listed = ", ".join(LOG_MEANINGS)
        raise fault(
            f'"{word}" is no meaning of a column',
            f'Did you mean "{close}"?' if close else f"Meanings are {listed}",
        )
    return word


class LogsEntry(Table):
    """How practice logs are read where their own words do not say it.

    Attributes
    ----------
    columns : dict of str to str
        Meaning of a column by its odd name in the logs ("Flight 2" = "carry"; "nothing" leaves it out).
    clubs : dict of str to str
        Club, or "club, shot", by what the logs call it.
    units : str or None
        Unit of lengths that logs do not name. None for the unit of the player file.
    plus : "right" or "left"
        Which side a positive number means.
    """

    columns: dict[str, Annotated[str, AfterValidator(_meaning)]] = Field(default_factory=dict)
    clubs: dict[str, Words] = Field(default_factory=dict)
    units: Literal["yards", "metres"] | None = None
    plus: Literal["right", "left"] = "right"


_INCHES: Final[tuple[Guess, ...]] = (
    ("is it in centimetres", lambda v: v / 2.54),
    ("is it in metres", lambda v: v / 0.0254),
)


class PlayerFile(Table):
    """The contents of a player file."""

    name: Words
    units: Literal["yards", "metres"] = "yards"
    hand: Literal["right", "left"]
    level: Annotated[
        float, _between(66.0, 120.0, "strokes", "Write the average score: 70 is a tour professional")
    ] = 70.0
    longest_club: Annotated[
        float,
        _between(35.0, 48.0, "inches", "Write the longest club but the putter, at most 48 in", *_INCHES),
    ] = 45.5  # common practice: drivers are 45 to 46 in long
    range_factor: Annotated[
        float, _between(1.0, 2.0, "", "Write how much wider balls scatter on the course", _PERCENT)
    ] = RANGE_FACTOR
    unstated_factor: Annotated[
        float,
        _between(
            1.0,
            3.0,
            "",
            "Write how much wider a shot scatters than its club's stock shot where nobody stated it",
            _PERCENT,
        ),
    ] = UNSTATED_FACTOR
    likes: list[str] = Field(default_factory=list)
    dislikes: list[str] = Field(default_factory=list)
    mishits: MishitEntry = MishitEntry()
    lies: dict[LieWord, LieEntry] = Field(default_factory=dict)
    wet: LieEntry = LieEntry()
    slopes: SlopesEntry = SlopesEntry()
    short_game: ShortGameEntry = ShortGameEntry()
    measured: MeasuredEntry = MeasuredEntry()
    logs: LogsEntry = LogsEntry()
    tighter: dict[str, Multiplier] = Field(default_factory=dict)
    doubtful_swing: Annotated[
        float, _between(1.0, 3.0, "", "Write how much wider a doubtful swing scatters", _PERCENT)
    ] = 1.0
    wedges: dict[str, dict[str, Carry]] = Field(default_factory=dict)
    shots: Annotated[list[ShotEntry], Field(min_length=1)]

    @property
    def usual_mishits(self) -> tuple[float, float, float]:
        """Share, shortness and scale of the mishits of all shots, as stated or by the level."""
        share, short = usual_mishits(self.level)
        stated = self.mishits
        return (
            share if stated.share is None else stated.share,
            short if stated.short is None else stated.short,
            stated.scale,
        )


def lies_of(words: list[str]) -> frozenset[Lie]:
    """The lies that some words of a player file mean."""
    return frozenset().union(*(LIE_WORDS[word] for word in words))
