"""Samples: the stop of a piece's path, the shelf, and what is kept of a measured cloth."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, Form, Query, Request
from fastapi.responses import Response

from weftline.core.learning.sample import State
from weftline.core.plan.foretold import Whatif, first_facts, foretell
from weftline.core.plan.plan import plan as plan_of
from weftline.core.plan.sampler import sampler
from weftline.errors import PieceError
from weftline.formats.sample_json import facts_data, sample_of
from weftline.server import changes
from weftline.server.measures import BEATS, Measured
from weftline.server.pages.frame import frame
from weftline.server.pages.sample import sample_view
from weftline.server.pages.samples import sample_rows
from weftline.server.routes.pictures import Wish, answer, whole_of
from weftline.server.workbench import Bench, Device, HandOf, done, page
from weftline.services.learned import SAMPLES, learned
from weftline.sheets.figures import CM_PER_INCH

if TYPE_CHECKING:
    from weftline.core.plan.plan import Plan
    from weftline.server.desk import Hand
    from weftline.server.workbench import Workbench

router = APIRouter()
Asked = Annotated[str, Query(max_length=20)]


@router.get("/samples")
def shelf(request: Request, bench: Bench) -> Response:
    """Show the samples, the last kept first."""
    pieces = bench.desk.summaries()
    rows = sample_rows(learned(bench.desk.shelf()), frozenset(one.id for one in pieces))
    return page(request, "samples.html", shelf="Samples", rows=rows, pieces=pieces)


@router.get("/pieces/{piece}/sample")
def sample(
    request: Request, bench: Bench, device: Device, piece: str, sett: Asked = "", strands: Asked = "", beat: Asked = ""
) -> Response:
    """Show what was measured of a piece's cloth and what is foretold of it, also with something changed in thought."""
    sheet, plan, known = bench.desk.sheet(piece, device), bench.desk.plan(piece), learned(bench.desk.shelf())
    other = _whatif(plan, sett, strands, beat)
    view = sample_view(sheet, plan, known, other, foretell(plan, known.belief, other))
    return page(request, "sample.html", frame=frame(sheet, plan, "sample"), view=view)


@router.get("/pieces/{piece}/foretold.webp")
async def foretold_picture(
    request: Request,
    bench: Bench,
    piece: str,
    px: Annotated[int, Query(ge=16, le=2000)],
    sett: Asked = "",
    strands: Asked = "",
    beat: Asked = "",
) -> Response:
    """Draw the piece as it is foretold, with something changed in thought."""

    def wish() -> Wish:
        plan = bench.desk.plan(piece)
        found = foretell(plan, learned(bench.desk.shelf()).belief, _whatif(plan, sett, strands, beat))
        shown = plan if found is None else plan_of(found.as_project())
        return whole_of(shown, min(4000, 2 * px), 0, lasts=False)

    return await answer(request, bench, wish)


def _whatif(plan: Plan, sett: str, strands: str, beat: str) -> Whatif:
    imperial = plan.project.units == "imperial"
    own = plan.settings.sett_per_mm.value * 10
    asked = _number(sett)
    per_cm = None if asked is None else asked / (CM_PER_INCH if imperial else 1.0)
    if per_cm is not None and not (0.1 <= per_cm <= 60 and abs(per_cm - own) > 0.005 * own):
        per_cm = None
    times = _number(strands)
    return Whatif(
        per_cm, times if times is not None and 0.1 <= times <= 10 else 1.0, beat if beat in BEATS and beat else None
    )


def _number(text: str) -> float | None:
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return None


@router.post("/pieces/{piece}/samples")
def keep(
    request: Request, bench: Bench, hand: HandOf, piece: str, measured: Annotated[Measured, Depends()]
) -> Response:
    """Keep what was measured as a sample on the shelf, and as the piece's own numbers where it tells them."""
    plan = bench.desk.plan(piece)
    readings = measured.readings(imperial=plan.project.units == "imperial")
    if measured.beat not in BEATS:
        raise PieceError("", f"a beat is soft, firm or hard, not {measured.beat}")
    document = _document(plan, piece, measured, readings)
    if document is not None:
        sample_of("new", document)
    _measured_numbers(bench, piece, plan, readings, hand)
    if document is not None:
        bench.desk.put(SAMPLES, f"s{hand.entry}"[:80], document, replace(hand, entry=f"{hand.entry}.sample"))
    return done(request, f"/pieces/{piece}/sample")


def _document(plan: Plan, piece: str, measured: Measured, readings: dict[str, Any]) -> dict[str, Any] | None:
    """Return a sample as the shelf keeps it; None where the piece does not say what warp or weft weighs."""
    facts = first_facts(plan, measured.beat or None)
    if facts is None:
        return None
    note = measured.note.strip()
    document = {"name": plan.project.name, "piece": piece, "facts": facts_data(facts), "readings": readings}
    return {**document, "note": note} if note else document


def _measured_numbers(bench: Workbench, piece: str, plan: Plan, readings: dict[str, Any], hand: Hand) -> None:
    """Write lines counted on slack cloth, and a draw-in measured on the loom, into the piece."""
    fields: dict[str, Any] = {}
    if readings.get("state") == State.SLACK.value:
        per_cm = readings["lines"][0] * 10 / readings["over_mm"]
        fields |= {"beat.lines_per_cm": round(per_cm, 4), "beat.basis": "measured"}
    if "in_reed_mm" in readings and "on_loom_mm" in readings:
        drawn = 1 - readings["on_loom_mm"] / readings["in_reed_mm"]
        if not -0.001 <= drawn < 0.5:
            raise PieceError("", "the width on the loom is a little less than in the reed; measure both again")
        fields["allowances.draw_in"] = round(max(0.0, drawn), 4)
    if not fields:
        return
    command = changes.set_fields(bench.desk.sheet(piece, hand.device).draft, fields)
    if command is not None:
        bench.desk.change(piece, command, hand, "measure")


@router.post("/pieces/{piece}/samples/piece")
def as_piece(
    request: Request,
    bench: Bench,
    hand: HandOf,
    piece: str,
    sett: Annotated[float, Form(ge=0.1, le=60)],
    long: Annotated[float, Form(ge=10, le=2000)],
) -> Response:
    """Make the sample that is to be woven next a small piece of its own."""
    plan = bench.desk.plan(piece)
    found = foretell(plan, learned(bench.desk.shelf()).belief, Whatif(sett))
    if found is None:
        raise PieceError(
            "", "say the sizes of the warp and of the weft first; a sample of unknown yarns teaches nothing"
        )
    lines = found.forecast.lines_per_cm.value.value
    made = bench.desk.create(sampler(plan, sett, long, lines), hand)
    return done(request, f"/pieces/{made}/design")


@router.post("/samples/{at}/remove")
def remove(request: Request, bench: Bench, hand: HandOf, at: str) -> Response:
    """Take a sample away: what it taught is forgotten, numbers that stand in pieces stay."""
    bench.desk.remove(SAMPLES, at, hand)
    return done(request, "/samples")
