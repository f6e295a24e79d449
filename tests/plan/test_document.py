"""plan.json: exact round trip, other versions refused; the digest of what goes into a number."""

from __future__ import annotations

import dataclasses
import json
from enum import Enum

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from strategy.decide.option import Option, Word
from strategy.errors import RequestError
from strategy.plan.codec import from_data, rounded, to_data
from strategy.plan.document import (
    UNITS,
    VERSION,
    Decision,
    Plan,
    PlannedOption,
    read_plan,
)
from strategy.plan.drawing.sheet import SHEETS_VERSION, Sheets
from strategy.plan.jobs.digest import digest
from strategy.plan.jobs.store import Store, file_name, read_values, write_text
from strategy.plan.quoted import AtFlag
from tests.plan.hand import decision, hole, location, option, quoted, reach, round_plan, start

NUMBER = st.floats(-1e6, 1e6)
VALUES = np.array([3.0, 4.25])
SHEETS = Sheets(version=SHEETS_VERSION, sheets=(None,))


def a_plan(*holes):
    return Plan(
        version=VERSION, program="0.1", libraries={"numpy": "2"}, units=UNITS, seed=3, inputs=(),
        course="C", credit="", player="P", right_handed=True, level=70.0, week="W",
        strokes_to_go="baseline", cautions=("a",), assumptions=(), findings=(), holes=holes,
    )  # fmt: skip


@settings(max_examples=40)
@given(aim=st.tuples(NUMBER, NUMBER), cost=st.floats(0, 9), side=NUMBER, label=st.text(max_size=20))
def test_a_rounded_plan_reads_back_exactly(aim, cost, side, label):
    best = option(
        "driver",
        quoted=quoted(
            side=side, begin=start(label, "left edge", side), reaches=[reach(label, "carry", 1.0, cost)]
        ),
        aim=aim,
    )
    flag = AtFlag(label=label, cost=cost, cost_error=cost / 3, word=Word.SMALL)
    tee = decision(best, option("3-wood", cost=cost), at_flag=flag)
    plan = rounded(a_plan(hole(round_plan(1, location(tee), wind=(7.3, 211.7)))))
    text = plan.to_json()
    assert Plan.from_json(text) == plan
    assert Plan.from_json(text).to_json() == text
    assert abs(plan.holes[0].rounds[0].locations[0].tee.first.aim[0] - aim[0]) <= 0.5e-4 + 1e-9


def test_degrees_keep_a_centimetre_and_no_minus_zero_is_written():
    best = option(aim=(-0.00001, 1.23456), lonlat=(3.123456789, 54.987654321))
    kept = rounded(best)
    assert kept.option.aim_lonlat == (3.1234568, 54.9876543)
    assert json.dumps(to_data(kept)["option"]["aim"]) == "[0.0, 1.2346]"


def test_the_plan_holds_the_option_as_it_was_judged():
    """Every field of an option is in plan.json under its own name, and none beside it."""
    kept = rounded(option(leaves=(100.0, 120.0), score_chances={4: 0.75, 5: 0.25}))
    data = to_data(kept)
    assert set(data) == {"option", "quoted", "balls", "origins"}
    assert list(data["option"]) == [f.name for f in dataclasses.fields(Option)]
    assert data["option"]["leave"]["middle"] == {"x": 0.0, "y": 274.32, "lie": "fairway"}
    assert data["option"]["score_chances"] == {"4": 0.75, "5": 0.25}
    assert from_data(PlannedOption, json.loads(json.dumps(data))) == kept


@pytest.mark.parametrize(
    "spot", [[1.0, 2.0, 1], {"x": 1.0, "y": 2.0, "lie": "mud"}, {"x": 1.0, "lie": "tee"}]
)
def test_a_spot_that_is_none_is_refused(spot):
    data = to_data(decision())
    with pytest.raises(ValueError, match="spot"):
        from_data(Decision, data | {"spot": spot})


def test_how_a_run_came_by_its_plan_is_no_part_of_the_document():
    plan = a_plan()
    again = dataclasses.replace(plan, kept=5, made=2)
    assert again == plan
    assert again.to_json() == plan.to_json()


def test_nan_has_no_form():
    with pytest.raises(ValueError, match="nan has no form"):
        rounded(option(carry=float("nan")))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("{", "this is no plan"),
        ("[]", "this is no plan"),
        ("{}", "this is no plan"),
        ('{"version": 1, "holes": []}', "version: is 1, this program reads 2. Plan the course again"),
        ('{"version": 99}', "version: is 99, this program reads 2. Plan the course again"),
        (json.dumps({"version": VERSION, "program": "0"}), "damaged"),
    ],
)
def test_what_is_no_plan_of_this_version_is_refused(text, said):
    with pytest.raises(RequestError, match=said):
        Plan.from_json(text)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("seed",), "one"),
        (("seed",), True),
        (("holes",), {}),
        (("level",), None),
        (("holes", 0, "par"), 4.5),
        (("holes", 0, "rounds", 0, "locations", 0, "tee", "options", 0, "option", "word"), "huge"),
        (("holes", 0, "rounds", 0, "locations", 0, "cut", "xy"), [1.0]),
    ],
)
def test_a_damaged_plan_is_refused(path, value):
    data = json.loads(a_plan(hole(round_plan(1, location()))).to_json())
    at = data
    for step in path[:-1]:
        at = at[step]
    at[path[-1]] = value
    with pytest.raises(RequestError, match="damaged"):
        Plan.from_json(json.dumps(data))


def test_a_plan_folder_that_is_not_there(tmp_path):
    with pytest.raises(RequestError, match="cannot be read"):
        read_plan(tmp_path / "nothing")


def test_an_unknown_hole_lists_those_there_are():
    with pytest.raises(RequestError, match="no hole '9'; its holes are 7"):
        a_plan(hole()).hole("9")


# --- on disk -----------------------------------------------------------------------------------------


def test_parts_are_on_disk_at_once_and_forgotten_when_nobody_asks(tmp_path):
    store = Store(tmp_path)
    part = rounded(location())
    store.put("7", "a", part, SHEETS, VALUES)
    store.put("7", "b", part, SHEETS, VALUES)
    assert Store(tmp_path).get("7", "b") == part
    assert read_values(tmp_path, part).tolist() == VALUES.tolist()
    store.keep_only("7", ["b"])
    assert Store(tmp_path).get("7", "a") is None
    assert [p.name for p in (tmp_path / "holes").glob("*.json")] == ["07.json"]
    # Both parts were the same plan, so their values are one file; it goes with the last of them.
    store.keep_only("7", [])
    assert list((tmp_path / "holes" / "values").iterdir()) == []


def test_a_part_of_another_form_counts_as_missing(tmp_path):
    store = Store(tmp_path)
    store.put("7", "a", rounded(location()), SHEETS, VALUES)
    file = tmp_path / "holes" / "07.json"
    data = json.loads(file.read_text())
    del data["parts"]["a"]["tee"]
    file.write_text(json.dumps(data))
    assert Store(tmp_path).get("7", "a") is None


def test_a_file_that_stands_where_the_folder_should_be(tmp_path):
    (tmp_path / "plan").write_text("x")
    with pytest.raises(RequestError, match="cannot be made"):
        Store(tmp_path / "plan")
    with pytest.raises(RequestError, match="cannot be written"):
        write_text(tmp_path / "plan" / "plan.json", "x")


def test_labels_become_file_names_that_do_not_leave_the_folder():
    names = [file_name(label) for label in ("7", "16", "../etc", "", "A/B", "Été")]
    assert names == ["07.json", "16.json", "etc.json", "hole.json", "A_B.json", "Été.json"]


# --- digest ------------------------------------------------------------------------------------------


class Colour(Enum):
    RED = 1


SAMES = [
    (np.arange(3.0), np.arange(3.0)),
    ({"a": 1, "b": 2}, {"b": 2, "a": 1}),
    (frozenset({Colour.RED}), frozenset({Colour.RED})),
    (shapely.box(0, 0, 1, 1), shapely.box(0, 0, 1, 1)),
    (location(), location()),
]
OTHERS = [
    (np.arange(3.0), np.arange(3)),
    (np.zeros((2, 3)), np.zeros((3, 2))),
    (("ab", "c"), ("a", "bc")),
    ((1, 2), (12,)),
    ("1", 1),
    (True, 1),
    (None, "None"),
    (shapely.box(0, 0, 1, 1), shapely.box(0, 0, 1, 1.0000001)),
    (location(), location(on=15.0)),
    ({"a": (1,)}, {"a": (1, 2)}),
]


@pytest.mark.parametrize(("a", "b"), SAMES)
def test_equal_content_has_an_equal_digest(a, b):
    assert digest(a) == digest(b)


@pytest.mark.parametrize(("a", "b"), OTHERS)
def test_other_content_has_another_digest(a, b):
    assert digest(a) != digest(b)


def test_what_has_no_digest_is_refused():
    with pytest.raises(TypeError, match="function has no digest"):
        digest(digest)


def test_a_form_the_codec_does_not_know_is_refused():
    with pytest.raises(TypeError, match="ndarray has no form"):
        to_data(np.zeros(2))
    assert from_data(AtFlag, to_data(AtFlag(label="a", cost=1, cost_error=0.0, word=Word.EVEN))).cost == 1.0
