"""Slow, plain second opinions to compare the real code with."""
