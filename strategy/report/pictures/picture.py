"""The picture of one answer: a topographic sheet with the answer in sentences above it.

Page, 5.5 x 9 in, from the top: hole and conditions; the sentences; the map between its two rulers
(distance from the ball on the left with the answers beside it, to the front or paces on at the right);
the ground between ball and map, squeezed; the cost strip, aligned with both; the foot.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from strategy.plan.drawing.costs import LEVELS
from strategy.plan.drawing.sheet import Sheet
from strategy.report.pictures.fonts import LEFT_OUT_WORDS, has_letters
from strategy.report.pictures.ground import INK, PAPER, SOFT_INK
from strategy.report.pictures.layout import PRINT, Layout
from strategy.report.pictures.map import draw_map, hole_in_window
from strategy.report.pictures.page import Page
from strategy.report.pictures.png import write_png
from strategy.report.pictures.rulers import draw_arrows, draw_rulers, draw_strip
from strategy.report.words.lengths import Units
from strategy.report.words.picture_words import PictureWords, credit_words, use_words

if TYPE_CHECKING:
    from matplotlib.figure import Figure


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

    figure = Figure(figsize=layout.inches, dpi=layout.dpi, facecolor=PAPER)
    FigureCanvasAgg(figure)
    page = Page(figure, layout, sheet, from_tee=words.from_tee)
    _head(page, words)
    _answer(page, words)
    draw_map(page, units)
    draw_rulers(page, words.answers, units)
    draw_strip(page, units)
    draw_arrows(page)
    _foot(page, words)
    return figure


def _head(page: Page, words: PictureWords) -> None:
    """Hole number, par, length, hole location, wind."""
    lay = page.layout
    big = page.shrunk(words.label, 36.0, 0.4 * lay.wide, "bold", least=9.0)
    number = page.text(lay.margin - 1.0, lay.high - 26.0, words.label, big, weight="bold", gid="hole")
    x = lay.margin + page.size(words.label, big, "bold")[0] + 12.0
    number.set_clip_on(False)
    first = f"{page.named(words.name)}{words.title}"
    size = page.shrunk(first, 14.0, lay.wide - lay.margin - x)
    page.text(x, lay.high - 16.0, first, size, gid="title")
    below = page.shrunk(words.below, 9.0, lay.wide - lay.margin - x)
    page.text(x, lay.high - 30.0, words.below, below, color=SOFT_INK, gid="title")
    page.text(x, lay.high - 41.5, words.wind, 9.0, color=SOFT_INK, gid="wind")


def _answer(page: Page, words: PictureWords) -> None:
    """The sentences, as large as they fit, never under 9 pt."""
    lay = page.layout
    high = lay.text_top - lay.text_bottom - 3.0
    for size in (13.0, 12.0, 11.5, 11.0, 10.5, 10.0, 9.5, lay.answer_pt):
        lines = [line for s in words.sentences[:3] for line in page.wrapped(s, size)]
        below = page.wrapped(words.counts, lay.answer_pt) if words.counts else []
        total = 1.26 * (len(lines) * size + len(below) * lay.answer_pt) + (2.0 if below else 0.0)
        if total <= high or size == lay.answer_pt:
            break
    y = lay.text_top - 4.0 - max(0.0, 0.4 * (high - total))
    for text, pt, colour, gid in [(s, size, INK, "answer") for s in lines] + [
        (s, lay.answer_pt, SOFT_INK, "counts") for s in below
    ]:
        y -= 1.26 * pt
        page.text(lay.margin, y + 0.35 * pt, text, pt, color=colour, gid=gid)


def _foot(page: Page, words: PictureWords) -> None:
    """What the signs mean, the Rules, and the credit."""
    lay = page.layout
    sheet = page.sheet
    signs = [
        "+ aim",
        "○ hole",
        "outline: 2 of 3 balls",
        "dashes: flight",
        "dots: start line",
        "× other aims",
    ]
    if not hole_in_window(page):
        signs.remove("○ hole")
    lines = f"Lines {LEVELS[0]:.2f} to {LEVELS[-1]:.2f}"
    notes = [
        f"{lines}: strokes it costs to have this shot finish there, were it to carry so.",
        "" if sheet.out_known else "Out of bounds: not mapped.",
        *(f"Also: {s}." for s in page.unplaced),
    ]
    page.left_out |= not has_letters(words.about)
    if page.left_out:
        notes.append(LEFT_OUT_WORDS)
    use = use_words(page.scale) if sheet.green_shown else ""
    credit = ("Prepared before the round (Rule 4.3).", credit_words(words.credit))
    page.small_print(
        [
            " · ".join(signs),
            *(" ".join(filter(None, block)) for block in (notes, credit, (use, words.about))),
        ],
        lay.print_top,
        7.0,
    )
