"""``weftline log``: how far the weaving has come, and where it left the plan."""

from __future__ import annotations

from itertools import count
from typing import TYPE_CHECKING

from weftline.cli.answers import answer_json, say
from weftline.cli.arguments import JsonOption, ProjectArgument
from weftline.cli.files import read_file
from weftline.cli.taken_in import piece_if_any

if TYPE_CHECKING:
    from collections.abc import Iterator

    from weftline.core.piece.values import Project
    from weftline.core.weaving.account import Account
    from weftline.core.weaving.departures import Departure


def log(project: ProjectArgument, json: JsonOption = False) -> None:
    """Tell what is woven: throws, lines, length, and where the plan was left. Nothing is written."""
    from weftline.formats.log_json import account_data

    with piece_if_any(project) as found:
        account = _not_begun(read_file(project)) if found is None else found[0].weaving.account(found[1])
    if json:
        answer_json(account_data(account))
    elif not (account.woven_picks or account.marks or account.held):
        say("Nothing is woven yet.")
    else:
        for line in _account_lines(account):
            say(line)


def _not_begun(project: Project) -> Account:
    """Return the account of a piece that was never taken in."""
    from weftline.core.piece.cloth import expand
    from weftline.core.piece.draft import draft_of
    from weftline.core.weaving.account import account_of
    from weftline.core.weaving.coming import PlannedThrows
    from weftline.core.weaving.fold import Stand, Woven

    ids = map(str, count())
    draft = draft_of(project.model_dump(mode="json", exclude_unset=True), lambda: next(ids))
    return account_of(Woven(), PlannedThrows(expand(project), draft), Stand())


def _account_lines(account: Account) -> Iterator[str]:
    lines = f"{account.lines} {'line' if account.lines == 1 else 'lines'}"
    yield f"{_throws(account.woven_picks)} woven, {lines}, {account.length_mm.value:.0f} mm ({account.length_mm.basis})"
    place = account.stand.plan.ordinal
    if account.stand.left:
        yield f"The plan was left before its throw {place} of {account.plan.total}."
    elif account.next is None:
        yield f"All {account.plan.total} throws of the plan are behind."
    else:
        yield f"Next: throw {place} of {account.plan.total}, line {account.next.line}, pick {account.next.pick}."
    yield from (_departure_words(one) for one in account.departures)
    if account.held:
        yield f"Held for a choice: {_entries(len(account.held))} of other devices."
    for mark in account.marks:
        said = ", ".join(f"{key} {value}" for key, value in mark.payload.items())
        yield f"After {_throws(mark.throws)}: {mark.kind}, {said}"


def _throws(count: int) -> str:
    return f"{count} {'throw' if count == 1 else 'throws'}"


def _entries(count: int) -> str:
    return f"{count} {'entry' if count == 1 else 'entries'}"


def _departure_words(one: Departure) -> str:
    from weftline.core.weaving.departures import PASSED

    if one.kind == PASSED:
        return f"Before throw {one.first}: {_throws(one.throws)} of the plan passed over."
    last = one.first + one.throws - 1
    where = f"Throw {one.first}" if one.throws == 1 else f"Throws {one.first} to {last}"
    return f"{where}: {one.kind}, at throw {one.plan.ordinal} of the plan."
