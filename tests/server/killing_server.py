"""Kills the workbench at random moments while scripts write to it over HTTP, and counts what it kept of what it said."""

import json
import os
import random
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

import httpx2

from tests.pieces import TEETH
from tests.store.killing import HOME, Promise, broken_promises
from weftline.core.piece.commands import Lay, command_data
from weftline.core.piece.draft import LINE, tree_of, walk
from weftline.formats.native import loads
from weftline.store.engine import reading
from weftline.store.opening import open_store
from weftline.wiring import Settings, opened

PIECE_ENTRY: Final = "the only piece"
DEVICE: Final = "device-of-the-scripts"
SCRIPTS: Final = 4
EARLY: Final = 0.25
"""So many kills come while the workbench starts, the others while it is written to."""
START_S: Final = 1.2
WRITING_S: Final = 0.6
PATIENCE_S: Final = 30.0
PAGE: Final = 1000
PORTS: Final = range(20_000, 30_000)
"""Below the ports that systems hand out by themselves, so that it is still free between two starts."""
PROMISED: Final = {"journal_mode": "wal", "synchronous": 2}


@dataclass
class Script:
    """One script that sends change after change, and a change again whose answer never came."""

    word: str
    rng: random.Random
    sent: dict[str, dict[str, Any]] = field(default_factory=dict)
    said: dict[str, int] = field(default_factory=dict)
    waiting: str | None = None
    cut_off: int = 0
    kept_unsaid: int = 0
    troubles: list[str] = field(default_factory=list)

    def write(self, client: httpx2.Client, piece: str, lines: list[str]) -> None:
        """Write until the workbench is gone."""
        with suppress(httpx2.TransportError):
            self.again(client, piece)
            while not self.troubles:
                number = len(self.sent)
                name = f"{self.word}.{number}"
                command = Lay(line=lines[number % len(lines)], pick=number % 3 + 1, token="os"[number // 3 % 2])
                base = max(self.said.values(), default=1)
                self.sent[name] = {"id": name, "base_seq": base, "command": command_data(command)}
                self._send(client, piece, name, None)

    def again(self, client: httpx2.Client, piece: str) -> None:
        """Send again what was answered once, and what never was; what is kept has its place for good."""
        for name in self.rng.sample(list(self.said), min(1, len(self.said))):  # the first life has none
            self._send(client, piece, name, self.said[name])
        if self.waiting is not None:
            after = max(self.said.values(), default=0)
            kept = {entry["id"]: entry["seq"] for entry in entries_of(client, piece, after)}
            seq = kept.get(self.waiting)
            self._send(client, piece, self.waiting, seq)
            self.kept_unsaid += seq is not None

    def _send(self, client: httpx2.Client, piece: str, name: str, kept: int | None) -> None:
        if name not in self.said:
            self.waiting = name
        try:
            answer = client.post(f"/api/pieces/{piece}/commands", json=self.sent[name])
        except httpx2.TransportError:
            self.cut_off += name == self.waiting
            raise
        found = answer.json()
        seq, new = found.get("seq"), found.get("new")
        if (answer.status_code, new) != ((201, True) if kept is None else (200, False)) or seq != (kept or seq):
            self.troubles.append(f"{name}, kept at {kept}, was answered with {answer.status_code} {answer.text}")
            return
        self.said.setdefault(name, seq)
        if name == self.waiting:
            self.waiting = None


@dataclass
class Place:
    """A data folder with its workbench, and the scripts that write to it."""

    folder: Path
    port: int
    scripts: list[Script]
    piece: str = ""
    lines: list[str] = field(default_factory=list)
    kills: int = 0
    troubles: list[str] = field(default_factory=list)

    @property
    def settings(self) -> Settings:
        return Settings(self.folder / "data")

    @property
    def errors(self) -> Path:
        """What the workbench wrote to standard error."""
        return self.folder / "errors.txt"


@dataclass(frozen=True)
class Count:
    """How much was sent, said and kept."""

    kills: int
    acknowledged: int
    cut_off: int
    kept_unsaid: int
    found: int
    doubled: int
    lost: int
    troubles: list[str]


def kill_server(folder: Path, kills: int, seed: int) -> Count:
    """Start the workbench and kill it, again and again, while scripts write; then start it once more and look."""
    rng = random.Random(seed)
    scripts = [Script(f"script{number}", random.Random(rng.random())) for number in range(SCRIPTS)]
    place = Place(folder, _free_port(), scripts)
    while place.kills < kills:
        early = rng.random() < EARLY
        _one_life(place, rng.uniform(0.0, START_S if early else WRITING_S), early=early)
    with _workbench(place) as (server, client):
        if _answers(server, client):
            _look(place, client)
        else:
            place.troubles.append(f"the workbench does not start any more: {place.errors.read_text()}")
        server.send_signal(signal.SIGINT)
        server.wait(PATIENCE_S)
    return _counted(place)


def _free_port() -> int:
    dice = random.SystemRandom()
    while True:
        port = dice.choice(PORTS)
        with closing(socket.socket()) as tried, suppress(OSError):
            tried.bind(("127.0.0.1", port))
            return port


@contextmanager
def _workbench(place: Place) -> Iterator[tuple["subprocess.Popen[bytes]", httpx2.Client]]:
    """Start the workbench, and a client of it; it is not there afterwards."""
    command = [sys.executable, "-m", "weftline", "open", "--no-browser", "--port", str(place.port)]
    environment = {**os.environ, "PYTHONPATH": str(HOME / "src"), "WEFTLINE_DATA": str(place.settings.data)}
    asking = httpx2.Client(
        base_url=f"http://127.0.0.1:{place.port}",
        cookies={"weftline-device": DEVICE},
        headers={"accept": "application/json"},
        timeout=PATIENCE_S,
        trust_env=False,
    )
    with (
        place.errors.open("ab") as errors,
        subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL, stderr=errors) as server,
        asking as client,
    ):
        try:
            yield server, client
        finally:
            server.kill()


def _answers(server: "subprocess.Popen[bytes]", client: httpx2.Client) -> bool:
    """Wait until the workbench answers; False if it ends before."""
    until = time.monotonic() + PATIENCE_S
    while server.poll() is None and time.monotonic() < until:
        with suppress(httpx2.TransportError):
            return client.get("/health").status_code == 200
        time.sleep(0.01)
    return False


def _one_life(place: Place, seconds: float, *, early: bool) -> None:
    with _workbench(place) as (server, client):
        killer = threading.Timer(seconds, server.kill)
        if early:
            killer.start()
        answers = _answers(server, client)
        if not early:
            killer.start()
        if answers:
            with suppress(httpx2.TransportError):
                _use(place, client)
        killer.join()
        place.kills += 1
        if server.wait(PATIENCE_S) != -signal.SIGKILL:
            place.troubles.append(f"the workbench ended by itself with {server.returncode}")


def _use(place: Place, client: httpx2.Client) -> None:
    if not place.lines:
        place.piece = _make_piece(client)
        tree = next(entries_of(client, place.piece, 0))["payload"]["tree"]
        place.lines = [node.id for node in walk(tree_of(tree)) if node.kind == LINE]
    with ThreadPoolExecutor(SCRIPTS) as pool:
        for running in [pool.submit(one.write, client, place.piece, place.lines) for one in place.scripts]:
            running.result()


def _make_piece(client: httpx2.Client) -> str:
    """Make the piece, or hear its id again."""
    file = {"file": ("teeth.json", json.dumps(TEETH).encode())}
    answer = client.post("/pieces/from-file", data={"entry": PIECE_ENTRY, "base": "0"}, files=file)
    assert answer.status_code == 200, f"the piece is not made: {answer.status_code} {answer.text}"
    return str(answer.json()["href"]).split("/")[2]


def entries_of(client: httpx2.Client, piece: str, after: int) -> Iterator[dict[str, Any]]:
    """Yield the entries of a piece after a place, as the workbench tells them."""
    while page := client.get(f"/api/pieces/{piece}/entries", params={"after": after, "limit": PAGE}).json():
        yield from page
        after = page[-1]["seq"]


def _look(place: Place, client: httpx2.Client) -> None:
    """Send what is still waiting, then open and export the piece as a browser would."""
    for script in place.scripts:
        script.again(client, place.piece)
    wrong = place.troubles.append
    if _make_piece(client) != place.piece or [one["id"] for one in client.get("/api/pieces").json()] != [place.piece]:
        wrong("the piece was made a second time")
    if (answer := client.get(f"/pieces/{place.piece}/design", headers={"accept": "text/html"})).status_code != 200:
        wrong(f"the piece cannot be opened: {answer.status_code} {answer.text}")
    exported = client.get(f"/pieces/{place.piece}/files/project.json").text
    with opened(place.settings) as services:
        kept = [(entry.seq, entry.id) for entry in services.pieces.entries_after(place.piece, 0)]
        if loads(exported) != services.pieces.project(place.piece):
            wrong("the exported file is another piece")
    if [(one["seq"], one["id"]) for one in entries_of(client, place.piece, 0)] != kept:
        wrong("the workbench tells other entries than there are")


def _counted(place: Place) -> Count:
    scripts = place.scripts
    said = {name: seq for script in scripts for name, seq in script.said.items()}
    with opened(place.settings) as services:
        entries = services.pieces.entries_after(place.piece, 0)
    places: dict[str, list[int]] = {}
    for entry in entries:
        places.setdefault(entry.id, []).append(entry.seq)
    promise = Promise(said, kills=place.kills)
    troubles = [*place.troubles, *broken_promises(place.settings.data, place.piece, promise)]
    troubles += _unlike_sent(place, {entry.id: entry.payload.get("op") for entry in entries})
    troubles += _unsafe(place.settings.store)
    if errors := place.errors.read_text():
        troubles.append(f"the workbench complained: {errors}")
    return Count(
        kills=place.kills,
        acknowledged=len(said),
        cut_off=sum(script.cut_off for script in scripts),
        kept_unsaid=sum(script.kept_unsaid for script in scripts),
        found=sum(places.get(name) == [seq] for name, seq in said.items()),
        doubled=sum(len(seqs) > 1 for seqs in places.values()),
        lost=sum(name not in places for name in said),
        troubles=troubles,
    )


def _unlike_sent(place: Place, kept: dict[str, Any]) -> list[str]:
    """Return where what is kept is not what was sent, in the order in which it was sent."""
    troubles = [trouble for script in place.scripts for trouble in script.troubles]
    sent = {name: change["command"] for script in place.scripts for name, change in script.sent.items()}
    troubles += [f"{name} is there and was never sent" for name in kept.keys() - sent.keys() - {PIECE_ENTRY}]
    troubles += [f"{name} is not what was sent" for name in kept.keys() & sent.keys() if kept[name] != sent[name]]
    for script in place.scripts:
        seqs = list(script.said.values())
        if seqs != sorted(set(seqs)):
            troubles.append(f"what {script.word} sent is not in order")
        if script.said.keys() != script.sent.keys():
            troubles.append(f"not everything that {script.word} sent was answered in the end")
    return troubles


def _unsafe(path: Path) -> list[str]:
    """Return what the store's connections and its file don't hold to."""
    store = open_store(path)
    with closing(store), reading(store.engine) as connection:
        ask = connection.exec_driver_sql
        found = {name: ask(f"PRAGMA {name}").scalar() for name in PROMISED}
        whole = ask("PRAGMA integrity_check").scalar()
    troubles = [] if found == PROMISED else [f"the store is opened with {found}"]
    return troubles if whole == "ok" else [*troubles, f"the store is damaged: {whole}"]
