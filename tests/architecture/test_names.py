"""Names: modules are nouns of the craft, the package offers what it says it offers, and only the command line prints."""

import ast
import types
from typing import Final

import weftline
from tests.architecture.source import modules

ATTICS: Final = frozenset({"common", "helper", "helpers", "misc", "util", "utils"})


def public_names() -> set[str]:
    """Names that ``weftline`` really offers; its modules and what it borrows from other packages are left out."""
    found = set()
    for name in dir(weftline):
        value = getattr(weftline, name)
        ours = str(getattr(value, "__module__", None) or "weftline").split(".")[0] == "weftline"
        if not name.startswith("_") and name != "TYPE_CHECKING" and ours and not isinstance(value, types.ModuleType):
            found.add(name)
    return found


def test_all_says_what_is_there() -> None:
    assert set(weftline.__all__) - {"__version__"} == public_names(), (
        "weftline.__all__ and the public names differ; names that are imported late belong in weftline.__dir__ too"
    )


def test_all_names_each_thing_once_and_it_is_there() -> None:
    assert len(set(weftline.__all__)) == len(weftline.__all__)
    assert [name for name in weftline.__all__ if not hasattr(weftline, name)] == []


def test_no_module_is_an_attic() -> None:
    assert [module.name for module in modules() if ATTICS & set(module.name.split("."))] == []


def test_only_the_command_line_prints() -> None:
    printing = [
        f"{module.name}:{node.lineno}"
        for module in modules()
        if not f"{module.name}.".startswith("weftline.cli.")
        for node in ast.walk(module.tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "print"
    ]
    assert printing == []
