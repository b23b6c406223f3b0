"""A second, slow reading of the weaver's log: everything is done again from the beginning after every entry.

It keeps the list of what was done and works out from it what lies in the cloth; to unweave, the list
is cut off before the last throw. Nothing of it is taken from the program that it is held against.
"""

from dataclasses import dataclass, field
from typing import Any

WEAVING = {"thrown", "unwoven", "skipped", "left", "rejoined"}


@dataclass
class SlowLog:
    """What is woven, by a list of doings: throws as dicts, moves as (ordinal, version, left)."""

    doings: list[Any] = field(default_factory=list)
    device: str | None = None
    held: list[tuple[int, str, dict[str, Any], str]] = field(default_factory=list)
    marks: list[tuple[int, int]] = field(default_factory=list)
    ids: dict[str, int] = field(default_factory=dict)

    @property
    def throws(self) -> list[dict[str, Any]]:
        return [doing for doing in self.doings if isinstance(doing, dict)]

    @property
    def place(self) -> tuple[int, int, bool]:
        """Next ordinal, version, whether the plan is left."""
        ordinal, version, left = 1, 0, False
        for doing in self.doings:
            if not isinstance(doing, dict):
                ordinal, version, left = doing
            elif "plan" in doing:
                ordinal, version, left = doing["plan"]["ordinal"] + 1, doing["plan"]["seq"], False
        return ordinal, version, left

    def take(self, seq: int, name: str, kind: str, device: str, payload: dict[str, Any]) -> int:
        """Take in an entry, and say where it stands; one with a known id changes nothing."""
        if name in self.ids:
            return self.ids[name]
        self.ids[name] = seq
        if kind == "weave-here":
            self.device = device
        elif kind == "chosen":
            for one in [one for one in self.held if one[0] in payload["entries"]]:
                self.held.remove(one)
                if payload["woven"]:
                    self._do(one[1], one[2])
        elif kind not in WEAVING:
            self.marks.append((seq, len(self.throws)))
        elif self._is_woven(kind, payload):
            self.held.append((seq, kind, payload, "already woven"))
        elif self.device not in (None, device):
            self.held.append((seq, kind, payload, "weaving elsewhere"))
        else:
            self.device = device
            self._do(kind, payload)
        return seq

    def _is_woven(self, kind: str, payload: dict[str, Any]) -> bool:
        if kind != "thrown" or "plan" not in payload["throws"][0]:
            return False
        plan = payload["throws"][0]["plan"]
        ordinal, version, _ = self.place
        return "already" in payload or bool(plan["seq"] == version and plan["ordinal"] < ordinal)

    def _do(self, kind: str, payload: dict[str, Any]) -> None:
        ordinal, version, left = self.place
        if kind == "thrown":
            self.doings += payload["throws"]
        elif kind == "skipped" and not left:
            after = payload.get("plan", {"ordinal": ordinal + payload["throws"], "seq": version})
            self.doings.append((after["ordinal"], after["seq"], False))
        elif kind == "left":
            self.doings.append((ordinal, version, True))
        elif kind == "rejoined":
            plan = payload.get("plan")
            self.doings.append((ordinal, version, False) if plan is None else (plan["ordinal"], plan["seq"], False))
        elif kind == "unwoven":
            for _ in range(payload["throws"]):
                lasts = [place for place, doing in enumerate(self.doings) if isinstance(doing, dict)]
                if lasts:
                    self.doings = self.doings[: lasts[-1]]
