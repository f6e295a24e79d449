"""The picture of one answer: a topographic sheet with the answer in sentences above it.

From the top: hole and conditions; club, number and aim, then the rest; the map between its two rulers
(distance from the ball on the left with the answers beside it, to the front or paces on at the right);
the ground between ball and map, squeezed; the cost strip, aligned with both; the foot.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Final

from strategy.plan.drawing.costs import LEVELS
from strategy.plan.drawing.sheet import Sheet
from strategy.report.pictures.fonts import LEFT_OUT_WORDS, has_letters
from strategy.report.pictures.ground import INK, PAPER, SOFT_INK
from strategy.report.pictures.layout import PRINT, Layout
from strategy.report.pictures.map import LINE_NAMES, draw_map, hole_in_window
from strategy.report.pictures.page import Page
from strategy.report.pictures.png import write_png
from strategy.report.pictures.rulers import draw_arrows, draw_rulers, draw_strip
from strategy.report.words.lengths import Units
from strategy.report.words.picture_words import (
    GREEN_SCALE,
    PictureWords,
    credit_words,
    origins_note,
    use_words,
)

if TYPE_CHECKING:
    from matplotlib.figure import Figure


_LEADING: Final = 1.24


def write_picture(
    sheet: Sheet, words: PictureWords, path: Path, units: Units = Units.YARDS, layout: Layout = PRINT
) -> None:
    """Write the picture of one answer as PNG: a temporary file, then renamed.

    Parameters
    ----------
    sheet : Sheet
        What is drawn.
    words : PictureWords
        What is written: of the same decision, in the same units.
    path : Path
        Where to; its folder exists.
    units : Units
        Of the numbers on the map and its rulers.
    layout : Layout
        Size of the page.
    """
    write_png(picture(sheet, words, units, layout), path, layout.dpi)


def picture(sheet: Sheet, words: PictureWords, units: Units = Units.YARDS, layout: Layout = PRINT) -> Figure:
    """Draw one sheet; see `write_picture`."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    if layout.carried and sheet.green_shown:
        layout = layout.no_larger(sheet.window[3] - sheet.window[2], GREEN_SCALE)
    figure = Figure(figsize=layout.inches, dpi=layout.dpi, facecolor=PAPER)
    FigureCanvasAgg(figure)
    page = Page(figure, layout, sheet, from_tee=words.from_tee)
    _head(page, words)
    _answer(page, words)
    draw_map(page, units, words.answers)
    draw_rulers(page, words.answers, units)
    draw_strip(page, units)
    draw_arrows(page)
    _foot(page, words)
    return figure


def _head(page: Page, words: PictureWords) -> None:
    """Hole number, par, length, hole location, wind."""
    lay = page.layout
    big = page.shrunk(words.label, lay.number_pt, 0.4 * lay.wide, "bold", least=lay.answer_pt)
    page.text(lay.margin - 1.0, lay.high - 0.72 * lay.number_pt, words.label, big, weight="bold", gid="hole")
    x = lay.margin + page.size(words.label, big, "bold")[0] + 10.0
    room = lay.wide - lay.margin - x
    first = f"{page.named(words.name)}{words.title}"
    y = lay.high - 0.9 * lay.title_pt - 3.0
    page.text(x, y, first, page.shrunk(first, lay.title_pt, room), gid="title")
    y -= 0.65 * lay.title_pt + 0.6 * lay.answer_pt
    below = page.shrunk(words.below, lay.answer_pt, room)
    page.text(x, y, words.below, below, color=SOFT_INK, gid="title")
    wind = page.shrunk(words.wind, lay.answer_pt, room)
    page.text(x, y - 1.25 * lay.answer_pt, words.wind, wind, color=SOFT_INK, gid="wind")


def _answer(page: Page, words: PictureWords) -> None:
    """Club, number and aim as large as they fit; what else is said in half that size, never under 9 pt."""
    lay = page.layout
    high = lay.text_top - lay.text_bottom
    rest = " ".join(words.sentences)
    for size, half, lines in _sizes(lay):
        club = page.wrapped(words.club, size, weight="bold")
        wanted = [
            *((line, size, INK, "bold", "answer") for line in club),
            *((line, size, INK, "normal", "answer") for line in page.wrapped(words.aim, size)),
            *((line, half, INK, "normal", "answer-more") for line in page.wrapped(rest, half)),
            *((line, half, SOFT_INK, "normal", "counts") for line in page.wrapped(words.counts, half)),
        ]
        total = sum(_LEADING * pt for _, pt, *_ in wanted)
        if total <= high and len(club) <= lines:
            break
    y = lay.text_top - max(0.0, 0.3 * (high - total))
    for text, pt, colour, weight, gid in wanted:
        page.text(lay.margin, y - 0.5 * _LEADING * pt, text, pt, color=colour, weight=weight, gid=gid)
        y -= _LEADING * pt


def _sizes(layout: Layout) -> Iterator[tuple[float, float, int]]:
    """Sizes of the headline and the rest, and lines of club and number, the first choice first.

    Club and number stand in one line where they can. Only where all is too much for the page the headline is
    less than twice the rest.
    """
    for lines in (1, 3):
        yield from ((size, 0.5 * size, lines) for size in layout.headline_pt)
    size = layout.headline_pt[-1]
    while (size := size - 1.0) >= layout.answer_pt:
        yield size, layout.answer_pt, 9


def _foot(page: Page, words: PictureWords) -> None:
    """What the signs mean, where numbers come from, the Rules, and the credit."""
    sheet, lay = page.sheet, page.layout
    signs = ["+ aim", "○ hole", "× other aims", "outline: 2 of 3 balls", "dashes: flight", "dots: start line"]
    if not hole_in_window(page):
        signs.remove("○ hole")
    if len(sheet.aims) < 2:
        signs.remove("× other aims")
    lines = ", ".join(f"{level:.2f} {name}" for name, level in zip(LINE_NAMES, LEVELS, strict=True))
    notes = [
        f"Grey lines: strokes it costs to have this shot finish there ({lines}).",
        origins_note(page.origins),
        "" if sheet.out_known else "Out of bounds: not mapped.",
        *(f"Also: {s}." for s in page.unplaced),
    ]
    page.left_out |= not has_letters(words.about)
    if page.left_out:
        notes.append(LEFT_OUT_WORDS)
    use = use_words(page.scale, carried=lay.carried) if sheet.green_shown else ""
    rules = ("Prepared before the round (Rule 4.3).", use, credit_words(words.credit), words.about)
    page.small_print(
        [" · ".join(signs), *(" ".join(filter(None, block)) for block in (notes, rules))],
        lay.print_top,
        lay.print_pt,
    )
