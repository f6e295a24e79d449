"""Holes that several files play out: solved once."""

from __future__ import annotations

import pytest

from tests.decide.test_rounds import Tee
from tests.decide.test_whole import irons, par_4, woods


@pytest.fixture(scope="session")
def wet():
    return Tee(par_4(*woods(), *irons(180), water=True))


@pytest.fixture(scope="session")
def dry():
    return Tee(par_4(*woods(), *irons(180)))
