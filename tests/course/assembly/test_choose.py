"""Several courses in one file: one is chosen by name, outline or place, or they are listed."""

import pytest

from strategy.codes import Surface
from strategy.course import read_course
from strategy.errors import CourseError


@pytest.fixture
def two(sketch):
    """Two courses 3 km apart, with outlines."""
    sketch.box(-100, -100, 500, 600, fid="way/900", leisure="golf_course", name="Sandholm North")
    sketch.box(2900, -100, 3500, 600, fid="way/901", leisure="golf_course", name="Sandholm South")
    for k in range(3):
        sketch.hole(str(k + 1), x=120.0 * k)
        sketch.hole(str(k + 1), x=3000 + 120.0 * k, length=300)
    return sketch


@pytest.fixture
def read(tmp_path):
    return lambda drawn, **more: read_course(drawn.write(tmp_path / "links.geojson"), **more)


def test_several_courses_are_listed(two, read):
    with pytest.raises(CourseError) as caught:
        read(two)
    said = str(caught.value)
    assert "holds 2 courses" in said
    assert "Sandholm North (3 holes at 2.00" in said
    assert "way/901" in said
    assert '--course "NAME"' in said


@pytest.mark.parametrize("name", ["Sandholm South", "sandholm south", "south", "way/901", "2.048, 54.5"])
def test_a_course_is_chosen_by_name_outline_or_place(two, read, name, texts):
    course = read(two, name=name)
    assert course.name == "Sandholm South"
    assert [h.label for h in course.holes] == ["1", "2", "3"]
    assert "a second line of play" not in "".join(texts(h) for h in course.holes)
    assert "other courses in the file are left out: Sandholm North" in texts(course)


@pytest.mark.parametrize(
    ("name", "wrong"),
    [
        ("Eastholm", "there is no course 'Eastholm'"),
        ("sandholm", "2 courses fit 'sandholm'"),
        ("10,10", "no course"),
    ],
)
def test_a_wrong_name_lists_what_there_is(two, read, name, wrong):
    with pytest.raises(CourseError, match=wrong) as caught:
        read(two, name=name)
    assert "Sandholm North (3 holes" in str(caught.value)


def test_course_toml_chooses(two, tmp_path):
    two.write(tmp_path / "course.geojson")
    (tmp_path / "course.toml").write_text('name = "Our links"\ncourse = "Sandholm South"\n')
    course = read_course(tmp_path)
    assert course.name == "Our links"
    assert len(course.holes) == 3
    (tmp_path / "course.toml").write_text('name = "Sandholm North"\n')
    assert read_course(tmp_path).name == "Sandholm North"


def test_one_course_with_one_outline_is_taken_without_asking(sketch, read):
    sketch.box(-100, -100, 500, 600, leisure="golf_course", name="Sandholm")
    sketch.hole("1")
    assert read(sketch).name == "Sandholm"
    assert read(sketch, name="Sandholm").name == "Sandholm"


def test_the_one_course_without_a_name_takes_the_name_asked_for(sketch, read, texts):
    sketch.hole("1")
    course = read(sketch, name="Eastholm")
    assert course.name == "Eastholm"
    assert "has no name: taken for 'Eastholm'" in texts(course)


def test_a_hole_just_outside_the_outline_belongs_to_the_course(sketch, read):
    sketch.box(-100, -100, 150, 600, leisure="golf_course", name="Sandholm")
    sketch.hole("1")
    sketch.hole("2", x=300)
    course = read(sketch)
    assert course.name == "Sandholm"
    assert [h.label for h in course.holes] == ["1", "2"]


def test_holes_that_name_their_course_inside_one_outline(sketch, read):
    sketch.box(-100, -100, 900, 600, leisure="golf_course", name="Sandholm Club")
    for k in range(2):
        sketch.hole(str(k + 1), x=120.0 * k, **{"golf:course:name": "Old"})
        sketch.hole(str(k + 1), x=500 + 120.0 * k, **{"golf:course:name": "New"})
    with pytest.raises(CourseError, match=r"holds 2 courses: Old \(2 holes.*New \(2 holes"):
        read(sketch)
    assert [h.label for h in read(sketch, name="New").holes] == ["1", "2"]


def test_courses_without_names_are_chosen_by_place(sketch, read):
    sketch.hole("1")
    sketch.hole("1", x=5000)
    with pytest.raises(CourseError, match="holds 2 courses: unnamed"):
        read(sketch)
    assert read(sketch, name="2.0772,54.5016").holes[0].label == "1"


def test_a_lone_hole_far_from_many_is_a_slip(sketch, read, texts):
    for k in range(4):
        sketch.hole(str(k + 1), x=150.0 * k)
    far = sketch.hole("9", x=30_000)
    course = read(sketch)
    assert [h.label for h in course.holes] == ["1", "2", "3", "4"]
    assert f"{far}: more than 1 km from the other holes; left out" in texts(course)


def test_a_neighbouring_courses_green_is_never_ours(sketch, read, texts):
    # Our 1st stops short, and the other course's green is the nearest: its own line ends in it.
    sketch.box(-60, -60, 40, 500, leisure="golf_course", name="Ours")
    sketch.box(41, -60, 200, 500, leisure="golf_course", name="Theirs")
    sketch.line([(0, 0), (0, 330)], golf="hole", ref="1", par="4")
    sketch.box(-4, -4, 4, 4, golf="tee")
    own = sketch.disc(0, 414, 14, golf="green")
    sketch.hole("1", x=55, length=330)
    course = read(sketch, name="Ours")
    hole = course.hole("1")
    assert {a.fid for a in hole.areas if a.surface == Surface.GREEN} == {own}
    assert "the green of 1 of Theirs is nearer" in texts(hole)
    assert len(course.holes) == 1


def test_an_outline_without_lines_of_play_does_not_make_two_courses(sketch, read, texts):
    sketch.box(-100, -100, 500, 600, leisure="golf_course", name="Sandholm")
    sketch.hole("1")
    sketch.box(2900, -100, 3500, 600, leisure="golf_course", name="Bare")
    sketch.disc(3000, 100, 14, golf="green")
    course = read(sketch)
    assert course.name == "Sandholm"
    assert "courses without lines of play are left out: Bare (no lines of play, 1 green at" in texts(course)


def bare_hole(sketch, x, ref, length=350):
    sketch.box(x - 4, -4, x + 4, 4, golf="tee", ref=ref)
    return sketch.disc(x, length, 14, golf="green", ref=ref)


def test_of_courses_without_lines_of_play_only_what_lies_on_the_one_chosen_stays(sketch, read):
    """Two outlines side by side; the greens of the second are nearer than a kilometre to the first."""
    sketch.box(-100, -100, 300, 600, fid="way/900", leisure="golf_course", name="Sandholm North")
    sketch.box(300, -100, 700, 600, fid="way/901", leisure="golf_course", name="Sandholm South")
    for k in range(3):
        bare_hole(sketch, 120.0 * k, str(k + 1))
        bare_hole(sketch, 400 + 120.0 * k, str(k + 1), length=300)
    sketch.box(330, 100, 340, 200, golf="bunker")
    with pytest.raises(CourseError, match="holds 2 courses") as caught:
        read(sketch)
    assert "Sandholm North (no lines of play, 3 greens at 2.00" in str(caught.value)
    for name, length in (("Sandholm North", 350), ("Sandholm South", 300)):
        course = read(sketch, name=name)
        assert [h.label for h in course.holes] == ["1", "2", "3"]
        assert {round(h.line[-1, 1] - h.line[0, 1]) for h in course.holes} == {length}
    assert not any(a.surface == Surface.BUNKER for h in read(sketch, name="North").holes for a in h.areas)


def test_greens_far_apart_without_outlines_are_courses_too(sketch, read):
    for k in range(2):
        bare_hole(sketch, 120.0 * k, str(k + 1))
        bare_hole(sketch, 4000 + 120.0 * k, str(k + 1), length=300)
    with pytest.raises(CourseError, match=r"holds 2 courses: unnamed \(no lines of play, 2 greens at 2\.00"):
        read(sketch)
    course = read(sketch, name="2.062,54.503")
    assert [h.label for h in course.holes] == ["1", "2"]
    assert {round(h.line[-1, 1] - h.line[0, 1]) for h in course.holes} == {300}


def test_across_the_antimeridian_is_one_course(new_sketch, read):
    from strategy.course.frame import Frame

    drawn = new_sketch(Frame(179.9999, -17.0))
    drawn.hole("1", x=-100)
    drawn.hole("2", x=100)
    first, second = read(drawn).holes
    east = second.line[0, 0] - first.line[0, 0]
    assert (first.label, second.label, round(east, 1)) == ("1", "2", 200.0)
