"""One home each: a name of a class means one thing."""

from __future__ import annotations

import ast
from collections import Counter
from pathlib import Path

import strategy

PACKAGE = Path(strategy.__file__).parent


def test_no_two_classes_of_the_package_share_a_name():
    trees = [ast.parse(path.read_text(encoding="utf-8")) for path in sorted(PACKAGE.rglob("*.py"))]
    names = [node.name for tree in trees for node in tree.body if isinstance(node, ast.ClassDef)]
    assert len(names) > 150
    assert [name for name, times in Counter(names).items() if times > 1] == []
