"""What the Rules allow to be carried, measured from the drawing; and the page for a phone."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from strategy.cli.draw import draw as draw_command
from strategy.report.pictures.layout import CARRY, LAYOUTS, PHONE
from strategy.report.pictures.picture import write_picture
from strategy.units import INCH_M, YARD_M
from tests.report.pictures.laid import axes, by_gid, texts
from tests.report.pictures.pages import draw, texts_of, words_for

# The R&A and USGA, Rule 4.3a, clarification on green-reading materials (2019): a page of 4.25 x 7 in at most,
# and a green at 3/8 in to 5 yd, 1:480, or smaller.
RULE_PAGE_IN, RULE_SCALE = (4.25, 7.0), 480.0


def green_scale(figure, sheet):
    """How much larger a green is than its image, measured in inches of the file on its longest side."""
    (patch, *_) = by_gid(axes(figure, "map"), "ground-green")
    path = patch.get_path()
    on_page = patch.get_transform().transform_path(path).get_extents()
    ground = path.get_extents()
    return max(ground.width, ground.height) / (max(on_page.width, on_page.height) / figure.dpi * INCH_M)


def test_what_is_carried_keeps_to_the_limits_of_page_and_green(sheets, every, tmp_path):
    from PIL import Image

    for name in ("water", "wedge"):
        figure = every[name, "carry"]
        assert green_scale(figure, sheets[name]) >= RULE_SCALE
        foot = " ".join(texts_of(figure, "foot"))
        assert f"Green 1:{green_scale(figure, sheets[name]):.0f} on 4.25 x 7 in" in foot
        assert "Local Rule G-11" in foot
        path = tmp_path / f"{name}.png"
        write_picture(sheets[name], words_for(sheets[name]), path, layout=CARRY)
        with Image.open(path) as image:
            inches = np.array(image.size) / image.info["dpi"]
        assert (inches <= np.array(RULE_PAGE_IN) + 0.005).all()


def test_a_green_that_would_be_too_large_to_carry_is_drawn_smaller(sheets):
    """A short window, as of a chip at a tiny green: the map keeps the scale of the Rules."""
    sheet = sheets["wedge"]
    low, high, short, far = sheet.window
    side, depth = sheet.aim
    share = 25.0 * YARD_M / (far - short)
    near = tuple(
        c + share * (e - c) for c, e in zip((side, side, depth, depth), (low, high, short, far), strict=True)
    )
    figure = draw(dataclasses.replace(sheet, window=near), layout=CARRY)
    assert green_scale(figure, sheet) >= RULE_SCALE
    assert green_scale(draw(dataclasses.replace(sheet, window=near)), sheet) < RULE_SCALE


def test_a_page_for_a_phone_is_as_wide_as_its_screen(every):
    for name in ("landing", "water", "wedge"):
        figure = every[name, "phone"]
        assert figure.get_size_inches()[0] * 72.0 == pytest.approx(390.0)
        assert min(t.get_fontsize() for t in texts(figure, "answer-more", "label", "decision")) >= 12.0
    assert PHONE.dpi == 144  # two dots a pixel


def test_draw_offers_every_size():
    (size,) = [option for option in draw_command.params if option.name == "size"]
    assert list(size.type.choices) == list(LAYOUTS)
