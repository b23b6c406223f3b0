"""``weftline resize``: a piece in another width, length, sett or yarn, old beside new."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from weftline.cli.answers import answer_json, end_with, finding_lines, say
from weftline.cli.arguments import ForceOption, JsonOption, ProjectArgument
from weftline.cli.files import read_project, write_file
from weftline.cli.stored import shelf_learned
from weftline.errors import OutOfPlaceError, quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weftline.core.compose.wish import Resized, TwoWidths, Wish
    from weftline.core.piece.values import Project, Yarn
    from weftline.core.plan.plan import Plan

WIDTH = "Finished width: 60 cm, 24 in."
LENGTH = "Finished length of one piece: 1.2 m, 47 in."
SETT = "Working ends, with the unit: 8/in, 2.4/cm."
YARN = "Another size for one of its yarns, by its key: o='Nm 4/2'; may come several times."
OUTPUT = "Write the new piece to this project file."
LABEL, COLUMN = 26, 16


def resize(
    project: ProjectArgument,
    width: Annotated[str | None, typer.Option("--width", help=WIDTH)] = None,
    length: Annotated[str | None, typer.Option("--length", help=LENGTH)] = None,
    sett: Annotated[str | None, typer.Option("--sett", help=SETT)] = None,
    yarn: Annotated[list[str] | None, typer.Option("--yarn", metavar="KEY=SIZE", help=YARN)] = None,
    loom_width: Annotated[str | None, typer.Option("--loom-width", help="Weaving width of the loom: 70 cm.")] = None,
    as_wide_as_loom: Annotated[bool, typer.Option("--as-wide-as-loom", help="As wide as the loom weaves.")] = False,
    from_wool: Annotated[
        bool, typer.Option("--from-wool", help="As long as the wool at hand reaches in 95 of 100 pieces.")
    ] = False,
    pieces: Annotated[int | None, typer.Option("--pieces", help="How many of it on one warp.")] = None,
    section: Annotated[int, typer.Option("--section", help="Which section of the piece, from 1.")] = 1,
    output: Annotated[Path | None, typer.Option("-o", "--output", metavar="NEW.json", help=OUTPUT)] = None,
    force: ForceOption = False,
    json: JsonOption = False,
) -> None:
    """Make a piece wider, longer, closer or of other yarn: motifs whole, borders kept, ends balanced; exit code 1 if anything stops it."""
    from weftline.core.compose.resize import resize as resized
    from weftline.core.compose.wish import Wish
    from weftline.core.looms.densities import density_per_cm
    from weftline.core.plan.plan import plan
    from weftline.core.plan.risk import piece_risk, surely_on_hand
    from weftline.formats.native import dumps

    piece = read_project(project)
    wish = Wish(
        width_mm=_mm(width, "width"),
        length_mm=_mm(length, "length"),
        sett_per_cm=None if sett is None else float(density_per_cm(sett, "sett")),
        yarns=dict(_new_yarn(piece, said) for said in yarn or ()),
        loom_width_mm=_mm(loom_width, "width of a loom"),
        as_wide_as_loom=as_wide_as_loom,
        from_wool=from_wool,
        pieces=pieces,
        section=section - 1,
    )
    _refuse_nothing(wish)
    old = plan(piece)
    if from_wool:
        wish = replace(wish, on_hand_g=surely_on_hand(old, piece_risk(old, shelf_learned().belief)))
    found = resized(piece, wish)
    new = plan(found.project)
    if output is not None:
        write_file(output, dumps(found.project), force=force)
    if json:
        answer_json(_data(found, old, new))
        end_with(new.stops)
    for line in _lines(found, old, new, wish.section):
        say(line)
    if output is not None:
        say("")
        say(f"Written to {output}.")
    end_with(new.stops)


def _mm(text: str | None, what: str) -> float | None:
    from weftline.core.looms.densities import length_cm

    return None if text is None else float(length_cm(text, what)) * 10


def _new_yarn(piece: Project, said: str) -> tuple[str, Yarn]:
    from weftline.core.amounts.yarns import grist_of
    from weftline.core.piece.written import listed

    key, equals, size = (part.strip() for part in said.partition("="))
    if not equals or not size:
        raise OutOfPlaceError(f"{quoted(said)} is no yarn with its size; write it like o='Nm 4/2'")
    if key not in piece.yarns:
        raise OutOfPlaceError(f"no yarn is called {quoted(key, 20)}; use {listed(piece.yarns)}")
    found = piece.yarns[key].model_copy(update={"size": size[:80], "m_per_kg": None})
    grist = grist_of(found)
    if grist.tex is None:
        trouble = grist.trouble or grist.question or f"{quoted(size)} does not tell its weight; write it like Nm 4/2"
        raise OutOfPlaceError(f"yarn {key}: {trouble}")
    return key, found


def _refuse_nothing(wish: Wish) -> None:
    from weftline.core.compose.wish import Wish as Wishes

    if wish == Wishes(section=wish.section):
        raise OutOfPlaceError(
            "nothing is wished; add --width, --length, --sett, --yarn, --as-wide-as-loom or --from-wool"
        )


def _lines(found: Resized, old: Plan, new: Plan, section: int) -> Iterator[str]:
    """Yield what changed and what could not be met, then the new plan beside the old one."""
    yield from found.sentences
    if found.refusals:
        yield ""
        yield "Not as wished:"
        for refusal in found.refusals:
            yield f"  {refusal}"
    yield ""
    yield _row("", "now", "new")
    for label, one, other in _beside(found, old, new, section):
        yield _row(label, one, other)
    known = {(finding.code, finding.message) for finding in old.findings}
    fresh = [finding for finding in new.findings if (finding.code, finding.message) not in known]
    if fresh:
        yield ""
        yield from finding_lines(fresh)


def _row(label: str, one: str, other: str) -> str:
    return f"{label[: LABEL - 1]:{LABEL}}{one:>{COLUMN}}{other:>{COLUMN}}"


def _beside(found: Resized, old: Plan, new: Plan, section: int) -> Iterator[tuple[str, str, str]]:
    """Yield label, old and new."""
    from weftline.core.compose.words import length_words, mass_words
    from weftline.core.piece.names import yarn_name

    was, now = _figures(old, (section,)), _figures(new, _sections_of(found.two_widths, section))

    def both(label: str, key: str) -> tuple[str, str, str]:
        return label, length_words(was[key], old.project), length_words(now[key], old.project)

    yield both("width, finished", "width_mm")
    yield both("length, finished", "length_mm")
    yield "working ends", f"{was['ends']:,}", f"{now['ends']:,}"
    yield "lines", f"{was['lines']:,}", f"{now['lines']:,}"
    yield "pieces on the warp", f"{was['pieces']:,}", f"{now['pieces']:,}"
    yield both("warp, long", "warp_length_mm")
    for key in [*old.yarns, *(key for key in new.yarns if key not in old.yarns)]:
        masses = [one["yarns_g"].get(key, 0.0) for one in (was, now)]
        weights = ["not known" if mass is None else mass_words(mass, old.project) for mass in masses]
        yield yarn_name(new.project.yarns[key], key), weights[0], weights[1]


def _sections_of(two: TwoWidths | None, section: int) -> tuple[int, ...]:
    return (section,) if two is None else (two.left, two.right)


def _figures(plan: Plan, sections: tuple[int, ...]) -> dict[str, Any]:
    """Return the figures that stand beside each other; two widths are one piece."""
    facts = [plan.sections[place] for place in sections]
    return {
        "width_mm": sum(one.size.across.finished_mm.value for one in facts),
        "length_mm": facts[0].size.lengths.finished_mm.value,
        "ends": sum(one.ends for one in facts),
        "lines": facts[0].lines,
        "pieces": facts[0].pieces,
        "warp_ends": plan.warp.threaded_ends,
        "warp_length_mm": plan.warp.length_mm.value,
        "yarns_g": {key: None if one.mass_g is None else one.mass_g.value for key, one in plan.yarns.items()},
        "weft_mm": {key: one.length_mm.value for key, one in plan.weft.items()},
    }


def _data(found: Resized, old: Plan, new: Plan) -> dict[str, Any]:
    from dataclasses import asdict

    sections = range(len(old.sections))
    two = found.two_widths
    places = [_sections_of(two, place) for place in sections]
    return {
        "sentences": list(found.sentences),
        "refusals": list(found.refusals),
        "ends_first": found.ends_first,
        "two_widths": None if two is None else asdict(two),
        "before": [_figures(old, (place,)) for place in sections],
        "after": [_figures(new, place) for place in places],
        "project": found.project.model_dump(mode="json", exclude_unset=True),
    }
