"""Sizes: the tail is policed. Aim at 300 lines a module, 40 a function, 5 parameters."""

from collections.abc import Iterator
from typing import Final

from tests.architecture.source import modules

MODULE_LINES: Final = 400
FUNCTION_LINES: Final = 60
PARAMETERS: Final = 7

EXCEPTIONS: Final[dict[str, str]] = {
    "weftline.cli.picture:picture": "typer reads a command's options from its parameters, one for each of eight options",
    "weftline.cli.resize:resize": "typer reads a command's options from its parameters, one for each of twelve options",
    "weftline.cli.sley:sley": "typer reads a command's options from its parameters, one for each of eight options",
}
"""What may be larger, and why: ``weftline.cli.plan`` for a module, ``weftline.cli.plan:plan`` for a function."""


def oversized() -> Iterator[tuple[str, str]]:
    for module in modules():
        if module.lines > MODULE_LINES:
            yield module.name, f"{module.lines} lines, at most {MODULE_LINES}"
        for function in module.functions():
            if function.lines > FUNCTION_LINES:
                yield function.name, f"{function.lines} lines without its docstring, at most {FUNCTION_LINES}"
            if function.parameters > PARAMETERS:
                yield function.name, f"{function.parameters} parameters, at most {PARAMETERS}"


def test_nothing_is_too_large() -> None:
    assert [f"{name}: {size}" for name, size in oversized() if name not in EXCEPTIONS] == []


def test_every_exception_is_still_needed_and_has_a_reason() -> None:
    needed = {name for name, _ in oversized()}
    assert [name for name, reason in EXCEPTIONS.items() if name not in needed or len(reason.split()) < 4] == []
