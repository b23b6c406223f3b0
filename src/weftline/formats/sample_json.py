"""A sample as the shelf keeps it: JSON that stands by itself, whatever becomes of the piece that it was woven from.

``facts`` holds the cloth: ``warp`` and ``weft`` with what is said of them, tex, diameter in mm with its interval,
density; the technique by name or written out; sett per cm; beat, loom and weaver. ``readings`` holds what was
measured, in mm and grams; what was not measured is left out. ``name``, ``piece`` and ``date`` tell where it came from.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from weftline.core.findings import Basis, Quantity
from weftline.core.geometry.sett import Thread
from weftline.core.learning.facts import ClothFacts
from weftline.core.learning.sample import Count, Length, Marks, Sample, State, Verdict, WeftLaid, Weighed, Width
from weftline.core.weave.technique import Technique, find_technique
from weftline.errors import PieceError

if TYPE_CHECKING:
    from collections.abc import Mapping


def facts_data(facts: ClothFacts) -> dict[str, Any]:
    """Return a cloth's facts as JSON."""
    technique = facts.technique
    named = find_technique(technique.name)
    found: dict[str, Any] = {
        "warp": _thread_data(facts.warp),
        "weft": _thread_data(facts.weft),
        "technique": technique.name
        if named == technique
        else {
            "threading": list(technique.threading),
            "sheds": [list(shed) for shed in technique.sheds],
            "shafts": technique.shafts,
        },
        "sett_per_cm": facts.sett_per_cm,
        "beat": facts.beat,
        "weaver": facts.weaver,
        "loom": facts.loom,
        "loom_kind": facts.loom_kind,
        "yarn": facts.yarn,
    }
    return {name: value for name, value in found.items() if value is not None}


def sample_of(key: str, document: Mapping[str, Any]) -> Sample:
    """Return a sample from its document.

    Raises
    ------
    PieceError
        Where the document is none of a sample.
    """
    try:
        return _sample(key, document)
    except (KeyError, TypeError, ValueError) as cause:
        raise PieceError("", f"the sample {key} on the shelf cannot be read ({cause}); take it away") from None


def _sample(key: str, document: Mapping[str, Any]) -> Sample:
    read = document["readings"]

    def of(name: str) -> float | None:
        return None if read.get(name) is None else float(read[name])

    counted = (
        Count(tuple(map(float, read["lines"])), float(read["over_mm"]), State(read["state"]))
        if "lines" in read
        else None
    )
    weighed = Weighed(float(read["grams"]), float(read["area_mm2"])) if "grams" in read else None
    marks = Marks(float(read["warp_mm"]), float(read["woven_mm"])) if "warp_mm" in read else None
    laid = (WeftLaid(float(read["weft_mm"]), float(read["weft_over_mm"])),) if "weft_mm" in read else ()
    return Sample(
        key=key,
        facts=_facts(document["facts"]),
        counted=counted,
        width=Width(of("in_reed_mm"), of("on_loom_mm"), of("off_loom_mm"), of("washed_mm")),
        length=Length(of("long_on_loom_mm"), of("long_off_loom_mm"), of("long_washed_mm")),
        weighed=weighed,
        thickness_mm=of("thickness_mm"),
        marks=marks,
        laid=laid,
        verdict=Verdict(read["verdict"]) if "verdict" in read else None,
        date=str(document.get("date", "")),
        note=str(document.get("note", "")),
    )


def _facts(data: Mapping[str, Any]) -> ClothFacts:
    said = data["technique"]
    technique = find_technique(said) if isinstance(said, str) else _own(said)
    if technique is None:
        raise ValueError(f"no weave is called {said}")
    return ClothFacts(
        warp=_thread(data["warp"]),
        weft=_thread(data["weft"]),
        technique=technique,
        sett_per_cm=float(data["sett_per_cm"]),
        beat=data.get("beat"),
        weaver=data.get("weaver", "weaver"),
        loom=data.get("loom", "loom"),
        loom_kind=data.get("loom_kind"),
        yarn=data.get("yarn"),
    )


def _own(said: Mapping[str, Any]) -> Technique:
    sheds = tuple(tuple(shed) for shed in said["sheds"])
    return Technique("own", tuple(said["threading"]), sheds, int(said["shafts"]), "written out in the piece")


def _thread_data(thread: Thread) -> dict[str, Any]:
    diameter = thread.diameter_mm
    found: dict[str, Any] = {
        "said": thread.said,
        "tex": thread.tex,
        "diameter_mm": [diameter.value, diameter.low, diameter.high],
        "density_g_cm3": thread.density_g_cm3,
    }
    if not thread.is_wool:
        found["wool"] = False
    if thread.tex_log_sd:
        found["tex_log_sd"] = thread.tex_log_sd
    return found


def _thread(data: Mapping[str, Any]) -> Thread:
    value, low, high = data["diameter_mm"]
    return Thread(
        str(data["said"]),
        float(data["tex"]),
        Quantity(float(value), Basis.COMPUTED, low, high),
        float(data["density_g_cm3"]),
        bool(data.get("wool", True)),
        float(data.get("tex_log_sd", 0.0)),
    )
