"""Cloths and samples that the tests of learning share."""

from dataclasses import replace

from weftline.core.geometry.sett import Thread
from weftline.core.geometry.threads import thread_of_numbers
from weftline.core.learning.facts import ClothFacts
from weftline.core.learning.sample import Count, Length, Marks, Sample, Verdict, WeftLaid, Weighed, Width
from weftline.core.weave.technique import KROKBRAGD
from weftline.core.yarn.numbers import yarn_numbers


def thread(said: str) -> Thread:
    return thread_of_numbers(yarn_numbers(said))


RUG = ClothFacts(thread("310 tex cotton"), thread("1000 tex wool"), KROKBRAGD, 2.4, "firm")
"""8/4 cotton, two strands of 500 tex, krokbragd: the cloth that the model was first worked by hand for."""

FINER = replace(RUG, weft=thread("600 tex wool"), sett_per_cm=3.0)
"""Another yarn at another sett."""

CLOSER = replace(RUG, sett_per_cm=3.0)
"""The same yarn at another sett."""


def strip(facts: ClothFacts = RUG, lines: float = 62, key: str = "strip") -> Sample:
    """15 cm of it, counted, nothing else."""
    return Sample(key, facts, Count((lines,), 150))


def measured(facts: ClothFacts = RUG, lines: float = 62, key: str = "whole") -> Sample:
    """A sample of which everything was read."""
    return Sample(
        key,
        facts,
        Count((lines,), 150),
        Width(250, 231, 227, 221),
        Length(150, 148, 143),
        Weighed(52.0, 227 * 148),
        4.1,
        Marks(162, 150),
        (WeftLaid(262, 231, 2), WeftLaid(255, 231, 1)),
        Verdict.HELD,
    )
