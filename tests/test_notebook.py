"""A piece that ends a notebook's cell shows as its cloth."""

import sys
from types import SimpleNamespace

import pytest

import weftline
from tests.pieces import named
from weftline import notebook


class Formatter:
    """Remembers, as IPython's own does, which function draws which type."""

    def __init__(self) -> None:
        self.drawers: dict[tuple[str, str], object] = {}

    def for_type_by_name(self, module: str, name: str, draw: object) -> None:
        self.drawers[module, name] = draw


def test_projects_and_plans_are_drawn(monkeypatch: pytest.MonkeyPatch) -> None:
    formatter = Formatter()
    shell = SimpleNamespace(display_formatter=SimpleNamespace(formatters={"image/png": formatter}))
    monkeypatch.setitem(sys.modules, "IPython", SimpleNamespace(get_ipython=lambda: shell))
    weftline._show_in_notebooks()
    assert formatter.drawers == {
        (weftline.Project.__module__, "Project"): notebook.project_png,
        (weftline.Plan.__module__, "Plan"): notebook.plan_png,
    }


def test_a_plan_shows_as_a_png_of_its_cloth() -> None:
    plan = weftline.plan(named("teeth there and back"))
    assert notebook.plan_png(plan).startswith(b"\x89PNG")
