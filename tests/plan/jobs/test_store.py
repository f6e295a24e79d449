"""What is kept of a plan on disk: under its own hole, read back as it was, forgotten when nobody asks."""

from __future__ import annotations

import gzip
import json

import numpy as np
import pytest

from strategy.errors import RequestError
from strategy.plan.document import VERSION
from strategy.plan.drawing.sheet import SHEETS_VERSION, Sheets
from strategy.plan.jobs.store import Store, read_sheets, read_values
from tests.plan.hand import location

VALUE = np.array([[3.0, 4.5], [2.0, 1.0]])
SHEETS = Sheets(version=SHEETS_VERSION, sheets=(None,))


def test_a_part_is_read_back_by_another_run(tmp_path):
    Store(tmp_path).put("7", "key", location(), SHEETS, VALUE)
    again = Store(tmp_path)
    assert again.get("7", "key") == location()
    assert again.get("7", "another key") is None
    assert again.get("8", "key") is None
    assert (read_values(tmp_path, location()) == VALUE).all()


def test_two_holes_of_one_file_name_are_not_taken_for_one_another(tmp_path):
    Store(tmp_path).put("East/1", "key", location(), SHEETS, VALUE)
    assert (tmp_path / "holes" / "East_1.json").is_file()
    assert Store(tmp_path).get("East 1", "key") is None
    assert Store(tmp_path).get("East/1", "key") == location()


@pytest.mark.parametrize(
    "spoil",
    [
        lambda data: data | {"version": VERSION + 1},
        lambda data: data | {"version": 1},
        lambda data: data | {"parts": {"key": {"text": "14 on"}}},
        lambda data: {k: v for k, v in data.items() if k != "parts"},
    ],
)
def test_what_another_version_wrote_or_is_not_whole_is_planned_again(tmp_path, spoil):
    Store(tmp_path).put("7", "key", location(), SHEETS, VALUE)
    file = tmp_path / "holes" / "07.json"
    file.write_text(json.dumps(spoil(json.loads(file.read_text()))))
    assert Store(tmp_path).get("7", "key") is None


def packed(text):
    return lambda file: file.write_bytes(gzip.compress(text.encode()))


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda file: file.unlink(), "No such file"),
        (lambda file: file.write_bytes(file.read_bytes()[:20]), "ended before"),
        (lambda file: file.write_bytes(b"no archive"), "cannot be read"),
        (packed("{}"), "cannot be read"),
        (packed('{"version": 9}'), "version: is 9, this program reads 1"),
        (packed('{"version": 1, "sheets": [{}]}'), "sheets.0.at_green"),
    ],
)
def test_a_part_whose_sheets_cannot_be_read_is_planned_again(tmp_path, spoil, said):
    Store(tmp_path).put("7", "key", location(), SHEETS, VALUE)
    (file,) = (tmp_path / "holes" / "sheets").iterdir()
    assert Store(tmp_path).get("7", "key") == location()
    spoil(file)
    assert Store(tmp_path).get("7", "key") is None
    with pytest.raises(RequestError, match=f"{said}.*Plan the hole again"):
        read_sheets(tmp_path, location())


def test_what_no_plan_asks_for_is_forgotten_with_its_values(tmp_path):
    store = Store(tmp_path)
    other = location(text="10 on, centre", on=10.0)
    store.put("7", "old", location(), SHEETS, VALUE)
    store.put("7", "new", other, SHEETS, VALUE + 1.0)
    store.keep_only("7", ["new", "never made"])
    again = Store(tmp_path)
    assert (again.get("7", "old"), again.get("7", "new")) == (None, other)
    assert read_values(tmp_path, location()) is None
    assert len(list((tmp_path / "holes" / "sheets").iterdir())) == 1
    assert read_sheets(tmp_path, other) == (None,)
    assert (read_values(tmp_path, other) == VALUE + 1.0).all()


def test_without_a_folder_nothing_is_written(tmp_path):
    store = Store(None)
    store.put("7", "key", location(), SHEETS, VALUE)
    assert store.get("7", "key") == location()
    assert Store(None).get("7", "key") is None
    assert list(tmp_path.iterdir()) == []
