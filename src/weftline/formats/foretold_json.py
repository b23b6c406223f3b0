"""What is foretold of a piece as data, unrounded; predictions are ``{value, low, high, basis}``."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Any

from weftline.core.learning.forecast import Told
from weftline.formats.plan_json import figure

if TYPE_CHECKING:
    from weftline.core.learning.forecast import Forecast
    from weftline.core.learning.next_sample import Trial
    from weftline.core.plan.risk import PieceRisk, Place


def forecast_data(found: Forecast) -> dict[str, Any]:
    """Return every figure of a forecast with what it rests on and what would narrow it most."""
    told: dict[str, Any] = {}
    for one in fields(found):
        value = getattr(found, one.name)
        told[one.name] = _told(value) if isinstance(value, Told) else [_told(part) for part in value]
    return told


def _told(told: Told) -> dict[str, Any]:
    narrow = told.narrow_it
    return {
        **(figure(told.value) or {}),
        "rests_on": list(told.rests_on),
        "narrow_it": None if narrow is None else {"measure": narrow.words, "leaves": narrow.left},
    }


def risk_data(risk: PieceRisk) -> dict[str, Any]:
    """Return what may become of every yarn of known weight."""
    return {
        "yarns": {
            key: {
                "need_g": figure(one.need_g),
                "runs_out": one.runs_out,
                "from_line": None if one.from_line is None else _place(one.from_line),
                "buy_g": one.buy_g,
                "packs": one.packs,
                "cost": one.cost,
            }
            for key, one in risk.yarns.items()
        },
        "any_runs_out": risk.any_runs_out,
        "rests_on": list(risk.rests_on),
    }


def _place(place: Place) -> dict[str, Any]:
    return {"section": place.section, "piece": place.piece, "line": place.line}


def trial_data(trial: Trial) -> dict[str, Any]:
    """Return strips to weave next, the warp they take and what they would leave of a figure's standard deviation."""
    return {
        "strips": [
            {"sett_per_cm": one.cloth.sett_per_cm, "woven_cm": one.long_mm / 10, "read": list(one.read)}
            for one in trial.strips
        ],
        "warp_cm": trial.cost_cm,
        "sd_after": trial.sd,
    }
