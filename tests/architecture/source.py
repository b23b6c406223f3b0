"""The source as these tests read it: every module of the package, parsed."""

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).resolve().parents[2]
PACKAGE: Final = ROOT / "src" / "weftline"


@dataclass(frozen=True)
class Function:
    """A function or method, named ``weftline.core.findings:Interval.widen``."""

    name: str
    node: ast.FunctionDef | ast.AsyncFunctionDef

    @property
    def lines(self) -> int:
        """Lines of code and comments from ``def`` to the end, the docstring left out."""
        node = self.node
        whole = (node.end_lineno or node.lineno) - node.lineno + 1
        first = node.body[0]
        if ast.get_docstring(node, clean=False) is None:
            return whole
        return whole - ((first.end_lineno or first.lineno) - first.lineno + 1)

    @property
    def parameters(self) -> int:
        """Parameters that a caller can fill; ``self`` and ``cls`` are not among them."""
        spec = self.node.args
        named = [*spec.posonlyargs, *spec.args, *spec.kwonlyargs, spec.vararg, spec.kwarg]
        return sum(1 for one in named if one is not None and one.arg not in {"self", "cls"})


@dataclass(frozen=True)
class Module:
    """One module of the package."""

    name: str
    path: Path
    text: str
    tree: ast.Module

    @property
    def lines(self) -> int:
        """All lines of the file, comments and blanks included."""
        return len(self.text.splitlines())

    def functions(self) -> Iterator[Function]:
        """Every function and method in it, however deep."""
        yield from _functions(self.tree, f"{self.name}:")


def _functions(node: ast.AST, prefix: str) -> Iterator[Function]:
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef):
            yield Function(prefix + child.name, child)
            yield from _functions(child, f"{prefix}{child.name}.")
        elif isinstance(child, ast.ClassDef):
            yield from _functions(child, f"{prefix}{child.name}.")
        else:
            yield from _functions(child, prefix)


@cache
def modules() -> tuple[Module, ...]:
    """Every module of the package, by name."""
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        text = path.read_text(encoding="utf-8")
        found.append(Module(name, path, text, ast.parse(text, filename=str(path))))
    return tuple(found)
