"""What is answered is asked no more, and says who answered it."""

import pytest

from strategy.course.check import check_course
from strategy.errors import InputErrors


@pytest.fixture
def links(sketch, tmp_path):
    """A hole of an odd par, and sand that may be a bunker; a function that answers and reads."""
    sketch.hole("1", length=200, par="5")
    sketch.hole("2", x=200)
    sketch.disc(25, 150, 6, fid="way/77", natural="sand")
    sketch.write(tmp_path / "course.geojson")

    def read(answers=""):
        (tmp_path / "course.toml").write_text(f"[answers]\n{answers}", encoding="utf-8")
        return check_course(tmp_path)

    return read


def asked(check):
    said = (*check.course.findings, *(f for hole in check.holes for f in hole.findings))
    return [f.text for f in said if f.kind.value == "question"]


@pytest.mark.parametrize(
    ("key", "left"),
    [
        ("way/77", "par 5 at 219 yd"),
        ("way/77: natural=sand", "par 5 at 219 yd"),
        ("hole 1", "way/77: natural=sand"),
        ("par 5 at 219 yd", "way/77: natural=sand"),
    ],
)
def test_an_answer_counts_for_what_it_names(links, texts, key, left):
    assert len(asked(links())) == 2
    answered = links(f'"{key}" = "yes, that is so"\n')
    (open_,) = asked(answered)
    assert open_.startswith(left)
    everything = texts(answered.course) + "\n" + "\n".join(texts(hole) for hole in answered.holes)
    assert "? You: yes, that is so" in everything


def test_when_all_is_answered_nothing_is_left_to_answer(links):
    first = [todo.text for todo in links().todos]
    how = "in the outlines, or under [answers] in course.toml"
    assert first[0] == f"answer what is asked of the course as a whole, {how}"
    assert first[1] == f"answer what is asked by hole, {how}"
    after = [todo.text for todo in links('"way/77" = "yes"\n"hole 1" = "yes"\n').todos]
    assert after == first[2:]


def test_an_answer_to_nothing_is_said(links, texts):
    said = texts(links('"way/78" = "yes"\n"par 5" = "too short to be sure"\n').course)
    assert 'answers: there is no question for the answer "way/78"' in said
    assert 'answers: there is no question for the answer "par 5"' in said


def test_an_empty_answer_is_a_fault(links):
    with pytest.raises(InputErrors, match=r'answers\."way/77": is empty'):
        links('"way/77" = ""\n')
