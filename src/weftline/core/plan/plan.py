"""The plan of a piece, computed from what its weaver wrote."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from weftline.core.amounts.warp import WarpAmount, warp_amount
from weftline.core.amounts.weft import WeftAmount, section_weft, whole_weft
from weftline.core.amounts.yarns import YarnAmount, grist_of, mass_of, yarn_amounts
from weftline.core.edges.edge_ends import edge_of
from weftline.core.edges.runs import strands_by_yarn
from weftline.core.findings import Basis, Caution, Finding, Quantity, Severity
from weftline.core.finishing.cautions import cautions_for
from weftline.core.geometry.sizes import SectionSize, section_size, total
from weftline.core.piece.cloth import Cloth, SectionCloth, StripCloth, expand
from weftline.core.piece.settings import Settings, settings_of
from weftline.core.plan import findings_making, findings_sett, findings_weave
from weftline.core.plan.steps import Step, steps
from weftline.core.weave.back import LongestFloat, longest_floats
from weftline.core.weave.hang import Layer, layers
from weftline.core.weave.threading import is_balanced

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weftline.core.piece.values import Project

SEVERITIES = tuple(Severity)


@dataclass(frozen=True, slots=True)
class StripFacts:
    """What the weave of one strip comes to.

    Parameters
    ----------
    name : str
    ends : int
        Working ends.
    balanced : bool
        Whether its ends read the same from both sides.
    layers : tuple of Layer
        Of its distinct sheds and shafts; one layer means that it hangs together, none a bare warp.
    floats : tuple of LongestFloat
        The longest float of every shed, longest first.
    longest_float_mm : Quantity
        The longest of them, from covered end to covered end.
    """

    name: str
    ends: int
    balanced: bool
    layers: tuple[Layer, ...]
    floats: tuple[LongestFloat, ...]
    longest_float_mm: Quantity

    @property
    def hangs_together(self) -> bool:
        """Whether the strip is one piece of cloth; a bare warp is none yet."""
        return len(self.layers) == 1

    @property
    def longest_float_ends(self) -> int:
        """Length of the longest float, counted in ends."""
        return self.floats[0].ends if self.floats else 0


@dataclass(frozen=True, slots=True)
class SectionFacts:
    """What one section comes to.

    Parameters
    ----------
    name : str
    pieces, picks, lines : int
        Picks count a shed once, however many strips.
    strips : tuple of StripFacts
    size : SectionSize
    mass_g : Quantity or None
        One finished piece without fringes and tails; None where a yarn's number is not known.
    mass_per_area_g_m2 : Quantity or None
        Over the finished area of its strips.
    """

    name: str
    pieces: int
    picks: int
    lines: int
    strips: tuple[StripFacts, ...]
    size: SectionSize
    mass_g: Quantity | None
    mass_per_area_g_m2: Quantity | None

    @property
    def ends(self) -> int:
        """Working ends of all strips; floating and doubled ends not counted."""
        return sum(strip.ends for strip in self.strips)

    @property
    def hangs_together(self) -> bool:
        """Whether every strip does."""
        return all(strip.hangs_together for strip in self.strips)


@dataclass(frozen=True, eq=False)
class Plan:
    """Everything computed from a piece.

    Parameters
    ----------
    cloth : Cloth
        The piece expanded.
    settings : Settings
        The numbers that it rests on.
    sections : tuple of SectionFacts
        In weaving order.
    warp : WarpAmount
    weft : dict of str to WeftAmount
        By yarn key, all pieces.
    yarns : dict of str to YarnAmount
        By yarn key, warp and weft together.
    throws : int
        Picks times strips, all pieces.
    time_h : Quantity
        Weaving alone, at the stated pace.
    findings : tuple of Finding
        Stops first.
    cautions : tuple of Caution
    """

    cloth: Cloth
    settings: Settings
    sections: tuple[SectionFacts, ...]
    warp: WarpAmount
    weft: dict[str, WeftAmount]
    yarns: dict[str, YarnAmount]
    throws: int
    time_h: Quantity
    findings: tuple[Finding, ...]
    cautions: tuple[Caution, ...]

    @property
    def project(self) -> Project:
        """The piece as written."""
        return self.cloth.project

    @property
    def stops(self) -> bool:
        """Whether a finding says that the piece cannot be woven as written."""
        return any(finding.severity is Severity.STOP for finding in self.findings)

    def steps(self) -> Iterator[Step]:
        """Yield every throw of the whole warp, in order."""
        return steps(self.cloth)


def plan(project: Project) -> Plan:
    """Return the plan of a piece.

    Parameters
    ----------
    project : Project
        As written; a key left out stands at its default, and every figure says so.

    Raises
    ------
    PieceError
        For anything written that cannot be followed (unknown yarns, lines that do not fit their
        sheds, techniques without a known threading).
    """
    cloth = expand(project)
    settings = settings_of(project)
    sizes = tuple(section_size(section, settings) for section in cloth.sections)
    warp = warp_amount(cloth, sizes, settings)
    strands = strands_by_yarn(cloth.windings)
    weft_once = [
        section_weft(section, size, settings, strands) for section, size in zip(cloth.sections, sizes, strict=True)
    ]
    weft = whole_weft(project, weft_once)
    amounts = yarn_amounts(project, warp, weft)
    facts = tuple(
        _facts(cloth, section, size, once, settings)
        for section, size, once in zip(cloth.sections, sizes, weft_once, strict=True)
    )
    throws = sum(
        section.written.pieces * sum(len(strip.weaving.picks) for strip in section.strips) for section in cloth.sections
    )
    found = [*cloth.findings, *_findings(cloth, facts, amounts, settings)]
    found.sort(key=lambda finding: SEVERITIES.index(finding.severity))
    return Plan(
        cloth=cloth,
        settings=settings,
        sections=facts,
        warp=warp,
        weft=weft,
        yarns=amounts,
        throws=throws,
        time_h=Quantity(float(throws), Basis.COMPUTED) / settings.picks_per_hour,
        findings=tuple(found),
        cautions=cautions_for(_heaviest(facts)),
    )


def _heaviest(facts: tuple[SectionFacts, ...]) -> float | None:
    masses = [section.mass_g.value for section in facts if section.mass_g is not None]
    return max(masses) if len(masses) == len(facts) else None


def _facts(
    cloth: Cloth, section: SectionCloth, size: SectionSize, weft: dict[str, WeftAmount], settings: Settings
) -> SectionFacts:
    strips = tuple(_strip_facts(strip, settings) for strip in section.strips)
    mass = _piece_mass(cloth, section, size, weft, settings)
    area = total(widths.finished_mm for widths in size.strips) * size.lengths.finished_mm * 1e-6
    return SectionFacts(
        name=section.name,
        pieces=section.written.pieces,
        picks=len(section.picks),
        lines=section.picks.line_count,
        strips=strips,
        size=size,
        mass_g=mass,
        mass_per_area_g_m2=mass / area if mass is not None and area.value > 0 else None,
    )


def _strip_facts(strip: StripCloth, settings: Settings) -> StripFacts:
    weaving = strip.weaving
    floats = tuple(longest_floats(weaving))
    longest = floats[0].ends if floats else 0
    return StripFacts(
        name=strip.name,
        ends=strip.written.ends,
        balanced=is_balanced(weaving.ends),
        layers=layers(findings_weave.weave_table(weaving)) if len(weaving.picks) else (),
        floats=floats,
        longest_float_mm=findings_weave.float_mm(longest, settings),
    )


def _piece_mass(
    cloth: Cloth, section: SectionCloth, size: SectionSize, weft: dict[str, WeftAmount], settings: Settings
) -> Quantity | None:
    """Return the mass of one finished piece: its warp as taken up, edge ends too, and its picks, without tails."""
    yarns = cloth.project.yarns
    warp_key = cloth.project.warp.yarn
    ends = sum(strip.written.ends + 2 * edge_of(cloth.project)[1] for strip in section.strips)
    warp_mm = size.lengths.woven_mm * (settings.warp_take_up + 1) * ends
    parts = [] if warp_key is None else [mass_of(warp_mm, grist_of(yarns[warp_key]).tex)]
    parts += [mass_of(amount.laid_mm, grist_of(yarns[key]).tex) for key, amount in weft.items()]
    known = [part for part in parts if part is not None]
    return total(known) if warp_key is not None and len(known) == len(parts) else None


def _findings(
    cloth: Cloth, facts: tuple[SectionFacts, ...], amounts: dict[str, YarnAmount], settings: Settings
) -> Iterator[Finding]:
    for section, section_facts in zip(cloth.sections, facts, strict=True):
        yield from findings_weave.strips_differ(section)
        yield from findings_weave.seams(section)
        for strip, strip_facts in zip(section.strips, section_facts.strips, strict=True):
            yield from findings_weave.hanging(section, strip, strip_facts.layers)
            yield from findings_weave.balance(cloth, section, strip)
            yield from findings_weave.equal_sheds(section, strip)
            yield from findings_weave.long_floats(section, strip, strip_facts.floats, settings)
    yield from findings_making.yarn_sizes(cloth.project, list(amounts))
    yield from findings_making.yarns_short(cloth.project, amounts)
    yield from findings_sett.setts(cloth, settings)
    yield from findings_making.loom_fits(cloth, tuple(one.size for one in facts))
