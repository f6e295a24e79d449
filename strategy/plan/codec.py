"""Frozen dataclasses to JSON and back, exactly.

A value made by `rounded` survives ``from_data(kind, to_data(value))`` unchanged: floats are rounded once,
when the document is made, and Python prints a float so that it reads back the same. Keys stand in the
order of the fields. Rounding also makes reruns identical where sums differ in the last bit.
"""

from __future__ import annotations

import dataclasses
import math
import types
from enum import Enum
from functools import lru_cache
from typing import Any, Final, TypeVar, Union, get_args, get_origin, get_type_hints

T = TypeVar("T")

DIGITS: Final = 4
DEGREE_DIGITS: Final = 7  # of longitude and latitude: a centimetre


def to_data(value: Any) -> Any:
    """Dataclasses, tuples, mappings, enums and plain values as what `json` writes."""
    if isinstance(value, Enum):
        return value.value
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {f.name: to_data(getattr(value, f.name)) for f in dataclasses.fields(value)}
    if isinstance(value, tuple | list):
        return [to_data(v) for v in value]
    if isinstance(value, dict):
        return {str(k): to_data(v) for k, v in value.items()}
    if value is None or isinstance(value, bool | int | float | str):
        return value
    raise TypeError(f"{type(value).__name__} has no form in plan.json")


def from_data(kind: type[T], data: Any) -> T:
    """The dataclass that `to_data` wrote.

    Raises
    ------
    KeyError, TypeError, ValueError
        When the data does not have the form of `kind`.
    """
    result: T = _build(kind, data)
    return result


def rounded(value: T) -> T:
    """The same value with every float in it rounded to 1e-4, fields named `...lonlat` to 1e-7."""
    result: T = _rounded(value, DIGITS)
    return result


def _rounded(value: Any, digits: int) -> Any:
    if isinstance(value, float):
        if not math.isfinite(value):
            raise ValueError(f"{value} has no form in plan.json")
        return round(float(value), digits) + 0.0  # -0.0 becomes 0.0
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        changes = {
            f.name: _rounded(getattr(value, f.name), DEGREE_DIGITS if f.name.endswith("lonlat") else digits)
            for f in dataclasses.fields(value)
        }
        return dataclasses.replace(value, **changes)
    if isinstance(value, tuple):
        return tuple(_rounded(v, digits) for v in value)
    if isinstance(value, dict):
        return {k: _rounded(v, digits) for k, v in value.items()}
    return value


def _build(kind: Any, data: Any) -> Any:
    origin = get_origin(kind)
    if origin in (Union, types.UnionType):
        (inner,) = [k for k in get_args(kind) if k is not type(None)]
        return None if data is None else _build(inner, data)
    if origin is tuple:
        kinds = get_args(kind)
        if not isinstance(data, list):
            raise TypeError(f"{data!r} is not a list")
        if len(kinds) == 2 and kinds[1] is Ellipsis:
            return tuple(_build(kinds[0], v) for v in data)
        if len(kinds) != len(data):
            raise ValueError(f"{len(data)} entries where {len(kinds)} belong")
        return tuple(_build(k, v) for k, v in zip(kinds, data, strict=True))
    if origin is dict:
        return {k: _build(get_args(kind)[1], v) for k, v in data.items()}
    if isinstance(kind, type) and dataclasses.is_dataclass(kind):
        # A field that came later has a default, and is not in plans from before.
        return kind(
            **{name: _build(k, data[name]) for name, k, late in _fields(kind) if name in data or not late}
        )
    if kind is float and isinstance(data, int) and not isinstance(data, bool):
        return float(data)
    if isinstance(kind, type) and issubclass(kind, Enum):
        return kind(data)
    if not isinstance(data, kind) or (kind is int and isinstance(data, bool)):
        raise TypeError(f"{data!r} is not {kind.__name__}")
    return data


@lru_cache(maxsize=64)
def _fields(kind: type) -> tuple[tuple[str, Any, bool], ...]:
    """Name and type of each field, and whether it has a default."""
    hints = get_type_hints(kind)
    return tuple((f.name, hints[f.name], _has_default(f)) for f in dataclasses.fields(kind))


def _has_default(field: dataclasses.Field[Any]) -> bool:
    missing = dataclasses.MISSING
    return field.default is not missing or field.default_factory is not missing
