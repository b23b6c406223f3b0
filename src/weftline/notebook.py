"""Pieces in a notebook: a project or a plan that ends a cell shows as its cloth.

``import weftline`` does this by itself where IPython is running; elsewhere
``%load_ext weftline.notebook`` does.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from weftline.core.piece.values import Project
    from weftline.core.plan.plan import Plan

WIDTH_PX = 480


def project_png(project: Project) -> bytes:
    """Return the face of a piece as PNG, 480 pixels wide."""
    from weftline.core.piece.cloth import expand
    from weftline.core.piece.settings import settings_of
    from weftline.drawing.wool import View, wool_picture
    from weftline.formats.png import to_png

    picture = wool_picture(expand(project), settings_of(project), view=View(width_px=WIDTH_PX, smooth=True))
    return to_png(picture.pixels, (picture.dpi_x, picture.dpi_y))


def plan_png(plan: Plan) -> bytes:
    """Return the face of a planned piece as PNG."""
    return project_png(plan.project)


def load_ipython_extension(shell: Any) -> None:
    """Tell IPython how to show projects and plans; nothing is imported before one is shown."""
    formatter = shell.display_formatter.formatters["image/png"]
    formatter.for_type_by_name("weftline.core.piece.values", "Project", project_png)
    formatter.for_type_by_name("weftline.core.plan.plan", "Plan", plan_png)
