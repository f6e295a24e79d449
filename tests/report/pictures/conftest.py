"""Fixtures of the tests of pictures: sheets, and pages at every size."""

from __future__ import annotations

import pytest

from scripts.invented import a_shot
from strategy.codes import Surface
from strategy.report.pictures.layout import LAYOUTS
from tests.report.pictures.pages import draw, sheet_of


@pytest.fixture(scope="module")
def sheets():
    woods = (
        a_shot("driver", 285, 17, 13, run=14, bend=18, name="the fade"),
        a_shot("3-wood", 258, 15, 10.5, run=12, bend=12),
        a_shot("2-iron", 235, 10, 9, run=10),
    )
    trouble = (
        (Surface.BUNKER, (-22, 270, -12, 280)),
        (Surface.BUNKER, (12, 285, 24, 297)),
        (Surface.BUNKER, (14, 255, 24, 266)),
        (Surface.RED, (-60, 280, -30, 420)),
        (Surface.TREES, (28, 200, 42, 330)),
        (Surface.FIRST_CUT, (-18, 180, 18, 400)),
    )
    return {
        "landing": sheet_of("E", *woods, areas=trouble, out=(45, -20, 200, 600)),
        "water": sheet_of(
            "A", a_shot("4-iron", 205, 9, 8, dial=0.15), a_shot("5-iron", 190, 8, 7, dial=0.05)
        ),
        "wedge": sheet_of("C", a_shot("wedge", 95, 3, 5, dial=0.15)),
    }


@pytest.fixture(scope="module")
def every(sheets):
    figures = {
        (name, size): draw(sheet, layout=layout)
        for name, sheet in sheets.items()
        for size, layout in LAYOUTS.items()
    }
    for figure in figures.values():
        figure.canvas.draw()
    return figures


@pytest.fixture(scope="module")
def drawn(sheets, every):
    return {name: every[name, "print"] for name in sheets}


@pytest.fixture(params=["landing", "water", "wedge"])
def one(request, sheets, drawn):
    return sheets[request.param], drawn[request.param]


@pytest.fixture(params=[f"{name} {size}" for name in ("landing", "water", "wedge") for size in LAYOUTS])
def sized(request, sheets, every):
    name, size = request.param.split()
    return sheets[name], every[name, size]
