"""Make one private Python environment from one lock file, whole or not at all.

``./weftline`` and ``./test`` call this only when the environment is missing or was made from another lock.
It runs on a bare Python, so it uses the standard library alone. Everything it says goes to standard error.

    python requirements/install.py .venv run.lock
"""

import fcntl
import importlib.util
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from types import FrameType
from typing import Final, NoReturn

HOME: Final = Path(__file__).resolve().parent.parent
STAMP: Final = "made-from.lock"
"""A copy of the lock, written into the environment last: an environment without it is not finished."""

FAILED: Final = 3
"""Exit code when the machine could not be set up; 1 and 2 mean findings and wrong calls."""

MISLEADING: Final = ("PYTHONHOME", "PYTHONPATH", "PIP_PREFIX", "PIP_REQUIRE_VIRTUALENV", "PIP_TARGET", "PIP_USER")
"""Settings that would send the packages elsewhere or bring in those of another Python."""


class SetUpError(Exception):
    """The environment could not be made; the message says why and what to do."""


def say(text: str) -> None:
    """Tell the person waiting, without touching standard output."""
    sys.stderr.write(f"weftline: {text}\n")
    sys.stderr.flush()


def run(command: Sequence[str | Path]) -> int:
    """Run a command in its own group, so that an interrupted set-up leaves none of its children at work."""
    environment = {name: value for name, value in os.environ.items() if name not in MISLEADING}
    environment["DEBIAN_FRONTEND"] = "noninteractive"
    with subprocess.Popen(
        [str(word) for word in command],
        stdin=subprocess.DEVNULL,
        stdout=sys.stderr.fileno(),
        env=environment,
        start_new_session=True,
    ) as child:
        try:
            return child.wait()
        except BaseException:
            with suppress(ProcessLookupError):
                os.killpg(child.pid, signal.SIGKILL)
            raise


@contextmanager
def alone(env: Path) -> Iterator[None]:
    """Wait until no other start is making this environment; the kernel frees the lock even after a crash."""
    with env.with_name(f"{env.name}.lock").open("w") as handle:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            say(f"another start is making {env.name}; waiting for it")
            fcntl.flock(handle, fcntl.LOCK_EX)
        except OSError as error:  # some network file systems have no locks
            say(f"cannot lock {env.name} ({error.strerror}); going on without")
        yield


def is_ready(env: Path, lock: Path) -> bool:
    """Tell whether the environment is finished and made from this very lock."""
    stamp = env / STAMP
    return (env / "bin" / "python").exists() and stamp.exists() and stamp.read_bytes() == lock.read_bytes()


def base_python() -> Path:
    """Return the interpreter under its own name (python3.11, not python3).

    An upgrade of the system then makes the link in the environment point nowhere, which is noticed.
    """
    return Path(getattr(sys, "_base_executable", None) or sys.executable).resolve()


def pip_can_install_elsewhere() -> bool:
    """Tell whether this Python has a pip that takes ``--python`` (22.3 and later)."""
    try:
        major, minor = version("pip").split(".")[:2]
    except PackageNotFoundError:
        return False
    return (int(major), int(minor)) >= (22, 3)


def add_ensurepip() -> None:
    """Get the part of Python that Debian packs separately, or say in one sentence how to get it."""
    package = f"python{sys.version_info.major}.{sys.version_info.minor}-venv"
    apt = shutil.which("apt-get")
    if apt and os.geteuid() == 0:
        say(f"this Python has neither pip nor ensurepip; installing {package}")
        if run([apt, "update", "-qq"]) == 0 and run([apt, "install", "-y", "-qq", package]) == 0:
            return
    way = f"apt-get install {package}, as root" if apt else "python3-pip or python3-venv, from your system's packages"
    msg = f"{base_python()} has neither pip nor ensurepip, and Weftline needs one of them: {way}; then start again."
    raise SetUpError(msg)


def make(env: Path, lock: Path) -> None:
    """Fill an empty place with the interpreter, the locked packages and the way to our own source."""
    python = env / "bin" / "python"
    venv: list[str | Path] = [base_python(), "-m", "venv"]
    pip: list[str | Path] = [python, "-m", "pip"]
    if pip_can_install_elsewhere():  # quicker than a second pip, and the environment starts quicker without one
        venv.append("--without-pip")
        pip = [sys.executable, "-P", "-m", "pip", "--python", python]
    elif importlib.util.find_spec("ensurepip") is None:
        add_ensurepip()
    if run([*venv, env]) != 0:
        msg = f"{base_python()} could not make {env}; the lines above say why."
        raise SetUpError(msg)
    options = ["--quiet", "--no-input", "--disable-pip-version-check", "--require-hashes"]
    if run([*pip, "install", *options, "--requirement", lock]) != 0:
        msg = "the packages could not be installed; the lines above say why. Check the network and start again."
        raise SetUpError(msg)
    (packages,) = env.glob("lib/python*/site-packages")
    # Relative, so that the clone can be moved.
    (packages / "weftline.pth").write_text(os.path.relpath(HOME / "src", packages) + "\n", encoding="utf-8")


def replace(env: Path, lock: Path) -> None:
    """Make the environment anew; when that fails, the one that was there comes back."""
    former = env.with_name(f"{env.name}.former")
    if (env / STAMP).exists():
        shutil.rmtree(former, ignore_errors=True)
        env.rename(former)
    shutil.rmtree(env, ignore_errors=True)
    try:
        make(env, lock)
        shutil.copyfile(lock, env / STAMP)
    except BaseException:
        shutil.rmtree(env, ignore_errors=True)
        if former.exists():
            former.rename(env)
        raise
    shutil.rmtree(former, ignore_errors=True)


def leave(number: int, _frame: FrameType | None) -> NoReturn:
    """Turn a signal into an exception, so that what is half made is cleared away."""
    sys.exit(128 + number)


def main(env_name: str, lock_name: str) -> int:
    """Make the environment unless someone else has done so meanwhile."""
    for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        signal.signal(number, leave)
    env, lock = HOME / env_name, HOME / "requirements" / lock_name
    try:
        with alone(env):
            if not is_ready(env, lock):
                say(f"setting up a private Python environment in {env.name} (only now and after updates)")
                replace(env, lock)
                say("set up")
    except SetUpError as error:
        say(str(error))
        return FAILED
    except OSError as error:
        say(f"cannot write {error.filename or env}: {error.strerror}; make room there or use a clone of your own.")
        return FAILED
    return 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
