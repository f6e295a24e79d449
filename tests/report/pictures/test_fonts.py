"""Names in any script: drawn where a font has their letters, else left out; never a box or a warning."""

from __future__ import annotations

import pytest
from matplotlib.font_manager import FontProperties, findfont, get_font

from strategy.report.pictures.fonts import BASE, LEFT_OUT, families, has_letters, lettered

MARK = "\N{LEFT-TO-RIGHT MARK}"
NAMES = {
    "Arabic": "الحفرة الأولى",
    "Thai": "หลุมหนึ่ง",
    "Japanese": "一番ホール",
    "Hindi": "पहला छेद",
    "Greek": "Πρώτη",
    "Polish": "Źródło",
    "signs": "⛳ 7 $1 $2",
}


@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES)
@pytest.mark.parametrize("weight", ["normal", "bold"])
def test_what_is_drawn_has_letters_in_one_of_its_fonts(name, weight):
    shown = lettered(name, weight)
    fonts = [
        get_font(findfont(FontProperties(family=family, weight=weight), fallback_to_default=False))
        for family in families(shown, weight)
    ]
    assert fonts[0].family_name == BASE
    assert not any("Last Resort" in font.family_name for font in fonts)
    codes = set().union(*(font.get_charmap() for font in fonts))
    assert all(ord(letter) in codes for letter in shown)
    assert has_letters(name, weight) == (shown.replace(MARK, "") == name)


def test_names_in_the_letters_of_the_base_font_stay_as_they_are():
    for name in ("Greek", "Polish"):
        assert lettered(NAMES[name]) == NAMES[name]
        assert families(NAMES[name]) == [BASE]


def test_what_no_font_has_is_left_out_once(monkeypatch):
    """As on a machine that has no other font: two words that cannot be drawn are one gap."""
    from strategy.report.pictures import fonts as picture_fonts

    monkeypatch.setattr(picture_fonts, "_others", lambda _: ())
    for cached in (picture_fonts._family, picture_fonts._drawn_as):
        cached.cache_clear()
    try:
        assert lettered("start at the 一番 ホール, 7 past") == f"start at the {LEFT_OUT}, 7 past"
        assert not has_letters("หลุม")
    finally:
        for cached in (picture_fonts._family, picture_fonts._drawn_as):
            cached.cache_clear()


def test_letters_with_a_plain_form_are_drawn_by_it():
    assert lettered("Ｈｏｌｅ７") == "Hole7"
    assert lettered("a\N{ZERO WIDTH JOINER}b\N{VARIATION SELECTOR-16}") == "ab"


def test_scripts_that_need_their_letters_joined_are_left_out_where_that_cannot_be_done(monkeypatch):
    from strategy.report.pictures import fonts as picture_fonts

    monkeypatch.setattr(picture_fonts, "_can_shape", lambda: False)
    for cached in (picture_fonts._family, picture_fonts._drawn_as):
        cached.cache_clear()
    try:
        assert lettered(NAMES["Arabic"]) == LEFT_OUT
        assert lettered(NAMES["Greek"]) == NAMES["Greek"]
    finally:
        for cached in (picture_fonts._family, picture_fonts._drawn_as):
            cached.cache_clear()


def test_numbers_stay_behind_a_name_that_is_written_from_right_to_left():
    """Without a mark the order of both, as Unicode has it, would put "281" before the name."""
    name = NAMES["Arabic"]
    if not has_letters(name):
        pytest.skip("this matplotlib does not join Arabic letters: the name is left out")
    assert lettered(f"start at {name}, 281 on") == f"{MARK}start at {name}{MARK}, 281 on"
    assert lettered(f"{name} · par 4\npar 3") == f"{MARK}{name}{MARK} · par 4\npar 3"
