"""One home each: a name of a class means one thing."""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Mapping

from tests.test_house import modules, parsed


def test_no_two_classes_of_the_package_share_a_name():
    trees = [parsed(source) for source in modules().values()]
    names = [node.name for tree in trees for node in tree.body if isinstance(node, ast.ClassDef)]
    assert len(names) > 150
    assert [name for name, times in Counter(names).items() if times > 1] == []


def backticked(name: str, source: str) -> list[tuple[str, str]]:
    """Dotted names of the package in backticks, in docstrings and comments: (module, name)."""
    return [
        (name, met) for met in re.findall(r"(?<!`)`((?:[a-z_]+\.)+(?!json|toml)[A-Za-z_]+)`(?!`)", source)
    ]


def there(name: str, found: Mapping[str, str]) -> bool:
    """Whether a dotted name is a module, or a name that stands in one; rooms may be left out in front."""
    parts = name.removeprefix("strategy.").split(".")
    for module, source in found.items():
        inside = module.split(".")
        for k in range(len(parts), 0, -1):
            if inside[-k:] == parts[:k] and (k == len(parts) or re.search(rf"\b{parts[k]}\b", source)):
                return True
    return False


def test_what_docstrings_point_to_is_there() -> None:
    """Names of modules change; a page that points to an old one sends its reader nowhere."""
    found = modules()
    rooms = {module.split(".")[1] for module in found if module.count(".")}
    inner = {module.split(".")[2] for module in found if module.count(".") > 1}
    pointed = [met for name, source in found.items() for met in backticked(name, source)]
    own = [(where, name) for where, name in pointed if name.split(".")[0] in rooms | inner | {"strategy"}]
    assert len(own) > 50
    assert [(where, name) for where, name in own if not there(name, found)] == []
    assert not there("decide.passes", found)
