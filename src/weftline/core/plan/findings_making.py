"""Findings about making it: yarn sizes that must be asked, yarn that runs short, a loom that is too small."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from weftline.core.amounts.yarns import grist_of
from weftline.core.findings import Finding, Severity, Where
from weftline.core.piece.names import yarn_name

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weftline.core.amounts.yarns import YarnAmount
    from weftline.core.geometry.sizes import SectionSize
    from weftline.core.piece.cloth import Cloth
    from weftline.core.piece.values import Project


def yarn_sizes(project: Project, used: list[str]) -> Iterator[Finding]:
    """Yield a stop for each used yarn whose size reads several ways or no way, a note where none is given."""
    for key in used:
        yarn = project.yarns[key]
        name, where = yarn_name(yarn, key), Where(yarn=key)
        grist = grist_of(yarn)
        if grist.question is not None:
            yield Finding(
                "size-asked",
                Severity.STOP,
                f'"{yarn.size}" of {name} reads several ways, so its weight is not known.',
                grist.question,
                where,
            )
        elif grist.trouble is not None:
            yield Finding("size-unread", Severity.STOP, f"The size of {name}: {grist.trouble}", "Write it as the "
                          "label does, as NeC 12/6, Nm 6/2, 500 tex or 2000 m/kg.", where)  # fmt: skip
        elif grist.tex is None:
            yield Finding(
                "size-missing",
                Severity.NOTE,
                f"{name} has no size, so its weight is not known.",
                "Add the size or the metres per kilogram from its label.",
                where,
            )
    if project.warp.yarn is None:
        yield Finding(
            "warp-yarn-missing",
            Severity.NOTE,
            "No yarn is named for the warp, so its weight is not known.",
            "Name one of the piece's yarns as warp.",
        )


def yarns_short(project: Project, amounts: dict[str, YarnAmount]) -> Iterator[Finding]:
    """Yield a finding for each yarn of which there is less on hand than the piece needs."""
    for key, amount in amounts.items():
        if amount.remains_g is None or amount.remains_g.value >= 0 or amount.mass_g is None or amount.on_hand_g is None:
            continue
        yarn = project.yarns[key]
        lot = f" of lot {yarn.lot}" if yarn.lot else ""
        if amount.packs_to_buy is None:
            remedy = f"Get {-amount.remains_g.value:.0f} g more{lot}."
        else:
            remedy = f"Buy {amount.packs_to_buy} more pack{'s' if amount.packs_to_buy > 1 else ''}{lot}."
        yield Finding(
            "yarn-short",
            Severity.WARN,
            f"{yarn_name(yarn, key)}: {amount.mass_g.value:.0f} g needed, {amount.on_hand_g.value:.0f} g here.",
            remedy,
            Where(yarn=key),
        )


def loom_fits(cloth: Cloth, sizes: tuple[SectionSize, ...]) -> Iterator[Finding]:
    """Yield a finding for each way in which the loom is too small for the piece."""
    loom = cloth.project.loom
    if loom.shafts is not None and loom.shafts < cloth.technique.shafts:
        yield Finding(
            "shafts-missing",
            Severity.WARN,
            f"This loom has {loom.shafts} shafts; the piece needs {cloth.technique.shafts}.",
            "Use a pick-up stick or heddle rods for the rest, or another technique.",
        )
    if loom.treadles:
        sheds = len(np.unique(np.concatenate([section.picks.shed for section in cloth.sections])))
        if sheds > loom.treadles:
            yield Finding(
                "treadles-missing",
                Severity.NOTE,
                f"The piece uses {sheds} sheds; this loom has {loom.treadles} treadles.",
                "Tie shafts one to a treadle and press two at once.",
            )
    if loom.weaving_width_cm is None:
        return
    for section, size in zip(cloth.sections, sizes, strict=True):
        over = size.across.in_reed_mm.value / 10.0 - loom.weaving_width_cm
        if over > 1e-9:
            yield Finding(
                "loom-narrow",
                Severity.STOP,
                f"{section.name} is {over:.1f} cm wider in the reed than this loom weaves.",
                "Weave two strips and sew them, use fewer ends, or a closer sett.",
                Where(section.name),
            )
