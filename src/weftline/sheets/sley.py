"""Sleying, as the sheets name it; the arithmetic is the reed's own."""

from weftline.core.looms.reed import LONGEST, SHORT, Sley, sley_of

__all__ = ["LONGEST", "SHORT", "Sley", "sley_of"]
