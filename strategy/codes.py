"""Surfaces and lies: the two code lists that every room shares.

A *surface* is what the ground is; the surface map holds it. A *lie* is how a ball sits on the ground; it
decides which shots are possible. The two are linked only by chances (`HoleToday.lie_chance`): the same rough
gives a good lie to one ball and a jumper to the next.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import IntEnum
from types import MappingProxyType
from typing import Any, Final, NamedTuple


class Surface(IntEnum):
    """What the ground is. The order is part of the contract: arrays are indexed by it."""

    TEE = 0
    FAIRWAY = 1
    FIRST_CUT = 2
    ROUGH = 3
    BUNKER = 4
    GREEN = 5
    TREES = 6
    YELLOW = 7
    RED = 8
    OUT = 9
    OFF_MAP = 10

    @property
    def label(self) -> str:
        """The word a caddie uses."""
        return _SURFACE_LABELS[self]

    @property
    def penalty_area(self) -> bool:
        """Whether the surface is a penalty area (Rule 17)."""
        return self in (Surface.YELLOW, Surface.RED)


class Lie(IntEnum):
    """How the ball sits. The order is part of the contract: arrays are indexed by it."""

    TEE = 0
    FAIRWAY = 1
    FIRST_CUT = 2
    ROUGH_GOOD = 3
    ROUGH_POOR = 4
    JUMPER = 5
    SAND = 6
    RECOVERY = 7
    GREEN = 8

    @property
    def label(self) -> str:
        """Its full name, as documents keep it."""
        return _LIE_LABELS[self]

    @property
    def said(self) -> str:
        """The word a caddie uses."""
        return _SAID.get(self, self.label)

    @staticmethod
    def of_label(label: str) -> Lie:
        """The lie of a full name; KeyError for any other word."""
        return _OF_LABEL[label]

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: Any) -> Any:
        """How documents write and read a lie: by its full name."""
        from pydantic_core import core_schema as form

        return form.no_info_after_validator_function(
            cls.of_label,
            form.literal_schema([*_OF_LABEL]),
            serialization=form.plain_serializer_function_ser_schema(lambda lie: Lie(lie).label),
        )


class Spot(NamedTuple):
    """A ball at rest, about to be played.

    Attributes
    ----------
    x, y : float
        Course frame: east, north. [m]
    lie : Lie
        How it sits.
    """

    x: float
    y: float
    lie: Lie

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: Any) -> Any:
        """How documents write and read a spot: `{"x": 12.5, "y": 203.0, "lie": "fairway"}`."""
        from pydantic_core import core_schema as form

        kinds = {"x": float, "y": float, "lie": Lie}
        fields = {name: form.typed_dict_field(handler.generate_schema(kind)) for name, kind in kinds.items()}
        return form.no_info_after_validator_function(
            lambda read: cls(**read),
            form.typed_dict_schema(fields),
            serialization=form.plain_serializer_function_ser_schema(
                lambda spot: {"x": spot.x, "y": spot.y, "lie": Lie(spot.lie).label}
            ),
        )


_SURFACE_LABELS = {
    Surface.TEE: "tee",
    Surface.FAIRWAY: "fairway",
    Surface.FIRST_CUT: "first cut",
    Surface.ROUGH: "rough",
    Surface.BUNKER: "sand",
    Surface.GREEN: "green",
    Surface.TREES: "trees",
    Surface.YELLOW: "wet (yellow)",
    Surface.RED: "wet (red)",
    Surface.OUT: "out of bounds",
    Surface.OFF_MAP: "lost",
}

_LIE_LABELS = {
    Lie.TEE: "tee",
    Lie.FAIRWAY: "fairway",
    Lie.FIRST_CUT: "first cut",
    Lie.ROUGH_GOOD: "good lie in rough",
    Lie.ROUGH_POOR: "poor lie in rough",
    Lie.JUMPER: "jumper",
    Lie.SAND: "sand",
    Lie.RECOVERY: "recovery",
    Lie.GREEN: "green",
}
_OF_LABEL: Final = {label: lie for lie, label in _LIE_LABELS.items()}
_SAID: Final = {Lie.ROUGH_GOOD: "good rough", Lie.ROUGH_POOR: "poor rough", Lie.RECOVERY: "trees"}

# What a ball in the rough may find, in the order of a week's chances.
ROUGH_LIES: Final = (Lie.ROUGH_GOOD, Lie.ROUGH_POOR, Lie.JUMPER)
# Words that files and commands use for lies. Where a word may mean several, the likeliest is the first.
LIE_WORDS: Final[Mapping[str, tuple[Lie, ...]]] = MappingProxyType(
    {
        "tee": (Lie.TEE,),
        "fairway": (Lie.FAIRWAY,),
        "first cut": (Lie.FIRST_CUT,),
        "rough": ROUGH_LIES,
        "may jump": (Lie.ROUGH_GOOD, Lie.JUMPER),
        "good rough": (Lie.ROUGH_GOOD,),
        "poor rough": (Lie.ROUGH_POOR,),
        "jumper": (Lie.JUMPER,),
        "sand": (Lie.SAND,),
        "bunker": (Lie.SAND,),
        "recovery": (Lie.RECOVERY,),
        "trees": (Lie.RECOVERY,),
    }
)
