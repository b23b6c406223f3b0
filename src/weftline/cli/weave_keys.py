"""Weaving by keys: the coming throw in large type, one key for each thing that a weaver does."""

from __future__ import annotations

import sys
import time
from contextlib import contextmanager
from shutil import get_terminal_size
from typing import TYPE_CHECKING

from weftline.cli.answers import say
from weftline.cli.large_type import large
from weftline.cli.stored import DEVICE

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from weftline.core.weaving.coming import PlannedThrow
    from weftline.services.log_requests import LogEntry
    from weftline.wiring import Services

REBOUND_S = 0.25
"""A key that comes again so soon is the same press."""
SHOWN = 4
KEYS = "space next · u unweave · s skip · l leave the plan, or follow it again · n note · q end"
CLEAR = "\x1b[2J\x1b[H"


def weave_by_keys(services: Services, piece: str) -> None:
    """Weave until ``q``, or until there are no more keys."""
    loom = _Terminal(services, piece)
    loom.show()
    with _single_keys() as keys:
        for key in keys:
            if key in "qQ\x04\x03":
                break
            loom.press(key)
            loom.show()
    woven = services.weaving.woven(piece).count
    say(f"{woven} {'throw' if woven == 1 else 'throws'} woven; everything is kept.")


@contextmanager
def _single_keys() -> Iterator[Iterator[str]]:
    """Yield keys as they are pressed; from a pipe, its letters."""
    letters = iter(lambda: sys.stdin.read(1), "")
    if not sys.stdin.isatty():
        yield (letter for letter in letters if letter != "\n")
        return
    import termios
    import tty

    before = termios.tcgetattr(sys.stdin)
    tty.setcbreak(sys.stdin)
    try:
        yield _without_rebounds(letters)
    finally:
        termios.tcsetattr(sys.stdin, termios.TCSADRAIN, before)


def _without_rebounds(keys: Iterator[str], clock: Callable[[], float] = time.monotonic) -> Iterator[str]:
    last, when = "", 0.0
    for key in keys:
        now = clock()
        if key != last or now - when > REBOUND_S:
            yield key
        last, when = key, now


class _Terminal:
    """One piece, woven at this terminal."""

    def __init__(self, services: Services, piece: str) -> None:
        self.services = services
        self.piece = piece
        self.word = ""
        self.doings: dict[str, Callable[[], str]] = {
            " ": self._throw,
            "\r": self._throw,
            "u": self._unweave,
            "\x7f": self._unweave,
            "s": self._skip,
            "l": self._leave,
            "n": self._note,
        }

    def press(self, key: str) -> None:
        """Do what a key says; a word about it is shown with the next throw."""
        from weftline.errors import WeftlineError

        doing = self.doings.get(key.lower())
        try:
            self.word = "" if doing is None else doing()
        except WeftlineError as cause:
            self.word = f"{str(cause)[0].upper()}{str(cause)[1:]}."

    def _keep(self, kind: str, **more: object) -> str:
        noted = self.services.weaving.record(self.piece, self._sent(kind, **more))
        return "Another device weaves now; this is kept for a choice. Start again to weave here." if noted.held else ""

    def _sent(self, kind: str, **more: object) -> LogEntry:
        from weftline.services.log_requests import log_entry_of

        return log_entry_of({"kind": kind, "id": self.services.ids.new(), "device": DEVICE, **more})

    def _throw(self) -> str:
        noted = self.services.weaving.throw_next(self.piece, self.services.ids.new(), DEVICE)
        return "Another device weaves now; this is kept for a choice. Start again to weave here." if noted.held else ""

    def _unweave(self) -> str:
        return self._keep("unwoven") or "Unwoven: one throw."

    def _skip(self) -> str:
        return self._keep("skipped") or "Skipped: one throw."

    def _leave(self) -> str:
        left = self.services.weaving.stand(self.piece).left
        return self._keep("rejoined" if left else "left")

    def _note(self) -> str:
        say("Note: ", end="")
        text = _line()
        return (self._keep("note", text=text) or "Noted.") if text else ""

    def show(self) -> None:
        """Show the coming throw, large, and those after it."""
        if sys.stdout.isatty():
            sys.stdout.write(CLEAR)
        width = get_terminal_size().columns
        coming = self.services.weaving.coming(self.piece, SHOWN)
        account = self.services.weaving.woven(self.piece)
        say(f"{account.count} of {self.services.weaving.throws(self.piece).total} throws woven")
        if self.word:
            say(self.word)
        if not coming:
            left = self.services.weaving.stand(self.piece).left
            say("The plan is left; l follows it again." if left else "Nothing of the plan is left to throw.")
        for number, throw in enumerate(coming):
            lift, yarn, words = self._words(throw)
            if number == 0:
                for row in (*large(lift, width), "", *large(yarn, width)):
                    say(row)
            say(words if number == 0 else f"then {words}")
        say(KEYS)

    def _words(self, throw: PlannedThrow) -> tuple[str, str, str]:
        """Return what moves and the yarn, to be shown large, and everything in one line."""
        from weftline.core.looms.lift import lift_of, shed_of_loom
        from weftline.core.piece.names import yarn_name
        from weftline.core.weave.technique import shed_mask

        plan = self.services.weaving.throws(self.piece)
        project, section = plan.cloth.project, plan.cloth.sections[throw.section]
        mask, shafts = shed_mask(throw.shed), plan.cloth.technique.shafts
        lift = lift_of(mask, shafts, shed_of_loom(project), project.weave.face)
        yarn = " + ".join(
            yarn_name(project.yarns[key], key) + (f" x{strands}" if strands > 1 else "")
            for key, strands in throw.strands
        )
        strip = f", {section.strips[throw.strip].name}" if len(section.strips) > 1 else ""
        words = f"line {throw.line}, pick {throw.pick}{strip}: {lift.words()}, {yarn}"
        return "+".join(map(str, lift.shafts)) or "-", yarn, words


def _line() -> str:
    """Return one line as it is typed."""
    if not sys.stdin.isatty():
        return sys.stdin.readline().strip()
    import termios

    now = termios.tcgetattr(sys.stdin)
    cooked = [*now[:3], now[3] | termios.ICANON | termios.ECHO, *now[4:]]
    termios.tcsetattr(sys.stdin, termios.TCSADRAIN, cooked)
    try:
        return sys.stdin.readline().strip()
    finally:
        termios.tcsetattr(sys.stdin, termios.TCSADRAIN, now)
