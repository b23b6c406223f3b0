"""Presenters: a plan in, the view values of one page out; every number said here, with what it rests on."""
