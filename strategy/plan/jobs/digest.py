"""A digest of everything that goes into a number, so that a rerun does only what is missing or changed.

Content counts, not file names or times: dataclasses field by field, arrays by their bytes, geometry by its
well-known binary. The digest of the code is `strategy.compiled.code_digest`.
"""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Mapping, Set
from enum import Enum
from typing import Any

import numpy as np
import shapely


def digest(*values: Any) -> str:
    """Digest of some values: 32 hexadecimal digits.

    >>> digest(1, "a") == digest(1, "a"), digest(1.0) == digest(1)
    (True, False)
    """
    total = hashlib.sha256()
    for value in values:
        _feed(total, value)
    return total.hexdigest()[:32]


def _feed(total: Any, value: Any) -> None:
    """Kind, then content; lengths stand before parts, so that parts cannot run into one another."""
    total.update(type(value).__name__.encode() + b":")
    if isinstance(value, Enum):
        _feed(total, value.value)
    elif value is None or isinstance(value, bool | int | float | str):
        text = repr(value).encode()
        total.update(str(len(text)).encode() + b":" + text)
    elif isinstance(value, bytes):
        total.update(str(len(value)).encode() + b":" + value)
    elif isinstance(value, np.ndarray):
        total.update(f"{value.dtype.str}{value.shape}:".encode())
        total.update(np.ascontiguousarray(value).tobytes())
    elif isinstance(value, shapely.Geometry):
        _feed(total, shapely.to_wkb(value))
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        for field in dataclasses.fields(value):
            total.update(field.name.encode() + b"=")
            _feed(total, getattr(value, field.name))
    elif isinstance(value, Mapping):
        total.update(f"{len(value)}:".encode())
        for key in sorted(value, key=str):
            _feed(total, key)
            _feed(total, value[key])
    elif isinstance(value, Set):
        total.update(f"{len(value)}:".encode())
        for item in sorted(value, key=str):
            _feed(total, item)
    elif isinstance(value, tuple | list):
        total.update(f"{len(value)}:".encode())
        for item in value:
            _feed(total, item)
    else:
        raise TypeError(f"{type(value).__name__} has no digest")
