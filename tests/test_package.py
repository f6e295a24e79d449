"""The package: what it offers by name, what it needs, what the wheel holds."""

from __future__ import annotations

import ast
import inspect
import os
import runpy
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

import strategy
from strategy import errors
from strategy.demofiles import demo, demo_folder
from strategy.errors import RequestError
from tests.test_house import ROOT, modules, parsed, python_files, tracked

# --- public names --------------------------------------------------------------------------------


@pytest.mark.parametrize("name", [name for name in strategy.__all__ if name != "__version__"])
def test_public_names_are_there_and_say_what_they_are(name: str) -> None:
    assert callable(getattr(strategy, name))
    assert name in dir(strategy)
    assert (inspect.getdoc(getattr(strategy, name)) or "").strip()


def test_every_error_that_users_may_catch_is_public() -> None:
    own = {
        name for name, what in vars(errors).items() if inspect.isclass(what) and issubclass(what, Exception)
    }
    assert len(own) > 5
    assert own <= set(strategy.__all__)


def test_an_unknown_public_name_is_an_attribute_error() -> None:
    with pytest.raises(AttributeError, match="plan_cuorse"):
        _ = strategy.plan_cuorse


# --- what is needed ------------------------------------------------------------------------------

# Imported under another name than they are installed by.
INSTALLED_AS = {"PIL": "pillow", "sklearn": "scikit-learn"}


def imported(sources: list[str]) -> set[str]:
    """Packages from elsewhere that some sources import, also inside functions."""
    found = set()
    for source in sources:
        for node in ast.walk(parsed(source)):
            if isinstance(node, ast.Import):
                found |= {alias.name.partition(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
                found.add(node.module.partition(".")[0])
    own = {"strategy", "tests", "scripts"} | {path.stem for path in (ROOT / "scripts").glob("*.py")}
    return {canonicalize_name(INSTALLED_AS.get(n, n)) for n in found - own - set(sys.stdlib_module_names)}


def declared(*extras: str) -> set[str]:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lines = list(project["dependencies"])
    for extra in extras:
        lines += project["optional-dependencies"][extra]
    return {canonicalize_name(Requirement(line).name) for line in lines}


def test_what_the_package_imports_is_declared_and_nothing_else() -> None:
    used = imported(list(modules().values()))
    assert used == declared("heights")


def test_what_tests_and_scripts_import_is_declared() -> None:
    used = imported(list(python_files("tests", "scripts").values()))
    assert {"pytest", "hypothesis", "quantecon"} <= used
    assert used - declared("heights", "dev") == set()


def test_an_undeclared_import_would_be_seen() -> None:
    assert imported(["def f():\n    import polars.selectors"]) - declared("heights", "dev") == {"polars"}


# --- installation --------------------------------------------------------------------------------


def test_constraints_pin_all_that_is_needed() -> None:
    lines = (ROOT / "scripts" / "constraints.txt").read_text(encoding="utf-8").splitlines()
    pinned = {}
    for line in lines:
        requirement = Requirement(line)
        (specifier,) = requirement.specifier
        assert specifier.operator == "=="
        assert requirement.url is None
        pinned[canonicalize_name(requirement.name)] = specifier.version
    pin = runpy.run_path(str(ROOT / "scripts" / "pin"))
    asked = pin["asked"](ROOT / "pyproject.toml")
    assert set(pin["closure"](asked)) <= set(pinned)
    for requirement in asked:
        assert requirement.specifier.contains(pinned[canonicalize_name(requirement.name)])


def test_demo_files_are_beside_the_package() -> None:
    found = demo()
    assert demo_folder() == ROOT / "courses"
    assert found.course.is_dir()
    assert found.player.is_file()
    assert found.week.is_file()


def test_a_missing_demo_file_is_named(tmp_path: Path) -> None:
    (tmp_path / "dunes").mkdir()
    (tmp_path / "dunes" / "course.geojson").touch()
    with pytest.raises(RequestError, match=r"players/\*tour\*\.toml"):
        demo(tmp_path)


@pytest.mark.slow
def test_the_wheel_carries_tables_and_demo_files(tmp_path: Path) -> None:
    build = subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "--target", "wheel", "--directory", str(tmp_path)],
        cwd=ROOT,
        check=False,
        capture_output=True,
        encoding="utf-8",
    )
    assert build.returncode == 0, build.stderr
    (wheel,) = tmp_path.glob("*.whl")
    assert wheel.name.startswith(f"course_strategy-{strategy.__version__}-")
    with zipfile.ZipFile(wheel) as archive:
        held = {name for name in archive.namelist() if ".dist-info/" not in name}
        archive.extractall(tmp_path / "site")
    files = tracked()
    package = {path.as_posix() for path in files if path.parts[0] == "strategy"}
    demo_files = {
        f"strategy/demo/{Path(*path.parts[1:]).as_posix()}" for path in files if path.parts[0] == "courses"
    }
    assert {"strategy/cli/main.py", "strategy/reference/tour_strokes.csv"} <= package
    assert any(name.endswith("/course.geojson") for name in demo_files)
    assert package | demo_files <= held
    assert {name for name in held if name.partition("/")[0] != "strategy"} == set()

    # The installed copy finds its demo files inside itself, not in this checkout.
    run = subprocess.run(
        [sys.executable, "-m", "strategy.demofiles"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(tmp_path / "site")},
        check=True,
        capture_output=True,
        encoding="utf-8",
    )
    inside = (tmp_path / "site" / "strategy" / "demo").resolve()
    assert [Path(line).resolve().is_relative_to(inside) for line in run.stdout.splitlines()] == [True] * 3
