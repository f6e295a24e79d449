"""What tests load in an unusual way: scripts without a suffix, and a Python that lacks a package."""

from __future__ import annotations

import builtins
import sys
from importlib.machinery import SourceFileLoader
from importlib.util import module_from_spec, spec_from_loader
from pathlib import Path
from types import ModuleType

import pytest

SCRIPTS = Path(__file__).resolve().parents[1] / "scripts"


def script(name: str) -> ModuleType:
    """A script of `scripts/` as a module."""
    loader = SourceFileLoader(f"{name}_script", str(SCRIPTS / name))
    module = module_from_spec(spec_from_loader(loader.name, loader))
    sys.modules[loader.name] = module  # dataclasses look their module up
    loader.exec_module(module)
    return module


def without_package(monkeypatch: pytest.MonkeyPatch, package: str) -> None:
    """Let every import of a package fail, as where it is not installed."""
    plain = builtins.__import__

    def without(name, *rest, **more):
        if name.split(".")[0] == package:
            raise ImportError(name)
        return plain(name, *rest, **more)

    monkeypatch.setattr(builtins, "__import__", without)
