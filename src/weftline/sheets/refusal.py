"""The one error of the printed pattern."""

from __future__ import annotations

from weftline.errors import WeftlineError


class PatternError(WeftlineError, RuntimeError):
    """A pattern that cannot be set: a font that is not here, or pages that the typesetter refuses."""

    code = "pattern"
