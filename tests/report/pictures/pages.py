"""Sheets of three invented holes and the pages drawn of them, shared by the tests of pictures."""

from __future__ import annotations

import dataclasses

import numpy as np
import shapely

from scripts.invented import a_player
from strategy.course.model import Area
from strategy.course.playline import along_side
from strategy.decide import cost_field, options
from strategy.outcome.setup import today
from strategy.plan.drawing.outlines import PlayFrame
from strategy.plan.drawing.sheet import hole_sheet
from strategy.plan.quoted import Finish
from strategy.report.pictures.layout import PRINT
from strategy.report.pictures.picture import picture
from strategy.report.words.lengths import Units
from strategy.report.words.picture_words import (
    PictureWords,
    RulerAnswer,
)
from strategy.strokes.baseline import Baseline
from strategy.units import YARD_M
from tests.report.pictures.laid import texts
from tests.worlds import a_week, case

CLUB, AIM = "Driver, the fade, 281", "start at the left edge of the far bunker"
SENTENCES = (
    "Far bunker: 281 to carry, room 12.",
    "Lull 3-wood.",
    "Miss left, not right.",
)
COUNTS = "Of 20: 12 fairway, 6 rough, 1 sand, 1 wet."


def sheet_of(name, *shots, areas=(), out=None):
    hole, _, pin = case(name)
    frame = PlayFrame((hole.line[0, 0], hole.line[0, 1]), 0.0)

    def at(box):
        return shapely.transform(shapely.box(*(v * YARD_M for v in box)), frame.to_course)

    hole = dataclasses.replace(
        hole,
        areas=(*hole.areas, *(Area(surface=s, shape=at(b), fid=str(b)) for s, b in areas)),
        out_of_bounds=None if out is None else at(out),
    )
    today_ = today(hole, a_player(*shots), a_week(), pin=pin)
    to_go = Baseline(today_)
    field = cost_field(today_, to_go)
    found = options(today_, today_.tee_spot, to_go, laid_out=field)
    side = float(along_side(today_.line, np.asarray(found[0].aim))[0, 0])
    finish = Finish(of="line", side_m=side, past_m=0.0, origin="traced")
    return hole_sheet(hole, field, today_.tee_spot, found, finish)


BAGS = {
    "landing": (("driver", "the fade"), ("3-wood",), ("2-iron",)),
    "water": (("4-iron",), ("5-iron",)),
    "wedge": (("wedge",),),
}
WORDS = PictureWords(
    label="7",
    name="The Elbow",
    title="par 4 · 392 yd",
    below="Round 1 · back tee, markers 22 up · hole 14 on, 5 from the left",
    wind="wind 9 into, from 11 o'clock, gusts 14",
    club=CLUB,
    aim=AIM,
    sentences=SENTENCES,
    counts=COUNTS,
    answers=(),
    from_tee=True,
    about="Case · Rowan Tarrick",
    credit="Invented",
)


def words_for(sheet, **changes):
    """What is written on the picture of a sheet: an answer for each of its aims."""
    shots = next(bag for bag in BAGS.values() if len(bag) == len(sheet.aims))
    answers = tuple(RulerAnswer(shot=shot, number=str(281 - 20 * k)) for k, shot in enumerate(shots))
    return dataclasses.replace(WORDS, answers=answers, **changes)


def draw(sheet, units=Units.YARDS, layout=PRINT, **changes):
    return picture(sheet, words_for(sheet, **changes), units, layout)


def texts_of(figure, gid):
    return [t.get_text() for t in (texts(figure, gid) if gid else texts(figure))]
