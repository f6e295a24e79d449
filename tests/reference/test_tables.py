"""Every published table reads, is read-only, and has its source beside it."""

import numpy as np
import pytest

from strategy import reference

FIGURES = {
    "tour_strokes": ("fairway", 35),
    "tour_putts": ("expected_putts", 100),
    "tour_putts_draft": ("expected_putts", 16),
    "putts_1988": ("attempts", 19),
    "putts_2016_2018": ("attempts", 31),
    "launch_tour": ("launch_deg", 26),
}


@pytest.mark.parametrize("name", reference.names())
def test_every_table_has_a_source_and_no_ragged_row(name):
    assert len(reference.source(name).split()) > 10
    for row in reference.rows(name):
        assert None not in row
        assert None not in row.values()


@pytest.mark.parametrize(("name", "column", "count"), [(k, *v) for k, v in FIGURES.items()])
def test_figures_are_numbers_and_cannot_be_changed(name, column, count):
    values = reference.numbers(name, column)
    assert len(values) == count
    assert np.isfinite(values).all()
    with pytest.raises(ValueError, match="read-only"):
        values[0] = 0.0


def test_an_empty_cell_is_nan():
    assert np.isnan(reference.numbers("tour_strokes", "tee")[:9]).all()


def test_what_is_not_there_is_said():
    with pytest.raises(KeyError, match="no reference table 'tour_stroke'; there are amateur_anchors"):
        reference.numbers("tour_stroke", "tee")
    with pytest.raises(KeyError, match="no reference table"):
        reference.source("nothing")
    with pytest.raises(KeyError, match="has no column 'fringe'; it has distance_yd"):
        reference.numbers("tour_strokes", "fringe")
    with pytest.raises(ValueError, match="could not convert"):
        reference.numbers("checks", "check")
