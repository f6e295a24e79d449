"""Measurements on squared paper: names that stay, landmarks with their own numbers."""

import pytest

from strategy.course import edges
from strategy.course.model import FindingKind
from strategy.course.named_features import name_features
from strategy.course.origin import Origin
from strategy.units import YARD_M


def test_names_stay_when_a_measurement_closes_a_gap(paper):
    """Two bunkers 12.5 yd apart are two things; moved 3 yd together they would be one group of sand."""
    y = YARD_M
    paper.sketch.box(18 * y, 252.5 * y, 28 * y, 262 * y, "way/10", golf="bunker")
    before = paper.hole()
    after = paper.hole("7,tee,carry near right bunker,244.6,paced\n")
    names = [thing.name for thing in name_features(before)]
    assert "the near right bunker" in names
    assert [thing.name for thing in name_features(after)] == names
    near = next(t for t in name_features(after) if t.name == "the near right bunker")
    assert edges.carry(near, after.line).value_m / y == pytest.approx(244.6, abs=0.5)
    moved = next(a for a in after.areas if a.fid == "way/6")
    assert (moved.origin, moved.original_shape is None) == (Origin.PACED, False)
    apart = near.shape.distance(next(a.shape for a in after.areas if a.fid == "way/10"))
    assert apart < 12 * y


@pytest.mark.parametrize(("paced", "number", "origin"), [(145, 145, "paced"), (152, 143, "published")])
def test_a_front_number_paced_at_a_landmark_is_the_landmarks_own(paper, paced, number, origin):
    """It moves the landmark, not the green; 9 yd from what is printed there it is a question."""
    hole = paper.hole(f"7,landmark,head,143,published\n7,head,front,{paced},paced\n")
    (mark,) = hole.landmarks
    assert (mark.front_m / YARD_M, mark.origin) == (pytest.approx(number), origin)
    assert paper.at(hole, mark.xy) == pytest.approx((0, 385 - number), abs=0.02)
    assert edges.front(hole.green, hole.line).value_m / YARD_M == pytest.approx(385, abs=0.02)
    asked = [f.text for f in hole.findings if f.kind == FindingKind.QUESTION and "front 152" in f.text]
    assert len(asked) == (number != paced)


def test_a_landmark_keeps_its_number_when_the_green_is_moved(paper):
    hole = paper.hole("7,landmark,head,143,published\n7,tee,front,389,laser\n")
    assert paper.at(hole, hole.landmarks[0].xy) == pytest.approx((0, 389 - 143), abs=0.5)
