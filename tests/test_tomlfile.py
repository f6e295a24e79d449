"""What every reader of a TOML file does with a file that is not there, is no TOML, or is wrong in places."""

import pytest
from pydantic import Field

from strategy.errors import InputErrors, PlayerError
from strategy.tomlfile import Table, nearest, read_toml


class Inner(Table):
    carry: float
    balls: int = 0


class Outer(Table):
    name: str = ""
    shots: list[Inner] = Field(default_factory=list)
    by_name: dict[str, Inner] = Field(default_factory=dict)


def read(tmp_path, text):
    path = tmp_path / "file.toml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_toml(path, Outer, PlayerError, name=lambda entry: str(entry.get("carry", "")))


def test_a_file_and_its_hash(tmp_path):
    parsed, digest = read(tmp_path, 'name = "x"\n[[shots]]\ncarry = 3\n')
    assert parsed.shots[0].carry == 3.0
    assert len(digest) == 64


def test_a_byte_order_mark_is_no_fault(tmp_path):
    assert read(tmp_path, b'\xef\xbb\xbfname = "x"')[0].name == "x"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (b'name = "\xff"', r"is not UTF-8 text \(byte 8\)\. Save it as UTF-8\."),
        ("name = x", r"is not TOML: .*line 1.*\. Correct that line"),
        ('name = "x"\nname = "y"', r"is not TOML: .*every key once"),
    ],
)
def test_what_cannot_be_parsed(tmp_path, text, said):
    with pytest.raises(PlayerError, match=said):
        read(tmp_path, text)


def test_no_such_file_names_one_that_is_there(tmp_path):
    (tmp_path / "player.toml").touch()
    with pytest.raises(PlayerError, match=r'plaer\.toml: no such file\. Did you mean "player\.toml"\?$'):
        read_toml(tmp_path / "plaer.toml", Outer, PlayerError)
    with pytest.raises(PlayerError, match=r"no such file\. Check the name and the folder"):
        read_toml(tmp_path / "elsewhere" / "player.toml", Outer, PlayerError)


def test_a_folder_is_no_file(tmp_path):
    with pytest.raises(PlayerError, match="is a folder, not a file"):
        read_toml(tmp_path, Outer, PlayerError)


def test_every_fault_at_once_in_the_order_of_the_file(tmp_path):
    text = """
        nam = 3
        shots = [{ carry = 1, ball = 2 }, { carry = "3 yd" }, 7, { balls = 2.5 }]
        [by_name]
        "sand wedge" = { carry = true }
    """
    with pytest.raises(InputErrors) as caught:
        read(tmp_path, text)
    assert [str(fault).split("file.toml: ")[1] for fault in caught.value.faults] == [
        'nam: is no key of this table. Did you mean "name"?',
        'shots[1] (1).ball: is no key of this table. Did you mean "balls"?',
        'shots[2] (3 yd).carry: is "3 yd", not a number. Write the bare number 3, without its unit.',
        "shots[3]: is 7, not a table. Write a table.",
        "shots[4].carry: is missing. Add it: carry = ...",
        "shots[4].balls: is 2.5, not a whole number. Write a whole number.",
        'by_name."sand wedge".carry: is true, not a number. Write a number.',
    ]


def test_the_nearest_word_is_near():
    assert nearest("Fairwey", ["tee", "fairway"]) == "fairway"
    assert nearest("quux", ["tee", "fairway"]) is None


def test_a_file_of_another_kind_is_one_fault(tmp_path):
    with pytest.raises(PlayerError) as caught:
        read(tmp_path, 'name = "x"\nheight = 3\nstimp = 11\n[[rounds]]\nnumber = 1\n')
    assert str(caught.value).split("file.toml: ")[1] == (
        "is a week file (it has rounds, stimp), where a player file was expected. "
        "Give the player file there; a plan takes COURSE PLAYER WEEK in this order."
    )


def test_a_number_beyond_a_limit_is_said_with_the_limit(tmp_path):
    class Limited(Table):
        par: int = Field(ge=3, le=7)

    for value, said in (
        (1, "too low. Write a number at least 3."),
        (9, "too high. Write a number at most 7."),
    ):
        (tmp_path / "a.toml").write_text(f"par = {value}")
        with pytest.raises(InputErrors, match=f"par: is {value}, {said}"):
            read_toml(tmp_path / "a.toml", Limited, PlayerError)
