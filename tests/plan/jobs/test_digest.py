"""A digest tells apart whatever differs, and nothing that is the same."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
import shapely

from strategy.codes import Lie, Surface
from strategy.plan.jobs.digest import digest


@dataclasses.dataclass(frozen=True)
class Pair:
    first: object = 0
    second: object = 0


@dataclasses.dataclass(frozen=True)
class Other:
    first: object = 0
    second: object = 0


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ({"3": 0.5}, {"4": 0.5}),  # shelter on another hole
        ({"3": 0.5}, {"3": 0.6}),
        ({"3": 0.5, "4": 1.0}, {"3": 1.0, "4": 0.5}),
        ({}, {"3": 1.0}),
        (("ab", "c"), ("a", "bc")),
        (("a", ("b",)), ("a", "b")),
        ((1, 2), (2, 1)),
        ("1", 1),
        (1, 1.0),
        (True, 1),
        (None, 0),
        (0.1, 0.1 + 1e-16 * 2),
        (Pair(1, 2), Pair(2, 1)),
        (Pair(1, 2), Other(1, 2)),
        (Pair(first=1), Pair(second=1)),
        (Lie.FAIRWAY, Surface.FAIRWAY),
        (Lie.FAIRWAY, Lie.FIRST_CUT),
        (np.zeros(4), np.zeros((2, 2))),
        (np.zeros(2), np.zeros(2, np.float32)),
        (np.array([1.0, 2.0]), np.array([2.0, 1.0])),
        (shapely.box(0, 0, 1, 1), shapely.box(0, 0, 1, 2)),
        (frozenset({"a"}), frozenset({"b"})),
    ],
)
def test_what_differs_has_another_digest(one, other):
    assert digest(one) != digest(other)
    assert digest("x", one) != digest("x", other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ({"3": 0.5, "4": 1.0}, {"4": 1.0, "3": 0.5}),
        (frozenset({"a", "b", "c"}), frozenset({"c", "b", "a"})),
        (np.arange(6.0).reshape(2, 3).T, np.ascontiguousarray(np.arange(6.0).reshape(2, 3).T)),
        (Pair((1, "a"), None), Pair((1, "a"), None)),
    ],
)
def test_what_is_the_same_has_the_same_digest(one, other):
    assert digest(one) == digest(other)


def test_values_do_not_run_into_one_another():
    assert digest("a", "b") != digest("ab")
    assert digest((1,), 2) != digest(1, (2,))


def test_what_cannot_be_told_apart_is_refused():
    with pytest.raises(TypeError, match="has no digest"):
        digest(object())
