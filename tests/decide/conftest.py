"""Holes that several files play out: solved once."""

from __future__ import annotations

import pytest

from tests.decide.solver.test_rounds import Tee
from tests.decide.solver.test_whole_hole import irons, par_4, woods


@pytest.fixture(scope="session")
def wet():
    return Tee(par_4(*woods(), *irons(180), water=True))


@pytest.fixture(scope="session")
def dry():
    return Tee(par_4(*woods(), *irons(180)))
