"""What a shot leaves, what is then played, and where to miss: as sentences."""

from __future__ import annotations

from strategy.codes import Lie
from strategy.decide.misses import Miss
from strategy.plan.quoted import NextShot
from strategy.report.words.lengths import Units
from strategy.report.words.next_words import leaves_words, miss_words, next_sentence
from strategy.units import YARD_M
from tests.plan.hand import decision, option, quoted

DRIVE = option("driver, the fade", 287, quoted=quoted(), leaves=(113, 153))
IRON = option("7-iron", 156, quoted=quoted(of="hole"))


def test_what_a_shot_leaves_is_counted_to_the_front():
    assert leaves_words(DRIVE.option, Units.YARDS) == "Leaves 113 to 153 front."
    assert leaves_words(DRIVE.option, Units.METRES) == "Leaves 103 to 140 front."
    assert leaves_words(option(leaves=(120, 120)).option, Units.YARDS) == "Leaves 120 front."
    assert leaves_words(IRON.option, Units.YARDS) == ""


def test_a_whole_number_stands_in_one_stretch_only():
    edges = (164.6, 170.4, 171.2, 175.5, 201.5)
    then = tuple(
        NextShot(lie=Lie.FAIRWAY, low_m=a * YARD_M, high_m=b * YARD_M, label=label, share=0.1)
        for a, b, label in zip(edges, edges[1:], "abcd", strict=False)
    )
    words = next_sentence(decision(DRIVE, then=then), Units.YARDS)
    assert words == "Then from the fairway 165-170 front: a; 171: b; 172-176: c; 177-202: d."


def test_what_follows_a_tee_shot_by_what_it_leaves():
    then = [
        NextShot(lie=lie, low_m=low * YARD_M, high_m=high * YARD_M, label=label, share=0.2)
        for lie, low, high, label in (
            (Lie.FAIRWAY, 103, 116, "gap wedge"),
            (Lie.FAIRWAY, 116, 130, "56, half"),
            (Lie.ROUGH_GOOD, 108, 124, "9-iron"),
        )
    ]
    assert next_sentence(decision(DRIVE, then=tuple(then)), Units.YARDS) == (
        "Then from the fairway 103-116 front: gap wedge; 117-130: the 56, half. "
        "From good rough 108-124 front: 9-iron."
    )
    assert next_sentence(decision(DRIVE, then=tuple(then)), Units.METRES).startswith(
        "Then from the fairway 94-106 front: gap wedge; 107-119"
    )
    assert next_sentence(decision(DRIVE), Units.YARDS) == ""


def test_where_to_miss_is_said_where_it_matters():
    def of(*strokes, **more):
        where = ("short", "left", "right")
        return decision(
            IRON,
            missed=tuple(
                Miss(where=w, share=0.1, strokes=s, **more) for w, s in zip(where, strokes, strict=False)
            ),
        )

    def said(told):
        return miss_words(told, Units.YARDS)

    assert said(of(2.4, 2.5, 2.71)) == "Miss short, not right: 0.31 between them."
    assert said(of(2.4, 2.45)) == ""
    assert said(of(2.4)) == ""
    assert said(decision(IRON)) == ""
    assert (
        said(of(2.4, 2.5, 2.71, green_m=11 * YARD_M))
        == "Miss short (11 of green to the hole), not right: 0.31 between them."
    )
    assert said(of(2.4, 2.6, 3.01, ground="wet")) == "Miss short (wet); right (wet) is dead, 0.61 more."


def test_the_short_side_is_advised_only_where_every_other_one_is_dead():
    def said(*strokes):
        where = zip(("long", "left", "short"), strokes, strict=True)
        told = (Miss(where=w, share=0.1, strokes=s, short_side=w == "long") for w, s in where)
        return miss_words(decision(IRON, missed=tuple(told)), Units.YARDS)

    assert said(2.3, 2.5, 2.7) == "Miss left, not short: 0.20 between them."
    assert said(2.3, 2.65, 2.7) == ""
    assert said(2.3, 3.0, 3.2) == "Miss long; short is dead, 0.90 more."
