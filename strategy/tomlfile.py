"""Reads a TOML file into a model, or names all of its faults at once.

A room states what its file may hold as pydantic models (`Table`). `read_toml` reads and validates the file.
It turns what pydantic reports into the errors of `strategy.errors`: the key as the user wrote it, list
entries counted from 1 and named ("shots[3] (7-iron, stock).carry"), the value met, and what to do. A room's
own check raises `fault(wrong, mend)` inside a validator; it is then reported with the others.
"""

from __future__ import annotations

import difflib
import hashlib
import re
import tomllib
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any, Final, NamedTuple, TypeVar, get_args

from pydantic import BaseModel, ConfigDict, ValidationError
from pydantic_core import PydanticCustomError

from strategy.errors import InputError, InputErrors

M = TypeVar("M", bound=BaseModel)
Place = tuple[str | int, ...]
Guess = tuple[str, Callable[[float], float]]

_BARE_KEY: Final = re.compile(r"[A-Za-z0-9_-]+")
_WORDS: Final = {
    "string": "text in quotes",
    "float": "a number",
    "int": "a whole number",
    "bool": "true or false",
    "list": "a list in [square brackets]",
    "dict": "a table",
    "model": "a table",
    "tuple": "a list in [square brackets]",
    "date": "a date, as 2031-05-22",
}
# Keys by which a file of each kind is known, in no other kind.
_KINDS: Final = {
    "player": ("hand", "shots", "wedges"),
    "week": ("rounds", "stimp"),
    "course": (
        "out_of_bounds",
        "out_of_bounds_complete",
        "penalty_areas",
        "tree_heights",
        "drop_zones",
        "sight_marks",
        "landmarks",
    ),
}
_LIMITS: Final = {
    "greater_than": ("too low", "above", "gt"),
    "greater_than_equal": ("too low", "at least", "ge"),
    "less_than": ("too high", "below", "lt"),
    "less_than_equal": ("too high", "at most", "le"),
}


class Table(BaseModel):
    """Base of every table of a file: no unknown keys, no silent conversion."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


class PlacedFault(NamedTuple):
    """A fault and its place in the document.

    Attributes
    ----------
    place : tuple of str and int
        Keys and list positions (from 0) of the value.
    wrong, mend : str
        What is wrong, with the value met; what to do.
    """

    place: Place
    wrong: str
    mend: str


def fault(wrong: str, mend: str) -> PydanticCustomError:
    """A fault to raise inside a pydantic validator."""
    return PydanticCustomError("fault", "{wrong}", {"wrong": wrong, "mend": mend})


def within(
    value: float, least: float, most: float, unit: str, mend: str, guesses: Sequence[Guess] = ()
) -> float:
    """Return a value that lies in [least, most]; for any other raise a fault that names the likely mistake.

    Parameters
    ----------
    guesses : sequence of (str, function)
        Mistakes to try in order: a question and the conversion that would mend it. The first whose result
        lies in the range is asked.

    Raises
    ------
    PydanticCustomError
        Outside the range, or not a number.

    Examples
    --------
    >>> within(1720, 20, 400, "yards", "Write the carry in yards", [("a digit slipped", lambda v: v / 10)])
    Traceback (most recent call last):
    ...
    pydantic_core._pydantic_core.PydanticCustomError: 1720 is not between 20 and 400 yards; a digit slipped \
(172)?
    """
    if least <= value <= most:
        return value
    tail = f" {unit}" if unit else ""
    wrong = f"{value:g} is not between {least:g} and {most:g}{tail}"
    for question, convert in guesses:
        meant = convert(value)
        if least <= meant <= most:
            raise fault(f"{wrong}; {question} ({meant:.4g})?", mend)
    raise fault(wrong, mend)


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word closest to a misspelt one, None when none is close."""
    by_fold = {k.casefold(): k for k in known}
    close = difflib.get_close_matches(word.casefold(), list(by_fold), n=1, cutoff=0.6)
    return by_fold[close[0]] if close else None


def load(path: Path, error: type[InputError]) -> tuple[dict[str, Any], str]:
    """The document of a TOML file, and the file's sha256.

    Raises
    ------
    InputError
        Of the class `error`, if there is no such file, or if it is not text or not TOML.
    """
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        there = sorted(p.name for p in path.parent.glob("*.toml")) if path.parent.is_dir() else []
        close = nearest(path.name, there)
        mend = f'Did you mean "{close}"?' if close else "Check the name and the folder"
        raise error(path, "", "no such file", mend) from None
    except IsADirectoryError:
        raise error(path, "", "is a folder, not a file", "Name the TOML file in it") from None
    except OSError as reason:
        raise error(path, "", f"cannot be read: {reason.strerror}", "Check its permissions") from None
    try:
        document = tomllib.loads(data.decode("utf-8-sig"))
    except UnicodeDecodeError as bad:
        raise error(path, "", f"is not UTF-8 text (byte {bad.start})", "Save it as UTF-8") from None
    except tomllib.TOMLDecodeError as bad:
        mend = "Correct that line; text stands in quotes, every key once"
        raise error(path, "", f"is not TOML: {bad}", mend) from None
    return document, hashlib.sha256(data).hexdigest()


def read_toml(
    path: Path,
    model: type[M],
    error: type[InputError],
    *,
    context: Callable[[Mapping[str, Any]], Mapping[str, Any]] = dict,
    name: Callable[[Mapping[str, Any]], str] = lambda _: "",
    across: Callable[[Mapping[str, Any]], Iterable[PlacedFault]] = lambda _: (),
    sample: Callable[[], object] | None = None,
) -> tuple[M, str]:
    """Read a TOML file into a model.

    Parameters
    ----------
    path : Path
        As the user named it.
    model : type
        What the file may hold.
    error : type
        Class of each fault.
    context : function
        Makes the validation context from the raw document, for a range that depends on `units`.
    name : function
        Gives what a message calls a raw list entry; "" for no name.
    across : function
        Gives faults that concern several entries, from the raw document, whose values may be of any type.
    sample : function, optional
        Gives the path of a commented sample of such a file, which is named where a key is unknown.

    Returns
    -------
    parsed, sha256 : model, str

    Raises
    ------
    InputError
        Of the class `error`, if there is no such file or it is not TOML.
    InputErrors
        All other faults, in the order of the file's tables.
    """
    document, digest = load(path, error)
    if another := _other_kind(document, model):
        raise error(path, "", *another)
    faults: list[PlacedFault] = []
    parsed: M | None = None
    try:
        parsed = model.model_validate(document, context=dict(context(document)))
    except ValidationError as invalid:
        faults += [_placed(dict(item), model, document, sample) for item in invalid.errors(include_url=False)]
    faults += across(document)
    if parsed is None or faults:
        raise InputErrors(in_order(path, faults, document, error, name))
    return parsed, digest


def in_order(
    path: str | Path,
    faults: Iterable[PlacedFault],
    document: Mapping[str, Any],
    error: type[InputError],
    name: Callable[[Mapping[str, Any]], str] = lambda _: "",
) -> list[InputError]:
    """Faults as errors, in the order of the file's tables; see `read_toml`."""
    order = {key: position for position, key in enumerate(document)}
    ordered = sorted(faults, key=lambda f: order.get(str(f.place[0]), -1) if f.place else -1)
    return [error(path, key_path(f.place, document, name), f.wrong, f.mend) for f in ordered]


def kind_of(document: Mapping[str, Any]) -> str:
    """Kind of a file by its keys: "player", "week" or "course"; "" where they do not decide.

    >>> kind_of({"name": "x", "hand": "left"}), kind_of({"name": "x"})
    ('player', '')
    """
    kinds = [kind for kind, keys in _KINDS.items() if any(key in document for key in keys)]
    return kinds[0] if len(kinds) == 1 else ""


def _other_kind(document: Mapping[str, Any], model: type[BaseModel]) -> tuple[str, str] | None:
    """What is wrong and what to do, if the file is plainly of another kind; else None."""
    kind, wanted = kind_of(document), kind_of(model.model_fields)
    if not kind or not wanted or kind == wanted:
        return None
    met = ", ".join(key for key in _KINDS[kind] if key in document)
    return (
        f"is a {kind} file (it has {met}), where a {wanted} file was expected",
        f"Give the {wanted} file there; a plan takes COURSE PLAYER WEEK in this order",
    )


def key_path(place: Place, document: object, name: Callable[[Mapping[str, Any]], str]) -> str:
    """A place as the user would say it: entries counted from 1 and named.

    >>> key_path(("shots", 2, "carry"), {"shots": [{}, {}, {"club": "7-iron"}]}, lambda e: e.get("club", ""))
    'shots[3] (7-iron).carry'
    """
    words, at = "", document
    for part in place:
        if isinstance(part, int):
            at = at[part] if isinstance(at, list) and part < len(at) else None
            called = name(at) if isinstance(at, Mapping) else ""
            words += f"[{part + 1}]" + (f" ({called})" if called else "")
        else:
            at = at.get(part) if isinstance(at, Mapping) else None
            key = part if _BARE_KEY.fullmatch(part) else f'"{part}"'
            words += f".{key}" if words else key
    return words


def _placed(
    item: dict[str, Any],
    model: type[BaseModel],
    document: Mapping[str, Any],
    sample: Callable[[], object] | None,
) -> PlacedFault:
    place, kind, met = _in_file(item["loc"], document), str(item["type"]), item["input"]
    last = str(place[-1]) if place else ""
    if kind == "fault":
        return PlacedFault(place, item["ctx"]["wrong"], item["ctx"]["mend"])
    if kind == "extra_forbidden":
        known = _keys(model, place[:-1])
        close = nearest(last, known)
        mend = f'Did you mean "{close}"?' if close else f"Remove it; known here: {', '.join(known)}"
        if sample is not None and not close:
            mend += f". {sample()} shows every key"
        return PlacedFault(place, "is no key of this table", mend)
    if kind == "missing":
        return PlacedFault(place, "is missing", f"Add it: {last} = ...")
    if kind == "literal_error":
        expected = str(item["ctx"]["expected"]).replace("'", '"')
        close = nearest(str(met), re.findall(r'"([^"]*)"', expected))
        mend = f'Did you mean "{close}"?' if close else f"Write {expected}"
        return PlacedFault(place, f"is {shown(met)}, not {expected}", mend)
    if kind in ("too_short", "string_too_short"):
        return PlacedFault(place, "is empty", "Write at least one")
    if limit := _LIMITS.get(kind):
        wrong, word, key = limit
        return PlacedFault(place, f"is {shown(met)}, {wrong}", f"Write a number {word} {item['ctx'][key]:g}")
    wanted = _WORDS.get(kind.split("_", maxsplit=1)[0], "")
    if not wanted:
        return PlacedFault(place, f"{shown(met)}: {str(item['msg']).lower()}", "Correct it")
    return PlacedFault(place, f"is {shown(met)}, not {wanted}", _type_mend(met, wanted))


def _type_mend(met: object, wanted: str) -> str:
    if wanted in (_WORDS["float"], _WORDS["int"]) and isinstance(met, str):
        number = re.fullmatch(r"\s*(-?\d+(?:\.\d+)?)\s*(.*)", met)
        if number and not number[2]:
            return f"Remove the quotes: {number[1]}"
        if number:
            return f"Write the bare number {number[1]}, without its unit"
    if wanted == _WORDS["string"] and isinstance(met, (int, float)) and not isinstance(met, bool):
        return f'Put it in quotes: "{met}"'
    return f"Write {wanted}"


def shown(met: object) -> str:
    """A value as a file writes it; a whole table is "a table"."""
    if isinstance(met, str):
        return f'"{met}"'
    if isinstance(met, bool):
        return str(met).lower()
    if isinstance(met, Mapping):
        return "a table"
    return str(met)


def _in_file(loc: Sequence[str | int], document: object) -> Place:
    """Pydantic's location without what it adds: tags of unions, and "[key]"."""
    place: list[str | int] = []
    at = document
    for part in loc:
        if isinstance(part, int):
            if not isinstance(at, list):
                continue
            at = at[part]
        elif isinstance(at, Mapping) and part in at:
            at = at[part]
        elif part != loc[-1] or part == "[key]" or not isinstance(at, Mapping):
            continue
        place.append(part)
    return tuple(place)


def _keys(model: type[BaseModel], place: Place) -> list[str]:
    """Keys that the table at a place may hold."""
    at: type[BaseModel] = model
    for part in place:
        if isinstance(part, str) and part in at.model_fields:
            inner = _table_in(at.model_fields[part].annotation)
            at = inner if inner is not None else at
    return [field.alias or key for key, field in at.model_fields.items()]


def _table_in(annotation: object) -> type[BaseModel] | None:
    """The table type inside an annotation such as ``list[Shot]`` or ``dict[str, Hole]``."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for inner in get_args(annotation):
        table = _table_in(inner)
        if table is not None:
            return table
    return None
