"""The house: who may import whom, what start-up loads, what the repository and the wheel hold."""

from __future__ import annotations

import ast
import fnmatch
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner

import strategy
from strategy.cli.common import Commands
from strategy.errors import CourseError

ROOT = Path(__file__).resolve().parents[1]

# From the top down. A room imports only from rows below its own, never from a room beside it.
TIERS = (
    ("__main__",),
    ("cli",),
    ("page", "report"),
    ("plan",),
    ("decide",),
    ("strokes",),
    ("outcome",),
    ("player", "week", "course"),
    ("ball",),
    ("reference",),
    ("quantity",),
    ("demofiles", "tomlfile"),
    ("codes", "units", "errors", "arrays", "columns", "compiled", "writing"),
)
TIER = {room: row for row, rooms in enumerate(TIERS) for room in rooms}

# The same inside the rooms that have inner rooms: inner rooms and modules, from the top down.
INNER = {
    "cli": (
        ("main",),
        ("course", "draw", "number", "numbers", "practice", "solve"),
        ("common", "unknown_holes"),
    ),
    "report": (("pictures",), ("words",)),
    "plan": (
        ("jobs", "solved", "number_on_course"),
        ("ask", "drawing", "group", "scores"),
        ("advice", "cautions"),
        ("document", "number"),
        ("quoted", "codec", "plain_day"),
    ),
    "decide": (
        ("leaves", "misses", "sureness", "unseen"),
        ("options", "commit"),
        ("worlds",),
        ("solver", "finish", "putts"),
        ("search",),
        ("aims", "option"),
        ("cost_field",),
        ("kernels",),
    ),
    "player": (
        ("fit",),
        ("logs", "read"),
        ("across", "low_shots"),
        ("short_game",),
        ("file", "gaps"),
        ("defaults",),
        ("model",),
    ),
    "course": (
        ("check",),
        ("assembly",),
        ("measured",),
        ("numbers", "propose"),
        ("edges", "maps", "pins"),
        ("named_features", "readers"),
        ("model", "playline"),
        ("frame", "green_sketch", "height_map", "stated"),
        ("origin",),
    ),
}

HEAVY = ("numba", "geopandas", "matplotlib", "scipy", "pyproj", "shapely", "pydantic", "numpy", "pandas")


def tracked() -> list[Path]:
    """Files of the repository, from its root; what .gitignore names and does not count is left out."""
    if (ROOT / ".git").exists() and shutil.which("git"):
        listed = subprocess.run(
            ["git", "ls-files", "-z"], cwd=ROOT, check=True, capture_output=True, encoding="utf-8"
        )
        return [Path(name) for name in listed.stdout.split("\0") if name and (ROOT / name).is_file()]
    return walked()


def walked() -> list[Path]:
    """The same without git, as in an unpacked archive."""
    patterns = [line.strip("/") for line in (ROOT / ".gitignore").read_text(encoding="utf-8").split()]
    found = []
    for folder, inside, names in os.walk(ROOT):
        inside[:] = [d for d in inside if d != ".git" and not any(fnmatch.fnmatch(d, p) for p in patterns)]
        found += [(Path(folder) / name).relative_to(ROOT) for name in names]
    return [path for path in found if not any(fnmatch.fnmatch(path.name, p) for p in patterns)]


def python_files(*tops: str) -> dict[str, str]:
    """Path and source of every Python file below some top folders, scripts without a suffix too."""
    found = {}
    for path in tracked():
        if path.parts[0] in (tops or ("strategy", "tests", "scripts")) and path.suffix in ("", ".py"):
            source = (ROOT / path).read_text(encoding="utf-8")
            if path.suffix or source.startswith("#!/usr/bin/env python"):
                found[path.as_posix()] = source
    return found


@cache
def parsed(source: str) -> ast.Module:
    """The syntax tree of a source, made once for all checks."""
    return ast.parse(source)


@cache
def modules() -> Mapping[str, str]:
    """Dotted name and source of every module of the package."""
    found = {}
    for path in sorted((ROOT / "strategy").rglob("*.py")):
        parts = path.relative_to(ROOT).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        found[name] = path.read_text(encoding="utf-8")
    return found


# --- who may import whom -----------------------------------------------------------------------


def imported(source: str, package: str) -> Iterator[tuple[int, str]]:
    """Line and room of every import from the package itself, also inside functions and for types only."""
    for node in ast.walk(parsed(source)):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                parts = package.split(".")
                base = ".".join([*parts[: len(parts) - node.level + 1], *filter(None, [base])])
            names = [f"{base}.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Call) and ast.unparse(node.func).endswith("import_module"):
            names = [a.value for a in node.args if isinstance(a, ast.Constant) and isinstance(a.value, str)]
        for name in names:
            if name.split(".")[0] == "strategy":
                yield node.lineno, [*name.split("."), ""][1]


def upward(name: str, source: str, *, is_package: bool = False) -> list[str]:
    """Imports of module `name` that go up, sideways, or to a room that stands in no tier."""
    own = name.split(".")[1]
    if own not in TIER:
        return [f"{name}: the room {own!r} stands in no tier of tests/test_house.py"]
    faults = []
    for line, room in imported(source, name if is_package else name.rpartition(".")[0]):
        if room in (own, "__version__"):
            continue
        bottom = TIER[own] == TIER.get(room) == len(TIERS) - 1
        if room not in TIER or (TIER[room] <= TIER[own] and not bottom):
            faults.append(f"{name}, line {line}: {own} may not import {room or 'the public surface'}")
    return faults


def test_imports_go_down_only() -> None:
    found = modules()
    rooms = {name.split(".")[1] for name in found if "." in name}
    assert len(rooms) >= 12
    faults = []
    for name, source in found.items():
        if "." in name:
            is_package = any(other.startswith(f"{name}.") for other in found)
            faults += upward(name, source, is_package=is_package)
    assert faults == []


def inner_arrows(found: Mapping[str, str]) -> Iterator[tuple[str, str, str]]:
    """Room, importing and imported part of every import between two parts of one room."""
    for name, source in found.items():
        room, part = [*name.split(".")[1:], "", ""][:2]
        if room not in INNER or not part:
            continue
        for node in ast.walk(parsed(source)):
            if isinstance(node, ast.ImportFrom) and node.module and not node.level:
                base = node.module.split(".")
                named = [alias.name for alias in node.names]
                parts = [base[2]] if len(base) > 2 else named if len(base) == 2 else []
                if base[:2] == ["strategy", room]:
                    yield from ((room, part, other) for other in parts if other != part)


def test_arrows_inside_a_room_run_one_way_too() -> None:
    found = modules()
    arrows = list(inner_arrows(found))
    faults, seen = [], 0
    for room, parts in INNER.items():
        row = {part: k for k, names in enumerate(parts) for part in names}
        there = {name.split(".")[2] for name in found if name.startswith(f"strategy.{room}.")}
        faults += [
            f"{room}: {part} stands in no row of tests/test_house.py" for part in sorted(there - set(row))
        ]
        for home, part, other in arrows:
            if home == room and part in row and other in row:
                seen += 1
                if row[other] <= row[part]:
                    faults.append(f"{room}: {part} may not import {other}")
    assert sorted(set(faults)) == []
    assert seen > 100


def test_an_arrow_up_inside_a_room_would_be_seen() -> None:
    source = "def f():\n    from strategy.decide.options import options"
    assert list(inner_arrows({"strategy.decide.search": source})) == [("decide", "search", "options")]


def circles(found: Mapping[str, str]) -> list[list[str]]:
    """Modules that import one another in a loop; imports inside functions and for types only count."""
    after: dict[str, set[str]] = {}
    for name, source in found.items():
        after[name] = set()
        for node in ast.walk(parsed(source)):
            if isinstance(node, ast.ImportFrom) and node.module:
                names = {f"{node.module}.{alias.name}" for alias in node.names} | {node.module}
                after[name] |= {n for n in names if n in found and n != name and n.count(".") > 1}
    left = dict(after)
    while free := [name for name, others in left.items() if not others & set(left)]:
        for name in free:
            del left[name]
    while free := [name for name in left if not any(name in left[other] for other in left)]:
        for name in free:
            del left[name]
    return [sorted(left)] if left else []


def test_no_modules_import_one_another_in_a_circle() -> None:
    assert circles(modules()) == []
    two = {
        "strategy.a.b": "from strategy.a.c import x",
        "strategy.a.c": "def f():\n    from strategy.a import b",
    }
    assert circles(two) == [["strategy.a.b", "strategy.a.c"]]


@pytest.mark.parametrize(
    ("name", "source", "met"),
    [
        ("strategy.ball.air", "from strategy.decide import options", "ball may not import decide"),
        ("strategy.ball.air", "import strategy.plan.jobs", "ball may not import plan"),
        ("strategy.ball.air", "def f():\n    from strategy import week", "ball may not import week"),
        ("strategy.player.file", "from strategy.course.model import Hole", "player may not import course"),
        ("strategy.report.book", "from strategy.page import live", "report may not import page"),
        ("strategy.outcome.play", "from ..strokes import baseline", "outcome may not import strokes"),
        ("strategy.decide.search", "from . import aims\nfrom .. import plan", "decide may not import plan"),
        ("strategy.week.file", "import_module('strategy.outcome')", "week may not import outcome"),
        ("strategy.plan.jobs", "from strategy import options", "plan may not import options"),
        ("strategy.plan.jobs", "import strategy", "plan may not import the public surface"),
        ("strategy.attic.box", "import math", "stands in no tier"),
    ],
)
def test_a_wrong_import_is_caught(name: str, source: str, met: str) -> None:
    faults = upward(name, source)
    assert len(faults) == 1
    assert met in faults[0]


def test_right_imports_are_let_through() -> None:
    source = "import math\nfrom strategy.units import YARD_M\nfrom .table import x\nfrom strategy import ball"
    assert upward("strategy.outcome.play", source) == []
    assert (
        upward("strategy.outcome", "from .play import play\nfrom ..week import model", is_package=True) == []
    )


def test_kernels_are_compiled_by_the_package_alone() -> None:
    """`numba.njit` itself would keep machine code that is stale when another module changes."""
    direct = {name for name, source in modules().items() if re.search(r"(?m)^\s*(from|import) numba", source)}
    assert direct == {"strategy.compiled"}


# --- start-up, the command and the public surface ----------------------------------------------


def loaded_by(code: str) -> set[str]:
    """Top-level modules in memory after `code` in a new Python."""
    tail = "\nimport sys\nprint('LOADED', *{name.partition('.')[0] for name in sys.modules})"
    run = subprocess.run(
        [sys.executable, "-c", code + tail], cwd=ROOT, check=True, capture_output=True, encoding="utf-8"
    )
    return set(run.stdout.rpartition("LOADED")[2].split())


def test_help_loads_nothing_heavy() -> None:
    loaded = loaded_by("from strategy.cli.main import main\nmain(['--help'], standalone_mode=False)")
    assert {"strategy", "click"} <= loaded
    assert loaded.isdisjoint(HEAVY)


def test_a_heavy_import_would_be_seen() -> None:
    assert "shapely" in loaded_by("import shapely")


def test_version_and_module_run() -> None:
    run = subprocess.run(
        [sys.executable, "-m", "strategy", "--version"],
        cwd=ROOT,
        check=True,
        capture_output=True,
        encoding="utf-8",
    )
    assert run.stdout.strip() == f"course-strategy, version {strategy.__version__}"


def test_a_users_fault_is_printed_without_traceback() -> None:
    group = Commands("main")

    @group.command("plan")
    def plan() -> None:
        raise CourseError("links.geojson", "feature 7", "the ring has 2 corners", "Draw it again")

    result = CliRunner().invoke(group, ["plan"])
    assert result.exit_code == 2
    assert result.stderr == "links.geojson: feature 7: the ring has 2 corners. Draw it again.\n"
    assert result.stdout == ""


def test_a_fault_of_ours_keeps_its_traceback() -> None:
    group = Commands("main")

    @group.command("plan")
    def plan() -> None:
        raise ZeroDivisionError

    assert isinstance(CliRunner().invoke(group, ["plan"]).exception, ZeroDivisionError)


# --- the repository ------------------------------------------------------------------------------


def test_the_top_level_holds_only_what_it_should() -> None:
    tops = {path.parts[0] for path in tracked()}
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "strategy", "courses", "tests", "scripts"}
    assert {"README.md", "pyproject.toml", "strategy", "scripts"} <= tops
    assert {top for top in tops if not top.startswith(".")} - allowed == set()


def test_files_are_found_without_git_too() -> None:
    assert set(tracked()) <= set(walked())
    assert not any(".venv" in path.parts for path in walked())


MOST_LINES = 500
LONGER = {"tests/report/pictures/test_picture.py": 560}


def test_modules_are_short() -> None:
    lines = {name: source.count("\n") for name, source in python_files().items()}
    assert {name: n for name, n in lines.items() if n > LONGER.get(name, MOST_LINES)} == {}
    assert max(lines.values()) > 400


def many_arguments(name: str, source: str) -> list[str]:
    """Functions of more positional arguments than one keeps apart: 8, in the kernels of `decide` 12."""
    most = 12 if name.startswith("strategy.decide.kernels") else 8
    faults = []
    for node in ast.walk(parsed(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            given = [a.arg for a in node.args.posonlyargs + node.args.args if a.arg not in ("self", "cls")]
            if len(given) > most:
                faults.append(f"{name}.{node.name}: {len(given)}")
    return faults


def test_functions_take_few_positional_arguments() -> None:
    assert [fault for name, source in modules().items() for fault in many_arguments(name, source)] == []


def test_a_function_of_many_arguments_would_be_seen() -> None:
    nine = "def f(a, b, c, d, e, f, g, h, i, *, j): pass"
    assert many_arguments("strategy.plan.ask", nine) == ["strategy.plan.ask.f: 9"]
    assert many_arguments("strategy.decide.kernels.trees", nine) == []


def test_scripts_import_nothing_from_tests() -> None:
    """Benches run where no test is installed; what both need stands in scripts."""
    scripts = python_files("scripts")
    assert {"scripts/bench", "scripts/bench_whole.py", "scripts/words"} <= set(scripts)
    importing = [n for n, s in scripts.items() if re.search(r"(?m)^\s*(from|import) tests\b", s)]
    assert importing == []


# Put together from pieces, so that this file does not hold what it looks for.
FOREIGN = re.compile(
    r"/(?:ro" + r"ot|wo" + r"rk|ho" + r"me/\w+|Us" + r"ers/\w+)/"
    r"|py" + r"pi\.(?:org|python)|files\.python" + r"hosted"
    r"|--(?:extra-)?index" + r"-url|--find" + r"-links|https?://\S+/sim" + r"ple\b"
)


@pytest.mark.parametrize(
    "line",
    [
        "open('/" + "work/main/x')",
        "cd /" + "root/x",
        "/" + "home/ann/plan",
        "numpy @ https://py" + "pi.org/sim" + "ple/numpy",
        "--index" + "-url https://example.org/x",
    ],
)
def test_a_machine_path_or_registry_address_would_be_seen(line: str) -> None:
    assert FOREIGN.search(line)


def test_no_machine_path_and_no_registry_address() -> None:
    faults = []
    read = 0
    for path in tracked():
        try:
            text = (ROOT / path).read_text(encoding="utf-8")
        except UnicodeDecodeError:
            continue
        read += 1
        for number, line in enumerate(text.splitlines(), start=1):
            if met := FOREIGN.search(line):
                faults.append(f"{path}:{number}: {met.group()}")
    assert read > 50
    assert faults == []


# --- the tests themselves ------------------------------------------------------------------------


def asserting(trees: list[ast.Module]) -> tuple[list[str], set[str]]:
    """Test functions that assert nothing, and the names of all functions that do.

    A function asserts when it has an `assert`, uses `pytest.raises`, `pytest.warns` or something
    called assert_..., or calls a function of the tests that does.
    """
    functions = [
        node
        for tree in trees
        for node in ast.walk(tree)
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef))
    ]
    calls: dict[str, set[str]] = {}
    sure: set[str] = set()
    for function in functions:
        called = calls.setdefault(function.name, set())
        for node in ast.walk(function):
            if isinstance(node, ast.Assert):
                sure.add(function.name)
            elif isinstance(node, ast.Call):
                called.add(ast.unparse(node.func).rpartition(".")[2])
        if any(name in ("raises", "warns") or name.startswith("assert_") for name in called):
            sure.add(function.name)
    while more := {name for name, called in calls.items() if name not in sure and called & sure}:
        sure |= more
    return [f.name for f in functions if f.name.startswith("test_") and f.name not in sure], sure


def test_every_test_asserts() -> None:
    files = sorted((ROOT / "tests").rglob("*.py"))
    silent, sure = asserting([ast.parse(path.read_text(encoding="utf-8")) for path in files])
    assert silent == []
    assert "test_every_test_asserts" in sure


def test_a_silent_test_would_be_seen() -> None:
    source = """
def agrees(a): assert a
def test_by_helper(): agrees(1)
def test_by_raises():
    with pytest.raises(ValueError): f()
def test_silent(): f(1)
"""
    silent, _ = asserting([ast.parse(source)])
    assert silent == ["test_silent"]
