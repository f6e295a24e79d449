"""Frozen dataclasses to JSON and back, exactly.

A value made by `rounded` survives ``from_data(kind, to_data(value))`` unchanged: floats are rounded once,
when the document is made, and Python prints a float so that it reads back the same. Keys stand in the
order of the fields. Rounding also makes reruns identical where sums differ in the last bit.

pydantic does the work. It reads strictly: a number in quotes, or a whole number where yes or no belongs, is
refused. A field that came later has a default, and is not in plans from before.
"""

from __future__ import annotations

import dataclasses
import json
import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated, Any, Final, TypeAlias, TypeVar

import numpy as np

from strategy.arrays import FloatArray

if TYPE_CHECKING:
    from pydantic import TypeAdapter

T = TypeVar("T")


class _AsLists:
    """How an array of numbers is written and read: as lists in lists."""

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> Any:
        from pydantic_core import core_schema as form

        return form.no_info_after_validator_function(
            lambda lists: np.asarray(lists, dtype=np.float64),
            form.list_schema(),
            serialization=form.plain_serializer_function_ser_schema(lambda array: array.tolist()),
        )


Points: TypeAlias = Annotated[FloatArray, _AsLists()]  # an array as a field of a document

DIGITS: Final = 4
DEGREE_DIGITS: Final = 7  # of longitude and latitude: a centimetre


def to_data(value: Any) -> Any:
    """A dataclass as what `json` writes.

    Raises
    ------
    TypeError
        When it is no dataclass.
    """
    if not dataclasses.is_dataclass(value) or isinstance(value, type):
        raise TypeError(f"{type(value).__name__} has no form in plan.json")
    return _adapter(type(value)).dump_python(value, mode="json")


def from_data(kind: type[T], data: Any) -> T:
    """The dataclass that `to_data` wrote.

    Raises
    ------
    ValueError
        When the data does not have the form of `kind`; it names the first place where it has not.
    """
    from pydantic import ValidationError

    try:
        # Strict reading takes a list for a tuple and a text for an enum in JSON, not in Python objects.
        result: T = _adapter(kind).validate_json(json.dumps(data), strict=True)
    except ValidationError as fault:
        first = fault.errors(include_url=False, include_input=False)[0]
        raise ValueError(f"{'.'.join(str(part) for part in first['loc'])}: {first['msg']}") from fault
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
    if isinstance(value, np.ndarray):
        return np.round(value, digits) + 0.0
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        changes = {
            f.name: _rounded(getattr(value, f.name), DEGREE_DIGITS if f.name.endswith("lonlat") else digits)
            for f in dataclasses.fields(value)
        }
        return dataclasses.replace(value, **changes)
    if isinstance(value, tuple):
        parts = [_rounded(v, digits) for v in value]
        return type(value)(*parts) if hasattr(value, "_fields") else tuple(parts)
    if isinstance(value, Mapping):
        return {k: _rounded(v, digits) for k, v in value.items()}
    return value


def _adapter(kind: type[Any]) -> TypeAdapter[Any]:
    if kind not in _ADAPTERS:
        from pydantic import TypeAdapter

        _ADAPTERS[kind] = TypeAdapter(kind)
    return _ADAPTERS[kind]


_ADAPTERS: Final[dict[type[Any], TypeAdapter[Any]]] = {}  # building one takes longer than using it
