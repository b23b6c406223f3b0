"""The running workbench of a data folder: found again by a small file, so that there is never a second one."""

from __future__ import annotations

import fcntl
import json
import os
import secrets
import socket
import time
from contextlib import contextmanager, suppress
from http.client import HTTPConnection, HTTPException
from typing import TYPE_CHECKING

from weftline.errors import OutOfPlaceError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

HOST = "127.0.0.1"
NOTE, LOCK = "workbench.json", "workbench.lock"
ANSWER_S = 2.0


def address(port: int) -> str:
    """Return where a browser finds the workbench."""
    return f"http://{HOST}:{port}/"


def find_running(folder: Path, patience_s: float = 0.0) -> int | None:
    """Return the port of the workbench that serves this folder, or None.

    Its note alone proves nothing; the port must answer with the note's nonce.
    """
    until = time.monotonic() + patience_s
    while True:
        note = _read(folder)
        if note is not None and note[1] and _answers(*note):
            return note[0]
        if time.monotonic() >= until:
            return None
        time.sleep(0.1)


def last_port(folder: Path) -> int | None:
    """Return the port that served this folder last, so that open pages find it again."""
    note = _read(folder)
    return None if note is None else note[0]


def _read(folder: Path) -> tuple[int, str] | None:
    try:
        data = json.loads((folder / NOTE).read_text(encoding="utf-8"))
        port, nonce = data["port"], data["nonce"]
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return (port, nonce) if isinstance(port, int) and 0 < port < 65536 and isinstance(nonce, str) else None


def _answers(port: int, nonce: str) -> bool:
    connection = HTTPConnection(HOST, port, timeout=ANSWER_S)
    try:
        connection.request("GET", "/health", headers={"Accept": "application/json"})
        found = json.loads(connection.getresponse().read(10_000))
    except (OSError, ValueError, HTTPException):
        return False
    finally:
        connection.close()
    return isinstance(found, dict) and secrets.compare_digest(str(found.get("nonce", "")).encode(), nonce.encode())


def listen(port: int | None, wished: int | None) -> socket.socket:
    """Return a listening socket: on ``port`` exactly, else on the wished one if it is free, else on any.

    Raises
    ------
    OutOfPlaceError
        When the port asked for is taken.
    """
    for number in [port] if port is not None else [wished or 0, 0]:
        found = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            found.bind((HOST, number))
            found.listen(128)
        except OSError as cause:
            found.close()
            if port is not None:
                reason = cause.strerror or str(cause)
                raise OutOfPlaceError(f"port {port} cannot be used: {reason}; choose another, or none") from None
            continue
        return found
    raise OutOfPlaceError("no port on this machine is free; close a program that listens and try again")


@contextmanager
def only_one(folder: Path) -> Iterator[bool]:
    """Hold the folder's lock; yields whether nobody else holds it."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handle = (folder / LOCK).open("a")
    except OSError as cause:
        raise OutOfPlaceError(f"{folder} cannot be used: {cause.strerror or cause}") from None
    with handle:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            yield False
            return
        yield True


@contextmanager
def noted(folder: Path, port: int) -> Iterator[str]:
    """Write the note while the workbench runs; yields its nonce. The port stays for the next start."""
    nonce = secrets.token_urlsafe(18)
    note, fresh = folder / NOTE, folder / f"{NOTE}.{os.getpid()}"
    fresh.write_text(json.dumps({"port": port, "nonce": nonce, "process": os.getpid()}) + "\n", encoding="utf-8")
    fresh.replace(note)
    try:
        yield nonce
    finally:
        with suppress(OSError):
            note.write_text(json.dumps({"port": port, "nonce": "", "process": None}) + "\n", encoding="utf-8")
