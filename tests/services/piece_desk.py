"""One piece on services in memory, and hands that send changes to it."""

from typing import Any, Final

from tests.fakes import fake_services
from tests.pieces import read
from weftline.core.piece.commands import command_of
from weftline.core.piece.draft import file_data
from weftline.services.answers import Asked, Kept
from weftline.services.requests import Change, reversal_of
from weftline.wiring import Services

PIECE: Final = {
    "weftline": 1,
    "name": "Mat",
    "yarns": {"o": {}, "s": {"colour": "#203040"}, "m": {}},
    "sections": [
        {
            "strips": [
                {
                    "ends": 37,
                    "bands": [{"lines": ["o o o", "s o o", "m o o"]}, {"lines": ["o o s *2"]}],
                }
            ]
        }
    ],
}
# Ids by tests.fakes.CountedIds: section n1, strip n2, band n3 with lines n4 n5 n6, band n7 with line n8; the piece n10.


class Desk:
    """One piece, and hands that send changes to it."""

    def __init__(self) -> None:
        self.services: Services = fake_services()
        self.piece = self.services.pieces.create(read(PIECE), "loom").stream
        self.count = 0

    def send(self, device: str, base: int | None = None, name: str | None = None, **command: Any) -> Kept | Asked:
        """Send a change that was made when the last entry was ``base``."""
        self.count += 1
        change = Change(
            id=f"{device} {self.count}",
            device=device,
            base_seq=self.seq if base is None else base,
            command=command_of(command),
            name=name,
        )
        return self.services.designing.change(self.piece, change)

    def take_back(self, device: str, verb: str = "undo", **more: Any) -> Kept | Asked:
        """Undo or redo."""
        self.count += 1
        reversal = reversal_of({"id": f"{device} {self.count}", "device": device, **more})
        designing = self.services.designing
        return (designing.undo if verb == "undo" else designing.redo)(self.piece, reversal)

    @property
    def seq(self) -> int:
        return self.services.pieces.open(self.piece).seq

    @property
    def bands(self) -> list[list[str]]:
        """Written lines by band."""
        bands = file_data(self.services.pieces.open(self.piece).draft)["sections"][0]["strips"][0]["bands"]
        return [band["lines"] for band in bands]

    @property
    def fields(self) -> dict[str, Any]:
        return dict(self.services.pieces.open(self.piece).draft.fields)


def line(name: str, text: str) -> dict[str, Any]:
    return {"id": name, "kind": "line", "fields": {"text": text}, "children": []}


LAY: Final[dict[str, Any]] = {"op": "lay", "line": "n5", "pick": 2, "token": "m"}
