"""Files written whole or not at all."""

from __future__ import annotations

import errno
import os
import subprocess
import sys

import pytest

from strategy.errors import RequestError
from strategy.writing import replacing, sweep, write_text


def test_a_file_is_replaced_whole_and_nothing_else_is_left(tmp_path):
    file = tmp_path / "new" / "plan.json"
    write_text(file, "one\n")
    write_text(file, "two £\n")
    assert file.read_bytes() == "two £\n".encode()
    assert list(file.parent.iterdir()) == [file]


@pytest.mark.parametrize(
    ("number", "said"),
    [
        (errno.ENOSPC, "the disk is full. Make room, then give the same command again."),
        (errno.EDQUOT, "the disk is full"),
        (errno.EROFS, "(Read-only file system). Name another place."),
    ],
)
def test_what_cannot_be_written_keeps_the_old_file_and_leaves_nothing(tmp_path, number, said):
    file = tmp_path / "plan.json"
    write_text(file, "old")

    def half():
        with replacing(file) as work:
            work.write_text("ne")
            raise OSError(number, os.strerror(number))

    with pytest.raises(RequestError) as fault:
        half()
    assert str(fault.value).startswith(f"{file}: cannot be written")
    assert said in str(fault.value)
    assert file.read_text() == "old"
    assert list(tmp_path.iterdir()) == [file]


def test_a_folder_that_is_a_file_is_one_line(tmp_path):
    (tmp_path / "taken").touch()
    with pytest.raises(RequestError, match=r"taken/plan.json: cannot be written \("):
        write_text(tmp_path / "taken" / "plan.json", "text")


def test_any_other_fault_leaves_nothing_either(tmp_path):
    def broken():
        with replacing(tmp_path / "plan.json"):
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        broken()
    assert list(tmp_path.iterdir()) == []


def test_only_what_gone_processes_left_is_swept(tmp_path):
    gone = subprocess.run(
        [sys.executable, "-c", "import os; print(os.getpid())"], check=True, capture_output=True, text=True
    ).stdout.strip()
    for process in (gone, str(os.getpid())):
        (tmp_path / f".writing-{process}-abc").mkdir()
    (tmp_path / "plan.json").touch()
    sweep(tmp_path)
    assert sorted(p.name for p in tmp_path.iterdir()) == [f".writing-{os.getpid()}-abc", "plan.json"]
