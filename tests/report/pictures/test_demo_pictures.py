"""Every picture of the demo plan, at every size, judged by the boxes of its texts."""

from __future__ import annotations

import pytest

from strategy.plan.jobs.store import read_sheets
from strategy.report.pictures.chosen import Pictures, chosen
from strategy.report.pictures.layout import LAYOUTS
from strategy.report.pictures.picture import picture
from strategy.report.words.lengths import Units
from strategy.report.words.picture_words import GREEN_SCALE, picture_words
from tests.report.pictures.laid import by_gid, covered, crossed, off_the_page, on_signs, texts


@pytest.mark.slow
@pytest.mark.parametrize("size", LAYOUTS)
def test_no_picture_of_the_demo_plan_has_labels_on_one_another(demo_plan, demo_folder, size):
    plan, *_ = demo_plan
    every = chosen(plan, Pictures.ALL)
    assert len(every) > 100
    faults, unnamed, aims = [], 0, 0
    # Print takes all of them; of the other sizes every third, which meets each round and kind of shot.
    for one in every[:: 1 if size == "print" else 3]:
        sheet = read_sheets(demo_folder, one.location)[one.position]
        words = picture_words(plan, one.hole, one.markers, one.location, one.decision, sheet, Units.YARDS)
        figure = picture(sheet, words, Units.YARDS, LAYOUTS[size])
        name = one.file(size)
        faults += [(name, "covered", pair) for pair in covered(figure)]
        faults += [(name, "off the page", text) for text in off_the_page(figure)]
        faults += [(name, "crossed", what) for what in crossed(figure)]
        faults += [(name, "on a sign", text) for text in on_signs(sheet, figure)]
        foot = " ".join(t.get_text() for t in texts(figure, "foot"))
        if size == "carry" and sheet.green_shown:
            scale = float(foot.split("Green 1:")[1].split()[0])
            assert scale >= GREEN_SCALE, name
        labels = {t.get_text() for t in texts(figure, "label")}
        low, high, short, far = sheet.window
        for answer, (side, depth) in zip(words.answers[1:], sheet.aims[1:], strict=True):
            if not (low < side < high and short < depth < far):
                continue  # the ruler points to where it is
            aims += 1
            unnamed += not any(label.startswith(answer.shot[0]) for label in labels)
        assert len(by_gid(figure, "aim")) == 1
    assert faults == []
    assert aims > 50
    assert unnamed < 0.15 * aims
