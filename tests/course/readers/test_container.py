"""Packed files: told apart by content, and refused plainly when damaged."""

import bz2
import gzip
import io
import zipfile

import pytest

from strategy.course import read_course
from strategy.course.readers import container
from strategy.course.readers.container import unpack
from strategy.errors import CourseError


def zipped(files):
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return held.getvalue()


@pytest.mark.parametrize(
    "pack",
    [
        gzip.compress,
        bz2.compress,
        lambda raw: zipped({"course.geojson": raw}),
        lambda raw: zipped({"inner.gz": gzip.compress(raw)}),
        lambda raw: raw,
    ],
    ids=["gz", "bz2", "zip", "gz in zip", "plain"],
)
def test_a_packed_course_is_read_whatever_its_name(sketch, tmp_path, pack):
    sketch.hole("1")
    path = sketch.write(tmp_path / "links.geojson")
    path.write_bytes(pack(path.read_bytes()))
    assert [h.label for h in read_course(path).holes] == ["1"]


def test_what_systems_put_beside_a_file_in_an_archive_does_not_count():
    raw = zipped({"course.osm": b"x" * 5, "__MACOSX/course.osm": b"y", "a/.DS_Store": b"z"})
    assert unpack("a.zip", raw) == b"xxxxx"


@pytest.mark.parametrize(
    ("raw", "wrong"),
    [
        (gzip.compress(b"a" * 5000)[:20], "damaged or cut off"),
        (gzip.compress(bytes(range(256)) * 9)[:-4], "damaged or cut off"),
        (bz2.compress(b"a" * 5000)[:20], "damaged or cut off"),
        (b"BZh9nonsense", "damaged or cut off"),
        (zipped({"a.osm": b"abc"})[:30], "damaged or cut off"),
        (zipped({"a.osm": b"1", "b.osm": b"2"}), r"holds 2 files \(a\.osm, b\.osm\)"),
        (zipped({}), "holds 0 files"),
    ],
    # Packed bytes hold the time of packing: as names they would differ from one test process to the next.
    ids=["gz cut", "gz without end", "bz2 cut", "no bz2", "zip cut", "zip of two", "zip of none"],
)
def test_a_damaged_archive_is_refused(raw, wrong):
    with pytest.raises(CourseError, match=wrong) as caught:
        unpack("links.gz", raw)
    assert caught.value.mend


def test_a_file_that_unpacks_without_end_is_stopped(monkeypatch):
    monkeypatch.setattr(container, "LIMIT_BYTES", 10_000)
    with pytest.raises(CourseError, match="unpacks to more than"):
        unpack("bomb.gz", gzip.compress(b"\x00" * 2_000_000))


def test_a_file_packed_in_itself_again_and_again():
    raw = b"course"
    for _ in range(6):
        raw = gzip.compress(raw)
    with pytest.raises(CourseError, match="again and again"):
        unpack("x.gz", raw)
