"""Commands as processes: what ends them early is one line, exit code 2, and nothing half written."""

from __future__ import annotations

import contextlib
import json
import os
import re
import resource
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from strategy.cli import common
from strategy.cli.common import Pace
from strategy.demofiles import demo

ROOT = Path(__file__).resolve().parents[2]
THREE = [str(path) for path in demo()]
NUMBER = ["number", THREE[1], "--front", "142", "--on", "11"]
PART = ["plan", *THREE, "--hole", "4", "--round", "2", "--jobs", "1"]


def start(*args, **more):
    command = [sys.executable, "-m", "strategy", *map(str, args)]
    return subprocess.Popen(command, cwd=ROOT, stderr=subprocess.PIPE, encoding="utf-8", **more)


def one_line(process, code=2):
    """The one line that a process ends with; progress lines apart."""
    _, told = process.communicate(timeout=300)
    assert process.returncode == code, told
    lines = [line for line in told.splitlines() if not re.match(r"(planning|drawing): ", line)]
    assert len(lines) == 1, told
    return lines[0]


def half_written(folder):
    return [p for p in folder.rglob("*") if p.name.startswith(".") or p.suffix == ".part"]


def living(group):
    """Processes of a group that still run; those that only wait to be reaped by the machine do not."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError):
            state, _, own = stat.read_text().rpartition(")")[2].split()[:3]
            if int(own) == group and state != "Z":
                found.append(stat.parent.name)
    return found


def small_files():
    """No file grows beyond 2000 bytes: a disk that is full, as far as a process can tell."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (2000, 2000))


def closed_pipe():
    read, write = os.pipe()
    os.close(read)
    return write


COMMANDS = [
    NUMBER,
    ["numbers", THREE[0]],
    ["check", THREE[0]],
    pytest.param(["options", *THREE, "--hole", "4", "--from", "tee"], marks=pytest.mark.slow),
    pytest.param(["solve", *THREE, "--hole", "4", "--out", os.devnull], marks=pytest.mark.slow),
]


@pytest.mark.slow
@pytest.mark.parametrize("args", COMMANDS)
def test_a_reader_of_the_output_that_has_gone_is_one_line(args):
    pipe = closed_pipe()
    process = start(*args, stdout=pipe)
    os.close(pipe)
    assert one_line(process) == "The reader of the output has gone: the rest is not printed."


@pytest.mark.slow
@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full here")
@pytest.mark.parametrize("args", COMMANDS[:3])
def test_an_output_that_is_full_is_one_line(args):
    with Path("/dev/full").open("w") as full:
        said = one_line(start(*args, stdout=full))
    assert said == (
        "The output: cannot be written: the disk is full. Make room, then give the same command again."
    )


@pytest.mark.slow
def test_a_plan_that_nobody_reads_and_one_on_a_full_disk_keep_what_is_done(tmp_path):
    out = tmp_path / "plan"
    part = [*PART, "--out", out]
    pipe = closed_pipe()
    process = start(*part, stdout=pipe)
    os.close(pipe)
    assert one_line(process) == "The reader of the output has gone: the rest is not printed."
    assert half_written(out) == []
    more = [*part, "--round", "3"]
    said = one_line(start(*more, stdout=subprocess.DEVNULL, preexec_fn=small_files))
    assert re.match(rf"{re.escape(str(out))}/holes/(sheets|values)/", said)
    assert said.endswith("the disk is full. Make room, then give the same command again.")
    assert half_written(out) == []
    again = start(*part, stdout=subprocess.PIPE)
    assert "0 planned, 1 kept as they were" in again.communicate()[0]


@pytest.mark.slow
def test_a_full_disk_ends_an_import(tmp_path):
    outlines = Path(THREE[0]) / "course.geojson"
    said = one_line(start("import", outlines, "--to", tmp_path / "course", preexec_fn=small_files))
    assert said.startswith(f"{tmp_path}/course/")
    assert said.endswith("the disk is full. Make room, then give the same command again.")
    assert half_written(tmp_path) == []


@pytest.mark.slow
def test_ctrl_c_says_what_is_kept_and_the_same_command_goes_on(tmp_path):
    """Sent as a terminal sends it, to every process of the command, once the first job is kept."""
    out = tmp_path / "plan"
    args = ["plan", *THREE, "--hole", "4", "--jobs", "2", "--out", out]
    process = start(*args, stdout=subprocess.DEVNULL, start_new_session=True)
    while not (out / "holes" / "04.json").exists():
        assert process.poll() is None, process.stderr.read()
        time.sleep(0.05)
    time.sleep(1.0)  # the other processes are starting, and importing
    assert len(living(process.pid)) >= 2
    os.killpg(process.pid, signal.SIGINT)
    said = one_line(process, code=130)
    told = re.search(r"^Stopped while planning: (\d+) of (\d+) (?:is|are) done", said)
    kept, total = int(told[1]), int(told[2])
    assert said.endswith(" and kept. The same command goes on with the rest.")
    assert 1 <= kept < total == 4
    assert half_written(out) == []
    deadline = time.monotonic() + 60.0  # the watcher of multiprocessing ends a moment after its parent
    while living(process.pid) and time.monotonic() < deadline:
        time.sleep(0.05)
    assert living(process.pid) == []
    assert len(json.loads((out / "holes" / "04.json").read_text())["parts"]) == kept
    again = start(*args, "--round", "1", "--round", "2", stdout=subprocess.PIPE)
    text, _ = again.communicate()
    done = re.search(r"(\d) planned, (\d) kept as they were", text)
    assert int(done[1]) + int(done[2]) == 2
    assert int(done[2]) >= 1


def test_a_command_that_was_stopped_before_it_began_says_no_more(monkeypatch):
    from click.testing import CliRunner

    group = common.Commands("main")

    @group.command("plan")
    def plan():
        raise KeyboardInterrupt

    result = CliRunner().invoke(group, ["plan"])
    assert (result.exit_code, result.stderr) == (130, "Stopped.\n")


def test_what_is_left_is_told_by_the_pace_of_jobs_after_the_first():
    now = [0.0]
    pace = Pace("planning", lambda: now[0])
    assert pace.line() == "planning: starting"
    pace(2, 12, "")
    assert pace.line() == "planning: 2 of 12"
    now[0] = 60.0  # compiled
    pace(3, 12, "hole 4")
    assert pace.line() == "planning: 3 of 12, hole 4, about 9 min left"
    for _ in range(4):
        now[0] += 20.0
        pace(pace.done + 1, 12, "hole 5")
    assert pace.left_s() == pytest.approx(5 * 20.0)
    now[0] += 15.0
    assert pace.line() == "planning: 7 of 12, hole 5, about 80 s left"
    now[0] += 1000.0
    assert pace.left_s() == 0.0
    pace(12, 12, "hole 9")
    assert pace.line() == "planning: 12 of 12, hole 9"


def test_where_there_is_no_terminal_a_plain_line_comes_again_and_again(monkeypatch, capsys):
    monkeypatch.setattr(common, "LINE_EVERY_S", 0.01)
    with common.progress("planning") as told:
        told(1, 3, "hole 2")
        deadline = time.monotonic() + 60.0
        seen = ""
        while seen.count("planning: 1 of 3, hole 2\n") < 2 and time.monotonic() < deadline:
            seen += capsys.readouterr().err
    assert seen.count("planning: 1 of 3, hole 2\n") >= 2
    assert "\r" not in seen
    assert "\x1b" not in seen


# --- how wide text is, and in what ----------------------------------------------------------------

# Rows of tables; and a path, which is not broken.
TABLE = re.compile(r"\S {3,}\S|^\S.* \d+ {2,}|/")


@pytest.mark.parametrize("wide", [40, 55, 72, 100])
@pytest.mark.parametrize("args", [NUMBER, ["check", THREE[0]], ["numbers", THREE[0], "--hole", "4"]])
def test_text_follows_the_width_of_the_terminal(wide, args, monkeypatch):
    """Sentences do; the columns of a table stay where they are."""
    lines = printed(monkeypatch, wide, args)
    if args[0] == "numbers":  # all tables but the head
        lines = lines[: lines.index("")]
    said = [line for line in lines if args[0] == "numbers" or not TABLE.search(line)]
    assert len(said) >= 3
    assert max(map(len, said)) <= wide
    assert max(map(len, said)) > 0.75 * wide or args[0] != "number"


@pytest.mark.slow
@pytest.mark.parametrize("wide", [44, 64, 100])
def test_all_that_is_said_of_one_shot_follows_the_width_of_the_terminal(wide, monkeypatch):
    lines = printed(monkeypatch, wide, ["options", *THREE, "--hole", "4", "--from", "tee", "--round", "2"])
    row = next(line for line in lines if line.startswith("7-iron  "))
    assert bool(re.search(r"\d+ green", row)) == (wide >= 100)
    assert sum(bool(re.search(r"\d+ green", line)) for line in lines) >= 4
    assert max(len(line) for line in lines if not re.search(r"\d\.\d{3}|^shot", line) or wide >= 64) <= wide


def printed(monkeypatch, wide, args):
    from click.testing import CliRunner

    from strategy.cli.main import main

    monkeypatch.setattr(common, "terminal_width", lambda: wide)
    result = CliRunner().invoke(main, args)
    assert result.exit_code == 0, result.output
    return result.stdout.splitlines()


def test_the_width_is_that_of_the_terminal_and_of_no_file():
    """In a real terminal of 57 columns, and in a pipe."""
    import pty
    import termios

    keeper, terminal = pty.openpty()
    termios.tcsetwinsize(terminal, (24, 57))
    environment = {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "LINES")}
    process = start(*NUMBER, stdout=terminal, env=environment)
    os.close(terminal)
    shown = b""
    with contextlib.suppress(OSError):  # the terminal is closed
        while more := os.read(keeper, 65536):
            shown += more
    assert process.wait() == 0, process.stderr.read()
    process.stderr.close()
    os.close(keeper)
    assert 50 < max(map(len, shown.decode().replace("\r", "").splitlines())) <= 57
    piped = start(*NUMBER, stdout=subprocess.PIPE).communicate()[0]
    assert 57 < max(map(len, piped.splitlines())) <= 96


def test_units_are_one_option_everywhere():
    from strategy.cli.main import main

    asked = {name: option for name, command in main.commands.items() for option in command.params
             if option.name in ("units", "metres")}  # fmt: skip
    assert {"plan", "options", "number", "numbers", "check"} <= set(asked)
    assert len({id(option.type) for option in asked.values()}) == 1
    for option in asked.values():
        assert option.opts == ["--units"]
        assert option.default == "yards"
        assert tuple(option.type.choices) == ("yards", "metres")
        assert option.help == "Of distances, read and printed."
